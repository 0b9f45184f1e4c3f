/**
 * Pictures of every state of the pages (`mock/states.mjs`), against the stand-in, into tests/out/shots, for people
 * to look at: `node shots.mjs [part of a name] [size]`. A size is one of these or such as 800x600.
 */
import { mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { launch } from "./chromium.mjs";
import { startMock, urlOf } from "./mock.mjs";
import { ADULTS, CHILDREN, reach } from "./mock/states.mjs";

const OUT = fileURLToPath(new URL("../out/shots/", import.meta.url));
/** @type {Record<string, readonly [number, number]>} */
const SIZES = { tablet: [768, 1024], wide: [1024, 768], laptop: [1366, 768], phone: [390, 844], window: [600, 800] };
const [wanted = "", only] = process.argv.slice(2);

await mkdir(OUT, { recursive: true });
const server = await startMock({ pictures: process.env["HANDROUND_PICTURES"] });
const url = urlOf(server);
const browser = await launch();
/** @type {string[]} */ const troubles = [];
for (const size of only ? [only] : ["tablet", "laptop", "phone"]) {
  const [width = 768, height = 1024] = SIZES[size] ?? size.split("x").map(Number);
  for (const state of [...CHILDREN, ...ADULTS].filter(({ name }) => name.includes(wanted))) {
    try {
      const page = await reach(browser, url, state, { viewport: { width, height }, hasTouch: size !== "laptop" });
      const dialog = await page.locator("dialog[open]").count() > 0;
      await page.screenshot({ path: `${OUT}${state.name}-${size}.png`, fullPage: state.path.startsWith("/teacher") && !dialog });
      await page.context().close();
    } catch (error) { troubles.push(`${state.name}, ${size}: ${error}`); }
  }
}
await browser.close();
server.close();
console.log(troubles.length ? troubles.join("\n") : `pictures in ${OUT}`);
process.exit(troubles.length ? 1 : 0);
