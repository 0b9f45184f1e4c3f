/**
 * Naming the pictures before the first deal: one picture after the other with its word, shown and
 * said. The child goes on by tapping, or passes all over; the deal comes when all are through or
 * the server's minute is over. It knows nothing of hands and of how many children are still at it.
 * @import {Cards} from "../cards.js"
 * @import {SeatView} from "../types/wire.js"
 */
import { art, make, refill } from "../dom.js";
import { onTap } from "./guard.js";
import { say as sayAloud } from "./speak.js";

export class Naming {
  #game = -1;
  #place = 0;
  #told = false;
  /** The place whose picture is painted: two pictures in a row may have the same word. */ #painted = -1;
  /** @type {SeatView | null} */ #view = null;

  /**
   * @param {HTMLElement} root
   * @param {Cards} cards
   * @param {() => number | null} done says that this child is through; `null` without a link
   */
  constructor(root, cards, done) {
    this.root = root;
    this.cards = cards;
    this.done = done;
  }

  /** Draws it; returns its sentence. @param {SeatView} view @param {boolean} again after a break of the link */
  render(view, again) {
    this.#view = view;
    if (view.table.game !== this.#game) { this.#game = view.table.game; this.#place = 0; this.#told = false; }
    if (again) this.#told = false;
    if (!this.cards.ready) return this.#wait("The game begins soon.");
    const picture = this.cards.naming[this.#place];
    if (!picture) {
      if (!this.#told) this.#told = this.done() !== null;
      return this.#wait("All named! Wait for the others.");
    }
    this.root.dataset.phase = "Naming";
    refill(this.root, `naming ${this.#game} ${this.cards.deck}`, () => this.#build());
    this.#paint();
    return picture.word;
  }

  #build() {
    this.#painted = -1;
    const card = make("button", { class: "card naming-card", type: "button" });
    onTap(card, () => sayAloud(this.#word()));
    const next = make("button", { class: "button naming-next", type: "button" }, art("arrow"), make("span", {}, "Next"));
    onTap(next, () => this.#go(this.#place + 1));
    const skip = make("button", { class: "quiet-button", type: "button" }, "I know them all");
    onTap(skip, () => this.#go(this.cards.naming.length));
    return [
      make("h1", { class: "unseen" }), card, next,
      make("div", { class: "naming-foot" }, make("progress", { class: "naming-progress", "aria-label": "pictures named" }), skip),
    ];
  }

  #paint() {
    const [word, card, progress] = ["h1", ".naming-card", "progress"].map((query) => this.root.querySelector(query));
    const picture = this.cards.naming[this.#place];
    if (!(card instanceof HTMLElement) || !(progress instanceof HTMLProgressElement) || !word || !picture) return;
    const fresh = this.#painted !== this.#place;
    this.#painted = this.#place;
    word.textContent = picture.word;
    card.setAttribute("aria-label", `${picture.word}, hear it again`);
    refill(card, `${this.cards.deck} ${this.#place}`, () => [make("span", { class: "face" }, picture.drawing.cloneNode(true))]);
    progress.max = this.cards.naming.length;
    progress.value = this.#place + 1;
    if (fresh) sayAloud(picture.word);
  }

  /** @param {number} place */
  #go(place) {
    this.#place = place;
    if (this.#view) this.render(this.#view, false);
  }

  #word() { return this.cards.naming[this.#place]?.word ?? ""; }

  /** @param {string} title */
  #wait(title) {
    this.root.dataset.phase = "Naming";
    refill(this.root, title, () => [art("can"), make("h1", {}, title)]);
    return title;
  }
}
