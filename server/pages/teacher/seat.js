/**
 * One child's seat in a dialog: remind, let a helper play, open the cards for a moment, free the
 * place. The cards close by themselves, since boards get projected.
 * @import {BoardSays, BoardTable, BoardView, HandTold} from "../types/wire.js"
 */
import { Cards } from "../cards.js";
import { make, part, refill } from "../dom.js";
import { Refused, call } from "../http.js";
import { setUpSupport } from "./support.js";

/** How long opened cards stay, in milliseconds. The issue names ten seconds. */
const OPEN_MS = 10_000;

/** @typedef {{ lesson: string, table: string, seat: number }} Opened */

export class SeatDialog {
  /** @type {Opened | null} */ #opened = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #closes;
  #cards = new Cards();

  /** @param {(says: BoardSays) => void} say */
  constructor(say) {
    this.say = say;
    this.openSupport = setUpSupport(say);
    this.dialog = /** @type {HTMLDialogElement} */ (part("seat"));
    this.title = make("h2", { id: "seat-title" });
    this.acts = make("div", { class: "acts" });
    this.shown = make("div", { class: "opened", role: "status" });
    this.dialog.append(this.title, this.acts, this.shown, make("form", { method: "dialog", class: "acts" }, make("button", { class: "button plain" }, "Close")));
    this.dialog.addEventListener("close", () => { this.#opened = null; this.#hide(); });
  }

  /** @param {BoardView} view @param {BoardTable} table @param {number} seat */
  open(view, table, seat) {
    this.#opened = { lesson: view.lesson, table: table.table, seat };
    this.#hide();
    this.render(view);
    this.dialog.showModal();
  }

  /** Follows the board while the dialog is open. @param {BoardView} view */
  render(view) {
    const opened = this.#opened;
    const table = view.tables.find((one) => one.table === opened?.table);
    const seat = opened && table?.view.seats[opened.seat];
    const marks = opened && table?.seats[opened.seat];
    if (!opened || !table || !seat || !marks) return;
    this.title.textContent = `${seat.name}, ${table.name}`;
    const { pupil, care } = marks;
    refill(this.acts, JSON.stringify([opened, pupil, care, marks.support, view.moving, view.tables.map((one) => one.name)]), () => {
      const at = { table: opened.table, seat: opened.seat };
      const button = (/** @type {string} */ words, /** @type {() => void} */ act) => {
        const one = make("button", { class: "button plain", type: "button" }, words);
        one.addEventListener("click", act);
        return one;
      };
      const child = pupil !== null;
      return [
        child && care.help_asked && button("I have helped", () => this.say({ HelpGiven: at })),
        child && button("Remind softly", () => this.say({ Nudge: at })),
        child && button(care.partner_holds ? "Give the cards back" : "Let a helper play", () => this.say({ HandOver: { ...at, partner: !care.partner_holds } })),
        child && button("Support", () => { this.dialog.close(); this.openSupport(seat.name, marks); }),
        button("Look at the cards for 10 seconds", () => void this.#look(opened)),
        child && this.#moveTo(view, opened, pupil),
        child && button("Free the place for another device", () => {
          if (confirm(`Free ${seat.name}'s place? The device that holds it leaves the table.`)) this.say({ FreePlace: { pupil } });
        }),
      ].filter((one) => one !== false);
    });
  }

  /** Another table after this round, or none. @param {BoardView} view @param {Opened} opened @param {number} pupil */
  #moveTo(view, opened, pupil) {
    const moving = view.moving.find((one) => one.pupil === pupil);
    const others = view.tables.filter((one) => one.table !== opened.table);
    const choice = make("select", { "aria-label": "Where the child goes after this round" },
      ...others.map((one) => make("option", { value: one.table }, one.name)), make("option", { value: "" }, "leaves for today"));
    const go = make("button", { class: "button plain", type: "button" }, "Move after this round");
    go.addEventListener("click", () => this.say({ MovePupil: { pupil, table: choice.value === "" ? null : choice.value } }));
    if (!moving) return make("span", { class: "line" }, choice, go);
    const stay = make("button", { class: "button plain", type: "button" }, "Stay here after all");
    stay.addEventListener("click", () => this.say({ MovePupil: { pupil, table: opened.table } }));
    return make("span", { class: "line" }, "moves after this round", stay);
  }

  /** @param {Opened} opened */
  async #look({ lesson, table, seat }) {
    try {
      /** @type {HandTold} */
      const hand = await call(`/lessons/${lesson}/tables/${table}/seats/${seat}/hand`);
      await this.#cards.load(hand.deck);
      if (!this.dialog.open) return;
      const face = (/** @type {number} */ index) => make("span", { class: "card" }, this.#cards.face(index, "after"));
      this.shown.replaceChildren(hand.cards.length === 0
        ? make("p", {}, "There are no cards in this hand just now.")
        : make("div", { class: "opened-cards" }, ...hand.cards.map(face),
          hand.considering !== null && make("span", { class: "opened-next" }, make("span", {}, "looks at"), face(hand.considering))));
      clearTimeout(this.#closes);
      this.#closes = setTimeout(() => this.#hide(), OPEN_MS);
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      this.shown.replaceChildren(make("p", { class: "error" }, refused.message));
    }
  }

  #hide() {
    clearTimeout(this.#closes);
    this.shown.replaceChildren();
  }
}
