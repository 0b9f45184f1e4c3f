/**
 * The calm moments between rounds: waiting for the game, the four cards that started the race, the
 * end of the game. It names who was last kindly and ranks nobody.
 * @import {Cards} from "../cards.js"
 * @import {RoundEnd, SeatPublic, SeatView} from "../types/wire.js"
 */
import { art, make, picture, refill } from "../dom.js";
import { own, wordOf } from "../view.js";
import { leaves } from "./neighbours.js";

/** @param {SeatPublic} seat @param {string} [extra] */
const person = (seat, extra = "") =>
  make("span", { class: `person ${extra}` }, picture(seat.picture), make("span", { class: "name" }, seat.name));

/**
 * How the round ended, as sentences of at most seven words; the first is read aloud.
 * @param {RoundEnd} end
 * @param {SeatView} view
 * @returns {string[]}
 */
export function endSentences(end, view) {
  if (end === "AllLaidDown") return ["Everyone found four that match."];
  if ("Void" in end) {
    switch (end.Void.reason) {
      case "LinkLost": return ["A device was away.", "We deal again."];
      case "Restarted": return ["The game had to begin again.", "We deal again."];
      case "Unattended": return ["The cards went round and round.", "We deal again."];
      case "Stopped": return ["This round stopped here."];
      case "Frozen": return ["This round stopped here.", "We deal again."];
    }
  }
  const { seat, letters, out, shielded } = end.Last;
  const you = seat === view.you;
  const name = view.table.seats[seat]?.name ?? "Someone";
  const word = wordOf(view.table.house);
  const sentences = [you ? "You were last this time." : `${name} was last this time.`];
  if (shielded) sentences.push(you ? "You stay in the game." : `${name} stays in the game.`);
  else if (out) sentences.push(you ? "You watch until the next game." : `${name} watches until the next game.`);
  else if (word !== "" && letters > 0) {
    const letter = ([...word][letters - 1] ?? "").toUpperCase();
    sentences.push(you ? `You get the letter ${letter}.` : `${name} gets the letter ${letter}.`);
  } else sentences.push("Everyone plays on.");
  return sentences;
}

/** @param {SeatView} view @param {Cards} cards */
function roundOver(view, cards) {
  const { ruling } = view;
  if (!ruling) return { title: "The round is over.", children: [art("leaf")] };
  const [title = "", ...rest] = endSentences(ruling.end, view);
  const last = typeof ruling.end === "object" && "Last" in ruling.end ? view.table.seats[ruling.end.Last.seat] : null;
  const word = wordOf(view.table.house);
  return {
    title,
    children: [
      ruling.four.length > 0 && make("div", { class: "four" }, ...ruling.four.map((face) => make("span", { class: "card" }, cards.face(face, "after")))),
      ruling.four.length > 0 && make("p", { class: "caption" }, "These four match."),
      make("div", { class: "said" }, last ? person(last) : art("leaf"), make("div", {},
        make("h1", {}, title), ...rest.map((sentence) => make("p", {}, sentence)),
        last && word !== "" && leaves(word, last.letters))),
      ruling.next_deal_ms > 0 && make("p", { class: "coming" }, art("cart"), "New cards are coming."),
    ],
  };
}

/** @param {SeatView} view @param {Cards} cards */
function gameOver(view, cards) {
  const { table, ruling } = view;
  const winners = (ruling?.winners ?? []).flatMap((seat) => table.seats[seat] ?? []);
  const everyone = winners.length === 0 || winners.length === table.seats.length;
  const title = everyone ? "You all finished the game!" : winners.length === 1
    ? (winners[0] === own(view) ? "You are the last one in!" : `${winners[0]?.name} is the last one in!`)
    : "These are still in!";
  const shown = everyone ? table.seats : winners;
  return {
    title,
    children: [
      make("div", { class: "flowers" }, ...shown.map((seat, place) =>
        make("span", { class: "bloom" }, art(place % 2 ? "flower-2" : "flower"), person(seat)))),
      make("h1", {}, title),
      ruling && ruling.four.length > 0 && make("div", { class: "four small" }, ...ruling.four.map((face) => make("span", { class: "card" }, cards.face(face, "after")))),
      make("p", { class: "coming" }, art("can"), "Next game, everyone plays again."),
    ],
  };
}

/** @param {SeatView} view */
function waiting(view) {
  const { table, you } = view;
  return {
    title: "The game begins soon.",
    children: [
      art("can"),
      make("h1", {}, "The game begins soon."),
      make("p", {}, "This is your table:"),
      make("div", { class: "people" }, ...table.seats.map((seat, index) => person(seat, index === you ? "you" : ""))),
    ],
  };
}

/**
 * Draws the moment that the phase asks for; returns its first sentence, for reading aloud.
 * @param {HTMLElement} root
 * @param {SeatView} view
 * @param {Cards} cards
 */
export function renderMoment(root, view, cards) {
  const { table, ruling } = view;
  const moment = table.phase === "GameOver" ? gameOver(view, cards) : table.phase === "RoundOver" ? roundOver(view, cards) : waiting(view);
  root.dataset.phase = table.phase;
  // Cheers have a place of their own: nothing here is drawn anew for them.
  refill(root, JSON.stringify([{ ...table, cheers: null }, ruling, cards.deck]), () => moment.children);
  return moment.title;
}
