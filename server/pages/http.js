/**
 * Small JSON calls over HTTP. It knows how a refusal looks and nothing of what is asked.
 * @import {HttpRefusal} from "./types/wire.js"
 */

/** A friendly no, or a server that cannot be reached: `status` is 0 then. */
export class Refused extends Error {
  /** @param {number} status @param {HttpRefusal} refusal */
  constructor(status, refusal) {
    super(refusal.message);
    this.status = status;
    this.line = refusal.line;
  }
}

/**
 * @template Answer
 * @param {string} path
 * @param {RequestInit} [init]
 * @param {"json" | "blob"} [as] how the answer is read
 * @returns {Promise<Answer>}
 */
export async function call(path, init, as = "json") {
  /** @type {Response} */
  let response;
  try {
    response = await fetch(path, { credentials: "same-origin", ...init });
  } catch {
    throw new Refused(0, { message: "The game's computer cannot be reached.", line: null });
  }
  if (response.ok) return as === "blob" ? /** @type {Promise<any>} */ (response.blob()) : response.json();
  /** @type {HttpRefusal} */
  const refusal = await response.json().catch(() => ({ message: "That did not work.", line: null }));
  throw new Refused(response.status, refusal);
}

/**
 * @template Answer
 * @param {string} path
 * @param {object} body
 * @param {"json" | "blob"} [as] how the answer is read
 * @returns {Promise<Answer>}
 */
export function post(path, body, as) {
  return call(path, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  }, as);
}
