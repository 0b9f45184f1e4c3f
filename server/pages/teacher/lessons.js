/**
 * The list of lessons and making a new one from a class list. It knows two calls and nothing of
 * tables.
 * @import {LessonId, LessonLine, LessonMade} from "../types/wire.js"
 */
import { art, make, part, setText } from "../dom.js";
import { call, Refused } from "../http.js";

/** @type {File | null} */
let chosen = null;

/** @param {LessonLine[]} lines */
function paintList(lines) {
  part("lesson-list").replaceChildren(...lines.map(({ lesson, name, pupils, tables }) =>
    make("li", {}, make("a", { href: `#${lesson}` }, make("strong", {}, name),
      make("span", {}, `${pupils} ${pupils === 1 ? "child" : "children"}, ${tables} ${tables === 1 ? "table" : "tables"}`), art("right")))));
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

/** @param {(lesson: LessonId) => void} made */
async function submit(made) {
  const name = /** @type {HTMLInputElement} */ (part("new-name")).value.trim();
  const typed = /** @type {HTMLTextAreaElement} */ (part("new-list")).value;
  const ages = /** @type {HTMLInputElement | null} */ (document.querySelector("input[name=new-ages]:checked"))?.value ?? "FiveToSix";
  const error = part("new-error");
  if (name === "") { setText(error, "Give the lesson a name."); part("new-name").focus(); return; }
  if (!chosen && typed.trim() === "") { setText(error, "Choose a class list, or type one."); return; }
  try {
    /** @type {LessonMade} */
    const { lesson } = await call(`/lessons?${new URLSearchParams({ name, ages })}`, {
      method: "POST", headers: { "content-type": "text/csv" }, body: chosen ?? typed,
    });
    choose(null);
    /** @type {HTMLFormElement} */ (part("new-lesson")).reset();
    made(lesson);
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

/** Reads the list of lessons; throws `Refused`. */
export async function loadLessons() {
  paintList(/** @type {LessonLine[]} */ (await call("/lessons")));
}

/** @param {(lesson: LessonId) => void} made */
export function setUpLessons(made) {
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
  part("new-lesson").addEventListener("submit", (event) => { event.preventDefault(); void submit(made); });
}
