/**
 * One picture and at most seven words for where the child stands. Pure: a view in, words out. It
 * says nothing of a cue, since noticing the missing token is the skill.
 * @import {Refusal, SeatView, Tap} from "../types/wire.js"
 */
import { hasTokens, inRound, own } from "../view.js";

/** @typedef {{ art: string, text: string }} Status */

/**
 * What the table says to this child now.
 * @param {SeatView} view
 * @returns {Status}
 */
export function statusOf(view) {
  const { table, hand, grab } = view;
  if (!inRound(view)) return { art: "can", text: "The game begins soon." };
  if (!own(view).in_play || !hand) {
    return view.sorting.length > 1 ? { art: "basket", text: "Watch, and sort these cards." } : { art: "eye", text: "You watch now. Next game you play." };
  }
  if (hand.stand_in) return { art: "helper", text: "A helper plays. Tap to play." };
  if (grab.tap === "Taken") return { art: "leaf", text: "You have a pebble." };
  if (grab.nudged) return { art: "look", text: "A pebble is gone. Take one." };
  if (hand.hint.length > 0) {
    return { art: "look", text: hasTokens(table.house) ? "Four match! Take a pebble." : "Four match! Lay them down." };
  }
  if (hasTokens(table.house) && !grab.live) return { art: "goal", text: "Find four that match." };
  if (hand.reminded) return { art: "look", text: "A card waits for you." };
  switch (hand.take_up) {
    case "DecideFirst": return { art: "stack", text: "Swap a card, or pass it on." };
    case "FromPile": return { art: "dealer", text: "Tap the pile." };
    case "FromTray": return { art: "stack", text: "Your next card comes." };
    case "TrayEmpty": return { art: "wait", text: "Your next card is coming." };
    case "NextTrayFull": return { art: "stack", text: "Wait. Your neighbour is busy." };
    case "PilesEmpty": return { art: "basket", text: "The pile is empty. Wait." };
    case "LaidDown": return { art: "fan", text: "You have four that match." };
    case "NotNow": return { art: "wait", text: "Wait a moment." };
  }
}

/**
 * What came of the own tap, if it was not a token: shown for its short wait.
 * @param {Tap} tap
 * @returns {(Status & { wait_ms: number }) | null}
 */
export function tapAnswer(tap) {
  if (typeof tap === "string") return null;
  if ("FalseGrab" in tap) return { art: "look", text: "Look again. Four that match?", wait_ms: tap.FalseGrab.wait_ms };
  if ("Excited" in tap) return { art: "gentle", text: "Slow and gentle. Then look.", wait_ms: tap.Excited.wait_ms };
  return { art: "sprout", text: "Too soon. Tap again.", wait_ms: tap.TooSoon.wait_ms };
}

/**
 * A refusal as a child meets it; `null` where the screen already shows why.
 * @param {Refusal} refusal
 * @returns {Status | null}
 */
export function refusalAnswer(refusal) {
  switch (refusal) {
    case "NoFourAlike": return { art: "look", text: "You need four that match." };
    case "NextTrayFull": return { art: "stack", text: "Wait. Your neighbour is busy." };
    case "TooLateToUndo": return { art: "eye", text: "Your neighbour saw that card." };
    case "Wait": return { art: "gentle", text: "Wait a moment, then look." };
    case "PilesEmpty": return { art: "basket", text: "The pile is empty. Wait." };
    case "TrayEmpty": return { art: "wait", text: "Your next card is coming." };
    case "Paused": return { art: "moon", text: "Pause now." };
    case "CheeringNotNow": return { art: "eye", text: "Cheer when the round is over." };
    case "PartnerHolds": return { art: "helper", text: "A helper plays your cards." };
    default: return null;
  }
}
