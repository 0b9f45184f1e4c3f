/**
 * Every page of the stand-in in every main state, and how to get there. Tests walk through them, and
 * people look at pictures of them (`shots.mjs`).
 * @import {BrowserContextOptions, Browser, Page} from "playwright-core"
 * @import {WallRace, WallShows} from "../../../server/pages/types/wire.js"
 */
import { sayToAll, tokenOf } from "../mock.mjs";
import { KEPT } from "./classes.mjs";
import { CROWDED, WAITING_CODE } from "./doors.mjs";
import { LESSON, SCENES, wall } from "./views.mjs";

/**
 * @typedef {object} State
 * @property {string} name
 * @property {string} path
 * @property {string} shows what stands on the page once the state is reached; nothing that goes away by itself
 * @property {string} [scene] the seat that the device holds
 * @property {(page: Page) => Promise<unknown>} [act] what somebody does there
 * @property {boolean} [signedOut]
 */

const TEN = "2".repeat(32);
const [BOARD, TEN_TABLES] = [`/teacher#${LESSON}`, `/teacher#${TEN}`];
const WALL = `/wall/${"e".repeat(32)}`;
const DECK = "d".repeat(32);
/** @param {Partial<{ shows: WallShows, race: WallRace }>} more */
const toWall = (more) => async (/** @type {Page} */ page) => { await page.locator("#wall-tables li").first().waitFor(); sayToAll({ Wall: { ...wall(true, 3), ...more } }); };
const modelSeat = { name: "The bee", picture: /** @type {const} */ ("bee"), hand: [0, 1, 2, 3], considering: null, waiting: 0, token: false, acts: false };
/** @param {string} words */
const tap = (words) => (/** @type {Page} */ page) => page.getByRole("button", { name: words, exact: true }).first().click();
/** Opens what is folded. @param {string} root */
const unfold = (root) => (/** @type {Page} */ page) => page.locator(`${root} details`).evaluateAll((all) => { for (const one of all) /** @type {HTMLDetailsElement} */ (one).open = true; });

/** What shows a scene of the table, by its phase. @param {string} scene */
export function shown(scene) {
  const view = SCENES[scene];
  if (!view || view.table.paused || view.care.on_break || view.care.partner_holds) return "#veil h2";
  if (view.table.phase === "Naming") return ".naming-card svg, #moment h1";
  if (view.table.phase !== "Playing" && view.table.phase !== "Dealt") return "#moment h1";
  return view.hand ? "#hand .face svg" : view.sorting.length > 0 ? "#sorting .face svg" : "#neighbours .portrait img";
}

/** @type {readonly State[]} */
export const CHILDREN = [
  { name: "join-row", path: "/", shows: "#join-grid button" },
  { name: "join-some", path: "/", shows: "#join-slots button", act: async (page) => { for (const name of ["boat", "sun"]) await tap(name)(page); } },
  { name: "join-wrong", path: "/", shows: "#join-note .art", act: async (page) => { for (let times = 0; times < 4; times += 1) await tap("sun")(page); } },
  { name: "join-places", path: `/j/${"c".repeat(32)}`, shows: "#join-tiles button" },
  { name: "join-many-places", path: `/j/${"f".repeat(32)}`, shows: "#join-tiles button" },
  { name: "join-card-waits", path: `/p#${WAITING_CODE}`, shows: "#join-wait-who img" },
  { name: "join-card-revoked", path: `/p#${"c".repeat(32)}`, shows: "#join-shut-title:not(:empty)" },
  { name: "join-home-empty", path: "/h", shows: "#join-shut-title:not(:empty)" },
  { name: "join-tablet", path: "/tablet", shows: "#join-tablet-sit img" },
  { name: "just-joined", path: `/j/${"c".repeat(32)}`, shows: "#hand .face svg", act: (page) => page.locator("#join-tiles button").first().click() },
  ...Object.keys(SCENES).map((scene) => ({ name: `table-${scene}`, path: "/", scene, shows: shown(scene) })),
  ...["elsewhere", "over", "away"].map((scene) => ({ name: `table-${scene}`, path: "/", scene, shows: "#veil h2" })),
  { name: "table-arranging", path: "/", scene: "deciding", shows: ".slot.moving", act: (page) => page.locator("#move").click() },
  { name: "table-asks", path: "/", scene: "deciding", shows: "#ask-dialog[open]", act: (page) => page.locator("#ask").click() },
  { name: "table-falsegrab", path: "/", scene: "play", shows: "#hand .face svg", act: async (page) => { await page.locator("#tokens.live").waitFor(); await page.locator(".token").first().click(); } },
  { name: "table-undo", path: "/", scene: "play", shows: "#hand .face svg", act: async (page) => { await page.locator("#considered .face svg").waitFor(); for (let tries = 0; tries < 50 && await page.locator(".undo.shown").count() === 0; tries += 1) { await page.locator("#pass").click(); await page.waitForTimeout(100); } } },
  { name: "shared-covered", path: `/shared#${LESSON}=0,1,2`, shows: "#cover .button" },
  { name: "shared-open", path: `/shared#${LESSON}=0,1,2`, shows: "iframe.open", act: async (page) => { await page.locator("#cover .button").click(); await page.frameLocator("iframe.open").locator("#hand .face svg").first().waitFor(); } },
];

/** @type {readonly State[]} */
export const ADULTS = [
  { name: "shared-none", path: "/shared", shows: "#cover a" },
  { name: "table-keys", path: "/", scene: "deciding", shows: "#keys-help[open]", act: (page) => page.locator("#keys").evaluate((one) => /** @type {HTMLElement} */ (one).click()) },
  { name: "home", path: "/home", shows: "ol" },
  { name: "teacher-signed-out", path: "/teacher", shows: "#sign-in h1", signedOut: true },
  { name: "teacher-lessons", path: "/teacher", shows: "#class-list li" },
  { name: "teacher-refused", path: "/teacher", shows: "#new-error:not(:empty)", act: async (page) => { await page.locator("#new-list").fill("Ada,kite\nCleo,,dragon"); await tap("Make the lesson")(page); } },
  { name: "teacher-pictures", path: "/teacher", shows: "#pictures[open]", act: tap("Pictures: Acorn class") },
  { name: "teacher-groups", path: `/teacher#class=${KEPT}`, shows: "#group-tables li" },
  { name: "teacher-board", path: BOARD, shows: ".table-card h2" },
  { name: "teacher-door-waits", path: `/teacher#${CROWDED}`, shows: "#door-waiting li" },
  { name: "teacher-unfolded", path: BOARD, shows: "#late-form", act: async (page) => { await page.locator(".table-card h2").first().waitFor(); await unfold("#board")(page); } },
  { name: "teacher-ten", path: TEN_TABLES, shows: ".table-card h2" },
  { name: "teacher-seat", path: BOARD, shows: "#seat[open]", act: tap("more for Ada") },
  { name: "teacher-support", path: BOARD, shows: "#support[open]", act: async (page) => { await tap("more for Ada")(page); await tap("Support")(page); } },
  { name: "teacher-plan", path: BOARD, shows: "#plan[open]", act: tap("Change the game") },
  { name: "teacher-door", path: BOARD, shows: "#door[open] .door-list", act: tap("Cards, links and tablets") },
  { name: "teacher-substitute", path: BOARD, shows: "#substitute[open]", act: tap("A substitute") },
  { name: "teacher-race", path: BOARD, shows: "#race[open] svg", act: (page) => page.getByRole("button", { name: /^the last race at/ }).first().click() },
  { name: "teacher-decks", path: "/teacher#decks", shows: "#deck-groups-shown svg" },
  { name: "teacher-decks-lesson", path: `/teacher#decks-${LESSON}`, shows: "#deck-groups-shown svg" },
  { name: "teacher-decks-unfolded", path: `/teacher#decks-${LESSON}`, shows: "#deck-printing[open]", act: async (page) => { await page.locator("#deck-groups-shown svg").first().waitFor(); await unfold("#decks")(page); } },
  { name: "substitute", path: `/substitute#${"a".repeat(32)}`, shows: "#today-tables article" },
  { name: "substitute-no-link", path: "/substitute", shows: "#closed-words" },
  { name: "wall-open", path: WALL, shows: "#wall-tables li" },
  { name: "wall-closed", path: `/wall/${"f".repeat(32)}`, shows: "#wall-tables li" },
  { name: "wall-ten", path: `/wall/${"a".repeat(32)}`, shows: "#wall-tables li" },
  { name: "wall-four", path: WALL, shows: ".wall-four svg", act: toWall({ shows: { four: { deck: DECK, cards: [0, 1, null, 3] }, model: null } }) },
  { name: "wall-model", path: WALL, shows: ".model-seats svg", act: toWall({ shows: { four: null, model: { deck: DECK, step: 4, steps: 20, words: "The bee looks at one new card.", tokens: 2, draw_pile: 7, seats: [{ ...modelSeat, considering: 4, acts: true }, { ...modelSeat, name: "The snail", picture: "snail", token: true }, { ...modelSeat, name: "The mole", picture: "mole", waiting: 2 }] } } }) },
  { name: "wall-race", path: WALL, shows: "#wall-name", act: toWall({ race: { number: 1, table: "Table 1", seats: [{ name: "Ada", picture: "kite", kind: "Pupil", here: true }, { name: "Bo", picture: "drum", kind: "Pupil", here: true }, { name: "Cleo", picture: "pear", kind: "Pupil", here: true }], moments: [[0], [1]] } }) },
];

/**
 * A page in a state, in a browser's context of its own.
 * @param {Browser} browser @param {string} baseURL @param {State} state @param {BrowserContextOptions} [options]
 */
export async function reach(browser, baseURL, { path, shows, scene, act, signedOut }, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1024, height: 768 }, baseURL, ...options });
  if (scene) await context.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf(scene));
  if (signedOut) await context.addCookies([{ name: "signed", value: "no", url: baseURL }]);
  const page = await context.newPage();
  await page.goto(path);
  if (act) await act(page);
  await page.locator(shows).first().waitFor();
  return page;
}
