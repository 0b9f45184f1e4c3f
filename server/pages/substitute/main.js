/**
 * A substitute's page: the prepared lesson for one day. It draws a `SubstituteView`, asks who waits at
 * the door and what still fits into the slot, and says its few wishes. The code stands behind the address's `#` and is sent in bodies alone.
 * @import {SubstituteDoor, SubstituteSays, SubstituteView} from "../types/wire.js"
 */
import { make, part, picture, refill, setText, show } from "../dom.js";
import { post, Refused } from "../http.js";
import { waitingWords } from "../teacher/door.js";
import { setUpSlot } from "../teacher/slot.js";
import { wayIn } from "../teacher/wayin.js";
import { attentionWords, planWords, possible, refusalWords } from "../teacher/words.js";
import { Wire } from "../wire.js";
import { tableCard } from "./tablecard.js";

const PANELS = ["closed", "today"];
/** Between two looks at the door, in milliseconds. */
const DOOR_MS = 1_500;
/** How long a refusal stays, in milliseconds: long enough to look up from a class. */
const NOTE_MS = 8_000;

/** @type {Wire | null} */ let wire = null;
/** @type {ReturnType<typeof setTimeout> | undefined} */ let noteEnds;
let over = false;
const code = /^#([0-9a-f]{32})$/i.exec(location.hash)?.[1];

/** @param {string} words */
function note(words) {
  setText(part("today-note"), words);
  clearTimeout(noteEnds);
  noteEnds = setTimeout(() => setText(part("today-note"), ""), NOTE_MS);
}

/** @param {SubstituteSays} says */
const say = (says) => { if (wire?.substitute(says) === null) note("Not sent: the link is down. It comes back by itself."); };

/** @param {string} words */
function closed(words) {
  setText(part("closed-words"), words);
  show("closed", PANELS);
}

/** @param {string} words @param {() => void} act @param {boolean} on @param {string} [css] */
function button(words, act, on, css = "button plain") {
  const one = make("button", { class: css, type: "button" }, words);
  one.disabled = !on;
  one.addEventListener("click", act);
  return one;
}

/** @param {SubstituteView} view */
function acts(view) {
  const can = view.tables.map(possible);
  const bell = view.tables.some((table) => table.bell);
  const [start, freeze, goOn, ring] = [can.some((one) => one.start), can.some((one) => one.pause), can.some((one) => one.resume), can.some((one) => one.end)];
  const all = { table: null };
  refill(part("today-acts"), JSON.stringify([start, freeze, goOn, ring, bell]), () => [
    button("Start all", () => say({ Start: all }), start, "button"),
    button("Freeze all", () => say({ Freeze: all }), freeze),
    button("All go on", () => say({ GoOn: all }), goOn),
    button(bell ? "Take the bell back" : "Ring the bell: last round", () => say({ Bell: { ...all, ring: !bell } }), bell || ring),
  ]);
}

/** @param {SubstituteView} view */
function entrance(view) {
  refill(part("today-entrance"), JSON.stringify([view.open, view.row, view.join_url, view.wall_url]), () => wayIn(view, say));
}

const slot = setUpSlot({
  shown: () => !over && !part("today").hidden,
  look: () => post("/substitute/slot", { code, choose: null }),
  choose: (_, minutes) => post("/substitute/slot", { code, choose: { minutes } }),
});

/** @param {SubstituteView} view */
function render(view) {
  show("today", PANELS);
  document.title = `${view.name}: Handround`;
  setText(part("today-name"), view.name);
  setText(part("today-plan"), planWords(view.plan, view.next_deck));
  acts(view);
  entrance(view);
  // The link names the one lesson that there is here.
  slot({ lesson: "today", tables: view.tables });
  const root = part("today-tables");
  view.tables.forEach((table, place) => {
    const card = /** @type {HTMLElement | undefined} */ (root.children[place]) ?? root.appendChild(make("article", { class: "table-card", "aria-label": table.name }));
    const act = card.contains(document.activeElement) ? /** @type {HTMLElement} */ (document.activeElement).dataset.act : undefined;
    refill(card, JSON.stringify(table), () => tableCard(table, say));
    // A card that changes a few times a second must not throw the keyboard's place away.
    if (act && !card.contains(document.activeElement)) /** @type {HTMLElement | null} */ (card.querySelector(`[data-act="${act}"]`))?.focus();
  });
  setText(part("today-asks"), view.tables.flatMap((table) => table.attention.filter((reason) => "HelpAsked" in reason)
    .map((reason) => `${table.name}: ${attentionWords(reason, table.view)}.`)).join(" "));
}

/** @param {SubstituteDoor} door */
function paintDoor({ waiting }) {
  const answer = (/** @type {number} */ number, /** @type {boolean} */ admit) => () => void askDoor({ number, admit });
  refill(part("today-waiting"), JSON.stringify(waiting), () => waiting.map((one) => make("li", {},
    picture(one.picture), make("span", {}, waitingWords(one)),
    button("Let in", answer(one.number, true), true, "button"), button("No", answer(one.number, false), true))));
}

/** @param {{ number: number, admit: boolean } | null} answer @returns {Promise<boolean>} whether the link is good */
async function askDoor(answer) {
  try {
    paintDoor(await post("/substitute/door", { code, answer }));
    return true;
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    if (over) return false;
    if (refused.status === 410) closed(refused.message);
    else if (answer) note(refused.message);
    return refused.status !== 410;
  }
}

function open() {
  wire = new Wire({
    credential: { Substitute: String(code) },
    onMessage: (message) => {
      if ("Substitute" in message) render(message.Substitute);
      else if ("Refused" in message) note(refusalWords(message.Refused.refusal));
    },
    onState: (state) => {
      setText(part("link-state"), state === "waiting" ? "Finding the program again …" : "");
      if (state === "over") { over = true; closed("The lesson has ended."); }
      if (state === "forget" || state === "barred") closed("This link is not used any more. Ask at the school's office.");
    },
  });
}

async function watchDoor() {
  if (over) return;
  if (document.hidden || await askDoor(null)) setTimeout(() => void watchDoor(), DOOR_MS);
  else wire?.end();
}

/** The door is asked first: a socket that is refused could not say why. */
async function begin() {
  try {
    await post("/substitute/door", { code, answer: null });
    open();
    void watchDoor();
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    closed(refused.message);
  }
}

if (code) void begin();
else closed("Open this page by the link or the code on the sheet that the teacher left.");
