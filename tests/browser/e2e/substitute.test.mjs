/**
 * A lesson run by a substitute: the teacher makes the link on her board, somebody else opens it on a phone,
 * lets a child in, begins the slot, starts, freezes, rings; and it ends when the teacher ends it, with the wall
 * display that it opened.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, plan, sit } from "./lesson.mjs";
import { Robot } from "./robot.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => { [server, browser] = await Promise.all([Server.start("serve"), launch()]); });
after(async () => { await browser?.close(); await server?.stop(); });

test("a substitute runs the prepared lesson by a link, on a phone, and sees nothing of the teacher's own", async () => {
  const teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: "nickname,picture,readiness,apart\nAda,kite,1,\nBo,drum,3,Ada\n" });
  await plan(teacher, { house: "Everybody stays in", rounds: 2 });
  await teacher.page.getByRole("button", { name: "A substitute" }).click();
  await teacher.page.getByText("There is no link now.").waitFor();
  await teacher.page.getByRole("button", { name: "Make a link" }).click();
  const address = await teacher.page.getByRole("textbox", { name: "The link" }).inputValue();
  assert.match(address, /\/substitute#[0-9a-f]{32}$/);
  await teacher.axe();
  await teacher.shot("substitute-link");
  await teacher.page.locator("#substitute").getByRole("button", { name: "Close" }).click();

  const other = await Device.open(browser, server.url, "phone", "substitute");
  const url = new URL(address);
  await other.go(url.pathname + url.hash);
  await other.page.getByRole("heading", { name: "Acorn class" }).waitFor();
  const wall = await Device.open(browser, server.url, "wall", "wall");
  const lent = new URL(String(await other.page.getByRole("link", { name: "Wall display" }).getAttribute("href")));
  assert.notEqual(lent.href, await teacher.page.locator("#entrance").getByRole("link", { name: "Wall display" }).getAttribute("href"));
  await wall.go(lent.pathname);
  await wall.page.locator("#way-in .row").waitFor();
  await other.tap(other.page.getByText("Slot for playing"));
  await other.page.getByLabel("From now on").fill("30");
  await other.tap(other.page.getByRole("button", { name: "Begin", exact: true }));
  await other.page.getByText(/^(30|2\d) minutes left: time for about/).waitFor();
  const ada = await Device.open(browser, server.url, "tablet", "Ada");
  const plays = new Robot(ada);
  await ada.go(await linkOf(teacher));
  await sit(ada, "Ada");
  await other.page.locator(".seat").filter({ hasText: "Ada" }).getByText("here", { exact: true }).waitFor();
  await other.shot("substitute-before");
  await other.tap(other.page.getByRole("button", { name: "Start all" }));
  await plays.play((sight) => sight.screen === "table" && plays.moves > 0, "a first move");
  await other.axe();

  await other.tap(other.page.getByRole("button", { name: "Freeze all" }));
  await ada.page.locator("#veil").waitFor({ state: "visible" });
  await other.page.locator(".state.paused").first().waitFor();
  await other.shot("substitute-frozen");
  await other.tap(other.page.getByRole("button", { name: "All go on" }));
  await ada.page.locator("#veil").waitFor({ state: "hidden" });
  await other.tap(other.page.getByRole("button", { name: "Ring the bell: last round" }));
  await teacher.page.getByText("last round", { exact: true }).first().waitFor();

  const words = await other.page.evaluate(() => document.body.textContent ?? "");
  for (const own of ["readiness", "Report", "apart", "false grab", "Support"]) assert.ok(!words.toLowerCase().includes(own.toLowerCase()), own);

  await teacher.page.getByRole("button", { name: "A substitute" }).click();
  await teacher.page.getByRole("button", { name: "End this link" }).click();
  await other.page.getByText("This link is not used any more.").waitFor();
  await wall.page.getByText("This wall display is not used any more. Open it again from the board.").waitFor();
  assert.equal(await wall.page.locator("#way-in").isVisible(), false);
  await wall.shot("substitute-wall-ended");
  await until("the closed page alone", async () => !(await other.page.locator("#today").isVisible()));
  await other.go("/pages/../substitute");
  await other.page.getByText("Open this page by the link").waitFor();
  const expected = /status of 410/;
  for (const one of [teacher, ada, other, wall]) assert.deepEqual(one.troubles.filter((trouble) => !expected.test(trouble)), [], one.name);
  for (const one of [teacher, ada, other, wall]) await one.close();
});
