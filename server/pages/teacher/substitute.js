/**
 * The link for a substitute on the teacher's page: for which day, the link once it is made, and its end.
 * The server keeps no more than its digest, so that it is shown this once.
 * @import {SubstituteDay, SubstituteLink} from "../types/wire.js"
 */
import { make, part, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

/** A day where the teacher is, in microseconds since the epoch. @param {string} date such as 2026-09-14 @returns {SubstituteDay} */
export function dayOf(date) {
  const from = new Date(`${date}T00:00`);
  // The next midnight by the calendar: 23 or 25 hours where clocks change.
  const until = new Date(from.getFullYear(), from.getMonth(), from.getDate() + 1);
  return { from: from.getTime() * 1_000, until: until.getTime() * 1_000 };
}

/** Today where the teacher is, as a date field has it. @param {Date} now */
export const dateOf = (now) => `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;

/** @param {SubstituteDay} day */
const dayWords = ({ from }) => new Date(from / 1_000).toLocaleDateString("en", { weekday: "long", day: "numeric", month: "long" });

/** Sets the dialog up; answers with what opens it for a lesson. @returns {(lesson: string) => Promise<void>} */
export function setUpSubstitute() {
  const dialog = /** @type {HTMLDialogElement} */ (part("substitute"));
  const date = make("input", { type: "date", required: true });
  const stands = make("p", { role: "status" });
  const made = make("div", { class: "substitute-made" });
  const note = make("p", { class: "error", role: "alert" });
  const end = make("button", { class: "button plain", type: "button" }, "End this link");
  const form = make("form", { class: "line" }, make("label", { class: "line" }, "For ", date), make("button", { class: "button", type: "submit" }, "Make a link"));
  dialog.append(make("h2", { id: "substitute-title" }, "A link for a substitute"),
    make("p", {}, "It opens this lesson for one day: start, freeze, help, the bell, the door. It shows no reports, no support, no readiness and nothing of who should sit apart. Whoever has the link can use it, so give it to one person. It shows a wall display and a way in of its own, with other pictures than yours; both end with it. Yours stay good, and children who sit stay seated."),
    stands, form, made, note, make("div", { class: "acts" }, end, make("form", { method: "dialog" }, make("button", { class: "button plain" }, "Close"))));
  let lesson = "";

  /** @param {SubstituteDay | null} day */
  function paint(day) {
    setText(stands, day ? `A link for ${dayWords(day)} stands. A new one ends it.` : "There is no link now.");
    end.hidden = day === null;
  }

  /** @param {() => Promise<void>} act */
  async function tried(act) {
    try { setText(note, ""); await act(); } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(note, refused.message);
    }
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void tried(async () => {
      /** @type {SubstituteLink} */
      const link = await post(`/lessons/${lesson}/substitute`, dayOf(date.value));
      const address = make("input", { type: "text", readonly: true, value: link.url, "aria-label": "The link" });
      made.replaceChildren(make("p", {}, "Copy it now; it is not shown again. Paste it into a message, or print the planning sheet and write it below."), address);
      paint(link.day);
      address.focus();
      address.select();
    });
  });
  end.addEventListener("click", () => void tried(async () => {
    await call(`/lessons/${lesson}/substitute`, { method: "DELETE" });
    made.replaceChildren();
    paint(null);
  }));
  return async (of) => {
    lesson = of;
    made.replaceChildren();
    date.value = dateOf(new Date());
    date.min = date.value;
    dialog.showModal();
    await tried(async () => paint(await call(`/lessons/${lesson}/substitute`)));
  };
}
