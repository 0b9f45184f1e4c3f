/**
 * The quiet side of a child's page: a hand for help and a leaf for a break. Both go to the teacher
 * alone; nothing of them shows at the table.
 * @import {SeatSays, SeatView} from "../types/wire.js"
 */
import { part } from "../dom.js";
import { onTap } from "./guard.js";
import { veil } from "./veil.js";

/** What lies over the page for this view, if anything. @param {SeatView} view @returns {"paused" | "held" | "resting" | null} */
export function coverOf({ table, care }) {
  if (table.paused) return "paused";
  if (care.partner_holds) return "held";
  return care.on_break ? "resting" : null;
}

export class Ask {
  #helpAsked = false;

  /** @param {(says: SeatSays) => void} say */
  constructor(say) {
    this.say = say;
    const dialog = /** @type {HTMLDialogElement} */ (part("ask-dialog"));
    for (const id of ["ask", "ask-moment"]) onTap(part(id), () => dialog.showModal());
    onTap(part("ask-help"), () => { say({ Help: { wanted: !this.#helpAsked } }); dialog.close(); });
    onTap(part("ask-break"), () => { say({ Break: { wanted: true } }); dialog.close(); });
    onTap(part("ask-close"), () => dialog.close());
  }

  /** @param {SeatView} view */
  render(view) {
    this.#helpAsked = view.care.help_asked;
    for (const id of ["ask", "ask-moment", "ask-help"]) part(id).setAttribute("aria-pressed", String(this.#helpAsked));
    const cover = coverOf(view);
    if (cover === "resting") veil("resting", { words: "Play again", act: () => this.say({ Break: { wanted: false } }) });
    else veil(cover);
  }
}
