/**
 * What a deck should be like, as a form: skill, range, how many groups, mixed-up pairs, kinds of card,
 * single groups. It reads and writes a `DeckPlan` and knows no cards.
 * @import {AgeBand, Confusables, DeckPlan, DeckPreview, OwnDeckLine, Skill, SkillOffer} from "../types/wire.js"
 */
import { make, part, refill, setText } from "../dom.js";
import { AGES } from "./words.js";

const input = (/** @type {string} */ id) => /** @type {HTMLInputElement} */ (part(id));
const choice = (/** @type {string} */ id) => /** @type {HTMLSelectElement} */ (part(id));
const whole = (/** @type {string} */ id) => Math.max(0, Math.round(Number(input(id).value)) || 0);
const same = (/** @type {unknown} */ one, /** @type {unknown} */ other) => JSON.stringify(one) === JSON.stringify(other);
const picked = (/** @type {string} */ name) => /** @type {HTMLInputElement | null} */ (document.querySelector(`input[name="${name}"]:checked`))?.value ?? "";
/** @param {string} name @param {string} value */
function pick(name, value) {
  const one = /** @type {HTMLInputElement | null} */ (document.querySelector(`input[name="${name}"][value="${value}"]`));
  if (one) one.checked = true;
}

export class DeckForm {
  /** @type {SkillOffer[]} */ #known = [];
  /** @type {SkillOffer[]} */ #yours = [];
  /** @type {SkillOffer[]} */ #offers = [];
  /** @type {DeckPlan | null} */ #deck = null;

  /** @param {{ change: (deck: DeckPlan) => void, shuffle: () => void }} acts */
  constructor({ change, shuffle }) {
    this.change = change;
    part("deck-skill").addEventListener("change", () => this.#skill());
    for (const id of ["deck-setting", "deck-fields", "deck-kinds", "deck-switches", "deck-accent"]) part(id).addEventListener("change", () => this.#read());
    part("deck-shuffle").addEventListener("click", shuffle);
    part("deck-choices").addEventListener("change", (event) => {
      if (event.target instanceof HTMLInputElement) this.#group(event.target.value, event.target.checked);
    });
    part("deck-form").addEventListener("submit", (event) => event.preventDefault());
  }

  get ready() { return this.#known.length > 0; }

  /** @param {SkillOffer[]} offers what the program offers */
  offers(offers) { this.#known = offers; this.#list(); }

  /** What is offered beside that: the teachers' own decks and, for a lesson, its names. @param {OwnDeckLine[]} own @param {boolean} lesson */
  own(own, lesson) {
    /** @param {string} name @param {Skill} skill @returns {SkillOffer} */
    const offer = (name, skill) => ({ name, subject: "Your own", settings: [{ skill, words: "" }], ages: ["FiveToSix", "SevenToEight"], standards: [], takes_numbers: false });
    this.#yours = own.map(({ id, name }) => offer(name, { OwnDeck: { deck: id } }));
    if (lesson) this.#yours.unshift(offer("Names of our class", "OurClass"));
    this.#list();
  }

  #list() {
    this.#offers = [...this.#known, ...this.#yours];
    const subjects = [...new Set(this.#offers.map((offer) => offer.subject))];
    refill(part("deck-skill"), JSON.stringify(this.#offers), () => subjects.map((subject) =>
      make("optgroup", { label: subject }, ...this.#offers.map((offer, index) =>
        offer.subject === subject && make("option", { value: index }, offer.name)))));
    this.#place();
  }

  /** Shows the skill of the deck in view. */
  #place() {
    const deck = this.#deck;
    if (!deck) return;
    const place = this.#offers.findIndex((offer) => offer.settings.some((setting) => same(setting.skill, deck.skill)));
    choice("deck-skill").value = String(place);
    const offer = this.#offers[place];
    if (offer) this.#settings(offer, deck);
  }

  /** Shows a deck as it came from the server. @param {DeckPreview} preview */
  render({ deck, groups_max, kinds, choices }) {
    this.#deck = deck;
    this.#place();
    input("deck-min").value = String(deck.number_min);
    input("deck-max").value = String(deck.number_max);
    pick("deck-ages", deck.ages);
    pick("deck-pairs", deck.confusables);
    input("deck-groups").value = String(deck.groups);
    input("deck-groups").max = String(groups_max);
    setText(part("deck-groups-max"), `of at most ${groups_max}`);
    refill(part("deck-kinds"), JSON.stringify(kinds), () => kinds.map(({ kind, name, chosen }) =>
      make("label", { class: "option" }, make("input", { type: "checkbox", value: kind, checked: chosen }), make("span", {}, name))));
    part("deck-choose").hidden = choices.length === 0;
    refill(part("deck-choices"), JSON.stringify(choices), () => choices.map(({ key, title, chosen }) =>
      make("label", { class: "option" }, make("input", { type: "checkbox", value: key, checked: chosen }), make("span", {}, title))));
  }

  /** @param {SkillOffer} offer @param {DeckPlan} deck */
  #settings(offer, deck) {
    const [young, old] = offer.ages;
    setText(part("deck-suits"), young === old ? `Suits ages ${AGES[young]}.` : `Suits ages ${AGES[young].split(" ")[0]} to ${AGES[old].split(" ").at(-1)}.`);
    part("deck-standards-fold").hidden = offer.standards.length === 0;
    refill(part("deck-standards"), offer.name, () => offer.standards.map(({ code, asks }) => make("li", {}, make("strong", {}, code), ` ${asks}`)));
    part("deck-setting-line").hidden = offer.settings.length < 2;
    refill(part("deck-setting"), offer.name, () => offer.settings.map((setting, index) => make("option", { value: index }, setting.words)));
    choice("deck-setting").value = String(offer.settings.findIndex((setting) => same(setting.skill, deck.skill)));
    part("deck-numbers").hidden = !offer.takes_numbers;
    part("deck-ages").hidden = !offer.takes_numbers;
    const named = typeof deck.skill === "string" ? deck.skill : Object.keys(deck.skill)[0] ?? "";
    const switches = /** @type {const} */ ([["exact", "Shapes", deck.switches.exact_names], ["quarters", "ClockTimes", deck.switches.quarter_words], ["values", "Coins", deck.switches.coin_values]]);
    part("deck-switches").hidden = switches.every(([, skill]) => skill !== named);
    for (const [id, skill, on] of switches) { part(`deck-${id}-line`).hidden = skill !== named; input(`deck-${id}`).checked = on; }
    part("deck-accent").hidden = offer.subject !== "Reading";
    input("deck-pin").checked = deck.accent.pin_is_pen;
    input("deck-cot").checked = deck.accent.cot_is_caught;
  }

  /** Another skill: its first setting, and nothing kept of the cards before. */
  #skill() {
    const skill = this.#offers[Number(choice("deck-skill").value)]?.settings[0]?.skill;
    if (!this.#deck || skill === undefined) return;
    // Not every skill has pairs to practise, so that is asked for anew.
    const confusables = this.#deck.confusables === "Target" ? "Allow" : this.#deck.confusables;
    this.change({ ...this.#deck, skill, confusables, wishes: { kinds_out: [], groups_in: [], groups_out: [], cards_in: [], cards_out: [] } });
  }

  #read() {
    const deck = this.#deck;
    if (!deck) return;
    const offer = this.#offers[Number(choice("deck-skill").value)];
    const kinds = [...part("deck-kinds").querySelectorAll("input")];
    this.change({
      ...deck,
      skill: offer?.settings[Number(choice("deck-setting").value)]?.skill ?? deck.skill,
      ages: /** @type {AgeBand} */ (picked("deck-ages") || deck.ages),
      confusables: /** @type {Confusables} */ (picked("deck-pairs") || deck.confusables),
      accent: { pin_is_pen: input("deck-pin").checked, cot_is_caught: input("deck-cot").checked },
      switches: { exact_names: input("deck-exact").checked, quarter_words: input("deck-quarters").checked, coin_values: input("deck-values").checked },
      number_min: whole("deck-min"), number_max: whole("deck-max"), groups: Math.min(255, whole("deck-groups")),
      wishes: { ...deck.wishes, kinds_out: /** @type {DeckPlan["wishes"]["kinds_out"]} */ (kinds.filter((one) => !one.checked).map((one) => one.value)) },
    });
  }

  /** One group more or one less, chosen by hand. @param {string} key @param {boolean} chosen */
  #group(key, chosen) {
    const deck = this.#deck;
    if (!deck) return;
    const others = deck.wishes.groups_in.filter((one) => one !== key);
    const groups_in = chosen ? [...others, key] : others;
    const groups_out = deck.wishes.groups_out.filter((one) => one !== key);
    this.change({ ...deck, groups: groups_in.length, wishes: { ...deck.wishes, groups_in, groups_out } });
  }
}
