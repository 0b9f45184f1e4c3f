/**
 * The stand-in's deck workshop: one skill of numbers and one of letters, eight groups of the hand-made
 * faces, a deck that is kept. It swaps by turning through the groups, and refuses the number 99.
 * @import {CardPreview, DeckPlan, DeckPreview, FaceKind, GroupPreview, HttpRefusal, KeptDeck, PreviewAsk, SkillOffer} from "../../../server/pages/types/wire.js"
 */
import { SHEET } from "./faces.mjs";

/** @type {SkillOffer[]} */
const SKILLS = [
  { name: "Numbers and quantities", subject: "Numbers", settings: [{ skill: "Numbers", words: "" }], ages: ["FiveToSix", "SevenToEight"], takes_numbers: true, standards: [{ code: "K.CC.B.5", asks: "how many: up to 20 arranged, up to 10 scattered" }] },
  { name: "Place value", subject: "Numbers", settings: [{ skill: { PlaceValue: { max: 99 } }, words: "to 99" }, { skill: { PlaceValue: { max: 999 } }, words: "to 999" }], ages: ["SixToSeven", "SevenToEight"], takes_numbers: false, standards: [{ code: "1.NBT.B.2", asks: "tens and ones" }] },
  { name: "Letters", subject: "Reading", settings: [{ skill: "Letters", words: "" }], ages: ["FiveToSix", "SixToSeven"], takes_numbers: false, standards: [{ code: "RF.K.1.D", asks: "name all capital and small letters" }] },
];
/** @type {{ kind: FaceKind, name: string }[]} */
const KINDS = [{ kind: "Numeral", name: "numeral" }, { kind: "Dots", name: "dots" }, { kind: "TenFrame", name: "ten frame" }, { kind: "Tally", name: "tally" }];

/** @type {GroupPreview[]} */
const GROUPS = Array.from({ length: 8 }, (_, group) => ({
  key: String(group + 1), title: String(group + 1), has_more_cards: group % 2 === 0,
  cards: SHEET.faces.filter((face) => face.group === group).map((face) => ({ key: `${face.kind} ${group + 1}`, svg: face.svg, label: face.label_after, helper: null })),
}));
/** @param {CardPreview} card @returns {CardPreview} */
const dotted = (card) => {
  const [kind, value] = card.key.split(" ");
  const own = SHEET.with_helper.find(({ face }) => kind === "Numeral" && face === 4 * (Number(value) - 1));
  return own ? { ...card, svg: own.svg, helper: own.helper } : card;
};

/** Its faces have dots under their numerals and nothing else. @param {PreviewAsk} ask @returns {DeckPreview} */
function preview({ deck, swap, helpers }) {
  const most = Math.min(deck.groups, 8);
  let keys = deck.wishes.groups_in.filter((key) => GROUPS.some((group) => group.key === key)).slice(0, most);
  if (swap && "Group" in swap) {
    const gone = swap.Group;
    const other = GROUPS.find((group) => !keys.includes(group.key));
    keys = keys.map((key) => (key === gone && other ? other.key : key)).sort();
  }
  for (const group of GROUPS) if (keys.length < most && !keys.includes(group.key)) keys.push(group.key);
  const groups = GROUPS.filter((group) => keys.includes(group.key));
  const swapped = swap && "Card" in swap ? swap.Card : null;
  const shown = groups.map((group) => ({ ...group, cards: group.cards.map((card) => (card.key === swapped ? { ...card, key: `Fingers ${group.key}`, label: `fingers, ${group.title}` } : card)).map((card) => (helpers.includes("DotsUnder") ? dotted(card) : card)) }));
  const wishes = { ...deck.wishes, groups_in: keys, cards_in: shown.flatMap((group) => group.cards.map((card) => card.key)) };
  return {
    name: deck.skill === "Letters" ? "Letters" : `Numbers ${deck.number_min} to ${deck.number_max}`, deck: { ...deck, groups: most, wishes }, groups: shown,
    choices: GROUPS.map(({ key, title }) => ({ key, title, chosen: keys.includes(key) })), groups_max: 8,
    kinds: KINDS.map((one) => ({ ...one, chosen: !deck.wishes.kinds_out.includes(one.kind) })), largest_table: Math.max(0, most - 2),
    notes: ["Difficulty 22: 7 groups, 4 kinds of face, 1 pair that children take for each other (6 and 9)."],
  };
}

/** @type {KeptDeck[]} */
let kept = [];

/** @param {string} path @param {string} method @param {string} body @returns {{ status: number, answer: object | null }} */
export function workshopAnswer(path, method, body) {
  const no = (/** @type {string} */ message, status = 400) => ({ status, answer: /** @type {HttpRefusal} */ ({ message, line: null }) });
  if (path === "/workshop/skills") return { status: 200, answer: SKILLS };
  if (path === "/workshop/preview") {
    /** @type {PreviewAsk} */ const ask = JSON.parse(body);
    if (ask.deck.number_max === 99) return no("There are not enough ways to show 99: it has 2 and a match group needs 4.");
    return { status: 200, answer: preview(ask) };
  }
  if (path === "/workshop/length") return { status: 200, answer: { sentences: ["With 4 players a round takes about 1 min 40 s, one in ten more than 2 min 50 s; a game about 7 min, one in ten more than 9 min."], groups: 6 } };
  if (path === "/workshop/decks" && method === "POST") {
    const one = { id: String(kept.length).padStart(32, "0"), kept: /** @type {{ name: string, deck: DeckPlan }} */ (JSON.parse(body)) };
    kept = [...kept, one];
    return { status: 201, answer: one };
  }
  if (path === "/workshop/decks") return { status: 200, answer: kept };
  if (method === "DELETE") { kept = kept.filter((one) => !path.endsWith(one.id)); return { status: 200, answer: null }; }
  if (path === "/workshop/own" && method === "GET") return { status: 200, answer: [{ id: "e".repeat(32), name: "Plants", groups: 5, notes: [] }] };
  if (path === "/workshop/file") return no("This is no deck file that can be read: expected value.");
  if (path.endsWith("/plan") || path.endsWith("/deck")) return { status: 200, answer: null };
  return no("There is nothing at this address.", 404);
}
