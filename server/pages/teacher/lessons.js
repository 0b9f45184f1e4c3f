/**
 * The list of lessons and making a new one from a class list, at once or with a look at the groups
 * first. It knows three calls and nothing of tables.
 * @import {ClassId, ClassTold, LessonId, LessonLine, LessonMade} from "../types/wire.js"
 */
import { art, make, part, setText } from "../dom.js";
import { call, Refused } from "../http.js";

/** @type {File | null} */
let chosen = null;

/** Such as `27 November, 9:05`: a class may have two lessons on one day. @param {number} micros since 1970 */
function moment(micros) {
  const at = new Date(micros / 1_000);
  return `${at.toLocaleDateString("en-GB", { day: "numeric", month: "long" })}, ${at.getHours()}:${String(at.getMinutes()).padStart(2, "0")}`;
}

/** @param {LessonLine[]} lines */
function paintList(lines) {
  part("lesson-list").replaceChildren(...lines.map(({ lesson, name, made_at, pupils, tables }) =>
    make("li", {}, make("a", { href: `#${lesson}` }, make("strong", {}, name),
      make("span", {}, `${pupils} ${pupils === 1 ? "child" : "children"}, ${tables} ${tables === 1 ? "table" : "tables"}, made on ${moment(made_at)}`), art("right")))));
  if (lines.length === 0) part("lesson-list").append(make("li", { class: "none" }, "None yet. Make the first one below."));
}

/** @param {File | null} file */
function choose(file) {
  chosen = file;
  const label = part("drop").querySelector("label");
  if (label) setText(label, file ? file.name : "Choose a class list file");
  part("drop").classList.toggle("chosen", file !== null);
  setText(part("new-error"), "");
}

/**
 * Sends the name and the list on, and shows what is wrong with them.
 * @param {(name: string, list: File | string, ages: string) => Promise<void>} send
 */
async function submit(send) {
  const name = /** @type {HTMLInputElement} */ (part("new-name")).value.trim();
  const typed = /** @type {HTMLTextAreaElement} */ (part("new-list")).value;
  const ages = /** @type {HTMLInputElement | null} */ (document.querySelector("input[name=new-ages]:checked"))?.value ?? "FiveToSix";
  const error = part("new-error");
  if (name === "") { setText(error, "Give the lesson a name."); part("new-name").focus(); return; }
  if (!chosen && typed.trim() === "") { setText(error, "Choose a class list, or type one."); return; }
  try {
    await send(name, chosen ?? typed, ages);
    choose(null);
    /** @type {HTMLFormElement} */ (part("new-lesson")).reset();
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    const named = refused.line === null || refused.message.toLowerCase().includes(`line ${refused.line}`);
    setText(error, named ? refused.message : `Line ${refused.line}: ${refused.message}`);
    if (refused.line !== null && !chosen) selectLine(refused.line);
  }
}

/** Shows the line in the typed list. @param {number} line counted from 1 */
function selectLine(line) {
  const box = /** @type {HTMLTextAreaElement} */ (part("new-list"));
  const lines = box.value.split("\n");
  const start = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  box.focus();
  box.setSelectionRange(start, start + (lines[line - 1]?.length ?? 0));
}

/** Reads the list of lessons and says how many there are; throws `Refused`. */
export async function loadLessons() {
  const lines = /** @type {LessonLine[]} */ (await call("/lessons"));
  paintList(lines);
  return lines.length;
}

/** @param {string} path @param {File | string} list */
const send = (path, list) => call(path, { method: "POST", headers: { "content-type": "text/csv" }, body: list });

/** @param {(lesson: LessonId) => void} made @param {(kept: ClassId) => void} keptFirst for a look at the groups */
export function setUpLessons(made, keptFirst) {
  const input = /** @type {HTMLInputElement} */ (part("new-file"));
  input.addEventListener("change", () => choose(input.files?.[0] ?? null));
  const drop = part("drop");
  for (const kind of ["dragenter", "dragover"]) {
    drop.addEventListener(kind, (event) => { event.preventDefault(); drop.classList.add("over"); });
  }
  drop.addEventListener("dragleave", () => drop.classList.remove("over"));
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    choose(event.dataTransfer?.files[0] ?? null);
  });
  part("new-lesson").addEventListener("submit", (event) => {
    event.preventDefault();
    void submit(async (name, list, ages) => {
      made(/** @type {LessonMade} */ (await send(`/lessons?${new URLSearchParams({ name, ages })}`, list)).lesson);
    });
  });
  part("new-groups").addEventListener("click", () => void submit(async (name, list, ages) => {
    // The groups' page makes the lesson: the ages that she chose here go with her.
    /** @type {HTMLInputElement} */ (document.querySelector(`input[name=groups-ages][value=${ages}]`)).checked = true;
    keptFirst(/** @type {ClassTold} */ (await send(`/classes?${new URLSearchParams({ name })}`, list)).class);
  }));
}
