/**
 * What play shows, in a real browser: two children play a round and look at each card first; their
 * teacher opens the report of the class and of one child, and takes a suggested deck to the workshop.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch } from "./devices.mjs";
import { linkOf, makeLesson, plan, sit } from "./lesson.mjs";
import { Robot } from "./robot.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("a round played at a child's pace is read as evidence, cautiously", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: "Ada,kite\nBo,drum\nCleo,pear\n" });
  await plan(teacher, { house: "Everybody stays in", rounds: 1, groups: 8 });
  const link = await linkOf(teacher);
  const robots = [];
  for (const name of ["Ada", "Bo", "Cleo"]) {
    const child = await Device.open(browser, server.url, "tablet", name);
    const robot = new Robot(child, { looks_ms: 900 });
    await child.go(link);
    await sit(child, name);
    robots.push(robot);
  }
  await teacher.page.getByRole("button", { name: "Start all" }).click();
  await Promise.all(robots.map((robot) => robot.play((sight) => sight.phase === "GameOver" && sight.screen === "moment", "the end of the game")));

  await teacher.go("/teacher#");
  await teacher.page.getByRole("link", { name: "Report: Acorn class" }).click();
  await teacher.page.getByRole("heading", { level: 1 }).waitFor();
  await teacher.page.getByText(/not for grades, referral or placement/i).first().waitFor();
  await teacher.shot("report-class");
  await teacher.axe();
  const whole = (await teacher.page.locator("main").textContent()) ?? "";
  assert.doesNotMatch(whole, /mastered|\bmet\b|below grade/i);
  await teacher.page.emulateMedia({ media: "print" });
  await teacher.shot("report-class-on-paper");
  await teacher.page.emulateMedia({ media: "screen" });
  await teacher.page.getByRole("link", { name: /Ada/ }).first().click();
  await teacher.page.getByRole("heading", { level: 1, name: /Ada/ }).waitFor();
  await teacher.shot("report-child");
  await teacher.axe();
  await teacher.page.getByRole("link", { name: "Save as PDF, A4" }).waitFor();
  const kept = /classes\/([0-9a-f]{32})/.exec(teacher.page.url())?.[1];
  /** @type {import("../../../server/pages/types/wire.js").NextTold} */
  const next = await teacher.page.evaluate(async (id) => (await fetch(`/classes/${id}/next`)).json(), kept);
  assert.ok(next.groups.length >= 1 && next.groups[0]?.deck, JSON.stringify(next).slice(0, 300));
  await teacher.go(`/teacher#suggested-${kept}-0`);
  await teacher.page.locator("#deck-groups-shown li .face svg").first().waitFor();
  await teacher.shot("report-deck");
  await teacher.go(`/classes/${kept}/report`);
  await teacher.page.getByRole("link", { name: "Take these groups to the groups page" }).click();
  await teacher.page.locator(".group-card .hint").first().waitFor();
  await teacher.shot("report-groups");
  await teacher.axe();
  for (const device of [teacher, ...robots.map((robot) => robot.device)]) { device.calm(); await device.close(); }
});
