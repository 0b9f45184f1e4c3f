/**
 * One table on the board: who sits there, what waits, what can be done. It draws a `BoardTable` and
 * calls back; it never sees a hand.
 * @import {BoardSays, BoardSeat, BoardTable, SeatPublic} from "../types/wire.js"
 */
import { art, make, picture } from "../dom.js";
import { CHEERS } from "../pupil/cheer.js";
import { hasTokens, wordOf } from "../view.js";
import { LINKS, PHASES, attentionLines, possible } from "./words.js";

/** A card that waits this long is worth the teacher's look, in seconds: the default of the soft reminder. */
const LONG_WAIT_S = 25;

/** @param {string} drawing @param {string} words @param {string} [css] */
export const mark = (drawing, words, css = "") => make("span", { class: `mark ${css}` }, art(drawing), make("span", {}, words));

/**
 * What a child cheered with last, where cheering is on: one small still picture, which asks for nothing.
 * @param {import("../types/wire.js").TableView} view @param {number} seat
 */
export function cheerMark(view, seat) {
  const last = (view.cheers ?? []).filter((cheer) => cheer.seat === seat).at(-1);
  const [, drawing, word] = CHEERS.find(([known]) => known === last?.picture) ?? [];
  return drawing !== undefined && make("span", { class: "mark cheer" }, art(drawing), make("span", { class: "unseen" }, `cheers: ${word}`));
}

/** @param {import("../types/wire.js").TableView} view */
const running = ({ phase }) => phase === "Dealt" || phase === "Playing";

/** @param {number} letters @param {string} word */
const letterMark = (letters, word) => {
  const all = [...word.toUpperCase()];
  return make("span", { class: "word" }, ...all.map((letter, place) => make("span", { class: place < letters ? "has" : "" }, place < letters ? letter : "·")));
};

/**
 * @param {SeatPublic} seat @param {BoardSeat} marks
 * @param {{ table: BoardTable, index: number, trayLimit: number, openSeat: (seat: number) => void }} around
 */
function seatRow(seat, marks, { table, index, trayLimit, openSeat }) {
  const { view } = table;
  const playing = running(view);
  const partner = seat.kind === "Partner";
  const word = wordOf(view.house);
  const full = seat.waiting >= trayLimit;
  const more = make("button", { class: "link", type: "button", "aria-haspopup": "dialog", "aria-label": `more for ${seat.name}`, "data-act": `seat ${index}` }, "more");
  more.addEventListener("click", () => openSeat(index));
  const game = playing || view.phase === "RoundOver";
  const standIn = game && marks.stand_in;
  const out = view.phase !== "Waiting" && !seat.in_play;
  const presence = marks.here ? mark("check", "here", "good")
    : marks.care.on_break ? mark("leaf-plain", "on a break")
    : standIn ? mark("away", "away, helper plays", "warn")
      : game ? mark("away", "away", "warn") : mark("wait", "not here yet");
  return make("li", { class: `seat${partner ? " partner" : ""}${out ? " out" : ""}` },
    make("span", { class: "face" }, picture(seat.picture)),
    make("span", { class: "who" }, make("span", { class: "name" }, seat.name),
      playing && view.dealer === index && make("span", { class: "tag" }, "dealer"),
      table.winners.includes(index) && make("span", { class: "tag good" }, "still in")),
    make("span", { class: "marks" },
      marks.care.help_asked && mark("hand-up", "asks for help", "warn"),
      partner ? mark("helper", "partner") : presence,
      standIn && marks.here && mark("helper", marks.care.on_break ? "helper plays" : marks.care.partner_holds ? "helper plays, by your word" : "helper plays", "warn"),
      marks.here && marks.link && LINKS[marks.link] !== "" && mark("gate", LINKS[marks.link], "warn"),
      out && mark("eye", "watches"),
      seat.shielded && mark("leaf-plain", "shield"),
      playing && full && mark("stack", "tray full", "warn"),
      marks.waiting_s > 0 && !standIn && mark("wait", `waits ${marks.waiting_s} s`, marks.waiting_s >= LONG_WAIT_S ? "warn" : ""),
      marks.false_grabs > 0 && mark("look", `${marks.false_grabs} false ${marks.false_grabs === 1 ? "grab" : "grabs"}`),
      seat.laid_down.length > 0 && mark("fan", "laid down", "good"),
      cheerMark(view, index)),
    make("span", { class: "numbers" },
      playing && make("span", { class: "waiting", title: "cards waiting" }, art("back"), String(seat.waiting)),
      word !== "" && letterMark(seat.letters, word)),
    more);
}

/**
 * @param {BoardTable} table
 * @param {{ trayLimit: number, ownDeck: string, opened: boolean | null, toggle: () => void, say: (says: BoardSays) => void, openRace: () => void, openSeat: (seat: number) => void }} board
 */
export function tableCard(table, { trayLimit, ownDeck, opened, toggle, say, openRace, openSeat }) {
  const { view } = table;
  const can = possible(table);
  const state = view.paused ? "frozen" : PHASES[view.phase];
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
  // With many tables a card shows what she must see from afar and opens to the rest.
  const openButton = () => {
    const one = make("button", { class: "link", type: "button", "aria-expanded": String(opened), "aria-label": `all about ${table.name}`, "data-act": "open" }, opened ? "less" : "open");
    one.addEventListener("click", toggle);
    return one;
  };
  const at = { table: table.table };
  return [
    make("header", {}, make("h2", {}, table.name), make("span", { class: `state ${view.paused ? "paused" : view.phase}` }, state),
      table.bell && make("span", { class: "state bell" }, "last round"),
      view.round > 0 && make("span", { class: "round detail" }, `game ${view.game}, round ${view.round}`),
      opened !== null && openButton()),
    table.attention.length > 0 && make("ul", { class: "attention" }, ...attentionLines(table.attention, view).map((line) => make("li", {}, line))),
    make("p", { class: "deck" }, make("span", { class: "detail" }, table.deck_name), ownDeck !== "" && ownDeck !== table.deck_name && make("span", { class: "tag" }, `next game: ${ownDeck}`), running(view) && make("span", { class: "pace" }, `${table.moves_a_minute} ${table.moves_a_minute === 1 ? "move" : "moves"} a minute`), hasTokens(view.house) && (view.phase === "Dealt" || view.phase === "Playing")
      && make("span", { class: "pebbles", role: "img", "aria-label": `${table.tokens_left} of ${view.tokens} pebbles left` },
        ...Array.from({ length: view.tokens }, (_, place) => make("span", { class: place < table.tokens_left ? "pebble" : "pebble gone" })),
        `${table.tokens_left} of ${view.tokens}`)),
    make("ul", { class: "seats" }, ...view.seats.map((seat, index) => {
      const marks = table.seats[index];
      return marks ? seatRow(seat, marks, { table, index, trayLimit, openSeat }) : null;
    }).filter((row) => row !== null)),
    table.last_race !== "" && make("p", { class: "race detail" }, table.last_race, " ", raceButton()),
    make("footer", { class: "acts" },
      button(can.rematch ? "Rematch" : "Start", can.start, { Start: at }, "button"),
      button("Freeze", can.pause, { Pause: at }), button("Go on", can.resume, { Resume: at }, "button"),
      button("Last round", can.end && !table.bell, { Bell: { ...at, ring: true } }, "button plain detail"), button("Not the last", table.bell, { Bell: { ...at, ring: false } }),
      button("End", can.end, { End: at }, "button plain detail")),
  ];
}
