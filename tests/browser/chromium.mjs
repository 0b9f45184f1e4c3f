/**
 * What every test of the pages needs of a browser: the same Chromium, the same rules of accessible
 * pages, and waiting for what has no element to wait for.
 */
import assert from "node:assert/strict";
import { AxeBuilder } from "@axe-core/playwright";
import { chromium } from "playwright-core";
import { heard } from "./mock.mjs";

const FLAGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"];
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];

export const launch = () => chromium.launch({ executablePath: process.env["CHROMIUM"] ?? "/usr/bin/chromium", args: FLAGS });

/**
 * The rules of accessible pages that a program can check.
 * @param {import("playwright-core").Page} page @param {{ within?: string, of?: string }} [where] a part of the page; whose page
 */
export async function axe(page, { within, of } = {}) {
  const builder = new AxeBuilder({ page }).withTags(RULES);
  const { violations } = await (within ? builder.include(within) : builder).analyze();
  const found = violations.map(({ id, nodes }) => [id, nodes.map((node) => node.html.slice(0, 160))]);
  assert.deepEqual({ of, found }, { of, found: [] });
}

/** Waits until the stand-in has heard something. @param {() => boolean} test @param {number} [patience_ms] */
export async function untilHeard(test, patience_ms = 4_000) {
  for (let tries = 0; tries < patience_ms / 20 && !test(); tries += 1) await new Promise((wake) => setTimeout(wake, 20));
  assert.ok(test(), `never said; heard ${JSON.stringify(heard.slice(-6))}`);
}
