/**
 * The deck workshop against the real program: a teacher chooses, swaps, keeps, prints and uses a deck,
 * and the cards that she saw are the cards that a child's tablet loads.
 * @import {DeckPreview} from "../../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, sit } from "./lesson.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

/** The drawings in view, in the order of the page. @param {Device} teacher @returns {Promise<string[]>} */
const labels = ({ page }) => page.locator("#deck-groups-shown .face").evaluateAll((all) => all.map((one) => one.getAttribute("aria-label") ?? ""));
/** @param {Device} teacher @returns {Promise<string[]>} */
const titles = ({ page }) => page.locator("#deck-groups-shown h3").allTextContents();
/** Waits for the answer to the last question. @param {Device} teacher */
const settled = ({ page }) => page.locator("#deck-look:not([aria-busy])").waitFor();
/** Does what asks the server for another look, and waits until the answer stands there. @param {Device} teacher @param {() => Promise<void>} act @returns {Promise<DeckPreview>} */
async function looks(teacher, act) {
  const [answer] = await Promise.all([teacher.page.waitForResponse(/\/workshop\/preview$/), act()]);
  await settled(teacher);
  return answer.json();
}

test("a deck is chosen, changed, kept, shared, printed and played", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  const { page } = teacher;
  await teacher.drawsTheSame();
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: "nickname,picture\nAda,kite\nBo,drum\nCleo,pear\nDino,boot\n", ages: "5 to 6" });
  const link = await linkOf(teacher);
  await page.getByRole("link", { name: "Choose the cards" }).click();
  await page.getByRole("heading", { name: "Numbers 1 to 10" }).waitFor();
  assert.equal((await titles(teacher)).length, 7, "the lesson's own deck comes first");
  await teacher.axe();

  // Another skill, pairs to be practised, one kind of card left out.
  await page.locator("#deck-skill").selectOption({ label: "Letters" });
  await page.getByRole("heading", { name: "Letters", exact: true }).waitFor();
  // Most decks have such pairs already: that they are asked for is told by the answer.
  const { deck, notes } = await looks(teacher, () => page.getByRole("radio", { name: "practise them" }).check());
  assert.equal(deck.confusables, "Target");
  const pairs = /(\d+) pairs? that children take for each other \(.*\)/;
  assert.ok(notes.some((note) => pairs.test(note)), notes.join("\n"));
  await page.getByText(pairs).waitFor();
  assert.ok((await labels(teacher)).some((label) => label.startsWith("book letter")));
  const { notes: told } = await looks(teacher, () => page.getByRole("checkbox", { name: "book letter" }).uncheck());
  assert.deepEqual((await labels(teacher)).filter((label) => label.startsWith("book letter")), []);

  // How long it will take.
  await page.locator("#deck-length").getByText(/With 4 players a round takes about/).waitFor();

  // One group, then one card: that one changes, the rest stays, the keyboard stays there.
  const before = await titles(teacher);
  // Not one half of the only pair: without it the deck might have none to practise.
  const halves = told.flatMap((note) => /, 1 pair that children take for each other \((.+) and (.+)\)/.exec(note)?.slice(1) ?? []);
  const gone = before.find((title) => !halves.includes(title)) ?? "";
  await looks(teacher, () => page.getByRole("button", { name: `Another group instead of ${gone}`, exact: true }).press("Enter"));
  assert.equal(await page.locator("#deck-error").textContent(), "");
  await page.locator("#deck-said").getByText(`instead of ${gone}.`).waitFor();
  const after = await titles(teacher);
  assert.deepEqual(after.filter((title) => !before.includes(title)).length, 1);
  assert.deepEqual(before.filter((title) => !after.includes(title)), [gone]);
  assert.match(await page.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? ""), /^Another group instead of/);
  // Groups that have more cards than four have such a button.
  const cards = await labels(teacher);
  const { groups } = await looks(teacher, () => page.getByRole("button", { name: /^Another card instead of picture/ }).first().click());
  assert.deepEqual(groups.flatMap((group) => group.cards.map((card) => card.label)), await labels(teacher));
  assert.equal((await labels(teacher)).filter((label) => !cards.includes(label)).length, 1, "another picture");
  await teacher.axe();
  await teacher.shot("workshop");

  // Kept under a name, shared as a file, read back from the file.
  await page.getByText("Keep and open decks").click();
  await page.locator("#deck-keep-name").fill("Monday's letters");
  await page.getByRole("button", { name: "Keep this deck" }).click();
  await page.getByRole("button", { name: "Open Monday's letters" }).waitFor();
  const shown = await labels(teacher);
  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "Monday's letters as a file to share" }).click()]);
  const bytes = await readFile(await file.path());
  assert.match(String(bytes), /"handround_deck": 1/);
  await page.locator("#deck-file").setInputFiles({ name: "picture.json", mimeType: "application/json", buffer: Buffer.from("\x89PNG") });
  await page.locator("#deck-keep-error").getByText("This is no deck file that can be read").waitFor();
  await page.locator("#deck-file").setInputFiles({ name: "deck.json", mimeType: "application/json", buffer: bytes });
  await page.getByRole("button", { name: "Open Monday's letters 2", exact: true }).waitFor();
  await settled(teacher);
  assert.deepEqual(await labels(teacher), shown);
  page.once("dialog", (dialog) => void dialog.accept());
  await page.getByRole("button", { name: "Delete Monday's letters 2", exact: true }).click();
  await page.getByRole("button", { name: "Open Monday's letters 2", exact: true }).waitFor({ state: "detached" });

  // A deck of her own words, and the names of the class.
  await page.locator("#own-file").setInputFiles({ name: "plants.png", mimeType: "image/png", buffer: Buffer.from("no picture") });
  await page.locator("#own-error").getByText("Choose the deck's file too").waitFor();
  const words = ["roots,beet,carrot,radish,turnip", "leaves,cabbage,lettuce,spinach,kale", "fruits,apple,pear,plum,cherry", "tools,spade,rake,hoe,shears", "insects,bee,ant,moth,wasp"];
  await page.locator("#own-file").setInputFiles({ name: "garden.csv", mimeType: "text/csv", buffer: Buffer.from(`name:,Garden words\nmeaning,face,face,face,face\n${words.join("\n")}\n`) });
  await page.getByRole("heading", { name: "Garden words" }).waitFor();
  await page.locator("#deck-skill").selectOption({ label: "Names of our class" });
  await page.getByRole("heading", { name: "Our class" }).waitFor();
  await page.getByRole("button", { name: "Open Monday's letters", exact: true }).click();
  await page.getByRole("heading", { name: "Letters", exact: true }).waitFor();
  await settled(teacher);
  assert.deepEqual(await labels(teacher), shown);

  // On paper.
  await page.getByText("Print this deck").click();
  const [pdf] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Make the sheets" }).click()]);
  assert.equal((await readFile(await pdf.path())).subarray(0, 5).toString(), "%PDF-");

  // In the lesson: the tablet loads exactly these drawings.
  await page.getByRole("button", { name: "Use these cards" }).click();
  await page.locator("#deck-next").getByText("the next game is played with Letters.").waitFor();
  const child = await Device.open(browser, server.url, "tablet", "Ada");
  const [sheet] = await Promise.all([
    child.page.waitForResponse((response) => /\/decks\/[0-9a-f]+\/faces$/.test(response.url())),
    child.go(link).then(() => sit(child, "Ada")),
  ]);
  /** @type {import("../../../server/pages/types/wire.js").FaceSheet} */ const faces = await sheet.json();
  assert.deepEqual(faces.faces.map((face) => face.label_after).sort(), [...shown].sort());
  await page.getByRole("link", { name: "Back to the lesson" }).click();
  await page.getByRole("heading", { name: "Acorn class" }).waitFor();
  await page.locator("#plan-line").getByText("Letters").waitFor();
  // A refused file and its status are logged by Chromium itself.
  assert.deepEqual(teacher.troubles.filter((one) => !/status of 400/.test(one)), []);
  child.calm();
  await child.close();
  await teacher.close();
});

test("what cannot be says why, and the last deck stays in view; one table may have its own", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  const { page } = teacher;
  await teacher.teach();
  const list = ["Ada", "Bo", "Cleo", "Dino", "Elif", "Finn", "Gus", "Hana"].join("\n");
  await makeLesson(teacher, { name: "Oak class", list, ages: "6 to 7" });
  await page.getByRole("link", { name: "Choose the cards" }).click();
  await page.getByRole("heading", { name: "Numbers 1 to 20" }).waitFor();
  await page.locator("#deck-max").fill("99");
  await page.locator("#deck-max").press("Enter");
  await page.locator("#deck-error").getByText(/There are not enough ways to show/).waitFor();
  assert.equal((await titles(teacher)).length, 9);
  await page.locator("#deck-max").fill("12");
  await page.locator("#deck-max").press("Enter");
  await page.getByRole("heading", { name: "Numbers 1 to 12" }).waitFor();
  assert.equal(await page.locator("#deck-error").textContent(), "");

  // Too few groups for a table of four: the reason, and nothing has changed.
  await page.locator("#deck-groups").fill("3");
  await page.locator("#deck-groups").press("Enter");
  await until("three groups", async () => (await titles(teacher)).length === 3);
  await page.getByRole("button", { name: "Use these cards" }).click();
  await page.locator("#deck-use-error").getByText(/too small .* Use more groups\./).waitFor();
  await page.locator("#deck-groups").fill("8");
  await page.locator("#deck-groups").press("Enter");
  await until("eight groups", async () => (await titles(teacher)).length === 8);

  // Groups by hand.
  await page.getByText("Choose the groups yourself").click();
  const one = (await titles(teacher))[0] ?? "";
  await page.locator("#deck-choices").getByLabel(one, { exact: true }).uncheck();
  await until("seven groups without it", async () => { const now = await titles(teacher); return now.length === 7 && !now.includes(one); });

  await page.locator("#deck-where").selectOption({ label: "Table 2" });
  await page.getByRole("button", { name: "Use these cards" }).click();
  await page.locator("#deck-next").getByText("Table 2 with Numbers 1 to 12").waitFor();
  await page.getByRole("link", { name: "Back to the lesson" }).click();
  await page.getByRole("article", { name: "Table 2" }).getByText("Numbers 1 to 12").waitFor();
  await page.getByRole("link", { name: "Choose the cards" }).click();
  await page.locator("#deck-where").selectOption({ label: "Table 2" });
  await page.getByRole("button", { name: "The lesson's cards again" }).click();
  await page.locator("#deck-next").getByText("the next game is played with Numbers 1 to 20.").waitFor();
  assert.deepEqual(teacher.troubles.filter((trouble) => !/status of 4(00|09)/.test(trouble)), []);
  await teacher.close();
});
