/**
 * The live board and the quiet side of a child's page, against the stand-in: what stands first, what
 * is said on the wire, and that opened cards close by themselves.
 * @import {HandTold, LessonPlan, SlotAsked, SlotTold} from "../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { axe, launch, until, untilHeard } from "./chromium.mjs";
import { heard, startMock, tokenOf, urlOf } from "./mock.mjs";
import { LESSON } from "./mock/views.mjs";

/** @type {HandTold} */
const HAND = { name: "Bo", deck: "d".repeat(32), cards: [12, 14, 5, 31], considering: 13 };

/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => {
  server = await startMock();
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));

/** @param {{ width: number, height: number }} viewport @param {string | null} scene */
async function fresh(viewport, scene = null) {
  const context = await browser.newContext({ viewport, baseURL: urlOf(server), reducedMotion: "reduce", hasTouch: true });
  if (scene) await context.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf(scene));
  heard.length = 0;
  return context.newPage();
}

const boardSaid = () => heard.flatMap((message) => ("Board" in message ? [message.Board.says] : []));
const seatSaid = () => heard.flatMap((message) => ("Seat" in message ? [message.Seat.says] : []))
  .filter((says) => typeof says === "object" && ("Help" in says || "Break" in says));

test("the table that needs her most comes first, with the reason in words", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  await page.goto(`/teacher#${LESSON}`);
  await page.locator(".table-card h2").first().waitFor();
  assert.deepEqual((await page.locator(".table-card h2").allTextContents()).slice(0, 3), ["Table 3", "Table 1", "Table 2"]);
  await page.getByText(/^waiting for .* for 37 seconds$/).first().waitFor();
  await page.getByText(/^Table 3: .* asks for help\.$/).waitFor();
  await axe(page);
});

test("freeze, bell, last round of one table, and a child's seat: each says what it should", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  await page.route("**/seats/*/hand", (route) => route.fulfill({ json: HAND }));
  await page.clock.install({ time: new Date("2026-02-02T08:00:00Z") });
  await page.goto(`/teacher#${LESSON}`);
  await page.getByRole("button", { name: "Freeze all" }).click();
  await page.getByRole("button", { name: /bell/ }).first().click();
  await page.getByRole("button", { name: "more for Bo", exact: true }).click();
  const dialog = page.getByRole("dialog", { name: "Bo, Table 1" });
  await dialog.getByRole("button", { name: "Remind softly" }).click();
  await dialog.getByRole("button", { name: "Let a helper play" }).click();
  await untilHeard(() => boardSaid().length === 4);
  const at = { table: "1".repeat(32), seat: 1 };
  assert.deepEqual(boardSaid(), [{ Pause: { table: null } }, { Bell: { table: null, ring: false } }, { Nudge: at }, { HandOver: { ...at, partner: true } }]);
  await dialog.getByRole("button", { name: /Look at the cards/ }).click();
  await dialog.locator(".opened-cards .face svg").nth(4).waitFor();
  await axe(page);
  // The page's clock ran on while axe looked, which takes seconds on a busy machine: opened anew, and from here
  // its timers stand still until they are told to go on.
  await page.keyboard.press("Escape");
  await page.clock.pauseAt(new Date("2026-02-02T09:00:00Z"));
  await page.getByRole("button", { name: "more for Bo", exact: true }).click();
  await dialog.getByRole("button", { name: /Look at the cards/ }).click();
  await dialog.locator(".opened-cards .face svg").nth(4).waitFor();
  await page.clock.fastForward(8_000);
  assert.equal(await dialog.locator(".opened-cards").count(), 1, "still open after eight seconds");
  await page.clock.fastForward(2_500);
  await dialog.locator(".opened-cards").waitFor({ state: "detached" });
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
});

test("on a phone the acts for all tables lie at the bottom, within reach of a thumb", async () => {
  const page = await fresh({ width: 390, height: 780 });
  await page.goto(`/teacher#${LESSON}`);
  await page.locator(".table-card h2").first().waitFor();
  const freeze = page.getByRole("button", { name: "Freeze all" });
  await freeze.waitFor();
  const box = await freeze.boundingBox();
  assert.ok(box && box.y > 390 && box.y + box.height <= 780 && box.height >= 44, JSON.stringify(box));
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing hangs over the edge");
});

test("a child asks for help or takes a break in two taps, and plays again in one", async () => {
  const page = await fresh({ width: 768, height: 1024 }, "deciding");
  await page.goto("/");
  await page.locator("#considered .face svg").waitFor();
  await page.getByRole("button", { name: "Ask", exact: true }).tap();
  const dialog = page.getByRole("dialog", { name: "Ask your teacher" });
  await dialog.waitFor();
  await axe(page);
  await dialog.getByRole("button", { name: "Help" }).tap();
  await untilHeard(() => seatSaid().length === 1);
  await dialog.waitFor({ state: "hidden" });
  await page.getByRole("button", { name: "Ask", exact: true }).tap();
  await dialog.getByRole("button", { name: "A break" }).tap();
  await untilHeard(() => seatSaid().length === 2);
  assert.deepEqual(seatSaid(), [{ Help: { wanted: true } }, { Break: { wanted: true } }]);
  await page.context().close();
  const resting = await fresh({ width: 768, height: 1024 }, "resting");
  await resting.goto("/");
  await resting.getByRole("heading", { name: "A break" }).waitFor();
  await axe(resting);
  await resting.getByRole("button", { name: "Play again" }).tap();
  await untilHeard(() => seatSaid().length === 1);
  assert.deepEqual(seatSaid(), [{ Break: { wanted: false } }]);
});

test("a seat that the teacher gave to a helper says so and offers no button", async () => {
  const page = await fresh({ width: 768, height: 1024 }, "held");
  await page.goto("/");
  await page.getByText("A helper plays your cards.").waitFor();
  assert.equal(await page.locator("#veil button").count(), 0);
});

test("a raised hand can be taken down again", async () => {
  const page = await fresh({ width: 1366, height: 650 }, "asked");
  await page.goto("/");
  await page.locator('#ask[aria-pressed="true"]').tap();
  await page.getByRole("dialog").getByRole("button", { name: "Help" }).tap();
  await untilHeard(() => seatSaid().length === 1);
  assert.deepEqual(seatSaid(), [{ Help: { wanted: false } }]);
});

test("a child moves after the round, one without a seat sits down, a late-comer is added", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  await page.goto(`/teacher#${LESSON}`);
  await page.getByText("Who comes late or has no seat").click();
  // Her choice stands where the least disturbing table does until she makes another.
  await page.getByRole("button", { name: "let Kim sit there" }).click();
  await page.getByLabel("Nickname").fill("Noor");
  assert.equal(await page.locator("#late-table option:checked").textContent(), "Table 2");
  await page.locator("#late-table").selectOption({ label: "Table 3" });
  await page.getByRole("button", { name: "Comes late" }).click();
  await page.getByRole("button", { name: "more for Bo", exact: true }).click();
  const dialog = page.getByRole("dialog", { name: "Bo, Table 1" });
  await dialog.getByLabel("Where the child goes after this round").selectOption({ label: "Table 3" });
  await dialog.getByRole("button", { name: "Move after this round" }).click();
  await untilHeard(() => boardSaid().length === 3);
  assert.deepEqual(boardSaid(), [
    { MovePupil: { pupil: 30, table: "2".repeat(32) } }, { AddPupil: { name: "Noor", table: "3".repeat(32) } },
    { MovePupil: { pupil: 1, table: "3".repeat(32) } },
  ]);
  await axe(page);
});

test("ten tables stand on one laptop screen, and a small card opens to the rest", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  await page.goto(`/teacher#${"2".repeat(32)}`);
  await page.locator(".table-card h2").nth(9).waitFor();
  const bottoms = await page.locator(".table-card").evaluateAll((all) => all.map((card) => card.getBoundingClientRect().bottom));
  assert.equal(bottoms.length, 10);
  assert.ok(Math.max(...bottoms) <= 768, `the last card ends at ${Math.max(...bottoms)}`);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing hangs over the edge");
  await axe(page);
  const end = page.getByRole("button", { name: "End Table 2", exact: true });
  assert.equal(await end.isVisible(), false);
  await page.getByRole("button", { name: "all about Table 2", exact: true }).click();
  await end.waitFor();
  await axe(page);
  await page.getByRole("button", { name: "all about Table 2", exact: true }).click();
  await end.waitFor({ state: "hidden" });
});

test("all tables freeze in one tap from her pages without a board too", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  /** @type {string[]} */ const frozen = [];
  await page.route("**/lessons/*/freeze", (route) => { frozen.push(route.request().url().split("/").at(-2) ?? ""); return route.fulfill({ json: frozen.length > 1 }); });
  for (const address of ["/teacher#", "/teacher#decks", `/teacher#decks-${LESSON}`]) {
    await page.goto("about:blank");
    await page.goto(address);
    frozen.length = 0;
    await page.getByRole("button", { name: "Freeze all" }).click();
    await page.getByText("All tables are frozen. Open the lesson to let them go on.").waitFor();
    assert.deepEqual(frozen.sort(), [LESSON, "2".repeat(32)].sort(), address);
  }
  await axe(page);
  await page.goto(`/teacher#${LESSON}`);
  await page.locator(".table-card h2").first().waitFor();
  await page.locator("#freeze").waitFor({ state: "hidden" });
});

test("a child asks between rounds as well", async () => {
  const page = await fresh({ width: 768, height: 1024 }, "roundover");
  await page.goto("/");
  await page.locator("#moment").waitFor();
  await page.getByRole("button", { name: "Ask", exact: true }).tap();
  await page.getByRole("dialog", { name: "Ask your teacher" }).getByRole("button", { name: "Help" }).tap();
  await untilHeard(() => seatSaid().length === 1);
  assert.deepEqual(seatSaid(), [{ Help: { wanted: true } }]);
  await axe(page);
});

test("a slot is one calm line: what fits, when to ring, and read aloud only when it is time", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  /** @type {SlotTold[]} */ const answers = [
    { minutes_left: null, sentence: "", ring_now: false },
    { minutes_left: 17, sentence: "17 minutes left: time for about 8 more rounds, or 2 new games. Ring the bell in 15 minutes.", ring_now: false },
    { minutes_left: 3, sentence: "3 minutes left: time for one more round. Ring the bell now, so that rounds finish.", ring_now: true },
  ];
  let now = 0;
  /** @type {(number | null)[]} */ const asked = [];
  await page.route("**/lessons/*/slot", (route) => {
    if (route.request().method() === "POST") asked.push(/** @type {SlotAsked} */ (route.request().postDataJSON()).minutes);
    return route.fulfill({ json: answers[now] });
  });
  await page.clock.install();
  await page.goto(`/teacher#${LESSON}`);
  await page.getByText("Slot for playing").click();
  assert.equal(await page.locator("#slot-line").isVisible(), false);
  now = 1;
  await page.getByLabel("From now on").fill("17");
  await page.getByRole("button", { name: "Begin", exact: true }).click();
  // A look that was under way may have brought the answer before her wish was heard.
  await until("her wish", () => asked.length > 0);
  await page.getByText(/^17 minutes left/).waitFor();
  assert.deepEqual(asked, [17]);
  assert.equal(await page.locator("#slot-bell").textContent(), "");
  await axe(page);
  now = 2;
  await page.clock.fastForward(11_000);
  await page.locator("#slot-line.ring").waitFor();
  assert.equal(await page.locator("#slot-bell").textContent(), "Ring the bell now, so that rounds finish.");
  await axe(page);
  now = 0;
  await page.getByRole("button", { name: "No slot" }).click();
  await until("her wish for no slot", () => asked.length > 1);
  await page.locator("#slot-line").waitFor({ state: "hidden" });
  assert.deepEqual(asked, [17, null]);
});

test("who watches sends a kind picture between rounds, and nothing of it moves", async () => {
  const page = await fresh({ width: 768, height: 1024 }, "cheers");
  await page.goto("/");
  await page.getByRole("group", { name: "Cheer for your table" }).waitFor();
  assert.deepEqual(await page.locator("#cheers-seen .unseen").allTextContents(), ["Clap from Cleo", "Sun from Ada"]);
  await axe(page);
  await page.getByRole("button", { name: "Flower" }).tap();
  const cheered = () => heard.flatMap((message) => ("Seat" in message && typeof message.Seat.says === "object" && "Cheer" in message.Seat.says ? [message.Seat.says.Cheer] : []));
  await untilHeard(() => cheered().length === 1);
  assert.deepEqual(cheered(), [{ picture: "Flower" }]);
  assert.equal(await page.evaluate(() => document.getAnimations().length), 0);
  await page.context().close();
  const plays = await fresh({ width: 1024, height: 768 }, "cheered");
  await plays.goto("/");
  await plays.locator("#cheers-seen li").nth(1).waitFor();
  assert.equal(await plays.locator("#cheers-send").isVisible(), false, "who plays is cheered");
  await axe(plays);
});

test("what a child cheered with last stands at its seat on the board, still, and changes no order", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  await page.goto(`/teacher#${LESSON}`);
  const seat = page.locator(".table-card[aria-label='Table 2'] .seat").nth(2);
  await seat.locator(".cheer img, .cheer svg, .cheer .art").first().waitFor();
  assert.deepEqual(await page.locator(".cheer .unseen").allTextContents(), ["cheers: Clap"]);
  assert.equal(await seat.locator(".cheer").count(), 1);
  assert.deepEqual((await page.locator(".table-card h2").allTextContents()).slice(0, 3), ["Table 3", "Table 1", "Table 2"]);
  assert.equal(await page.evaluate(() => document.getAnimations().length), 0);
  await axe(page);
});

test("cheering is off until she switches it on for the next game", async () => {
  const page = await fresh({ width: 1366, height: 768 });
  /** @type {LessonPlan[]} */ const plans = [];
  await page.route("**/plan", (route) => { plans.push(/** @type {LessonPlan} */ (route.request().postDataJSON())); return route.fulfill({ json: null }); });
  await page.goto(`/teacher#${LESSON}`);
  await page.getByRole("button", { name: "Change the game" }).click();
  const box = page.getByLabel("Cheering");
  assert.equal(await box.isChecked(), false);
  await box.check();
  await page.getByRole("button", { name: "Use from the next game" }).click();
  await page.waitForFunction(() => !/** @type {HTMLDialogElement} */ (document.getElementById("plan")).open);
  await until("the plan", () => plans.length > 0);
  assert.deepEqual(plans.map((plan) => plan.cheering), [true]);
});
