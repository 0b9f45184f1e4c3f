/**
 * What the teacher puts on the wall display: four cards of a deck, the four of a table's last round, the
 * model table. It says her wishes and shows what the wall shows; it never asks whose cards they were.
 * @import {BoardSays, BoardView, WallSays} from "../types/wire.js"
 */
import { Cards } from "../cards.js";
import { make, part, refill } from "../dom.js";

/** Sets the fold up; answers with what draws it. @param {(says: BoardSays) => void} say */
export function setUpOnWall(say) {
  const cards = new Cards();
  let wanted = "";
  const wall = (/** @type {WallSays} */ says) => say({ Wall: says });
  const button = (/** @type {string} */ words, /** @type {WallSays} */ says, css = "button plain") => {
    const one = make("button", { class: css, type: "button" }, words);
    one.addEventListener("click", () => wall(says));
    return one;
  };
  /** The groups of a deck, each by its first card. @param {string} deck */
  const choose = async (deck) => {
    wanted = deck;
    await cards.load(deck);
    if (wanted !== deck) return;
    /** @type {Map<number, number[]>} */ const groups = new Map();
    for (let face = 0, group = cards.group(0); group !== undefined; face += 1, group = cards.group(face)) groups.set(group, [...groups.get(group) ?? [], face]);
    refill(part("wall-groups"), deck, () => [...groups.values()].filter((faces) => faces.length >= 4).map((faces) => {
      const four = faces.slice(0, 4);
      const one = make("button", { class: "wall-group", type: "button", "aria-label": `Four cards on the wall: ${four.map((face) => cards.labelAfter(face)).join(", ")}` }, ...four.map((face) => cards.face(face, "after")));
      one.addEventListener("click", () => wall({ Four: { deck, faces: four } }));
      return one;
    }));
  };
  const fold = /** @type {HTMLDetailsElement} */ (part("on-wall"));
  /** @type {BoardView | null} */ let view = null;
  const look = () => { const deck = view?.tables[0]?.deck; if (fold.open && deck) void choose(deck); };
  fold.addEventListener("toggle", look);
  return (/** @type {BoardView} */ board) => {
    view = board;
    look();
    const { four, model } = board.wall_shows;
    const tables = board.tables.map(({ table, name }) => ({ table, name }));
    refill(part("on-wall-acts"), JSON.stringify([four, model, tables]), () => [
      four && button("Show all four", "ShowAll"),
      ...(four ? four.cards.map((_, place) => button(`Hide card ${place + 1}`, { Hide: { place } })) : []),
      model && make("p", {}, `Step ${model.step} of ${model.steps}: ${model.words}`),
      model && button("Next step", "ModelNext", "button"), model && button("Back to the start", "ModelBack"),
      (four || model) && button("Take it off the wall", "TakeOff"),
      !model && button("Model table", "ModelOpen"),
      ...(model ? [] : tables.map(({ table, name }) => button(`Last four of ${name}`, { LastFour: { table } }))),
    ]);
  };
}
