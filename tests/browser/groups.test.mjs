/**
 * Kept classes and the groups before a lesson, against the stand-in: what is asked of the server,
 * moving a child by menu, keyboard and mouse, who is not here, a class's list and its end.
 * @import {GroupsAsked, LessonAsked} from "../../server/pages/types/wire.js"
 */
import assert from "node:assert/strict";
import { after, afterEach, before, beforeEach, test } from "node:test";
import { axe, launch } from "./chromium.mjs";
import { startMock, urlOf } from "./mock.mjs";
import { askedOfClasses, KEPT, resetClasses, SUGGESTED } from "./mock/classes.mjs";
import { LESSON } from "./mock/views.mjs";

const SIZES = { laptop: { width: 1366, height: 768 }, phone: { width: 390, height: 780 } };
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("node:http").Server} */ let server;
before(async () => {
  server = await startMock();
  browser = await launch();
});
after(async () => { await browser?.close(); server?.closeAllConnections(); server?.close(); });
beforeEach(resetClasses);
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));

/** @param {keyof typeof SIZES} size @param {string} path */
async function open(size, path) {
  const context = await browser.newContext({ viewport: SIZES[size], baseURL: urlOf(server), reducedMotion: "reduce", acceptDownloads: true });
  const page = await context.newPage();
  await page.goto(path);
  return page;
}

/** Nothing that axe can find, and nothing wider than the screen. @param {import("playwright-core").Page} page */
async function looked(page) {
  await axe(page);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing is wider than the screen");
}

/** @param {import("playwright-core").Page} page @param {string} title @param {string} name */
const seated = (page, title, name) => page.getByRole("region", { name: title, exact: true }).getByRole("listitem").filter({ hasText: name });

/** The last question about groups. */
function lastAsked() {
  const one = askedOfClasses.filter(({ path }) => path.endsWith("/groups")).at(-1);
  return /** @type {GroupsAsked} */ (JSON.parse(one?.body ?? "null"));
}

for (const size of /** @type {(keyof typeof SIZES)[]} */ (["laptop", "phone"])) {
  test(`a kept class shows until when it is kept, and its groups by table: ${size}`, async () => {
    const page = await open(size, "/teacher");
    await page.getByText("11 children, kept until 24 February 2027").waitFor();
    for (const made of ["made on 27 November, 9:05", "made on 27 November, 13:05"]) await page.getByText(made).waitFor();
    await looked(page);
    await page.getByRole("link", { name: "Make groups: Acorn class" }).click();
    await page.getByRole("heading", { name: "Groups for Acorn class" }).waitFor();
    await seated(page, "Table 1", "Gus").or(seated(page, "Table 2", "Gus")).or(seated(page, "Table 3", "Gus")).waitFor();
    await page.getByText("11 children sit at 3 tables.").waitFor();
    assert.equal(await page.getByRole("button", { name: /^Mixed/ }).getAttribute("aria-pressed"), "true");
    for (const select of await page.locator("#group-tables select").all()) assert.ok(((await select.boundingBox())?.height ?? 0) >= 44);
    await looked(page);
  });
}

test("every way of grouping asks for it, and other groups are the next draw", async () => {
  const page = await open("laptop", `/teacher#class=${KEPT}`);
  await page.getByText("11 children sit at 3 tables.").waitFor();
  const first = lastAsked();
  assert.ok("Choose" in first);
  assert.deepEqual([first.Choose.way, first.Choose.here.length], ["Mixed", 11]);
  for (const [word, way] of /** @type {const} */ ([["Similar", "Similar"], ["By chance", "Random"], ["From play", "FromPlay"], ["Mixed", "Mixed"]])) {
    await page.getByRole("button", { name: new RegExp(`^${word}`) }).click();
    await page.locator(`[data-way=${way}][aria-pressed=true]`).waitFor();
    const asked = lastAsked();
    assert.ok("Choose" in asked && asked.Choose.way === way && asked.Choose.draw === first.Choose.draw);
  }
  const before = await page.locator("#group-tables").innerText();
  await page.getByRole("button", { name: "Other groups" }).click();
  await page.waitForFunction((old) => /** @type {HTMLElement} */ (document.querySelector("#group-tables")).innerText !== old, before);
  const asked = lastAsked();
  assert.ok("Choose" in asked && asked.Choose.draw === first.Choose.draw + 1);
});

test("groups from play come by one click from the report, say why, and are the teacher's to change", async () => {
  const page = await open("laptop", `/teacher#class=${KEPT}&way=play`);
  await page.getByText("11 children sit at 3 tables.").waitFor();
  const asked = lastAsked();
  assert.ok("Choose" in asked && asked.Choose.way === "FromPlay" && asked.Choose.draw === 0);
  const reasons = page.locator("#group-tables").getByText("Together, since “6” and “9” are not yet steady for all.");
  assert.equal(await reasons.count(), 3);
  await looked(page);
  await page.getByLabel("Where Cleo sits").selectOption({ label: "to a new table" });
  await seated(page, "Table 4", "Cleo").waitFor();
  assert.equal(await reasons.count(), 0, "a reason of the program's groups is none for hers");
});

test("a lesson from play lays the suggested decks in one click, but for those that the teacher leaves out", async () => {
  const page = await open("laptop", `/teacher#class=${KEPT}&way=play`);
  await page.getByText("11 children sit at 3 tables.").waitFor();
  const decks = page.getByRole("checkbox", { name: "Lay a deck for this table: Numbers 1 to 10" });
  assert.equal(await decks.count(), 3);
  for (const deck of await decks.all()) assert.ok(await deck.isChecked());
  assert.equal(await page.locator("#group-tables").getByText("In the deck: “6”, which is not yet steady.").count(), 3);
  assert.ok(await page.locator("#groups-make").getByLabel("6 to 7").isChecked(), "the ages that were played last");
  await page.getByRole("button", { name: "Make the lesson with these groups and decks" }).waitFor();
  await looked(page);

  // One left out stays so when a child elsewhere moves, and its table is known by its children.
  await decks.nth(1).uncheck();
  await page.getByRole("button", { name: "Make the lesson with these groups and 2 of the decks" }).waitFor();
  const second = await page.getByRole("region", { name: "Table 2", exact: true }).locator(".name").allTextContents();
  await page.getByRole("region", { name: "Table 1", exact: true }).getByRole("combobox").first().selectOption({ label: "to Table 3" });
  await page.locator("#groups-ways:not(:has([aria-pressed=true]))").waitFor();
  const asked = lastAsked();
  assert.ok("ByHand" in asked && asked.ByHand.with_decks, "her own groups get decks too");
  assert.deepEqual(await page.getByRole("region", { name: "Table 2", exact: true }).locator(".name").allTextContents(), second);
  assert.deepEqual(await Promise.all((await decks.all()).map((deck) => deck.isChecked())), [true, false, true]);
  await page.getByRole("button", { name: "Make the lesson with these groups and 2 of the decks" }).click();
  await page.locator(".table-card h2").first().waitFor();
  /** @type {LessonAsked} */
  const made = JSON.parse(askedOfClasses.find(({ path }) => path.endsWith("/lessons"))?.body ?? "");
  assert.deepEqual(made.decks, [SUGGESTED.deck, null, SUGGESTED.deck]);
});

test("groups that play did not make come without decks", async () => {
  const page = await open("phone", `/teacher#class=${KEPT}&way=play`);
  await page.getByRole("button", { name: "Make the lesson with these groups and decks" }).waitFor();
  await looked(page);
  await page.getByRole("button", { name: /^Mixed/ }).click();
  await page.getByRole("button", { name: "Make the lesson with these groups", exact: true }).click();
  await page.locator(".table-card h2").first().waitFor();
  /** @type {LessonAsked} */
  const made = JSON.parse(askedOfClasses.find(({ path }) => path.endsWith("/lessons"))?.body ?? "");
  assert.deepEqual(made.decks, [null, null, null]);
});

test("a child is moved by the menu with the keyboard, by dragging, and to a new table; the lesson gets these tables", async () => {
  const page = await open("laptop", `/teacher#class=${KEPT}`);
  await page.getByText("11 children sit at 3 tables.").waitFor();
  /** Everybody to a known place first. @param {string} name @param {string} where */
  const put = async (name, where) => {
    const menu = page.getByLabel(`Where ${name} sits`);
    const text = await menu.locator("option:checked").textContent();
    if (text === where) return;
    await menu.selectOption({ label: `to ${where}` });
    await seated(page, where, name).waitFor();
  };
  await put("Ada", "Table 1");
  await put("Bo", "Table 2");
  const menu = page.getByLabel("Where Ada sits");
  await menu.focus();
  await page.keyboard.press("ArrowDown");
  await seated(page, "Table 2", "Ada").waitFor();
  await page.waitForFunction(() => document.activeElement?.getAttribute("aria-label") === "Where Ada sits");
  await page.getByText("Ada and Bo share a table, though your list keeps them apart.").waitFor();
  await page.getByText("Ada sits at Table 2.").waitFor({ state: "attached" });
  assert.equal(await page.locator("#groups-ways [aria-pressed=true]").count(), 0, "these groups are by hand");
  await looked(page);

  // By the name: the menu beside it would open instead.
  await seated(page, "Table 2", "Bo").locator(".name").dragTo(page.getByRole("region", { name: "Table 3", exact: true }));
  await seated(page, "Table 3", "Bo").waitFor();
  await page.locator("#groups-apart:empty").waitFor({ state: "attached" });
  await page.getByLabel("Where Cleo sits").selectOption({ label: "to a new table" });
  await seated(page, "Table 4", "Cleo").waitFor();
  await seated(page, "Table 4", "practice partner").nth(1).waitFor();

  await page.locator("#groups-name").fill("Monday");
  await page.locator("#groups-make").getByLabel("6 to 7").check();
  await page.getByRole("button", { name: "Make the lesson with these groups" }).click();
  await page.locator(".table-card h2").first().waitFor();
  assert.equal(new URL(page.url()).hash, `#${LESSON}`);
  /** @type {LessonAsked} */
  const made = JSON.parse(askedOfClasses.find(({ path }) => path.endsWith("/lessons"))?.body ?? "");
  assert.deepEqual([made.name, made.ages, made.tables.length, made.tables[3]], ["Monday", "SixToSeven", 4, [2]]);
  assert.deepEqual(made.tables.flat().sort((one, other) => one - other), [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
});

test("who is not here today is left out, and comes back", async () => {
  const page = await open("phone", `/teacher#class=${KEPT}`);
  await page.getByText("Everybody is here.").waitFor();
  await page.getByLabel("Where Hana sits").selectOption({ label: "not here today" });
  await seated(page, "Not here today", "Hana").waitFor();
  await page.getByText("10 children sit at 3 tables.").waitFor();
  const asked = lastAsked();
  assert.ok("Choose" in asked && !asked.Choose.here.includes(7) && asked.Choose.here.length === 10);
  await looked(page);
  await page.getByLabel("Where Hana sits").selectOption({ label: "to Table 1" });
  await page.getByText("11 children sit at 3 tables.").waitFor();
  await page.getByText("Everybody is here.").waitFor();
});

test("a pasted list leads to its groups, and a wrong line is named", async () => {
  const page = await open("laptop", "/teacher");
  await page.locator("#new-name").fill("Acorn class");
  await page.locator("#new-list").fill("nickname,picture\nAda,,\nBo,dragon");
  await page.getByRole("button", { name: "Look at the groups first" }).click();
  await page.getByRole("alert").getByText(/line 3/i).waitFor();
  await page.locator("#new-list").fill("Ada\nBo\nCleo");
  await page.locator("#new-lesson").getByLabel("6 to 7").check();
  await page.getByRole("button", { name: "Look at the groups first" }).click();
  await page.getByRole("heading", { name: "Groups for Acorn class" }).waitFor();
  assert.ok(await page.locator("#groups-make").getByLabel("6 to 7").isChecked(), "her ages go with the class");
});

test("pictures are changed, the list is saved as a file, and a class is deleted after a question", async () => {
  const page = await open("laptop", "/teacher");
  await page.getByRole("button", { name: "Pictures: Acorn class" }).click();
  await page.getByRole("button", { name: "Ada: kite" }).click();
  await page.getByRole("heading", { name: "A picture for Ada" }).waitFor();
  await looked(page);
  await page.getByRole("button", { name: "drum, change with Bo" }).click();
  await page.getByRole("button", { name: "Bo: kite" }).waitFor();
  assert.equal(await page.locator(":focus").getAttribute("aria-label"), "Ada: drum");
  await page.getByRole("button", { name: "Done" }).click();

  const [file] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: "Save as CSV: Acorn class" }).click()]);
  assert.equal(file.suggestedFilename(), "class-list.csv");

  /** @type {string[]} */ const questions = [];
  let yes = false;
  page.on("dialog", (dialog) => { questions.push(dialog.message()); void (yes ? dialog.accept() : dialog.dismiss()); });
  const remove = page.getByRole("button", { name: "Delete: Acorn class" });
  await remove.click();
  await remove.waitFor();
  assert.equal(askedOfClasses.filter(({ method }) => method === "DELETE").length, 0, "a no is a no");
  yes = true;
  await remove.click();
  await page.getByText("The list of your first lesson is kept here.").waitFor();
  assert.match(questions[1] ?? "", /^Delete Acorn class for good\?/);
});

test("a child is marked as being at home, and a word is said if no child sits beside it", async () => {
  const page = await open("laptop", `/teacher#class=${KEPT}`);
  await page.getByText("11 children sit at 3 tables.").waitFor();
  const mark = page.getByRole("button", { name: "Cleo plays at home" });
  assert.equal(await mark.getAttribute("aria-pressed"), "false");
  await mark.focus();
  await page.keyboard.press("Enter");
  await page.locator('[data-home="2"][aria-pressed="true"]').waitFor();
  await page.waitForFunction(() => document.activeElement?.getAttribute("aria-label") === "Cleo plays at home");
  const asked = askedOfClasses.filter(({ path }) => path.endsWith("/home")).map(({ body }) => JSON.parse(body));
  assert.deepEqual(asked, [{ pupil: 2, at_home: true }]);
  assert.equal(await page.locator("#groups-alone").textContent(), "");
  await page.getByLabel("Where Cleo sits").selectOption({ label: "to a new table" });
  await page.getByText(/^Cleo plays at home without another child/).waitFor();
  for (const button of await page.locator(".home-mark").all()) assert.ok(((await button.boundingBox())?.height ?? 0) >= 24);
  await looked(page);
});
