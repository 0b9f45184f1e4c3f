/**
 * A seat's view: applying news to it, and small questions about it. Pure; it knows no page, no
 * socket and no clock. `apply` mirrors `SeatView::apply` in `protocol/src/view.rs`.
 * @import {CardView, HouseRule, SeatIndex, SeatNews, SeatPublic, SeatView} from "./types/wire.js"
 */

/**
 * The view with one part replaced. News before the first snapshot says nothing.
 * @param {SeatView | null} view
 * @param {SeatNews} news
 * @returns {SeatView | null}
 */
export function apply(view, news) {
  if ("Snapshot" in news) return news.Snapshot;
  if (view === null) return null;
  if ("Table" in news) return { ...view, table: news.Table };
  if ("Hand" in news) return { ...view, hand: news.Hand };
  if ("Grab" in news) return { ...view, grab: news.Grab };
  if ("Ruling" in news) return { ...view, ruling: news.Ruling };
  if ("Sorting" in news) return { ...view, sorting: news.Sorting };
  if ("Care" in news) return { ...view, care: news.Care };
  return view;
}

/** @param {SeatView} view @returns {SeatPublic} */
export function own(view) {
  const seat = view.table.seats[view.you];
  if (!seat) throw new Error("the view names no own seat");
  return seat;
}

/**
 * The other seats as they sit around the table, seen from the own one: from the left, where cards
 * come from, over the far side to the right, where cards go.
 * @param {SeatView} view
 * @returns {SeatIndex[]}
 */
export function around(view) {
  const count = view.table.seats.length;
  return Array.from({ length: count - 1 }, (_, step) => (view.you + count - 1 - step) % count);
}

/**
 * The next seat in play after one, in the order of play.
 * @param {SeatView} view
 * @param {SeatIndex} from
 * @returns {SeatIndex}
 */
export function nextInPlay(view, from) {
  const count = view.table.seats.length;
  for (let step = 1; step <= count; step += 1) {
    const seat = (from + step) % count;
    if (view.table.seats[seat]?.in_play) return seat;
  }
  return from;
}

/** Where the own cards go: a seat, or `null` for the discard pile, after the last seat. @param {SeatView} view */
export function passesTo(view) {
  const next = nextInPlay(view, view.you);
  return next === view.table.dealer ? null : next;
}

/** Whether a round is going on. @param {SeatView} view */
export function inRound(view) {
  return view.table.phase === "Dealt" || view.table.phase === "Playing";
}

/** Whether tokens belong to this game. @param {HouseRule} house */
export function hasTokens(house) {
  return !("Calm" in house);
}

/** The word of the `letters` rule, else empty. @param {HouseRule} house */
export function wordOf(house) {
  return "Letters" in house ? house.Letters.word : "";
}

/**
 * The hand in this device's own order. The order is the child's; the server keeps its own. A kept
 * card takes the place of the one it replaced, wherever the child had moved that.
 * @param {readonly string[]} order ids as last shown
 * @param {readonly CardView[]} cards the hand as the server orders it
 * @returns {CardView[]}
 */
export function arrange(order, cards) {
  const left = new Map(cards.map((card) => [card.id, card]));
  const placed = order.map((id) => {
    const card = left.get(id);
    left.delete(id);
    return card;
  });
  const fresh = [...left.values()];
  const filled = placed.map((card) => card ?? fresh.shift());
  return [...filled, ...fresh].filter((card) => card !== undefined);
}

/**
 * Two neighbours of the order changed places; beyond an end nothing happens.
 * @param {readonly string[]} order
 * @param {number} place
 * @param {-1 | 1} step
 * @returns {string[]}
 */
export function moved(order, place, step) {
  const other = place + step;
  const [a, b] = [order[place], order[other]];
  if (a === undefined || b === undefined) return [...order];
  return order.map((id, index) => (index === place ? b : index === other ? a : id));
}

/**
 * Which token shows as missing for a cue: any will do, but the same after a reload.
 * @param {string} nonce hex
 * @param {number} tokens
 */
export function missingToken(nonce, tokens) {
  return tokens > 0 ? parseInt(nonce.slice(0, 6), 16) % tokens : -1;
}
