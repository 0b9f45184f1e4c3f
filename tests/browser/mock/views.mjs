/**
 * Hand-made views, one a state that a page can be in. They know the wire's types and no rule.
 * @import {Attention, BoardSeat, BoardTable, BoardView, CardView, CareView, GrabView, HandView, HouseRule, JoinPlace, LessonPlan, Picture, RulingView, SeatPublic, SeatView, Support, TableView, WallView} from "../../../server/pages/types/wire.js"
 */

export const LESSON = "1".repeat(32);
export const NONCE = "ab12cd".padEnd(32, "0");

/** The invented class. @type {readonly [string, Picture][]} */
export const CLASS = [
  ["Ada", "kite"], ["Bo", "drum"], ["Cleo", "pear"], ["Dino", "boot"], ["Elif", "lamp"], ["Finn", "train"],
  ["Gus", "mug"], ["Hana", "shell"], ["Ivo", "broom"], ["Juno", "tent"], ["Kim", "scarf"],
];

/** @type {SeatPublic} */
const SEAT = { name: "", picture: "apple", kind: "Pupil", in_play: true, waiting: 0, considering: false, cards_pass_by: false, letters: 0, shielded: false, laid_down: [] };

/** @param {string} name @param {Picture} picture @param {Partial<SeatPublic>} [more] @returns {SeatPublic} */
const seat = (name, picture, more = {}) => ({ ...SEAT, name, picture, ...more });

/** @param {number} count */
export function seats(count) {
  const all = [
    seat("Ada", "kite", { waiting: 1 }), seat("Bo", "drum", { waiting: 2, considering: true, letters: 1 }),
    seat("Bee", "bee", { kind: "Partner", waiting: 1 }), seat("Cleo", "pear", { letters: 2, waiting: 3, considering: true }),
    seat("Maximiliane", "train"), seat("Snail", "snail", { kind: "Partner", cards_pass_by: true }),
  ];
  return all.slice(0, count);
}

/** @type {TableView} */
const TABLE = { game: 1, round: 3, phase: "Playing", paused: false, house: { Letters: { word: "leaf" } }, dealer: 1, tokens: 3, draw_pile: 14, discard_pile: 4, seats: seats(4), cheers: null };
/** @param {number} n @param {number} face @returns {CardView} */
const card = (n, face) => ({ id: n.toString(16).padStart(16, "0"), face, helper: null });
/** @type {HandView} */
const HAND = { cards: [card(1, 12), card(2, 14), card(3, 5), card(4, 31)], considering: card(5, 13), take_up: "DecideFirst", can_undo: false, hint: [], reminded: false, stand_in: false };
/** @type {GrabView} */
const GRAB = { live: true, cue: null, cue_sound: false, tap: "None", taps: 0, nudged: false };

/** @type {CareView} */
const CARE = { help_asked: false, on_break: false, partner_holds: false };

/** @param {object} [parts] @param {Partial<CareView>} [parts.care] @param {Partial<TableView>} [parts.table] @param {Partial<HandView> | null} [parts.hand] @param {Partial<GrabView>} [parts.grab] @param {RulingView | null} [parts.ruling] @param {number[]} [parts.sorting] @returns {SeatView} */
export function view({ table = {}, hand = {}, grab = {}, ruling = null, sorting = [], care = {} } = {}) {
  return {
    table: { ...TABLE, ...table }, you: 0, hand: hand === null ? null : { ...HAND, ...hand },
    grab: { ...GRAB, ...grab }, ruling, sorting, care: { ...CARE, ...care },
  };
}

/** @type {RulingView} */
const RULING = { round: 3, end: { Last: { seat: 1, letters: 1, out: false, shielded: false } }, four: [12, 13, 14, 15], winners: [], next_deal_ms: 6000 };
/** @type {HouseRule} */
const STAY = { Stay: { rounds: 5 } };
const out = seats(4).map((one, index) => (index === 0 ? { ...one, in_play: false } : one));

/** Every state of the pupil's table, by name. @type {Record<string, SeatView>} */
export const SCENES = {
  waiting: view({ table: { phase: "Waiting", round: 0, game: 0, draw_pile: 0 }, hand: null, grab: { live: false } }),
  dealt: view({ table: { phase: "Dealt" }, hand: { considering: null, take_up: "NotNow" }, grab: { live: false } }),
  deciding: view(),
  dealer: view({ table: { dealer: 0 }, hand: { considering: null, take_up: "FromPile" } }),
  traycomes: view({ hand: { considering: null, take_up: "TrayEmpty" }, table: { house: STAY } }),
  nextfull: view({ hand: { considering: null, take_up: "NextTrayFull" } }),
  lastseat: view({ table: { dealer: 1 } }),
  hint: view({ hand: { cards: [card(1, 12), card(2, 14), card(3, 13), card(4, 15)], considering: null, take_up: "TrayEmpty", hint: [1, 2, 3, 4].map((n) => card(n, 0).id) } }),
  reminded: view({ hand: { reminded: true } }),
  standin: view({ hand: { stand_in: true } }),
  cued: view({ grab: { cue: NONCE } }),
  taken: view({ grab: { cue: NONCE, tap: "Taken", taps: 1 } }),
  nudged: view({ grab: { cue: NONCE, nudged: true } }),
  six: view({ table: { seats: seats(6), tokens: 5, dealer: 3 } }),
  pair: view({ table: { seats: seats(2), tokens: 1, dealer: 1, house: STAY } }),
  paused: view({ table: { paused: true } }),
  asked: view({ care: { help_asked: true } }),
  resting: view({ care: { on_break: true }, hand: { stand_in: true } }),
  held: view({ care: { partner_holds: true }, hand: { stand_in: true } }),
  roundover: view({ table: { phase: "RoundOver" }, ruling: RULING }),
  roundyou: view({ table: { phase: "RoundOver", house: STAY }, ruling: { ...RULING, end: { Last: { seat: 0, letters: 0, out: false, shielded: false } } } }),
  roundout: view({ table: { phase: "RoundOver", house: { Out: { shield: true } } }, ruling: { ...RULING, end: { Last: { seat: 3, letters: 0, out: true, shielded: false } } } }),
  roundvoid: view({ table: { phase: "RoundOver" }, ruling: { ...RULING, end: { Void: { reason: "LinkLost" } }, four: [] } }),
  cheers: view({ table: { phase: "RoundOver", seats: out, house: { Out: { shield: false } }, cheers: [{ seat: 3, picture: "Clap" }, { seat: 0, picture: "Sun" }] }, hand: null, grab: { live: false }, ruling: { ...RULING, end: { Last: { seat: 0, letters: 0, out: true, shielded: false } } } }),
  cheered: view({ table: { phase: "RoundOver", house: { Out: { shield: false } }, cheers: [{ seat: 3, picture: "Flower" }, { seat: 3, picture: "Sun" }] }, ruling: RULING }),
  watching: view({ table: { seats: out, tokens: 2 }, hand: null, grab: { live: true } }),
  sorts: view({ table: { seats: out, tokens: 2 }, hand: null, grab: { live: false }, sorting: [0, 5, 13, 1, 18, 4, 14, 2, 27, 3, 12, 8] }),
  gameover: view({ table: { phase: "GameOver", house: { Out: { shield: false } } }, ruling: { ...RULING, winners: [3], next_deal_ms: 0 } }),
  gamestay: view({ table: { phase: "GameOver", house: STAY }, ruling: { ...RULING, winners: [0, 1, 2, 3], next_deal_ms: 0 } }),
  calm: view({ table: { house: { Calm: { rounds: 3 } }, tokens: 0, seats: seats(4).map((one, index) => (index === 3 ? { ...one, laid_down: [4, 5, 6, 7] } : one)) } }),
  naming: view({ table: { phase: "Naming", round: 0, draw_pile: 32, discard_pile: 0 }, hand: null, grab: { live: false } }),
  helped: view({ hand: { cards: [{ ...card(1, 12), helper: "DotsUnder" }, card(2, 14), card(3, 5), card(4, 31)], considering: { ...card(5, 16), helper: "DotsUnder" } } }),
  calmdone: view({ table: { house: { Calm: { rounds: 3 } }, tokens: 0 }, hand: { considering: null, take_up: "LaidDown" } }),
};

/** @type {JoinPlace[]} */
export const PLACES = CLASS.map(([name, picture], pupil) => ({ pupil, name, picture, taken: [1, 4, 9].includes(pupil) }));

/** A large class: pictures repeat here, for the size of the page alone. @type {JoinPlace[]} */
export const MANY_PLACES = Array.from({ length: 30 }, (_, pupil) => {
  const [name, picture] = CLASS[pupil % CLASS.length] ?? ["Ada", "kite"];
  return { pupil, name: pupil < CLASS.length ? name : `${name} ${pupil}`, picture, taken: pupil % 7 === 4 };
});

/** @type {LessonPlan} */
export const PLAN = { ages: "FiveToSix", house: STAY, number_min: 1, number_max: 8, groups: 8, missed_four: { HintAfter: { seconds: 10 } }, cue_sound: true, cards_come_by_themselves: true, tray_limit: 3, skill: "Numbers", confusables: "Allow", wishes: { kinds_out: [], groups_in: [], groups_out: [], cards_in: [], cards_out: [] }, accent: { pin_is_pen: true, cot_is_caught: true }, switches: { exact_names: false, quarter_words: false, coin_values: false }, naming_walk: true, timing: { pace: "Usual", partners: "Usual", false_grab: "ShortWait" }, cheering: false };
/** @type {Picture[]} */
const ROW = ["boat", "sun", "key", "tree"];
const QR_SVG = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 25 25" shape-rendering="crispEdges"><rect width="25" height="25" fill="#fff"/>${
  Array.from({ length: 441 }, (_, i) => {
    const [x, y] = [i % 21, Math.floor(i / 21)];
    const corner = (x < 7 && y < 7) || (x > 13 && y < 7) || (x < 7 && y > 13);
    const [u, v] = [x % 14, y % 14];
    const ring = Math.max(Math.abs(u - 3), Math.abs(v - 3));
    return (corner ? ring !== 2 : (x * 7 + y * 13 + x * y) % 3 === 0) ? `<path d="M${x + 2} ${y + 2}h1v1h-1z"/>` : "";
  }).join("")}</svg>`;

/** @type {Support} */
const SUPPORT = { helpers: [{ helper: "DotsUnder", held: false, right_uses: 4 }], unhurried: false, missed_four: null, head_start: false };

/** @param {number} index @param {number} count */
function boardTable(index, count) {
  const people = CLASS.slice(index * 4, index * 4 + count);
  const helper = seat("Bee", "bee", { kind: "Partner", waiting: 1 });
  const all = [...people.map(([name, picture], place) => seat(name, picture, { waiting: (place * 2 + index) % 4, letters: (place + index) % 3, in_play: !(index === 1 && place === 2) }))];
  while (all.length < count) all.push(helper);
  /** @type {BoardSeat[]} */
  const marks = all.map((one, place) => ({ pupil: one.kind === "Partner" ? null : place + index * 4, here: !(index === 0 && place === 3), stand_in: index === 0 && place === 3, waiting_s: place === 1 ? 37 : 0, false_grabs: place === 2 ? 2 : 0,
    link: one.kind === "Partner" ? null : /** @type {const} */ (["Good", "Slow", "Good", "Gone"])[place] ?? "Good",
    care: { help_asked: index === 2 && place === 0, on_break: index === 1 && place === 1, partner_holds: false }, help_s: index === 2 && place === 0 ? 12 : 0, support: one.kind === "Partner" ? null : SUPPORT }));
  const phase = /** @type {const} */ (["Playing", "RoundOver", "Waiting", "GameOver"])[index % 4] ?? "Playing";
  /** @type {BoardTable} */
  const table = {
    table: String(index + 1).repeat(32).slice(0, 32), name: `Table ${index + 1}`, deck: "d".repeat(32), deck_name: "Numbers 1 to 8",
    view: { ...TABLE, phase, seats: all, tokens: all.length - 1, paused: index === 4, cheers: index === 1 ? [{ seat: 2, picture: "Sun" }, { seat: 2, picture: "Clap" }] : null }, seats: marks, tokens_left: phase === "Playing" ? all.length - 2 : 0,
    last_race: phase === "Waiting" ? "" : "Cleo found four sixes first; Ada was last, 0.31 s after Dino.", winners: phase === "GameOver" ? [0] : [],
    bell: index === 1, moves_a_minute: phase === "Playing" ? 24 - index : 0,
    attention: [
      .../** @type {Attention[]} */ (index === 2 ? [{ HelpAsked: { seat: 0, seconds: 12 } }] : []),
      .../** @type {Attention[]} */ (phase === "Playing" ? [{ WaitsFor: { seat: 1, seconds: 37 } }, { LinkLost: { seat: 3 } }] : []),
      .../** @type {Attention[]} */ (index === 1 ? [{ OnBreak: { seat: 1 } }] : []),
    ],
    urgent: index === 2 || phase === "Playing",
  };
  return table;
}

/** @param {number} tables @returns {BoardView} */
export const board = (tables) => ({
  lesson: LESSON, name: "Acorn class", open: true, row: ROW, join_url: `http://192.168.1.20:8080/j/${"c".repeat(32)}`, join_qr_svg: QR_SVG,
  wall_url: `http://192.168.1.20:8080/wall/${"e".repeat(32)}`, plan: PLAN, next_deck: "Numbers 1 to 8", table_decks: [{ table: "2".repeat(32), name: "Letters" }], unseated: [{ pupil: 30, name: "Kim", picture: "scarf", best: "2".repeat(32) }], moving: [], alone: [], late_table: "2".repeat(32), wall_shows: { four: null, model: null }, seating: "11 children at 3 tables: two of 4 and one of 3.",
  tables: Array.from({ length: tables }, (_, index) => boardTable(index, index % 3 === 2 ? 3 : 4)),
  // Table 3 asks for help, 1, 5 and 9 wait, 2 has a break.
  by_need: [3, 1, 5, 9, 2, 4, 6, 7, 8, 10].filter((number) => number <= tables).map((number) => String(number).repeat(32).slice(0, 32)),
});

/** @param {boolean} open @param {number} tables @returns {WallView} */
export const wall = (open, tables) => ({
  name: "Acorn class", open, row: ROW, join_url: board(1).join_url, join_qr_svg: QR_SVG,
  tables: board(tables).tables.map(({ name, view: { seats } }) => ({ name, seats: seats.map(({ name, picture, kind }, place) => ({ name, picture, kind, here: place !== 2 })) })),
  race: null, shows: { four: null, model: null },
});
