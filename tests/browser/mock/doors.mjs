/**
 * The stand-in's doors: a card whose child waits for the teacher, one that was revoked, a tablet of the
 * cart, a shared tablet, a substitute's link, and what the teacher's dialogs ask. It only has to look like them.
 * @import {DoorView, DoorWait, HandTold, HttpRefusal, Joined, RaceTold, SubstituteDoor, SubstituteTable, SubstituteView, TabletTold} from "../../../server/pages/types/wire.js"
 */
import { board, CLASS } from "./views.mjs";

/** The lesson at whose door children wait; at others nobody does. */
export const CROWDED = "3".repeat(32);
/** A card's code whose child waits for the teacher; any other was revoked. */
export const WAITING_CODE = "a".repeat(32);

/** @type {DoorView} */
const DOOR = {
  admit: "FromHome", kept: true, by_hand: null,
  waiting: [{ number: 1, pupil: 3, name: "Dino", picture: "boot", way: "Home", second: false }, { number: 2, pupil: 1, name: "Bo", picture: "drum", way: "Picture", second: true }],
  children: CLASS.map(([name, picture], pupil) => ({
    pupil, name, picture, taken: pupil % 3 === 0, fresh: pupil === 3, shared: false, tablet: pupil === 4 ? 12 : null, tablet_here: pupil === 0,
    home_url: pupil === 2 ? `http://192.168.1.20:8080/h#${"b".repeat(32)}` : null, at_home: pupil === 2,
  })),
};
/** @type {RaceTold} */
const RACE = {
  sentence: "Ada saw four alike; Bo reacted in 0.43 s; Cleo reacted in 0.61 s and was last.",
  lines: ["Ada: no measured reaction", "Bo: 430 ms; our own times allow 410 to 440 ms", "Cleo: 610 ms; our own times allow 600 to 640 ms"],
  picture_svg: '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 112" role="img"><title>One race</title><rect x="110" y="8" width="120" height="14" fill="#7a9a6a"/></svg>',
  can_replay: true,
};
/** @type {HandTold} */
const HAND = { name: "Bo", deck: "d".repeat(32), cards: [12, 14, 5, 31], considering: 13 };

/** @param {number} tables @returns {SubstituteView} */
export function substitute(tables) {
  const { name, open, row, join_url, join_qr_svg, wall_url, plan, next_deck, tables: all } = board(tables);
  return { name, open, row, join_url, join_qr_svg, wall_url, plan, next_deck, tables: all.map(({ table, name, view, seats, bell, attention }) => /** @type {SubstituteTable} */ (
    { table, name, view, seats: seats.map(({ here, stand_in, care }) => ({ here, stand_in, care })), bell, attention })) };
}

/**
 * An answer with its status; `null` if the address is none of a door.
 * @param {string} method @param {string} path @param {string} body @param {(scene: string) => string} tokenOf
 * @returns {[object | null, number] | null}
 */
export function answerDoors(method, path, body, tokenOf) {
  if (path === "/join/card") {
    /** @type {DoorWait} */ const waits = { wait: "e".repeat(32), name: "Ada", picture: "kite" };
    /** @type {HttpRefusal} */ const no = { message: "This card is not used any more. Ask your teacher.", line: null };
    return JSON.parse(body).code === WAITING_CODE ? [waits, 200] : [no, 410];
  }
  if (path === "/join/wait") {
    /** @type {DoorWait} */ const waits = { wait: "e".repeat(32), name: "Ada", picture: "kite" };
    return [waits, 200];
  }
  if (path === "/join/tablet") {
    /** @type {TabletTold} */ const told = { number: 12, name: "Elif", picture: "lamp" };
    return [told, 200];
  }
  if (path.endsWith("/shared") && method === "POST") {
    /** @type {Joined[]} */ const places = [["deciding", 0], ["dealer", 1], ["waiting", 2]].map(([scene, pupil]) => {
      const [name, picture] = CLASS[Number(pupil)] ?? ["Ada", "kite"];
      return { token: tokenOf(String(scene)), name, picture };
    });
    return [places, 200];
  }
  if (path === "/substitute/door") {
    /** @type {SubstituteDoor} */ const door = { day: { from: 0, until: 1 }, waiting: DOOR.waiting };
    return [door, 200];
  }
  if (/^\/lessons\/\w+\/door$/.test(path)) return [path.includes(CROWDED) ? DOOR : { ...DOOR, waiting: [] }, 200];
  if (/^\/lessons\/\w+\/substitute$/.test(path)) return [null, 200];
  if (/^\/lessons\/\w+\/tables\/\w+\/race$/.test(path)) return [RACE, 200];
  if (/\/seats\/\d+\/hand$/.test(path)) return [HAND, 200];
  return null;
}
