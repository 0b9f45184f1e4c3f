/**
 * The teacher's own tablet plays up to four hands. Each hand is the pupil's page in a frame with a
 * socket of its own; a cover lies over all of them until the child whose hand is next has the tablet.
 * It knows names and frames and nothing of the game.
 * @import {Joined} from "../types/wire.js"
 */
import { make, part, picture, setText } from "../dom.js";
import { post, Refused } from "../http.js";

/** Without a touch for this long the hand is covered again, in milliseconds: a tablet left lying about. */
const LEFT_MS = 60_000;

/** @type {{ place: Joined, frame: HTMLIFrameElement, button: HTMLButtonElement }[]} */
const hands = [];
/** Between two looks at whose turn it is, in milliseconds. */
const TURN_MS = 500;
/** @type {ReturnType<typeof setTimeout> | undefined} */ let left;

/** Marks who can do something: that a card waits is no secret, which one stays under the cover. */
function markTurns() {
  for (const { frame, button } of hands) {
    const can = frame.contentDocument?.querySelector("#table:not([hidden]) :is(#tray.ready, #pass:not(.idle))");
    button.classList.toggle("waits", Boolean(can));
    setText(/** @type {HTMLElement} */ (button.querySelector(".unseen")), can ? "has a card waiting" : "");
  }
}

/** Covers all hands and asks for one child. @param {number} next */
function pass(next) {
  clearTimeout(left);
  for (const [index, { frame, button }] of hands.entries()) {
    frame.classList.remove("open");
    frame.inert = true;
    button.setAttribute("aria-pressed", String(index === next));
  }
  const hand = hands[next];
  if (!hand) return;
  const { name, picture: thing } = hand.place;
  const open = make("button", { class: "button", type: "button" }, `I am ${name}`);
  open.addEventListener("click", () => uncover(next));
  part("cover").replaceChildren(make("h2", {}, `Pass me to ${name}`), picture(thing), open);
  part("cover").hidden = false;
}

/** @param {number} index */
function uncover(index) {
  const hand = hands[index];
  if (!hand) return;
  hand.frame.classList.add("open");
  hand.frame.inert = false;
  part("cover").hidden = true;
  const stay = () => { clearTimeout(left); left = setTimeout(() => pass(index), LEFT_MS); };
  hand.frame.contentWindow?.addEventListener("pointerdown", stay);
  stay();
}

/** @param {string} words */
function say(words) {
  part("cover").replaceChildren(make("h2", {}, words), make("a", { class: "button plain", href: "/teacher" }, "Back to the board"));
}

async function begin() {
  const wish = /^#([0-9a-f]{32})=([0-9,]+)$/i.exec(location.hash);
  try {
    if (!wish) throw new Refused(0, { message: "Choose the children on the board first.", line: null });
    const pupils = (wish[2] ?? "").split(",").filter((one) => one !== "").map(Number);
    /** @type {Joined[]} */
    const places = await post(`/lessons/${wish[1]}/shared`, { pupils });
    for (const [index, place] of places.entries()) {
      const frame = make("iframe", { src: `/hand#${place.token}`, title: `The cards of ${place.name}` });
      const button = make("button", { type: "button", "aria-pressed": "false" }, picture(place.picture), place.name, make("span", { class: "unseen" }));
      button.addEventListener("click", () => pass(index));
      hands.push({ place, frame, button });
      part("frames").append(frame);
      part("hands").append(button);
    }
    pass(0);
    setInterval(markTurns, TURN_MS);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    say(error.message);
  }
}

void begin();
