/**
 * The stand-in's kept classes: one class of eleven, and groups that only have to look like groups.
 * Ada and Bo are kept apart, which nobody can do while there is one table.
 * @import {ClassLine, ClassTold, GroupsAsked, GroupsTold, HomeAsked, LessonAsked, PictureAsked, SuggestedDeck} from "../../../server/pages/types/wire.js"
 */
import { CLASS, LESSON } from "./views.mjs";

/** A deck as play suggests it; only its name and its reasons are read here. @type {SuggestedDeck} */
export const SUGGESTED = {
  name: "Numbers 1 to 10", why: ["In the deck: “6”, which is not yet steady.", "In the deck: “2”, which goes well already."],
  deck: {
    ages: "SixToSeven", skill: "Numbers", confusables: "Allow", number_min: 1, number_max: 10, groups: 7,
    wishes: { kinds_out: [], groups_in: ["6", "2"], groups_out: [], cards_in: [], cards_out: [] },
    accent: { pin_is_pen: true, cot_is_caught: true }, switches: { exact_names: false, quarter_words: false, coin_values: false },
  },
};

export const KEPT = "c".repeat(32);
/** 24 February 2027, at noon in London. */
const KEPT_UNTIL = Date.UTC(2027, 1, 24, 12) * 1_000;

/** What the page has asked, for checks. @type {{ method: string, path: string, body: string }[]} */
export const askedOfClasses = [];

/** @type {ClassTold} */ let told;
let deleted = false;

/** As before any test. */
export function resetClasses() {
  told = { class: KEPT, name: "Acorn class", pupils: CLASS.map(([name, picture]) => ({ name, picture, at_home: false })), with_readiness: 11, pairs_apart: 1, kept_until: KEPT_UNTIL };
  deleted = false;
  askedOfClasses.length = 0;
}
resetClasses();

/** @param {number[][]} tables @param {string} why @returns {GroupsTold} */
function answer(tables, why) {
  const children = tables.flat().length;
  const together = tables.some((table) => table.includes(0) && table.includes(1));
  return {
    tables: tables.filter((table) => table.length > 0).map((pupils) => ({ pupils, partners: Math.max(0, 3 - pupils.length), why: [], deck: null })),
    seating: `${children} children sit at ${tables.filter((table) => table.length > 0).length} tables.`,
    apart: together ? `Ada and Bo ${why}.` : null,
    alone: tables.some((table) => table.length === 1 && told.pupils[table[0] ?? -1]?.at_home) ? "Cleo plays at home without another child at the table. Seat a child beside this child." : null,
  };
}

/** @param {GroupsAsked} question */
function groups(question) {
  const withDecks = (/** @type {GroupsTold} */ told) => ({ ...told, tables: told.tables.map((table) => ({ ...table, deck: SUGGESTED })) });
  if ("ByHand" in question) {
    const told = answer(question.ByHand.tables, "share a table, though your list keeps them apart");
    return question.ByHand.with_decks ? withDecks(told) : told;
  }
  const { here, draw, way } = question.Choose;
  const count = Math.ceil(here.length / 4);
  /** @type {number[][]} */
  const tables = Array.from({ length: count }, () => []);
  here.forEach((pupil, place) => tables[(place + (place < count ? draw : 0)) % count]?.push(pupil));
  const told = answer(tables, "cannot be kept apart");
  if (way === "FromPlay") for (const table of told.tables) table.why = ["Together, since “6” and “9” are not yet steady for all."];
  return way === "FromPlay" ? withDecks(told) : told;
}

/**
 * An answer with its status; `null` if the address is none of a class.
 * @param {string} method @param {string} path @param {string} body
 * @returns {[object | null, number] | null}
 */
export function answerClasses(method, path, body) {
  if (!path.startsWith("/classes")) return null;
  askedOfClasses.push({ method, path, body });
  const is = (/** @type {string} */ what) => `${method} ${path}` === what;
  if (is("GET /classes")) {
    /** @type {ClassLine[]} */
    const lines = deleted ? [] : [{ class: KEPT, name: told.name, pupils: told.pupils.length, kept_until: told.kept_until }];
    return [lines, 200];
  }
  if (is("POST /classes")) return /,,|^\s*$/.test(body) ? [{ message: "There is no picture called \"dragon\".", line: 3 }, 400] : [told, 201];
  if (deleted || !path.startsWith(`/classes/${KEPT}`)) return [{ message: "This class is not kept here any more.", line: null }, 404];
  if (is(`GET /classes/${KEPT}`) || is(`PUT /classes/${KEPT}`)) return [told, 200];
  if (is(`DELETE /classes/${KEPT}`)) { deleted = true; return [null, 200]; }
  if (path.endsWith("/groups")) return [groups(/** @type {GroupsAsked} */ (JSON.parse(body))), 200];
  if (path.endsWith("/lessons")) {
    const { name } = /** @type {LessonAsked} */ (JSON.parse(body));
    return [{ lesson: LESSON, seating: name }, 201];
  }
  if (path.endsWith("/home")) {
    const { pupil, at_home } = /** @type {HomeAsked} */ (JSON.parse(body));
    const child = told.pupils[pupil];
    if (child) child.at_home = at_home;
    return [told, 200];
  }
  if (path.endsWith("/picture")) {
    const { pupil, picture } = /** @type {PictureAsked} */ (JSON.parse(body));
    const child = told.pupils[pupil];
    const owner = told.pupils.find((one) => one.picture === picture);
    if (child) { if (owner) owner.picture = child.picture; child.picture = picture; }
    return [told, 200];
  }
  return [{ message: "There is nothing at this address.", line: null }, 404];
}
