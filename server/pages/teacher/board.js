/**
 * The live board of one lesson: the way in for children, buttons for all tables, one card a table.
 * It draws a `BoardView`, says the teacher's wishes, and shows refusals as sentences.
 * @import {BoardSays, BoardView, LessonPlan} from "../types/wire.js"
 */
import { make, part, refill, setText } from "../dom.js";
import { post, Refused } from "../http.js";
import { setUpDoor } from "./door.js";
import { setUpOnWall } from "./onwall.js";
import { over } from "./over.js";
import { setUpPlan } from "./plan.js";
import { setUpRace } from "./race.js";
import { SeatDialog } from "./seat.js";
import { setUpSlot } from "./slot.js";
import { tableCard } from "./tablecard.js";
import { setUpSubstitute } from "./substitute.js";
import { setUpWalks } from "./walks.js";
import { wayIn } from "./wayin.js";
import { attentionWords, planWords, possible, refusalWords } from "./words.js";

/** From this number of tables on, cards are small, so that ten are seen on one laptop screen. */
const MANY_TABLES = 7;
/** How long a refusal stays, in milliseconds: long enough to look up from a class. */
const NOTE_MS = 8_000;

/** @param {BoardView} view @param {"a4" | "letter"} paper */
const packAddress = (view, paper) => `/lessons/${view.lesson}/pack.pdf?paper=${paper}`;

export class Board {
  /** @type {BoardView | null} */ #view = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #noteEnds;
  /** @type {Map<string, HTMLElement>} */ #cards = new Map();
  #order = "";
  /** Small cards that she has opened. @type {Set<string>} */ #opened = new Set();

  /** @param {(says: BoardSays) => void} say */
  constructor(say) {
    this.say = say;
    this.openPlan = setUpPlan((plan) => void this.#plan(plan));
    this.openRace = setUpRace((says) => this.say(says));
    this.seat = new SeatDialog(say);
    this.walks = setUpWalks(say);
    this.door = setUpDoor();
    this.slot = setUpSlot();
    this.onWall = setUpOnWall(say);
    const openSubstitute = setUpSubstitute();
    part("substitute-open").addEventListener("click", () => { if (this.#view) void openSubstitute(this.#view.lesson); });
  }

  /** @param {BoardView} view */
  render(view) {
    this.#view = view;
    document.title = `${view.name}: Handround`;
    setText(part("board-name"), view.name);
    setText(part("board-seating"), view.seating);
    setText(part("plan-line"), planWords(view.plan, view.next_deck));
    this.#entrance(view);
    this.#acts(view);
    this.#tables(view);
    this.seat.render(view);
    this.walks(view);
    this.door(view);
    this.slot(view);
    this.onWall(view);
    setText(part("board-list"), view.tables.flatMap((table) => table.attention.filter((reason) => "HelpAsked" in reason)
      .map((reason) => `${table.name}: ${attentionWords(reason, table.view)}.`)).join(" "));
  }

  /** The table that needs her most comes first; none moves under a hand or the keyboard. @param {BoardView} view */
  #tables(view) {
    const root = part("tables");
    const many = view.tables.length >= MANY_TABLES;
    part("board").classList.toggle("many", many);
    const gone = new Set(this.#cards.keys());
    for (const table of view.tables) {
      gone.delete(table.table);
      const card = this.#cards.get(table.table) ?? make("article", { class: "table-card", "aria-label": table.name });
      if (!this.#cards.has(table.table)) { this.#cards.set(table.table, card); root.append(card); }
      const focused = card.contains(document.activeElement) ? /** @type {HTMLElement} */ (document.activeElement).dataset.act : undefined;
      const opened = this.#opened.has(table.table);
      card.classList.toggle("urgent", table.urgent);
      card.classList.toggle("opened", opened || !many);
      refill(card, JSON.stringify([table, view.plan.tray_limit, view.table_decks, many, opened]), () => tableCard(table, {
        trayLimit: view.plan.tray_limit, ownDeck: view.table_decks.find((own) => own.table === table.table)?.name ?? "",
        opened: many ? opened : null, toggle: () => this.#toggle(table.table), say: this.say, openRace: () => void this.openRace(view.lesson, table), openSeat: (seat) => this.seat.open(view, table, seat),
      }));
      // A board that changes a few times a second must not throw the keyboard's place away.
      if (focused && !card.contains(document.activeElement)) /** @type {HTMLElement | null} */ (card.querySelector(`[data-act="${focused}"]`) ?? card.querySelector("button"))?.focus();
    }
    for (const table of gone) { this.#cards.get(table)?.remove(); this.#cards.delete(table); }
    const order = view.by_need;
    if (order.join() === this.#order || root.matches(":hover, :focus-within")) return;
    this.#order = order.join();
    for (const table of order) { const card = this.#cards.get(table); if (card) root.append(card); }
  }

  /** @param {string} table */
  #toggle(table) {
    if (!this.#opened.delete(table)) this.#opened.add(table);
    if (this.#view) this.#tables(this.#view);
  }

  /** @param {BoardView} view */
  #entrance(view) {
    refill(part("entrance"), JSON.stringify([view.open, view.row, view.join_url, view.wall_url]), () => wayIn(view, this.say, {
      address: make("p", { class: "address" }, "or open ", make("a", { href: view.join_url, target: "_blank", rel: "noopener" }, view.join_url.replace(/^https?:\/\//, "").replace(/\/j\/.*/, ""))),
      below: [
        // Without tablets: names, rules and every table's cards. Both sizes, since a school has one of them.
        make("p", { class: "paper-pack" }, "Print this lesson: ", make("a", { href: packAddress(view, "letter"), download: "" }, "Letter"), " or ", make("a", { href: packAddress(view, "a4"), download: "" }, "A4")),
        make("p", { class: "paper-pack" }, make("a", { href: `/lessons/${view.lesson}/planning`, target: "_blank", rel: "noopener" }, "Planning sheet"), ". Letter for families: ",
          make("a", { href: `/lessons/${view.lesson}/family-letter?language=en`, target: "_blank", rel: "noopener" }, "English"), ", ",
          make("a", { href: `/lessons/${view.lesson}/family-letter?language=es`, target: "_blank", rel: "noopener", lang: "es" }, "español")),
      ],
    }));
  }

  /** @param {BoardView} view */
  #acts(view) {
    const can = view.tables.map(possible);
    const any = (/** @type {(one: ReturnType<typeof possible>) => boolean} */ test) => can.some(test);
    const bell = view.tables.some((table) => table.bell);
    const state = [any((one) => one.start), any((one) => one.pause), any((one) => one.resume), any((one) => one.end), bell];
    refill(part("board-acts"), [view.lesson, ...state].join(), () => {
      const button = (/** @type {string} */ words, /** @type {() => void} */ act, /** @type {boolean} */ on, css = "button plain") => {
        const one = make("button", { class: css, type: "button" }, words);
        one.disabled = !on;
        one.addEventListener("click", act);
        return one;
      };
      const all = { table: null };
      const plan = button("Change the game", () => { if (this.#view) this.openPlan(this.#view.plan); }, true);
      plan.id = "plan-open";
      const cards = make("a", { class: "button plain", href: `#decks-${view.lesson}` }, "Choose the cards");
      return [
        make("div", { class: "at-hand" },
          button("Start all", () => this.say({ Start: all }), state[0] ?? false, "button"),
          button("Freeze all", () => this.say({ Pause: all }), state[1] ?? false),
          button("All go on", () => this.say({ Resume: all }), state[2] ?? false),
          button(bell ? "Take the bell back" : "Ring the bell: last round", () => this.say({ Bell: { ...all, ring: !bell } }), bell || (state[3] ?? false))),
        button("End all", () => { if (confirm("End the game at every table?")) this.say({ End: all }); }, state[3] ?? false),
        plan, cards,
        button("End the lesson", () => { if (confirm("End the lesson for good? All devices leave their seats.")) { over.add(view.lesson); this.say("EndLesson"); } }, true, "button plain quiet"),
      ];
    });
  }

  /** Over HTTP, since only there a refusal says why. @param {LessonPlan} plan */
  async #plan(plan) {
    try {
      await post(`/lessons/${this.#view?.lesson}/plan`, plan);
      setText(part("board-note"), "");
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      this.#note(refused.message);
    }
  }

  /** @param {import("../types/wire.js").Refusal} refusal */
  refused(refusal) {
    if (this.#view) over.delete(this.#view.lesson);
    this.#note(refusalWords(refusal));
  }

  /** @param {string} words */
  #note(words) {
    setText(part("board-note"), words);
    clearTimeout(this.#noteEnds);
    this.#noteEnds = setTimeout(() => setText(part("board-note"), ""), NOTE_MS);
  }
}
