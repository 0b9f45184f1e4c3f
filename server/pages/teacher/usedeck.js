/**
 * Taking the deck in view to a lesson: for the next game of all tables or of one. It knows the tables'
 * names and no cards.
 * @import {BoardView, DeckPlan} from "../types/wire.js"
 */
import { make, part, refill, setText } from "../dom.js";
import { post, Refused } from "../http.js";

/**
 * @param {() => DeckPlan} shown the deck in view
 * @returns {(lesson: string | null, view: BoardView | null) => void} tells which lesson there is
 */
export function setUpUse(shown) {
  /** @type {string | null} */ let lesson = null;
  const where = /** @type {HTMLSelectElement} */ (part("deck-where"));
  const use = async (/** @type {DeckPlan | null} */ deck) => {
    const table = where.value || null;
    const at = table === null ? "every table" : where.selectedOptions[0]?.textContent ?? "that table";
    try {
      await post(`/lessons/${lesson}/deck`, { table, deck });
      setText(part("deck-use-error"), "");
      setText(part("deck-said"), deck ? `The next game at ${at} is played with these cards.` : `The next game at ${at} is played with the lesson's cards.`);
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(part("deck-use-error"), refused.message);
    }
  };
  part("deck-use").addEventListener("submit", (event) => { event.preventDefault(); void use(shown()); });
  part("deck-unuse").addEventListener("click", () => void use(null));
  /** @type {BoardView | null} */ let board = null;
  const look = () => { part("deck-unuse").hidden = !board?.table_decks.some((own) => own.table === where.value); };
  where.addEventListener("change", look);
  return (now, view) => {
    lesson = now;
    board = view;
    part("deck-use").hidden = lesson === null;
    if (!view) return;
    setText(part("deck-next"), [`${view.name}: the next game is played with ${view.next_deck}`, ...view.table_decks.map((own) =>
      `${view.tables.find((table) => table.table === own.table)?.name ?? "a table"} with ${own.name}`)].join(", ") + ".");
    const tables = [...view.tables].map(({ table, name }) => ({ table, name })).sort((one, other) => one.name.localeCompare(other.name, "en", { numeric: true }));
    const before = where.value;
    refill(where, JSON.stringify(tables), () => [make("option", { value: "" }, "all tables"), ...tables.map(({ table, name }) => make("option", { value: table }, name))]);
    if (tables.some((one) => one.table === before)) where.value = before;
    look();
  };
}
