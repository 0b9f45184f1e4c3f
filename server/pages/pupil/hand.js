/**
 * The own cards: the four of the hand, the one under consideration, the tray or draw pile, the
 * 'on' arrow. One tap decides. It knows the own part of the view and whom the cards go to.
 * @import {Cards} from "../cards.js"
 * @import {CardView, HandView, SeatSays, SeatView} from "../types/wire.js"
 */
import { art, make, part, picture, refill } from "../dom.js";
import { arrange, moved, own, passesTo } from "../view.js";
import { cardBacks } from "./neighbours.js";
import { onTap } from "./guard.js";

/** A tray's next card opens by itself after this long, in milliseconds: time to see the old one go. */
const OPEN_MS = 900;
/** A card that has just come is not decided by the second half of a double tap, in milliseconds. */
const FRESH_MS = 250;
/** An own move can be taken back for this long at the most, in milliseconds (design, section 6). */
const UNDO_MS = 3_000;

/** A child who has decided this often knows what can be tapped. */
const SHOWN_HOW_MOVES = 3;
const SHOWN_HOW_KEY = "handround.moves";

/** Moves made in this window, for the pointing finger alone. */
const movesMade = {
  get: () => { try { return Number(sessionStorage.getItem(SHOWN_HOW_KEY)); } catch { return SHOWN_HOW_MOVES; } },
  add: () => { try { sessionStorage.setItem(SHOWN_HOW_KEY, String(movesMade.get() + 1)); } catch { /* No finger then. */ } },
};

export class Hand {
  /** @type {SeatView | null} */ #view = null;
  /** @type {string[]} */ #order = [];
  #moving = false;
  /** @type {{ ask: number | null } | null} a move on its way, until the hand is news */ #sent = null;
  /** @type {{ card: string, at: number } | null} */ #fresh = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #opener;
  #movedAt = -Infinity;

  /**
   * @param {Cards} cards
   * @param {(says: SeatSays) => number | null} say
   */
  constructor(cards, say) {
    this.cards = cards;
    this.say = say;
    this.slots = Array.from({ length: 4 }, (_, place) => this.#slot(place));
    part("hand").append(...this.slots.map(({ slot }) => slot));
    onTap(part("pass"), () => this.pass());
    onTap(part("tray"), () => this.takeUp());
    onTap(part("undo"), () => this.undo());
    onTap(part("move"), () => this.toggleMoving());
  }

  /** @param {number} place */
  #slot(place) {
    const card = make("button", { class: "card", type: "button" });
    let considered = "";
    onTap(card, () => this.keep(place, considered), () => { considered = this.#considering()?.id ?? ""; });
    const shift = (/** @type {-1 | 1} */ step) => {
      const [name, words] = step < 0 ? ["left", "move left"] : ["right", "move right"];
      const button = make("button", { class: "shift", type: "button", "aria-label": `card ${place + 1}: ${words}` }, art(name));
      button.disabled = place + step < 0 || place + step > 3;
      onTap(button, () => this.shift(place, step));
      return button;
    };
    return { card, slot: make("div", { class: "slot" }, card, make("div", { class: "shifts" }, shift(-1), shift(1))) };
  }

  #considering() { return this.#view?.hand?.considering ?? null; }

  /** @param {SeatView} view @param {boolean} news whether the hand itself is news */
  render(view, news) {
    this.#view = view;
    if (news) { this.#sent = null; this.#settled(); }
    const { hand } = view;
    if (!hand) { this.#order = []; clearTimeout(this.#opener); this.#opener = undefined; return; }
    const arranged = arrange(this.#order, hand.cards);
    this.#order = arranged.map((card) => card.id);
    this.slots.forEach(({ card, slot }, place) => this.#paintCard(card, slot, arranged[place], hand, place));
    this.#paintTurn(view, hand);
    this.#openLater(hand);
  }

  /**
   * @param {HTMLButtonElement} button @param {HTMLElement} slot @param {CardView | undefined} card
   * @param {HandView} hand @param {number} place
   */
  #paintCard(button, slot, card, hand, place) {
    slot.classList.toggle("hint", card !== undefined && hand.hint.includes(card.id));
    slot.classList.toggle("moving", this.#moving);
    if (!card) return;
    const offers = hand.considering !== null && !this.#moving;
    button.classList.toggle("offers", offers);
    button.setAttribute("aria-label", `card ${place + 1}: ${this.cards.label(card.face)}${offers ? ", give away" : ""}`);
    refill(button, `${card.id} ${card.face} ${card.helper} ${this.cards.deck}`, () => [this.cards.face(card.face, "during", card.helper)]);
  }

  /** @param {SeatView} view @param {HandView} hand */
  #paintTurn(view, hand) {
    const card = hand.considering;
    if (card && this.#fresh?.card !== card.id) this.#fresh = { card: card.id, at: performance.now() };
    const considered = part("considered");
    part("table").classList.toggle("shows-how", movesMade.get() < SHOWN_HOW_MOVES);
    considered.classList.toggle("reminded", hand.reminded);
    refill(considered, card ? `${card.id} ${card.face} ${card.helper} ${this.cards.deck}` : "", () =>
      card ? [this.cards.face(card.face, "during", card.helper)] : []);

    const pass = /** @type {HTMLButtonElement} */ (part("pass"));
    pass.classList.toggle("idle", !card);
    pass.setAttribute("aria-disabled", String(!card));
    const next = passesTo(view);
    const goes = next === null ? null : view.table.seats[next];
    refill(pass, goes ? `${goes.picture} ${goes.name}` : "basket", () =>
      [art("arrow"), make("span", { class: "goes" }, goes ? picture(goes.picture) : art("basket"))]);

    const dealer = view.table.dealer === view.you;
    const waiting = dealer ? view.table.draw_pile : own(view).waiting;
    const ready = hand.take_up === "FromPile" || hand.take_up === "FromTray";
    const tray = part("tray");
    tray.classList.toggle("ready", ready);
    tray.setAttribute("aria-disabled", String(!ready));
    tray.setAttribute("aria-label", dealer ? `draw pile, ${waiting} cards` : `your tray, ${waiting} waiting`);
    refill(tray, `${dealer} ${waiting}`, () => dealer
      ? [make("span", { class: "pile" }, ...Array.from({ length: Math.min(3, waiting) }, () => art("back"))), make("span", { class: "count" }, String(waiting))]
      : [cardBacks(waiting)]);

    const undo = part("undo");
    const can = hand.can_undo && performance.now() - this.#movedAt < UNDO_MS;
    undo.classList.toggle("shown", can);
    /** @type {HTMLButtonElement} */ (undo).disabled = !can;
  }

  /** @param {HandView} hand */
  #openLater(hand) {
    const waits = hand.take_up === "FromTray" && hand.considering === null && !hand.stand_in && !this.#view?.table.paused;
    if (!waits) { clearTimeout(this.#opener); this.#opener = undefined; return; }
    this.#opener ??= setTimeout(() => { this.#opener = undefined; if (!document.hidden) this.takeUp(); }, OPEN_MS);
  }

  /** Looks at the next card at once. */
  takeUp() {
    const hand = this.#view?.hand;
    if (!hand || this.#sent || this.#view?.table.paused) return;
    if (hand.take_up === "FromPile" || hand.take_up === "FromTray") this.#send("TakeUp");
  }

  /**
   * Keeps the card under consideration at a place and gives that place's card away.
   * @param {number} place
   * @param {string} [considered] the card that lay there when the finger came down
   */
  keep(place, considered = this.#considering()?.id) {
    const card = this.#decidable();
    const give = this.#order[place];
    if (!card || !give || this.#moving || card.id !== considered) return;
    if (this.#send({ Keep: { card: card.id, give } })) this.slots[place]?.slot.classList.add("goes");
  }

  /** Hands the card under consideration on. */
  pass() {
    const card = this.#decidable();
    if (card) this.#send({ Pass: { card: card.id } });
  }

  #decidable() {
    const card = this.#considering();
    const fresh = this.#fresh !== null && performance.now() - this.#fresh.at < FRESH_MS;
    return card && !fresh && !this.#sent && !this.#view?.table.paused ? card : null;
  }

  /** Takes the last move back. */
  undo() {
    if (!(/** @type {HTMLButtonElement} */ (part("undo")).disabled)) this.#send("Undo");
  }

  /** Shows or hides the small arrows by which cards are moved side by side. */
  toggleMoving() {
    this.#moving = !this.#moving;
    part("move").setAttribute("aria-pressed", String(this.#moving));
    if (this.#view) this.render(this.#view, false);
  }

  /** @param {number} place @param {-1 | 1} step */
  shift(place, step) {
    this.#order = moved(this.#order, place, step);
    if (this.#view) this.render(this.#view, false);
  }

  /** The server refused what was asked: the move did not happen. @param {number} ask */
  refused(ask) {
    if (this.#sent?.ask !== ask) return;
    this.#sent = null;
    this.#settled();
    if (this.#view) this.render(this.#view, false);
  }

  /** Forgets a move on its way, since the link broke. */
  forget() { this.#sent = null; this.#settled(); }

  #settled() { for (const { slot } of this.slots) slot.classList.remove("goes"); }

  /** @param {SeatSays} says */
  #send(says) {
    const ask = this.say(says);
    if (ask === null) return false;
    this.#sent = { ask };
    if (says !== "TakeUp" && says !== "Undo") {
      this.#movedAt = performance.now();
      movesMade.add();
      setTimeout(() => { if (this.#view) this.render(this.#view, false); }, UNDO_MS + 50);
    }
    return true;
  }
}

