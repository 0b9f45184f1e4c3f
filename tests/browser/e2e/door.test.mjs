/**
 * The ways to a child's own place, as children and the teacher meet them: a card, a wrong tap, a second
 * tablet, a home link in a narrow window, a tablet of the cart, one tablet with two hands.
 */
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Device, launch, until } from "./devices.mjs";
import { linkOf, makeLesson, plan, rowOf, sit, tapRow } from "./lesson.mjs";
import { Server } from "./server.mjs";

/** @type {Server} */ let server;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {Device} */ let teacher;
/** @type {string} */ let link;
before(async () => {
  [server, browser] = await Promise.all([Server.start("serve"), launch()]);
  teacher = await Device.open(browser, server.url, "laptop", "teacher");
  await teacher.teach();
  await makeLesson(teacher, { name: "Acorn class", list: "nickname,picture\nAda,kite\nBo,drum\nCleo,pear\nDino,boot\n" });
  // Stand-ins play while nobody looks: so nobody is out, and the game goes on to the end of these tests.
  await plan(teacher, { house: "Everybody stays in", rounds: 20 });
  link = await linkOf(teacher);
});
after(async () => { await browser?.close(); await server?.stop(); });

/** @param {string} name @param {"tablet" | "laptop"} [kind] */
const open = (name, kind = "tablet") => Device.open(browser, server.url, kind, name);
/** Refusals that this test means to meet are logged by Chromium itself. @param {Device} device */
const calm = (device) => assert.deepEqual(device.troubles.filter((one) => !/status of 4(09|10)/.test(one)), [], device.name);
/** @param {Device} device */
const seated = (device) => device.page.locator("#join").waitFor({ state: "hidden" });
/** A child's line in the dialog. @param {string} name */
const line = (name) => teacher.page.locator(".door-list li").filter({ has: teacher.page.getByText(name, { exact: true }) });

/** The codes of home links, by the child's name. @param {string} name */
async function homeLink(name) {
  const page = teacher.page;
  await page.getByRole("button", { name: "Cards, links and tablets" }).click();
  const make = page.getByRole("button", { name: "Make home links" });
  const field = line(name).getByRole("textbox");
  await make.or(field).first().waitFor();
  if (await make.isVisible()) await make.click();
  await field.waitFor();
  const url = new URL(await field.inputValue());
  await page.locator("#door").getByRole("button", { name: "Close" }).click();
  return url.pathname + url.hash;
}

test("a wrong tap is undone with one large button, and the place is free again", async () => {
  const child = await open("Bo");
  await child.go(link);
  const button = child.page.getByRole("button", { name: "Not me" });
  // The button goes after ten seconds: what measures and taps it waits for it before it comes.
  const size = child.page.waitForFunction(() => {
    const box = document.querySelector("#not-me:not([hidden]) button")?.getBoundingClientRect();
    return box && box.height > 0 && { width: box.width, height: box.height };
  });
  const undone = Promise.all([child.page.waitForResponse(/\/join\/undo$/), size.then(() => child.tap(button))]);
  await child.tap(child.page.locator("#join-tiles").getByRole("button", { name: "Ada" }));
  await undone;
  const box = await (await size).jsonValue();
  assert.ok(box && box.height >= 96 && box.width >= 150, "large enough for a small finger");
  await child.page.getByRole("heading", { name: "Who are you?" }).waitFor();
  assert.equal(await child.page.locator(".tile.taken").count(), 0);
  await Promise.all([button.waitFor(), sit(child, "Bo")]);
  await child.shot("not-me");
  await child.axe();
  await child.page.reload();
  await seated(child);
  calm(child);
  await child.close();
});

test("another tablet waits for the teacher, and the first one plays until she says yes", async () => {
  const [first, second] = [await open("Cleo"), await open("Cleo again")];
  await first.go(link);
  await sit(first, "Cleo");
  await second.go(link);
  await second.tap(second.page.locator("#join-tiles").getByRole("button", { name: "Cleo" }));
  await second.page.getByRole("heading", { name: "Your teacher checks who is there" }).waitFor();
  await second.axe();
  await second.shot("waits-at-the-door");
  await teacher.page.getByText("Another tablet wants Cleo’s place").waitFor();
  await teacher.axe();
  await teacher.shot("board-at-the-door");
  assert.ok(await first.page.locator("#join").isHidden(), "the first one still sits");
  await teacher.page.getByRole("button", { name: "let Cleo in", exact: true }).click();
  await seated(second);
  await first.page.getByRole("heading", { name: "Who are you?" }).waitFor();
  calm(first);
  calm(second);
  await Promise.all([first.close(), second.close()]);
});

test("a home link leads to one place, in a narrow window and on a phone, and shows nobody else's name", async () => {
  const path = await homeLink("Dino");
  const home = await open("Dino", "laptop");
  await home.page.setViewportSize({ width: 600, height: 760 });
  await home.go(path);
  await teacher.page.getByText("Dino wants to come in (from home)").waitFor();
  assert.ok(!home.page.url().includes("#"), "the code has left the address bar");
  const seen = await home.page.locator("body").innerText();
  for (const other of ["Ada", "Bo", "Cleo"]) assert.ok(!seen.includes(other), `${other} is named: ${seen}`);
  await home.page.getByRole("link", { name: "For the adult beside the child" }).waitFor();
  await home.axe();
  await home.shot("home-waits-600");
  await teacher.page.getByRole("button", { name: "let Dino in", exact: true }).click();
  await seated(home);
  await teacher.page.getByRole("button", { name: "Start all" }).click();
  await home.page.locator("#hand .card").first().waitFor();
  for (const [width, height] of [[600, 760], [360, 640]]) {
    await home.page.setViewportSize({ width: width ?? 0, height: height ?? 0 });
    // In one look, since a round may end at any moment: the table is there again with the next one.
    const { pebble, cards, sideways } = await until(`all four cards and the way to ask within ${width} px`, async () => {
      const seen = await home.page.evaluate(() => {
        const boxes = (/** @type {string} */ query) => [...document.querySelectorAll(query)].map((one) => one.getBoundingClientRect().toJSON());
        return { all: boxes("#hand .card, #ask"), pebble: boxes(".token")[0], cards: boxes("#turn")[0], sideways: document.documentElement.scrollWidth > innerWidth };
      });
      const within = seen.all.every((box) => box.left >= 0 && box.right <= (width ?? 0) && box.bottom <= (height ?? 0) && box.width >= 44);
      return seen.all.length === 5 && within ? seen : null;
    });
    // Design, section 6: pebbles lie apart from cards and the arrow, 116 px on a tablet; as many here.
    assert.ok(pebble && cards && pebble.width >= 76 && cards.y - pebble.y - pebble.height >= 115, "a pebble too small or too near");
    assert.equal(sideways, false, "nothing to scroll sideways");
    await home.shot(`home-plays-${width}`);
  }
  await home.axe();
  calm(home);
  const adult = await open("adult", "laptop");
  await adult.page.setViewportSize({ width: 360, height: 640 });
  await adult.go("/home");
  assert.equal(await adult.page.locator("li").count(), 5);
  await adult.axe();
  await adult.shot("home-adult-360");
  await adult.close();

  // Revoked: whoever sits plays on; the link refuses kindly and names nobody.
  await teacher.page.getByRole("button", { name: "Cards, links and tablets" }).click();
  teacher.page.once("dialog", (dialog) => void dialog.accept());
  await line("Dino").getByRole("button", { name: /^revoke/i }).click();
  await until("another link", async () => !path.endsWith(new URL(await line("Dino").getByRole("textbox").inputValue()).hash));
  await teacher.axe();
  await teacher.shot("door-dialog");
  await teacher.page.locator("#door").getByRole("button", { name: "Close" }).click();
  assert.ok(await home.page.locator("#join").isHidden());
  const late = await open("late");
  await late.go(path);
  await late.page.getByRole("heading", { name: /not used any more/ }).waitFor();
  await late.axe();
  await late.shot("card-revoked");
  await Promise.all([home.close(), late.close()]);
});

test("a tablet of the cart is kept for a child and joins with one tap", async () => {
  const cart = await open("cart");
  await cart.go("/tablet");
  await cart.page.locator("#join-row").waitFor();
  await tapRow(cart, await rowOf(teacher));
  await sit(cart, "Ada");
  await teacher.page.getByRole("button", { name: "Cards, links and tablets" }).click();
  await teacher.page.getByRole("button", { name: "keep the tablet for Ada" }).click();
  await line("Ada").getByText("Tablet 1").waitFor();
  await line("Ada").getByRole("button", { name: /free the place/ }).click();
  await teacher.page.locator("#door").getByRole("button", { name: "Close" }).click();
  await cart.page.locator("#join-tablet-sit").waitFor();
  await cart.axe();
  await cart.shot("cart-tablet");
  await cart.tap(cart.page.locator("#join-tablet-sit"));
  await seated(cart);
  calm(cart);
  await cart.close();
});

test("one tablet plays two hands, each behind a cover", async () => {
  const page = teacher.page;
  await page.getByRole("button", { name: "Cards, links and tablets" }).click();
  for (const name of ["Bo", "Cleo"]) {
    const free = line(name).getByRole("button", { name: /free the place/ });
    await free.click();
    await page.locator("#door").getByLabel(name, { exact: true }).check();
  }
  const path = await page.getByRole("link", { name: "Play here" }).getAttribute("href");
  await page.locator("#door").getByRole("button", { name: "Close" }).click();
  const shared = new Device("shared", await page.context().newPage(), server.url, false);
  /** What each hand's link was told last of its cover; one that broke tells its successor again. @type {Map<object, string>} */ const covers = new Map();
  shared.page.on("websocket", (socket) => {
    socket.on("framesent", ({ payload }) => {
      const says = /"Covered":\{"covered":(true|false)\}/.exec(String(payload));
      if (says) covers.set(socket, says[1] ?? "");
    });
    socket.on("close", () => covers.delete(socket));
  });
  const covered = () => [...covers.values()].sort().join();
  await shared.go(path ?? "");
  await shared.page.getByRole("heading", { name: "Pass me to Bo" }).waitFor();
  await shared.axe();
  await shared.shot("shared-cover");
  const hand = (/** @type {string} */ name) => shared.page.frameLocator(`iframe[title="The cards of ${name}"]`).locator("#table");
  assert.ok(!await hand("Bo").isVisible() && !await hand("Cleo").isVisible(), "covered");
  await shared.page.getByRole("button", { name: "I am Bo" }).click();
  await hand("Bo").waitFor();
  await until("Bo's hand alone is not covered any more", async () => covered() === "false,true");
  assert.ok(!await hand("Cleo").isVisible(), "hers only");
  await shared.shot("shared-hand");
  await shared.page.getByRole("button", { name: "Cleo" }).click();
  await shared.page.getByRole("heading", { name: "Pass me to Cleo" }).waitFor();
  assert.ok(!await hand("Bo").isVisible(), "covered again");
  await until("Bo's hand is covered again", async () => covered() === "true,true");
  calm(shared);
  await shared.page.close();
});

test("a stranger gets no hands, and a printed card is a PDF for the teacher alone", async () => {
  const stranger = await open("stranger", "laptop");
  await stranger.go(`/shared#${"1".repeat(32)}=0`);
  await stranger.page.getByRole("heading", { name: /Open the teacher's address/ }).waitFor();
  const lesson = new URL(teacher.page.url()).hash.slice(1);
  const cards = `${server.url}/lessons/${lesson}/place-cards.pdf?paper=a4`;
  assert.equal((await stranger.page.request.get(cards)).status(), 401);
  const pdf = await teacher.page.request.get(cards);
  assert.equal(pdf.headers()["content-type"], "application/pdf");
  await stranger.close();
});
