/**
 * Just enough of a table to try taps against: cards come, go, and a cue follows. No rules: the
 * server's own tests are about those.
 * @import {HandView, SeatSays, SeatView, ToClient} from "../../../server/pages/types/wire.js"
 */
import { NONCE, view } from "./views.mjs";

/** @param {(message: ToClient) => void} send @param {number | null} cue_after_ms */
export function playScene(send, cue_after_ms) {
  let number = 0;
  let serial = 100;
  /** @type {SeatView} */
  let now = view({ table: { phase: "Dealt", house: { Letters: { word: "leaf" } } }, hand: { considering: null, take_up: "FromTray" }, grab: { live: false } });
  const card = () => ({ id: (serial += 1).toString(16).padStart(16, "0"), face: serial % 32, helper: null });
  /** @param {import("../../../server/pages/types/wire.js").SeatNews} news */
  const tell = (news) => send({ Seat: { number: (number += 1), news } });
  /** @param {Partial<HandView>} part */
  const hand = (part) => {
    if (!now.hand) return;
    now = { ...now, hand: { ...now.hand, ...part } };
    tell({ Hand: now.hand });
  };
  tell({ Snapshot: now });
  /** @type {HandView | null} */
  let before = null;
  return (/** @type {number} */ ask, /** @type {SeatSays} */ says) => {
    const mine = now.hand;
    if (!mine) return;
    if (says === "TakeUp") hand({ considering: card(), take_up: "DecideFirst", can_undo: false });
    else if (says === "Undo" && before) hand({ ...before, can_undo: false });
    else if (says === "LayDown") send({ Refused: { ask, refusal: "NoFourAlike" } });
    else if (typeof says === "string") send({ Refused: { ask, refusal: "TooLateToUndo" } });
    else if ("DealShown" in says) {
      now = { ...now, table: { ...now.table, phase: "Playing" }, grab: { ...now.grab, live: true } };
      tell({ Table: now.table });
      tell({ Grab: now.grab });
    } else if ("Keep" in says && mine.considering) {
      before = mine;
      const kept = mine.considering;
      hand({ cards: mine.cards.map((one) => (one.id === says.Keep.give ? kept : one)), considering: null, take_up: "FromTray", can_undo: true });
    } else if ("Pass" in says) {
      before = mine;
      hand({ considering: null, take_up: "FromTray", can_undo: true });
    } else if ("Grab" in says) {
      const tap = says.Grab.cue ? /** @type {const} */ ("Taken") : { FalseGrab: { wait_ms: 2000 } };
      now = { ...now, grab: { ...now.grab, tap, taps: now.grab.taps + 1 } };
      tell({ Grab: now.grab });
      if (!says.Grab.cue && cue_after_ms !== null) setTimeout(() => send({ Cue: { round: now.table.round, nonce: NONCE } }), cue_after_ms);
    }
  };
}
