/**
 * The door of a lesson on the teacher's page: who waits for her answer, whom she lets in herself,
 * place cards, home links, tablets of the cart, children at her own tablet. It asks over HTTP, since
 * links and cards are hers alone and no part of the live board.
 * @import {Admit, BoardView, DoorChild, DoorSays, DoorView, DoorWaiting, Way} from "../types/wire.js"
 */
import { make, part, picture, refill, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";
import { over } from "./over.js";

/** Between two looks at the door, in milliseconds. */
const LOOK_MS = 1_000;

/** @type {Record<Way, string>} */
const CAME = { Picture: "by picture", Card: "by place card", Home: "from home", Tablet: "at a tablet of the cart" };
/** @type {readonly [Admit, string][]} */
const ADMIT = [["Nobody", "nobody: who knows the way sits down"], ["FromHome", "children at home: you do not see who sits down there"], ["Everybody", "everybody"]];

/** @param {DoorWaiting} one */
export const waitingWords = ({ name, way, second }) => (second ? `Another tablet wants ${name}’s place (${CAME[way]})` : `${name} wants to come in (${CAME[way]})`);

/** @returns {(view: BoardView) => void} */
export function setUpDoor() {
  let lesson = "";
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let timer;
  /** @type {DoorView | null} */ let door = null;
  /** Whose card is printed alone. @type {number | null} */ let card = null;
  /** Children ticked for the shared tablet. @type {Set<number>} */ const ticked = new Set();
  const dialog = /** @type {HTMLDialogElement} */ (part("door"));
  const body = make("div", { class: "door-body" });
  const note = make("p", { class: "error", role: "alert" });
  dialog.append(make("h2", { id: "door-title" }, "Cards, links and tablets"), note, body, make("form", { method: "dialog", class: "acts" }, make("button", { class: "button plain" }, "Close")));
  part("door-open").addEventListener("click", () => { paint(); dialog.showModal(); });

  const shown = () => !part("board").hidden;

  async function look() {
    clearTimeout(timer);
    timer = setTimeout(() => void look(), LOOK_MS);
    if (!shown() || document.hidden || lesson === "" || over.has(lesson)) return;
    try { door = await call(`/lessons/${lesson}/door`); paint(); } catch (error) { if (!(error instanceof Refused)) throw error; }
  }

  /** @param {string} path @param {object | string} [wish] */
  async function wish(path, wish = {}) {
    try {
      door = await post(`/lessons/${lesson}/${path}`, /** @type {object} */ (wish));
      setText(note, "");
      paint();
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      setText(note, error.message);
      if (!dialog.open) setText(part("board-note"), error.message);
    }
  }
  /** @param {DoorSays} says */
  const says = (says) => wish("door", says);

  /** @param {string} words @param {() => void} act @param {string} [label] @param {string} [css] */
  function button(words, act, label, css = "button plain") {
    const one = make("button", { class: css, type: "button", "aria-label": label }, words);
    one.addEventListener("click", act);
    return one;
  }

  function paint() {
    const view = door;
    if (!view) return;
    refill(part("door-waiting"), JSON.stringify(view.waiting), () => view.waiting.map((one) => make("li", {},
      picture(one.picture), make("span", {}, waitingWords(one)),
      button("Let in", () => void says({ Answer: { number: one.number, admit: true } }), `let ${one.name} in`, "button"),
      button("No", () => void says({ Answer: { number: one.number, admit: false } }), `do not let ${one.name} in`))));
    refill(body, JSON.stringify([lesson, view.admit, view.children, view.kept]), () => [admit(view), ways(view), shared(view)]);
  }

  /** @param {DoorView} view */
  const admit = (view) => make("fieldset", {}, make("legend", {}, "Who needs your yes"), ...ADMIT.map(([value, words]) => {
    const radio = make("input", { type: "radio", name: "door-admit", value, checked: value === view.admit });
    radio.addEventListener("change", () => void says({ Admit: value }));
    return make("label", { class: "option" }, radio, make("span", {}, words));
  }));

  /** @param {DoorView} view */
  function ways(view) {
    if (!view.kept) return make("p", { class: "hint" }, "The demo’s invented class has no cards, links or tablets.");
    const file = (/** @type {string} */ paper, /** @type {string} */ words) => make("a", { class: "button plain", href: `/lessons/${lesson}/place-cards.pdf?paper=${paper}`, download: "" }, words);
    const all = () => { if (confirm("Revoke all cards, links and tablets of this class? Whoever sits plays on.")) void says({ Revoke: null }); };
    return make("section", {}, make("h3", {}, "Ways to a child’s own place"),
      make("p", { class: "hint" }, "Whoever holds a card or link can sit down at that place. Keep cards like keys; your school’s policy comes first. A lost one is revoked here."),
      make("p", { class: "acts" }, "Print all place cards: ", file("letter", "Letter"), file("a4", "A4")),
      oneCard(view),
      make("p", { class: "acts" },
        view.children.every((one) => one.home_url === null) && button("Make home links", () => void wish("home")),
        button("Revoke all", all)),
      make("ul", { class: "door-list" }, ...view.children.map(child)));
  }

  /** A card that was lost, or of a child who came late. @param {DoorView} view */
  function oneCard(view) {
    const whose = make("select", { "aria-label": "whose card" }, ...view.children.map((one) => make("option", { value: one.pupil, selected: one.pupil === card }, one.name)));
    const files = /** @type {const} */ ([["letter", "Letter"], ["a4", "A4"]]).map(([paper, words]) => ({ paper, link: make("a", { class: "button plain", download: "", "aria-label": `one card, ${words}` }, words) }));
    const follow = () => {
      card = Number(whose.value);
      for (const { paper, link } of files) link.href = `/lessons/${lesson}/place-cards.pdf?paper=${paper}&pupil=${card}`;
    };
    whose.addEventListener("change", follow);
    follow();
    return make("div", {}, make("p", { class: "acts" }, "Print one card: ", whose, ...files.map(({ link }) => link)),
      make("p", { class: "hint" }, "The card of a child who came late is good for this lesson; with the child on the class list it stays good."));
  }

  /** @param {DoorChild} one */
  function child(one) {
    const link = one.home_url === null ? null : make("input", { type: "text", readonly: true, value: one.home_url, "aria-label": `home link of ${one.name}` });
    link?.addEventListener("focus", () => link.select());
    return make("li", {}, picture(one.picture), make("span", { class: "name" }, one.name),
      one.at_home && make("span", { class: "tag" }, "at home"),
      one.tablet !== null && make("span", { class: "tag" }, `Tablet ${one.tablet}`),
      one.tablet !== null && button("Forget it", () => void says({ ForgetTablet: /** @type {number} */ (one.tablet) }), `forget the tablet of ${one.name}`),
      one.tablet === null && one.tablet_here && button("Keep this tablet for the child", () => void says({ KeepTablet: one.pupil }), `keep the tablet for ${one.name}`),
      one.taken && button(one.fresh ? "Wrong picture: free it" : "Free the place", () => void says({ Free: one.pupil }), `free the place of ${one.name}`),
      link,
      button("Revoke", () => { if (confirm(`Revoke ${one.name}’s card, link and tablet? A child who sits plays on.`)) void says({ Revoke: one.pupil }); }, `revoke the ways of ${one.name}`));
  }

  /** @param {DoorView} view */
  function shared(view) {
    const free = view.children.filter((one) => !one.taken || one.shared);
    const go = make("a", { class: "button plain", href: "/shared", target: "_blank" }, "Play here");
    const follow = () => { go.href = `/shared#${lesson}=${[...ticked].join()}`; };
    follow();
    return make("section", {}, make("h3", {}, "Children without a device"),
      make("p", { class: "hint" }, "Up to four play at this tablet, one after the other behind a cover. Their moves are marked and count for nothing else."),
      make("div", { class: "deck-ticks" }, ...free.map((one) => {
        const tick = make("input", { type: "checkbox", value: one.pupil, checked: ticked.has(one.pupil) });
        tick.addEventListener("change", () => { if (tick.checked) ticked.add(one.pupil); else ticked.delete(one.pupil); follow(); });
        return make("label", { class: "option" }, tick, make("span", {}, one.name));
      })), go);
  }

  return (view) => {
    if (lesson === view.lesson) return;
    lesson = view.lesson;
    ticked.clear();
    card = null;
    door = null;
    void look();
  };
}
