/**
 * What the wire's values are called in the teacher's sentences. Pure; it knows no page.
 * @import {AgeBand, Attention, BoardTable, HouseRule, LessonPlan, LinkQuality, MissedFour, Phase, Refusal, TableView} from "../types/wire.js"
 */

/** @type {Record<Phase, string>} */
export const PHASES = { Waiting: "not started", Dealt: "cards dealt", Playing: "playing", RoundOver: "round over", GameOver: "game over", Naming: "naming pictures" };

/** A good link needs no word. @type {Record<LinkQuality, string>} */
export const LINKS = { Good: "", Slow: "slow link", Poor: "poor link", Gone: "no link" };

/** Why a table needs the teacher, in a few words. @param {Attention} reason @param {TableView} view */
export function attentionWords(reason, view) {
  const name = (/** @type {number} */ seat) => view.seats[seat]?.name ?? "a child";
  if ("HelpAsked" in reason) return `${name(reason.HelpAsked.seat)} asks for help`;
  if ("WaitsFor" in reason) return `waiting for ${name(reason.WaitsFor.seat)} for ${reason.WaitsFor.seconds} seconds`;
  if ("LinkLost" in reason) return `no link: ${name(reason.LinkLost.seat)}`;
  if ("FalseGrabs" in reason) return `${name(reason.FalseGrabs.seat)}: ${reason.FalseGrabs.count} false grabs`;
  return `${name(reason.OnBreak.seat)} takes a break`;
}

/**
 * The same for all reasons, a line each; children whose device is not there share one, since at the start of a
 * lesson that is half the class. @param {readonly Attention[]} reasons @param {TableView} view
 */
export function attentionLines(reasons, view) {
  const gone = reasons.flatMap((reason) => ("LinkLost" in reason ? [view.seats[reason.LinkLost.seat]?.name ?? "a child"] : []));
  const lines = reasons.filter((reason) => !("LinkLost" in reason)).map((reason) => attentionWords(reason, view));
  return gone.length > 0 ? [...lines, `no link: ${gone.join(", ")}`] : lines;
}

/** @param {number} count */
const rounds = (count) => (count === 1 ? "one round" : `${count} rounds`);

/** @type {Record<AgeBand, string>} */
export const AGES = { FiveToSix: "5 to 6", SixToSeven: "6 to 7", SevenToEight: "7 to 8" };

/** @param {HouseRule} house */
export function houseWords(house) {
  if ("Stay" in house) return `everybody stays in, ${rounds(house.Stay.rounds)}`;
  if ("Letters" in house) return `letters of “${house.Letters.word}”`;
  if ("Out" in house) return house.Out.shield ? "last one watches, with shield" : "last one watches";
  return `calm, no pebbles, ${rounds(house.Calm.rounds)}`;
}

/** @param {MissedFour} missed */
export function missedWords(missed) {
  if (missed === "FindItYourself") return "no hint";
  return missed === "Tell" ? "hint at once" : `hint after ${missed.HintAfter.seconds} s`;
}

/** The plan in one line. @param {LessonPlan} plan @param {string} deck what its deck is called */
export function planWords(plan, deck) {
  return [
    `Ages ${AGES[plan.ages]}`, houseWords(plan.house), deck,
    `${plan.groups} groups`, missedWords(plan.missed_four),
    plan.cards_come_by_themselves ? "cards come by themselves" : "the dealer draws",
    ...(plan.cheering ? ["cheering between rounds"] : []),
  ].join(" · ");
}

/** A refusal as one sentence. @param {Refusal} refusal */
export function refusalWords(refusal) {
  if (typeof refusal === "object") {
    const { serves } = refusal.DeckTooSmall;
    return serves < 2
      ? "These cards are too few for any table. Use more groups."
      : `These cards serve tables of up to ${serves} seats. Use more groups or a wider range of numbers.`;
  }
  switch (refusal) {
    case "GameRunning": return "A game is being played. End it first, or wait for its end.";
    case "NoGame": return "No game is being played there.";
    case "RuleNotPlayable": return "This rule cannot be played: a word has 3 to 6 letters, a game 1 to 20 rounds.";
    case "SeatCount": return "A table has two to six seats.";
    case "NoSuchTable": return "That table is not there any more.";
    case "Paused": return "The table is frozen. Let it go on first.";
    case "NoRace": return "There is no race to show at that table.";
    case "NoRound": return "No round is being played there.";
    case "DeckNotPossible": return "No deck can be made so. Choose the cards to see why.";
    case "RoundRunning": return "Wait for the end of the round.";
    case "NameNotPossible": return "Give another nickname: a short one that nobody in the class has.";
    case "SitsThere": return "This child sits there already.";
    case "NothingToShow": return "There is nothing to show yet.";
    case "ClassFull": return "This lesson holds no more children.";
    case "NothingToDo": return "There is nothing that this child could do just now.";
    default: return "That is not possible now.";
  }
}

/** What can be done with a table in its phase. @param {Pick<BoardTable, "view">} table */
export function possible({ view }) {
  const running = view.phase === "Dealt" || view.phase === "Playing" || view.phase === "RoundOver" || view.phase === "Naming";
  return {
    start: !running, rematch: view.phase === "GameOver",
    pause: running && !view.paused, resume: view.paused, end: running,
  };
}
