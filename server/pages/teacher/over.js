/**
 * Lessons that she has ended on this page. Whoever asks the server about a lesson now and then stops at
 * once, since it will not be there any more.
 */

/** @type {Set<string>} */
export const over = new Set();
