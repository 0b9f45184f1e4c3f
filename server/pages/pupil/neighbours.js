/**
 * The other seats around the table: who they are and how many cards wait for them. It shows only
 * what everybody may see.
 * @import {Cards} from "../cards.js"
 * @import {SeatPublic, SeatView} from "../types/wire.js"
 */
import { art, make, picture, refill } from "../dom.js";
import { around, inRound, passesTo, wordOf } from "../view.js";

/**
 * Letters of the house word as leaves: collected ones filled.
 * @param {string} word
 * @param {number} letters
 */
export function leaves(word, letters) {
  const all = [...word];
  const label = letters > 0 ? `letters: ${all.slice(0, letters).join(" ")}` : "no letters";
  return make("span", { class: "leaves", role: "img", "aria-label": label }, ...all.map((letter, place) =>
    make("span", { class: place < letters ? "leaf has" : "leaf" }, place < letters ? letter.toUpperCase() : "")));
}

/** @param {number} waiting */
export function cardBacks(waiting) {
  return make("span", { class: "backs", role: "img", "aria-label": `${waiting} waiting` },
    ...Array.from({ length: Math.min(waiting, 5) }, () => art("back")),
    waiting > 0 && make("span", { class: "count" }, String(waiting)));
}

/**
 * @param {SeatPublic} seat
 * @param {{ word: string, dealer: boolean, playing: boolean, next: boolean, cards: Cards }} around
 */
function seatCard(seat, { word, dealer, playing, next, cards }) {
  const sign = (/** @type {string} */ drawing, /** @type {string} */ words) =>
    make("span", { class: "sign", title: words }, art(drawing), make("span", { class: "unseen" }, words));
  const laid = seat.laid_down.length > 0;
  return [
    make("span", { class: "portrait" }, picture(seat.picture),
      dealer && sign("dealer", "deals the cards"),
      playing && !seat.cards_pass_by && seat.considering && make("span", { class: "looking" }, sign("eye", "looks at a card"))),
    make("span", { class: "name" }, seat.name),
    make("span", { class: "below" },
      !seat.in_play && sign("eye", "watches this game"),
      playing && seat.in_play && !laid && (seat.cards_pass_by ? sign("cart", "cards on their way") : cardBacks(seat.waiting)),
      laid && make("span", { class: "laid" }, ...seat.laid_down.map((face) => cards.face(face, "during")))),
    word !== "" && leaves(word, seat.letters),
    next && make("span", { class: "unseen" }, "your cards go here"),
  ];
}

/**
 * @param {HTMLElement} root
 * @param {SeatView} view
 * @param {Cards} cards
 */
export function renderNeighbours(root, view, cards) {
  const seats = around(view);
  const next = passesTo(view);
  root.dataset.count = String(seats.length);
  while (root.children.length > seats.length) root.lastElementChild?.remove();
  while (root.children.length < seats.length) root.append(make("div", { class: "neighbour" }));
  seats.forEach((index, place) => {
    const seat = view.table.seats[index];
    const element = root.children[place];
    if (!seat || !(element instanceof HTMLElement)) return;
    element.classList.toggle("watching", !seat.in_play);
    element.classList.toggle("helper", seat.kind === "Partner");
    const around = {
      word: wordOf(view.table.house), dealer: inRound(view) && index === view.table.dealer,
      playing: inRound(view), next: index === next, cards,
    };
    refill(element, JSON.stringify([seat, { ...around, cards: cards.deck }]), () => seatCard(seat, around));
  });
}
