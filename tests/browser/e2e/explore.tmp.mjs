// scratch: newcomer walks the demo
import { Device, launch, until } from "./devices.mjs";
import { Robot, look } from "./robot.mjs";
const url = "http://127.0.0.1:18911";
const join = process.argv[2], kind = process.argv[3] ?? "tablet";
const browser = await launch();
const d = await Device.open(browser, url, kind, "newcomer");
const robot = new Robot(d); d.page.setDefaultTimeout(3000);
const s = (n) => d.shot(`x-${kind}-${n}`);
await d.go("/"); await d.page.waitForTimeout(500); await s("00-row");
await d.go(join.replace(url, "")); await d.page.waitForTimeout(600); await s("01-places");
await d.tap(d.page.getByRole("button", { name: "Daisy" }));
await d.page.waitForTimeout(300); await s("02-first");
await d.page.locator("#hand .face svg").first().waitFor({timeout: 20000});
await s("03-dealt");

let last = "", n = 4; const end = Date.now() + 240000; let phases = new Set();
for (;;) {
  const sight = await robot.step();
  const key = `${sight.screen}/${sight.phase}/${sight.status}/${sight.watching}/${sight.tokens.filter(x=>!x).length}/${sight.held}/${sight.title}`;
  if (key !== last) { console.log(new Date().toISOString().slice(14,23), key, sight.considered !== null, sight.trayReady);
    const short = sight.screen === "table" ? `t-${sight.status.replace(/\W+/g,"")}-${sight.watching}-${sight.tokens.filter(x=>!x).length}` : `m-${sight.title.replace(/\W+/g,"")}`;
    if (!phases.has(short)) { phases.add(short); await s(`${String(n++).padStart(2,"0")}-${short}`);} last = key; }
  if (sight.screen === "moment" && sight.phase === "GameOver") break;
  if (Date.now() > end) break;
  await new Promise(r => setTimeout(r, 120));
}
await d.page.waitForTimeout(500); await s("99-end");
console.log("moves", robot.moves, d.troubles);
await browser.close();
