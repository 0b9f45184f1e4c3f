/**
 * What WCAG 2.2, 1.4.10 Reflow, asks of a page in a window of 320 by 568, which is a laptop's at 400 %, or an old
 * phone: nothing scrolls sideways at a width of 320 CSS pixels (W3C Recommendation, 5 October 2023). Whatever can
 * be used can be brought into the window, is not cut off there and is not covered.
 */
export const SMALL = { width: 320, height: 568 };

/** Runs in the page: what is wider than the window, cut off or covered, in words. */
export function outOfReach() {
  /** A part of a pixel comes from sums of fractions. */
  const NEARLY = 0.6;
  const root = document.scrollingElement ?? document.documentElement;
  const named = (/** @type {Element} */ one) => one.outerHTML.replace(/\s+/g, " ").slice(0, 110);
  /** @type {string[]} */ const found = [];
  if (root.scrollWidth > innerWidth) found.push(`the page is ${root.scrollWidth} wide`);
  const part = document.querySelector("dialog[open]") ?? document.body;
  const seen = (/** @type {Element} */ one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }) && !one.closest(".unseen, [inert]");
  // Text within a field of its own may be longer than the field.
  for (const one of part.querySelectorAll("*:not(input, textarea, select)")) {
    if (seen(one) && /auto|scroll/.test(getComputedStyle(one).overflowX) && one.scrollWidth > one.clientWidth + 1) found.push(`scrolls sideways: ${named(one)}`);
  }
  for (const one of part.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")) {
    if (!seen(one)) continue;
    one.scrollIntoView({ block: "center", inline: "nearest", behavior: "instant" });
    // That call also moves what no finger could, and sideways, which nobody should have to.
    for (let box = /** @type {Element | null} */ (one); box; box = box.parentElement) {
      box.scrollLeft = 0;
      if (box !== root && /hidden|clip/.test(getComputedStyle(box).overflowY)) box.scrollTop = 0;
    }
    const { left, right, top, bottom, width, height } = one.getBoundingClientRect();
    if (width < 2 || height < 2) continue;
    // A link that is broken over two lines is met in the first one.
    const line = one.getClientRects()[0];
    const met = line && document.elementFromPoint((Math.max(line.left, 0) + Math.min(line.right, innerWidth)) / 2, (line.top + line.bottom) / 2);
    const own = met && (one.contains(met) || met.contains(one) && met.matches("label") || "labels" in one && [.../** @type {HTMLInputElement} */ (one).labels ?? []].some((label) => label.contains(met)));
    if (left < -NEARLY || right > innerWidth + NEARLY) found.push(`hangs over, ${Math.round(left)} to ${Math.round(right)}: ${named(one)}`);
    else if (height < innerHeight && (top < -NEARLY || bottom > innerHeight + NEARLY)) found.push(`stays outside, ${Math.round(top)} to ${Math.round(bottom)}: ${named(one)}`);
    else if (!own) found.push(`lies under ${met ? named(met) : "nothing"}: ${named(one)}`);
  }
  return found;
}
