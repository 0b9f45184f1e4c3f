/**
 * The classes that the server keeps: until when, their list as a file, another list, pictures,
 * deleting. It knows nothing of groups beyond the address of their page.
 * @import {ClassLine, ClassTold, Picture} from "../types/wire.js"
 */
import { make, part, picture, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

/** What a pupil can be, by the name of its drawing. @type {readonly Picture[]} */
const THINGS = [
  "apple", "ball", "bell", "boat", "book", "boot", "bowl", "bread", "broom", "brush", "bucket", "button", "carrot",
  "chair", "clock", "cup", "drum", "egg", "flag", "flower", "fork", "glove", "hat", "house", "key", "kite", "ladder",
  "lamp", "leaf", "lemon", "moon", "mug", "pear", "pencil", "plum", "ring", "rope", "scarf", "shell", "shoe", "sock",
  "spoon", "star", "sun", "table", "tent", "train", "tree", "umbrella", "wheel",
];

/** Such as `24 February 2027`. @param {number} micros since 1970 */
const day = (micros) => new Date(micros / 1_000).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });

/** Does what may be refused, and says so if it is. @param {() => Promise<unknown>} act */
async function trying(act) {
  const note = part("classes-note");
  setText(note, "");
  try {
    await act();
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    setText(note, refused.message);
    note.scrollIntoView({ block: "nearest" });
  }
}

/** @param {ClassLine} line */
function classItem({ class: kept, name, pupils, kept_until }) {
  const children = `${pupils} ${pupils === 1 ? "child" : "children"}`;
  const button = (/** @type {string} */ text, /** @type {() => void} */ act) => {
    const element = make("button", { class: "button plain", type: "button", "aria-label": `${text}: ${name}` }, text);
    element.addEventListener("click", act);
    return element;
  };
  const file = make("input", { class: "unseen", type: "file", accept: ".csv,.txt,text/csv,text/plain", "aria-label": `Another list for ${name}`, tabindex: "-1" });
  file.addEventListener("change", () => {
    const list = file.files?.[0];
    if (list) void trying(async () => { await call(`/classes/${kept}`, { method: "PUT", headers: { "content-type": "text/csv" }, body: list }); await loadClasses(); });
    file.value = "";
  });
  const remove = () => {
    if (confirm(`Delete ${name} for good? Its ${children} and the records of its lessons are removed from this server.`)) {
      void trying(async () => { await call(`/classes/${kept}`, { method: "DELETE" }); await loadClasses(); part("classes-title").focus(); });
    }
  };
  return make("li", {},
    make("div", { class: "class-words" }, make("strong", {}, name), make("span", {}, `${children}, kept until ${day(kept_until)}`)),
    make("div", { class: "acts" },
      make("a", { class: "button", href: `#class=${kept}`, "aria-label": `Make groups: ${name}` }, "Make groups"),
      make("a", { class: "button", href: `/classes/${kept}/report?east=${-new Date().getTimezoneOffset()}`, "aria-label": `Report: ${name}` }, "Report"),
      button("Pictures", () => void trying(() => openPictures(kept))),
      make("a", { class: "button plain", href: `/classes/${kept}/list.csv`, download: "class-list.csv", "aria-label": `Save as CSV: ${name}` }, "Save as CSV"),
      button("Load another list", () => file.click()), file,
      button("Delete", remove)));
}

/** Reads the kept classes; throws `Refused`. */
export async function loadClasses() {
  /** @type {ClassLine[]} */
  const lines = await call("/classes");
  part("class-list").replaceChildren(...lines.map(classItem));
  if (lines.length === 0) part("class-list").append(make("li", { class: "none" }, "None yet. The list of your first lesson is kept here."));
}

/** @param {string} kept */
async function openPictures(kept) {
  paintPictures(/** @type {ClassTold} */ (await call(`/classes/${kept}`)), null);
  const dialog = /** @type {HTMLDialogElement} */ (part("pictures"));
  if (!dialog.open) dialog.showModal();
}

/** All children with their pictures, or all pictures for one of them. @param {ClassTold} told @param {number | null} pupil */
function paintPictures(told, pupil) {
  const dialog = /** @type {HTMLDialogElement} */ (part("pictures"));
  const close = make("button", { class: "button", type: "button" }, pupil === null ? "Done" : "Back");
  close.addEventListener("click", () => { if (pupil === null) dialog.close(); else { paintPictures(told, null); focusChild(pupil); } });
  const grid = make("div", { class: "picture-grid" });
  const child = pupil === null ? null : told.pupils[pupil];
  if (pupil === null || !child) {
    grid.append(...told.pupils.map((one, index) => {
      const button = make("button", { type: "button", "data-pupil": index, "aria-label": `${one.name}: ${one.picture}` }, picture(one.picture), make("span", { class: "name" }, one.name));
      button.addEventListener("click", () => paintPictures(told, index));
      return button;
    }));
  } else {
    grid.append(...THINGS.map((thing) => {
      const owner = told.pupils.find((one) => one.picture === thing);
      const whose = owner && owner !== child ? owner.name : "";
      const button = make("button", { type: "button", "aria-pressed": String(thing === child.picture), "aria-label": whose ? `${thing}, change with ${whose}` : thing }, picture(thing), make("span", {}, whose || thing));
      button.addEventListener("click", () => void trying(async () => {
        paintPictures(/** @type {ClassTold} */ (await post(`/classes/${told.class}/picture`, { pupil, picture: thing })), null);
        focusChild(pupil);
      }));
      return button;
    }));
  }
  dialog.replaceChildren(
    make("h2", { id: "pictures-title" }, child ? `A picture for ${child.name}` : `Pictures of ${told.name}`),
    make("p", { class: "hint" }, child ? "A picture that another child has is changed with that child." : "Tap a child. Lessons that go on keep their pictures; the next one has the new ones."),
    grid, make("div", { class: "acts" }, close));
  if (child) /** @type {HTMLElement} */ (grid.querySelector("[aria-pressed=true]") ?? close).focus();
}

/** @param {number} pupil */
function focusChild(pupil) {
  const button = part("pictures").querySelector(`[data-pupil="${pupil}"]`);
  if (button instanceof HTMLElement) button.focus();
}

/** A title that can take the keyboard's place when the class under it has gone. */
export function setUpClasses() {
  part("classes-title").tabIndex = -1;
}
