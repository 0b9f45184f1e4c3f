//! Flat shapes, each in drawings unlike in size, turn and proportion, and everyday things that have
//! the outline of one.

use super::paper::{
    BERRY, CENTRE_X, CENTRE_Y, COPPER, GLOVE, INK, LEAF, PAPER, SILVER, SOFT_INK, WOOD,
};
use crate::deck::shown::Outline;
use crate::deck::svg::{Drawing, Paint, number};

/// Drawings of each shape.
pub const LOOKS: u8 = 3;

type Point = (f64, f64);

/// How a shape is drawn: its corners on a plane of its own, or a curve.
enum Form {
    Corners(Vec<Point>),
    /// Half width, half height.
    Curve(f64, f64),
    /// Radius; the flat side is below.
    Half(f64),
}

/// A regular shape of this radius, one side lying flat.
fn regular(sides: u8, radius: f64) -> Form {
    let turn = 360.0 / f64::from(sides);
    let corner = |index: u8| {
        let (sin, cos) = ((f64::from(index) + 0.5) * turn).to_radians().sin_cos();
        (radius * sin, radius * cos)
    };
    Form::Corners((0..sides).map(corner).collect())
}

/// A form and its turn in degrees.
fn form(outline: Outline, look: u8) -> (Form, f64) {
    let corners = |points: &[Point]| Form::Corners(points.to_vec());
    let rectangle = |width: f64, height: f64| {
        let (x, y) = (width / 2.0, height / 2.0);
        Form::Corners(vec![(-x, -y), (x, -y), (x, y), (-x, y)])
    };
    let rhombus = |x: f64, y: f64| Form::Corners(vec![(0.0, -y), (x, 0.0), (0.0, y), (-x, 0.0)]);
    match (outline, look) {
        (Outline::Circle, 0) => (Form::Curve(96.0, 96.0), 0.0),
        (Outline::Circle, 1) => (Form::Curve(46.0, 46.0), 0.0),
        (Outline::Circle, _) => (Form::Curve(70.0, 70.0), 0.0),
        (Outline::Oval, 0) => (Form::Curve(104.0, 62.0), 0.0),
        (Outline::Oval, 1) => (Form::Curve(38.0, 78.0), 24.0),
        (Outline::Oval, _) => (Form::Curve(84.0, 58.0), -35.0),
        (Outline::HalfCircle, 0) => (Form::Half(100.0), 0.0),
        (Outline::HalfCircle, 1) => (Form::Half(62.0), 118.0),
        (Outline::HalfCircle, _) => (Form::Half(80.0), 205.0),
        (Outline::Triangle, 0) => (regular(3, 112.0), 180.0),
        (Outline::Triangle, 1) => (corners(&[(-80.0, 66.0), (80.0, 66.0), (-80.0, -70.0)]), 14.0),
        (Outline::Triangle, _) => (corners(&[(-34.0, -92.0), (72.0, 60.0), (-60.0, 40.0)]), 160.0),
        (Outline::Square, 0) => (rectangle(180.0, 180.0), 0.0),
        (Outline::Square, 1) => (rectangle(96.0, 96.0), 24.0),
        (Outline::Square, _) => (rectangle(124.0, 124.0), 45.0),
        (Outline::Rectangle, 0) => (rectangle(200.0, 112.0), 0.0),
        (Outline::Rectangle, 1) => (rectangle(56.0, 176.0), 28.0),
        (Outline::Rectangle, _) => (rectangle(150.0, 66.0), 115.0),
        (Outline::Rhombus, 0) => (rhombus(68.0, 108.0), 0.0),
        (Outline::Rhombus, 1) => (rhombus(40.0, 74.0), 58.0),
        (Outline::Rhombus, _) => (rhombus(88.0, 52.0), 12.0),
        (Outline::Trapezoid, 0) => {
            (corners(&[(-50.0, -62.0), (50.0, -62.0), (104.0, 62.0), (-104.0, 62.0)]), 0.0)
        }
        (Outline::Trapezoid, 1) => {
            (corners(&[(-60.0, -48.0), (14.0, -48.0), (70.0, 48.0), (-60.0, 48.0)]), 22.0)
        }
        (Outline::Trapezoid, _) => {
            (corners(&[(-30.0, -50.0), (48.0, -50.0), (66.0, 50.0), (-74.0, 50.0)]), 180.0)
        }
        (Outline::Pentagon, 0) => (regular(5, 106.0), 0.0),
        (Outline::Pentagon, 1) => (
            corners(&[(0.0, -84.0), (58.0, -30.0), (58.0, 66.0), (-58.0, 66.0), (-58.0, -30.0)]),
            16.0,
        ),
        (Outline::Pentagon, _) => (regular(5, 70.0), 40.0),
        (Outline::Hexagon, 0) => (regular(6, 106.0), 0.0),
        (Outline::Hexagon, 1) => (
            corners(&[
                (-30.0, -66.0),
                (46.0, -62.0),
                (84.0, 6.0),
                (40.0, 60.0),
                (-42.0, 64.0),
                (-84.0, -4.0),
            ]),
            10.0,
        ),
        (Outline::Hexagon, _) => (regular(6, 68.0), 18.0),
        (Outline::Octagon, 0) => (regular(8, 108.0), 0.0),
        (Outline::Octagon, 1) => (
            corners(&[
                (-56.0, -46.0),
                (56.0, -46.0),
                (86.0, -18.0),
                (86.0, 18.0),
                (56.0, 46.0),
                (-56.0, 46.0),
                (-86.0, 18.0),
                (-86.0, -18.0),
            ]),
            -24.0,
        ),
        (Outline::Octagon, _) => (regular(8, 66.0), 12.0),
    }
}

/// The shape alone, full and outlined by turns.
pub(super) fn draw(to: &mut Drawing, outline: Outline, look: u8) -> Option<()> {
    let paint = match look {
        0 => Paint { fill: WOOD, stroke: INK, width: 5.0 },
        1 => Paint { fill: PAPER, stroke: LEAF, width: 7.0 },
        _ if look < LOOKS => Paint { fill: BERRY, stroke: INK, width: 3.0 },
        _ => return None,
    };
    let (form, turn) = form(outline, look);
    put(to, &form, (CENTRE_X, CENTRE_Y), turn, paint);
    Some(())
}

/// Draws a form around a place, turned by degrees; corners are centred by their box.
fn put(to: &mut Drawing, form: &Form, (x, y): Point, turn: f64, paint: Paint) {
    let (sin, cos) = turn.to_radians().sin_cos();
    let turned = |(px, py): Point| (px * cos - py * sin, px * sin + py * cos);
    let text = |(px, py): Point| format!("{} {}", number(px), number(py));
    let path = match form {
        Form::Curve(across, up) if across == up => {
            return to.circle("shape", (x, y), *across, paint);
        }
        Form::Curve(across, up) => {
            let (dx, dy) = turned((*across, 0.0));
            let (one, other) = (text((x - dx, y - dy)), text((x + dx, y + dy)));
            let arc = format!("A{} {} {} 0 1", number(*across), number(*up), number(turn));
            format!("M{one}{arc} {other}{arc} {one}Z")
        }
        Form::Half(radius) => {
            let ((dx, dy), (mx, my)) = (turned((*radius, 0.0)), turned((0.0, radius / 2.0)));
            let (x, y) = (x + mx, y + my);
            let r = number(*radius);
            format!("M{}A{r} {r} 0 0 1 {}Z", text((x - dx, y - dy)), text((x + dx, y + dy)))
        }
        Form::Corners(corners) => {
            let corners: Vec<Point> = corners.iter().copied().map(turned).collect();
            let middle = |part: fn(&Point) -> f64| {
                let (low, high) = corners
                    .iter()
                    .map(part)
                    .fold((f64::MAX, f64::MIN), |ends, v| (ends.0.min(v), ends.1.max(v)));
                (low + high) / 2.0
            };
            let (mx, my) = (middle(|point| point.0), middle(|point| point.1));
            let points: Vec<String> =
                corners.iter().map(|(px, py)| text((x + px - mx, y + py - my))).collect();
            format!("M{}Z", points.join("L"))
        }
    };
    to.path("shape", &path, paint);
}

/// An everyday thing whose outline is the shape. Only the outline carries the mark.
pub(super) fn thing(to: &mut Drawing, outline: Outline) {
    let centre = (CENTRE_X, CENTRE_Y);
    let (x, y) = centre;
    let ink = |width| Paint::line(INK, width);
    let full = |fill| Paint { fill, stroke: INK, width: 4.0 };
    let corners = |points: &[Point]| Form::Corners(points.to_vec());
    match outline {
        // A button.
        Outline::Circle => {
            put(to, &Form::Curve(86.0, 86.0), centre, 0.0, full(COPPER));
            to.circle("", centre, 66.0, ink(2.5));
            for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)] {
                to.circle("", (x + dx * 18.0, y + dy * 18.0), 8.0, full(PAPER));
            }
        }
        // A slice of melon: the rind is the shape, flesh and seeds lie in it.
        Outline::HalfCircle => {
            put(to, &Form::Half(102.0), centre, 180.0, full(LEAF));
            to.path("", "M43 112A82 82 0 0 0 207 112Z", Paint::fill(BERRY));
            to.path("", "M35 112A90 90 0 0 0 215 112", Paint::line(PAPER, 5.0));
            let seeds =
                "M92 134L90 142M125 132L125 140M158 134L160 142M108 162L107 170M142 162L143 170";
            to.path("", seeds, Paint::line(PAPER, 6.0));
        }
        // A looking-glass with a handle.
        Outline::Oval => {
            to.line("", (x, y + 60.0), (x, y + 124.0), Paint::line(INK, 24.0));
            to.line("", (x, y + 60.0), (x, y + 124.0), Paint::line(WOOD, 16.0));
            put(to, &Form::Curve(66.0, 88.0), (x, y - 34.0), 0.0, full(SILVER));
            to.path("", "M90 122A50 66 0 0 1 112 82M98 146L136 82", Paint::line(PAPER, 5.0));
        }
        // A pennant on its pole.
        Outline::Triangle => {
            to.line("", (44.0, 50.0), (44.0, 284.0), Paint::line(INK, 12.0));
            to.line("", (44.0, 50.0), (44.0, 284.0), Paint::line(WOOD, 6.0));
            let flag = corners(&[(-84.0, -56.0), (84.0, 0.0), (-84.0, 56.0)]);
            put(to, &flag, (136.0, 116.0), 0.0, full(BERRY));
        }
        // A window of four panes.
        Outline::Square => {
            put(
                to,
                &corners(&[(-90.0, -90.0), (90.0, -90.0), (90.0, 90.0), (-90.0, 90.0)]),
                centre,
                0.0,
                full(WOOD),
            );
            for (dx, dy) in [(-76.0, -76.0), (6.0, -76.0), (-76.0, 6.0), (6.0, 6.0)] {
                to.rect(
                    "",
                    (x + dx, y + dy),
                    (70.0, 70.0),
                    0.0,
                    Paint { fill: SILVER, stroke: INK, width: 2.5 },
                );
            }
        }
        // A door.
        Outline::Rectangle => {
            put(
                to,
                &corners(&[(-62.0, -116.0), (62.0, -116.0), (62.0, 116.0), (-62.0, 116.0)]),
                centre,
                0.0,
                full(WOOD),
            );
            for dx in [-44.0, 6.0] {
                for (dy, height) in [(-94.0, 80.0), (10.0, 84.0)] {
                    to.rect("", (x + dx, y + dy), (38.0, height), 4.0, ink(2.5));
                }
            }
            to.circle("", (x + 52.0, y), 5.0, Paint::fill(INK));
        }
        // A kite.
        Outline::Rhombus => {
            to.path("", "M125 236A40 30 0 0 0 165 262A30 24 0 0 1 196 284", ink(3.0));
            put(
                to,
                &corners(&[(0.0, -98.0), (72.0, 0.0), (0.0, 98.0), (-72.0, 0.0)]),
                (x, 136.0),
                0.0,
                full(BERRY),
            );
            to.path("", "M125 38L125 234M53 136L197 136", ink(3.0));
            for (bow_x, bow_y) in [(152.0, 260.0), (184.0, 270.0)] {
                let bow = format!(
                    "M{bow_x} {bow_y}L{} {}L{} {}Z",
                    bow_x - 10.0,
                    bow_y - 12.0,
                    bow_x + 8.0,
                    bow_y - 14.0
                );
                to.path("", &bow, full(LEAF));
            }
        }
        // A bucket.
        Outline::Trapezoid => {
            to.path("", "M45 96A84 76 0 0 1 205 96", Paint::line(SOFT_INK, 6.0));
            put(
                to,
                &corners(&[(-86.0, -84.0), (86.0, -84.0), (58.0, 84.0), (-58.0, 84.0)]),
                (x, 184.0),
                0.0,
                full(SILVER),
            );
            to.path("", "M45 136L205 136M58 210L192 210", ink(2.5));
        }
        // A nesting box.
        Outline::Pentagon => {
            let house = corners(&[
                (0.0, -104.0),
                (78.0, -34.0),
                (78.0, 92.0),
                (-78.0, 92.0),
                (-78.0, -34.0),
            ]);
            put(to, &house, centre, 0.0, full(WOOD));
            to.circle("", (x, y - 14.0), 26.0, Paint::fill(INK));
            to.line("", (x, y + 30.0), (x, y + 44.0), ink(8.0));
        }
        // A cell of honeycomb among its neighbours.
        Outline::Hexagon => {
            for turn in 0..6 {
                let (sin, cos) = (f64::from(turn) * 60.0_f64.to_radians()).sin_cos();
                let (cx, cy) = (x + 66.0 * sin, y + 66.0 * cos);
                let ends: Vec<String> = (0..=6)
                    .map(|corner| {
                        let (sin, cos) = (f64::from(corner) * 60.0_f64.to_radians()
                            + 30.0_f64.to_radians())
                        .sin_cos();
                        format!("{} {}", number(cx + 37.0 * sin), number(cy + 37.0 * cos))
                    })
                    .collect();
                to.path(
                    "",
                    &format!("M{}", ends.join("L")),
                    Paint { fill: GLOVE, stroke: SOFT_INK, width: 2.0 },
                );
            }
            put(
                to,
                &regular(6, 38.0),
                centre,
                0.0,
                Paint { fill: COPPER, stroke: INK, width: 5.0 },
            );
            to.path("", "M108 152A20 20 0 0 1 118 142", Paint::line(PAPER, 5.0));
        }
        // A road sign on its post.
        Outline::Octagon => {
            to.line("", (x, 190.0), (x, 290.0), Paint::line(INK, 16.0));
            to.line("", (x, 190.0), (x, 290.0), Paint::line(SILVER, 9.0));
            put(to, &regular(8, 96.0), (x, 126.0), 0.0, full(BERRY));
            to.line("", (x - 46.0, 126.0), (x + 46.0, 126.0), Paint::line(PAPER, 22.0));
        }
    }
}
