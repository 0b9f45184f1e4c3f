/** What children read: at most seven words (shared content notes, section 6), and nothing of a cue. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { refusalAnswer, statusOf, tapAnswer } from "../../../server/pages/pupil/status.js";
import { endSentences } from "../../../server/pages/pupil/moment.js";
import { codeIn, ROW_THINGS } from "../../../server/pages/pupil/join.js";
import { crowded, meant } from "../../../server/pages/pupil/guard.js";
import { CHEERS, CHEERS_EACH_MAX } from "../../../server/pages/pupil/cheer.js";
import { attentionLines, refusalWords } from "../../../server/pages/teacher/words.js";
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

test("children whose device is not there share one line on the board", () => {
  const { table } = view();
  const reasons = /** @type {import("../../../server/pages/types/wire.js").Attention[]} */ ([{ LinkLost: { seat: 0 } }, { HelpAsked: { seat: 1, seconds: 3 } }, { LinkLost: { seat: 3 } }]);
  assert.deepEqual(attentionLines(reasons, table), ["Bo asks for help", "no link: Ada, Cleo"]);
  assert.deepEqual(attentionLines([], table), []);
});

/** What the server says to a child at the door; the rest of these files' sentences are the teacher's. */
const TO_CHILDREN = {
  "live_lesson/door.rs": ["The room is closed. Ask your teacher.", "Somebody sits there already. Ask your teacher.", "Your teacher lets everybody in. Open this page again.", "Not now. Your teacher will tell you why.", "That took a while. Try once more.", "That was a while ago. Your teacher can free the place.", "Nobody on the list has that place."],
  "hub/door.rs": ["This card is not used any more. Your place is safe. Ask for a new card.", "This tablet is nobody's yet. Tap the four pictures.", "That took a while. Try once more.", "That took a while. Tap the pictures again.", "The lesson has not begun yet. Wait a little."],
  "hub.rs": ["No class has these pictures. Look again.", "This link leads to no class. Scan it again."],
};
/** @type {Record<string, string[]>} */
const TO_TEACHERS = {
  "live_lesson/door.rs": ["Nobody waits there any more.", "Choose one to four children for this tablet.", "One of these children has no seat.", "There is no seat."],
};

test("what the server says to a child at the door is as short, and nothing there is missed", () => {
  for (const [file, sentences] of Object.entries(TO_CHILDREN)) {
    const source = readFileSync(new URL(`../../../server/src/lesson/${file}`, import.meta.url), "utf8").replace(/\s*#\[cfg\(test\)\][\s\S]*/, "");
    for (const sentence of sentences) {
      assert.ok(source.includes(`"${sentence}"`), `${file} does not say: ${sentence}`);
      for (const one of sentence.split(/(?<=[.!?])\s+/)) short(one);
    }
    // A new sentence at the door must be entered above, as a child's or a teacher's.
    if (file !== "live_lesson/door.rs") continue;
    const found = [...source.matchAll(/"([A-Z][^"\n]*[.!?])"/g)].map((one) => one[1] ?? "");
    assert.deepEqual(found.filter((one) => !sentences.includes(one) && !TO_TEACHERS[file]?.includes(one)), [], file);
  }
});
