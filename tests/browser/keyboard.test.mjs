/**
 * By keyboard alone (WCAG 2.2, 2.1.1, 2.1.2, 2.4.7): a child's whole way from the four pictures to a pebble, help
 * and a break; the teacher's freeze, groups by hand and choice of a deck. No mouse, no script that sets the focus:
 * Tab must lead to each thing, what has the focus must show it, and no page may keep it.
 */
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { launch, untilHeard } from "./chromium.mjs";
import { askedOfClasses, KEPT, resetClasses } from "./mock/classes.mjs";
import { reach } from "./mock/states.mjs";
import { LESSON, SCENES } from "./mock/views.mjs";
import { heard, posted, sayToAll, startMock, urlOf } from "./mock.mjs";

/** @typedef {import("playwright-core").Page} Page */
/** @typedef {import("playwright-core").Locator} Locator */

/** More stops than any page has; a page that keeps the focus runs into it. */
const STOPS_MAX = 160;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
let url = "";
before(async () => {
  server = await startMock();
  url = urlOf(server);
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));

/** @param {import("./mock/states.mjs").State} state */
async function open(state) {
  heard.length = 0;
  posted.length = 0;
  resetClasses();
  return reach(browser, url, state, { viewport: { width: 1366, height: 768 }, reducedMotion: "reduce" });
}

/** Tabs until a thing has the focus, and sees that it shows. @param {Page} page @param {Locator} thing */
async function tabTo(page, thing) {
  await thing.waitFor();
  for (let stops = 0; stops < STOPS_MAX; stops += 1) {
    if (await thing.evaluate((one) => one === document.activeElement)) {
      const { outlineStyle, outlineWidth } = await thing.evaluate((one) => {
        const { outlineStyle, outlineWidth } = getComputedStyle(one);
        return { outlineStyle, outlineWidth: parseFloat(outlineWidth) };
      });
      assert.ok(outlineStyle === "solid" && outlineWidth >= 2, `the focus shows: ${await thing.evaluate((one) => one.outerHTML.slice(0, 90))}`);
      return;
    }
    await page.keyboard.press("Tab");
  }
  assert.fail(`Tab does not lead to ${thing}`);
}

/** @param {Page} page @param {Locator} thing @param {string} [key] */
async function use(page, thing, key = "Enter") {
  await tabTo(page, thing);
  await page.keyboard.press(key);
}

const seatSaid = () => heard.flatMap((message) => ("Seat" in message ? [message.Seat.says] : []));
/** @param {string} kind */
const saidOf = (kind) => seatSaid().filter((says) => (typeof says === "string" ? says === kind : kind in says));

test("a child joins, keeps, passes and takes a pebble", async () => {
  const page = await open({ name: "", path: "/", shows: "#join-grid button" });
  // Space and Enter both press a button.
  for (const [name, key] of /** @type {const} */ ([["boat", "Enter"], ["sun", "Space"], ["key", "Enter"], ["tree", "Space"]])) {
    await use(page, page.locator("#join-grid").getByRole("button", { name, exact: true }), key);
  }
  await use(page, page.getByRole("button", { name: "Cleo" }));
  await page.locator("#considered .face svg").waitFor();
  await tabTo(page, page.locator("#hand .card").nth(1));
  // A card that has just come is not decided by the second half of a double tap: pressed until it is.
  for (let presses = 0; presses < 100 && saidOf("Keep").length === 0; presses += 1) { await page.keyboard.press("Enter"); await page.waitForTimeout(30); }
  await untilHeard(() => saidOf("Keep").length > 0);
  await page.locator("#considered .face svg").waitFor();
  await tabTo(page, page.locator("#pass"));
  for (let presses = 0; presses < 100 && saidOf("Pass").length === 0; presses += 1) { await page.keyboard.press("Enter"); await page.waitForTimeout(30); }
  await untilHeard(() => saidOf("Pass").length > 0);
  await page.locator("#tokens.live").waitFor();
  await use(page, page.locator(".token").nth(1));
  await untilHeard(() => saidOf("Grab").length === 1);
});

test("the dealer opens the next card", async () => {
  const page = await open({ name: "", path: "/", scene: "dealer", shows: "#hand .face svg" });
  await use(page, page.locator("#tray"));
  await untilHeard(() => saidOf("TakeUp").length === 1);
});

test("a child asks for help, takes the hand down, has a break and comes back", async () => {
  const page = await open({ name: "", path: "/", scene: "deciding", shows: "#hand .face svg" });
  const dialog = page.getByRole("dialog", { name: "Ask your teacher" });
  await use(page, page.locator("#ask"));
  await use(page, dialog.getByRole("button", { name: "Help" }));
  await untilHeard(() => saidOf("Help").length === 1);
  await dialog.waitFor({ state: "hidden" });
  assert.equal(await page.evaluate(() => document.activeElement?.id), "ask", "the focus is back where it was");
  await page.keyboard.press("Enter");
  await dialog.waitFor();
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
  await use(page, page.locator("#ask"));
  await use(page, dialog.getByRole("button", { name: "A break" }));
  await untilHeard(() => saidOf("Break").length === 1);
  const care = SCENES["resting"]?.care;
  assert.ok(care);
  sayToAll({ Seat: { number: 2, news: { Care: care } } });
  await page.getByRole("heading", { name: "A break" }).waitFor();
  await use(page, page.getByRole("button", { name: "Play again" }));
  await untilHeard(() => saidOf("Break").length === 2);
  assert.deepEqual(saidOf("Break"), [{ Break: { wanted: true } }, { Break: { wanted: false } }]);
});

test("under a pause nothing is left to look at or to reach, not even an open dialog", async () => {
  const page = await open({ name: "", path: "/", scene: "deciding", shows: "#hand .face svg" });
  const now = SCENES["deciding"];
  assert.ok(now);
  await use(page, page.locator("#ask"));
  await page.getByRole("dialog").waitFor();
  sayToAll({ Seat: { number: 2, news: { Table: { ...now.table, paused: true } } } });
  await page.getByRole("heading", { name: "Pause" }).waitFor();
  assert.equal(await page.locator("dialog[open]").count(), 0);
  heard.length = 0;
  /** @type {Set<string>} */ const reached = new Set();
  for (let stops = 0; stops < 20; stops += 1) {
    await page.keyboard.press("Tab");
    reached.add(await page.evaluate(() => document.activeElement?.tagName ?? ""));
  }
  assert.deepEqual([...reached], ["BODY"]);
  for (const key of ["1", "ArrowRight", "ArrowUp", "t", "u"]) await page.keyboard.press(key);
  sayToAll({ Seat: { number: 3, news: { Table: now.table } } });
  await page.locator("#veil").waitFor({ state: "hidden" });
  assert.deepEqual(seatSaid(), []);
});

test("a child between rounds, and one who watches and sorts", async () => {
  const rest = await open({ name: "", path: "/", scene: "cheers", shows: "#cheers-send button" });
  await use(rest, rest.getByRole("button", { name: "Flower" }));
  await untilHeard(() => saidOf("Cheer").length === 1);
  await use(rest, rest.locator("#ask-moment"));
  await rest.getByRole("dialog", { name: "Ask your teacher" }).waitFor();
  const watching = await open({ name: "", path: "/", scene: "sorts", shows: "#sorting .face svg" });
  const card = watching.locator("#sorting-cards .card").first();
  await use(watching, card);
  assert.equal(await card.getAttribute("aria-pressed"), "true");
  await watching.keyboard.press("Enter");
  assert.equal(await card.getAttribute("aria-pressed"), "false");
});

test("the teacher freezes all tables, and one, and lets them go on", async () => {
  const page = await open({ name: "", path: `/teacher#${LESSON}`, shows: ".table-card h2" });
  await use(page, page.getByRole("button", { name: "Freeze all" }));
  await use(page, page.getByRole("button", { name: "Freeze Table 1" }));
  const said = () => heard.flatMap((message) => ("Board" in message ? [message.Board.says] : []));
  await untilHeard(() => said().length === 2);
  assert.deepEqual(said(), [{ Pause: { table: null } }, { Pause: { table: "1".repeat(32) } }]);
});

test("the teacher makes groups by hand", async () => {
  const page = await open({ name: "", path: `/teacher#class=${KEPT}`, shows: "#group-tables select" });
  const where = page.getByLabel("Where Ada sits");
  await tabTo(page, where);
  const before = await where.inputValue();
  await page.keyboard.press("ArrowDown");
  await page.waitForFunction((old) => /** @type {HTMLSelectElement | null} */ (document.querySelector('[aria-label="Where Ada sits"]'))?.value !== old, before);
  await untilHeard(() => askedOfClasses.some(({ path, body }) => path.endsWith("/groups") && "ByHand" in JSON.parse(body)));
  await use(page, page.getByRole("button", { name: "Make the lesson with these groups" }));
  await untilHeard(() => askedOfClasses.some(({ path }) => path.endsWith("/lessons")));
});

test("the teacher chooses a deck for the next game", async () => {
  const page = await open({ name: "", path: `/teacher#decks-${LESSON}`, shows: "#deck-groups-shown svg" });
  await tabTo(page, page.locator("#deck-skill"));
  await page.keyboard.type("Let");
  await page.locator("#deck-name", { hasText: "Letters" }).waitFor();
  await use(page, page.getByRole("button", { name: "Use these cards" }));
  await untilHeard(() => posted.some(({ path }) => path === `/lessons/${LESSON}/deck` || path === `/lessons/${LESSON}/plan`));
});
