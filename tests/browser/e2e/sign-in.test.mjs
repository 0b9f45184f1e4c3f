/**
 * Two teachers of a school's server sign in with names and passwords, by keyboard, on pages that a program
 * finds accessible; each sees the own lessons; one signs out.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch } from "./devices.mjs";
import { makeLesson } from "./lesson.mjs";
import { Server } from "./server.mjs";

const FERN = { name: "Ms Fern", password: "leaf pebble cart" };
const MOSS = { name: "Moss", password: "drum kite & pear=50%" };
/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => {
  const accounts = { [FERN.name]: FERN.password, [MOSS.name]: MOSS.password };
  [server, browser] = await Promise.all([Server.start("serve", accounts), launch()]);
});
after(async () => { await browser?.close(); await server?.stop(); });

/** The sign-in page alone refuses with a status that Chromium notes. @param {Device} device */
const refusedOnce = (device) => {
  device.troubles = device.troubles.filter((trouble) => !/status of 403/.test(trouble));
};
/** A browser moves the focus some time after the page has come. @param {Device} device @param {string} name */
const focused = (device, name) => device.page.locator(`#${name}:focus`).waitFor();
/** @param {Device} device */
const fits = async (device) => assert.ok(await device.page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "nothing is wider than the screen");

test("a teacher signs in by keyboard, is told of a wrong password, sees the own lessons and signs out", async () => {
  const fern = await Device.open(browser, server.url, "laptop", "Ms Fern");
  await fern.go("/teacher");
  assert.equal(new URL(fern.page.url()).pathname, "/sign-in");
  await fern.page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await fern.page.getByLabel("Name").waitFor();
  await fern.axe();
  await fern.shot("sign-in");
  await focused(fern, "name");
  await fern.page.keyboard.type(FERN.name);
  await fern.page.keyboard.press("Tab");
  await fern.page.keyboard.type("leaf pebble card");
  await fern.page.keyboard.press("Enter");
  await fern.page.getByRole("alert").filter({ hasText: "do not belong together" }).waitFor();
  assert.equal(await fern.page.getByLabel("Name").inputValue(), FERN.name);
  assert.equal(await fern.page.getByLabel("Password").inputValue(), "");
  await focused(fern, "password");
  await fern.axe();
  await fern.shot("sign-in-wrong");
  await fern.page.setViewportSize({ width: 320, height: 640 });
  await fits(fern);
  await fern.shot("sign-in-phone");
  await fern.page.setViewportSize({ width: 1366, height: 768 });
  assert.equal(await fern.page.evaluate(() => document.scripts.length), 0, "nothing hinders pasting or a password manager");
  await fern.page.keyboard.type(FERN.password);
  await fern.page.keyboard.press("Enter");
  await fern.page.getByRole("heading", { name: "Your lessons" }).waitFor();
  refusedOnce(fern);
  await fern.page.getByText(FERN.name, { exact: true }).waitFor();
  await fern.axe();
  await fern.shot("signed-in");
  await makeLesson(fern, { name: "Acorn class", list: "Ada\nBo\nCleo\n" });

  const moss = await Device.open(browser, server.url, "tablet", "Moss");
  await moss.go("/sign-in");
  await moss.page.getByLabel("Name").fill(MOSS.name);
  await moss.page.getByLabel("Password").fill(MOSS.password);
  await moss.tap(moss.page.getByRole("button", { name: "Sign in" }));
  await moss.page.getByText("None yet. Make the first one below.").waitFor();
  assert.equal(await moss.page.getByText("Acorn class").count(), 0);
  await fits(moss);
  // Another teacher's board by its address: there is no such lesson.
  await moss.go(new URL(fern.page.url()).pathname + new URL(fern.page.url()).hash);
  await moss.page.getByText("None yet. Make the first one below.").waitFor();
  await moss.shot("signed-in-tablet");

  await fern.go("/teacher#");
  await fern.page.getByRole("button", { name: "Sign out" }).click();
  await fern.page.getByRole("heading", { level: 1, name: "Sign in" }).waitFor();
  await fern.go("/teacher");
  assert.equal(new URL(fern.page.url()).pathname, "/sign-in");
  for (const device of [fern, moss]) { device.calm(); await device.close(); }
});

test("a teacher changes her own password by keyboard, and what was wrong is told without what was typed", async () => {
  const moss = await Device.open(browser, server.url, "laptop", "Moss");
  await moss.go("/sign-in");
  await moss.page.getByLabel("Name").fill(MOSS.name);
  await moss.page.getByLabel("Password").fill(MOSS.password);
  await moss.tap(moss.page.getByRole("button", { name: "Sign in" }));
  await moss.tap(moss.page.getByRole("link", { name: "Password" }));
  await moss.page.getByRole("heading", { name: "Your password" }).waitFor();
  await focused(moss, "now");
  await moss.axe();
  const type = async (/** @type {string[]} */ ...fields) => {
    for (const field of fields) { await moss.page.keyboard.type(field); await moss.page.keyboard.press("Tab"); }
    await moss.page.keyboard.press("Enter");
  };
  await type("not my password", "boats on a pond 7", "boats on a pond 7");
  await moss.page.getByRole("alert").filter({ hasText: "not your password of now" }).waitFor();
  await focused(moss, "now");
  await type(MOSS.password, "123456789012", "123456789012");
  await moss.page.getByRole("alert").filter({ hasText: "more than a name" }).waitFor();
  await moss.axe();
  await moss.page.setViewportSize({ width: 320, height: 740 });
  await fits(moss);
  await moss.shot("password");
  await focused(moss, "now");
  await type(MOSS.password, "boats on a pond 7", "boats on a pond 7");
  await moss.page.getByRole("heading", { name: "Your password is changed" }).waitFor();
  await moss.axe();
  moss.troubles = moss.troubles.filter((trouble) => !/status of 40[03]/.test(trouble));
  await moss.tap(moss.page.getByRole("link", { name: "To your lessons" }));
  await moss.page.getByRole("heading", { name: "Your lessons" }).waitFor();
  moss.calm();
  await moss.close();
});
