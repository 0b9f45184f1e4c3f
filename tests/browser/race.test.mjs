/**
 * The teacher opens the last race of a table: the sentence, the picture, and the picture in words. From
 * there the wall display replays it calmly.
 * @import {HttpRefusal, RaceTold, WallRace} from "../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { axe, launch, until } from "./chromium.mjs";
import { LESSON, wall } from "./mock/views.mjs";
import { heard, sayToAll, startMock, urlOf } from "./mock.mjs";

/** @type {RaceTold} */
const RACE = {
  sentence: "Ada saw four alike; Bo reacted in 0.43 s; Cleo reacted in 0.61 s and was last.",
  lines: ["Ada: no measured reaction", "Bo: 430 ms; our own times allow 410 to 440 ms", "Cleo: 610 ms; our own times allow 600 to 640 ms"],
  picture_svg: '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 112" role="img"><title>One race</title><rect x="110" y="8" width="120" height="14" fill="#7a9a6a"/></svg>',
  can_replay: true,
};
/** @type {HttpRefusal} */
const NONE = { message: "There was no race at this table yet.", line: null };

/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => {
  server = await startMock();
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });

test("the last race opens as a sentence, a drawing and a list, by keyboard too, and a no is a sentence", async () => {
  const page = await (await browser.newContext({ viewport: { width: 1366, height: 768 }, baseURL: urlOf(server) })).newPage();
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
  await axe(page, { within: "#race" });
  await dialog.getByRole("button", { name: "Show it on the wall, slowly" }).click();
  await dialog.getByRole("status").getByText("The wall display plays it now").waitFor();
  const wish = await until("the wish", () => heard.find((message) => "Board" in message && typeof message.Board.says === "object" && "ShowRace" in message.Board.says));
  assert.match(JSON.stringify(wish), /"ShowRace":\{"table":"[0-9a-f]{32}"\}/);
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
  answer = { status: 200, json: { ...RACE, can_replay: false } };
  await opener.click();
  await dialog.getByText("This race does not count").waitFor();
  assert.equal(await dialog.getByRole("button", { name: /wall/ }).count(), 0);
  await page.keyboard.press("Escape");
  answer = { status: 404, json: NONE };
  await opener.click();
  await dialog.getByRole("alert").getByText(NONE.message).waitFor();
  await dialog.getByRole("button", { name: "Close" }).click();
  await dialog.waitFor({ state: "hidden" });
  await page.context().close();
});

/** Ada, Bo and Cleo sit there; Cleo took none. @type {WallRace} */
const WALL_RACE = {
  number: 1, table: "Table 2",
  seats: [
    { name: "Ada", picture: "kite", kind: "Pupil", here: true }, { name: "Bo", picture: "drum", kind: "Pupil", here: true },
    { name: "Cleo", picture: "pear", kind: "Pupil", here: true }, { name: "Dino", picture: "boot", kind: "Pupil", here: true },
  ],
  moments: [[1], [3, 0]],
};

for (const reducedMotion of /** @type {const} */ (["no-preference", "reduce"])) {
  test(`the wall replays a race slowly and compares nobody (${reducedMotion})`, async () => {
    const context = await browser.newContext({ viewport: { width: 1920, height: 1080 }, baseURL: urlOf(server), reducedMotion });
    const page = await context.newPage();
    await page.clock.install({ time: new Date("2026-02-02T08:00:00Z") });
    await page.goto(`/wall/${"e".repeat(32)}`);
    const words = page.locator("#wall-race-words");
    const tables = page.locator("#wall-tables");
    await tables.getByText("Table 1").waitFor();
    // From here the page's timers stand still until they are told to go on.
    await page.clock.pauseAt(new Date("2026-02-02T09:00:00Z"));
    const show = (/** @type {WallRace | null} */ race) => sayToAll({ Wall: { ...wall(true, 3), race } });
    show(WALL_RACE);
    await page.getByRole("heading", { name: "How the pebbles went at Table 2" }).waitFor();
    assert.equal(await tables.isVisible(), false, "nothing else beside it");
    const nests = () => page.locator(".race-seats li").evaluateAll((seats) => seats.map((seat) => seat.querySelectorAll(".race-nest .art").length));
    assert.deepEqual(await nests(), [0, 0, 0, 0]);
    const glides = () => page.evaluate(() => document.getAnimations().map((one) => Number(one.effect?.getComputedTiming().duration)));
    const step = async (/** @type {string} */ said, /** @type {number[]} */ held) => {
      await page.clock.runFor(2_500);
      await words.getByText(said, { exact: true }).waitFor();
      assert.deepEqual(await nests(), held);
      for (const ms of await glides()) assert.ok(ms >= 1_000, "nothing moves fast");
      if (reducedMotion === "reduce") assert.deepEqual(await glides(), [], "nothing moves");
    };
    await step("Bo takes a pebble.", [0, 1, 0, 0]);
    await step("Dino and Ada take a pebble.", [1, 1, 0, 1]);
    // The same for everybody but for the pebble: no mark, no place, no time, nothing of who was last.
    const looks = await page.locator(".race-seats li").evaluateAll((seats) => new Set(seats.map((seat) => [seat.className, ...[...seat.children].map((part) => `${part.tagName}.${part.className}`)].join(" "))).size);
    assert.equal(looks, 1);
    assert.doesNotMatch(await page.locator("main").innerText(), /\d (ms|s)\b|first|last|fast|slow|lost|won/i);
    await step("All pebbles go back for the next round.", [0, 0, 0, 0]);
    await page.clock.runFor(2_500);
    await tables.getByText("Table 1").waitFor();
    // The same one again, as when the view changes for another reason: it was played already.
    show(WALL_RACE);
    show(null);
    show({ ...WALL_RACE, number: 2, table: "Table 3" });
    await page.getByRole("heading", { name: "How the pebbles went at Table 3" }).waitFor();
    await context.close();
  });
}

test("the replay on the wall keeps to the rules of accessible pages that a program can check", async () => {
  const context = await browser.newContext({ viewport: { width: 1920, height: 1080 }, baseURL: urlOf(server) });
  const page = await context.newPage();
  await page.goto(`/wall/${"e".repeat(32)}`);
  await page.locator("#wall-tables").getByText("Table 1").waitFor();
  sayToAll({ Wall: { ...wall(true, 3), race: { ...WALL_RACE, moments: WALL_RACE.seats.map((_, seat) => [seat]) } } });
  await page.locator(".race-nest .art").first().waitFor();
  await axe(page);
  await context.close();
});
