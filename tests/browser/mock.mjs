/**
 * A stand-in for the server, for looking at the pages and trying their taps: `node mock.mjs [port]`.
 * It serves the pages with the server's content security policy and hand-made views by seat token.
 * @import {HttpRefusal, JoinPick, JoinRow, LessonLine, ToClient, ToServer} from "../../server/pages/types/wire.js"
 */
import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";
import { WebSocketServer } from "ws";
import { answerClasses } from "./mock/classes.mjs";
import { answerDoors, substitute } from "./mock/doors.mjs";
import { SHEET } from "./mock/faces.mjs";
import { playScene } from "./mock/play.mjs";
import { workshopAnswer } from "./mock/workshop.mjs";
import { board, CLASS, LESSON, MANY_PLACES, PLACES, SCENES, wall } from "./mock/views.mjs";

const PAGES = fileURLToPath(new URL("../../server/pages/", import.meta.url));
/** @type {Record<string, string>} */
const KINDS = { ".html": "text/html; charset=utf-8", ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml" };
const POLICY = "default-src 'self'; img-src 'self' data: blob:";

/** A seat token that names a scene. @param {string} scene */
export const tokenOf = (scene) => Buffer.from(scene).toString("hex").padEnd(32, "0");
/** @param {string} token */
const sceneOf = (token) => Buffer.from(token, "hex").toString().replace(/\0+$/, "");

/** What pages have said, for checks. @type {ToServer[]} */
export const heard = [];

/** What pages have asked of the workshop and of a lesson over HTTP, for checks. @type {{ path: string, body: any }[]} */
export const posted = [];

/** @type {Set<import("ws").WebSocket>} */
const socketsOpen = new Set();
/** Those whose link is gone without a word. @type {WeakSet<import("ws").WebSocket>} */
const dead = new WeakSet();
/** Every link dies as when an access point is switched off: nothing goes through and nobody says so. */
export function fallSilent() { for (const socket of socketsOpen) dead.add(socket); }

/** Says something to every page. @param {ToClient} message */
export function sayToAll(message) {
  for (const socket of socketsOpen) socket.send(JSON.stringify(message));
}

/** Closes every socket, as a server that stops. */
export function dropAll() {
  for (const socket of socketsOpen) socket.close(1001);
}

/** Where it listens. @param {import("node:http").Server} server */
export function urlOf(server) {
  const address = server.address();
  if (address === null || typeof address === "string") throw new Error("it does not listen");
  return `http://127.0.0.1:${address.port}`;
}

/**
 * @param {{ port?: number, pictures?: string | undefined, cue_after_ms?: number | null }} [options] any free port,
 *   unless people are told of one; another folder of pictures; the cue comes so long after a false grab, or when a
 *   test sends it
 * @returns {Promise<import("node:http").Server>}
 */
export function startMock({ port = 0, pictures, cue_after_ms = null } = {}) {
  const server = createServer(async (request, response) => {
    const url = new URL(request.url ?? "/", "http://mock");
    /** @type {Buffer[]} */ const chunks = [];
    for await (const chunk of request) chunks.push(chunk);
    const body = Buffer.concat(chunks).toString();
    const json = (/** @type {object | null} */ answer, status = 200) => {
      response.writeHead(status, { "content-type": "application/json" });
      response.end(JSON.stringify(answer));
    };
    const file = async (/** @type {string} */ path) => {
      try {
        const bytes = await readFile(path);
        response.writeHead(200, { "content-type": KINDS[extname(path)] ?? "text/plain", "content-security-policy": POLICY, "cache-control": "no-store" });
        response.end(bytes);
      } catch { response.writeHead(404).end("not found"); }
    };
    const path = url.pathname;
    if (["/", "/p", "/h", "/tablet", "/hand"].includes(path) || path.startsWith("/j/")) return file(`${PAGES}pupil.html`);
    if (["/home", "/shared", "/substitute"].includes(path)) return file(`${PAGES}${path.slice(1)}.html`);
    if (path === "/teacher") return file(`${PAGES}teacher.html`);
    if (path.startsWith("/wall/")) return file(`${PAGES}wall.html`);
    if (pictures && path.startsWith("/pages/pictures/")) return file(join(pictures, normalize(path.slice(16))));
    if (path.startsWith("/pages/")) return file(join(PAGES, normalize(path.slice(7))));
    if (path.startsWith("/decks/")) return json(SHEET);
    if (path === "/join/row") {
      /** @type {JoinRow} */ const { row } = JSON.parse(body);
      /** @type {HttpRefusal} */ const no = { message: "No game has these pictures. Try again.", line: null };
      return row.join(" ") === "boat sun key tree" ? json({ ticket: "t", lesson: "Acorn class", places: PLACES }) : json(no, 404);
    }
    if (path === "/join/link") return json({ ticket: "t", lesson: "Acorn class", places: body.includes("f".repeat(32)) ? MANY_PLACES : PLACES });
    if (path === "/join/place" || path === "/join/ask") {
      /** @type {JoinPick} */ const { pupil } = JSON.parse(body);
      const [name, picture] = CLASS[pupil] ?? ["", ""];
      return json({ token: tokenOf("play"), name, picture });
    }
    if (path.endsWith("/list.csv")) {
      response.writeHead(200, { "content-type": "text/csv; charset=utf-8", "content-disposition": "attachment; filename=\"class-list.csv\"" });
      return response.end("nickname\r\nAda\r\n");
    }
    const method = request.method ?? "GET";
    const answer = answerClasses(method, path, body) ?? answerDoors(method, path, body, tokenOf);
    if (answer) return json(...answer);
    if (path === "/account") return json(null);
    if (path === "/lessons" && request.method === "GET") {
      if (request.headers.cookie?.includes("signed=no")) return json({ message: "not signed in", line: null }, 401);
      // Two lessons on one day, local time.
      const made = (/** @type {number} */ hours) => new Date(2026, 10, 27, hours, 5).getTime() * 1_000;
      /** @type {LessonLine[]} */
      const lines = [{ lesson: LESSON, name: "Acorn class", made_at: made(9), pupils: 11, tables: 3 }, { lesson: "2".repeat(32), name: "Whole year", made_at: made(13), pupils: 38, tables: 10 }];
      return json(lines);
    }
    if (path.endsWith("/slot")) return json({ minutes_left: 17, sentence: "17 minutes left: time for about 8 more rounds, or 2 new games. Ring the bell in 15 minutes.", ring_now: false });
    if (path === "/lessons") return /,,|^\s*$/.test(body) ? json({ message: "There is no picture called \"dragon\".", line: 3 }, 422) : json({ lesson: LESSON, seating: "11 children at 3 tables: two of 4 and one of 3." });
    if (path.startsWith("/workshop/") || /^\/lessons\/\w+\/(plan|deck)$/.test(path)) {
      if (request.method === "POST") posted.push({ path, body: path === "/workshop/file" ? body : JSON.parse(body) });
      const told = workshopAnswer(path, method, body);
      return json(told.answer, told.status);
    }
    response.writeHead(404).end();
  });

  const sockets = new WebSocketServer({ server, path: "/ws", handleProtocols: () => "handround.v1.json" });
  sockets.on("connection", (socket) => {
    socketsOpen.add(socket);
    socket.on("close", () => socketsOpen.delete(socket));
    const send = (/** @type {ToClient} */ message) => socket.send(JSON.stringify(message));
    /** @type {ReturnType<typeof playScene> | null} */ let play = null;
    socket.on("message", (data) => {
      /** @type {ToServer} */ const message = JSON.parse(String(data));
      if (dead.has(socket)) return;
      heard.push(message);
      if ("ClockAsk" in message) return send({ Clock: { device: message.ClockAsk.device, received: 1, sent: 2 } });
      if ("Seat" in message && play) return play(message.Seat.ask, message.Seat.says);
      if (!("Hello" in message)) return;
      const { credential } = message.Hello;
      if ("Board" in credential) {
        send({ Welcome: "Board" });
        return send({ Board: { ...board(credential.Board === "2".repeat(32) ? 10 : 3), lesson: credential.Board } });
      }
      if ("Wall" in credential) {
        send({ Welcome: "Wall" });
        return send({ Wall: wall(!credential.Wall.startsWith("f"), credential.Wall.startsWith("a") ? 10 : 3) });
      }
      if ("Substitute" in credential) {
        send({ Welcome: "Substitute" });
        return send({ Substitute: substitute(3) });
      }
      const scene = sceneOf(credential.Seat);
      if (scene === "elsewhere") return socket.close(4004);
      if (scene === "unknown") return socket.close(4002);
      if (scene === "over") return socket.close(4006);
      if (scene === "away") return socket.close(1001);
      send({ Welcome: { Seat: { table: "1".repeat(32), seat: 0, deck: SHEET.deck } } });
      if (scene === "play") { play = playScene(send, cue_after_ms); return; }
      const snapshot = SCENES[scene];
      if (snapshot) send({ Seat: { number: 1, news: { Snapshot: snapshot } } });

    });
  });
  return new Promise((resolve) => server.listen(port, "127.0.0.1", () => resolve(server)));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const port = Number(process.argv[2] ?? 8097);
  const server = await startMock({ port, pictures: process.env["HANDROUND_PICTURES"], cue_after_ms: 1_500 });
  console.log(`${urlOf(server)}/  seat tokens: ${Object.keys(SCENES).concat("play").join(" ")}`);
}
