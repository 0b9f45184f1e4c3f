/**
 * All cards of a deck, group by group, as children will see them, also one who has helpers; each with a
 * button to have another. It draws a `DeckPreview` and calls back.
 * @import {CardPreview, DeckPreview, GroupPreview, Helper, Swap} from "../types/wire.js"
 */
import { drawingFrom } from "../cards.js";
import { art, make, part, refill, setText } from "../dom.js";
import { HELPERS } from "./support.js";

const wordsOf = (/** @type {Helper} */ helper) => HELPERS.find(([key]) => key === helper)?.[1].toLowerCase() ?? helper;

export class DeckGroups {
  /** @param {(swap: Swap) => void} swap @param {() => void} helped the helpers have changed */
  constructor(swap, helped) {
    this.swap = swap;
    part("deck-helpers").replaceChildren(...HELPERS.map(([helper, words]) =>
      make("label", { class: "option" }, make("input", { type: "checkbox", value: helper }), make("span", {}, words))));
    part("deck-helpers").addEventListener("change", helped);
    part("deck-size").addEventListener("change", () => {
      const size = /** @type {HTMLInputElement | null} */ (document.querySelector("input[name=deck-size]:checked"))?.value;
      part("deck-groups-shown").classList.toggle("small", size === "small");
    });
  }

  /** The helpers of the child whose cards are looked at. @returns {Helper[]} */
  get helpers() {
    const ticked = [...part("deck-helpers").querySelectorAll("input:checked")];
    return HELPERS.map(([helper]) => helper).filter((helper) => ticked.some((one) => one.getAttribute("value") === helper));
  }

  /** @param {DeckPreview} preview @param {DeckPreview | null} before @param {Swap | null} swapped what led to it */
  render(preview, before, swapped) {
    setText(part("deck-name"), preview.name);
    refill(part("deck-notes"), preview.notes.join("\n"), () => [...preview.notes, serves(preview)].map((note) => make("li", {}, note)));
    const root = part("deck-groups-shown");
    while (root.children.length > preview.groups.length) root.lastElementChild?.remove();
    while (root.children.length < preview.groups.length) root.append(make("li", { class: "deck-group" }));
    preview.groups.forEach((group, index) => {
      const row = root.children[index];
      if (row instanceof HTMLElement) refill(row, JSON.stringify([group.key, group.has_more_cards, group.cards.map((card) => [card.key, card.helper])]), () => this.#group(group));
    });
    const cards = preview.groups.flatMap((group) => group.cards);
    const helped = cards.filter((card) => card.helper !== null).length;
    setText(part("deck-helped"), this.helpers.length === 0 ? "" : helped === 0 ? "No card of this deck has such a helper." : `${helped} of ${cards.length} cards have a helper.`);
    if (swapped && before) this.#tell(preview, before, swapped);
  }

  /** @param {GroupPreview} group */
  #group(group) {
    const another = make("button", { class: "link swap", type: "button", "data-key": group.key, "aria-label": `Another group instead of ${group.title}` }, art("swap"), "another group");
    another.addEventListener("click", () => this.swap({ Group: group.key }));
    return [make("h3", {}, group.title), another, make("div", { class: "deck-cards" }, ...group.cards.map((card) => this.#card(card, group)))];
  }

  /** @param {CardPreview} card @param {GroupPreview} group */
  #card(card, group) {
    const label = card.helper === null ? card.label : `${card.label}, with ${wordsOf(card.helper)}`;
    const face = make("span", { class: "face", role: "img", "aria-label": label }, drawingFrom(card.svg));
    if (!group.has_more_cards) return make("div", { class: "deck-card" }, face);
    const another = make("button", { class: "link swap", type: "button", "data-key": card.key, "aria-label": `Another card instead of ${card.label}` }, art("swap"), "another");
    another.addEventListener("click", () => this.swap({ Card: card.key }));
    return make("div", { class: "deck-card" }, face, another);
  }

  /**
   * Says what came instead of what, and keeps the keyboard's place there.
   * @param {DeckPreview} now @param {DeckPreview} before @param {Swap} swapped
   */
  #tell(now, before, swapped) {
    /** @param {DeckPreview} preview */
    const things = (preview) => "Group" in swapped
      ? preview.groups.map((group) => ({ key: group.key, words: group.title }))
      : preview.groups.flatMap((group) => group.cards.map((card) => ({ key: card.key, words: card.label })));
    const known = new Set(things(before).map((thing) => thing.key));
    const fresh = things(now).find((thing) => !known.has(thing.key));
    const left = new Set(things(now).map((thing) => thing.key));
    const gone = things(before).find((thing) => !left.has(thing.key));
    if (!fresh || !gone) return;
    setText(part("deck-said"), `${fresh.words} instead of ${gone.words}.`);
    const button = [...part("deck-groups-shown").querySelectorAll("button")].find((one) => one.dataset["key"] === fresh.key);
    button?.focus({ preventScroll: "Card" in swapped });
  }
}

/** @param {DeckPreview} preview */
function serves({ largest_table: seats, groups }) {
  const cards = groups.reduce((sum, group) => sum + group.cards.length, 0);
  return seats === 0 ? `${cards} cards are too few for any table: use more groups.` : `${cards} cards serve tables of up to ${seats}.`;
}
