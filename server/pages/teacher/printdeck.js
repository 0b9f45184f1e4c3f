/**
 * A deck on paper: asks for the PDF and hands it to the browser. It knows paper and nothing of cards.
 * @import {DeckPlan} from "../types/wire.js"
 */
import { make, part, setText } from "../dom.js";
import { Refused, post } from "../http.js";

const input = (/** @type {string} */ id) => /** @type {HTMLInputElement} */ (part(id));

/** @param {() => { deck: DeckPlan, draw: number, lesson: string | null }} shown what is in view */
export function setUpPrint(shown) {
  /** @type {string | null} */ let last = null;
  part("deck-print").addEventListener("submit", async (event) => {
    event.preventDefault();
    const said = part("deck-print-said");
    said.replaceChildren("The sheets are being drawn …");
    const letters = input("print-letters").value.trim();
    const ask = { ...shown(), a4: input("print-a4").checked, backs: input("print-backs").checked, letters: letters === "" ? null : letters, seats: Math.round(Number(input("print-seats").value)) || 4 };
    try {
      const pdf = /** @type {Blob} */ (await post("/workshop/print", ask, "blob"));
      if (last) URL.revokeObjectURL(last);
      last = URL.createObjectURL(pdf);
      const link = make("a", { href: last, download: "handround-deck.pdf" }, "Save the sheets again");
      said.replaceChildren("The sheets are ready. Print them at actual size (100 %). ", link);
      link.click();
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(said, refused.message);
    }
  });
}
