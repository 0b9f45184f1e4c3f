/**
 * The wall display: the row of pictures and the QR code while the room is open, who sits where, and a
 * race when the teacher shows one.
 * It knows nothing of hands, pace, decks or who is out, and is never sent any of it.
 * @import {WallTable, WallView} from "../types/wire.js"
 */
import { drawingFrom } from "../cards.js";
import { art, make, part, picture, refill, setText } from "../dom.js";
import { Wire } from "../wire.js";
import { Replay } from "./race.js";
import { shows } from "./shows.js";

/** One of a substitute's day ends with it; the classroom's own is on the teacher's board. */
const GONE = "This wall display is not used any more. Open it again from the board.";

const replay = new Replay();

/** @param {WallTable} table */
function tableCard({ name, seats }) {
  return make("article", { class: "wall-table" }, make("h2", {}, name),
    make("ul", {}, ...seats.map(({ name, picture: thing, kind, here }) =>
      make("li", { class: `${kind === "Partner" ? "partner" : ""} ${here ? "here" : ""}` },
        make("span", { class: "portrait" }, picture(thing)), make("span", { class: "name" }, name),
        make("span", { class: "unseen" }, here ? "is here" : "not here yet")))));
}

/** @param {WallView} view */
function render(view) {
  setText(part("wall-name"), view.name);
  document.body.classList.toggle("open", view.open);
  document.body.dataset.tables = view.tables.length > 6 ? "many" : "few";
  part("way-in").hidden = !view.open;
  refill(part("way-in"), JSON.stringify([view.row, view.join_url]), () => [
    make("ol", { class: "row" }, ...view.row.map((name) => make("li", {}, picture(name, name)))),
    make("span", { class: "qr", role: "img", "aria-label": "QR code to join" }, drawingFrom(view.join_qr_svg)),
  ]);
  refill(part("wall-tables"), JSON.stringify(view.tables), () => view.tables.map(tableCard));
  replay.show(view.race);
  void shows(view.shows);
}

const token = /^\/wall\/([0-9a-fA-F]{32})\/?$/.exec(location.pathname)?.[1];
if (token) {
  new Wire({
    credential: { Wall: token },
    onMessage: (message) => { if ("Wall" in message) render(message.Wall); },
    onState: (state) => {
      const words = { open: "", waiting: "", again: "", later: "", elsewhere: "", forget: GONE, over: "The lesson is over.", barred: GONE };
      // What it showed of the way in leads nowhere any more; a page left open must not go on showing names.
      if (state === "forget" || state === "over" || state === "barred") part("way-in").hidden = true;
      if (state === "forget" || state === "barred") part("wall-tables").replaceChildren();
      refill(part("wall-note"), state, () => words[state] ? [art("gate"), words[state]] : []);
    },
  });
} else {
  setText(part("wall-note"), "Open the wall display from the teacher's page.");
}
