/**
 * The deck's face sheet as elements: loaded once before the first deal, parsed once, cloned for
 * each card. It knows how a face is drawn and nothing of who holds it.
 * @import {Face, FaceSheet, Helper} from "./types/wire.js"
 */
import { make } from "./dom.js";
import { call } from "./http.js";

/** @typedef {{ face: Face, drawing: Element }} Drawn */

export class Cards {
  /** @type {Drawn[]} */ #drawn = [];
  /** Drawings with a helper, by face and helper. @type {Map<string, Element>} */ #helped = new Map();
  /** The pictures with their words. @type {{ word: string, drawing: Element }[]} */ naming = [];
  /** @type {string | null} */ deck = null;

  /** Whether the faces are here. */
  get ready() { return this.#drawn.length > 0; }

  /**
   * Loads a deck's faces; a deck that is here already is not loaded again.
   * @param {string} deck
   */
  async load(deck) {
    if (this.deck === deck && this.ready) return;
    /** @type {FaceSheet} */
    const sheet = await call(`/decks/${encodeURIComponent(deck)}/faces`);
    this.#drawn = sheet.faces.map((face) => ({ face, drawing: drawingFrom(face.svg) }));
    this.#helped = new Map(sheet.with_helper.map(({ face, helper, svg }) => [`${face} ${helper}`, drawingFrom(svg)]));
    this.naming = sheet.naming.map(({ word, svg }) => ({ word, drawing: drawingFrom(svg) }));
    this.deck = deck;
  }

  /**
   * A card's face. During play its label names the kind, after the round also the value.
   * @param {number} index
   * @param {"during" | "after"} when
   * @param {Helper | null} [helper]
   */
  face(index, when, helper = null) {
    const drawn = this.#drawn[index];
    const label = drawn ? (when === "after" ? drawn.face.label_after : drawn.face.label) : "card";
    const drawing = (helper && this.#helped.get(`${index} ${helper}`)) || drawn?.drawing;
    const card = make("span", { class: "face", role: "img", "aria-label": label });
    if (drawing) card.append(drawing.cloneNode(true));
    return card;
  }

  /** What a screen reader says of a card during play. @param {number} index */
  label(index) { return this.#drawn[index]?.face.label ?? "card"; }

  /** The same with the value, for cards that are in nobody's hand. @param {number} index */
  labelAfter(index) { return this.#drawn[index]?.face.label_after ?? "card"; }

  /** The match group of a face. @param {number} index @returns {number | undefined} */
  group(index) { return this.#drawn[index]?.face.group; }
}

/**
 * An element from a drawing of the server's own. Parsed as XML, so that nothing in it can run, and
 * scripts and links that slipped in would be left out besides.
 * @param {string} svg
 * @returns {Element}
 */
export function drawingFrom(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml");
  const root = parsed.documentElement;
  if (root.nodeName !== "svg" || parsed.querySelector("parsererror")) return make("span");
  for (const odd of root.querySelectorAll("script, foreignObject, a, style")) odd.remove();
  // A teacher's own picture lies in its drawing as a PNG; nothing else is ever fetched for a card.
  for (const picture of root.querySelectorAll("image")) {
    if (!picture.getAttribute("href")?.startsWith("data:image/png;base64,")) picture.remove();
  }
  root.setAttribute("aria-hidden", "true");
  root.setAttribute("focusable", "false");
  return document.importNode(root, true);
}
