/**
 * "Freeze all" on the teacher's pages that show no board: one tap, every table of every lesson of
 * hers. The board has its own button, beside the one that lets all go on.
 * @import {LessonLine} from "../types/wire.js"
 */
import { part, setText } from "../dom.js";
import { call, post, Refused } from "../http.js";

/** Shows the button where a lesson is open and no board is. @param {{ lessons: boolean, board: boolean }} now */
export function offerFreeze({ lessons, board }) { part("freeze").hidden = !lessons || board; }

export function setUpFreeze() {
  part("freeze").addEventListener("click", async () => {
    try {
      // Asked anew, since another page may have made a lesson meanwhile.
      const lines = /** @type {LessonLine[]} */ (await call("/lessons"));
      const frozen = await Promise.all(lines.map(({ lesson }) => /** @type {Promise<boolean>} */ (post(`/lessons/${lesson}/freeze`, {}))));
      setText(part("link-state"), frozen.includes(true) ? "All tables are frozen. Open the lesson to let them go on." : "No table plays just now.");
    } catch (refused) {
      if (!(refused instanceof Refused)) throw refused;
      setText(part("link-state"), refused.message);
    }
  });
}
