/** Sorting as a small table of taps: letters are match groups, digits are places. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { begin, canGoOn, tapped } from "../../../server/pages/pupil/sort.js";

/** @param {string} groups @param {string} places */
function taps(groups, places) {
  let sort = begin([...groups].map((letter) => letter.charCodeAt(0)));
  const outcomes = [...places].map((place) => {
    const after = tapped(sort, Number(place));
    sort = after.sort;
    return after.outcome;
  });
  return { last: outcomes.at(-1), basket: sort.settled.join(""), lifted: sort.picked.join(""), more: canGoOn(sort) };
}

/** @type {readonly [string, string, ReturnType<typeof taps>][]} */
const CASES = [
  ["aabb", "0", { last: "lifted", basket: "", lifted: "0", more: true }],
  ["aabb", "00", { last: "put down", basket: "", lifted: "", more: true }],
  ["aabb", "02", { last: "other", basket: "", lifted: "2", more: true }],
  ["aabb", "01", { last: "settled", basket: "01", lifted: "", more: true }],
  ["aabb", "010", { last: "nothing", basket: "01", lifted: "", more: true }],
  ["aabb", "0123", { last: "done", basket: "0123", lifted: "", more: false }],
  ["aaab", "01", { last: "lifted", basket: "", lifted: "01", more: true }],
  ["aaab", "012", { last: "done", basket: "012", lifted: "", more: false }],
  ["aaaaaab", "0123", { last: "settled", basket: "0123", lifted: "", more: true }],
  ["aaaaaab", "012345", { last: "done", basket: "012345", lifted: "", more: false }],
  ["aaab", "3", { last: "lifted", basket: "", lifted: "3", more: true }],
  ["ab", "01", { last: "other", basket: "", lifted: "1", more: false }],
  ["ab", "9", { last: "nothing", basket: "", lifted: "", more: false }],
];

for (const [groups, places, expected] of CASES) {
  test(`${groups} tapped at ${places}`, () => assert.deepEqual(taps(groups, places), expected));
}
