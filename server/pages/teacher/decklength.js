/**
 * How long rounds and games with the deck in view will take, in sentences, and a button for a better
 * number of groups. It asks the server, which plays them in simulated time.
 * @import {DeckLength, LengthAsk} from "../types/wire.js"
 */
import { make, part } from "../dom.js";
import { post, Refused } from "../http.js";

/** So long after the last change, in milliseconds, so that a quick series of changes asks once. */
const PAUSE_MS = 700;

/**
 * @param {(groups: number) => void} use plays with another number of groups
 * @returns {(ask: LengthAsk) => void} asks about the deck that came into view
 */
export function setUpLength(use) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */ let later;
  let asked = 0;
  const shown = part("deck-length");
  const minutes = /** @type {HTMLInputElement} */ (part("deck-minutes"));
  /** @type {LengthAsk | null} */ let last = null;
  /** @param {LengthAsk} ask */
  const look = (ask) => {
    last = ask;
    clearTimeout(later);
    const mine = asked += 1;
    shown.replaceChildren();
    later = setTimeout(async () => {
      try {
        const { sentences, groups } = /** @type {DeckLength} */ (await post("/workshop/length", { ...ask, slot_minutes: minutes.checkValidity() && minutes.value !== "" ? Number(minutes.value) : null }));
        if (mine !== asked) return;
        const button = groups !== null && make("button", { class: "button plain", type: "button" }, `Play with ${groups} groups`);
        if (button) button.addEventListener("click", () => use(groups));
        shown.replaceChildren(...sentences.map((sentence) => make("p", {}, sentence)), ...(button ? [button] : []));
      } catch (refused) {
        if (!(refused instanceof Refused)) throw refused;
        // A deck too small for any table says so among its notes.
        if (mine === asked) shown.replaceChildren();
      }
    }, PAUSE_MS);
  };
  minutes.addEventListener("input", () => { if (last) look(last); });
  return look;
}
