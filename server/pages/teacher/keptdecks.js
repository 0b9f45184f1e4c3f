/**
 * The decks that are kept on this server: a name and a button to keep one, a list to open, share and
 * delete them, and a way in for files. It knows no cards.
 * @import {DeckPlan, KeptDeck} from "../types/wire.js"
 */
import { make, part, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

const name = () => /** @type {HTMLInputElement} */ (part("deck-keep-name"));

export class KeptDecks {
  /** @type {KeptDeck[]} */ #kept = [];

  /** @param {{ deck: () => DeckPlan, open: (kept: KeptDeck) => void }} workshop */
  constructor({ deck, open }) {
    this.open = open;
    part("deck-keep").addEventListener("submit", (event) => { event.preventDefault(); void this.#keep(deck()); });
    const file = /** @type {HTMLInputElement} */ (part("deck-file"));
    file.addEventListener("change", () => { const one = file.files?.[0]; if (one) void this.#load(one); file.value = ""; });
  }

  /** The name under which the deck in view is kept. @param {string} words */
  named(words) { name().value = words; }

  async load() {
    this.#kept = /** @type {KeptDeck[]} */ (await call("/workshop/decks"));
    part("deck-kept").replaceChildren(...this.#kept.map((kept) => this.#line(kept)));
    part("deck-kept-none").hidden = this.#kept.length > 0;
  }

  /** @param {KeptDeck} kept */
  #line(kept) {
    const title = kept.kept.name;
    const open = make("button", { class: "link open", type: "button", "aria-label": `Open ${title}` }, title);
    open.addEventListener("click", () => { this.open(kept); setText(part("deck-said"), `${title} is open.`); });
    const share = make("a", { class: "link", href: `/workshop/decks/${kept.id}/file`, download: "", "aria-label": `${title} as a file to share` }, "file");
    const away = make("button", { class: "link", type: "button", "aria-label": `Delete ${title}` }, "delete");
    away.addEventListener("click", () => { if (confirm(`Delete “${title}”? Lessons that use it keep their cards.`)) void this.#try(() => call(`/workshop/decks/${kept.id}`, { method: "DELETE" }), () => `“${title}” is deleted.`); });
    return make("li", {}, open, share, away);
  }

  /** @param {DeckPlan} deck */
  async #keep(deck) {
    if (name().value.trim() === "") { setText(part("deck-keep-error"), "Give the deck a name."); name().focus(); return; }
    await this.#try(() => post("/workshop/decks", { name: name().value, deck }), (kept) => `“${kept.kept.name}” is kept.`);
  }

  /** @param {File} file */
  async #load(file) {
    await this.#try(
      () => call("/workshop/file", { method: "POST", headers: { "content-type": "application/json" }, body: file }),
      (kept) => { this.open(kept); return `“${kept.kept.name}” is kept and open.`; });
  }

  /** @param {() => Promise<any>} act @param {(answer: KeptDeck) => string} told */
  async #try(act, told) {
    try {
      const answer = await act();
      setText(part("deck-keep-error"), "");
      await this.load();
      setText(part("deck-said"), told(answer));
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      const line = refused.line === null || refused.message.includes(`line ${refused.line}`) ? "" : `Line ${refused.line}: `;
      setText(part("deck-keep-error"), `${line}${refused.message}`);
    }
  }
}
