//! Raised fingers in garden gloves, which have no skin colour. The order of the United States:
//! index finger first, thumb last, five is one open hand and six to ten a full hand and some more.
//! Other orders are as right; this one is only the default that is drawn.

use super::paper::{CENTRE_X, CENTRE_Y, GLOVE, INK, LEAF, PAPER};
use crate::deck::svg::{Drawing, Paint};

/// A finger by the places of its root and tip on the hand's own grid: x 0 to 88 is the palm with
/// the thumb on the right, y 0 the knuckles, y grows downwards.
struct Finger {
    root: (f64, f64),
    raised: (f64, f64),
    folded: ((f64, f64), (f64, f64)),
}

/// In the order in which they are raised.
const FINGERS: [Finger; 5] = [
    finger(78.5, (86.0, -56.0)),
    finger(55.5, (58.0, -68.0)),
    finger(32.5, (30.0, -62.0)),
    finger(9.5, (1.0, -42.0)),
    Finger { root: (76.0, 60.0), raised: (110.0, 16.0), folded: ((78.5, 56.0), (44.0, 45.0)) },
];

const fn finger(x: f64, raised: (f64, f64)) -> Finger {
    Finger { root: (x, 30.0), raised, folded: ((x, 8.0), (x, 27.0)) }
}

/// Width of a finger without its outline.
const FINGER_WIDTH: f64 = 19.0;
const OUTLINE: f64 = 3.5;
/// Below the knuckles, so that folded fingers stand out as bumps.
const PALM_TOP: f64 = 6.0;

/// Where a hand stands: the card's place of the palm's centre line at the knuckles.
struct Place {
    x: f64,
    y: f64,
    scale: f64,
    /// The thumb is on the left.
    mirrored: bool,
}

impl Place {
    fn point(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let side = if self.mirrored { 44.0 - x } else { x - 44.0 };
        (self.x + side * self.scale, self.y + y * self.scale)
    }
}

pub(super) fn draw(to: &mut Drawing, value: u16) {
    if value <= 5 {
        let lift = if value == 0 { 30.0 } else { 0.0 };
        let y = CENTRE_Y - 22.0 - lift;
        hand(to, &Place { x: CENTRE_X - 8.0, y, scale: 1.28, mirrored: false }, value);
        return;
    }
    // Thumbs meet in the middle, as on one's own two hands.
    let (y, scale) = (CENTRE_Y - 10.0, 0.84);
    hand(to, &Place { x: CENTRE_X - 66.0, y, scale, mirrored: false }, 5);
    hand(to, &Place { x: CENTRE_X + 66.0, y, scale, mirrored: true }, value - 5);
}

fn hand(to: &mut Drawing, place: &Place, raised: u16) {
    let (up, down) = FINGERS.split_at(usize::from(raised));
    let width = FINGER_WIDTH * place.scale;
    let outline = OUTLINE * place.scale;
    let ink = Paint::line(INK, width + 2.0 * outline);
    let glove = Paint::line(GLOVE, width);
    cuff(to, place, outline);
    // First all outlines, then all fills, so that raised fingers grow out of the palm.
    for finger in up {
        to.line("finger", place.point(finger.root), place.point(finger.raised), ink);
    }
    palm(to, place, "palm", Paint { fill: GLOVE, stroke: INK, width: 2.0 * outline });
    for finger in up {
        to.line("", place.point(finger.root), place.point(finger.raised), glove);
    }
    palm(to, place, "", Paint::fill(GLOVE));
    for finger in down {
        let (from, tip) = (place.point(finger.folded.0), place.point(finger.folded.1));
        to.line("folded", from, tip, ink);
        to.line("", from, tip, glove);
    }
}

fn palm(to: &mut Drawing, place: &Place, part: &str, paint: Paint) {
    let corner = (place.x - 44.0 * place.scale, place.y + PALM_TOP * place.scale);
    let size = (88.0 * place.scale, (88.0 - PALM_TOP) * place.scale);
    to.rect(part, corner, size, 24.0 * place.scale, paint);
}

/// The knitted cuff of the glove, with two light stripes.
fn cuff(to: &mut Drawing, place: &Place, outline: f64) {
    let paint = Paint { fill: LEAF, stroke: INK, width: outline };
    let corner = (place.x - 34.0 * place.scale, place.y + 78.0 * place.scale);
    to.rect("", corner, (68.0 * place.scale, 40.0 * place.scale), 9.0 * place.scale, paint);
    for y in [100.0, 108.0] {
        let (from, to_end) = (place.point((14.0, y)), place.point((74.0, y)));
        to.line("", from, to_end, Paint::line(PAPER, 1.6 * place.scale));
    }
}
