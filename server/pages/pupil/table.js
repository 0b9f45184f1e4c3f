/**
 * The table on the screen: takes a view, draws every part of it, and turns taps into what the seat
 * says. It owns no socket and decides no rule.
 * @import {Cards} from "../cards.js"
 * @import {Refusal, SeatNews, SeatSays, SeatView} from "../types/wire.js"
 */
import { art, make, part, picture, refill, setText, show } from "../dom.js";
import { hasTokens, inRound, own, wordOf } from "../view.js";
import { onTap } from "./guard.js";
import { Cheering } from "./cheer.js";
import { Hand } from "./hand.js";
import { setUpKeys } from "./keys.js";
import { renderMoment } from "./moment.js";
import { Naming } from "./naming.js";
import { leaves, renderNeighbours } from "./neighbours.js";
import { Sorting } from "./sorting.js";
import { refusalAnswer, statusOf, tapAnswer } from "./status.js";
import { Tokens } from "./tokens.js";

/** How long a friendly no stays, in milliseconds. */
const ANSWER_MS = 2_500;

export class Table {
  /** @type {SeatView | null} */ #view = null;
  #dealShown = -1;
  #taps = -1;
  #round = -1;
  /** @type {import("./status.js").Status | null} */ #answer = null;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #answerEnds;

  /**
   * @param {Cards} cards
   * @param {(says: SeatSays) => number | null} say
   */
  constructor(cards, say) {
    this.cards = cards;
    this.say = say;
    this.hand = new Hand(cards, say);
    this.tokens = new Tokens(part("tokens"), {
      grab: (grab) => say({ Grab: grab }),
      cueShown: (cue, shown) => say({ CueShown: { cue, shown } }),
      changed: () => { if (this.#view) this.#own(this.#view); },
    });
    this.naming = new Naming(part("moment"), cards, () => say("PicturesNamed"));
    this.sorting = new Sorting(cards, (status) => { this.#say(status, ANSWER_MS); if (this.#view) this.#status(this.#view); });
    this.cheering = new Cheering(say);
    onTap(part("lay-down"), () => say("LayDown"));
    // Whoever touches the screen is back, whatever the page thought.
    part("table").addEventListener("pointerdown", () => { if (this.#view?.hand?.stand_in) say({ InView: { visible: true } }); });
    setUpKeys({
      keep: (place) => this.hand.keep(place), pass: () => this.hand.pass(), open: () => this.hand.takeUp(),
      token: (timeStamp) => this.tokens.pressAny(timeStamp), undo: () => this.hand.undo(),
      move: () => this.hand.toggleMoving(),
      ready: () => !part("table").hidden && Boolean(part("veil").hidden),
    });
  }

  /** @param {SeatView} view @param {SeatNews | null} news what has just been applied; `null` to draw again */
  render(view, news) {
    this.#view = view;
    const { table } = view;
    const playing = inRound(view);
    show(playing ? "table" : "moment", ["join", "table", "moment"]);
    this.tokens.render(view);
    this.cheering.render(view);
    if (!playing) {
      this.#round = -1;
      const again = news !== null && "Snapshot" in news;
      setText(part("announce"), table.phase === "Naming" ? this.naming.render(view, again) : renderMoment(part("moment"), view, this.cards));
      return;
    }
    const watching = !own(view).in_play;
    // The own cards are gone and the public part is about to follow: nothing to draw in between.
    if (!watching && view.hand === null) return;
    part("table").classList.toggle("watching", watching);
    part("table").classList.toggle("sorts", this.sorting.render(view));
    part("lay-down").hidden = hasTokens(table.house) || watching || view.hand?.take_up === "LaidDown";
    part("middle").classList.toggle("calm", !hasTokens(table.house));
    renderNeighbours(part("neighbours"), view, this.cards);
    this.hand.render(view, news !== null && ("Hand" in news || "Snapshot" in news));
    this.#answerTap(view);
    this.#own(view);
    this.#status(view);
    this.#tellDeal(view, news !== null && "Snapshot" in news);
  }

  /** The own place: who I am, my pebble, my letters. @param {SeatView} view */
  #own(view) {
    const seat = own(view);
    const word = wordOf(view.table.house);
    const held = this.tokens.held;
    const tokens = hasTokens(view.table.house) && seat.in_play;
    refill(part("own-who"), JSON.stringify([seat.name, seat.picture, seat.letters, word, held, tokens, view.table.dealer === view.you]), () => [
      make("span", { class: "portrait" }, picture(seat.picture),
        view.table.dealer === view.you && make("span", { class: "sign" }, art("dealer"), make("span", { class: "unseen" }, "you deal the cards"))),
      make("span", { class: "name" }, seat.name),
      tokens && make("span", { class: held ? "nest held" : "nest", role: "img", "aria-label": held ? "your pebble" : "no pebble yet" }, held && art("pebble-1")),
      word !== "" && leaves(word, seat.letters),
    ]);
  }

  /** @param {SeatView} view */
  #answerTap(view) {
    const { taps, tap } = view.grab;
    const fresh = this.#round === view.table.round && taps > this.#taps;
    this.#taps = taps;
    this.#round = view.table.round;
    const answer = fresh ? tapAnswer(tap) : null;
    if (answer) this.#say(answer, Math.max(answer.wait_ms, ANSWER_MS));
  }

  /** @param {import("./status.js").Status} answer @param {number} ms */
  #say(answer, ms) {
    this.#answer = answer;
    clearTimeout(this.#answerEnds);
    this.#answerEnds = setTimeout(() => { this.#answer = null; if (this.#view) this.#status(this.#view); }, ms);
  }

  /** @param {SeatView} view */
  #status(view) {
    const { art: drawing, text } = this.#answer ?? statusOf(view);
    refill(part("status-art"), drawing, () => [art(drawing)]);
    setText(part("status"), text);
    part("table").classList.toggle("answering", this.#answer !== null);
  }

  /** Says that the deal stands on the screen, once all faces are here. @param {SeatView} view @param {boolean} again after a snapshot */
  #tellDeal(view, again) {
    const { round } = view.table;
    if (!view.hand || !this.cards.ready || (this.#dealShown === round && !again)) return;
    this.#dealShown = round;
    // Two frames: the first paints the cards, the second comes after they were seen.
    requestAnimationFrame(() => requestAnimationFrame(() => {
      if (this.say({ DealShown: { round } }) === null) this.#dealShown = -1;
    }));
  }

  /** The link is back: what may have been lost with it is said again. */
  reconnected() {
    this.#dealShown = -1;
    this.tokens.reconnected();
    if (this.#view) this.render(this.#view, null);
  }

  /** @param {number} ask @param {Refusal} refusal */
  refused(ask, refusal) {
    this.tokens.refused(ask, refusal);
    this.hand.refused(ask);
    const answer = refusalAnswer(refusal);
    if (!answer || !this.#view || !inRound(this.#view)) return;
    this.#say(answer, ANSWER_MS);
    this.#status(this.#view);
  }
}
