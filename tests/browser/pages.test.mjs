/**
 * The pages in a real Chromium against the stand-in: what is said on the wire, where things lie,
 * what children's hands do, keyboard, and the accessibility rules that axe can check.
 */
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { axe, launch, until, untilHeard } from "./chromium.mjs";
import { dropAll, fallSilent, heard, posted, sayToAll, startMock, tokenOf, urlOf } from "./mock.mjs";
import { shown } from "./mock/states.mjs";
import { LESSON, NONCE, SCENES } from "./mock/views.mjs";

/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => {
  server = await startMock();
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });
// A page left open by a test that failed would answer in the next one's place.
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));

/** @param {string | null} scene @param {{ width?: number, height?: number, touch?: boolean, path?: string }} [options] */
async function open(scene, { width = 768, height = 1024, touch = false, path = "/" } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, hasTouch: touch, baseURL: urlOf(server), reducedMotion: "reduce" });
  if (scene) await context.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf(scene));
  const page = await context.newPage();
  heard.length = 0;
  posted.length = 0;
  await page.goto(path);
  return page;
}

/** What the seat has said, other than that it is there. */
const said = () => heard.flatMap((message) => ("Seat" in message ? [message.Seat.says] : []))
  .filter((says) => typeof says === "string" || !("InView" in says || "DealShown" in says));

test("a child joins by four pictures and the own name, and plays; a reload comes back", async () => {
  const page = await open(null, { touch: true });
  for (const name of ["boat", "moon"]) await page.getByRole("group").getByRole("button", { name, exact: true }).tap();
  await page.getByRole("button", { name: "moon, take back" }).tap();
  for (const name of ["sun", "key", "tree"]) await page.getByRole("group").getByRole("button", { name, exact: true }).tap();
  await page.locator("button.taken", { hasText: "Bo" }).waitFor();
  await page.getByRole("button", { name: "Cleo" }).tap();
  await page.locator("#hand .face svg").first().waitFor();
  await untilHeard(() => heard.some((message) => "Seat" in message && typeof message.Seat.says === "object" && "DealShown" in message.Seat.says));
  await page.reload();
  await page.locator("#hand .face svg").first().waitFor();
  await page.context().close();
});

test("every child of a large class finds the own picture without scrolling, on a tablet and a laptop", async () => {
  for (const [width, height] of /** @type {const} */ ([[1366, 768], [1024, 768], [768, 1024]])) {
    const page = await open(null, { width, height, path: `/j/${"f".repeat(32)}` });
    await page.locator("#join-tiles button").nth(29).waitFor();
    for (const tile of await page.locator("#join-tiles button").all()) {
      const box = await tile.boundingBox();
      assert.ok(box && box.y >= 0 && box.y + box.height <= height, `${await tile.textContent()} at ${width}x${height}: ${JSON.stringify(box)}`);
      assert.ok(box.width >= 100 && box.height >= 76, "as wide as a fingertip and a half");
    }
    await page.context().close();
  }
});

test("a child who waits at the door goes back to the places by one look, and to the own place after that", async () => {
  const page = await open(null, { touch: true, path: `/j/${"c".repeat(32)}` });
  let looks = 0;
  await page.route("**/join/link", (route) => { looks += 1; return route.continue(); });
  await page.route("**/join/ask", (route) => route.fulfill({ status: 202, json: { wait: "b".repeat(32), name: "Cleo", picture: "pear" } }));
  const tile = page.getByRole("button", { name: "Cleo" });
  await tile.evaluate((one) => one.setAttribute("data-test", "the same"));
  await tile.tap();
  await page.locator("#join-wait").waitFor();
  await page.locator("#join-wait-back").tap();
  await page.locator("#join-places").waitFor();
  assert.equal(await tile.getAttribute("data-test"), "the same", "places that have not changed stay under the finger");
  await page.unroute("**/join/ask");
  await tile.tap();
  await page.locator("#hand .face svg").first().waitFor();
  assert.equal(looks, 1);
  await page.context().close();
});

test("a wrong row is a friendly sentence and an empty row", async () => {
  const page = await open(null);
  for (const name of ["sun", "sun", "sun", "sun"]) await page.getByRole("group").getByRole("button", { name, exact: true }).click();
  await page.getByText("No game has these pictures").waitFor();
  await page.locator("#join-slots:not(:has(button))").waitFor({ state: "attached" });
  await page.context().close();
});

for (const [width, height] of /** @type {const} */ ([[768, 1024], [1024, 768], [1366, 768], [1366, 650], [600, 900], [600, 800], [844, 390]])) {
  for (const scene of ["deciding", "six"]) {
    test(`everything is on the screen and pebbles lie apart: ${scene} at ${width}x${height}`, async () => {
      const page = await open(scene, { width, height });
      await page.locator("#hand .face svg").first().waitFor();
      const boxes = async (/** @type {string} */ query) => Promise.all((await page.locator(query).all()).map(async (one) => {
        const box = await one.boundingBox();
        assert.ok(box, query);
        return box;
      }));
      const tokens = await boxes(".token");
      const cards = await boxes(".hand .card, .considered, .pass, .tray");
      assert.equal(tokens.length, scene === "six" ? 5 : 3);
      for (const token of tokens) {
        // 104 px are 20 mm on a tablet of 132 px to the inch; 76 is the least anywhere (design, section 6).
        assert.ok(token.width >= (width === 768 || height === 768 ? 104 : 76) && token.height >= 76, `token of ${token.width}`);
        for (const card of cards) {
          const gap = Math.max(card.x - token.x - token.width, token.x - card.x - card.width, card.y - token.y - token.height, token.y - card.y - card.height);
          assert.ok(gap >= 115, `${gap} px between a pebble and a card`);
        }
      }
      for (const box of [...cards, ...tokens, ...await boxes(".neighbour, .tool:visible")]) {
        assert.ok(box.x >= 0 && box.y >= 0 && box.x + box.width <= width && box.y + box.height <= height, `off the screen: ${JSON.stringify(box)}`);
      }
      for (const card of await boxes(".hand .card")) assert.ok(card.width >= 76, `card of ${card.width}`);
      await page.context().close();
    });
  }
}

test("one tap keeps, the arrow passes, a double tap decides once", async () => {
  const page = await open("deciding", { touch: true });
  await page.locator("#considered .face svg").waitFor();
  await page.waitForTimeout(300);
  const second = page.locator(".hand .card").nth(1);
  await second.tap();
  await second.tap();
  await page.locator("#pass").tap();
  await untilHeard(() => said().length > 0);
  const considering = SCENES["deciding"]?.hand?.considering?.id;
  assert.deepEqual(said(), [{ Keep: { card: considering, give: SCENES["deciding"]?.hand?.cards[1]?.id } }]);
  await page.context().close();
});

test("moving cards never gives one away, and the moved order is what is given", async () => {
  const page = await open("deciding");
  await page.locator("#considered .face svg").waitFor();
  await page.waitForTimeout(300);
  await page.locator("#move").click();
  await page.locator(".hand .card").first().click();
  await page.getByRole("button", { name: "card 1: move right" }).click();
  assert.deepEqual(said(), []);
  await page.locator("#move").click();
  await page.keyboard.press("1");
  await untilHeard(() => said().length > 0);
  const hand = SCENES["deciding"]?.hand;
  assert.deepEqual(said(), [{ Keep: { card: hand?.considering?.id, give: hand?.cards[1]?.id } }]);
  await page.context().close();
});

test("a false grab is answered kindly; then the cue hides one pebble, moves none, and is answered with its times", async () => {
  const page = await open("play", { touch: true });
  await page.locator("#tokens.live").waitFor();
  const places = () => page.locator(".token").evaluateAll((all) => all.map((one) => one.getBoundingClientRect().x));
  const gone = () => page.locator(".token.gone").count();
  const before = await places();
  // The sentence goes again by itself: it is waited for before it comes.
  const kindly = page.getByText("Look again.").waitFor();
  await page.locator(".token").nth(1).tap();
  await kindly;
  assert.equal(await gone(), 0, "the pebble lies in the middle again");
  sayToAll({ Cue: { round: SCENES["deciding"]?.table.round ?? 1, nonce: NONCE } });
  await untilHeard(() => said().some((says) => typeof says === "object" && "CueShown" in says));
  assert.equal(await gone(), 1);
  assert.deepEqual(await places(), before);
  await page.locator(".token:not(.gone)").first().tap();
  await page.getByText("You have a pebble.").waitFor();
  assert.equal(await gone(), 2);
  await page.locator(".nest.held").waitFor();
  assert.deepEqual(await places(), before);
  const grabs = said().flatMap((says) => (typeof says === "object" && "Grab" in says ? [says.Grab] : []));
  const shown = said().flatMap((says) => (typeof says === "object" && "CueShown" in says ? [says.CueShown] : []));
  assert.equal(grabs.length, 2);
  assert.equal(grabs[0]?.cue, null);
  assert.deepEqual(grabs[1]?.cue, { nonce: NONCE, shown: shown[0]?.shown });
  for (const micros of [grabs[0]?.tap, grabs[1]?.tap, shown[0]?.shown]) assert.ok(Number.isSafeInteger(micros) && (micros ?? 0) > 0);
  assert.ok((grabs[1]?.tap ?? 0) > (shown[0]?.shown ?? Infinity), "one clock for both");
  await page.context().close();
});

test("a pebble fires on the way down, by finger or key, and a held key fires once", async () => {
  const page = await open("deciding");
  await page.locator("#tokens.live").waitFor();
  const box = await page.locator(".token").first().boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + 50, box.y + 50);
  await page.mouse.down();
  await untilHeard(() => said().length === 1);
  await page.mouse.up();
  await page.context().close();
  const other = await open("deciding");
  await other.locator("#tokens.live").waitFor();
  await other.locator(".token").nth(2).focus();
  await other.keyboard.down("Enter");
  await other.keyboard.down("Enter");
  await other.keyboard.up("Enter");
  await untilHeard(() => said().length > 0);
  assert.equal(said().length, 1);
  await other.context().close();
});

test("a second finger plays while the first one rests; a palm does nothing", async () => {
  const page = await open("deciding", { touch: true });
  await page.locator("#considered .face svg").waitFor();
  const client = await page.context().newCDPSession(page);
  const card = await page.locator(".hand .card").nth(2).boundingBox();
  assert.ok(card);
  const [x, y] = [card.x + 60, card.y + 80];
  const resting = { x: 100, y: 420, id: 1, radiusX: 12, radiusY: 12 };
  const touch = (/** @type {"touchStart" | "touchEnd"} */ type, /** @type {object[]} */ touchPoints) => client.send("Input.dispatchTouchEvent", { type, touchPoints: /** @type {any} */ (touchPoints) });
  await touch("touchStart", [{ x, y, id: 3, radiusX: 70, radiusY: 70 }]);
  await touch("touchEnd", []);
  await touch("touchStart", [resting]);
  await page.waitForTimeout(600);
  assert.deepEqual(said(), [], "the palm");
  await touch("touchStart", [resting, { x, y, id: 2, radiusX: 12, radiusY: 12 }]);
  await touch("touchEnd", []);
  await untilHeard(() => said().length === 1);
  await page.context().close();
});

test("letter keys can be switched off; the arrow still passes", async () => {
  const page = await open("deciding", { width: 1366, height: 768 });
  await page.locator("#considered .face svg").waitFor();
  await page.locator("#keys").click();
  await page.locator("#keys-on").uncheck();
  await page.keyboard.press("Escape");
  await page.waitForTimeout(300);
  await page.keyboard.press("2");
  await page.keyboard.press("t");
  await page.keyboard.press("ArrowRight");
  await untilHeard(() => said().length > 0);
  assert.deepEqual(said(), [{ Pass: { card: SCENES["deciding"]?.hand?.considering?.id } }]);
  await page.context().close();
});

test("labels never say a value during play, and do after the round", async () => {
  const page = await open("deciding");
  await page.locator("#hand .face svg").first().waitFor();
  const values = /\b(one|two|three|four|five|six|seven|eight|\d+ (dots|of))\b/;
  for (const label of await page.locator("#turn [aria-label], #hand [aria-label]").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label") ?? ""))) {
    assert.doesNotMatch(label, values);
  }
  await page.context().close();
  const later = await open("roundover");
  await later.getByRole("img", { name: "numeral, four" }).waitFor();
  await later.context().close();
});

test("after a break the page says the last number it has, shows the deal again, and plays on", async () => {
  const page = await open("play");
  await page.locator("#tokens.live").waitFor();
  await page.locator("#considered .face svg").waitFor();
  heard.length = 0;
  dropAll();
  const hello = () => heard.flatMap((message) => ("Hello" in message ? [message.Hello] : []));
  await untilHeard(() => hello().length === 1);
  assert.ok((hello()[0]?.resume ?? 0) >= 3, `resume ${hello()[0]?.resume}`);
  await untilHeard(() => heard.some((message) => "Seat" in message && typeof message.Seat.says === "object" && "DealShown" in message.Seat.says));
  // The card that lies there may still be the one from before the break: passed until it is.
  await until("a pass", async () => {
    await page.locator("#pass").click();
    return said().some((says) => typeof says === "object" && "Pass" in says);
  });
  await page.locator("#veil").waitFor({ state: "hidden" });
  await page.context().close();
});

test("a link that died without a word is noticed by a child who only waits, and comes back", async () => {
  const page = await open("play");
  await page.locator("#considered .face svg").waitFor();
  heard.length = 0;
  fallSilent();
  await untilHeard(() => heard.some((message) => "Hello" in message));
  await page.locator("#considered .face svg").waitFor();
  await page.locator("#veil").waitFor({ state: "hidden" });
  await page.context().close();
});

test("a place taken elsewhere stays quiet until asked; an unknown one goes back to the pictures", async () => {
  const page = await open("elsewhere");
  await page.getByText("It is open on another device.").waitFor();
  await page.waitForTimeout(800);
  assert.equal(heard.filter((message) => "Hello" in message).length, 1);
  await page.context().close();
  const unknown = await open("unknown");
  await unknown.getByText("Tap the four pictures").waitFor();
  assert.equal(await unknown.evaluate(() => sessionStorage.getItem("handround.place")), null);
  await unknown.context().close();
});

test("a class list that is refused names the line and selects it; a good one opens the board", async () => {
  const page = await open(null, { path: "/teacher", width: 1366, height: 768 });
  await page.locator("#new-name").fill("Acorn class");
  await page.locator("#new-list").fill("Ada,kite\nBo,drum\nCleo,,dragon");
  await page.getByRole("button", { name: "Make the lesson" }).click();
  await page.getByText("Line 3:").waitFor();
  assert.equal(await page.evaluate(() => document.getSelection()?.toString()), "Cleo,,dragon");
  await page.locator("#new-file").setInputFiles({ name: "class.csv", mimeType: "text/csv", buffer: Buffer.from("Ada\nBo\nCleo\n") });
  await page.getByRole("button", { name: "Make the lesson" }).click();
  await page.getByRole("heading", { name: "Table 3" }).waitFor();
  await page.getByRole("button", { name: "Change the game" }).click();
  await page.getByLabel("Collects a letter").check();
  await page.locator("#plan-word").fill("fern");
  await page.getByLabel("a wait of 4 s").check();
  await page.getByLabel("more slowly").check();
  await page.getByLabel("is reminded after 15 s").check();
  await page.getByRole("button", { name: "Use from the next game" }).click();
  await page.getByRole("button", { name: "Freeze Table 1" }).click();
  await untilHeard(() => heard.some((message) => "Board" in message) && posted.length === 1);
  assert.deepEqual(heard.flatMap((message) => ("Board" in message ? [message.Board.says] : [])), [{ Pause: { table: "1".repeat(32) } }]);
  assert.equal(posted[0]?.path, `/lessons/${LESSON}/plan`);
  assert.deepEqual(posted[0]?.body.house, { Letters: { word: "fern" } });
  assert.deepEqual(posted[0]?.body.timing, { pace: "Brisk", partners: "Unhurried", false_grab: "LongWait" });
  await page.context().close();
});

/** What it is, where, in which scene, and what stands there then. @type {readonly [string, string, string | null, string][]} */
const LOOKED_AT = [
  ["join", "/", null, "#join-grid button"], ["places", `/j/${"c".repeat(32)}`, null, "#join-tiles button"],
  ...["waiting", "deciding", "dealer", "hint", "taken", "calm", "watching", "sorts", "roundover", "gameover", "paused"].map((scene) => /** @type {[string, string, string, string]} */ ([scene, "/", scene, shown(scene)])),
  ["lessons", "/teacher", null, "#class-list li"], ["board", `/teacher#${LESSON}`, null, ".table-card h2"], ["decks", "/teacher#decks", null, "#deck-groups-shown svg"],
  ["decks of a lesson", `/teacher#decks-${LESSON}`, null, "#deck-groups-shown svg"], ["wall", `/wall/${"e".repeat(32)}`, null, "#wall-tables li"],
];
for (const [name, path, scene, stands] of LOOKED_AT) {
  test(`axe finds nothing, nothing leaves the house, no policy is broken: ${name}`, async () => {
    const page = await open(null, { width: 1366, height: 768, path: "about:blank" });
    /** @type {string[]} */ const troubles = [];
    page.on("console", (message) => { if (/Content Security Policy|Refused to/.test(message.text())) troubles.push(message.text()); });
    page.on("pageerror", (error) => troubles.push(error.message));
    page.on("request", (request) => { if (!request.url().startsWith(`${urlOf(server)}/`)) troubles.push(request.url()); });
    if (scene) await page.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf(scene));
    await page.goto(path);
    await page.locator(stands).first().waitFor();
    await axe(page);
    assert.deepEqual(troubles, []);
    await page.context().close();
  });
}
