/**
 * The keyboard's shortcuts. Letter and number keys can be switched off (WCAG 2.2, 2.1.4); Tab,
 * Enter and the arrows always work. It knows keys and calls what they stand for.
 */
import { part } from "../dom.js";
import { onTap } from "./guard.js";

const KEY = "handround.keys";

/**
 * @param {object} acts
 * @param {(place: number) => void} acts.keep
 * @param {() => void} acts.pass
 * @param {() => void} acts.open
 * @param {(timeStamp: number) => void} acts.token
 * @param {() => void} acts.undo
 * @param {() => void} acts.move
 * @param {() => boolean} acts.ready whether the table is shown and nothing lies over it
 */
export function setUpKeys(acts) {
  const help = /** @type {HTMLDialogElement} */ (part("keys-help"));
  const on = /** @type {HTMLInputElement} */ (part("keys-on"));
  try { on.checked = localStorage.getItem(KEY) !== "off"; } catch { /* Stays on. */ }
  on.addEventListener("change", () => {
    try { localStorage.setItem(KEY, on.checked ? "on" : "off"); } catch { /* Until the page closes. */ }
  });
  onTap(part("keys"), () => help.showModal());

  addEventListener("keydown", (event) => {
    if (event.repeat || event.ctrlKey || event.metaKey || event.altKey || help.open || !acts.ready()) return;
    const key = event.key.toLowerCase();
    if (key === "arrowright") acts.pass();
    else if (key === "arrowup") acts.open();
    else if (!on.checked) return;
    else if (["1", "2", "3", "4"].includes(key)) acts.keep(Number(key) - 1);
    else if (key === "t") acts.token(event.timeStamp);
    else if (key === "u" || key === "backspace") acts.undo();
    else if (key === "m") acts.move();
    else return;
    event.preventDefault();
  });
}
