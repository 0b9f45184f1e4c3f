/**
 * Cheering between rounds, where the teacher has switched it on: a child who watches sends a few kind
 * pictures, and the table sees them, small and still. It draws them and knows no rule; the server
 * decides who may and when.
 * @import {Cheer, CheerPicture, SeatSays, SeatView} from "../types/wire.js"
 */
import { art, make, part, picture } from "../dom.js";
import { own } from "../view.js";
import { onTap } from "./guard.js";

/** As `CHEERS_EACH_MAX` in `protocol/src/limits.rs`. */
export const CHEERS_EACH_MAX = 3;

/** Each with its drawing and the child's word for it. @type {readonly (readonly [CheerPicture, string, string])[]} */
export const CHEERS = [["Sun", "cheer-sun", "Sun"], ["Flower", "flower", "Flower"], ["Clap", "cheer-clap", "Clap"]];

/**
 * What stands on the page: the pictures sent, and whether this child may send one or has sent enough.
 * @param {SeatView} view
 * @returns {{ seen: readonly Cheer[], may: boolean, enough: boolean } | null} `null` where nothing does
 */
export function cheeringOf(view) {
  const { cheers, phase } = view.table;
  if (cheers === null || (phase !== "RoundOver" && phase !== "GameOver")) return null;
  const watches = !own(view).in_play;
  const enough = cheers.filter(({ seat }) => seat === view.you).length >= CHEERS_EACH_MAX;
  return { seen: cheers, may: watches && !enough, enough: watches && enough };
}

export class Cheering {
  /** @param {(says: SeatSays) => void} say */
  constructor(say) {
    part("cheers-send").append(...CHEERS.map(([which, drawing, word]) => {
      const button = make("button", { type: "button" }, art(drawing), make("span", {}, word));
      onTap(button, () => say({ Cheer: { picture: which } }));
      return button;
    }));
  }

  /** @param {SeatView} view */
  render(view) {
    const now = cheeringOf(view);
    const { seen, may, enough } = now ?? { seen: [], may: false, enough: false };
    part("cheers").hidden = now === null || (seen.length === 0 && !may);
    part("cheers-send").hidden = !may;
    part("cheers-thanks").hidden = !enough;
    // Only grows until the next deal, so that a screen reader hears each once.
    const list = part("cheers-seen");
    if (seen.length < list.children.length) list.replaceChildren();
    for (const { seat, picture: which } of seen.slice(list.children.length)) {
      const sender = view.table.seats[seat];
      const [, drawing = "flower", word = ""] = CHEERS.find(([known]) => known === which) ?? [];
      list.append(make("li", {}, art(drawing), sender && picture(sender.picture), make("span", { class: "unseen" }, `${word} from ${sender?.name ?? "a child"}`)));
    }
  }
}
