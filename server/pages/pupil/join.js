/**
 * Joining without typing: four pictures in a row, or the teacher's link, then the own name. It
 * knows the three join calls and hands a place over; it knows nothing of tables.
 * @import {JoinPlace, JoinPlaces, Joined, Picture} from "../types/wire.js"
 */
import { art, make, part, picture, refill, show } from "../dom.js";
import { post, Refused } from "../http.js";
import { PANELS, endWaiting, throughTheDoor } from "./door.js";
import { onTap } from "./guard.js";

/** The pictures that a row is made of: `ROW_THINGS` in `protocol/src/picture.rs`, in its order.
 *  @type {readonly Picture[]} */
export const ROW_THINGS = [
  "apple", "ball", "boat", "book", "carrot", "clock", "flower", "house",
  "key", "leaf", "moon", "shoe", "star", "sun", "tree", "umbrella",
];
const ROW_PICTURES = 4;

/** @type {Picture[]} */
let row = [];
/** How to ask for the places again, after somebody else took one. @type {() => Promise<JoinPlaces>} */
let ask;
let busy = false;
/** What a choice among the places that show is asked with. */ let ticket = "";
/** The secret of this tablet, if it is one of the cart's. @type {string | null} */ let tablet = null;
/** @type {(place: Joined) => void} */
let joined;

/** A sentence with a picture beside it, for those who do not read yet. @param {string} text */
function note(text) {
  refill(part("join-note"), text, () => (text === "" ? [] : [art("look"), make("span", {}, text)]));
}

/** @param {unknown} error */
function explain(error) {
  note(error instanceof Refused ? error.message : "That did not work. Try again.");
  if (!(error instanceof Refused)) throw error;
}

function paintRow() {
  part("join-slots").replaceChildren(...Array.from({ length: ROW_PICTURES }, (_, place) => {
    const name = row[place];
    const slot = make("li", { class: "slot" });
    if (!name) { slot.append(make("span", { class: "unseen" }, `place ${place + 1}, empty`)); return slot; }
    const button = make("button", { type: "button", "aria-label": `${name}, take back` }, picture(name));
    onTap(button, () => { if (!busy) { row.splice(place, 1); note(""); paintRow(); } });
    slot.append(button);
    return slot;
  }));
}

/** @param {Picture} name */
async function tapped(name) {
  if (busy || row.length >= ROW_PICTURES) return;
  row.push(name);
  note("");
  paintRow();
  if (row.length < ROW_PICTURES) return;
  const wanted = [...row];
  busy = true;
  ask = () => post("/join/row", { row: wanted });
  try {
    paintPlaces(await ask());
  } catch (error) {
    row = [];
    paintRow();
    explain(error);
  } finally { busy = false; }
}

/** @param {JoinPlaces} places */
function paintPlaces({ ticket: fresh, places }) {
  ticket = fresh;
  endWaiting();
  show("join-places", PANELS);
  note("");
  // A class that fits on one screen needs nobody to scroll for the own picture.
  part("join-tiles").dataset.count = places.length > 12 ? "many" : "few";
  // The same places once more leave the one under a finger where it is.
  refill(part("join-tiles"), JSON.stringify(places), () => places.map((place) => {
    const tile = make("button", { class: place.taken ? "tile taken" : "tile", type: "button" },
      picture(place.picture), make("span", { class: "name" }, place.name),
      place.taken && make("span", { class: "mark" }, art("check"), make("span", { class: "unseen" }, "is here already; the teacher is asked")));
    onTap(tile, () => void pick(place));
    return tile;
  }));
}

/** @param {JoinPlace} place */
async function pick(place) {
  if (busy) return;
  busy = true;
  try {
    const found = await throughTheDoor(await post("/join/ask", { ticket, pupil: place.pupil, tablet }), backToPlaces);
    if (found) joined(found);
  } catch (error) {
    explain(error);
    const message = part("join-note").textContent ?? "";
    // Somebody was quicker, or the ticket is old: show the places as they are now.
    await ask().then((places) => { paintPlaces(places); note(message); }, startRow);
  } finally { busy = false; }
}

/** From waiting for the teacher's answer. */
function backToPlaces() {
  busy = false;
  void ask().then(paintPlaces, startRow);
}

function startRow() {
  endWaiting();
  row = [];
  paintRow();
  show("join-row", PANELS);
}

/** The code in an address such as /j/CODE, else `null`. @param {string} path */
export function codeIn(path) {
  return /^\/j\/([0-9a-fA-F]{32})\/?$/.exec(path)?.[1] ?? null;
}

/**
 * Shows the way in and calls back with the place.
 * @param {(place: Joined) => void} onJoined
 * @param {string} [message] @param {string | null} [ownTablet]
 */
export async function startJoin(onJoined, message = "", ownTablet = null) {
  joined = onJoined;
  tablet = ownTablet;
  busy = false;
  show("join", ["join", "table", "moment"]);
  if (part("join-grid").childElementCount === 0) {
    part("join-grid").replaceChildren(...ROW_THINGS.map((name) => {
      const button = make("button", { class: "thing", type: "button", "aria-label": name }, picture(name));
      onTap(button, () => void tapped(name));
      return button;
    }));
    onTap(part("join-back"), () => { note(""); startRow(); });
  }
  const code = codeIn(location.pathname);
  if (code === null) { startRow(); note(message); return; }
  ask = () => post("/join/link", { code });
  try {
    paintPlaces(await ask());
  } catch (error) {
    startRow();
    explain(error);
  }
}
