/**
 * The seat's secret on this device, kept until the lesson ends, so that a reload or a closed page
 * finds its way back. It knows nothing of sockets. The session's own copy comes first, so that two
 * windows of one computer can hold two seats.
 * @import {Joined} from "../types/wire.js"
 */

const KEY = "handround.place";

/** @param {() => Storage} store @param {(store: Storage) => string | null | void} act */
export function tryStore(store, act) {
  // A school's settings can forbid storage; the page still plays, it only cannot return by itself.
  try { return act(store()) ?? null; } catch { return null; }
}

/** @returns {Joined | null} */
export function keptPlace() {
  for (const store of [() => sessionStorage, () => localStorage]) {
    const text = tryStore(store, (kept) => kept.getItem(KEY));
    if (!text) continue;
    try {
      /** @type {Joined} */
      const place = JSON.parse(text);
      if (typeof place.token === "string") {
        tryStore(() => sessionStorage, (kept) => kept.setItem(KEY, text));
        return place;
      }
    } catch { /* A spoilt entry counts as none. */ }
  }
  return null;
}

/** @param {Joined} place */
export function keepPlace(place) {
  const text = JSON.stringify(place);
  tryStore(() => sessionStorage, (kept) => kept.setItem(KEY, text));
  tryStore(() => localStorage, (kept) => kept.setItem(KEY, text));
}

/** Forgets this seat; another window's newer seat is left alone. @param {string} token */
export function forgetPlace(token) {
  for (const store of [() => sessionStorage, () => localStorage]) {
    tryStore(store, (kept) => { if (kept.getItem(KEY)?.includes(token)) kept.removeItem(KEY); });
  }
}
