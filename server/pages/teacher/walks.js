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
    const options = () => view.tables.map((table) => make("option", { value: table.table }, table.name));
    const tables = view.tables.map((table) => table.name).join();
    const kept = where.value;
    refill(where, tables, options);
    if (kept) where.value = kept;
    refill(part("unseated"), JSON.stringify([view.unseated, view.moving, tables]), () => view.unseated.map((child) => {
      const moving = view.moving.some((one) => one.pupil === child.pupil);
      const choice = make("select", { "aria-label": `where ${child.name} sits` }, ...options());
      const sit = make("button", { class: "button plain", type: "button", "aria-label": `let ${child.name} sit there` }, "Sit there");
      sit.addEventListener("click", () => say({ MovePupil: { pupil: child.pupil, table: choice.value } }));
      return make("li", { class: "line" }, make("span", { class: "face" }, picture(child.picture)), child.name, ...(moving ? [" gets a seat after the round"] : [choice, sit]));
    }));
  };
}
