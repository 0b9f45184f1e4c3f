/**
 * A race replayed calmly: the pebbles lie in the middle, and at one even pace they go to those who
 * took them. It is told no times and says none, nobody is marked who has no pebble, and in the end all
 * pebbles go back. Nothing flashes; with reduced motion nothing glides.
 * @import {WallRace} from "../types/wire.js"
 */
import { art, make, part, picture, setText } from "../dom.js";

/** Between two moments, in milliseconds: time to look at a pebble and a name. */
const MOMENT_MS = 2_500;
/** How long a pebble glides, in milliseconds. */
const GLIDE_MS = 1_600;

/** @param {string[]} names */
const together = (names) => (names.length < 2 ? names.join() : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`);

/** Moves a pebble to another place, and lets it be seen on its way. @param {Element} pebble @param {Element} to */
function glide(pebble, to) {
  const from = pebble.getBoundingClientRect();
  to.append(pebble);
  if (matchMedia("(prefers-reduced-motion: reduce)").matches) return;
  const now = pebble.getBoundingClientRect();
  pebble.animate([{ transform: `translate(${from.x - now.x}px, ${from.y - now.y}px)` }, { transform: "none" }], { duration: GLIDE_MS, easing: "ease-in-out" });
}

export class Replay {
  #number = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #next;

  /** Plays a race that it has not played yet. @param {WallRace | null} race */
  show(race) {
    if (!race || race.number === this.#number) return;
    this.#number = race.number;
    const pebbles = race.moments.flat().map((_, place) => art(`pebble-${(place % 3) + 1}`));
    const middle = make("div", { class: "race-middle" }, ...pebbles);
    const nests = race.seats.map(() => make("span", { class: "race-nest" }));
    part("wall-race").replaceChildren(
      make("h2", {}, `How the pebbles went at ${race.table}`),
      middle,
      make("ul", { class: "race-seats" }, ...race.seats.map((seat, place) =>
        make("li", {}, nests[place], make("span", { class: "portrait" }, picture(seat.picture)), make("span", { class: "name" }, seat.name)))));
    setText(part("wall-race-words"), "Look at the middle.");
    document.body.classList.add("replaying");
    const steps = race.moments.map((seats) => () => {
      for (const seat of seats) {
        const [pebble, nest] = [middle.firstElementChild, nests[seat]];
        if (pebble && nest) glide(pebble, nest);
      }
      const names = seats.map((seat) => race.seats[seat]?.name ?? "");
      setText(part("wall-race-words"), `${together(names)} ${names.length < 2 ? "takes" : "take"} a pebble.`);
    });
    steps.push(() => {
      for (const pebble of pebbles) glide(pebble, middle);
      setText(part("wall-race-words"), "All pebbles go back for the next round.");
    }, () => {
      document.body.classList.remove("replaying");
      part("wall-race").replaceChildren();
      setText(part("wall-race-words"), "");
    });
    this.#play(steps);
  }

  /** @param {(() => void)[]} steps */
  #play(steps) {
    clearTimeout(this.#next);
    const [step, ...later] = steps;
    if (!step) return;
    this.#next = setTimeout(() => { step(); this.#play(later); }, MOMENT_MS);
  }
}
