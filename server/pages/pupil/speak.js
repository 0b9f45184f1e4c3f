/**
 * The loudspeaker: says the sentence that stands on the page, or a picture's word, with voices that
 * live on the device: nothing a child sees may leave it. Absent where no such voice is.
 */
import { part } from "../dom.js";
import { onTap } from "./guard.js";

/** Slower than the browser's own pace, for children. */
const RATE = 0.9;

/** @returns {SpeechSynthesisVoice | undefined} */
function voice() {
  if (!("speechSynthesis" in window)) return undefined;
  const local = speechSynthesis.getVoices().filter((one) => one.localService);
  return local.find((one) => one.lang.startsWith("en")) ?? local[0];
}

/** Says words at once, in place of what is being said. @param {string} text */
export function say(text) {
  const chosen = voice();
  if (!chosen || !text) return;
  const words = new SpeechSynthesisUtterance(text);
  words.voice = chosen;
  words.lang = chosen.lang;
  words.rate = RATE;
  speechSynthesis.cancel();
  speechSynthesis.speak(words);
}

/** What a child would read out of these parts, each a sentence. @param {string} query */
const told = (query) => [...document.querySelectorAll(query)]
  .filter((one) => one instanceof HTMLElement && one.checkVisibility())
  .map((one) => (one.textContent ?? "").trim()).filter((text) => text !== "")
  .map((text) => (/[.!?:]$/.test(text) ? text : `${text}.`)).join(" ");

/** The sentences on the page now: what lies over it, else what it asks or tells. */
export const sentence = () => told("#veil :is(h2, p)") || told("#join :is(h1, p), #moment :is(h1, p), #status");

/**
 * Sets up the buttons, once there is a voice.
 * @param {() => boolean} quiet whether nothing is said now, as in a race
 */
export function setUpSpeaking(quiet) {
  const buttons = [part("speak"), part("speak-page")];
  const look = () => { for (const button of buttons) button.hidden = voice() === undefined; };
  look();
  if ("speechSynthesis" in window) speechSynthesis.addEventListener?.("voiceschanged", look);
  for (const button of buttons) onTap(button, () => { if (!quiet()) say(sentence()); });
}
