/**
 * Placeholder faces for looking at pages without the server: numerals, dots, ten frames, tallies of
 * one to eight. The real drawings are the server's.
 * @import {Face, FaceSheet} from "../../../server/pages/types/wire.js"
 */

const NAMES = ["one", "two", "three", "four", "five", "six", "seven", "eight"];
const INK = "#2e2a24";

/** @param {number} n */
const dots = (n) => Array.from({ length: n }, (_, i) =>
  `<circle cx="${75 + (i % 3) * 50}" cy="${110 + Math.floor(i / 3) * 55}" r="19" fill="${INK}"/>`).join("");
/** @param {number} n */
const frame = (n) => Array.from({ length: 10 }, (_, i) => {
  const [x, y] = [30 + (i % 5) * 38, 130 + Math.floor(i / 5) * 38];
  return `<rect x="${x}" y="${y}" width="38" height="38" fill="#fff" stroke="${INK}" stroke-width="3"/>${i < n ? `<circle cx="${x + 19}" cy="${y + 19}" r="13" fill="#9c4b32"/>` : ""}`;
}).join("");
/** @param {number} n */
const tally = (n) => Array.from({ length: n }, (_, i) => {
  const bundle = Math.floor(i / 5) * 100;
  return i % 5 === 4
    ? `<path d="M${32 + bundle} 215 ${108 + bundle} 125" stroke="${INK}" stroke-width="8" stroke-linecap="round"/>`
    : `<path d="M${45 + bundle + (i % 5) * 17} 120v100" stroke="${INK}" stroke-width="8" stroke-linecap="round"/>`;
}).join("");
/** @param {number} n */
const numeral = (n) => `<text x="125" y="230" font-size="160" text-anchor="middle" fill="${INK}" font-family="sans-serif">${n}</text>`;
/** @param {string} body */
const card = (body) => `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 250 350"><rect width="250" height="350" fill="#fffefa"/>${body}<path d="M100 322h50" stroke="#a9774a" stroke-width="5" stroke-linecap="round"/></svg>`;

/** @type {Face[]} */
const faces = NAMES.flatMap((name, group) => {
  const n = group + 1;
  return /** @type {Face[]} */ ([
    { kind: "Numeral", group, svg: card(numeral(n)), label: "numeral card", label_after: `numeral, ${name}` },
    { kind: "Dots", group, svg: card(dots(n)), label: "dot card", label_after: `dots, ${name}` },
    { kind: "TenFrame", group, svg: card(frame(n)), label: "ten frame card", label_after: `ten frame, ${name}` },
    { kind: "Tally", group, svg: card(tally(n)), label: "tally card", label_after: `tally, ${name}` },
  ]);
});

/** Numerals with dots under them, marked so that a test finds them. @type {FaceSheet["with_helper"]} */
const withHelper = faces.flatMap((face, index) => (face.kind !== "Numeral" ? [] : [{
  face: index, helper: /** @type {const} */ ("DotsUnder"),
  svg: card(numeral(face.group + 1) + Array.from({ length: face.group + 1 }, (_, i) => `<circle data-part="helper" cx="${50 + i * 20}" cy="276" r="8" fill="${INK}"/>`).join("")),
}]));
/** Stand-ins for pictures: the page does not care. @type {FaceSheet["naming"]} */
const naming = ["cat", "hen", "sun"].map((word, place) => ({ face: 4 * place + 1, word, svg: card(dots(place + 1)) }));

/** @type {FaceSheet} */
export const SHEET = { deck: "d".repeat(32), name: "Numbers 1 to 8", faces, with_helper: withHelper, naming };
