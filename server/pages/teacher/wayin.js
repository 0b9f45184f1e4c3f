/**
 * How children come in, as a grown-up's page shows it: the code, the row of pictures, open or shut, the wall
 * display. The board and a substitute's page have the same; each may say more below.
 */
import { drawingFrom } from "../cards.js";
import { art, make, picture } from "../dom.js";

/**
 * @param {Pick<import("../types/wire.js").BoardView, "open" | "row" | "join_qr_svg" | "wall_url">} view
 * @param {(says: { Open: { open: boolean } }) => void} say
 * @param {{ address?: import("../dom.js").Child, below?: import("../dom.js").Child[] }} [more]
 */
export function wayIn(view, say, { address = null, below = [] } = {}) {
  const open = make("button", { class: view.open ? "button plain" : "button", type: "button" }, view.open ? "Close the room" : "Open the room");
  open.addEventListener("click", () => say({ Open: { open: !view.open } }));
  return [
    view.open ? make("span", { class: "qr", role: "img", "aria-label": "QR code of the children's address" }, drawingFrom(view.join_qr_svg)) : make("span", { class: "qr shut" }, art("gate")),
    make("div", { class: "entrance-words" },
      make("h2", {}, view.open ? "Children tap these four pictures" : "The room is closed"),
      view.open && make("span", { class: "row" }, ...view.row.map((name) => make("span", { class: "thing" }, picture(name, name)))),
      view.open && address,
      make("div", { class: "acts" }, open, make("a", { class: "button plain", href: view.wall_url, target: "_blank", rel: "noopener" }, "Wall display")),
      ...below),
  ];
}
