/**
 * A small robot that plays a child's seat as a child does: it looks at what the page shows and taps
 * what it sees. It knows the faces only from the sheet that every device loads, and no wire.
 * @import {FaceSheet} from "../../../server/pages/types/wire.js"
 * @import {Device} from "./devices.mjs"
 */

import { GAME_PATIENCE_MS, until } from "../chromium.mjs";

/** Between two looks, in milliseconds. */
const LOOK_MS = 120;
/**
 * So many cards passed in vain, and a robot gives its group up: two who collect the same one, or wait for what
 * the other holds and never gives, would go on for ever; three robots did in one deal of twenty. Each has a limit
 * of its own, lest two give way to each other in step.
 */
const IN_VAIN_MAX = [20, 25, 30, 35];
let robots = 0;

/** @typedef {Awaited<ReturnType<typeof look>>} Sight */

/** What stands on the page. @param {import("playwright-core").Page} page */
export const look = (page) => page.evaluate(() => {
  const one = (/** @type {string} */ query) => document.querySelector(query);
  const shown = (/** @type {string} */ id) => !document.getElementById(id)?.hidden;
  const drawing = (/** @type {Element | null} */ root) => root?.querySelector("svg")?.innerHTML ?? null;
  const words = (/** @type {string} */ query) => (one(query)?.textContent ?? "").trim();
  return {
    screen: shown("table") ? "table" : shown("moment") ? "moment" : "join",
    phase: document.getElementById("moment")?.dataset["phase"] ?? "",
    veil: shown("veil") ? words("#veil h2") : "",
    title: words("#moment h1"),
    status: words("#status"),
    watching: one("#table")?.classList.contains("watching") ?? false,
    hand: [...document.querySelectorAll("#hand .card")].map(drawing),
    considered: drawing(one("#considered")),
    trayReady: one("#tray")?.classList.contains("ready") ?? false,
    live: one("#tokens")?.classList.contains("live") ?? false,
    tokens: [...document.querySelectorAll(".token")].map((token) => !token.classList.contains("gone")),
    held: one(".nest.held") !== null,
    going: one(".slot.goes") !== null,
    letters: document.querySelectorAll("#own-who .leaf.has").length,
    four: document.querySelectorAll("#moment .four .face svg").length,
  };
});

export class Robot {
  /** @type {Map<string, number>} a drawing to its match group */ #groups = new Map();
  #sheet = "";
  /** Cards kept or passed that the page has seen go. */ moves = 0;
  /** The card that it has just tapped for. @type {string | null} */ #decided = null;
  /** That tap takes the card, instead of passing it. */ #takes = false;
  /** Cards passed since it took one. */ #inVain = 0;
  #inVainMax = IN_VAIN_MAX[robots++ % IN_VAIN_MAX.length] ?? 20;

  /**
   * @param {Device} device
   * @param {{ grabs?: boolean, keyboard?: boolean, looks_ms?: number }} [habits] one that never grabs is last; one at a
   *   keyboard uses its keys; one that looks at each card first is quick no more, and so its moves tell something
   */
  constructor(device, { grabs = true, keyboard = false, looks_ms = 0 } = {}) {
    this.device = device;
    this.looks_ms = looks_ms;
    this.grabs = grabs;
    this.keyboard = keyboard;
    device.page.on("request", (request) => { if (/\/decks\/[0-9a-f]{32}\/faces$/.test(request.url())) this.#sheet = request.url(); });
  }

  /** Learns which drawings belong together. */
  async #learn() {
    /** @type {FaceSheet} */
    const sheet = await (await fetch(this.#sheet)).json();
    const drawings = await this.device.page.evaluate((all) => all.map((svg) =>
      document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true).innerHTML), sheet.faces.map((face) => face.svg));
    drawings.forEach((drawing, place) => this.#groups.set(drawing, sheet.faces[place]?.group ?? -1));
  }

  /** @param {string | null} drawing */
  #group(drawing) { return drawing === null ? undefined : this.#groups.get(drawing); }

  /**
   * The place of the hand to give away for a card, or -1 to pass it on: the group of which it has
   * most is collected, until too many cards have come in vain.
   * @param {(number | undefined)[]} hand @param {number | undefined} card
   */
  #decide(hand, card) {
    const count = (/** @type {number | undefined} */ group) => [...hand, card].filter((one) => one === group).length;
    const best = [...hand, card].reduce((a, b) => (count(b) > count(a) ? b : a));
    if (card !== best) return this.#inVain < this.#inVainMax ? -1 : hand.indexOf(best);
    const worth = hand.map((group) => (group === best ? Infinity : count(group)));
    return worth.indexOf(Math.min(...worth));
  }

  /** One look and at most one tap. @returns {Promise<Sight>} */
  async step() {
    const { page } = this.device;
    const sight = await look(page);
    const knowsAll = page.getByRole("button", { name: "I know them all" });
    if (sight.phase === "Naming" && sight.screen === "moment" && await knowsAll.isVisible()) await this.#quietly(() => this.device.poke(knowsAll));
    // A tap on a card that has only just come does nothing: counted is what went.
    if (sight.screen !== "table") this.#decided = null;
    else if (this.#decided !== null && sight.considered !== this.#decided) {
      this.moves += 1;
      this.#inVain = this.#takes ? 0 : this.#inVain + 1;
      this.#decided = null;
    }
    if (sight.screen !== "table" || sight.watching || sight.veil !== "") return sight;
    if (sight.hand.some((drawing) => this.#group(drawing) === undefined)) { if (this.#sheet) await this.#learn(); return sight; }
    const hand = sight.hand.map((drawing) => this.#group(drawing));
    const four = hand.every((group) => group === hand[0]);
    const missing = sight.tokens.includes(false);
    if (this.grabs && sight.live && !sight.held && (four || missing)) {
      await this.#grab(sight.tokens.indexOf(true));
    } else if (sight.considered !== null) {
      const place = four ? -1 : this.#decide(hand, this.#group(sight.considered));
      this.#decided = sight.considered;
      this.#takes = place >= 0;
      await this.#put(place);
    } else if (sight.trayReady) {
      await this.#quietly(() => this.keyboard ? page.keyboard.press("ArrowUp") : this.device.poke(page.locator("#tray")));
    }
    return sight;
  }

  /** @param {number} token */
  async #grab(token) {
    const { page } = this.device;
    await this.#quietly(() => this.keyboard ? page.keyboard.press("t") : this.device.poke(page.locator(".token").nth(token)));
  }

  /** @param {number} place -1 passes */
  async #put(place) {
    const { page } = this.device;
    await new Promise((wake) => setTimeout(wake, this.looks_ms));
    if (place < 0) await this.#quietly(() => this.keyboard ? page.keyboard.press("ArrowRight") : this.device.poke(page.locator("#pass")));
    else await this.#quietly(() => this.keyboard ? page.keyboard.press(String(place + 1)) : this.device.poke(page.locator("#hand .card").nth(place)));
  }

  /** The round may end under the finger; the next look sees it. @param {() => Promise<void>} tap */
  async #quietly(tap) {
    try { await tap(); } catch (error) { if (!/not visible|not attached|outside of the viewport/i.test(String(error))) throw error; }
  }

  /** Looks without playing until the page shows what is wanted. @param {(sight: Sight) => boolean} wanted @param {string} what */
  sees(wanted, what) {
    return until(`${this.device.name} sees ${what}`, async () => { const sight = await look(this.device.page); return wanted(sight) ? sight : null; });
  }

  /**
   * Plays until the page shows what is wanted.
   * @param {(sight: Sight) => boolean | Promise<boolean>} wanted @param {string} what
   */
  async play(wanted, what) {
    const end = performance.now() + GAME_PATIENCE_MS;
    for (;;) {
      const sight = await this.step();
      if (await wanted(sight)) return sight;
      if (performance.now() > end) throw new Error(`${this.device.name} never saw: ${what}; sees ${JSON.stringify({ ...sight, hand: sight.hand.length, considered: sight.considered !== null })}`);
      await new Promise((wake) => setTimeout(wake, LOOK_MS));
    }
  }
}

/**
 * Lets all children of a table play until each has moved, and freezes it with the cards in their hands: from here no
 * card goes anywhere, however long the next step takes, and not even a stand-in plays. Nobody takes a pebble meanwhile.
 * If a partner has four first, the freeze makes that round void, and the next one is frozen instead.
 * @param {Device} teacher @param {readonly Robot[]} robots all children at Table 1 @returns {Promise<Sight[]>} what each sees then
 */
export async function freezeInTheMiddle({ page }, robots) {
  const grabs = robots.map((robot) => robot.grabs);
  for (const robot of robots) robot.grabs = false;
  for (;;) {
    const had = robots.map(({ moves }) => moves);
    const moved = () => robots.every(({ moves }, index) => moves > (had[index] ?? 0));
    await Promise.all(robots.map((robot) => robot.play((sight) => moved() || sight.tokens.includes(false), "a move of everybody's")));
    await page.getByRole("button", { name: "Freeze Table 1" }).click();
    const sights = await Promise.all(robots.map((robot) => robot.sees(({ veil }) => veil === "Pause", "the pause")));
    if (sights.every(({ screen, hand }) => screen === "table" && !hand.includes(null))) {
      robots.forEach((robot, index) => { robot.grabs = grabs[index] ?? true; });
      return sights;
    }
    await page.getByRole("button", { name: "Go on Table 1" }).click();
    await Promise.all(robots.map((robot) => robot.sees(({ veil }) => veil === "", "the end of the pause")));
  }
}
