/**
 * Support and naming in a real Chromium against the stand-in: a helper on one child's own card, the
 * pictures before the first deal, the loudspeaker, and the teacher's dialog.
 * @import {BoardSays, SeatSays} from "../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { axe, launch, untilHeard } from "./chromium.mjs";
import { heard, posted, startMock, tokenOf, urlOf } from "./mock.mjs";
import { LESSON } from "./mock/views.mjs";

/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => {
  server = await startMock();
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));

/** Headless Chromium has no voices: two stand-ins, one of them on somebody else's computer. */
const VOICES = () => {
  /** @type {string[]} */ const said = [];
  Object.assign(window, { said });
  const voice = (/** @type {boolean} */ localService) => ({ localService, lang: "en-US", name: localService ? "here" : "elsewhere" });
  Object.defineProperty(window, "SpeechSynthesisUtterance", { value: class { constructor(/** @type {string} */ text) { Object.assign(this, { text, voice: null }); } } });
  Object.defineProperty(window, "speechSynthesis", { value: {
    getVoices: () => [voice(false), voice(true)], cancel() {}, addEventListener() {},
    speak: (/** @type {any} */ words) => said.push(`${words.voice.name}: ${words.text}`),
  } });
};

/** @param {string | null} scene @param {{ path?: string, voices?: boolean, width?: number, height?: number }} [options] */
async function open(scene, { path = "/", voices = true, width = 768, height = 1024 } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, baseURL: urlOf(server), reducedMotion: "reduce" });
  if (voices) await context.addInitScript(VOICES);
  if (scene) await context.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf(scene));
  const page = await context.newPage();
  heard.length = 0;
  await page.goto(path);
  return page;
}

/** @param {import("playwright-core").Page} page @returns {Promise<string[]>} */
const said = (page) => page.evaluate(() => /** @type {any} */ (window).said);

/** @param {import("playwright-core").Page} page @param {string} last */
const untilSaid = (page, last) => page.waitForFunction((text) => /** @type {any} */ (window).said.at(-1) === text, last);

const named = () => heard.filter((message) => "Seat" in message && message.Seat.says === "PicturesNamed").length;

test("a helper is drawn on the cards that have it and on no other, and no label says a value", async () => {
  const page = await open("helped");
  await page.locator("#considered .face svg").waitFor();
  const dots = (/** @type {string} */ query) => page.locator(`${query} [data-part="helper"]`).count();
  assert.equal(await dots("#hand .slot:nth-child(1)"), 4);
  assert.equal(await dots("#hand .slot:nth-child(n+2)"), 0);
  assert.equal(await dots("#considered"), 5);
  assert.equal(await dots("#neighbours"), 0);
  assert.equal(await page.locator("#considered .face").getAttribute("aria-label"), "numeral card");
  await axe(page);
});

test("each picture is shown with its word and said; the last tap says that the child is through", async () => {
  const page = await open("naming");
  const title = page.locator("#moment h1");
  for (const [place, word] of ["cat", "hen", "sun"].entries()) {
    await page.getByRole("heading", { name: word, exact: true }).waitFor();
    await untilSaid(page, `here: ${word}`);
    assert.equal(await page.locator("progress").evaluate((bar) => /** @type {HTMLProgressElement} */ (bar).value), place + 1);
    if (place === 0) await axe(page);
    if (place === 1) {
      await page.getByRole("button", { name: "hen, hear it again" }).click();
      await page.waitForFunction(() => /** @type {any} */ (window).said.filter((/** @type {string} */ one) => one === "here: hen").length === 2);
    }
    assert.equal(named(), 0);
    await page.getByRole("button", { name: "Next" }).click();
  }
  await untilHeard(() => named() === 1);
  await title.getByText("All named! Wait for the others.").waitFor();
  await axe(page);
});

test("naming can be passed over, goes by keyboard, keeps its button under the finger, and needs no voice", async () => {
  const page = await open("naming", { voices: false });
  const next = page.getByRole("button", { name: "Next" });
  await next.focus();
  const before = await next.boundingBox();
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "hen", exact: true }).waitFor();
  assert.deepEqual(await next.boundingBox(), before);
  assert.ok(await next.evaluate((button) => button === document.activeElement));
  await page.getByRole("button", { name: "I know them all" }).click();
  await untilHeard(() => named() === 1);
  await page.locator("#speak-page").waitFor({ state: "hidden" });
});

test("the loudspeaker says what the page says, with a voice of the device, and is quiet in a race", async () => {
  const join = await open(null);
  await join.getByRole("button", { name: "Say it" }).click();
  await untilSaid(join, "here: Tap the four pictures.");
  await axe(join);

  const page = await open("deciding");
  await page.locator("#considered .face svg").waitFor();
  assert.equal(await page.getByRole("button", { name: "Say it" }).count(), 1);
  await page.getByRole("button", { name: "Say it" }).click();
  await untilSaid(page, "here: Swap a card, or pass it on.");

  const over = await open("roundover");
  await over.locator("#moment .four svg").first().waitFor();
  await over.getByRole("button", { name: "Say it" }).click();
  await over.waitForFunction(() => /** @type {any} */ (window).said.length === 1);
  assert.match((await said(over))[0] ?? "", /^here: .*was last this time\./);

  const paused = await open("paused");
  await paused.locator("#veil h2").waitFor();
  await paused.locator("#speak-page").click();
  await untilSaid(paused, "here: Pause. Rest your hands. Look up.");

  const cued = await open("cued");
  await untilHeard(() => heard.some((message) => "Seat" in message && typeof message.Seat.says === "object" && "CueShown" in message.Seat.says));
  const button = cued.getByRole("button", { name: "Say it" });
  assert.ok(await button.isEnabled(), "it looks as before, so that it is no sign of the cue");
  await button.click();
  await cued.keyboard.press("Enter");
  assert.deepEqual(await said(cued), []);
});

/** @returns {BoardSays[]} */
const wishes = () => heard.flatMap((message) => ("Board" in message ? [message.Board.says] : []));

test("the teacher gives one child support in a dialog that leaves nothing on the board", async () => {
  const page = await open(null, { path: `/teacher#${LESSON}`, voices: false, width: 1366, height: 768 });
  const opener = page.getByRole("button", { name: "more for Ada" });
  const openDialog = async () => {
    await opener.focus();
    await page.keyboard.press("Enter");
    await page.getByRole("dialog", { name: /^Ada, / }).getByRole("button", { name: "Support" }).click();
  };
  await openDialog();
  const dialog = page.getByRole("dialog", { name: "Support for Ada" });
  await dialog.getByText("used rightly 4 times").waitFor();
  await axe(page);
  await dialog.getByLabel(/^Dots under/).selectOption("stays");
  await dialog.getByLabel(/^Larger print/).selectOption("fades");
  await dialog.getByLabel(/^Unhurried/).check();
  await dialog.getByLabel(/^Head start/).check();
  await dialog.getByLabel(/^Four that match/).selectOption("HintAfter");
  await dialog.getByLabel(/^Seconds/).fill("7");
  await dialog.getByRole("button", { name: "Use from the next deal" }).click();
  await untilHeard(() => wishes().length === 1);
  assert.deepEqual(wishes()[0], { Support: { pupil: 0, support: {
    helpers: [{ helper: "DotsUnder", held: true, right_uses: 4 }, { helper: "LargerPrint", held: false, right_uses: 0 }],
    unhurried: true, missed_four: { HintAfter: { seconds: 7 } }, head_start: true,
  } } });
  await dialog.waitFor({ state: "hidden" });
  const board = await page.locator("body").innerText();
  assert.match(board, /Acorn class/);
  assert.doesNotMatch(board, /Dots under|Larger print|used rightly/);
  // Closed by Escape it says nothing.
  await openDialog();
  await dialog.waitFor();
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
  await openDialog();
  await dialog.getByRole("button", { name: "Cancel" }).click();
  await dialog.waitFor({ state: "hidden" });
  assert.equal(wishes().length, 1);
  // A practice partner has none.
  const whole = await open(null, { path: `/teacher#${"2".repeat(32)}`, voices: false, width: 1366, height: 768 });
  await whole.getByRole("button", { name: "more for Bee" }).first().click();
  const partner = whole.getByRole("dialog", { name: /^Bee, / });
  await partner.getByRole("button", { name: "Close" }).waitFor();
  assert.equal(await partner.getByRole("button", { name: "Support" }).count(), 0);
});

test("the wall and the children's pages have no way to a child's support", async () => {
  for (const [scene, path] of /** @type {const} */ ([["deciding", "/"], [null, `/wall/${"e".repeat(32)}`]])) {
    const page = await open(scene, { path });
    await page.locator("h1").first().waitFor({ state: "attached" });
    assert.equal(await page.getByText(/support/i).count(), 0);
  }
});

test("the workshop shows a deck as a child with helpers will see it, and the deck stays what it was", async () => {
  const page = await open(null, { path: "/teacher#decks", width: 1366, height: 768 });
  await page.locator(".deck-card").first().waitFor();
  posted.length = 0;
  const dots = () => page.locator("#deck-groups-shown [data-part=helper]").count();
  const asked = () => posted.filter(({ path }) => path === "/workshop/preview").map(({ body }) => body);
  assert.equal(await dots(), 0);
  await page.getByText("See the cards as a child with helpers does").click();
  await page.getByRole("checkbox", { name: "Dots under a numeral" }).check();
  await page.locator("#deck-helped").getByText("7 of 28 cards have a helper.").waitFor();
  assert.equal(await dots(), 1 + 2 + 3 + 4 + 5 + 6 + 7);
  await page.getByRole("img", { name: "numeral, three, with dots under a numeral" }).waitFor();
  await axe(page);
  // Another card comes with the helper too, and leaves the rest of the deck alone.
  const [before] = asked();
  assert.deepEqual([before.helpers, before.swap], [["DotsUnder"], null]);
  await page.getByRole("button", { name: "Another group instead of 3", exact: true }).click();
  await page.getByRole("heading", { name: "8", exact: true }).waitFor();
  assert.equal(await dots(), 1 + 2 + 8 + 4 + 5 + 6 + 7);
  // A helper that no card has says so; none at all says nothing.
  await page.getByRole("checkbox", { name: "Dots under a numeral" }).uncheck();
  await page.getByRole("checkbox", { name: "Spanish word" }).check();
  await page.locator("#deck-helped").getByText("No card of this deck has such a helper.").waitFor();
  assert.equal(await dots(), 0);
  await page.getByRole("checkbox", { name: "Spanish word" }).uncheck();
  await page.waitForFunction(() => document.getElementById("deck-helped")?.textContent === "");
  const decks = asked().map((one) => JSON.stringify({ ...one.deck, wishes: null }));
  assert.equal(new Set(decks).size, 1, "helpers change nothing of the deck");
});
