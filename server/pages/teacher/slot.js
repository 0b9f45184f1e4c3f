/**
 * The slot for playing, as one calm line on the board: minutes left, what still fits, when to ring the
 * bell. The server works it out; this asks, draws and never counts down by seconds. A substitute's page has
 * the same line and asks in its own way.
 * @import {BoardView, SlotTold} from "../types/wire.js"
 */
import { part, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";
import { over } from "./over.js";

/** Between two looks, in milliseconds: minutes are shown, and another board of hers may change it. */
const LOOK_MS = 10_000;

/**
 * Who asks, and whether there is anybody to read the answer.
 * @typedef {{ shown: () => boolean, look: (lesson: string) => Promise<SlotTold>, choose: (lesson: string, minutes: number | null) => Promise<SlotTold> }} Asks
 */

/** @type {Asks} */
const TEACHERS = {
  shown: () => !part("board").hidden,
  look: (lesson) => call(`/lessons/${lesson}/slot`),
  choose: (lesson, minutes) => post(`/lessons/${lesson}/slot`, { minutes }),
};

/** @param {Asks} asks @returns {(view: Pick<BoardView, "lesson"> & { tables: readonly Pick<BoardView["tables"][number], "bell" | "view">[] }) => void} */
export function setUpSlot(asks = TEACHERS) {
  let lesson = "";
  /** How many answers were asked for; older ones come too late. */
  let asked = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let timer;
  const line = part("slot-line");
  const minutes = /** @type {HTMLInputElement} */ (part("slot-minutes"));

  /** @param {SlotTold} told */
  function paint({ minutes_left, sentence, ring_now }) {
    line.hidden = minutes_left === null;
    setText(line, sentence);
    line.classList.toggle("ring", ring_now);
    part("slot-end").hidden = minutes_left === null;
    // Read aloud once, when it is time; the minutes are not.
    setText(part("slot-bell"), ring_now ? "Ring the bell now, so that rounds finish." : "");
  }

  /** @param {() => Promise<SlotTold>} ask @param {boolean} aloud whether a refusal is shown */
  async function look(ask, aloud) {
    clearTimeout(timer);
    timer = setTimeout(() => void look(told, false), LOOK_MS);
    if (!asks.shown() || document.hidden || lesson === "" || over.has(lesson)) return;
    const mine = asked += 1;
    try {
      const slot = await ask();
      if (mine !== asked) return;
      setText(part("slot-error"), "");
      paint(slot);
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      if (aloud && mine === asked) setText(part("slot-error"), refused.message);
    }
  }
  const told = () => asks.look(lesson);
  /** @param {number | null} wanted */
  const choose = (wanted) => look(() => asks.choose(lesson, wanted), true);

  part("slot-form").addEventListener("submit", (event) => { event.preventDefault(); void choose(Math.round(minutes.valueAsNumber)); });
  part("slot-end").addEventListener("click", () => void choose(null));
  document.addEventListener("visibilitychange", () => { if (!document.hidden) void look(told, false); });

  let state = "";
  return (view) => {
    // A bell or a start changes what there is to say at once.
    const now = [view.lesson, ...view.tables.map((table) => `${table.bell} ${table.view.phase === "Waiting" || table.view.phase === "GameOver"}`)].join();
    if (now === state) return;
    state = now;
    if (lesson !== view.lesson) paint({ minutes_left: null, sentence: "", ring_now: false });
    lesson = view.lesson;
    clearTimeout(timer);
    timer = setTimeout(() => void look(told, false));
  };
}
