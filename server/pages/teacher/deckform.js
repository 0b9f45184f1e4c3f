/**
 * What a deck should be like, as a form: skill, range, how many groups, mixed-up pairs, kinds of card,
 * single groups. It reads and writes a `DeckPlan` and knows no cards.
 * @import {AgeBand, Confusables, DeckPlan, DeckPreview, SkillOffer} from "../types/wire.js"
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
  /** @type {SkillOffer[]} */ #offers = [];
  /** @type {DeckPlan | null} */ #deck = null;

  /** @param {{ change: (deck: DeckPlan) => void, shuffle: () => void }} acts */
  constructor({ change, shuffle }) {
    this.change = change;
    part("deck-skill").addEventListener("change", () => this.#skill());
    for (const id of ["deck-setting", "deck-fields", "deck-kinds"]) part(id).addEventListener("change", () => this.#read());
    part("deck-shuffle").addEventListener("click", shuffle);
    part("deck-choices").addEventListener("change", (event) => {
      if (event.target instanceof HTMLInputElement) this.#group(event.target.value, event.target.checked);
    });
    part("deck-form").addEventListener("submit", (event) => event.preventDefault());
  }

  get ready() { return this.#offers.length > 0; }

  /** @param {SkillOffer[]} offers */
  offers(offers) {
    this.#offers = offers;
    const subjects = [...new Set(offers.map((offer) => offer.subject))];
    part("deck-skill").replaceChildren(...subjects.map((subject) =>
      make("optgroup", { label: subject }, ...offers.map((offer, index) =>
        offer.subject === subject && make("option", { value: index }, offer.name)))));
  }

  /** Shows a deck as it came from the server. @param {DeckPreview} preview */
  render({ deck, groups_max, kinds, choices }) {
    this.#deck = deck;
    const place = Math.max(0, this.#offers.findIndex((offer) => offer.settings.some((setting) => same(setting.skill, deck.skill))));
    const offer = this.#offers[place];
    choice("deck-skill").value = String(place);
    if (offer) this.#settings(offer, deck);
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
    refill(part("deck-standards"), offer.name, () => offer.standards.map(({ code, asks }) => make("li", {}, make("strong", {}, code), ` ${asks}`)));
    part("deck-setting-line").hidden = offer.settings.length < 2;
    refill(part("deck-setting"), offer.name, () => offer.settings.map((setting, index) => make("option", { value: index }, setting.words)));
    choice("deck-setting").value = String(offer.settings.findIndex((setting) => same(setting.skill, deck.skill)));
    part("deck-numbers").hidden = !offer.takes_numbers;
    part("deck-ages").hidden = !offer.takes_numbers;
  }

  /** Another skill: its first setting, and nothing kept of the cards before. */
  #skill() {
    const skill = this.#offers[Number(choice("deck-skill").value)]?.settings[0]?.skill;
    if (!this.#deck || skill === undefined) return;
    this.change({ ...this.#deck, skill, wishes: { kinds_out: [], groups_in: [], groups_out: [], cards_in: [], cards_out: [] } });
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
