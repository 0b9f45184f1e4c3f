/**
 * A whole game in real browsers: one child at a tablet, one at a laptop, a practice partner, a
 * teacher's board, the real program. Somebody goes out and sorts cards; one browser reloads in the
 * middle; somebody wins; a rematch has everybody back.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, plan, rowOf, sit, tapRow } from "./lesson.mjs";
import { look, Robot } from "./robot.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

/** Sorts what lies there by what a child sees of it: the drawing's own words after the round. @param {Device} child */
async function sortAll(child) {
  const { page } = child;
  /** @type {Map<string, number[]>} */ const alike = new Map();
  const labels = await page.locator("#sorting-cards .card").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label") ?? ""));
  labels.forEach((label, place) => {
    const value = label.split(", ").at(-1) ?? "";
    alike.set(value, [...alike.get(value) ?? [], place]);
  });
  for (const places of [...alike.values()].filter((all) => all.length > 1)) {
    for (const place of places) await child.tap(page.locator("#sorting-cards .card").nth(place));
  }
}

test("two children and a partner play to the last one in; one reloads in the middle, one sorts", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: "Ada,kite\nBo,drum\n" });
  await plan(teacher, { house: "Watches", shield: false, groups: 5 });

  const ada = await Device.open(browser, server.url, "tablet", "Ada");
  const bo = await Device.open(browser, server.url, "laptop", "Bo");
  const adaPlays = new Robot(ada, { grabs: false });
  const boPlays = new Robot(bo, { keyboard: true });
  await ada.go("/");
  await tapRow(ada, await rowOf(teacher));
  await sit(ada, "Ada");
  await bo.go(await linkOf(teacher));
  await sit(bo, "Bo");
  await ada.page.getByText("The game begins soon.").first().waitFor();
  await ada.shot("waiting");
  await teacher.page.getByRole("button", { name: "Start all" }).click();

  // Round 1: Ada never takes a pebble and so is last. Bo's browser reloads in the middle.
  // The end of a round stands for ten seconds, so that all of it is read in one look.
  const round = (/** @type {Robot} */ robot) => robot.play((sight) => sight.phase === "RoundOver" && sight.four === 4, "the end of round 1");
  await boPlays.play((sight) => boPlays.moves > 0 && sight.considered === null, "a first move");
  const hand = (await look(bo.page)).hand;
  await bo.page.reload();
  await bo.page.locator("#hand .face svg").first().waitFor();
  assert.deepEqual((await look(bo.page)).hand, hand, "the same hand after the reload");
  const adaRound = round(adaPlays);
  await until("a move of Ada's", async () => adaPlays.moves > 0);
  await ada.shot("tablet-in-play");
  await bo.shot("laptop-in-play");
  const [adaSaw, boSaw] = await Promise.all([adaRound, round(boPlays)]);
  assert.equal(adaSaw.title, "You were last this time.");
  assert.equal(boSaw.title, "Ada was last this time.");
  await ada.shot("round-over-tablet");
  await bo.shot("round-over-laptop");

  // Round 2: Ada watches and sorts; then Bo and the partner play for the last token.
  await ada.page.locator("#sorting-cards .card").first().waitFor();
  await ada.shot("sorting-begins");
  await ada.axe();
  await sortAll(ada);
  await ada.shot("sorting-done");
  const boWins = boPlays.play((sight) => sight.phase === "GameOver" && sight.screen === "moment", "the end of the game");
  await boWins;
  await ada.page.locator("#moment[data-phase=GameOver]").waitFor();
  const title = (await look(bo.page)).title;
  assert.match(title, /last one in!$/);
  await ada.shot("game-over-tablet");
  await bo.shot("game-over-laptop");
  await teacher.page.getByText("still in").first().waitFor();
  assert.equal(await teacher.page.locator(".tag.good").count(), 1, "one winner");
  assert.notEqual(await teacher.page.locator(".race").first().textContent(), "");
  await teacher.shot("board-game-over");

  await teacher.page.getByRole("button", { name: "Rematch Table 1" }).click();
  await ada.page.locator("#hand .face svg").first().waitFor();
  assert.equal((await look(ada.page)).watching, false, "everybody is back");
  for (const one of [teacher, ada, bo]) { one.calm(); await one.close(); }
});
