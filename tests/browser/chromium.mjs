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

export const launch = () => chromium.launch({ executablePath: process.env["CHROMIUM"] ?? "/usr/bin/chromium", args: FLAGS });

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

/** Waits until the stand-in has heard something; patience bounds a broken run and measures nothing. @param {() => boolean} test @param {number} [patience_ms] */
export async function untilHeard(test, patience_ms = 30_000) {
  for (let tries = 0; tries < patience_ms / 20 && !test(); tries += 1) await new Promise((wake) => setTimeout(wake, 20));
  assert.ok(test(), `never said; heard ${JSON.stringify(heard.slice(-6))}`);
}
