/**
 * Every page in every main state, held to WCAG 2.2 (W3C Recommendation, 5 October 2023), levels A and AA:
 * what axe-core finds against them, on a tablet, and on a phone that wishes a dark page, which we do not have;
 * nothing wider than the screen, and all of it within reach in a small window (1.4.10); nothing that moves for
 * who asked for that (2.3.3) and no flashes for anybody (2.3.1). A child who does not read yet finds a picture
 * and something to hear.
 */
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { axe, launch } from "./chromium.mjs";
import { startMock, urlOf } from "./mock.mjs";
import { ADULTS, CHILDREN, reach } from "./mock/states.mjs";
import { outOfReach, SMALL } from "./reflow.mjs";

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

const PHONE = { width: 390, height: 844 };
/** A child's words of one sentence (shared content notes, section 6). */
const WORDS_MAX = 7;
/** @typedef {import("playwright-core").Page} Page */

/** What hangs over the right edge. @param {Page} page */
const tooWide = (page) => page.evaluate(() => (document.documentElement.scrollWidth <= innerWidth ? [] : [...document.querySelectorAll("body *")]
  .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > innerWidth + 1).map((one) => one.outerHTML.slice(0, 80))));

/** Animations that run, and elements whose style would begin one. @param {Page} page */
const moving = (page) => page.evaluate(() => [
  ...document.getAnimations().map((one) => one.constructor.name),
  ...[...document.querySelectorAll("*")].filter((one) => {
    const { animationName, transitionDuration } = getComputedStyle(one);
    return animationName !== "none" || transitionDuration.split(", ").some((time) => parseFloat(time) > 0);
  }).map((one) => one.outerHTML.slice(0, 80)),
]);

/** The words that stand on a child's page, its pictures, and what the loudspeaker would say. @param {Page} page */
const told = (page) => page.evaluate(async () => {
  const seen = (/** @type {Element} */ one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest(".unseen, [inert]");
  const open = document.querySelector("dialog[open]") ?? document.body;
  /** @type {string[]} */ const words = [];
  const walk = document.createTreeWalker(open, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    // The link beside the child is for the adult there.
    if (node.parentElement && seen(node.parentElement) && !node.parentElement.closest("svg, noscript, #join-adult")) words.push((node.textContent ?? "").trim());
  }
  const { sentence } = await import(`${location.origin}/pages/pupil/speak.js`);
  // A tablet that is shared is handed on by its cover, with the child's picture and name.
  const cover = document.querySelector("#cover h2")?.textContent;
  return { words: words.filter((text) => text !== ""), pictures: [...open.querySelectorAll("img, svg")].filter(seen).length, said: cover ?? sentence() };
});

for (const state of [...CHILDREN, ...ADULTS]) {
  test(`for everybody: ${state.name}`, async () => {
    const page = await reach(browser, url, state, { reducedMotion: "reduce" });
    assert.deepEqual(await moving(page), [], "still");
    await axe(page, { of: "tablet" });
    assert.deepEqual(await tooWide(page), [], "as wide as a tablet");
    if (CHILDREN.includes(state)) {
      const { words, pictures, said } = await told(page);
      assert.ok(pictures > 0, "a picture");
      assert.match(said, /\w/, "something to hear");
      for (const sentence of [...words, said].flatMap((text) => text.split(/(?<=[.!?:])\s+/))) {
        assert.ok(sentence.split(/\s+/).length <= WORDS_MAX, sentence);
      }
    }
    await page.setViewportSize(PHONE);
    await page.emulateMedia({ colorScheme: "dark", reducedMotion: "reduce" });
    await axe(page, { of: "phone" });
    assert.deepEqual(await tooWide(page), [], "as wide as a phone");
    await page.setViewportSize(SMALL);
    for (const frame of page.frames()) assert.deepEqual(await frame.evaluate(outOfReach), [], "within reach in a small window");
  });
}

test("every page says that it has one theme, the light one", async () => {
  for (const path of ["/", "/teacher", "/home", "/shared", "/substitute", `/wall/${"e".repeat(32)}`]) {
    const text = await (await fetch(url + path)).text();
    assert.match(text, /<meta name="color-scheme" content="light">/, `${path}: a new theme needs its own walk through axe`);
  }
});

test("a link that comes and goes every moment never makes the page flash", async () => {
  const page = await (await browser.newContext({ baseURL: url })).newPage();
  await page.clock.install({ time: 0 });
  await page.addInitScript(() => {
    localStorage.setItem("handround.place", JSON.stringify({ token: "61".padEnd(32, "0"), name: "Ada", picture: "kite" }));
    // A link that opens and dies at once, for ever: the worst that a radio can do.
    Reflect.set(globalThis, "WebSocket", class extends EventTarget {
      readyState = 0;
      bufferedAmount = 0;
      constructor() {
        super();
        setTimeout(() => { this.readyState = 1; this.dispatchEvent(new Event("open")); }, 10);
        setTimeout(() => this.dispatchEvent(new MessageEvent("message", { data: JSON.stringify({ Welcome: { Seat: { table: "1".repeat(32), seat: 0, deck: "d".repeat(32) } } }) })), 20);
        setTimeout(() => { this.readyState = 3; this.dispatchEvent(new CloseEvent("close", { code: 1006 })); }, 60);
      }
      send() {}
      close() {}
    });
    addEventListener("DOMContentLoaded", () => {
      const veil = /** @type {HTMLElement} */ (document.getElementById("veil"));
      /** @type {number[]} */ const changes = [];
      Reflect.set(globalThis, "veilChanges", changes);
      new MutationObserver(() => changes.push(Date.now())).observe(veil, { attributeFilter: ["hidden"] });
    });
  });
  await page.goto("/");
  for (let second = 0; second < 60; second += 1) await page.clock.runFor(1_000);
  /** @type {number[]} */ const changes = await page.evaluate(() => Reflect.get(globalThis, "veilChanges"));
  assert.ok(changes.length > 0, "the page says at some time that it is away");
  // A flash is a pair of opposing changes; three in a second are six changes (WCAG 2.2, 2.3.1).
  changes.forEach((at, place) => assert.ok((changes[place + 6] ?? Infinity) - at > 1_000, `flashes at ${changes}`));
});
