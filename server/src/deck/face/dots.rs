//! Dots that can be seen at a glance: dice patterns to 6, the domino pattern to 9, two fives for
//! 10, rows of five from 11 to 20 with a little more room behind the
//! first ten. Always arranged, never scattered, so K.CC.B.5 is kept.

use super::paper::{CENTRE_X, CENTRE_Y, LEAF, SOFT_INK};
use crate::deck::svg::{Drawing, Paint};

const TILE: Paint = Paint::line(SOFT_INK, 2.5);

pub(super) fn draw(to: &mut Drawing, value: u16) {
    match value {
        0..=9 => square(to, CENTRE_Y, 190.0, value, LEAF),
        10 => two_fives(to),
        _ => rows_of_five(to, value),
    }
}

/// Places of a 3 by 3 grid in the order in which dice and dominoes fill them, as steps from the
/// centre: opposite corners, the other corners, the middles of the sides, then top and bottom.
const PAIRS: [(f64, f64); 4] = [(1.0, -1.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)];

/// A tile with a dice or domino pattern of 0 to 9 dots.
pub(super) fn square(to: &mut Drawing, centre_y: f64, side: f64, value: u16, colour: &'static str) {
    let corner = (CENTRE_X - side / 2.0, centre_y - side / 2.0);
    to.rect("tile", corner, (side, side), side / 8.0, TILE);
    pattern(to, (CENTRE_X, centre_y), side, value, colour);
}

/// The dots of a dice or domino pattern: one in the centre if odd, then pairs.
pub(super) fn pattern(
    to: &mut Drawing,
    (centre_x, centre_y): (f64, f64),
    side: f64,
    value: u16,
    colour: &'static str,
) {
    let (step, radius) = (side * 0.29, side * 0.096);
    if value % 2 == 1 {
        to.circle("dot", (centre_x, centre_y), radius, Paint::fill(colour));
    }
    for (x, y) in PAIRS.iter().take(usize::from(value / 2)) {
        for side in [-1.0, 1.0] {
            let centre = (centre_x + side * x * step, centre_y + side * y * step);
            to.circle("dot", centre, radius, Paint::fill(colour));
        }
    }
}

/// Ten as a tile of five over a tile of five.
fn two_fives(to: &mut Drawing) {
    for centre_y in [CENTRE_Y - 70.0, CENTRE_Y + 70.0] {
        square(to, centre_y, 132.0, 5, LEAF);
    }
}

/// Rows of five, the last one as far as it goes, with a wider gap behind ten.
fn rows_of_five(to: &mut Drawing, value: u16) {
    let (across, down, radius, ten_gap) = (40.0, 46.0, 13.2, 16.0);
    let rows = f64::from(value.div_ceil(5));
    let (width, height) = (212.0, rows * down + ten_gap + 14.0);
    let corner = (CENTRE_X - width / 2.0, CENTRE_Y - height / 2.0);
    to.rect("tile", corner, (width, height), 20.0, TILE);
    for dot in 0..value {
        let x = CENTRE_X + (f64::from(dot % 5) - 2.0) * across;
        let gap = if dot < 10 { 0.0 } else { ten_gap };
        let y = corner.1 + 7.0 + (f64::from(dot / 5) + 0.5) * down + gap;
        to.circle("dot", (x, y), radius, Paint::fill(LEAF));
    }
}
