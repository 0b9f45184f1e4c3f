/**
 * A teacher's lesson from the class list to the rematch, with one child's tablet and the wall
 * display beside it; and what a child meets who taps a wrong row.
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

test("without the key the teacher's page says what to do", async () => {
  const stranger = await Device.open(browser, server.url, "laptop", "stranger");
  await stranger.go("/teacher");
  await stranger.page.getByRole("heading", { name: "This is the teacher's page" }).waitFor();
  await stranger.axe();
  // The refused question is logged by Chromium itself.
  assert.deepEqual(stranger.troubles.filter((one) => !one.includes("401")), []);
  await stranger.close();
});

test("class list, start, pause, resume, end, rematch, and the wall display beside it", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await teacher.page.getByRole("heading", { name: "Your lessons" }).waitFor();
  await teacher.axe();

  // A list with an error: the line is named, and no lesson is made.
  await teacher.page.locator("#new-name").fill("Acorn class");
  await teacher.page.locator("#new-file").setInputFiles({ name: "class.csv", mimeType: "text/csv", buffer: Buffer.from("nickname,picture\nAda,kite\nBo,dragon\n") });
  await teacher.page.getByRole("button", { name: "Make the lesson" }).click();
  await teacher.page.getByRole("alert").getByText(/line 3/i).waitFor();
  await teacher.shot("class-list-error");
  await teacher.axe();
  assert.equal(await teacher.page.locator("#lesson-list a").count(), 0);
  teacher.troubles.splice(0, Infinity, ...teacher.troubles.filter((one) => !/status of 4(00|22)/.test(one)));

  const names = ["Ada,kite", "Bo,drum", "Cleo,pear", "Dino,boot", "Elif,lamp", "Finn,train", "Gus,mug", "Hana,shell", "Ivo,broom", "Juno,tent", "Kim,scarf"];
  await makeLesson(teacher, { name: "Acorn class", list: `nickname,picture\n${names.join("\n")}\n`, ages: "5 to 6" });
  await teacher.page.getByText("11 children sit at 2 tables of four and one table of three.").waitFor();
  await plan(teacher, { house: "Collects a letter", word: "fern", groups: 8 });
  await teacher.page.getByText("letters of “fern”").waitFor();

  // The wall shows the very row, the code and every child.
  const wall = await Device.open(browser, server.url, "wall", "wall");
  await wall.go(new URL((await teacher.page.getByRole("link", { name: "Wall display" }).getAttribute("href")) ?? "").pathname);
  await wall.page.locator(".way-in .row img").first().waitFor();
  const row = await rowOf(teacher);
  assert.deepEqual(await wall.page.locator(".way-in .row img").evaluateAll((all) => all.map((one) => one.getAttribute("alt"))), row);
  assert.equal(await wall.page.locator(".qr svg").count(), 1);
  assert.equal(await wall.page.locator(".wall-table").count(), 3);
  assert.equal(await wall.page.locator(".wall-table li").count(), 11);
  assert.equal(await wall.page.locator(".wall-table .here").count(), 0);

  // A child taps a wrong row first: a picture and a sentence, and an empty row to try again.
  const child = await Device.open(browser, server.url, "tablet", "Ada");
  await child.go("/");
  await child.axe();
  await tapRow(child, [...row.slice(0, 3), row[3] === "sun" ? "moon" : "sun"]);
  await child.page.locator("#join-note img").waitFor();
  assert.match((await child.page.locator("#join-note").textContent()) ?? "", /look again/i);
  assert.equal(await child.page.locator("#join-slots button").count(), 0);
  await child.shot("join-wrong");
  child.troubles.splice(0, Infinity, ...child.troubles.filter((one) => !/status of 40[04]/.test(one)));
  await tapRow(child, row);
  await child.page.getByRole("heading", { name: "Who are you?" }).waitFor();
  await child.axe();
  await child.shot("join-names");
  const robot = new Robot(child);
  await sit(child, "Ada");
  await wall.page.locator(".wall-table .here").getByText("Ada").waitFor();

  await teacher.page.getByRole("button", { name: "Start Table 1" }).click();
  await robot.play(() => robot.moves > 0, "a first move");
  await child.axe();
  await child.shot("pupil-table");

  await teacher.page.getByRole("button", { name: "Freeze Table 1" }).click();
  await until("a calm page in the pause", async () => (await look(child.page)).veil === "Pause");
  assert.ok(await child.page.locator("#table").evaluate((table) => /** @type {HTMLElement} */ (table).inert), "nothing can be tapped in the pause");
  await child.axe();
  await child.shot("paused");
  await teacher.shot("board-paused");
  await teacher.page.getByRole("button", { name: "Go on Table 1" }).click();
  await until("play after the pause", async () => (await look(child.page)).veil === "");
  const had = robot.moves;
  await robot.play(() => robot.moves > had, "a move after the pause");

  await teacher.page.getByRole("button", { name: "Start all" }).click();
  await until("all tables play", async () => await teacher.page.getByRole("button", { name: /^Freeze Table/ }).count() === 3);
  const kim = await Device.open(browser, server.url, "laptop", "Kim");
  await kim.go(await linkOf(teacher));
  await sit(kim, "Kim");
  await kim.page.locator("#hand .face svg").first().waitFor();
  await teacher.axe();
  await wall.axe();
  await teacher.shot("board-all-play");
  await wall.shot("wall");

  await teacher.page.getByRole("button", { name: "End Table 1" }).click();
  await child.page.locator("#moment[data-phase=GameOver]").waitFor();
  await child.axe();
  await child.shot("ended");
  await teacher.page.getByRole("button", { name: "Rematch Table 1" }).click();
  await child.page.locator("#hand .face svg").first().waitFor();
  assert.equal((await look(child.page)).watching, false);

  teacher.page.on("dialog", (dialog) => void dialog.accept());
  await teacher.page.getByRole("button", { name: "Close the room" }).click();
  await wall.page.locator("#way-in").waitFor({ state: "hidden" });
  await wall.shot("wall-closed");
  await teacher.page.getByRole("button", { name: "End the lesson" }).click();
  await child.page.getByText("The lesson is over.").waitFor();
  await child.shot("lesson-over");
  await teacher.page.getByRole("heading", { name: "Your lessons" }).waitFor();
  for (const one of [teacher, wall, child, kim]) { one.calm(); await one.close(); }
});
