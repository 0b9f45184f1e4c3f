/**
 * Naming pictures with the real program and a real browser: a child sits down at a deck of pictures,
 * names each one with its word, and the first round comes; whoever plays with it waits for it.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, sit } from "./lesson.mjs";
import { look, Robot } from "./robot.mjs";
import { Server } from "./server.mjs";
/** @import {FaceSheet} from "../../../server/pages/types/wire.js" */

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("a child joins, names every picture once, and then plays the first round", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  const { page } = teacher;
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: "Ada,kite\nBo,drum\n", ages: "5 to 6" });
  const link = await linkOf(teacher);
  await page.getByRole("link", { name: "Choose the cards" }).click();
  await page.getByRole("heading", { name: "Numbers 1 to 10" }).waitFor();
  await page.locator("#deck-skill").selectOption({ label: "Short vowel words" });
  await page.getByRole("heading", { name: "Short vowel words" }).waitFor();
  // Few groups make a short round.
  await page.locator("#deck-groups").fill("5");
  await page.locator("#deck-groups").press("Enter");
  await page.getByText("20 cards serve tables of up to 3.").waitFor();
  await page.getByText("See the cards as a child with helpers does").click();
  await page.getByRole("checkbox", { name: "Picture beside a word" }).check();
  await page.locator("#deck-helped").getByText(/^\d+ of 20 cards have a helper\.$/).waitFor();
  await teacher.axe();
  await page.locator("#deck-helped-fold").scrollIntoViewIfNeeded();
  await teacher.shot("workshop-helped");
  await page.getByRole("button", { name: "Use these cards" }).click();
  await page.locator("#deck-next").getByText("the next game is played with Short vowel words.").waitFor();
  await page.getByRole("link", { name: "Back to the lesson" }).click();
  await page.getByRole("button", { name: "Start all" }).waitFor();

  const ada = await Device.open(browser, server.url, "tablet", "Ada");
  const bo = await Device.open(browser, server.url, "tablet", "Bo");
  const [adaPlays, boPlays] = [new Robot(ada), new Robot(bo)];
  // A tablet loads all faces as soon as it sits.
  const loaded = ada.page.waitForResponse((response) => /\/decks\/[0-9a-f]+\/faces$/.test(response.url()));
  for (const child of [ada, bo]) { await child.go(link); await sit(child, child.name); }
  /** @type {FaceSheet} */ const sheet = await (await loaded).json();
  await page.getByRole("button", { name: "Start all" }).click();

  // Every picture of the deck comes once, with its word, in the sheet's own order.
  const card = ada.page.locator(".naming-card");
  await card.locator("svg").waitFor();
  // Naming ends by itself after a minute, so that axe looks at this page elsewhere (helpers.test.mjs).
  await ada.shot("naming");
  /** @type {string[]} */ const words = [];
  /** @type {Set<string>} */ const drawings = new Set();
  for (const [place, { word }] of sheet.naming.entries()) {
    await until(`picture ${place + 1}`, async () => await ada.page.locator(".naming-progress").evaluate((bar) => /** @type {HTMLProgressElement} */ (bar).value) === place + 1);
    await ada.page.getByRole("button", { name: `${word}, hear it again` }).waitFor();
    assert.equal(await ada.page.locator("#moment h1").textContent(), word);
    drawings.add(await card.locator("svg").innerHTML());
    words.push(word);
    await ada.tap(ada.page.getByRole("button", { name: "Next" }));
  }
  assert.equal(drawings.size, words.length, `each picture once: ${words.join(" ")}`);
  assert.ok(words.length > new Set(words).size, "some words have two pictures");
  const pictured = sheet.faces.filter((face) => face.kind === "Picture" || face.kind === "Emoji");
  assert.deepEqual(new Set(words), new Set(pictured.map((face) => face.label_after.split(", ").at(-1))));
  await ada.page.getByText("All named! Wait for the others.").first().waitFor();
  const cards = async (/** @type {Device} */ child) => (await look(child.page)).hand.filter((drawing) => drawing !== null).length;
  assert.equal(await cards(ada), 0, "no cards before Bo is through");

  // Bo knows them all; then both have four cards and play the round to its end.
  await ada.page.getByRole("heading", { name: "All named! Wait for the others." }).waitFor();
  const end = (/** @type {Robot} */ robot) => robot.play((sight) => sight.screen === "moment" && sight.phase === "RoundOver", "the end of the round");
  await bo.tap(bo.page.getByRole("button", { name: "I know them all" }));
  for (const child of [ada, bo]) await until("four cards", async () => await cards(child) === 4);
  await Promise.all([end(adaPlays), end(boPlays)]);
  assert.ok(adaPlays.moves + boPlays.moves > 0);
  for (const device of [ada, bo, teacher]) { device.calm(); await device.close(); }
});
