/**
 * Real browsers for the tests: a child's tablet, a laptop, each with its own storage, each watched
 * for errors, broken policy and requests that leave the house.
 */
import assert from "node:assert/strict";
import { copyFile, mkdir, stat } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { axe } from "../chromium.mjs";
import { TEACHER_KEY } from "./server.mjs";

const OUT = fileURLToPath(new URL("../../out/e2e/", import.meta.url));
const PICTURES = fileURLToPath(new URL("../../../deploy/pictures/", import.meta.url));
/** A README that loads slowly is not read; a picture of it stays below this, in bytes. */
const PICTURE_BYTES_MAX = 250_000;
const SIZES = { tablet: { width: 768, height: 1024 }, laptop: { width: 1366, height: 768 }, phone: { width: 390, height: 780 }, wall: { width: 1920, height: 1080 } };
/** For `drawsTheSame`. */
const DRAW = 1;
/** Chromium logs a socket or request that met a stopped server, which no page can hinder. */
const LINK_DOWN = /net::ERR_(CONNECTION_|EMPTY_RESPONSE|SOCKET_NOT_CONNECTED)|WebSocket connection to .* failed/;

export { launch, until } from "../chromium.mjs";

export class Device {
  /** Errors, broken policy, requests elsewhere. @type {string[]} */ troubles = [];

  /** @param {string} name @param {import("playwright-core").Page} page @param {string} url @param {boolean} touch */
  constructor(name, page, url, touch) {
    this.name = name;
    this.page = page;
    this.url = url;
    this.touch = touch;
    page.on("console", (message) => {
      const text = message.text();
      if ((message.type() === "error" || message.type() === "warning") && !LINK_DOWN.test(text)) this.troubles.push(`${message.type()}: ${text}`);
    });
    page.on("pageerror", (error) => this.troubles.push(`uncaught: ${error.message}`));
    page.on("request", (request) => { if (!request.url().startsWith(`${url}/`) && !/^(data|blob):/.test(request.url())) this.troubles.push(`elsewhere: ${request.url()}`); });
  }

  /**
   * @param {import("playwright-core").Browser} browser @param {string} url of the program
   * @param {keyof typeof SIZES} kind @param {string} name
   */
  static async open(browser, url, kind, name) {
    const touch = kind === "tablet" || kind === "phone";
    const context = await browser.newContext({ viewport: SIZES[kind], hasTouch: touch, baseURL: url });
    return new Device(name, await context.newPage(), url, touch);
  }

  /**
   * Draws decks by a number that is printed instead of by chance, for a test whose story needs what a deck may lack.
   * Ids and secrets are drawn as ever. HANDROUND_DRAW=n tells the same story with another deck.
   */
  async drawsTheSame() {
    const draw = Number(process.env["HANDROUND_DRAW"] ?? DRAW);
    console.log(`# ${this.name} draws decks from ${draw}; another one with HANDROUND_DRAW`);
    await this.page.addInitScript((first) => {
      const any = crypto.getRandomValues.bind(crypto);
      let next = first;
      Reflect.set(crypto, "getRandomValues", (/** @type {any} */ room) => (room instanceof Uint32Array && room.length === 1 ? room.fill(next++) : any(room)));
    }, draw);
    return this;
  }

  /** Opens an address of the program and lays nothing between the page and its errors. @param {string} path */
  async go(path) { await this.page.goto(path); return this; }

  /** Opens the teacher's page signed in. */
  async teach() { return this.go(`/teacher?key=${TEACHER_KEY}`); }

  /** A finger on the tablet, the mouse on the laptop. @param {import("playwright-core").Locator} thing */
  async tap(thing) { await (this.touch ? thing.tap() : thing.click()); }

  /**
   * The same where the thing is right now, whatever lies over it. Nothing is waited for: one that is not there is passed
   * over, and one that went or hid a moment ago is an error at once. @param {import("playwright-core").Locator} thing
   */
  async poke(thing) {
    const [one] = await thing.elementHandles();
    await (this.touch ? one?.tap({ force: true }) : one?.click({ force: true }));
  }

  /** A picture for people to look at; nothing is compared with it. @param {string} moment */
  async shot(moment) {
    await mkdir(OUT, { recursive: true });
    await this.page.screenshot({ path: `${OUT}${moment}.png` });
  }

  /**
   * A picture of the page for the README, kept in the repository if HANDROUND_README_PICTURES=1.
   * @param {string} name
   */
  async readmePicture(name) {
    // A flat ground makes a third of the bytes; set as a property, which the page's policy allows.
    await this.page.evaluate(() => { document.body.style.background = "#f7f0e1"; });
    await this.shot(name);
    const from = `${OUT}${name}.png`;
    assert.ok((await stat(from)).size < PICTURE_BYTES_MAX, `${name} is too large a picture`);
    if (process.env["HANDROUND_README_PICTURES"] !== "1") return;
    await mkdir(PICTURES, { recursive: true });
    await copyFile(from, `${PICTURES}${name}.png`);
  }

  /** The rules of accessible pages that a program can check. */
  async axe() {
    await axe(this.page, { of: `${this.name}: ${this.page.url()}` });
  }

  /** Nothing went wrong on this page so far. */
  calm() { assert.deepEqual(this.troubles, [], this.name); }

  async close() { await this.page.context().close(); }
}
