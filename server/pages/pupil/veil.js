/**
 * What lies over the whole page: the teacher's pause, a broken link, a place that is open elsewhere.
 * It knows sentences and pictures and nothing of why.
 */
import { art, make, part, refill } from "../dom.js";
import { onTap } from "./guard.js";

/** @typedef {"paused" | "held" | "resting" | "away" | "elsewhere" | "over" | "barred"} Reason */

/** @type {Record<Reason, { drawing: string, title: string, text: string }>} */
const SAYS = {
  paused: { drawing: "moon", title: "Pause", text: "Rest your hands. Look up." },
  held: { drawing: "helper", title: "Look and listen", text: "A helper plays your cards." },
  resting: { drawing: "leaf", title: "A break", text: "A helper plays your cards." },
  away: { drawing: "gate", title: "One moment", text: "We are finding the table again." },
  elsewhere: { drawing: "tablets", title: "Your place moved", text: "It is open on another device." },
  over: { drawing: "sprout", title: "All done", text: "The lesson is over. Well played!" },
  barred: { drawing: "gate", title: "Ask your teacher", text: "This page cannot play here." },
};

/** The drawings are loaded with the page: one of them is wanted just when nothing can be loaded. */
const DRAWINGS = new Map([...Object.values(SAYS).map(({ drawing }) => drawing), "fan"].map((drawing) => [drawing, art(drawing)]));

/** All that lies under it, out of reach of keys and readers of the screen as well. */
const UNDER = ["table", "moment", "cheers", "join", "not-me", "ask-moment"];

/** @param {Reason | null} reason @param {{ words: string, act: () => void }} [button] */
export function veil(reason, button) {
  const root = part("veil");
  root.hidden = reason === null;
  for (const id of UNDER) part(id).inert = reason !== null;
  // A dialog would lie over it: eyes on the teacher means nothing else to look at.
  if (reason !== null) for (const open of document.querySelectorAll("dialog[open]")) /** @type {HTMLDialogElement} */ (open).close();
  if (reason === null) { refill(root, "", () => []); return; }
  const { drawing, title, text } = SAYS[reason];
  refill(root, reason, () => {
    const act = button && make("button", { class: "button pictured", type: "button" }, DRAWINGS.get("fan"), make("span", {}, button.words));
    if (act && button) onTap(act, button.act);
    return [make("div", { class: "veil-card" }, DRAWINGS.get(drawing), make("h2", {}, title), make("p", {}, text), act)];
  });
}
