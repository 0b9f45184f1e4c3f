/**
 * What a child does who is out: sorts cards of the round before on the own screen, and watches.
 * It draws the cards and the basket; nothing of it is sent anywhere.
 * @import {Cards} from "../cards.js"
 * @import {SeatView} from "../types/wire.js"
 * @import {Status} from "./status.js"
 */
import { art, make, part, refill } from "../dom.js";
import { onTap } from "./guard.js";
import { begin, tapped } from "./sort.js";

/** The basket shows as many of its cards, so that a child sees what settled. */
const SHOWN_MAX = 4;

/** @type {Partial<Record<import("./sort.js").Outcome, Status>>} */
const SAYS = {
  other: { art: "look", text: "Look again. What matches this?" },
  settled: { art: "basket", text: "These match. Well sorted!" },
  done: { art: "leaf", text: "All sorted. Thank you!" },
};

export class Sorting {
  #key = "";
  /** @type {readonly number[]} */ #faces = [];
  /** @type {import("./sort.js").Sort} */ #sort = begin([]);

  /** @param {Cards} cards @param {(status: Status) => void} tell */
  constructor(cards, tell) {
    this.cards = cards;
    this.tell = tell;
  }

  /** Draws it; says whether there is anything to sort. @param {SeatView} view */
  render(view) {
    const { sorting } = view;
    const shown = sorting.length > 1 && this.cards.ready && view.hand === null;
    part("sorting").hidden = !shown;
    if (!shown) return false;
    const key = JSON.stringify([sorting, this.cards.deck]);
    if (key !== this.#key) {
      this.#key = key;
      this.#faces = sorting;
      this.#startOver();
    }
    return true;
  }

  #startOver() {
    this.#sort = begin(this.#faces.map((face, place) => this.cards.group(face) ?? -1 - place));
    refill(part("sorting-cards"), this.#key, () => this.#faces.map((face, place) => {
      const card = make("button", { class: "card", type: "button", "aria-pressed": "false", "aria-label": this.cards.labelAfter(face) }, this.cards.face(face, "after"));
      onTap(card, () => this.#tap(place));
      return make("div", { class: "sort-place" }, card);
    }));
    part("sorting-cards").dataset.count = this.#faces.length > 6 ? "many" : "few";
    this.#paint();
  }

  /** @param {number} place */
  #tap(place) {
    const { sort, outcome } = tapped(this.#sort, place);
    this.#sort = sort;
    this.#paint();
    const status = SAYS[outcome];
    if (status) this.tell(status);
  }

  #paint() {
    const { picked, settled } = this.#sort;
    [...part("sorting-cards").children].forEach((slot, place) => {
      const card = /** @type {HTMLButtonElement} */ (slot.firstElementChild);
      card.setAttribute("aria-pressed", String(picked.includes(place)));
      card.disabled = settled.includes(place);
    });
    const seen = settled.slice(-SHOWN_MAX);
    refill(part("basket"), JSON.stringify([this.#key, settled]), () => {
      const again = make("button", { class: "tool", type: "button" }, art("undo"), make("span", {}, "Again"));
      onTap(again, () => this.#startOver());
      return [
        make("span", { class: "basket-cards" }, ...seen.map((place) => this.cards.face(this.#faces[place] ?? 0, "after"))),
        art("basket"), settled.length > 0 && again,
      ];
    });
  }
}
