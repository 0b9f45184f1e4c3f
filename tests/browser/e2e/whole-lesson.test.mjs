/**
 * A whole lesson in real browsers: a teacher, a wall, six children at two tables. Two games and a
 * rematch; a pause for all, a reload, a lost link, a child that moves, one that comes late.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, plan, sit } from "./lesson.mjs";
import { look, Robot } from "./robot.mjs";
import { readCode } from "./qr.mjs";
import { Server } from "./server.mjs";

const CLASS = ["Ada,kite,1,Bo", "Bo,drum,3,", "Cleo,pear,2,", "Dino,boot,1,", "Elif,lamp,3,", "Finn,train,2,"];

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

/** Everything that a child's device was sent, over either way. @param {Device} device @param {string[]} bytes */
function listen({ page }, bytes) {
  page.on("websocket", (socket) => socket.on("framereceived", ({ payload }) => { bytes.push(String(payload)); }));
  page.on("response", (response) => { if (/json/.test(response.headers()["content-type"] ?? "")) void response.text().then((text) => bytes.push(text), () => {}); });
}

/** Plays on until the page shows the end of its game. @param {Robot} robot */
const toTheEnd = (robot) => robot.play((sight) => sight.phase === "GameOver" && sight.screen === "moment", "the end of the game");

test("from the class list to two games and a rematch", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: `nickname,picture,readiness,apart\n${CLASS.join("\n")}\n` });
  await plan(teacher, { house: "Everybody stays in", rounds: 1, groups: 6 });
  const wall = await Device.open(browser, server.url, "wall", "wall");
  await wall.go(new URL((await teacher.page.getByRole("link", { name: "Wall display" }).getAttribute("href")) ?? "").pathname);

  const link = await linkOf(teacher);
  // What a child's tablet would read off the wall and off her own page is the join link itself.
  for (const shown of [wall.page.getByRole("img", { name: "QR code to join" }), teacher.page.locator("#entrance .qr")]) {
    assert.equal(await readCode(shown), await teacher.page.locator("#entrance .address a").getAttribute("href"));
  }
  /** @type {string[]} */ const bytes = [];
  /** @param {string} name */
  const join = async (name) => {
    const child = await Device.open(browser, server.url, "tablet", name);
    listen(child, bytes);
    const robot = new Robot(child);
    await child.go(link);
    await sit(child, name);
    return robot;
  };
  const robots = [];
  for (const line of CLASS) robots.push(await join(line.split(",")[0] ?? ""));
  const [ada, bo] = robots;
  assert.ok(ada && bo);
  await wall.page.locator(".wall-table .here").nth(5).waitFor();
  // While a child moves it sits at both tables for a moment.
  const tableOf = async (/** @type {string} */ name) => (await teacher.page.locator(".table-card").filter({ has: teacher.page.locator(".name", { hasText: name }) }).evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")))).join(" and ");
  assert.notEqual(await tableOf("Ada"), await tableOf("Bo"), "kept apart, as the list asks");

  // Game 1: a pause for all, a reload, a link that is lost and comes back.
  await teacher.page.getByRole("button", { name: "Start all" }).click();
  await Promise.all(robots.map((robot) => robot.device.page.locator("#hand .face svg").first().waitFor()));
  await teacher.page.getByRole("button", { name: "Freeze all" }).click();
  const [adasSight] = await Promise.all(robots.map((robot) => robot.sees(({ veil }) => veil === "Pause", "the pause")));
  await teacher.shot("lesson-frozen");
  // In the pause no stand-in plays for a page that takes longer than five seconds to come back.
  await ada.device.page.reload();
  const again = await ada.sees(({ veil, hand }) => veil === "Pause" && !hand.includes(null), "the pause and all cards again");
  assert.deepEqual(again.hand, adasSight?.hand, "the same hand after the reload");
  await teacher.page.getByRole("button", { name: "All go on" }).click();
  await Promise.all(robots.map((robot) => robot.sees(({ veil }) => veil === "", "the end of the pause")));
  const boRow = teacher.page.locator(".seat").filter({ has: teacher.page.locator(".name", { hasText: "Bo" }) });
  await bo.device.go("about:blank");
  await boRow.getByText("away").first().waitFor();
  await teacher.shot("lesson-link-lost");
  await bo.device.go("/");
  await boRow.getByText("here", { exact: true }).waitFor();
  await Promise.all(robots.map(toTheEnd));
  await teacher.shot("lesson-game-1-over");

  // Between the games Ada moves to the other table, and Noor comes late to where Ada sat.
  const from = await tableOf("Ada");
  const to = await tableOf("Bo");
  await teacher.page.getByRole("button", { name: "more for Ada", exact: true }).click();
  const dialog = teacher.page.getByRole("dialog", { name: /^Ada/ });
  await dialog.getByLabel("Where the child goes after this round").selectOption({ label: to });
  await dialog.getByRole("button", { name: "Move after this round" }).click();
  await teacher.page.keyboard.press("Escape");
  await until("Ada sits at the other table", async () => await tableOf("Ada") === to);
  await teacher.page.getByText("Who comes late or has no seat").click();
  await teacher.page.getByLabel("Nickname").fill("Noor");
  await teacher.page.locator("#late-table").selectOption({ label: from });
  await teacher.page.getByRole("button", { name: "Comes late" }).click();
  await teacher.page.locator(".table-card .name", { hasText: "Noor" }).waitFor();
  robots.push(await join("Noor"));
  assert.equal(await tableOf("Noor"), from);

  // Game 2 with all seven, then a rematch that deals to everybody.
  await teacher.page.getByRole("button", { name: "Start all" }).click();
  await Promise.all(robots.map((robot) => robot.device.page.locator("#hand .face svg").first().waitFor()));
  await teacher.shot("lesson-game-2");
  await Promise.all(robots.map(toTheEnd));
  for (const table of [from, to]) await teacher.page.getByRole("button", { name: `Rematch ${table}` }).click();
  await Promise.all(robots.map((robot) => robot.device.page.locator("#hand .face svg").first().waitFor()));
  for (const { device } of robots) assert.equal((await look(device.page)).watching, false, `${device.name} plays`);
  await wall.shot("lesson-wall");

  assert.ok(bytes.length > 7 * 10, `only ${bytes.length} messages were heard`);
  for (const text of bytes) assert.doesNotMatch(text, /readiness|apart|support/i);
  teacher.page.on("dialog", (asked) => void asked.accept());
  await teacher.page.getByRole("button", { name: "End the lesson" }).click();
  await Promise.all(robots.map(({ device }) => device.page.getByText("The lesson is over.").waitFor()));
  for (const device of [teacher, wall, ...robots.map((robot) => robot.device)]) { device.calm(); await device.close(); }
});
