/** The wire's pure parts. Close codes from 4000 up are an application's own by RFC 6455, 7.4.2;
 *  1001, 1008 and the rest below are defined in its section 7.4.1. */
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { afterClose, backoffMs, clockStepMicros, inSequence, ofSilence } from "../../../server/pages/wire.js";
import { view } from "../mock/views.mjs";

test("messages are taken once and in order; a gap asks afresh", () => {
  const hand = { Hand: null };
  const snapshot = { Snapshot: view() };
  for (const [last, number, news, place] of /** @type {const} */ ([
    [null, 1, snapshot, "take"], [null, 7, hand, "gap"], [6, 7, hand, "take"], [7, 7, hand, "skip"],
    [7, 3, hand, "skip"], [7, 9, hand, "gap"], [7, 20, snapshot, "take"],
  ])) assert.equal(inSequence(last, number, news), place, `${last} then ${number}`);
});

test("every close code of the protocol has a meaning here", () => {
  const rust = readFileSync(new URL("../../../protocol/src/close.rs", import.meta.url), "utf8");
  const codes = new Map([...rust.matchAll(/Close::(\w+) => (\d{4}),/g)].map((found) => [found[1], Number(found[2])]));
  assert.equal(codes.size, 13);
  const meant = Object.fromEntries([...codes].map(([name, code]) => [name, afterClose(code)]));
  assert.deepEqual(meant, {
    GoingAway: "again", WrongFrameKind: "again", Malformed: "again", TooFrequent: "later", TooLarge: "again",
    TableStopped: "again", Moved: "again", HelloExpected: "again", UnknownCredential: "forget", NotAllowed: "barred",
    NewerDevice: "elsewhere", TooSlow: "again", LessonOver: "over",
  });
  assert.equal(afterClose(1006), "again", "a broken link");
});

test("waits grow, stay bounded, and are spread", () => {
  for (let attempt = 0; attempt < 40; attempt += 1) {
    const [least, most] = [backoffMs(attempt, 0), backoffMs(attempt, 1)];
    assert.ok(least > 0 && least < most && most <= 8_000, `attempt ${attempt}`);
    assert.ok(attempt === 0 || backoffMs(attempt, 0.5) >= backoffMs(attempt - 1, 0.5));
  }
});

test("the clock's step is its least difference, in whole microseconds", () => {
  for (const [step, micros] of /** @type {const} */ ([[0.1, 100], [1, 1_000], [0.005, 5]])) {
    let reads = 0;
    assert.equal(clockStepMicros(() => Math.floor((reads += 1) / 3) * step), micros);
  }
});

test("silence is asked about, and a question without an answer means that the link is gone", () => {
  for (const [heard_ms, asked_ms, now_ms, found] of /** @type {const} */ ([
    [0, null, 4_999, "fine"], [0, null, 5_000, "ask"], [0, 5_000, 5_001, "fine"], [0, 5_000, 12_999, "fine"], [0, 5_000, 13_000, "lost"],
    // Something came since: the question counts as answered.
    [9_000, null, 13_999, "fine"], [9_000, null, 14_000, "ask"],
  ])) assert.equal(ofSilence({ heard_ms, asked_ms }, now_ms), found, `${heard_ms}, ${asked_ms}, ${now_ms}`);
});
