/**
 * What the teacher puts on the wall: she chooses four cards or the model table on her board, and the wall
 * shows them large and without names.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { axe, launch, untilHeard } from "./chromium.mjs";
import { board, LESSON, wall } from "./mock/views.mjs";
import { heard, sayToAll, startMock, urlOf } from "./mock.mjs";

const DECK = "d".repeat(32);
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => { server = await startMock(); browser = await launch(); });
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });

const said = (/** @type {string} */ words) => untilHeard(() => heard.some((message) => "Board" in message && JSON.stringify(message.Board.says).includes(words)));

test("she sends four to the wall, hides one and walks through the model", async () => {
  const page = await (await browser.newContext({ viewport: { width: 1366, height: 768 }, baseURL: urlOf(server) })).newPage();
  await page.goto(`/teacher#${LESSON}`);
  await page.getByText("On the wall", { exact: true }).click();
  await page.getByRole("button", { name: /^Four cards on the wall/ }).first().click();
  await said('"Four":{"deck"');
  await page.getByRole("button", { name: "Last four of Table 2" }).click();
  await said('"LastFour"');
  sayToAll({ Board: { ...board(3), wall_shows: { four: { deck: DECK, cards: [0, 1, 2, 3] }, model: null } } });
  await page.getByRole("button", { name: "Hide card 3" }).click();
  await said('"Hide":{"place":2}');
  await axe(page, { within: "#on-wall" });
  if (process.env["SHOTS"]) await page.screenshot({ path: `${process.env["SHOTS"]}/board.png` });
  await page.context().close();
});

test("the wall shows four, a card turned over, and a step of the model, and then the tables again", async () => {
  const page = await (await browser.newContext({ viewport: { width: 1920, height: 1080 }, baseURL: urlOf(server) })).newPage();
  await page.goto(`/wall/${"e".repeat(32)}`);
  await page.locator("#wall-tables").getByText("Table 1").waitFor();
  const shoot = async (/** @type {string} */ name) => { if (process.env["SHOTS"]) await page.screenshot({ path: `${process.env["SHOTS"]}/${name}.png` }); };
  const show = (/** @type {import("../../server/pages/types/wire.js").WallShows} */ shows) => sayToAll({ Wall: { ...wall(true, 3), shows } });
  show({ four: { deck: DECK, cards: [0, 1, 2, 3] }, model: null });
  await page.getByText("These match because").waitFor();
  assert.equal(await page.locator(".wall-four svg").count(), 4);
  assert.equal(await page.locator("#wall-tables").isVisible(), false, "no names beside them");
  await axe(page);
  await shoot("four");
  show({ four: { deck: DECK, cards: [0, 1, null, 3] }, model: null });
  await page.getByText("What is missing? How do you know?").waitFor();
  assert.equal(await page.locator(".wall-four svg").count(), 3);
  await shoot("hidden");
  const seat = { name: "The bee", picture: /** @type {const} */ ("bee"), hand: [0, 1, 2, 3], considering: null, waiting: 0, token: false, acts: false };
  show({ four: null, model: { deck: DECK, step: 4, steps: 20, words: "The bee looks at one new card.", tokens: 2, draw_pile: 7, seats: [{ ...seat, considering: 4, acts: true }, { ...seat, name: "The snail", picture: "snail", token: true }, { ...seat, name: "The mole", picture: "mole", waiting: 2 }] } });
  await page.getByText("The bee looks at one new card.").waitFor();
  assert.equal(await page.locator(".model-seats li").count(), 3);
  await axe(page);
  await shoot("model");
  show({ four: null, model: null });
  await page.locator("#wall-tables").getByText("Table 1").waitFor();
  await page.context().close();
});
