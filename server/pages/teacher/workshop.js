/**
 * The deck workshop: a teacher chooses what to practise, sees every card, changes what she likes, and
 * uses, prints or keeps the deck. It asks the server for each look and makes no cards itself.
 * @import {BoardView, DeckPlan, DeckPreview, DeckWishes, KeptDeck, NextTold, SkillOffer, Swap} from "../types/wire.js"
 */
import { part, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";
import { DeckForm } from "./deckform.js";
import { DeckGroups } from "./deckgroups.js";
import { KeptDecks } from "./keptdecks.js";
import { setUpLength } from "./decklength.js";
import { OwnDecks } from "./owndecks.js";
import { setUpPrint } from "./printdeck.js";
import { setUpUse } from "./usedeck.js";

/** @returns {DeckWishes} */
const noWishes = () => ({ kinds_out: [], groups_in: [], groups_out: [], cards_in: [], cards_out: [] });
/** A first deck for whoever opens the workshop without a lesson. @returns {DeckPlan} */
const firstDeck = () => ({ ages: "FiveToSix", skill: "Numbers", confusables: "Allow", number_min: 1, number_max: 10, groups: 7, wishes: noWishes(), accent: { pin_is_pen: true, cot_is_caught: true }, switches: { exact_names: false, quarter_words: false, coin_values: false } });
const anyDraw = () => crypto.getRandomValues(new Uint32Array(1))[0] ?? 0;

export class Workshop {
  /** @type {DeckPlan} */ #deck = firstDeck();
  /** @type {DeckPreview | null} */ #preview = null;
  /** @type {string | null} The lesson it was opened for. */ #lesson = null;
  #draw = anyDraw();
  #asked = 0;
  /** The deck whose length is shown. */ #timed = "";
  #ready = false;

  constructor() {
    this.form = new DeckForm({
      change: (deck) => void this.#look(deck),
      shuffle: () => {
        this.#draw = anyDraw();
        void this.#look({ ...this.#deck, wishes: { ...noWishes(), kinds_out: this.#deck.wishes.kinds_out } });
      },
    });
    this.groups = new DeckGroups((swap) => void this.#look(this.#deck, swap), () => void this.#look(this.#deck));
    this.kept = new KeptDecks({ deck: () => this.#deck, open: (kept) => void this.#open(kept) });
    this.length = setUpLength((groups) => void this.#look({ ...this.#deck, groups }));
    this.own = new OwnDecks({
      changed: (own) => this.form.own(own, this.#lesson !== null),
      open: (deck) => void this.#look({ ...this.#deck, skill: { OwnDeck: { deck } }, confusables: "Allow", wishes: noWishes() }),
    });
    this.use = setUpUse(() => this.#deck);
    setUpPrint(() => ({ deck: this.#deck, draw: this.#draw, lesson: this.#lesson }));
  }

  /** Opens the page, for a lesson or for none. @param {string | null} lesson */
  async show(lesson) {
    document.title = "Decks: Handround";
    if (this.#lesson !== lesson) { this.#lesson = lesson; this.use(lesson, null); if (lesson) this.#ready = false; }
    part("deck-back").setAttribute("href", lesson ? `#${lesson}` : "/teacher#");
    setText(part("deck-back"), lesson ? "Back to the lesson" : "Back to the lessons");
    if (!this.form.ready) this.form.offers(/** @type {SkillOffer[]} */ (await call("/workshop/skills")));
    await Promise.all([this.kept.load(), this.own.load()]);
    // With a lesson the first look waits for the lesson's own deck.
    if (!lesson && !this.#ready) { this.#ready = true; await this.#look(this.#deck); }
  }

  /** Opens with the deck that a report suggests for a group. @param {string} kept The class. @param {number} group */
  async suggest(kept, group) {
    this.#ready = true;
    await this.show(null);
    const { groups } = /** @type {NextTold} */ (await call(`/classes/${kept}/next`));
    await this.#look(groups[group]?.deck ?? this.#deck);
  }

  /** The lesson as its board has it: its deck comes first, its tables can have decks of their own. @param {BoardView} view */
  meet(view) {
    this.use(this.#lesson, view);
    if (this.#ready) return;
    this.#ready = true;
    const { ages, skill, confusables, number_min, number_max, groups, wishes, accent, switches } = view.plan;
    void this.#look({ ages, skill, confusables, number_min, number_max, groups, wishes, accent, switches });
  }

  /** @param {KeptDeck} kept */
  async #open({ kept }) {
    this.kept.named(kept.name);
    // A file may have brought cards that the list of own decks does not show yet.
    if (typeof kept.deck.skill === "object" && "OwnDeck" in kept.deck.skill) await this.own.load();
    await this.#look(kept.deck);
  }

  /**
   * Asks how the deck would look and shows it. Of several questions only the last one counts.
   * @param {DeckPlan} deck @param {Swap | null} [swap]
   */
  async #look(deck, swap = null) {
    const asked = this.#asked += 1;
    part("deck-look").setAttribute("aria-busy", "true");
    try {
      const preview = /** @type {DeckPreview} */ (await post("/workshop/preview", { deck, draw: this.#draw, swap, lesson: this.#lesson, helpers: this.groups.helpers }));
      if (asked !== this.#asked) return;
      this.#deck = preview.deck;
      setText(part("deck-error"), "");
      this.form.render(preview);
      this.groups.render(preview, this.#preview, swap);
      this.#preview = preview;
      // Helpers change no deck, and so not how long it takes.
      const length = { deck: this.#deck, draw: this.#draw, lesson: this.#lesson, slot_minutes: null };
      if (JSON.stringify(length) !== this.#timed) { this.#timed = JSON.stringify(length); this.length(length); }
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      // What was wished stays in the form, the last deck that could be made stays in view.
      if (asked === this.#asked) setText(part("deck-error"), refused.message);
    } finally {
      if (asked === this.#asked) part("deck-look").removeAttribute("aria-busy");
    }
  }
}
