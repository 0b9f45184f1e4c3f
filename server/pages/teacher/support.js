/**
 * What one child gets beside the cards: a dialog that reads and writes a `Support`. Only the
 * teacher's board has it. The button that opens it looks the same for every child, since boards
 * get projected.
 * @import {BoardSays, BoardSeat, Helper, HelperGiven, MissedFour, Support} from "../types/wire.js"
 */
import { make, part } from "../dom.js";

/** In the order in which a card shows the first that it has. @type {readonly [Helper, string, string][]} */
export const HELPERS = [
  ["DotsUnder", "Dots under a numeral", "as many as it says, up to 20"],
  ["FirstSound", "First sound marked", "colour and a bar under its letters"],
  ["PictureBeside", "Picture beside a word", "where we have that picture"],
  ["LargerPrint", "Larger print", "where the card has room"],
  ["SpanishWord", "Spanish word", "under words of pictures, numbers to 20 and shapes"],
];

/** @param {string} id @param {string} words @param {readonly [string, string][]} choices @param {string} value @param {string} [note] */
const choice = (id, words, choices, value, note) => {
  const select = make("select", { id }, ...choices.map(([key, text]) => make("option", { value: key, selected: key === value }, text)));
  return make("label", { class: "line support-line", for: id }, make("span", {}, words, note ? make("small", {}, note) : null), select);
};

/** @param {HelperGiven | undefined} given */
const used = (given) => (given && given.right_uses > 0 ? `used rightly ${given.right_uses} ${given.right_uses === 1 ? "time" : "times"}` : "");

/** @param {MissedFour | null} missed */
const missedKey = (missed) => (missed === null ? "lesson" : typeof missed === "string" ? missed : "HintAfter");

/** @param {string} id */
const value = (id) => /** @type {HTMLInputElement | HTMLSelectElement} */ (part(id)).value;

/** @param {Support} had @returns {Support} */
function read(had) {
  const helpers = HELPERS.flatMap(([helper]) => {
    const kind = value(`support-${helper}`);
    const right_uses = had.helpers.find((given) => given.helper === helper)?.right_uses ?? 0;
    return kind === "off" ? [] : [{ helper, held: kind === "stays", right_uses }];
  });
  const missed = value("support-missed");
  /** @type {MissedFour | null} */
  const missed_four = missed === "lesson" ? null
    : missed === "FindItYourself" || missed === "Tell" ? missed
      : { HintAfter: { seconds: Math.min(60, Math.max(3, Math.round(Number(value("support-seconds"))) || 10)) } };
  return { helpers, unhurried: /** @type {HTMLInputElement} */ (part("support-unhurried")).checked, missed_four, head_start: /** @type {HTMLInputElement} */ (part("support-head-start")).checked };
}

/** @param {string} name @param {Support} support */
function form(name, support) {
  const given = (/** @type {Helper} */ helper) => support.helpers.find((one) => one.helper === helper);
  const missed = support.missed_four;
  const unhurried = make("input", { id: "support-unhurried", type: "checkbox", checked: support.unhurried });
  const headStart = make("input", { id: "support-head-start", type: "checkbox", checked: support.head_start });
  return make("form", { method: "dialog" },
    make("h2", { id: "support-title" }, `Support for ${name}`),
    make("p", { class: "hint" }, "It begins with the next deal. No child sees another child's, and nothing else of the game changes."),
    make("fieldset", {}, make("legend", {}, "Helpers on the cards"),
      ...HELPERS.map(([helper, words, note]) => {
        const one = given(helper);
        const kind = !one ? "off" : one.held ? "stays" : "fades";
        return choice(`support-${helper}`, words, [["off", "off"], ["fades", "on, fades"], ["stays", "on, stays"]], kind, used(one) || note);
      }),
      make("p", { class: "hint" }, "A helper that fades is on every card at first, after 6 right uses on the new card alone, after 12 gone.")),
    make("fieldset", {}, make("legend", {}, "Time and hints"),
      make("label", { class: "option" }, unhurried, make("span", {}, "Unhurried", make("small", {}, "reminders come after twice the time"))),
      make("label", { class: "option" }, headStart, make("span", {}, "Head start", make("small", {}, "each round begins with two cards that match"))),
      choice("support-missed", "Four that match, not noticed", [["lesson", "as in the lesson"], ["FindItYourself", "find it yourself"], ["HintAfter", "hint after"], ["Tell", "tell at once"]], missedKey(missed)),
      make("label", { class: "line", for: "support-seconds" }, "Seconds until the hint ", make("input", { id: "support-seconds", type: "number", min: 3, max: 60, inputmode: "numeric", value: missed !== null && typeof missed === "object" ? missed.HintAfter.seconds : 10 }))),
    make("div", { class: "acts" }, make("button", { class: "button", value: "use" }, "Use from the next deal"), make("button", { class: "button plain", value: "", formnovalidate: true }, "Cancel")));
}

/**
 * @param {(says: BoardSays) => void} say
 * @returns {(name: string, seat: BoardSeat) => void} opens the dialog
 */
export function setUpSupport(say) {
  const dialog = /** @type {HTMLDialogElement} */ (part("support"));
  /** @type {{ pupil: number, had: Support } | null} */ let open = null;
  dialog.addEventListener("close", () => {
    if (dialog.returnValue === "use" && open) say({ Support: { pupil: open.pupil, support: read(open.had) } });
    open = null;
    // What a child has stands nowhere on the page while the dialog is shut.
    dialog.replaceChildren();
  });
  return (name, { pupil, support }) => {
    if (pupil === null || support === null) return;
    open = { pupil, had: support };
    dialog.replaceChildren(form(name, support));
    dialog.returnValue = "";
    dialog.showModal();
  };
}
