/**
 * Whose account this browser is signed in with, and signing out. Whoever came with the one-time key has
 * no account, and nothing is shown: signed out she could not come back.
 */
import { part, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

let asked = false;

/** Shows the name once. */
export async function showAccount() {
  if (asked) return;
  asked = true;
  try {
    const name = /** @type {string | null} */ (await call("/account"));
    setText(part("account-name"), name ?? "");
    part("account").hidden = name === null;
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    asked = false;
  }
}

export function setUpAccount() {
  part("sign-out").addEventListener("click", async () => {
    try {
      await post("/sign-out", {});
      location.href = "/sign-in";
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(part("link-state"), refused.message);
    }
  });
}
