/**
 * How the next game will be played: a dialog that reads and writes a `LessonPlan`. It knows what
 * each choice is called and nothing of tables.
 * @import {AgeBand, DeckWishes, FalseGrabCost, HouseRule, LessonPlan, MissedFour, Pace} from "../types/wire.js"
 */
import { make, part } from "../dom.js";
import { AGES } from "./words.js";

/** @param {string} name @param {string} value @param {string} words @param {string} [note] */
const radio = (name, value, words, note) =>
  make("label", { class: "option" }, make("input", { type: "radio", name, value }), make("span", {}, words, note ? make("small", {}, note) : null));
/** @param {string} id @param {number} min @param {number} max @param {string} [label] where the words beside it are no label */
const number = (id, min, max, label) => make("input", { id, type: "number", min, max, inputmode: "numeric", "aria-label": label });
/** @param {string} id @param {string} words @param {string} [note] */
const check = (id, words, note) => make("label", { class: "option" }, make("input", { id, type: "checkbox" }), make("span", {}, words, note ? make("small", {}, note) : null));
/** @param {string} words @param {...HTMLElement} fields */
const set = (words, ...fields) => make("fieldset", {}, make("legend", {}, words), ...fields);
/** @param {string} words @param {...(HTMLElement | string)} fields */
const line = (words, ...fields) => make("label", { class: "line" }, words, " ", ...fields);

/** What a fresh lesson of each age begins with, in one line. @type {Record<AgeBand, string>} */
const AGE_WORDS = {
  FiveToSix: "begins with 7 groups to 10, everybody stays in, cards come by themselves, a hint after 10 s",
  SixToSeven: "begins with 9 groups to 20, letters of a word, the dealer draws, a hint after 20 s",
  SevenToEight: "begins with 13 groups to 20, who was last watches once, noticing is the skill",
};

/** @type {DeckWishes} */
const NO_WISHES = { kinds_out: [], groups_in: [], groups_out: [], cards_in: [], cards_out: [] };
/** @param {string} id */
const input = (id) => /** @type {HTMLInputElement} */ (part(id));
/** @param {string} name */
const picked = (name) => /** @type {HTMLInputElement | null} */ (document.querySelector(`input[name="${name}"]:checked`))?.value ?? "";
/** @param {string} name @param {string} value */
const pick = (name, value) => {
  const one = /** @type {HTMLInputElement | null} */ (document.querySelector(`input[name="${name}"][value="${value}"]`));
  if (one) one.checked = true;
};

/** The plan as it was, for what this dialog does not ask about. @type {LessonPlan | null} */
let kept = null;

/** @param {LessonPlan} plan */
function write(plan) {
  kept = plan;
  part("plan-numbers").hidden = plan.skill !== "Numbers";
  const { house, missed_four: missed } = plan;
  pick("plan-ages", plan.ages);
  pick("plan-house", Object.keys(house)[0] ?? "Stay");
  input("plan-rounds").value = String("Stay" in house ? house.Stay.rounds : "Calm" in house ? house.Calm.rounds : 5);
  input("plan-word").value = "Letters" in house ? house.Letters.word : "leaf";
  input("plan-shield").checked = "Out" in house ? house.Out.shield : true;
  pick("plan-missed", typeof missed === "string" ? missed : "HintAfter");
  input("plan-seconds").value = String(typeof missed === "string" ? 10 : missed.HintAfter.seconds);
  for (const [id, value] of /** @type {const} */ ([["plan-min", plan.number_min], ["plan-max", plan.number_max], ["plan-groups", plan.groups], ["plan-tray", plan.tray_limit]])) {
    input(id).value = String(value);
  }
  pick("plan-pace", plan.timing.pace);
  pick("plan-partners", plan.timing.partners);
  pick("plan-false", plan.timing.false_grab);
  input("plan-come").checked = plan.cards_come_by_themselves;
  input("plan-sound").checked = plan.cue_sound;
  input("plan-naming").checked = plan.naming_walk;
  input("plan-cheering").checked = plan.cheering;
}

/** @returns {LessonPlan} */
function read() {
  const whole = (/** @type {string} */ id) => Math.max(0, Math.round(Number(input(id).value)) || 0);
  const rounds = whole("plan-rounds");
  /** @type {HouseRule} */
  const house = picked("plan-house") === "Letters" ? { Letters: { word: input("plan-word").value.trim() } }
    : picked("plan-house") === "Out" ? { Out: { shield: input("plan-shield").checked } }
      : picked("plan-house") === "Calm" ? { Calm: { rounds } } : { Stay: { rounds } };
  const missed = picked("plan-missed");
  /** @type {MissedFour} */
  const missed_four = missed === "FindItYourself" || missed === "Tell" ? missed : { HintAfter: { seconds: whole("plan-seconds") } };
  const deck = {
    ages: /** @type {AgeBand} */ (picked("plan-ages") || "FiveToSix"),
    number_min: whole("plan-min"), number_max: whole("plan-max"), groups: Math.min(255, whole("plan-groups")),
  };
  const before = kept;
  if (before === null) throw new Error("the dialog was read before it was opened");
  // Cards that were chosen one by one cannot stay where their number or range changes.
  const stays = Object.entries(deck).every(([name, value]) => before[/** @type {keyof typeof deck} */ (name)] === value);
  return {
    ...before, ...deck, house, missed_four, wishes: stays ? before.wishes : { ...NO_WISHES, kinds_out: before.wishes.kinds_out },
    tray_limit: Math.min(255, whole("plan-tray")), cue_sound: input("plan-sound").checked, cards_come_by_themselves: input("plan-come").checked,
    naming_walk: input("plan-naming").checked, cheering: input("plan-cheering").checked,
    timing: {
      pace: /** @type {Pace} */ (picked("plan-pace") || "Usual"), partners: /** @type {Pace} */ (picked("plan-partners") || "Usual"),
      false_grab: /** @type {FalseGrabCost} */ (picked("plan-false") || "ShortWait"),
    },
  };
}

/** @param {(plan: LessonPlan) => void} done */
export function setUpPlan(done) {
  const dialog = /** @type {HTMLDialogElement} */ (part("plan"));
  const form = make("form", { method: "dialog" },
    make("h2", { id: "plan-title" }, "How the next game is played"),
    make("p", { class: "hint" }, "A game that is being played keeps its rules."),
    make("div", { class: "plan-grid" },
      set("Ages", ...Object.entries(AGES).map(([value, words]) => radio("plan-ages", value, words, AGE_WORDS[/** @type {AgeBand} */ (value)]))),
      set("Who is last",
        radio("plan-house", "Stay", "Everybody stays in", "the race is played, nobody goes out"),
        radio("plan-house", "Letters", "Collects a letter", "with a full word a child watches"),
        radio("plan-house", "Out", "Watches", "who was last watches until the next game"),
        radio("plan-house", "Calm", "Nobody: a calm game", "no pebbles, lay down four"),
        make("div", { class: "when when-rounds" }, line("Rounds", number("plan-rounds", 1, 20))),
        make("div", { class: "when when-word" }, line("Word", make("input", { id: "plan-word", type: "text", minlength: 3, maxlength: 6, size: 8, pattern: "\\p{L}{3,6}", title: "3 to 6 letters" }))),
        make("div", { class: "when when-shield" }, check("plan-shield", "Shield", "never last one out twice in a row")),
        check("plan-cheering", "Cheering", "who watches may send a sun, a flower or a clap between rounds, three at the most")),
      set("Cards", make("div", { id: "plan-numbers" }, line("Numbers", number("plan-min", 0, 100, "numbers from"), " to ", number("plan-max", 1, 100, "numbers to"))),
        line("Groups in play", number("plan-groups", 4, 40)), make("p", { class: "hint" }, "6 to 8 groups for beginners, 13 for fluent players."),
        line("Cards waiting in a tray at most", number("plan-tray", 1, 6)),
        check("plan-come", "Cards come by themselves", "the dealer need not draw"),
        check("plan-naming", "Name the pictures first", "each picture with its word, before the first deal")),
      set("Four that match, not noticed",
        radio("plan-missed", "FindItYourself", "Find it yourself", "noticing is the skill"),
        make("div", { class: "pair" }, radio("plan-missed", "HintAfter", "Hint after"), make("span", {}, number("plan-seconds", 3, 60, "seconds until the hint"), " s")),
        radio("plan-missed", "Tell", "Tell at once"),
        check("plan-sound", "A gentle sound with a missing pebble", "for all alike")),
      set("A child whose card waits",
        radio("plan-pace", "Unhurried", "is reminded after 40 s", "cards go round it after 75 s"), radio("plan-pace", "Usual", "is reminded after 25 s", "cards go round it after 45 s"),
        radio("plan-pace", "Brisk", "is reminded after 15 s", "cards go round it after 30 s")),
      set("Practice partners play",
        radio("plan-partners", "Unhurried", "more slowly"), radio("plan-partners", "Usual", "like children of these ages"), radio("plan-partners", "Brisk", "more quickly")),
      set("A pebble taken without a reason costs",
        radio("plan-false", "ShortWait", "a wait of 1.5 s"), radio("plan-false", "LongWait", "a wait of 4 s", "for a table that taps on the off-chance"))),
    make("div", { class: "acts" }, make("button", { class: "button", value: "use" }, "Use from the next game"), make("button", { class: "button plain", value: "", formnovalidate: true }, "Cancel")));
  dialog.append(form);
  const look = () => { form.dataset.house = picked("plan-house"); };
  form.addEventListener("change", look);
  // Esc keeps the last return value, so it is cleared on each opening.
  dialog.addEventListener("close", () => { if (dialog.returnValue === "use") done(read()); });
  return (/** @type {LessonPlan} */ plan) => {
    write(plan);
    look();
    dialog.returnValue = "";
    dialog.showModal();
  };
}
