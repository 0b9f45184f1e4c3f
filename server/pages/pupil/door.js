/**
 * Ways to one child's place: a card or a home link (their code stands behind the address's `#`, which
 * no server and no log sees), a tablet of the cart, one hand of a shared device; waiting for the
 * teacher's answer; and taking a wrong tap back. It knows the calls and nothing of tables.
 * @import {DoorWait, Joined, TabletTold} from "../types/wire.js"
 */
import { art, make, part, picture, show } from "../dom.js";
import { post, Refused } from "../http.js";
import { onTap } from "./guard.js";
import { tryStore } from "./place.js";

export const PANELS = ["join-row", "join-places", "join-wait", "join-shut", "join-tablet"];
/** Between two questions for the teacher's answer, in milliseconds: thirty children behind one address
 *  stay under the server's rate (`JOINS_PER_SECOND`). */
const ASK_MS = 2_000;
/** Between two looks at a door that is shut, in milliseconds. */
const SHUT_MS = 5_000;
/** How long a wrong tap can be undone, in milliseconds: the server's `UNDO_FOR`, a little less. */
const NOT_ME_MS = 9_500;
const CODE_KEY = "handround.code";
const TABLET_KEY = "handround.tablet";

/** @typedef {{ kind: "row" } | { kind: "card" | "home", code: string } | { kind: "tablet", tablet: string } | { kind: "hand", token: string }} WayIn */

/** @param {() => Storage} store @param {string} key @param {string} [value] */
function kept(store, key, value) {
  return tryStore(store, (own) => {
    if (value !== undefined) own.setItem(key, value);
    return own.getItem(key);
  });
}

const newSecret = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");

/** The way that the address names. A code leaves the address bar at once; a reload finds it again. @returns {WayIn} */
export function wayIn() {
  const path = location.pathname.replace(/\/$/, "");
  const secret = /^#([0-9a-fA-F]{32})$/.exec(location.hash)?.[1];
  if (path === "/hand" && secret) return { kind: "hand", token: secret };
  if (path === "/tablet") {
    const tablet = kept(() => localStorage, TABLET_KEY) ?? kept(() => localStorage, TABLET_KEY, newSecret());
    return tablet ? { kind: "tablet", tablet } : { kind: "row" };
  }
  if (path !== "/p" && path !== "/h") return { kind: "row" };
  const key = CODE_KEY + path;
  if (secret) { kept(() => sessionStorage, key, secret); history.replaceState(null, "", path); }
  return { kind: path === "/p" ? "card" : "home", code: secret ?? kept(() => sessionStorage, key) ?? "" };
}

/** Who waits is one at a time; a new panel ends what the old one asked for. */
let turn = 0;
/** Begins a panel and says whether it is still the one that shows. @param {string} panel */
function open(panel) {
  turn += 1;
  const mine = turn;
  show("join", ["join", "table", "moment"]);
  show(panel, PANELS);
  part("join-note").replaceChildren();
  return () => mine === turn;
}

/** Ends every wait: another panel shows. */
export function endWaiting() { turn += 1; }

/** @param {number} ms */
const after = (ms) => new Promise((wake) => setTimeout(wake, ms));

/**
 * The place at once, or after the teacher's answer. Throws `Refused` if she says no; `null` if the
 * child went back.
 * @param {Joined | DoorWait} answer
 * @returns {Promise<Joined | null>}
 */
export async function throughTheDoor(answer) {
  if ("token" in answer) return answer;
  const shows = open("join-wait");
  part("join-wait-who").replaceChildren(...(answer.picture ? [picture(answer.picture)] : []), make("span", { class: "name" }, answer.name), art("wait"));
  for (;;) {
    await after(ASK_MS);
    if (!shows()) return null;
    /** @type {Joined | DoorWait | null} */
    const next = await post("/join/wait", { wait: answer.wait }).catch((error) => {
      // A link that is down, or too many who wait, is no answer.
      if (error instanceof Refused && (error.status === 0 || error.status === 429)) return null;
      throw error;
    });
    if (next && "token" in next) return shows() ? next : null;
  }
}

/** What the one button of a shut door and of a wait does now. @type {() => void} */
let again = () => {};
/** What the two buttons of a cart's tablet do now. @type {{ sit: () => void, other: () => void }} */
let atTablet = { sit: () => {}, other: () => {} };
let ready = false;
function setUp() {
  if (ready) return;
  ready = true;
  onTap(part("join-again"), () => again());
  onTap(part("join-wait-back"), () => again());
  onTap(part("join-tablet-sit"), () => atTablet.sit());
  onTap(part("join-tablet-other"), () => atTablet.other());
}

/** @param {string} words @param {() => void} onAgain @param {boolean} hopeful */
function shut(words, onAgain, hopeful) {
  setUp();
  again = onAgain;
  const shows = open("join-shut");
  part("join-shut-title").textContent = words;
  part("join-again").hidden = !hopeful;
  return shows;
}

/**
 * By a card or a home link; never shows a list of names.
 * @param {{ kind: "card" | "home", code: string }} way
 * @param {(place: Joined) => void} joined @param {string | null} held the secret that this device holds
 */
export async function startCard(way, joined, held) {
  setUp();
  part("join-adult").hidden = way.kind !== "home";
  const retry = () => void startCard(way, joined, held);
  again = retry;
  if (way.code === "") { shut(way.kind === "home" ? "Open your teacher's link once more." : "Scan your card once more.", retry, false); return; }
  try {
    const place = await throughTheDoor(await post("/join/card", { code: way.code, held }));
    if (place) joined(place);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    // Gone for good, or only not now: then the page looks again by itself, unless she said no.
    const shows = shut(error.message, retry, error.status !== 410);
    const soon = error.status !== 410 && !error.message.startsWith("Not now");
    if (soon) { await after(SHUT_MS); if (shows()) retry(); }
  }
}

/** The place went to another device, or the teacher freed it. @param {Extract<WayIn, { code: string }>} way @param {(place: Joined) => void} joined */
export function placeGone(way, joined) {
  part("join-adult").hidden = way.kind !== "home";
  shut("Your place is not here any more.", () => void startCard(way, joined, null), true);
}

/**
 * By a tablet of the cart: one tap, or the row of pictures while it is nobody's.
 * @param {string} tablet @param {(place: Joined) => void} joined @param {() => void} byRow
 */
export async function startTablet(tablet, joined, byRow) {
  setUp();
  /** @type {TabletTold | null} */
  const told = await post("/join/tablet", { tablet, sit: false }).catch((error) => { if (error instanceof Refused) return null; throw error; });
  if (!told?.picture) { byRow(); return; }
  open("join-tablet");
  part("join-tablet-title").textContent = `Tablet ${told.number}`;
  part("join-tablet-sit").replaceChildren(picture(told.picture), make("span", { class: "name" }, told.name));
  again = () => void startTablet(tablet, joined, byRow);
  const sit = async () => {
    try {
      const place = await throughTheDoor(await post("/join/tablet", { tablet, sit: true }));
      if (place) joined(place);
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      shut(error.message, again, true);
    }
  };
  atTablet = { sit: () => void sit(), other: byRow };
}

/**
 * For ten seconds a large button: that is not my picture.
 * @param {Joined} place @param {() => void} undone @param {(words: string) => void} late
 */
export function offerNotMe(place, undone, late) {
  const root = part("not-me");
  const button = make("button", { type: "button" }, picture(place.picture), art("undo"), make("span", {}, "Not me"));
  button.setAttribute("aria-label", `Not me: I am not ${place.name}`);
  const hide = () => { if (button.isConnected) { root.hidden = true; root.replaceChildren(); } };
  onTap(button, () => void (async () => {
    button.disabled = true;
    try { await post("/join/undo", { token: place.token }); hide(); undone(); } catch (error) {
      hide();
      if (!(error instanceof Refused)) throw error;
      late(error.message);
    }
  })());
  root.replaceChildren(button);
  root.hidden = false;
  setTimeout(hide, NOT_ME_MS);
}
