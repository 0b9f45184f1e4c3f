/**
 * The program is killed in the middle of a round and started again in the same place: the pages
 * come back by themselves, with the same hands, and play on.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, plan, sit } from "./lesson.mjs";
import { freezeInTheMiddle, look, Robot } from "./robot.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("a killed program costs nobody a card: pages, board and wall resume by themselves", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await makeLesson(teacher, { name: "Beech class", list: "Ada\nBo\nCleo\n" });
  // Many groups make a long round: the kill must fall into its middle.
  await plan(teacher, { house: "Everybody stays in", rounds: 1, groups: 13 });
  const link = await linkOf(teacher);
  const children = await Promise.all(["Ada", "Bo", "Cleo"].map(async (name, index) => {
    const child = await Device.open(browser, server.url, index === 0 ? "tablet" : "laptop", name);
    const robot = new Robot(child, { keyboard: index > 0 });
    await child.go(link);
    await sit(child, name);
    return { child, robot };
  }));
  await teacher.page.getByRole("button", { name: "Start all" }).click();
  for (const { child } of children) await child.page.locator("#hand .face svg").first().waitFor();
  // A child gone for five seconds has a stand-in, who would play its cards before a slow page is back: not in a pause.
  const hands = (await freezeInTheMiddle(teacher, children.map(({ robot }) => robot))).map(({ hand }) => hand);

  await server.kill();
  const [first] = children;
  assert.ok(first);
  await until("the calm page of a broken link", async () => (await look(first.child.page)).veil === "One moment");
  await first.child.shot("link-away");
  await server.run();
  for (const [index, { child, robot }] of children.entries()) {
    const sight = await robot.sees(({ veil, screen }) => veil === "Pause" && screen === "table", "the pause again");
    assert.deepEqual(sight.hand, hands[index], `${child.name} has the same hand`);
  }
  await until("the board is live again", async () => (await teacher.page.locator("#link-state").textContent()) === "");
  await teacher.page.getByRole("button", { name: "Go on Table 1" }).click();
  // The round goes on: all play until each has made a further move, since each waits for the one before.
  const had = children.map(({ robot }) => robot.moves);
  for (const { robot } of children) robot.grabs = false;
  const all = () => children.every(({ robot }, index) => robot.moves > (had[index] ?? 0));
  await Promise.all(children.map(({ robot }) => robot.play(all, "a move of everybody's after the restart")));
  await teacher.page.getByRole("button", { name: "Freeze Table 1" }).waitFor();
  for (const one of [teacher, ...children.map(({ child }) => child)]) { one.calm(); await one.close(); }
});
