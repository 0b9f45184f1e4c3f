/**
 * What the teacher puts on the wall: four cards that match, one of them perhaps turned over, or one step of
 * the model table. It draws what it is sent and never learns whose cards they were.
 * @import {WallModel, WallShows} from "../types/wire.js"
 */
import { Cards } from "../cards.js";
import { art, make, part, picture, refill, setText } from "../dom.js";

const cards = new Cards();
/** The newest wish; an older one whose cards come late is dropped. */
let newest = "";

/** @param {(number | null)[]} four */
const fourCards = (four) => [make("ul", { class: "wall-four" }, ...four.map((face) =>
  make("li", {}, face === null ? make("span", { class: "face turned", role: "img", "aria-label": "a card turned over" }, art("back")) : cards.face(face, "after"))))];

/** @param {WallModel} model */
const modelTable = ({ seats, tokens, draw_pile }) => [
  make("p", { class: "model-middle", role: "img", "aria-label": `${tokens} pebbles in the middle, ${draw_pile} cards on the pile` },
    art("stack"), String(draw_pile), ...Array.from({ length: tokens }, (_, place) => art(`pebble-${(place % 3) + 1}`))),
  make("ul", { class: "model-seats" }, ...seats.map((seat) => make("li", { class: seat.acts ? "acts" : "" },
    make("span", { class: "model-who" }, picture(seat.picture), make("span", {}, seat.name), seat.token && art("pebble-1"), seat.token && make("span", { class: "unseen" }, "has a pebble"),
      seat.waiting > 0 && make("span", {}, `${seat.waiting} waiting`)),
    make("span", { class: "model-hand" }, ...seat.hand.map((face) => cards.face(face, "after"))),
    make("span", { class: "model-new" }, seat.considering !== null && cards.face(seat.considering, "after"))))),
];

/** @param {WallShows} wish */
export async function shows(wish) {
  const key = JSON.stringify(wish);
  if (key === newest) return;
  newest = key;
  const shown = wish.four ?? wish.model;
  if (shown) await cards.load(shown.deck);
  if (key !== newest) return;
  document.body.classList.toggle("showing", shown !== null);
  refill(part("wall-shows"), key, () => wish.four ? fourCards(wish.four.cards) : wish.model ? modelTable(wish.model) : []);
  const hidden = wish.four?.cards.includes(null);
  setText(part("wall-shows-words"), wish.four ? (hidden ? "What is missing? How do you know?" : "These match because \u2026") : wish.model?.words ?? "");
}
