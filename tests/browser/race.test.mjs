/**
 * The teacher opens the last race of a table: the sentence, the picture, and the picture in words.
 * @import {HttpRefusal, RaceTold} from "../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { AxeBuilder } from "@axe-core/playwright";
import { chromium } from "playwright-core";
import { LESSON } from "./mock/views.mjs";
import { startMock } from "./mock.mjs";

const PORT = 8096;
/** @type {RaceTold} */
const RACE = {
  sentence: "Ada saw four alike; Bo reacted in 0.43 s; Cleo reacted in 0.61 s and was last.",
  lines: ["Ada: no measured reaction", "Bo: 430 ms; our own times allow 410 to 440 ms", "Cleo: 610 ms; our own times allow 600 to 640 ms"],
  picture_svg: '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 112" role="img"><title>One race</title><rect x="110" y="8" width="120" height="14" fill="#7a9a6a"/></svg>',
};
/** @type {HttpRefusal} */
const NONE = { message: "There was no race at this table yet.", line: null };

/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => {
  server = await startMock(PORT);
  browser = await chromium.launch({ executablePath: process.env["CHROMIUM"] ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"] });
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });

test("the last race opens as a sentence, a drawing and a list, by keyboard too, and a no is a sentence", async () => {
  const page = await (await browser.newContext({ viewport: { width: 1366, height: 768 }, baseURL: `http://127.0.0.1:${PORT}` })).newPage();
  /** @type {string[]} */ const asked = [];
  let answer = { status: 200, json: /** @type {object} */ (RACE) };
  await page.route("**/lessons/*/tables/*/race", (route) => {
    asked.push(new URL(route.request().url()).pathname);
    return route.fulfill(answer);
  });
  await page.goto(`/teacher#${LESSON}`);
  const opener = page.getByRole("button", { name: /^the last race at Table/ }).first();
  await opener.focus();
  await page.keyboard.press("Enter");
  const dialog = page.getByRole("dialog", { name: /^The last race at Table/ });
  await dialog.getByText(RACE.sentence).waitFor();
  assert.match(asked[0] ?? "", new RegExp(`^/lessons/${LESSON}/tables/[0-9a-f]{32}/race$`));
  assert.equal(await dialog.locator("svg rect").count(), 1);
  assert.deepEqual(await dialog.getByRole("listitem").allTextContents(), RACE.lines);
  const { violations } = await new AxeBuilder({ page }).include("#race").withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]).analyze();
  assert.deepEqual(violations.map(({ id, nodes }) => [id, nodes.map((node) => node.html.slice(0, 160))]), []);
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
  answer = { status: 404, json: NONE };
  await opener.click();
  await dialog.getByRole("alert").getByText(NONE.message).waitFor();
  await dialog.getByRole("button", { name: "Close" }).click();
  await dialog.waitFor({ state: "hidden" });
  await page.context().close();
});
