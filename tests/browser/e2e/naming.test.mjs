/**
 * Naming pictures with the real program and a real browser: a child sits down at a deck of pictures,
 * names each one with its word, and the first round comes; whoever plays with it waits for it.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch } from "./devices.mjs";
import { linkOf, makeLesson, sit } from "./lesson.mjs";
import { Robot } from "./robot.mjs";
import { Server } from "./server.mjs";
/** @import {FaceSheet} from "../../../server/pages/types/wire.js" */

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("a child joins, names every picture once, and then plays the first round", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  const { page } = teacher;
  // Some words of this deck must have two pictures.
  await teacher.drawsTheSame();
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
  // Naming ends by itself after a minute, so that axe looks at this page elsewhere (helpers.test.mjs), and all that
  // depends on the minute is done in one go inside the page.
  await ada.shot("naming");
  const { seen, title, cards } = await ada.page.evaluate(() => {
    const one = (/** @type {string} */ query) => document.querySelector(query);
    const next = () => /** @type {HTMLButtonElement | null} */ (one(".naming-next"));
    const seen = [];
    for (let button = next(); button; button = next()) {
      const place = /** @type {HTMLProgressElement} */ (one(".naming-progress")).value;
      seen.push({ place, word: one("#moment h1")?.textContent, label: one(".naming-card")?.getAttribute("aria-label"), drawing: one(".naming-card svg")?.innerHTML });
      button.click();
    }
    return { seen, title: one("#moment h1")?.textContent, cards: document.querySelectorAll("#hand .card svg").length };
  });
  const words = sheet.naming.map(({ word }) => word);
  assert.deepEqual(seen.map(({ place, word, label }) => ({ place, word, label })), words.map((word, index) => ({ place: index + 1, word, label: `${word}, hear it again` })));
  assert.equal(new Set(seen.map(({ drawing }) => drawing)).size, words.length, `each picture once: ${words.join(" ")}`);
  assert.ok(words.length > new Set(words).size, "some words have two pictures");
  const pictured = sheet.faces.filter((face) => face.kind === "Picture" || face.kind === "Emoji");
  assert.deepEqual(new Set(words), new Set(pictured.map((face) => face.label_after.split(", ").at(-1))));
  assert.deepEqual({ title, cards }, { title: "All named! Wait for the others.", cards: 0 }, "no cards before Bo is through");

  // Bo says that he knows them all; then both have four cards and play the round to its end.
  const dealt = (/** @type {import("./robot.mjs").Sight} */ { screen, hand }) => screen === "table" && hand.length === 4 && !hand.includes(null);
  await boPlays.play(dealt, "four cards");
  await adaPlays.sees(dealt, "four cards");
  const end = (/** @type {Robot} */ robot) => robot.play((sight) => sight.screen === "moment" && sight.phase === "RoundOver" && sight.four === 4, "the end of the round");
  await Promise.all([end(adaPlays), end(boPlays)]);
  for (const device of [ada, bo, teacher]) { device.calm(); await device.close(); }
});
