/** The view's pure parts: news replaces a part, cards keep the child's order, seats go round. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { apply, around, arrange, missingToken, moved, nextInPlay, passesTo } from "../../../server/pages/view.js";
import { SCENES, seats, view } from "../mock/views.mjs";

/** @param {string} ids */
const cards = (ids) => [...ids].map((id) => ({ id, face: 0, helper: null }));
/** @param {{ id: string }[]} list */
const ids = (list) => list.map((card) => card.id).join("");

test("each piece of news replaces its part and no other", () => {
  const before = view();
  for (const [key, news] of /** @type {const} */ ([
    ["table", { Table: { ...before.table, draw_pile: 1 } }], ["hand", { Hand: null }],
    ["grab", { Grab: { ...before.grab, taps: 9 } }], ["ruling", { Ruling: SCENES["roundover"]?.ruling ?? null }],
  ])) {
    const after = apply(before, news);
    assert.deepEqual(after?.[key], Object.values(news)[0]);
    assert.deepEqual({ ...after, [key]: null }, { ...before, [key]: null });
    assert.deepEqual(apply(after, news), after, "twice is once");
  }
  assert.equal(apply(null, { Hand: null }), null, "news before a snapshot says nothing");
  assert.equal(apply(null, { Snapshot: before }), before);
});

test("a kept card takes the place of the one given away, wherever the child had moved that", () => {
  for (const [order, hand, shown] of /** @type {const} */ ([
    ["", "abcd", "abcd"], ["abcd", "abcd", "abcd"], ["dcba", "abcd", "dcba"],
    ["dcba", "abxd", "dxba"], ["dcba", "xbcd", "dcbx"], ["abcd", "wxyz", "wxyz"], ["abcd", "ab", "ab"],
  ])) assert.equal(ids(arrange([...order], cards(hand))), shown, `${order} then ${hand}`);
});

test("moving swaps two neighbours and stops at the ends", () => {
  const order = ["a", "b", "c", "d"];
  assert.deepEqual(moved(order, 1, 1), ["a", "c", "b", "d"]);
  assert.deepEqual(moved(order, 1, -1), ["b", "a", "c", "d"]);
  assert.deepEqual(moved(order, 0, -1), order);
  assert.deepEqual(moved(order, 3, 1), order);
  assert.deepEqual(order, ["a", "b", "c", "d"], "the argument stays");
});

test("cards come from the left neighbour and go to the right one", () => {
  for (let count = 2; count <= 6; count += 1) {
    for (let you = 0; you < count; you += 1) {
      const one = { ...view({ table: { seats: seats(count), dealer: you } }), you };
      const others = around(one);
      assert.equal(others.length, count - 1);
      assert.equal(others[0], (you + count - 1) % count);
      assert.equal(others.at(-1), (you + 1) % count);
      assert.equal(passesTo(one), (you + 1) % count, "the dealer passes to a seat");
      assert.equal(passesTo({ ...one, table: { ...one.table, dealer: (you + 1) % count } }), null, "the last seat discards");
    }
  }
});

test("seats that watch are passed over", () => {
  const all = seats(4).map((seat, index) => ({ ...seat, in_play: index !== 1 && index !== 2 }));
  assert.equal(nextInPlay(view({ table: { seats: all } }), 0), 3);
});

test("a cue hides one token, the same after a reload", () => {
  for (const nonce of ["0".repeat(32), "f".repeat(32), "12ab34".padEnd(32, "5")]) {
    for (let tokens = 1; tokens <= 5; tokens += 1) {
      const place = missingToken(nonce, tokens);
      assert.ok(place >= 0 && place < tokens);
      assert.equal(place, missingToken(nonce, tokens));
    }
    assert.equal(missingToken(nonce, 0), -1);
  }
});
