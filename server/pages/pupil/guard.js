/**
 * What five-year-olds' hands do to a tablet besides tapping: palms, thumbs on the rim, resting
 * second fingers, long presses, pinches. It knows pointers and nothing of the game.
 */

/** Touches this near to the screen's rim are thumbs that hold the tablet, in CSS pixels. */
const BEZEL_PX = 16;
/** A contact this wide is a palm or a sleeve: a fingertip covers about 8 to 14 mm, 30 to 53 px. */
const PALM_PX = 90;
/** A finger that has lain this long rests and no longer blocks another one, in milliseconds. */
const RESTING_MS = 400;
/** A tap may slide this far before it is none, in CSS pixels: small hands roll their fingertips. */
const SLIDE_PX = 40;

/** @type {Map<number, number>} pointer to the moment it came down */
const down = new Map();

/**
 * Whether a touch is a finger meant for the game.
 * @param {{ clientX: number, clientY: number, width: number, height: number, pointerType: string }} touch
 * @param {{ width: number, height: number }} screen
 */
export function meant(touch, screen) {
  if (touch.pointerType !== "touch") return true;
  if (Math.max(touch.width, touch.height) > PALM_PX) return false;
  return touch.clientX >= BEZEL_PX && touch.clientY >= BEZEL_PX
    && touch.clientX <= screen.width - BEZEL_PX && touch.clientY <= screen.height - BEZEL_PX;
}

/**
 * Whether a second finger comes at the same time as the first, and not beside one that rests.
 * @param {Iterable<number>} since moments at which the other pointers came down, in milliseconds
 * @param {number} now
 */
export function crowded(since, now) {
  return [...since].some((moment) => now - moment < RESTING_MS);
}

/** @param {PointerEvent} event */
function accepts(event) {
  if (event.button !== 0 || !meant(event, { width: innerWidth, height: innerHeight })) return false;
  const others = [...down].filter(([id]) => id !== event.pointerId).map(([, moment]) => moment);
  return !crowded(others, event.timeStamp);
}

/**
 * Fires on pointer-down or a key's first press: for tokens, where the moment counts.
 * @param {HTMLElement} element
 * @param {(event: Event) => void} handler
 */
export function onPress(element, handler) {
  element.addEventListener("pointerdown", (event) => {
    if (!accepts(event)) return;
    handler(event);
  });
  element.addEventListener("keydown", (event) => {
    if (event.repeat || (event.key !== "Enter" && event.key !== " ")) return;
    event.preventDefault();
    handler(event);
  });
  // A screen reader or a switch sends a bare click.
  element.addEventListener("click", (event) => { if (event.detail === 0) handler(event); });
}

/**
 * Fires when a finger lifts where it came down. Browsers send no click for a finger beside another
 * one that rests, so the pointers are followed here.
 * @param {HTMLElement} element
 * @param {() => void} handler
 * @param {() => void} [began] when the finger comes down
 */
export function onTap(element, handler, began = () => {}) {
  let pointer = -1;
  let [x, y] = [0, 0];
  element.addEventListener("pointerdown", (event) => {
    pointer = accepts(event) ? event.pointerId : -1;
    if (pointer < 0) return;
    [x, y] = [event.clientX, event.clientY];
    if (element.hasPointerCapture(pointer)) element.releasePointerCapture(pointer);
    began();
  });
  element.addEventListener("pointerup", (event) => {
    const near = Math.hypot(event.clientX - x, event.clientY - y) <= SLIDE_PX;
    if (event.pointerId === pointer && near) handler();
    pointer = -1;
  });
  element.addEventListener("click", (event) => {
    if (event.detail !== 0) return; // Pointers were heard above; keys and readers send 0.
    began();
    handler();
  });
}

/** Switches off what the browser would make of a child's hands. */
export function guardPage() {
  const stop = (/** @type {Event} */ event) => event.preventDefault();
  for (const kind of ["contextmenu", "dragstart", "selectstart", "dblclick", "gesturestart"]) {
    document.addEventListener(kind, stop);
  }
  document.addEventListener("touchmove", (event) => {
    if (event.touches.length > 1) event.preventDefault();
  }, { passive: false });
  addEventListener("pointerdown", (event) => {
    if (meant(event, { width: innerWidth, height: innerHeight })) down.set(event.pointerId, event.timeStamp);
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    addEventListener(kind, (event) => down.delete(/** @type {PointerEvent} */ (event).pointerId));
  }
}
