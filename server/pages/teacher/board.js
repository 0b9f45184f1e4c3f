/**
 * The live board of one lesson: the way in for children, buttons for all tables, one card a table.
 * It draws a `BoardView`, says the teacher's wishes, and shows refusals as sentences.
 * @import {BoardSays, BoardView} from "../types/wire.js"
 */
import { drawingFrom } from "../cards.js";
import { art, make, part, picture, refill, setText } from "../dom.js";
import { setUpPlan } from "./plan.js";
import { setUpRace } from "./race.js";
import { setUpSupport } from "./support.js";
import { tableCard } from "./tablecard.js";
import { planWords, possible, refusalWords } from "./words.js";

/** How long a refusal stays, in milliseconds: long enough to look up from a class. */
const NOTE_MS = 8_000;

export class Board {
  /** @type {BoardView | null} */ #view = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #noteEnds;

  /** @param {(says: BoardSays) => void} say */
  constructor(say) {
    this.say = say;
    this.openPlan = setUpPlan((plan) => this.say({ Plan: plan }));
    this.openRace = setUpRace();
    this.openSupport = setUpSupport((says) => this.say(says));
  }

  /** @param {BoardView} view */
  render(view) {
    this.#view = view;
    document.title = `${view.name}: Handround`;
    setText(part("board-name"), view.name);
    setText(part("board-seating"), view.seating);
    setText(part("plan-line"), planWords(view.plan));
    this.#entrance(view);
    this.#acts(view);
    const root = part("tables");
    while (root.children.length > view.tables.length) root.lastElementChild?.remove();
    while (root.children.length < view.tables.length) root.append(make("article", { class: "table-card" }));
    view.tables.forEach((table, index) => {
      const card = root.children[index];
      if (!(card instanceof HTMLElement)) return;
      const focused = card.contains(document.activeElement) ? /** @type {HTMLElement} */ (document.activeElement).dataset.act : undefined;
      refill(card, JSON.stringify([table, view.plan.tray_limit]), () => tableCard(table, { trayLimit: view.plan.tray_limit, say: this.say, openRace: () => void this.openRace(view.lesson, table), openSupport: this.openSupport }));
      // A board that changes a few times a second must not throw the keyboard's place away.
      if (focused && !card.contains(document.activeElement)) card.querySelector("button")?.focus();
    });
  }

  /** @param {BoardView} view */
  #entrance(view) {
    refill(part("entrance"), JSON.stringify([view.open, view.row, view.join_url, view.wall_url]), () => {
      const open = make("button", { class: view.open ? "button plain" : "button", type: "button" }, view.open ? "Close the room" : "Open the room");
      open.addEventListener("click", () => this.say({ Open: { open: !view.open } }));
      const qr = make("span", { class: "qr", role: "img", "aria-label": "QR code of the children's address" }, drawingFrom(view.join_qr_svg));
      return [
        view.open ? qr : make("span", { class: "qr shut" }, art("gate")),
        make("div", { class: "entrance-words" },
          make("h2", {}, view.open ? "Children tap these four pictures" : "The room is closed"),
          view.open && make("span", { class: "row" }, ...view.row.map((name) => make("span", { class: "thing" }, picture(name, name)))),
          view.open && make("p", { class: "address" }, "or open ", make("a", { href: view.join_url, target: "_blank", rel: "noopener" }, view.join_url.replace(/^https?:\/\//, "").replace(/\/j\/.*/, ""))),
          make("div", { class: "acts" }, open, make("a", { class: "button plain", href: view.wall_url, target: "_blank", rel: "noopener" }, "Wall display"))),
      ];
    });
  }

  /** @param {BoardView} view */
  #acts(view) {
    const can = view.tables.map(possible);
    const any = (/** @type {(one: ReturnType<typeof possible>) => boolean} */ test) => can.some(test);
    const state = [any((one) => one.start), any((one) => one.pause), any((one) => one.resume), any((one) => one.end)];
    refill(part("board-acts"), state.join(), () => {
      const button = (/** @type {string} */ words, /** @type {() => void} */ act, /** @type {boolean} */ on, css = "button plain") => {
        const one = make("button", { class: css, type: "button" }, words);
        one.disabled = !on;
        one.addEventListener("click", act);
        return one;
      };
      const all = { table: null };
      const plan = button("Change the game", () => { if (this.#view) this.openPlan(this.#view.plan); }, true);
      plan.id = "plan-open";
      return [
        button("Start all", () => this.say({ Start: all }), state[0] ?? false, "button"),
        button("Pause all", () => this.say({ Pause: all }), state[1] ?? false),
        button("Resume all", () => this.say({ Resume: all }), state[2] ?? false),
        button("End all", () => { if (confirm("End the game at every table?")) this.say({ End: all }); }, state[3] ?? false),
        plan,
        button("End the lesson", () => { if (confirm("End the lesson for good? All devices leave their seats.")) this.say("EndLesson"); }, true, "button plain quiet"),
      ];
    });
  }

  /** @param {import("../types/wire.js").Refusal} refusal */
  refused(refusal) {
    setText(part("board-note"), refusalWords(refusal));
    clearTimeout(this.#noteEnds);
    this.#noteEnds = setTimeout(() => setText(part("board-note"), ""), NOTE_MS);
  }
}
