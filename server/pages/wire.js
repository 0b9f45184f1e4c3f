/**
 * The socket: says hello, counts numbered messages, comes back after a break. It knows the wire's
 * envelope and the close codes, and nothing of cards, races or pages.
 * @import {BoardSays, Credential, Hello, SeatNews, SeatSays, SubstituteSays, ToClient, ToServer} from "./types/wire.js"
 */

export const SUBPROTOCOL = "handround.v1.json";

/** Waits before the first and the longest new attempt, in milliseconds: short enough that a child
 *  does not walk off, long enough that a whole class does not storm a server that restarts. */
const AGAIN_MS_MIN = 300;
const AGAIN_MS_MAX = 8_000;
/** A link that held this long counts as good, and the waits begin anew, in milliseconds. */
const STEADY_MS = 5_000;

/** After so much silence the page asks the server for its clock, in milliseconds. Pings tell a page nothing. */
const SILENCE_MS = 5_000;
/** A question that stays unanswered for so long means a link that died without a word, in milliseconds:
 *  as long as the server waits for a device. A tablet that changes its access point takes a few seconds. */
const LOST_MS = 8_000;
/** Between two looks at that, in milliseconds. */
const LOOK_MS = 1_000;

/** What a page does after a close. @typedef {"again" | "later" | "forget" | "elsewhere" | "over" | "barred"} After */

/**
 * The close codes of `protocol/src/close.rs`; whatever is not named there is a broken link.
 * @param {number} code
 * @returns {After}
 */
export function afterClose(code) {
  switch (code) {
    case 1008: return "later";
    case 4002: return "forget";
    case 4003: return "barred";
    case 4004: return "elsewhere";
    case 4006: return "over";
    case 4007: return "again";
    default: return "again";
  }
}

/**
 * Milliseconds to wait before an attempt: doubling, with a random part so that tablets that lost
 * the same access point do not return in step.
 * @param {number} attempt counted from 0
 * @param {number} random 0 to 1
 */
export function backoffMs(attempt, random) {
  const most = Math.min(AGAIN_MS_MAX, AGAIN_MS_MIN * 2 ** attempt);
  return Math.round(most / 2 + (most / 2) * random);
}

/**
 * What a page makes of silence on its link.
 * @param {{ heard_ms: number, asked_ms: number | null }} link when something came last, and when the page asked since
 * @param {number} now_ms
 * @returns {"fine" | "ask" | "lost"}
 */
export function ofSilence({ heard_ms, asked_ms }, now_ms) {
  if (asked_ms !== null) return now_ms - asked_ms >= LOST_MS ? "lost" : "fine";
  return now_ms - heard_ms >= SILENCE_MS ? "ask" : "fine";
}

/**
 * Whether a numbered message is the next one. A snapshot always counts, since it replaces all.
 * @param {number | null} last
 * @param {number} number
 * @param {SeatNews} news
 * @returns {"take" | "skip" | "gap"}
 */
export function inSequence(last, number, news) {
  if ("Snapshot" in news) return "take";
  if (last === null) return "gap";
  if (number <= last) return "skip";
  return number === last + 1 ? "take" : "gap";
}

/**
 * The coarsest step of this device's clock in whole microseconds: the least difference between two
 * readings. Browsers round to between 5 and 1,000 microseconds.
 * @param {() => number} now milliseconds
 */
export function clockStepMicros(now) {
  let least = Infinity;
  const end = now() + 20;
  for (let last = now(); last < end;) {
    const next = now();
    if (next > last) least = Math.min(least, next - last);
    last = next;
  }
  return Number.isFinite(least) ? Math.max(1, Math.round(least * 1_000)) : 1_000;
}

/** This device's clock, which cue and tap are told in as well. */
const nowMicros = () => Math.round(performance.now() * 1_000);

/** One page's connection, kept up until a close code says otherwise. */
export class Wire {
  /** @type {WebSocket | null} */ #socket = null;
  /** @type {number | null} */ #last = null;
  #attempt = 0;
  #ask = 0;
  #open = false;
  #openedAt = 0;
  #ended = false;
  #heard_ms = 0;
  /** @type {number | null} */ #asked_ms = null;
  /** @type {ReturnType<typeof setInterval> | undefined} */ #looks;

  /**
   * @param {object} options
   * @param {Credential} options.credential
   * @param {(message: ToClient) => void} options.onMessage numbered messages in order, each once
   * @param {(state: "open" | "waiting" | After) => void} options.onState
   * @param {number} [options.clockStep] microseconds
   */
  constructor({ credential, onMessage, onState, clockStep = 1_000 }) {
    this.credential = credential;
    this.onMessage = onMessage;
    this.onState = onState;
    this.clockStep = clockStep;
    this.#connect();
    this.#looks = setInterval(() => this.#look(), LOOK_MS);
    // A tablet that wakes should not sit out a long wait.
    addEventListener("online", () => this.#hurry());
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.#hurry(); });
  }

  /** @type {ReturnType<typeof setTimeout> | undefined} */ #timer;

  #hurry() {
    if (this.#timer === undefined || this.#ended) return;
    clearTimeout(this.#timer);
    this.#attempt = 0;
    this.#connect();
  }

  #connect() {
    this.#timer = undefined;
    this.#heard_ms = performance.now();
    this.#asked_ms = null;
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const socket = new WebSocket(`${scheme}://${location.host}/ws`, SUBPROTOCOL);
    this.#socket = socket;
    socket.onopen = () => {
      /** @type {Hello} */
      const hello = { credential: this.credential, resume: this.#last, clock_step: this.clockStep };
      this.#put({ Hello: hello });
    };
    socket.onmessage = (event) => { if (socket === this.#socket) this.#read(String(event.data)); };
    socket.onclose = (event) => { if (socket === this.#socket) this.#closed(event.code); };
  }

  /** A link can die without a close that reaches the page, which would wait for a cue for ever. */
  #look() {
    if (!this.#socket || this.#ended) return;
    const now_ms = performance.now();
    // A socket that is being opened has been asked for its welcome.
    const found = ofSilence({ heard_ms: this.#heard_ms, asked_ms: this.#open ? this.#asked_ms : this.#heard_ms }, now_ms);
    if (found === "ask") {
      this.#asked_ms = now_ms;
      this.#put({ ClockAsk: { device: nowMicros() } });
    } else if (found === "lost") {
      const dead = this.#socket;
      this.#closed(1006);
      dead?.close();
    }
  }

  /** @param {string} text */
  #read(text) {
    const received = nowMicros();
    this.#heard_ms = performance.now();
    this.#asked_ms = null;
    /** @type {ToClient} */
    const message = JSON.parse(text);
    if ("TellClock" in message) {
      this.#put({ ClockTold: { nonce: message.TellClock.nonce, received, answered: nowMicros() } });
      return;
    }
    if ("Welcome" in message) {
      this.#openedAt = performance.now();
      this.#open = true;
      this.onState("open");
    }
    if ("Seat" in message) {
      const { number, news } = message.Seat;
      const place = inSequence(this.#last, number, news);
      if (place === "skip") return;
      if (place === "gap") {
        // Asking afresh is always safe: the server answers with a snapshot.
        this.#last = null;
        this.#socket?.close(1000, "gap");
        return;
      }
      this.#last = number;
    }
    this.onMessage(message);
  }

  /** @param {number} code */
  #closed(code) {
    // A server that lets in and closes at once must not be asked again without a pause.
    if (this.#open && performance.now() - this.#openedAt > STEADY_MS) this.#attempt = 0;
    this.#open = false;
    this.#socket = null;
    const after = afterClose(code);
    if (after !== "again" && after !== "later") {
      this.#ended = true;
      this.onState(after);
      return;
    }
    this.onState("waiting");
    const floor = after === "later" ? AGAIN_MS_MAX : 0;
    this.#timer = setTimeout(() => this.#connect(), floor + backoffMs(this.#attempt, Math.random()));
    this.#attempt += 1;
  }

  /** @param {ToServer} message */
  #put(message) {
    if (this.#socket?.readyState === WebSocket.OPEN) this.#socket.send(JSON.stringify(message));
  }

  /**
   * Says a seat's move; while the link is down it is dropped, since a late move would surprise.
   * @param {SeatSays} says
   * @returns {number | null} the number that a refusal would echo
   */
  seat(says) {
    if (!this.#open) return null;
    this.#ask += 1;
    this.#put({ Seat: { ask: this.#ask, says } });
    return this.#ask;
  }

  /**
   * Says a teacher's wish.
   * @param {BoardSays} says
   * @returns {number | null} the number that a refusal would echo
   */
  board(says) {
    if (!this.#open) return null;
    this.#ask += 1;
    this.#put({ Board: { ask: this.#ask, says } });
    return this.#ask;
  }

  /**
   * Says a substitute's wish.
   * @param {SubstituteSays} says
   * @returns {number | null} the number that a refusal would echo
   */
  substitute(says) {
    if (!this.#open) return null;
    this.#ask += 1;
    this.#put({ Substitute: { ask: this.#ask, says } });
    return this.#ask;
  }

  /** Ends the connection for good. */
  end() {
    this.#ended = true;
    clearTimeout(this.#timer);
    clearInterval(this.#looks);
    this.#socket?.close(1000);
    this.#socket = null;
  }
}
