/** What children read: at most seven words (shared content notes, section 6), and nothing of a cue. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { refusalAnswer, statusOf, tapAnswer } from "../../../server/pages/pupil/status.js";
import { endSentences } from "../../../server/pages/pupil/moment.js";
import { codeIn, ROW_THINGS } from "../../../server/pages/pupil/join.js";
import { crowded, meant } from "../../../server/pages/pupil/guard.js";
import { CHEERS, CHEERS_EACH_MAX } from "../../../server/pages/pupil/cheer.js";
import { refusalWords } from "../../../server/pages/teacher/words.js";
import { NONCE, SCENES, view } from "../mock/views.mjs";

const rust = (/** @type {string} */ file) => readFileSync(new URL(`../../../protocol/src/${file}`, import.meta.url), "utf8");
const short = (/** @type {string} */ text) => assert.ok(text.split(/\s+/).length <= 7, text);
/** @typedef {import("../../../server/pages/types/wire.js").Refusal} Refusal */
/** @type {Refusal[]} */
const refusals = [...rust("refusal.rs").matchAll(/^    (\w+),$/gm)].map((found) => /** @type {Refusal} */ (found[1]));

test("every sentence for children has at most seven words", () => {
  for (const scene of Object.values(SCENES)) short(statusOf(scene).text);
  for (const tap of [{ FalseGrab: { wait_ms: 1 } }, { Excited: { wait_ms: 1 } }, { TooSoon: { wait_ms: 1 } }]) short(tapAnswer(tap)?.text ?? "");
  assert.ok(refusals.length > 20, "the refusals were read");
  for (const refusal of refusals) short(refusalAnswer(refusal)?.text ?? "");
  for (const scene of Object.values(SCENES)) {
    if (scene.ruling) for (const sentence of endSentences(scene.ruling.end, scene)) short(sentence);
  }
});

test("a cue changes no word and no picture beside the pebbles", () => {
  for (const [name, scene] of Object.entries(SCENES)) {
    if (scene.grab.cue !== null) continue;
    const cued = { ...scene, grab: { ...scene.grab, cue: NONCE } };
    assert.deepEqual(statusOf(cued), statusOf(scene), name);
  }
});

test("every refusal has a sentence for the teacher", () => {
  for (const refusal of refusals) assert.match(refusalWords(refusal), /^[A-Z].*\.$/);
  assert.match(refusalWords({ DeckTooSmall: { serves: 3 } }), /up to 3 seats/);
});

test("the row's pictures are those of the protocol, in its order", () => {
  const body = /ROW_THINGS[^=]*= \{[^[]*\[([^\]]*)\]/.exec(rust("picture.rs"))?.[1] ?? "";
  assert.deepEqual(ROW_THINGS, body.toLowerCase().split(",").map((name) => name.trim()).filter((name) => name !== ""));
});

test("the join code is 32 hex digits and nothing else", () => {
  assert.equal(codeIn(`/j/${"aB1".padEnd(32, "0")}`), "aB1".padEnd(32, "0"));
  for (const path of ["/", "/j/", "/j/abc", `/j/${"g".repeat(32)}`, `/x/j/${"a".repeat(32)}`]) assert.equal(codeIn(path), null);
});

test("palms and thumbs on the rim are no taps; a mouse always is one", () => {
  const screen = { width: 768, height: 1024 };
  const touch = { clientX: 300, clientY: 300, width: 30, height: 30, pointerType: "touch" };
  assert.ok(meant(touch, screen));
  assert.ok(!meant({ ...touch, clientX: 5 }, screen));
  assert.ok(!meant({ ...touch, clientY: 1_020 }, screen));
  assert.ok(!meant({ ...touch, width: 120 }, screen));
  assert.ok(meant({ ...touch, clientX: 5, pointerType: "mouse" }, screen));
});

test("a resting finger does not block another; two at once do", () => {
  assert.ok(!crowded([], 1_000));
  assert.ok(!crowded([100], 1_000));
  assert.ok(crowded([900], 1_000));
});

test("the view of the tests is one that the page can read", () => assert.equal(statusOf(view()).text, "Swap a card, or pass it on."));

test("the page knows the cheers of the protocol and how many are enough", () => {
  const body = /pub enum CheerPicture \{([^}]*)\}/.exec(rust("cheer.rs"))?.[1] ?? "";
  assert.deepEqual(CHEERS.map(([which]) => which), [...body.matchAll(/^    (\w+),$/gm)].map((found) => found[1]));
  assert.equal(CHEERS_EACH_MAX, Number(/CHEERS_EACH_MAX: usize = (\d+)/.exec(rust("limits.rs"))?.[1]));
  short("That was kind. Thank you!");
});
