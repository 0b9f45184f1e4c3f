/**
 * Sorting faces that match, for a child who is out and watches: the pure part. It knows groups and
 * taps, keeps no score and never calls a tap wrong.
 */

/** As many as settle together at the most: what a hand collects. */
const ALIKE_MAX = 4;

/**
 * @typedef {object} Sort
 * @property {readonly number[]} groups the match group of each card that lies there
 * @property {readonly number[]} picked places of cards that are lifted, all of one group
 * @property {readonly number[]} settled places of cards in the basket, the latest last
 */
/** What a tap did. @typedef {"lifted" | "put down" | "other" | "settled" | "done" | "nothing"} Outcome */

/** @param {readonly number[]} groups @returns {Sort} */
export const begin = (groups) => ({ groups, picked: [], settled: [] });

/** Places of a group that are not in the basket. @param {Sort} sort @param {number} group */
function lying({ groups, settled }, group) {
  return groups.flatMap((one, place) => (one === group && !settled.includes(place) ? [place] : []));
}

/** Whether cards still lie there that match. @param {Sort} sort */
export const canGoOn = (sort) => sort.groups.some((group) => lying(sort, group).length > 1);

/**
 * A card is tapped: it is lifted, or put down again; a card that does not match takes the place of
 * those lifted; the last one that matches, or the fourth, lets all of them settle.
 * @param {Sort} sort
 * @param {number} place
 * @returns {{ sort: Sort, outcome: Outcome }}
 */
export function tapped(sort, place) {
  const group = sort.groups[place];
  if (group === undefined || sort.settled.includes(place)) return { sort, outcome: "nothing" };
  if (sort.picked.includes(place)) {
    return { sort: { ...sort, picked: sort.picked.filter((one) => one !== place) }, outcome: "put down" };
  }
  const first = sort.picked[0];
  if (first !== undefined && sort.groups[first] !== group) return { sort: { ...sort, picked: [place] }, outcome: "other" };
  const picked = [...sort.picked, place];
  const whole = Math.min(ALIKE_MAX, lying(sort, group).length);
  if (whole < 2 || picked.length < whole) return { sort: { ...sort, picked }, outcome: "lifted" };
  const next = { ...sort, picked: [], settled: [...sort.settled, ...picked] };
  return { sort: next, outcome: canGoOn(next) ? "settled" : "done" };
}
