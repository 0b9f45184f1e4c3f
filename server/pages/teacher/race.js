/**
 * The last race of one table in a dialog: the sentence, the picture, and the picture in words. It asks
 * the server and draws what it says; it computes no times. From here it goes to the wall display, too.
 * @import {BoardSays, BoardTable, RaceTold} from "../types/wire.js"
 */
import { drawingFrom } from "../cards.js";
import { make, part } from "../dom.js";
import { Refused, call } from "../http.js";

/** Sets the dialog up; answers with what opens it. @param {(says: BoardSays) => void} say */
export function setUpRace(say) {
  const dialog = /** @type {HTMLDialogElement} */ (part("race"));
  const title = make("h2", { id: "race-title" });
  const told = make("div", { class: "race-told" });
  dialog.append(title, told, make("form", { method: "dialog", class: "acts" }, make("button", { class: "button" }, "Close")));
  /** @param {BoardTable} table */
  const toWall = ({ table }) => {
    const show = make("button", { class: "button plain", type: "button" }, "Show it on the wall, slowly");
    const shown = make("p", { role: "status" });
    show.addEventListener("click", () => {
      say({ ShowRace: { table } });
      shown.textContent = "The wall display plays it now, without times and without the child that was last.";
    });
    return [show, shown];
  };
  /** @param {string} lesson @param {BoardTable} table */
  return async (lesson, table) => {
    title.textContent = `The last race at ${table.name}`;
    told.replaceChildren(make("p", { role: "status" }, "Looking it up …"));
    dialog.showModal();
    try {
      /** @type {RaceTold} */
      const race = await call(`/lessons/${lesson}/tables/${table.table}/race`);
      told.replaceChildren(
        make("p", {}, race.sentence),
        // The list below says the same, so that the drawing need not be read out.
        make("figure", { class: "race-picture", "aria-hidden": "true" }, drawingFrom(race.picture_svg)),
        make("ol", {}, ...race.lines.map((line) => make("li", {}, line))),
        ...(race.can_replay ? toWall(table) : [make("p", {}, "This race does not count, so the wall does not show it.")]));
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      told.replaceChildren(make("p", { class: "error", role: "alert" }, refused.message));
    }
  };
}
