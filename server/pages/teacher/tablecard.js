/**
 * One table on the board: who sits there, what waits, what can be done. It draws a `BoardTable` and
 * calls back; it never sees a hand.
 * @import {BoardSays, BoardSeat, BoardTable, SeatPublic} from "../types/wire.js"
 */
import { art, make, picture } from "../dom.js";
import { hasTokens, wordOf } from "../view.js";
import { PHASES, possible } from "./words.js";

/** A card that waits this long is worth the teacher's look, in seconds: the default of the soft reminder. */
const LONG_WAIT_S = 25;

/** @param {string} drawing @param {string} words @param {string} [css] */
const mark = (drawing, words, css = "") => make("span", { class: `mark ${css}` }, art(drawing), words);

/** @param {number} letters @param {string} word */
const letterMark = (letters, word) => {
  const all = [...word.toUpperCase()];
  return make("span", { class: "word" }, ...all.map((letter, place) => make("span", { class: place < letters ? "has" : "" }, place < letters ? letter : "·")));
};

/**
 * @param {SeatPublic} seat @param {BoardSeat} marks
 * @param {{ table: BoardTable, index: number, trayLimit: number, say: (says: BoardSays) => void, openSupport: (name: string, seat: BoardSeat) => void }} around
 */
function seatRow(seat, marks, { table, index, trayLimit, say, openSupport }) {
  const { view } = table;
  const running = view.phase === "Dealt" || view.phase === "Playing";
  const partner = seat.kind === "Partner";
  const word = wordOf(view.house);
  const full = seat.waiting >= trayLimit;
  const free = !partner && marks.pupil !== null && make("button", { class: "link", type: "button", "aria-label": `free ${seat.name}'s place for another device` }, "free place");
  const pupil = marks.pupil;
  const game = running || view.phase === "RoundOver";
  const standIn = game && marks.stand_in;
  const out = view.phase !== "Waiting" && !seat.in_play;
  const presence = marks.here ? mark("check", "here", "good")
    : standIn ? mark("away", "away, stand-in plays", "warn")
      : game ? mark("away", "away", "warn") : mark("wait", "not here yet");
  if (free && pupil !== null) free.addEventListener("click", () => {
    if (confirm(`Free ${seat.name}'s place? The device that holds it leaves the table.`)) say({ FreePlace: { pupil } });
  });
  const support = marks.support !== null && make("button", { class: "link", type: "button", "aria-haspopup": "dialog", "aria-label": `support for ${seat.name}` }, "support");
  if (support) support.addEventListener("click", () => openSupport(seat.name, marks));
  return make("li", { class: `seat${partner ? " partner" : ""}${out ? " out" : ""}` },
    make("span", { class: "face" }, picture(seat.picture)),
    make("span", { class: "who" }, make("span", { class: "name" }, seat.name),
      running && view.dealer === index && make("span", { class: "tag" }, "dealer"),
      table.winners.includes(index) && make("span", { class: "tag good" }, "still in")),
    make("span", { class: "marks" },
      partner ? mark("helper", "partner") : presence,
      standIn && marks.here && mark("helper", "stand-in plays", "warn"),
      out && mark("eye", "watches"),
      seat.shielded && mark("leaf-plain", "shield"),
      running && full && mark("stack", "tray full", "warn"),
      marks.waiting_s > 0 && !standIn && mark("wait", `waits ${marks.waiting_s} s`, marks.waiting_s >= LONG_WAIT_S ? "warn" : ""),
      marks.false_grabs > 0 && mark("look", `${marks.false_grabs} false ${marks.false_grabs === 1 ? "grab" : "grabs"}`),
      seat.laid_down.length > 0 && mark("fan", "laid down", "good")),
    make("span", { class: "numbers" },
      running && make("span", { class: "waiting", title: "cards waiting" }, art("back"), String(seat.waiting)),
      word !== "" && letterMark(seat.letters, word)),
    (free || support) && make("span", { class: "links" }, support, free));
}

/**
 * @param {BoardTable} table
 * @param {{ trayLimit: number, say: (says: BoardSays) => void, openRace: () => void, openSupport: (name: string, seat: BoardSeat) => void }} board
 */
export function tableCard(table, { trayLimit, say, openRace, openSupport }) {
  const { view } = table;
  const can = possible(table);
  const state = view.paused ? "paused" : PHASES[view.phase];
  const button = (/** @type {string} */ words, /** @type {boolean} */ shown, /** @type {BoardSays} */ says, css = "button plain") => {
    if (!shown) return null;
    const one = make("button", { class: css, type: "button", "aria-label": `${words} ${table.name}`, "data-act": words }, words);
    one.addEventListener("click", () => say(says));
    return one;
  };
  const raceButton = () => {
    const one = make("button", { class: "link", type: "button", "aria-haspopup": "dialog", "aria-label": `the last race at ${table.name}, drawn`, "data-act": "race" }, "see it");
    one.addEventListener("click", openRace);
    return one;
  };
  const at = { table: table.table };
  return [
    make("header", {}, make("h2", {}, table.name), make("span", { class: `state ${view.paused ? "paused" : view.phase}` }, state),
      view.round > 0 && make("span", { class: "round" }, `game ${view.game}, round ${view.round}`)),
    make("p", { class: "deck" }, table.deck_name, hasTokens(view.house) && (view.phase === "Dealt" || view.phase === "Playing")
      && make("span", { class: "pebbles", role: "img", "aria-label": `${table.tokens_left} of ${view.tokens} pebbles left` },
        ...Array.from({ length: view.tokens }, (_, place) => make("span", { class: place < table.tokens_left ? "pebble" : "pebble gone" })),
        `${table.tokens_left} of ${view.tokens}`)),
    make("ul", { class: "seats" }, ...view.seats.map((seat, index) => {
      const marks = table.seats[index];
      return marks ? seatRow(seat, marks, { table, index, trayLimit, say, openSupport }) : null;
    }).filter((row) => row !== null)),
    table.last_race !== "" && make("p", { class: "race" }, table.last_race, " ", raceButton()),
    make("footer", { class: "acts" },
      button(can.rematch ? "Rematch" : "Start", can.start, { Start: at }, "button"),
      button("Pause", can.pause, { Pause: at }), button("Resume", can.resume, { Resume: at }, "button"),
      button("End", can.end, { End: at })),
  ];
}
