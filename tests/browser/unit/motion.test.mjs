/** What the pages could move at all, read from their source: one glide on the wall, slower than any flash. */
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";

const PAGES = new URL("../../../server/pages/", import.meta.url);
const files = readdirSync(PAGES, { recursive: true }).map(String).filter((file) => /\.(css|js|html|svg)$/.test(file));
const text = (/** @type {string} */ file) => readFileSync(new URL(file, PAGES), "utf8");

test("no style, drawing or page moves by itself", () => {
  assert.ok(files.length > 100, "the pages were found");
  for (const file of files) {
    assert.doesNotMatch(text(file), /@keyframes|<(animate\w*|set|marquee|blink|video)\b|\banimation(-name)?: (?!none)|\btransition: (?!none)/, file);
  }
});

test("the one script that moves something is the wall's replay, and that takes longer than a flash", () => {
  assert.deepEqual(files.filter((file) => /\.animate\(|requestAnimationFrame\(\(?\w*\)? => \w+\.style/.test(text(file))), ["wall/race.js"]);
  const [glide, moment] = ["GLIDE_MS", "MOMENT_MS"].map((name) => Number(new RegExp(`${name} = ([0-9_]+)`).exec(text("wall/race.js"))?.[1]?.replace("_", "")));
  // Three flashes a second at the most (WCAG 2.2, 2.3.1): two opposing changes each.
  assert.ok(Number(glide) > 1_000 / 6 && Number(moment) > Number(glide), `${glide} and ${moment}`);
});
