/**
 * Decks that teachers made themselves: sending one with its pictures, and the list of those that are
 * kept. It hands files over and reads none of them.
 * @import {OwnDeckLine, SentFile} from "../types/wire.js"
 */
import { make, part, refill, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

/** @param {File} file @returns {Promise<SentFile>} */
const sent = (file) => new Promise((resolve, reject) => {
  const reader = new FileReader();
  // A data URL is the browser's own way to base64: what stands behind the comma.
  reader.addEventListener("load", () => resolve({ name: file.name, base64: String(reader.result).split(",")[1] ?? "" }));
  reader.addEventListener("error", () => reject(new Refused(0, { message: `${file.name} cannot be read.`, line: null })));
  reader.readAsDataURL(file);
});

export class OwnDecks {
  /** @param {{ changed: (own: OwnDeckLine[]) => void, open: (deck: string) => void }} workshop */
  constructor({ changed, open }) {
    this.changed = changed;
    this.open = open;
    const input = /** @type {HTMLInputElement} */ (part("own-file"));
    input.addEventListener("change", () => { const files = [...(input.files ?? [])]; input.value = ""; if (files.length > 0) void this.#send(files); });
  }

  async load() {
    const own = /** @type {OwnDeckLine[]} */ (await call("/workshop/own"));
    part("own-kept").replaceChildren(...own.map((line) => this.#line(line)));
    this.changed(own);
  }

  /** @param {OwnDeckLine} line */
  #line({ id, name, groups }) {
    const open = make("button", { class: "link open", type: "button", "aria-label": `Open ${name}` }, `${name}, ${groups} groups`);
    open.addEventListener("click", () => this.open(id));
    const share = make("a", { class: "link", href: `/workshop/own/${id}/file`, download: "", "aria-label": `${name} as a file to share` }, "file");
    const away = make("button", { class: "link", type: "button", "aria-label": `Delete ${name}` }, "delete");
    away.addEventListener("click", () => {
      if (confirm(`Delete “${name}” and its pictures? Lessons that use it keep their cards.`)) void this.#try(async () => { await call(`/workshop/own/${id}`, { method: "DELETE" }); await this.load(); });
    });
    return make("li", {}, open, share, away);
  }

  /** @param {File[]} files */
  async #send(files) {
    await this.#try(async () => {
      const deck = files.find((file) => /\.(toml|csv|json)$/i.test(file.name));
      if (!deck) throw new Refused(0, { message: "Choose the deck's file too: it ends in .toml, .csv or .json.", line: null });
      const pictures = await Promise.all(files.filter((file) => file !== deck).map(sent));
      const kept = /** @type {OwnDeckLine} */ (await post("/workshop/own", { deck: await sent(deck), pictures }));
      await this.load();
      refill(part("own-notes"), kept.notes.join("\n"), () => kept.notes.map((note) => make("li", {}, note)));
      this.open(kept.id);
    });
  }

  /** @param {() => Promise<void>} act */
  async #try(act) {
    try {
      await act();
      setText(part("own-error"), "");
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(part("own-error"), refused.message);
    }
  }
}
