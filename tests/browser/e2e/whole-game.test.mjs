/**
 * A whole game in real browsers: one child at a tablet, one at a laptop, a practice partner, a
 * teacher's board, the real program. Somebody goes out and sorts cards; one browser reloads in the
 * middle; somebody wins; a rematch has everybody back.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch } from "./devices.mjs";
import { linkOf, makeLesson, plan, rowOf, sit, tapRow } from "./lesson.mjs";
import { freezeInTheMiddle, look, Robot } from "./robot.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

/**
 * As soon as cards lie there to sort, sorts them by what a child sees of them: the drawing's own words after the round.
 * How long a round of two players goes on is chance, so that it is all done in one go inside the page.
 * @param {Device} child
 */
const sortAll = ({ page }) => page.evaluate(async () => {
  const shown = () => ["table", "sorting"].every((id) => document.getElementById(id)?.hidden === false);
  await new Promise((come) => {
    const looks = new MutationObserver(() => { if (shown()) { looks.disconnect(); come(null); } });
    looks.observe(document.body, { subtree: true, childList: true, attributes: true });
    if (shown()) { looks.disconnect(); come(null); }
  });
  const cards = [.../** @type {NodeListOf<HTMLButtonElement>} */ (document.querySelectorAll("#sorting-cards .card"))];
  const value = (/** @type {Element} */ card) => card.getAttribute("aria-label")?.split(", ").at(-1) ?? "";
  for (const one of new Set(cards.map(value))) {
    const alike = cards.filter((card) => value(card) === one);
    if (alike.length > 1) for (const card of alike) card.click();
  }
  return { cards: cards.length, sorted: cards.filter((card) => card.disabled).length, status: document.getElementById("status")?.textContent };
});

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

  // Round 1: Ada never takes a pebble and so is last. Bo's browser reloads in the middle: in a pause, since a stand-in
  // plays for whoever is away for five seconds, and a slow page may be.
  const [, bosSight] = await freezeInTheMiddle(teacher, [adaPlays, boPlays]);
  await bo.page.reload();
  const again = await boPlays.sees(({ veil, hand }) => veil === "Pause" && !hand.includes(null), "the pause and all cards again");
  assert.deepEqual(again.hand, bosSight?.hand, "the same hand after the reload");
  await teacher.page.getByRole("button", { name: "Go on Table 1" }).click();
  for (const robot of [adaPlays, boPlays]) await robot.sees(({ veil }) => veil === "", "the end of the pause");
  await ada.shot("tablet-in-play");
  await bo.shot("laptop-in-play");
  // The end of a round stands for ten seconds, so that all of it is read in one look.
  const round = (/** @type {Robot} */ robot) => robot.play((sight) => sight.phase === "RoundOver" && sight.four === 4, "the end of round 1");
  const [adaSaw, boSaw] = await Promise.all([round(adaPlays), round(boPlays)]);
  const sorts = sortAll(ada);
  assert.equal(adaSaw.title, "You were last this time.");
  assert.equal(boSaw.title, "Ada was last this time.");
  await ada.shot("round-over-tablet");
  await bo.shot("round-over-laptop");

  // Round 2: Ada watches and sorts; then Bo and the partner play for the last token.
  const sorted = await sorts;
  assert.ok(sorted.cards >= 4 && sorted.sorted >= 4, `at least the four that matched: ${JSON.stringify(sorted)}`);
  await ada.shot("sorting-done");
  await ada.axe();
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
