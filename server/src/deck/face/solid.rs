//! Solids, drawn in slanting parallel projection as children draw boxes: the front as it is, edges that
//! go back at 45 degrees, at half their length for a cube. Each solid has two drawings unlike in size and
//! proportion, and an everyday thing.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, COPPER, GLOVE, INK, LEAF, PAPER, SILVER, WOOD};
use crate::deck::shown::Solid;
use crate::deck::svg::{Drawing, Paint, number};

/// Drawings of each solid.
pub const LOOKS: u8 = 2;

type Point = (f64, f64);

/// Fills of the front, of what goes back, and of what lies on top.
struct Fills(&'static str, &'static str, &'static str);

fn ink(fill: &'static str) -> Paint {
    Paint { fill, stroke: INK, width: 4.0 }
}

fn polygon(to: &mut Drawing, corners: &[Point], fill: &'static str) {
    let points: Vec<String> =
        corners.iter().map(|(x, y)| format!("{} {}", number(*x), number(*y))).collect();
    to.path("face", &format!("M{}Z", points.join("L")), ink(fill));
}

/// A box by its front's left upper corner, width and height, and how far its edges go back.
fn cuboid(to: &mut Drawing, (x, y): Point, (w, h): Point, (dx, dy): Point, fills: &Fills) {
    polygon(to, &[(x, y), (x + w, y), (x + w, y + h), (x, y + h)], fills.0);
    polygon(to, &[(x, y), (x + w, y), (x + w + dx, y - dy), (x + dx, y - dy)], fills.2);
    let side = if dx > 0.0 { x + w } else { x };
    polygon(to, &[(side, y), (side + dx, y - dy), (side + dx, y - dy + h), (side, y + h)], fills.1);
}

/// A tent: its front triangle's left lower corner, and how far it goes back.
fn tent(to: &mut Drawing, (x, y): Point, (w, h): Point, (dx, dy): Point, fills: &Fills) {
    let (top, foot) = ((x + w / 2.0, y - h), if dx > 0.0 { (x + w, y) } else { (x, y) });
    polygon(to, &[foot, top, (top.0 + dx, top.1 - dy), (foot.0 + dx, foot.1 - dy)], fills.1);
    polygon(to, &[(x, y), (x + w, y), top], fills.0);
}

/// A pyramid by its front's lower corners, the corner behind, and its point.
fn pyramid(to: &mut Drawing, left: Point, right: Point, back: Point, top: Point, fills: &Fills) {
    polygon(to, &[right, back, top], fills.1);
    polygon(to, &[left, right, top], fills.0);
}

fn ellipse((x, y): Point, (rx, ry): Point) -> String {
    let arc = format!("A{} {} 0 0 1", number(rx), number(ry));
    let (left, right) = (number(x - rx), number(x + rx));
    let y = number(y);
    format!("M{left} {y}{arc} {right} {y}{arc} {left} {y}Z")
}

/// A can by the middle of its lid.
fn can(to: &mut Drawing, (x, y): Point, (rx, ry): Point, height: f64, fills: &Fills) {
    let (left, right) = (number(x - rx), number(x + rx));
    let (top, foot) = (number(y), number(y + height));
    let arc = format!("A{} {} 0 0 0", number(rx), number(ry));
    to.path(
        "body",
        &format!("M{left} {top}L{left} {foot}{arc} {right} {foot}L{right} {top}"),
        ink(fills.0),
    );
    to.path("cap", &ellipse((x, y), (rx, ry)), ink(fills.2));
}

/// A cone by the middle of its circle; a negative height points down, and the circle is seen.
fn cone(to: &mut Drawing, (x, y): Point, (rx, ry): Point, height: f64, fills: &Fills) {
    let (left, right, foot) = (number(x - rx), number(x + rx), number(y));
    let point = format!("{} {}", number(x), number(y - height));
    // The arc runs in front below a cone that stands, and behind above one that hangs.
    let sweep = if height > 0.0 { 1 } else { 0 };
    let arc = format!("A{} {} 0 0 {sweep}", number(rx), number(ry));
    to.path(
        "body",
        &format!("M{left} {foot}L{point}L{right} {foot}{arc} {left} {foot}Z"),
        ink(fills.0),
    );
    if height < 0.0 {
        to.path("cap", &ellipse((x, y), (rx, ry)), ink(fills.2));
    }
}

fn ball(to: &mut Drawing, centre: Point, radius: f64, fill: &'static str) {
    to.circle("ball", centre, radius, ink(fill));
}

/// Half an edge's length at 45 degrees.
const HALF_BACK: f64 = 0.5 * std::f64::consts::FRAC_1_SQRT_2;

/// The solid alone.
pub(super) fn draw(to: &mut Drawing, solid: Solid, look: u8) -> Option<()> {
    let (x, y) = (CENTRE_X, CENTRE_Y);
    let fills = match look {
        0 => Fills(WOOD, COPPER, PAPER),
        _ if look < LOOKS => Fills(SILVER, WOOD, GLOVE),
        _ => return None,
    };
    let large = look == 0;
    match solid {
        Solid::Sphere => {
            let radius = if large { 94.0 } else { 52.0 };
            ball(to, (x, y), radius, fills.0);
            let arc = |dy: f64| {
                format!(
                    "M{} {}A{} {} 0 0 0 {} {}",
                    number(x - radius),
                    number(y),
                    number(radius),
                    number(dy),
                    number(x + radius),
                    number(y)
                )
            };
            to.path("", &arc(radius * 0.28), Paint::line(INK, 2.0));
        }
        Solid::Cube => {
            let side = if large { 132.0 } else { 78.0 };
            let back = side * HALF_BACK;
            let dx = if large { back } else { -back };
            let left = x - (side + dx) / 2.0;
            cuboid(to, (left, y - (side - back) / 2.0), (side, side), (dx, back), &fills);
        }
        Solid::RectangularPrism if large => {
            cuboid(to, (x - 96.0, y - 22.0), (150.0, 76.0), (42.0, 42.0), &fills);
        }
        Solid::RectangularPrism => {
            cuboid(to, (x - 14.0, y - 66.0), (58.0, 150.0), (-32.0, 32.0), &fills);
        }
        Solid::TriangularPrism if large => {
            tent(to, (x - 98.0, y + 78.0), (120.0, 116.0), (76.0, 46.0), &fills);
        }
        Solid::TriangularPrism => {
            tent(to, (x - 14.0, y + 46.0), (66.0, 62.0), (-62.0, 34.0), &fills);
        }
        Solid::Pyramid if large => {
            let (left, right) = ((x - 96.0, y + 84.0), (x + 44.0, y + 84.0));
            pyramid(to, left, right, (x + 96.0, y + 40.0), (x + 2.0, y - 96.0), &fills);
        }
        Solid::Pyramid => {
            let (left, right) = ((x - 52.0, y + 52.0), (x + 18.0, y + 52.0));
            pyramid(to, left, right, (x + 52.0, y + 30.0), (x, y - 84.0), &fills);
        }
        Solid::Cylinder if large => can(to, (x, y - 76.0), (64.0, 24.0), 152.0, &fills),
        Solid::Cylinder => can(to, (x, y - 14.0), (82.0, 30.0), 42.0, &fills),
        Solid::Cone if large => cone(to, (x, y + 74.0), (78.0, 26.0), 168.0, &fills),
        Solid::Cone => cone(to, (x, y - 58.0), (48.0, 18.0), -122.0, &fills),
    }
    Some(())
}

/// An everyday thing with the form of the solid. Only what makes the form carries a mark.
pub(super) fn thing(to: &mut Drawing, solid: Solid) {
    let (x, y) = (CENTRE_X, CENTRE_Y);
    let thin = Paint::line(INK, 2.5);
    match solid {
        // A beach ball.
        Solid::Sphere => {
            ball(to, (x, y), 90.0, PAPER);
            let stripes = [
                ("M125 73Q35 163 125 253A90 90 0 0 1 125 73Z", LEAF),
                ("M125 73Q85 163 125 253Q165 163 125 73Z", BERRY),
                ("M125 73Q215 163 125 253A90 90 0 0 0 125 73Z", GLOVE),
            ];
            for (stripe, fill) in stripes {
                to.path("", stripe, Paint { fill, stroke: INK, width: 2.5 });
            }
            to.circle("", (x, y - 86.0), 9.0, ink(PAPER));
        }
        // A present.
        Solid::Cube => {
            let side = 124.0;
            let back = side * HALF_BACK;
            let (left, top) = (x - (side + back) / 2.0, y - 30.0);
            cuboid(to, (left, top), (side, side), (back, back), &Fills(COPPER, WOOD, GLOVE));
            let band = Paint::line(BERRY, 12.0);
            let middle = left + side / 2.0;
            to.line("", (middle, top + 6.0), (middle, top + side - 6.0), band);
            to.line("", (middle + 4.0, top - 4.0), (middle + back - 4.0, top - back + 4.0), band);
            let bow = "M142 112C116 66 96 84 142 112C168 66 188 84 142 112";
            to.path("", bow, Paint { fill: "none", stroke: BERRY, width: 7.0 });
        }
        // A brick.
        Solid::RectangularPrism => {
            cuboid(
                to,
                (x - 98.0, y - 8.0),
                (152.0, 60.0),
                (44.0, 44.0),
                &Fills(COPPER, WOOD, GLOVE),
            );
            for hole in 0..3 {
                let at = (x - 46.0 + 44.0 * f64::from(hole), y - 30.0);
                to.path("", &ellipse(at, (15.0, 8.0)), ink(INK));
            }
        }
        // A tent with its flap open.
        Solid::TriangularPrism => {
            let fills = Fills(WOOD, COPPER, PAPER);
            tent(to, (x - 98.0, y + 70.0), (124.0, 110.0), (72.0, 34.0), &fills);
            to.path("", "M89 128L72 231L106 231Z", ink(INK));
            to.path("", "M27 233L14 246M153 233L160 246M223 199L232 210", Paint::line(INK, 4.0));
        }
        // A pyramid of stone in the sand.
        Solid::Pyramid => {
            to.path("", "M20 262Q70 248 125 260T230 254", Paint::line(WOOD, 9.0));
            let fills = Fills(GLOVE, COPPER, PAPER);
            let (left, right) = ((x - 100.0, y + 84.0), (x + 44.0, y + 84.0));
            pyramid(to, left, right, (x + 98.0, y + 44.0), (x, y - 84.0), &fills);
            let courses = "M46 213L158 213L205 180M66 178L147 178L181 154M86 143L137 143L158 128";
            to.path("", courses, thin);
        }
        // A tin.
        Solid::Cylinder => {
            can(to, (x, y - 64.0), (66.0, 22.0), 136.0, &Fills(SILVER, SILVER, PAPER));
            let label = "M59 130A66 22 0 0 0 191 130L191 204A66 22 0 0 1 59 204Z";
            to.path("", label, Paint { fill: BERRY, stroke: INK, width: 2.5 });
            to.circle("", (x, y + 28.0), 24.0, ink(PAPER));
            to.path("", &ellipse((x, y - 64.0), (54.0, 16.0)), thin);
        }
        // A party hat.
        Solid::Cone => {
            cone(to, (x, y + 82.0), (76.0, 24.0), 168.0, &Fills(GLOVE, COPPER, PAPER));
            to.circle("", (x, y - 88.0), 14.0, ink(BERRY));
            for (dx, dy) in
                [(-22.0, 52.0), (20.0, 70.0), (14.0, 14.0), (-4.0, -30.0), (-48.0, 84.0)]
            {
                to.circle("", (x + dx, y + dy), 9.0, Paint::fill(LEAF));
            }
        }
    }
}
