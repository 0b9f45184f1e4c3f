/**
 * What the arbiter's timing needs of a real browser. A small table stands in for the server: it sends
 * cues with a ping straight behind, as the server does, and notes what comes back in which order.
 *
 * Differences between two clocks in one browser are asserted, and the order in which things arrive;
 * how long anything took is not.
 * @import {Grab, SeatSays, ToClient, ToServer} from "../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { WebSocketServer } from "ws";
import { launch, until } from "./chromium.mjs";
import { SHEET } from "./mock/faces.mjs";
import { view } from "./mock/views.mjs";
import { startMock, tokenOf, urlOf } from "./mock.mjs";

/** One frame of 60 a second, in microseconds. */
const FRAME_US = 16_667;
const TAPS = 50;

/** What came back, in the order of its arrival. @typedef {{ pong: string } | { says: SeatSays } | { clock: { nonce: string, received: number, answered: number } }} Heard */

/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
/** @type {import("ws").WebSocket | null} */ let socket = null;
/** @type {Heard[]} */ let heard = [];
let number = 0;

/** @param {ToClient} message */
const send = (message) => socket?.send(JSON.stringify(message));
/** @param {import("../../server/pages/types/wire.js").SeatNews} news */
const tell = (news) => send({ Seat: { number: (number += 1), news } });
/** A nonce of its own for everything. @param {number} count */
const nonceOf = (count) => count.toString(16).padStart(32, "0");
/** @param {number} count */
const ping = (count) => socket?.ping(Buffer.from(nonceOf(count), "hex"));

before(async () => {
  server = await startMock();
  // The pages come from the stand-in; the socket is this file's own.
  server.removeAllListeners("upgrade");
  const sockets = new WebSocketServer({ noServer: true, handleProtocols: () => "handround.v1.json" });
  server.on("upgrade", (request, raw, head) => sockets.handleUpgrade(request, raw, head, (opened) => {
    socket = opened;
    opened.on("pong", (data) => heard.push({ pong: data.toString("hex") }));
    opened.on("message", (data) => {
      /** @type {ToServer} */ const message = JSON.parse(String(data));
      if ("Hello" in message) {
        send({ Welcome: { Seat: { table: "1".repeat(32), seat: 0, deck: SHEET.deck } } });
        tell({ Snapshot: playing(1) });
      } else if ("Seat" in message) heard.push({ says: message.Seat.says });
      else if ("ClockTold" in message) heard.push({ clock: message.ClockTold });
    });
  }));
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });

/** @param {number} round */
const playing = (round) => view({ table: { round, phase: "Playing" } });

/** A page that sits at the table and shows its cards. */
async function sit() {
  heard = [];
  number = 0;
  const context = await browser.newContext({ viewport: { width: 768, height: 1024 }, baseURL: urlOf(server), reducedMotion: "reduce" });
  await context.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf("timing"));
  const page = await context.newPage();
  await page.goto("/");
  await page.locator("#hand .face svg").first().waitFor();
  await page.locator("#tokens.live").waitFor();
  return page;
}

/** @param {string} nonce */
const shownIn = (nonce) => heard.flatMap((one) => ("says" in one && typeof one.says === "object" && "CueShown" in one.says && one.says.CueShown.cue === nonce ? [one.says.CueShown.shown] : []))[0];
/** @param {string} nonce @returns {Grab | undefined} */
const grabIn = (nonce) => heard.flatMap((one) => ("says" in one && typeof one.says === "object" && "Grab" in one.says && one.says.Grab.cue?.nonce === nonce ? [one.says.Grab] : []))[0];
/** @param {string} nonce */
const pongIn = (nonce) => heard.findIndex((one) => "pong" in one && one.pong === nonce);

/** @param {number[]} values */
const median = (values) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;

test("while the page is busy pongs arrive, and its word that the cue is shown does not", async () => {
  const page = await sit();
  const cue = nonceOf(0xc0e);
  // Its script waits for an answer that comes when the test lets it, and does nothing else meanwhile.
  const [serve] = /** @type {import("node:http").RequestListener[]} */ (server.listeners("request"));
  /** @type {import("node:http").ServerResponse | null} */ let waits = null;
  server.removeAllListeners("request");
  server.on("request", (request, response) => { if (request.url === "/busy") waits = response; else serve?.(request, response); });
  const busy = page.evaluate(() => {
    const request = new XMLHttpRequest();
    request.open("GET", "/busy", false);
    request.send();
    return performance.now() * 1_000;
  });
  const held = await until("a busy page", () => waits);
  const pings = Array.from({ length: 20 }, (_, place) => 0x100 + place);
  send({ Cue: { round: 1, nonce: cue } });
  socket?.ping(Buffer.from(cue, "hex"));
  // As much as the largest table leaves unread in two seconds (tests/tests/links.rs prints it), thrice.
  let unread = 0;
  for (const count of pings) {
    const table = playing(1).table;
    unread += JSON.stringify(table).length;
    tell({ Table: table });
    ping(count);
    await until(`the pong ${count}`, () => pongIn(nonceOf(count)) >= 0);
  }
  assert.ok(unread > 12_000 && unread < 16 * 1024, `${unread} bytes were left unread`);
  assert.equal(shownIn(cue), undefined, "the acknowledgement waits for the page");
  assert.ok(pongIn(cue) >= 0, "the cue's own pong came at once");
  held.end();
  const free = await busy;
  const shown = await until("the acknowledgement", () => shownIn(cue));
  assert.ok(shown >= free, "shown only when the page was free again");
  await page.context().close();
});

test("the times that the page claims are those of the browser's own timeline, within a frame", async () => {
  const page = await sit();
  // Trace times are the browser's own; a mark tells where the page's clock stands on them.
  await page.evaluate(() => new MutationObserver((changes) => {
    for (const { target } of changes) {
      if (target instanceof HTMLElement && target.classList.contains("token") && target.classList.contains("gone")) performance.mark("token-gone");
    }
  }).observe(document.body, { subtree: true, attributeFilter: ["class"] }));
  await browser.startTracing(page, { categories: ["devtools.timeline", "disabled-by-default-devtools.timeline", "devtools.timeline.frame", "disabled-by-default-devtools.timeline.frame", "blink.user_timing", "benchmark"] });
  await page.evaluate(() => { performance.mark("step-mark"); });
  const markAt = await page.evaluate(() => (performance.getEntriesByName("step-mark")[0]?.startTime ?? NaN) * 1_000);
  /** @type {{ shown: number, tap: number }[]} */ const claims = [];
  for (let round = 2; round < 2 + TAPS; round += 1) {
    const nonce = nonceOf(round);
    tell({ Hand: playing(round).hand });
    tell({ Grab: playing(round).grab });
    tell({ Table: playing(round).table });
    send({ Cue: { round, nonce } });
    socket?.ping(Buffer.from(nonce, "hex"));
    const shown = await until(`the cue of round ${round}`, () => shownIn(nonce));
    await page.locator(".token:not(.gone)").first().click();
    const { cue, tap } = await until(`the tap of round ${round}`, () => grabIn(nonce));
    assert.equal(cue?.shown, shown, "one cue is shown once");
    assert.ok(Number.isInteger(shown) && Number.isInteger(tap) && tap > shown);
    claims.push({ shown, tap });
  }
  /** @type {{ traceEvents: { name: string, ts: number, cat: string, ph: string, args?: { data?: { type?: string } } }[] }} */
  const { traceEvents } = JSON.parse(String(await browser.stopTracing()));
  const moments = (/** @type {(event: typeof traceEvents[number]) => boolean} */ wanted) => traceEvents.filter(wanted).map(({ ts }) => ts).sort((a, b) => a - b);
  const mark = moments(({ name, cat }) => name === "step-mark" && cat.includes("user_timing"))[0];
  assert.ok(mark !== undefined, "the mark is on the timeline");
  const onTrace = (/** @type {number} */ claim) => claim - markAt + mark;
  const presses = moments(({ name, args }) => name === "EventDispatch" && args?.data?.type === "pointerdown");
  assert.equal(presses.length, TAPS);
  const tapMisses = claims.map(({ tap }, place) => (presses[place] ?? NaN) - onTrace(tap));
  const gone = moments(({ name, cat }) => name === "token-gone" && cat.includes("user_timing"));
  const drawn = moments(({ name }) => name === "DrawFrame");
  assert.ok(drawn.length > TAPS, "frames are on the timeline");
  const shownMisses = claims.map(({ shown }) => {
    // The frame that first drew the change of this round: the first one drawn after it was made.
    const changed = gone.findLast((at) => at <= onTrace(shown)) ?? NaN;
    const first = drawn.find((at) => at >= changed) ?? NaN;
    return onTrace(shown) - first;
  });
  console.log(`# medians of ${TAPS}: tap claimed before its dispatch by ${Math.round(median(tapMisses))} us, cue claimed shown after the frame that drew it by ${Math.round(median(shownMisses))} us`);
  assert.ok(Math.abs(median(tapMisses)) <= FRAME_US, `${median(tapMisses)} us`);
  assert.ok(Math.abs(median(shownMisses)) <= FRAME_US, `${median(shownMisses)} us`);
  await page.context().close();
});

test("asked for its clock the page tells the one of its cues and taps, in whole microseconds", async () => {
  const page = await sit();
  const pageClock = () => page.evaluate(() => performance.now() * 1_000);
  const before = await pageClock();
  send({ TellClock: { nonce: nonceOf(0xc10c) } });
  const told = await until("the clock", () => heard.flatMap((one) => ("clock" in one ? [one.clock] : []))[0]);
  const after = await pageClock();
  assert.equal(told.nonce, nonceOf(0xc10c));
  assert.ok(Number.isInteger(told.received) && Number.isInteger(told.answered));
  assert.ok(Math.floor(before) <= told.received && told.received <= told.answered && told.answered <= Math.ceil(after), JSON.stringify({ before, told, after }));
  await page.context().close();
});
