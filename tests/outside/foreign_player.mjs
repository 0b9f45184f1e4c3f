// Plays one seat of a table to the end of its game, through the JSON subprotocol. It was written from
// protocol/WIRE.md alone and shares no code with Handround, so that it shows what a stranger can build.
//
//   node foreign_player.mjs --server http://127.0.0.1:8787 --row apple,boat,key,sun --name Mika
//
// Instead of --row: --link CODE (from the children's link) or --token SECRET. Instead of --name: the first
// free place. --break-link drops the link once in the middle of the game, to come back with `resume`.
// --seconds N gives up after so long (default 600).
//
// Last line: game over winners=[..] rounds=N moves=M refused=R returns=B

import { parseArgs } from "node:util";
import WebSocket from "ws";

const { values: options } = parseArgs({
  options: {
    server: { type: "string", default: "http://127.0.0.1:8787" },
    row: { type: "string" },
    link: { type: "string" },
    token: { type: "string" },
    name: { type: "string" },
    "break-link": { type: "boolean", default: false },
    seconds: { type: "string", default: "600" },
  },
});
const base = new URL(options.server);

/** Ends with one sentence. */
function fail(sentence) {
  console.error(sentence);
  process.exit(1);
}

// --- Joining over HTTP (WIRE.md, section 2) ---

async function post(path, body) {
  const answer = await fetch(new URL(path, base), {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
  const value = await answer.json();
  if (!answer.ok) fail(`${path}: ${value.message} (${answer.status})`);
  return value;
}

async function join() {
  if (options.token) return options.token;
  if (!options.row && !options.link) fail("--row, --link or --token is needed");
  const { ticket, places } = options.row
    ? await post("/join/row", { row: options.row.split(",") })
    : await post("/join/link", { code: options.link });
  const place = places.find((one) => (options.name ? one.name === options.name : !one.taken));
  if (!place) fail(`no such place among ${places.map((one) => one.name).join(", ")}`);
  const { token } = await post("/join/place", { ticket, pupil: place.pupil });
  return token;
}

// --- The seat's view and connection (WIRE.md, sections 3 and 5) ---

/** This device's clock in whole microseconds, from the start of the program. */
const clock = () => Math.floor(performance.now() * 1000);

const PARTS = { Table: "table", Hand: "hand", Grab: "grab", Ruling: "ruling" };
/** Codes after which the server wants the device back (section 7); others end the program. */
const MAY_RETURN = new Set([1000, 1001, 1005, 1006, 1008, 1011, 4005]);
const RETURN_WAIT_MS_MAX = 8000;

const count = { moves: 0, refused: 0, returns: 0, rounds: new Set() };
let token, socket, view, last, groups;
let ask = 0;
let returnWaitMs = 500;
let linkWasBroken = !options["break-link"];

function connect() {
  const url = new URL("/ws", base);
  url.protocol = "ws:";
  socket = new WebSocket(url, ["handround.v1.json"]);
  const mine = socket;
  socket.on("open", () => {
    const hello = { credential: { Seat: token }, resume: view ? last : null, clock_step: 1 };
    mine.send(JSON.stringify({ Hello: hello }));
  });
  // Messages are handled one after the other, since a new deck's faces come before what follows.
  let queue = Promise.resolve();
  socket.on("message", (data) => {
    queue = queue.then(() => hear(JSON.parse(data))).catch((error) => fail(error.stack));
  });
  socket.on("error", () => {}); // A close follows.
  socket.on("close", (code, reason) => {
    if (mine !== socket) return;
    if (!MAY_RETURN.has(code)) fail(`closed with ${code}: ${reason}`);
    count.returns += 1;
    setTimeout(connect, returnWaitMs);
    returnWaitMs = Math.min(2 * returnWaitMs, RETURN_WAIT_MS_MAX);
  });
}

async function loadFaces(deck) {
  const answer = await fetch(new URL(`/decks/${deck}/faces`, base));
  if (!answer.ok) fail(`the faces could not be loaded (${answer.status})`);
  const sheet = await answer.json();
  groups = sheet.faces.map((face) => face.group);
}

async function hear(message) {
  const [kind, body] = Object.entries(message)[0];
  if (kind === "Welcome") {
    returnWaitMs = 500;
    await loadFaces(body.Seat.deck);
  } else if (kind === "Seat") {
    const [part, value] = Object.entries(body.news)[0];
    if (part === "Snapshot") view = value;
    else if (body.number !== last + 1) fail(`after ${last} came ${body.number}`);
    else view[PARTS[part]] = value;
    last = body.number;
    look();
  } else if (kind === "Cue") {
    if (view && view.table.round === body.round) view.grab.cue = body.nonce;
    look();
  } else if (kind === "Refused") {
    count.refused += 1;
    console.log(`refused: ${JSON.stringify(body.refusal)}`);
    decidingOn = takingUp = grabbing = undefined;
    setTimeout(look, 500);
  }
}

function say(says) {
  if (socket.readyState !== WebSocket.OPEN) return;
  ask += 1;
  socket.send(JSON.stringify({ Seat: { ask, says } }));
}

// --- The player ---

const LOOK_MS = 400;
const REACT_MS = 450;
const NOTICE_MS = 700;

let shownDeal = 0;
let named = 0;
let shownCue; // { nonce, shown }
let decidingOn, takingUp, grabbing;
let visit = 0;

/** Looks at the view and sets going whatever can be done now; a second look changes nothing. */
function look() {
  const { table, hand, grab, ruling } = view;
  if (ruling) count.rounds.add(ruling.round);
  if (table.phase === "GameOver" && ruling) return finish(ruling.winners);
  if (table.phase === "Naming" && named !== table.game) {
    named = table.game;
    say("PicturesNamed");
  }
  if (!hand || !isPlayed(table.round)) return;
  if (shownDeal !== table.round) {
    shownDeal = table.round;
    decidingOn = takingUp = grabbing = shownCue = undefined;
    say({ DealShown: { round: table.round } });
  }
  lookAtTokens(table, hand, grab);
  lookAtCards(table, hand);
}

/** Whether this is the round being played now. */
function isPlayed(round) {
  const { table } = view;
  const dealt = table.phase === "Dealt" || table.phase === "Playing";
  return dealt && !table.paused && table.round === round;
}

function lookAtTokens({ round, house }, hand, grab) {
  if (typeof house === "object" && "Calm" in house) {
    const me = view.table.seats[view.you];
    if (isFour(hand) && me.laid_down.length === 0) later(round, "lay down", NOTICE_MS, () => say("LayDown"));
    return;
  }
  if (!grab.live || grab.tap === "Taken") return;
  const wait = typeof grab.tap === "object" ? Object.values(grab.tap)[0].wait_ms : 0;
  if (grab.cue) {
    if (shownCue?.nonce !== grab.cue) {
      shownCue = { nonce: grab.cue, shown: clock() };
      say({ CueShown: { cue: shownCue.nonce, shown: shownCue.shown } });
    }
    const tooSoon = typeof grab.tap === "object" && "TooSoon" in grab.tap ? wait : 0;
    later(round, `cue ${grab.cue} ${grab.taps}`, REACT_MS + tooSoon, () => {
      say({ Grab: { cue: shownCue, tap: clock(), token: 0 } });
    });
  } else if (isFour(hand)) {
    later(round, `four ${grab.taps}`, NOTICE_MS + wait, () => {
      // A cue that came meanwhile is answered as a cue.
      if (!view.grab.cue) say({ Grab: { cue: null, tap: clock(), token: 0 } });
    });
  }
}

/** Grabs once for each reason, unless the round is another one by then. */
function later(round, reason, ms, act) {
  if (grabbing === reason) return;
  grabbing = reason;
  setTimeout(() => {
    if (grabbing === reason && isPlayed(round) && view.grab.tap !== "Taken") act();
  }, ms);
}

function lookAtCards({ round }, hand) {
  const card = hand.considering;
  if (card) {
    takingUp = undefined;
    if (decidingOn?.id === card.id) return;
    const mine = (decidingOn = { id: card.id });
    visit += 1;
    setTimeout(() => {
      const now = view.hand;
      if (decidingOn !== mine || !isPlayed(round) || now?.considering?.id !== card.id) return;
      const give = worstBeside(now.cards, card);
      say(give ? { Keep: { card: card.id, give: give.id } } : { Pass: { card: card.id } });
      count.moves += 1;
      breakLinkOnce();
    }, LOOK_MS);
  } else {
    decidingOn = undefined;
    const possible = hand.take_up === "FromPile" || hand.take_up === "FromTray";
    if (!possible) takingUp = undefined;
    else if (takingUp !== visit) {
      takingUp = visit;
      say("TakeUp");
    }
  }
}

function isFour(hand) {
  return hand.cards.length === 4 && new Set(hand.cards.map((card) => groups[card.face])).size === 1;
}

/** The card to give away for this one, or nothing to pass it on: pairs grow, four stay together. */
function worstBeside(cards, card) {
  const like = (one) => cards.filter((other) => groups[other.face] === groups[one.face]).length;
  const most = Math.max(...cards.map(like));
  if (most === 4 || like(card) === 0 || like(card) + 1 <= most) return undefined;
  const others = cards.filter((one) => groups[one.face] !== groups[card.face]);
  return others.sort((one, other) => like(one) - like(other))[0];
}

function breakLinkOnce() {
  if (linkWasBroken || count.moves < 3) return;
  linkWasBroken = true;
  console.log(`dropping the link after number ${last}`);
  socket.terminate();
}

function finish(winners) {
  const { rounds, moves, refused, returns } = count;
  console.log(
    `game over winners=[${winners.join(",")}] rounds=${rounds.size} moves=${moves} refused=${refused} returns=${returns}`,
  );
  process.exit(0);
}

setTimeout(() => fail("the game did not end in time"), 1000 * Number(options.seconds));
token = await join();
console.log(`joined; the secret is ${token}`);
connect();
