/**
 * Making elements, and the pictures that every page shows. It knows file names and nothing of the
 * game.
 * @import {Picture} from "./types/wire.js"
 */

/** @typedef {Node | string | null | undefined | false} Child */

/**
 * @template {keyof HTMLElementTagNameMap} Tag
 * @param {Tag} tag
 * @param {Record<string, string | number | boolean | null | undefined>} [attributes] `null`, `undefined` and `false` leave one out
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[Tag]}
 */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/**
 * The element of the page with this id; every id stands in the page's HTML file.
 * @param {string} id
 * @returns {HTMLElement}
 */
export function part(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has no part ${id}`);
  return element;
}

/** @param {string} file @param {string} css @param {string} alt */
function image(file, css, alt) {
  const element = make("img", { src: file, class: css, alt, draggable: "false" });
  element.addEventListener("error", () => {
    // A picture that is not there must not leave a torn frame on a child's screen.
    if (!element.src.endsWith("/art/thing.svg")) element.src = "/pages/art/thing.svg";
  });
  return element;
}

/**
 * An everyday picture or a garden helper.
 * @param {Picture} name
 * @param {string} [alt] empty where the name stands beside it
 */
export function picture(name, alt = "") {
  return image(`/pages/pictures/${name}.svg`, "picture", alt);
}

/** A drawing of the page's own, always beside words. @param {string} name */
export function art(name) {
  return image(`/pages/art/${name}.svg`, `art art-${name}`, "");
}

/**
 * Shows one of several panels and hides the others, so that no panel is left behind.
 * @param {string} wanted
 * @param {readonly string[]} panels ids
 */
export function show(wanted, panels) {
  for (const id of panels) part(id).hidden = id !== wanted;
}

/**
 * Replaces the children only if the key has changed, so that a finger between down and up never
 * loses the element under it.
 * @param {HTMLElement} element
 * @param {string} key says all that the children show
 * @param {() => Child[]} children
 */
export function refill(element, key, children) {
  if (element.dataset.key === key) return;
  element.dataset.key = key;
  element.replaceChildren(...children().filter((child) => child !== null && child !== undefined && child !== false));
}

/**
 * Sets words only if they changed, so that a live region does not repeat itself.
 * @param {HTMLElement} element
 * @param {string} text
 */
export function setText(element, text) {
  if (element.textContent !== text) element.textContent = text;
}
