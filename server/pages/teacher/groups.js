/**
 * Groups before a lesson: cards by table, chosen by the program or moved by hand with a finger, the
 * mouse or a menu; who is not here today; the decks that play suggests; then the lesson with exactly
 * these tables and decks. Readiness and pairs stay on the server: this page asks for groups and shows what it is told.
 * @import {ClassPupil, ClassTold, GroupsAsked, GroupsTold, GroupWay, LessonAsked, LessonId, LessonMade, SuggestedDeck} from "../types/wire.js"
 */
import { make, part, picture, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

/** @typedef {{ told: ClassTold, tables: number[][], partners: number[], why: string[][], decks: (SuggestedDeck | null)[], unlaid: Set<string>, way: GroupWay, draw: number, byHand: boolean }} Groups */

/** Seats at a table, as on the wire. */
const SEATS_MAX = 6;
/** @type {Groups | null} */ let groups = null;
/** Answers to older questions come too late. */
let asked = 0;

/** @type {readonly (readonly [GroupWay, string, string])[]} */
const WAYS = [
  ["Mixed", "Mixed", "sure and beginning children together"],
  ["Similar", "Similar", "children of like readiness together"],
  ["Random", "By chance", "without readiness"],
  ["FromPlay", "From play", "those together who need the same practice"],
];

/** The same groups all day, others tomorrow. */
const today = () => Math.floor(Date.now() / 86_400_000);

/** @param {ClassTold} told */
const everybody = (told) => told.pupils.map((_, index) => index);
/** @param {Groups} state */
const here = (state) => everybody(state.told).filter((pupil) => state.tables.some((table) => table.includes(pupil)));
/** @param {Groups} state */
const away = (state) => everybody(state.told).filter((pupil) => !state.tables.some((table) => table.includes(pupil)));

/** A table by its children, so that a deck that she left out stays out while others move. @param {number[]} pupils */
const tableKey = (pupils) => [...pupils].sort((one, other) => one - other).join(" ");
/** The decks that she lays, by table. @param {Groups} state */
const laid = (state) => state.tables.map((pupils, table) => state.unlaid.has(tableKey(pupils)) ? null : state.decks[table]?.deck ?? null);

/** Asks the server and takes its tables. @param {Groups} state @param {GroupsAsked} question */
async function ask(state, question) {
  const number = asked += 1;
  try {
    /** @type {GroupsTold} */
    const answer = await post(`/classes/${state.told.class}/groups`, question);
    if (number !== asked) return;
    state.tables = answer.tables.map((table) => table.pupils);
    state.partners = answer.tables.map((table) => table.partners);
    state.why = answer.tables.map((table) => table.why);
    state.decks = answer.tables.map((table) => table.deck);
    setText(part("groups-seating"), answer.seating);
    setText(part("groups-apart"), answer.apart ?? "");
    setText(part("groups-alone"), answer.alone ?? "");
    setText(part("groups-error"), "");
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    if (number === asked) setText(part("groups-error"), refused.message);
  }
  if (number === asked) paint(state);
}

/** @param {Groups} state @param {number[]} present */
const choose = (state, present) => ask(state, { Choose: { here: present, way: state.way, draw: state.draw } });

/** What there is to say of these tables; those that play made keep a deck each. @param {Groups} state @param {number[][]} tables */
const byHand = (state, tables) => ask(state, { ByHand: { tables, with_decks: state.way === "FromPlay" } });

/** Moves a child: `table` counts from 0, one behind the last is new, -1 is not here today. @param {Groups} state @param {number} pupil @param {number} table */
function move(state, pupil, table) {
  const from = state.tables.findIndex((one) => one.includes(pupil));
  if (from === table) return;
  const name = state.told.pupils[pupil]?.name ?? "";
  const to = state.tables[table];
  if (to && to.length >= SEATS_MAX) { setText(part("groups-error"), `Table ${table + 1} is full. A table has room for six.`); paint(state); return; }
  if (table < 0 && here(state).length === 1) { setText(part("groups-error"), "Leave at least one child at a table."); paint(state); return; }
  setText(part("groups-said"), table < 0 ? `${name} is not here today.` : `${name} sits at ${to ? `Table ${table + 1}` : "a new table"}.`);
  // Who comes or goes is grouped anew, unless the teacher has begun to seat children herself.
  if (!state.byHand && (table < 0 || from < 0)) {
    const present = here(state).filter((one) => one !== pupil).concat(table < 0 ? [] : [pupil]);
    void choose(state, present.sort((one, other) => one - other));
    return;
  }
  state.byHand = true;
  const tables = state.tables.map((one) => one.filter((other) => other !== pupil));
  if (to) tables[table]?.push(pupil);
  else if (table >= 0) tables.push([pupil]);
  void byHand(state, tables);
}

/** A mark of the class list, kept with it. @param {Groups} state @param {number} pupil @param {boolean} at_home */
async function markHome(state, pupil, at_home) {
  try {
    state.told = /** @type {ClassTold} */ (await post(`/classes/${state.told.class}/home`, { pupil, at_home }));
    const name = state.told.pupils[pupil]?.name ?? "";
    setText(part("groups-said"), at_home ? `${name} plays at home.` : `${name} plays in the room.`);
    // The same groups again, for what there is to say of them.
    await byHand(state, state.tables);
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    setText(part("groups-error"), refused.message);
  }
}

/** @param {Groups} state @param {number} pupil @param {number} table */
function childItem(state, pupil, table) {
  const { name, picture: thing, at_home } = state.told.pupils[pupil] ?? /** @type {ClassPupil} */ ({ name: "", picture: "apple", at_home: false });
  const choice = make("select", { "aria-label": `Where ${name} sits`, "data-pupil": pupil });
  state.tables.forEach((_, index) => choice.append(make("option", { value: index }, `to Table ${index + 1}`)));
  choice.append(make("option", { value: state.tables.length }, "to a new table"), make("option", { value: -1 }, "not here today"));
  const own = choice.querySelector(`[value="${table}"]`);
  if (own && table >= 0) setText(/** @type {HTMLElement} */ (own), `Table ${table + 1}`);
  choice.value = String(table);
  choice.addEventListener("change", () => move(state, pupil, Number(choice.value)));
  const home = make("button", { class: "home-mark", type: "button", "aria-pressed": String(at_home), "aria-label": `${name} plays at home`, "data-home": pupil }, at_home ? "✓ at home" : "at home?");
  home.addEventListener("click", () => void markHome(state, pupil, !at_home));
  const item = make("li", { class: "group-child", draggable: "true" }, picture(thing), make("span", { class: "group-who" }, make("span", { class: "name" }, name), home), choice);
  item.addEventListener("dragstart", (event) => {
    event.dataTransfer?.setData("text/plain", String(pupil));
    if (event.dataTransfer) event.dataTransfer.effectAllowed = "move";
  });
  return item;
}

/** The deck that play suggests for a table, with its reasons: laid unless she takes it away. @param {Groups} state @param {number} table */
function deckChoice(state, table) {
  const suggested = state.decks[table];
  if (!suggested) return null;
  const key = tableKey(state.tables[table] ?? []);
  const box = make("input", { type: "checkbox", "data-deck": table });
  box.checked = !state.unlaid.has(key);
  box.addEventListener("change", () => { if (box.checked) state.unlaid.delete(key); else state.unlaid.add(key); paintMake(state); });
  return make("div", { class: "group-deck" },
    make("label", { class: "option" }, box, make("span", {}, `Lay a deck for this table: ${suggested.name}`)),
    make("ul", { class: "reasons" }, ...suggested.why.map((line) => make("li", {}, line))));
}

/** The button says what it will do. @param {Groups} state */
function paintMake(state) {
  const decks = laid(state).filter((deck) => deck !== null).length;
  const which = decks === 0 ? "" : decks === state.tables.length ? " and decks" : ` and ${decks} of the decks`;
  setText(part("groups-go"), `Make the lesson with these groups${which}`);
}

/**
 * A card that takes children who are dropped on it. `why` says what put them together, if play did.
 * @param {Groups} state @param {number} table @param {string} title @param {(Node | false)[]} items
 */
function groupCard(state, table, title, items) {
  const why = state.why[table] ?? [];
  const card = make("section", { class: table < 0 ? "group-card away" : "group-card", "aria-label": title }, make("h2", {}, title), ...why.map((line) => make("p", { class: "hint" }, line)), make("ul", {}, ...items), deckChoice(state, table));
  card.addEventListener("dragover", (event) => { event.preventDefault(); card.classList.add("over"); });
  card.addEventListener("dragleave", () => card.classList.remove("over"));
  card.addEventListener("drop", (event) => {
    event.preventDefault();
    card.classList.remove("over");
    const pupil = Number.parseInt(event.dataTransfer?.getData("text/plain") ?? "", 10);
    if (state.told.pupils[pupil]) move(state, pupil, table);
  });
  return card;
}

/** @param {Groups} state */
function paint(state) {
  const focused = document.activeElement instanceof HTMLSelectElement ? document.activeElement.dataset.pupil : undefined;
  const way = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.way : undefined;
  const home = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.home : undefined;
  const partner = () => make("li", { class: "group-child partner" }, picture("bee"), make("span", { class: "name" }, "practice partner"));
  const cards = state.tables.map((pupils, table) => groupCard(state, table, `Table ${table + 1}`, [
    ...pupils.map((pupil) => childItem(state, pupil, table)), ...Array.from({ length: state.partners[table] ?? 0 }, partner),
  ]));
  const absent = away(state).map((pupil) => childItem(state, pupil, -1));
  cards.push(groupCard(state, -1, "Not here today", absent.length > 0 ? absent : [make("li", { class: "none" }, "Everybody is here.")]));
  part("group-tables").replaceChildren(...cards);
  paintMake(state);
  part("groups-ways").replaceChildren(...WAYS.map(([which, word, why]) => {
    const on = !state.byHand && state.way === which;
    const button = make("button", { class: "button plain way", type: "button", "aria-pressed": String(on), "data-way": which }, make("strong", {}, word), make("small", {}, why));
    button.addEventListener("click", () => { state.byHand = false; state.way = which; void choose(state, here(state)); });
    return button;
  }), otherGroups(state));
  if (focused) /** @type {HTMLElement | null} */ (part("group-tables").querySelector(`[data-pupil="${focused}"]`))?.focus();
  if (home) /** @type {HTMLElement | null} */ (part("group-tables").querySelector(`[data-home="${home}"]`))?.focus();
  if (way) /** @type {HTMLElement | null} */ (part("groups-ways").querySelector(`[data-way="${way}"]`))?.focus();
}

/** @param {Groups} state */
function otherGroups(state) {
  const button = make("button", { class: "button plain", type: "button", "data-way": "other" }, "Other groups");
  button.addEventListener("click", () => { state.byHand = false; state.draw += 1; void choose(state, here(state)); });
  return button;
}

/** Shows a class's groups; throws `Refused`. @param {string} kept @param {boolean} fromPlay as its report suggests them */
export async function openGroups(kept, fromPlay) {
  /** @type {ClassTold} */
  const told = await call(`/classes/${kept}`);
  const way = told.with_readiness > 0 ? "Mixed" : "Random";
  // The report's own groups are the first draw.
  groups = { told, tables: [], partners: [], why: [], decks: [], unlaid: new Set(), way: fromPlay ? "FromPlay" : way, draw: fromPlay ? 0 : today(), byHand: false };
  document.title = `Groups for ${told.name}: Handround`;
  setText(part("groups-title"), `Groups for ${told.name}`);
  for (const id of ["groups-said", "groups-error", "groups-apart", "groups-alone"]) setText(part(id), "");
  /** @type {HTMLInputElement} */ (part("groups-name")).value = told.name;
  await choose(groups, everybody(told));
  // Whoever goes on from what was played plays at the same ages, unless she says otherwise.
  const ages = groups?.decks.find((deck) => deck !== null)?.deck.ages;
  const same = ages === undefined ? null : /** @type {HTMLInputElement | null} */ (document.querySelector(`input[name=groups-ages][value=${ages}]`));
  if (same) same.checked = true;
}

/** Answers that are still on their way mean nothing any more. */
export function closeGroups() {
  groups = null;
  asked += 1;
}

/** @param {(lesson: LessonId) => void} made */
export function setUpGroups(made) {
  part("groups-make").addEventListener("submit", async (event) => {
    event.preventDefault();
    if (!groups) return;
    const name = /** @type {HTMLInputElement} */ (part("groups-name")).value.trim();
    const ages = /** @type {HTMLInputElement | null} */ (document.querySelector("input[name=groups-ages]:checked"))?.value ?? "FiveToSix";
    if (name === "") { setText(part("groups-error"), "Give the lesson a name."); part("groups-name").focus(); return; }
    try {
      /** @type {LessonAsked} */
      const asked = { name, ages: /** @type {LessonAsked["ages"]} */ (ages), tables: groups.tables, decks: laid(groups) };
      made(/** @type {LessonMade} */ (await post(`/classes/${groups.told.class}/lessons`, asked)).lesson);
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(part("groups-error"), refused.message);
    }
  });
}
