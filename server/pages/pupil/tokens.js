/**
 * The pebbles in the middle: which are there, this seat's cue, the own tap. It measures times on
 * this device's own clock and knows nothing of who else took one. Until the ruling it changes only
 * by the own cue and the own tap; no pebble moves when another one goes.
 * @import {Grab, Nonce, Refusal, SeatView} from "../types/wire.js"
 */
import { art, make } from "../dom.js";
import { hasTokens, inRound, missingToken, own } from "../view.js";
import { onPress } from "./guard.js";
import { softSound } from "./sound.js";

/** The tail of messages after a break has come by this time, in milliseconds. */
const ANSWERED_MS = 400;

/** Whole microseconds of a time that the browser gives in milliseconds. @param {number} ms */
export const micros = (ms) => Math.round(ms * 1_000);

export class Tokens {
  #round = -1;
  /** @type {HTMLButtonElement[]} */ #buttons = [];
  /** @type {{ nonce: Nonce, shown: number | null } | null} */ #cue = null;
  #missing = -1;
  /** @type {{ place: number, taps: number, grab: Grab | null, ask: number | null } | null} */ #mine = null;
  /** @type {SeatView | null} */ #view = null;

  /**
   * @param {HTMLElement} root
   * @param {object} says
   * @param {(grab: Grab) => number | null} says.grab
   * @param {(cue: Nonce, shown: number) => void} says.cueShown
   * @param {() => void} says.changed the own pebble came or went
   */
  constructor(root, says) {
    this.root = root;
    this.says = says;
  }

  /** Whether a pebble lies at the own place. */
  get held() { return this.#mine !== null; }

  /** Whether this seat has seen the race open: by its cue, or by its own tap. */
  get inRace() { return this.#cue !== null || this.#mine !== null; }

  /** @param {SeatView} view */
  render(view) {
    this.#view = view;
    const { table, grab } = view;
    const count = hasTokens(table.house) && inRound(view) ? table.tokens : 0;
    if (this.#round !== table.round || this.#buttons.length !== count) this.#layOut(table.round, count);
    this.root.classList.toggle("live", grab.live || !own(view).in_play);
    this.#settle(view);
    if (grab.cue !== null) this.cue(table.round, grab.cue);
    this.#paint();
  }

  /** @param {number} round @param {number} count */
  #layOut(round, count) {
    this.#round = round;
    this.#cue = null;
    this.#missing = -1;
    this.#mine = null;
    this.#buttons = Array.from({ length: count }, (_, place) => {
      const button = make("button", { class: "token", type: "button", "aria-label": "pebble" }, art(`pebble-${(place % 3) + 1}`));
      onPress(button, (event) => this.#press(place, event.timeStamp));
      return button;
    });
    this.root.dataset.count = String(count);
    this.root.replaceChildren(...this.#buttons);
  }

  /** Lets the server's answer to the own tap stand in place of the page's guess. @param {SeatView} view */
  #settle({ grab, table }) {
    if (grab.tap === "Taken") {
      this.#mine ??= { place: this.#missing === 0 ? table.tokens - 1 : 0, taps: grab.taps, grab: null, ask: null };
    } else if (this.#mine && (this.#mine.grab === null || grab.taps > this.#mine.taps)) {
      this.#mine = null;
    }
  }

  /**
   * The link is back: what may have been lost with it is said again, with the same times. A tap
   * that the server has answered by then is not.
   */
  reconnected() {
    const [cue, mine] = [this.#cue, this.#mine];
    if (cue !== null && cue.shown !== null) this.says.cueShown(cue.nonce, cue.shown);
    if (!mine?.grab) return;
    setTimeout(() => {
      const unanswered = this.#mine === mine && this.#view?.grab.tap !== "Taken" && this.#view?.grab.taps === mine.taps;
      if (unanswered && mine.grab) mine.ask = this.says.grab(mine.grab);
    }, ANSWERED_MS);
  }

  /** The server refused what was asked. @param {number} ask @param {Refusal} refusal */
  refused(ask, refusal) {
    if (this.#mine?.ask !== ask || refusal === "HasToken") return;
    this.#mine = null;
    this.#paint();
    this.says.changed();
  }

  /**
   * A token is missing: one pebble goes, and the moment at which that stood on the screen is told.
   * @param {number} round
   * @param {Nonce} nonce
   */
  cue(round, nonce) {
    const view = this.#view;
    if (!view || round !== this.#round || this.#cue?.nonce === nonce || this.#buttons.length === 0) return;
    const cue = { nonce, shown: /** @type {number | null} */ (null) };
    this.#cue = cue;
    requestAnimationFrame(() => {
      if (this.#cue !== cue) return;
      // Whoever took the first pebble has seen it go already.
      if (this.#view?.grab.tap !== "Taken") {
        const place = missingToken(nonce, this.#buttons.length);
        this.#missing = place === this.#mine?.place ? (place + 1) % this.#buttons.length : place;
        if (view.grab.cue_sound) softSound();
      }
      this.#paint();
      requestAnimationFrame((frame) => {
        if (this.#cue !== cue) return;
        cue.shown = micros(frame);
        this.says.cueShown(nonce, cue.shown);
      });
    });
  }

  /** Taps the first pebble that is there, for the key. @param {number} timeStamp */
  pressAny(timeStamp) {
    const place = this.#buttons.findIndex((button) => !button.classList.contains("gone"));
    if (place >= 0) this.#press(place, timeStamp);
  }

  /** @param {number} place @param {number} timeStamp */
  #press(place, timeStamp) {
    const view = this.#view;
    if (!view?.grab.live || !own(view).in_play || view.table.paused || this.#mine) return;
    const cue = this.#cue;
    const seen = cue !== null && cue.shown !== null ? { nonce: cue.nonce, shown: cue.shown } : null;
    const grab = { cue: seen, tap: micros(timeStamp), token: place };
    const ask = this.says.grab(grab);
    if (ask === null) return;
    this.#mine = { place, taps: view.grab.taps, grab, ask };
    this.#paint();
    this.says.changed();
  }

  #paint() {
    this.#buttons.forEach((button, place) => {
      const gone = place === this.#missing || place === this.#mine?.place;
      button.classList.toggle("gone", gone);
      button.disabled = gone;
    });
  }
}
