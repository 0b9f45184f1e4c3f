/**
 * The pupil's page: joins, connects, draws. A recipe; each step has its own module.
 * @import {Joined, SeatSays, SeatView, ToClient} from "../types/wire.js"
 */
import { Cards } from "../cards.js";
import { part } from "../dom.js";
import { apply, inRound } from "../view.js";
import { clockStepMicros, Wire } from "../wire.js";
import { Ask } from "./ask.js";
import { offerNotMe, placeGone, startCard, startTablet, wayIn } from "./door.js";
import { guardPage } from "./guard.js";
import { codeIn, startJoin } from "./join.js";
import { forgetPlace, keepPlace, keptPlace } from "./place.js";
import { readySound } from "./sound.js";
import { setUpSpeaking } from "./speak.js";
import { Table } from "./table.js";
import { veil } from "./veil.js";

/** A break shorter than this is not shown, in milliseconds: the page often has the link back by then. */
const AWAY_SHOWN_MS = 1_200;
/** A face sheet that did not come is asked for again after this, in milliseconds. */
const FACES_AGAIN_MS = 2_000;

/** @type {Wire | null} */ let wire = null;
/** @type {SeatView | null} */ let view = null;
/** @type {ReturnType<typeof setTimeout> | undefined} */ let awayTimer;
const way = wayIn();
const cards = new Cards();
const table = new Table(cards, say);
const ask = new Ask(say);

/** @param {SeatSays} says */
function say(says) {
  return wire?.seat(says) ?? null;
}

/** On a shared device the page around this one lies a cover over it and makes it inert (`shared/main.js`). */
const frame = way.kind === "hand" ? window.frameElement : null;
/** What this connection was told of the cover. @type {boolean | null} */ let coverTold = null;
function tellCover() {
  const covered = frame?.hasAttribute("inert") ?? null;
  if (covered === null || covered === coverTold) return;
  if (say({ Covered: { covered } }) !== null) coverTold = covered;
}

/** @param {string} deck */
async function loadFaces(deck) {
  try {
    await cards.load(deck);
    if (view) table.render(view, null);
  } catch {
    setTimeout(() => void loadFaces(deck), FACES_AGAIN_MS);
  }
}

/** @param {ToClient} message */
function hear(message) {
  if ("Welcome" in message && typeof message.Welcome === "object") {
    void loadFaces(message.Welcome.Seat.deck);
    table.reconnected();
    say({ InView: { visible: !document.hidden } });
    coverTold = null;
    tellCover();
  } else if ("Cue" in message) {
    table.tokens.cue(message.Cue.round, message.Cue.nonce);
  } else if ("Seat" in message) {
    view = apply(view, message.Seat.news);
    if (!view) return;
    table.render(view, message.Seat.news);
    ask.render(view);
  } else if ("Refused" in message) {
    table.refused(message.Refused.ask, message.Refused.refusal);
  }
}

/** @param {Joined} place */
function sit(place) {
  if (way.kind !== "hand") keepPlace(place);
  view = null;
  const clockStep = clockStepMicros(() => performance.now());
  wire = new Wire({
    credential: { Seat: place.token }, clockStep, onMessage: hear,
    onState: (state) => {
      if (state !== "waiting") { clearTimeout(awayTimer); awayTimer = undefined; }
      if (state === "open") { if (view) ask.render(view); else veil(null); return; }
      table.hand.forget();
      if (state === "waiting") awayTimer ??= setTimeout(() => veil("away"), AWAY_SHOWN_MS);
      else if (state === "elsewhere") veil("elsewhere", { words: "Play here", act: () => { veil(null); sit(place); } });
      else if (state === "forget") { leave(place); again(); }
      else if (state === "over") {
        const played = view !== null;
        leave(place);
        // Yesterday's seat, today's link: the link wins. A lesson that ends under the child is over.
        if (played || (codeIn(location.pathname) === null && way.kind !== "tablet")) veil("over");
        else join();
      }
      else veil("barred");
    },
  });
}

/** @param {Joined} place */
function leave(place) {
  forgetPlace(place.token);
  wire?.end();
  wire = null;
  view = null;
}

/** A place that was found just now, by a tap that may have been wrong. @param {Joined} place */
function sitFresh(place) {
  sit(place);
  offerNotMe(place, () => { leave(place); join(); }, (words) => { part("announce").textContent = words; });
}

/** @param {string} [message] */
function join(message) {
  veil(null);
  if (way.kind === "card" || way.kind === "home") void startCard(way, sit, keptPlace()?.token ?? null);
  else if (way.kind === "tablet") void startTablet(way.tablet, sitFresh, () => void startJoin(sitFresh, message, way.tablet));
  else if (way.kind === "hand") veil("over");
  else void startJoin(sitFresh, message);
}

/** The secret opens nothing any more. A link must not knock by itself for ever. */
function again() {
  veil(null);
  if (way.kind === "card" || way.kind === "home") placeGone(way, sit);
  else join("Tap your pictures again.");
}

guardPage();
if (frame) new MutationObserver(tellCover).observe(frame, { attributeFilter: ["inert"] });
setUpSpeaking(() => view !== null && inRound(view) && table.tokens.inRace);
addEventListener("pointerdown", readySound);
document.addEventListener("visibilitychange", () => say({ InView: { visible: !document.hidden } }));
const place = keptPlace();
if (way.kind === "hand") sit({ token: way.token, name: "", picture: "leaf" });
// A card or link says whose place it is, whoever sat here before.
else if (place && way.kind !== "card" && way.kind !== "home") sit(place);
else join();
