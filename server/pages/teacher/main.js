/**
 * The teacher's page: sign-in hint, lessons, the live board of the lesson that the address names
 * after `#`, the deck workshop. A recipe; each step has its own module.
 * @import {BoardSays, ToClient} from "../types/wire.js"
 */
import { part, setText, show } from "../dom.js";
import { Refused } from "../http.js";
import { Wire } from "../wire.js";
import { showAccount, setUpAccount } from "./account.js";
import { Board } from "./board.js";
import { loadClasses, setUpClasses } from "./classes.js";
import { offerFreeze, setUpFreeze } from "./freeze.js";
import { closeGroups, openGroups, setUpGroups } from "./groups.js";
import { loadLessons, setUpLessons } from "./lessons.js";
import { Workshop } from "./workshop.js";

const PANELS = ["sign-in", "lessons", "groups", "board", "decks"];
/** @type {Wire | null} */ let wire = null;
const board = new Board((/** @type {BoardSays} */ says) => {
  if (wire?.board(says) === null) setText(part("link-state"), "Not sent: the link is down. It comes back by itself.");
});

const workshop = new Workshop();
/** The deck workshop, alone or for a lesson. */
const DECKS = /^#decks(?:-([0-9a-f]{32}))?$/i;
/** A deck that a report suggests: the class, and the group's place in the list. */
const SUGGESTED = /^#suggested-([0-9a-f]{32})-(\d+)$/i;

/** @param {ToClient} message */
function hear(message) {
  if ("Board" in message && DECKS.test(location.hash)) workshop.meet(message.Board);
  else if ("Board" in message) { board.render(message.Board); show("board", PANELS); }
  else if ("Refused" in message) board.refused(message.Refused.refusal);
}

/** @param {string} lesson */
function openBoard(lesson) {
  wire = new Wire({
    credential: { Board: lesson }, onMessage: hear,
    onState: (state) => {
      const words = {
        open: "", waiting: "Finding the program again …", again: "", later: "", forget: "There is no such lesson here.",
        elsewhere: "This board is open in another window.", over: "The lesson has ended.", barred: "Sign in first.",
      };
      setText(part("link-state"), words[state]);
      if (state === "forget" || state === "over") location.hash = "";
      if (state === "barred") show("sign-in", PANELS);
    },
  });
}

/** Which way she went last: an answer to an earlier one must open no board behind it. */
let turn = 0;

async function go() {
  turn += 1;
  const mine = turn;
  wire?.end();
  wire = null;
  closeGroups();
  const decks = DECKS.exec(location.hash);
  const suggested = SUGGESTED.exec(location.hash);
  const grouped = /^#class=([0-9a-f]{32})(&way=play)?$/i.exec(location.hash);
  const kept = grouped?.[1];
  const lesson = decks?.[1] ?? /^#([0-9a-f]{32})$/i.exec(location.hash)?.[1];
  try {
    // Asked first in any case: a socket that is refused could not say why.
    const lessons = await loadLessons() > 0;
    if (mine !== turn) return;
    void showAccount();
    offerFreeze({ lessons, board: lesson !== undefined && !decks });
    if (decks) { await workshop.show(lesson ?? null); if (mine !== turn) return; show("decks", PANELS); scrollTo(0, 0); }
    if (suggested) { await workshop.suggest(String(suggested[1]), Number(suggested[2])); if (mine !== turn) return; show("decks", PANELS); scrollTo(0, 0); }
    if (lesson) openBoard(lesson);
    else if (kept) { await openGroups(kept, grouped?.[2] !== undefined); if (mine === turn) show("groups", PANELS); }
    else if (!decks && !suggested) { await loadClasses(); if (mine !== turn) return; document.title = "Handround: teacher"; show("lessons", PANELS); }
  } catch (refused) {
    if (mine !== turn && refused instanceof Refused) return;
    if (refused instanceof Refused && (refused.status === 401 || refused.status === 403)) show("sign-in", PANELS);
    else if (refused instanceof Refused && kept && refused.status === 404) location.hash = "";
    else if (refused instanceof Refused) { setText(part("link-state"), refused.message); setTimeout(go, 3_000); }
    else throw refused;
  }
}

setUpLessons((lesson) => { location.hash = lesson; }, (kept) => { location.hash = `class=${kept}`; });
setUpClasses();
setUpFreeze();
setUpAccount();
setUpGroups((lesson) => { location.hash = lesson; });
addEventListener("hashchange", () => void go());
void go();
