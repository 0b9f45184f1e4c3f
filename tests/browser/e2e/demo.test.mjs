/**
 * The newcomer: opens the children's address that the demo printed, taps the free seat, plays a
 * round at once.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { sit } from "./lesson.mjs";
import { look, Robot } from "./robot.mjs";
import { Server } from "./server.mjs";
import { GAME_PATIENCE_MS } from "../chromium.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("demo"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("the demo's free seat is one tap away and plays at once", async () => {
  const newcomer = await Device.open(browser, server.url, "tablet", "newcomer");
  const robot = new Robot(newcomer);
  await newcomer.go(new URL(server.children).pathname);
  /** The next card lies open: it comes by itself, or by a tap. */
  const opens = () => until("a card to look at", async () => {
    const { trayReady, considered } = await look(newcomer.page);
    if (trayReady && considered === null) await newcomer.poke(newcomer.page.locator("#tray")).catch(() => {});
    return considered !== null;
    // Whoever is out by then waits for the next game.
  }, GAME_PATIENCE_MS);
  const names = newcomer.page.locator("#join-tiles button:not(:disabled)");
  await names.first().waitFor();
  assert.equal(await names.count(), 1, "one free seat");
  await newcomer.shot("demo-seat");
  await sit(newcomer, "Daisy");
  await newcomer.page.locator("#hand .face svg").first().waitFor();
  await newcomer.shot("demo-dealt");
  await newcomer.page.locator("#tray.ready, #considered .face").first().waitFor();
  await newcomer.shot("demo-first-tap");
  await opens();
  await newcomer.shot("demo-first-card");
  await robot.play(() => robot.moves >= 3, "three moves");
  await until("the third move has arrived", async () => !(await look(newcomer.page)).going);
  await opens();
  await newcomer.readmePicture("pupil-table");
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await teacher.page.locator("#lesson-list").getByRole("link", { name: /Garden class/ }).click();
  await teacher.page.getByRole("heading", { name: "Table 3" }).waitFor();
  await until("all tables play", async () => await teacher.page.locator(".state.Playing").count() === 3, GAME_PATIENCE_MS);
  await teacher.readmePicture("teacher-board");
  await teacher.page.getByRole("button", { name: "Cards, links and tablets" }).click();
  await teacher.page.getByRole("link", { name: "Letter", exact: true }).first().waitFor();
  await teacher.page.getByText("Print all place cards:").waitFor();
  teacher.calm();
  await teacher.close();
  await newcomer.axe();
  newcomer.calm();
  await newcomer.close();
});
