/**
 * Reading the short sentences aloud, with voices that live on the device: nothing a child sees may
 * leave it. Off until the child or the teacher switches it on; absent where no such voice is.
 */
import { part } from "../dom.js";
import { onTap } from "./guard.js";

const KEY = "handround.read";
let reading = false;
let last = "";

/** @returns {SpeechSynthesisVoice | undefined} */
function voice() {
  const local = speechSynthesis.getVoices().filter((one) => one.localService);
  return local.find((one) => one.lang.startsWith("en")) ?? local[0];
}

/** @param {string} text */
function say(text) {
  const chosen = voice();
  if (!chosen || !text) return;
  const words = new SpeechSynthesisUtterance(text);
  words.voice = chosen;
  words.lang = chosen.lang;
  words.rate = 0.9;
  speechSynthesis.cancel();
  speechSynthesis.speak(words);
}

/** Sets up the button, once there is a voice. */
export function setUpReading() {
  if (!("speechSynthesis" in window)) return;
  const button = part("speak");
  const look = () => { button.hidden = voice() === undefined; };
  look();
  speechSynthesis.addEventListener?.("voiceschanged", look);
  try { reading = localStorage.getItem(KEY) === "on"; } catch { /* Stays off. */ }
  button.setAttribute("aria-pressed", String(reading));
  onTap(button, () => {
    reading = !reading;
    button.setAttribute("aria-pressed", String(reading));
    try { localStorage.setItem(KEY, reading ? "on" : "off"); } catch { /* Until the page closes. */ }
    if (reading) say(last);
    else speechSynthesis.cancel();
  });
}

/** Tells the sentence that now stands on the screen. @param {string} text */
export function readAloud(text) {
  if (text === last) return;
  last = text;
  if (reading) say(text);
}

