/**
 * One table on a substitute's page: who sits there, who needs somebody, what can be done. It draws a
 * `SubstituteTable` and calls back.
 * @import {SubstituteSays, SubstituteTable} from "../types/wire.js"
 */
import { make, picture } from "../dom.js";
import { mark } from "../teacher/tablecard.js";
import { PHASES, attentionLines, possible } from "../teacher/words.js";

/** @param {SubstituteTable} table @param {number} index @param {(says: SubstituteSays) => void} say */
function seatRow(table, index, say) {
  const [seat, marks] = [table.view.seats[index], table.seats[index]];
  if (!seat || !marks) return null;
  const partner = seat.kind === "Partner";
  const { phase } = table.view;
  const at = { table: table.table, seat: index };
  const button = (/** @type {string} */ words, /** @type {string} */ label, /** @type {SubstituteSays} */ says) => {
    const one = make("button", { class: "button plain", type: "button", "aria-label": label, "data-act": `seat ${index}` }, words);
    one.addEventListener("click", () => say(says));
    return one;
  };
  const act = partner ? null
    : marks.care.help_asked ? button("Helped", `${seat.name} was helped`, { HelpGiven: at })
    : marks.care.partner_holds ? button("Child plays", `${seat.name} plays again`, { HandOver: { ...at, partner: false } })
    : phase === "Dealt" || phase === "Playing" || phase === "RoundOver" ? button("Helper plays", `a helper plays for ${seat.name}`, { HandOver: { ...at, partner: true } }) : null;
  return make("li", { class: `seat${partner ? " partner" : ""}` },
    make("span", { class: "face" }, picture(seat.picture)),
    make("span", { class: "who" }, make("span", { class: "name" }, seat.name)),
    make("span", { class: "marks" },
      marks.care.help_asked && mark("hand-up", "asks for help", "warn"),
      partner ? mark("helper", "partner") : marks.care.on_break ? mark("leaf-plain", "on a break") : marks.here ? mark("check", "here", "good") : mark("away", phase === "Waiting" ? "not here yet" : "away", "warn"),
      !partner && marks.stand_in && mark("helper", "helper plays"),
      phase !== "Waiting" && !seat.in_play && mark("eye", "watches")),
    act);
}

/** @param {SubstituteTable} table @param {(says: SubstituteSays) => void} say */
export function tableCard(table, say) {
  const { view } = table;
  const can = possible(table);
  const at = { table: table.table };
  const button = (/** @type {string} */ words, /** @type {boolean} */ shown, /** @type {SubstituteSays} */ says, css = "button plain") => {
    if (!shown) return null;
    const one = make("button", { class: css, type: "button", "aria-label": `${words} ${table.name}`, "data-act": words }, words);
    one.addEventListener("click", () => say(says));
    return one;
  };
  return [
    make("header", {}, make("h2", {}, table.name), make("span", { class: `state ${view.paused ? "paused" : view.phase}` }, view.paused ? "frozen" : PHASES[view.phase]),
      table.bell && make("span", { class: "state bell" }, "last round"),
      view.round > 0 && make("span", { class: "round" }, `game ${view.game}, round ${view.round}`)),
    table.attention.length > 0 && make("ul", { class: "attention" }, ...attentionLines(table.attention, view).map((line) => make("li", {}, line))),
    make("ul", { class: "seats" }, ...view.seats.map((_, index) => seatRow(table, index, say))),
    make("footer", { class: "acts" },
      button(can.rematch ? "Rematch" : "Start", can.start, { Start: at }, "button"),
      button("Freeze", can.pause, { Freeze: at }), button("Go on", can.resume, { GoOn: at }, "button"),
      button("Last round", can.end && !table.bell, { Bell: { ...at, ring: true } }), button("Not the last", table.bell, { Bell: { ...at, ring: false } })),
  ];
}
