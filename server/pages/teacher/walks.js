/**
 * Children without a seat and children who come late. It draws two short forms and says the wishes.
 * @import {BoardSays, BoardView} from "../types/wire.js"
 */
import { make, part, picture, refill } from "../dom.js";

/** @param {(says: BoardSays) => void} say */
export function setUpWalks(say) {
  const name = /** @type {HTMLInputElement} */ (part("late-name"));
  const where = /** @type {HTMLSelectElement} */ (part("late-table"));
  part("late-form").addEventListener("submit", (event) => {
    event.preventDefault();
    if (name.value.trim() === "" || where.value === "") return;
    say({ AddPupil: { name: name.value, table: where.value } });
    name.value = "";
  });
  /** @param {BoardView} view */
  return (view) => {
    const options = (/** @type {string | null} */ best) => view.tables.map((table) => make("option", { value: table.table, selected: table.table === best }, table.name));
    // The table where a late-comer disturbs least, unless she chose one for the name that she is writing.
    const kept = name.value.trim() === "" ? "" : where.value;
    refill(where, JSON.stringify([view.tables.map((table) => table.name), view.late_table]), () => options(view.late_table));
    if (kept) where.value = kept;
    const children = [...view.unseated.map((child) => ({ ...child, words: "" })), ...view.alone.map((child) => ({ ...child, words: " plays with helpers alone:" }))];
    refill(part("unseated"), JSON.stringify([children, view.moving, view.tables.map((table) => table.name)]), () => children.map((child) => {
      const moving = view.moving.some((one) => one.pupil === child.pupil);
      const choice = make("select", { "aria-label": `where ${child.name} sits` }, ...options(child.best));
      const sit = make("button", { class: "button plain", type: "button", "aria-label": `let ${child.name} sit there` }, "Sit there");
      sit.addEventListener("click", () => say({ MovePupil: { pupil: child.pupil, table: choice.value } }));
      return make("li", { class: "line" }, make("span", { class: "face" }, picture(child.picture)), `${child.name}${child.words}`, ...(moving ? [" gets a seat after the round"] : [choice, sit]));
    }));
  };
}
