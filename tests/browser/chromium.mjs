/**
 * What every test of the pages needs of a browser: the same Chromium, the same rules of accessible
 * pages, and waiting for what has no element to wait for.
 */
import assert from "node:assert/strict";
import axeCore from "axe-core";
import { chromium } from "playwright-core";
import { heard } from "./mock.mjs";

const FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"];
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const AXE = axeCore.source;

/**
 * How long any of these tests waits for what must come, in milliseconds. It bounds a broken run and measures
 * nothing: a test that passes never waits so long. With some forty others at work on two cores a report of the
 * debug build took more than one minute.
 */
export const PATIENCE_MS = 180_000;
/** The same for a whole game that robots play: on a quiet machine the longest takes one minute. */
export const GAME_PATIENCE_MS = 600_000;

/** Starts Chromium; whatever is waited for on its pages has our patience instead of the library's. */
export async function launch() {
  const executablePath = process.env["CHROMIUM"] ?? "/usr/bin/chromium";
  const browser = await chromium.launch({ executablePath, args: FLAGS, timeout: PATIENCE_MS });
  browser.on("context", (context) => context.setDefaultTimeout(PATIENCE_MS));
  return browser;
}

/**
 * The rules of accessible pages that a program can check: what axe finds to be against the levels A and AA
 * of WCAG 2.2, in the page and its frames.
 * @param {import("playwright-core").Page} page @param {{ within?: string, of?: string }} [where] a part of the page; whose page
 */
export async function axe(page, { within, of } = {}) {
  await Promise.all(page.frames().map((frame) => frame.waitForLoadState()));
  // Evaluated, and no script of the page, whose policy would refuse it.
  for (const frame of page.frames()) if (!await frame.evaluate(() => "axe" in globalThis)) await frame.evaluate(AXE);
  const { rules, found } = await page.evaluate(async ({ values, root }) => {
    /** @type {typeof import("axe-core")} */ const { run } = Reflect.get(globalThis, "axe");
    const { violations, passes, inapplicable, incomplete } = await run(root, { runOnly: { type: "tag", values }, pingWaitTime: 20_000 });
    return {
      rules: [violations, passes, inapplicable, incomplete].flat().map(({ id }) => id),
      found: violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html.slice(0, 160))]),
    };
  }, { values: RULES, root: within ?? ":root" });
  assert.ok(rules.includes("target-size"), "axe leaves the rules of WCAG 2.2 out unless they are asked for");
  assert.deepEqual({ of, found }, { of, found: [] });
}

/** Between two looks, in milliseconds. */
const LOOK_MS = 50;

/**
 * Waits for something that has no element to wait for, and gives it back: any answer but no, none or nothing.
 * @template T @param {string} what @param {() => T | Promise<T>} find @param {number} [patience_ms]
 * @returns {Promise<NonNullable<T>>}
 */
export async function until(what, find, patience_ms = PATIENCE_MS) {
  const end = performance.now() + patience_ms;
  for (;;) {
    const found = await find();
    if (found !== false && found !== null && found !== undefined) return found;
    if (performance.now() > end) throw new Error(`never came: ${what}`);
    await new Promise((wake) => setTimeout(wake, LOOK_MS));
  }
}

/** Waits until the stand-in has heard something. @param {() => boolean} test */
export async function untilHeard(test) {
  try { await until("a word to the server", test); } catch (error) { throw new Error(`never said; heard ${JSON.stringify(heard.slice(-6))}`, { cause: error }); }
}
