/**
 * Pictures of every state of the pages, at a tablet's and a laptop's size, against the stand-in:
 * `node shots.mjs [part of a name]`, into tests/out/shots. For people to look at.
 */
import { mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { launch } from "./chromium.mjs";
import { startMock, tokenOf, urlOf } from "./mock.mjs";
import { LESSON, SCENES } from "./mock/views.mjs";

const OUT = fileURLToPath(new URL("../out/shots/", import.meta.url));
const SIZES = /** @type {const} */ ({ tablet: [768, 1024], wide: [1024, 768], laptop: [1366, 768] });
const wanted = process.argv[2] ?? "";
const sizes = process.argv[3] ? [process.argv[3]] : ["tablet", "laptop"];

await mkdir(OUT, { recursive: true });
const server = await startMock({ pictures: process.env["HANDROUND_PICTURES"] });
const browser = await launch();
/** @type {string[]} */ const troubles = [];

/** @param {string} name @param {string} size @param {string} path @param {string | null} scene @param {(page: import("playwright-core").Page) => Promise<unknown>} [act] */
async function shot(name, size, path, scene, act) {
  if (!name.includes(wanted)) return;
  const [width, height] = size.includes("x") ? size.split("x").map(Number) : SIZES[/** @type {keyof typeof SIZES} */ (size)];
  const context = await browser.newContext({ viewport: { width: width ?? 768, height: height ?? 1024 }, hasTouch: size === "tablet", baseURL: urlOf(server) });
  if (scene) await context.addInitScript((token) => localStorage.setItem("handround.place", JSON.stringify({ token, name: "Ada", picture: "kite" })), tokenOf(scene));
  const page = await context.newPage();
  page.on("console", (message) => { if (message.type() === "error" && !message.text().includes("404")) troubles.push(`${name}: ${message.text()}`); });
  page.on("pageerror", (error) => troubles.push(`${name}: ${error.message}`));
  await page.goto(path);
  await page.waitForTimeout(350);
  if (act) await act(page);
  await page.screenshot({ path: `${OUT}${name}-${size}.png`, fullPage: path.startsWith("/teacher") });
  await context.close();
}

for (const size of sizes) {
  await shot("join-row", size, "/", null, async (page) => { for (const name of ["boat", "sun"]) await page.getByRole("button", { name, exact: true }).first().click(); });
  await shot("join-places", size, `/j/${"c".repeat(32)}`, null);
  for (const scene of [...Object.keys(SCENES), "elsewhere", "over"]) await shot(`table-${scene}`, size, "/", scene);
  await shot("table-away", size, "/", "away", (page) => page.waitForTimeout(1800));
  await shot("table-sorting", size, "/", "deciding", (page) => page.click("#move"));
  await shot("table-falsegrab", size, "/", "play", async (page) => { await page.waitForTimeout(1200); await page.locator(".token").first().click(); await page.waitForTimeout(200); });
  await shot("table-undo", size, "/", "play", async (page) => { await page.waitForTimeout(1500); await page.locator(".hand .card").nth(1).click(); await page.waitForTimeout(150); });
  await shot("teacher-signin", size, "/teacher", null, async (page) => { await page.context().addCookies([{ name: "signed", value: "no", domain: "127.0.0.1", path: "/" }]); await page.reload(); await page.waitForTimeout(300); });
  await shot("teacher-lessons", size, "/teacher", null);
  await shot("teacher-board", size, `/teacher#${LESSON}`, null);
  await shot("teacher-ten", size, `/teacher#${"2".repeat(32)}`, null);
  await shot("teacher-support", size, `/teacher#${LESSON}`, null, async (page) => { await page.getByRole("button", { name: "more for Ada" }).click(); await page.getByRole("button", { name: "Support" }).click(); });
  await shot("teacher-plan", size, `/teacher#${LESSON}`, null, (page) => page.click("#plan-open"));
  await shot("teacher-decks", size, `/teacher#decks-${LESSON}`, null);
  await shot("wall-open", size, `/wall/${"e".repeat(32)}`, null);
  await shot("wall-closed", size, `/wall/${"f".repeat(32)}`, null);
  await shot("wall-ten", size, `/wall/${"a".repeat(32)}`, null);
}
await browser.close();
server.close();
console.log(troubles.length ? troubles.join("\n") : "no console errors");
process.exit(0);
