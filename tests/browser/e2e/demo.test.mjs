/**
 * The newcomer: opens the children's address that the demo printed, taps the free seat, plays a
 * round at once.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { sit } from "./lesson.mjs";
import { Robot } from "./robot.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("demo"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("the demo's free seat is one tap away and plays at once", async () => {
  const newcomer = await Device.open(browser, server.url, "tablet", "newcomer");
  const robot = new Robot(newcomer);
  await newcomer.go(new URL(server.children).pathname);
  const names = newcomer.page.locator("#join-tiles button:not(:disabled)");
  await names.first().waitFor();
  assert.equal(await names.count(), 1, "one free seat");
  await newcomer.shot("demo-seat");
  await sit(newcomer, "Daisy");
  await newcomer.page.locator("#hand .face svg").first().waitFor();
  await newcomer.shot("demo-dealt");
  await newcomer.page.locator("#tray.ready, #considered .face").first().waitFor();
  await newcomer.shot("demo-first-tap");
  if (await newcomer.page.locator("#considered .face").count() === 0) await newcomer.tap(newcomer.page.locator("#tray"));
  await newcomer.page.locator("#considered .face").waitFor();
  await newcomer.shot("demo-first-card");
  await robot.play(() => robot.moves >= 3, "three moves");
  // The moment without a card may be over before anybody looks: only what stays is waited for.
  await until("the next card lies open", async () => {
    const ready = newcomer.page.locator("#tray.ready");
    if (await ready.count() === 1) await newcomer.tap(ready).catch(() => {});
    return await newcomer.page.locator("#considered .face").count() === 1 && await newcomer.page.locator(".slot.goes").count() === 0;
  });
  await newcomer.readmePicture("pupil-table");
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await teacher.page.getByRole("link", { name: /Garden class/ }).click();
  await teacher.page.getByRole("heading", { name: "Table 3" }).waitFor();
  await until("all tables play", async () => await teacher.page.locator(".state.Playing").count() === 3);
  await teacher.readmePicture("teacher-board");
  teacher.calm();
  await teacher.close();
  await newcomer.axe();
  newcomer.calm();
  await newcomer.close();
});
