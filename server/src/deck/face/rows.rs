//! Equal rows and equal groups of dots, up to five by five (2.OA.C.4).

use super::dots;
use super::paper::{CENTRE_X, CENTRE_Y, LEAF, PAPER, SOFT_INK};
use crate::deck::svg::{Drawing, Paint};

/// Most rows, and most in a row.
pub(super) const ROWS_MAX: u16 = 5;

pub(super) fn array(to: &mut Drawing, rows: u16, each: u16) {
    const STEP: f64 = 44.0;
    let first = |count: u16| f64::from(count - 1) * STEP / 2.0;
    for row in 0..rows {
        for place in 0..each {
            let x = CENTRE_X - first(each) + f64::from(place) * STEP;
            let y = CENTRE_Y - first(rows) + f64::from(row) * STEP;
            to.circle("dot", (x, y), 14.0, Paint::fill(LEAF));
        }
    }
}

/// Where rings stand, as steps from the centre; for one to five of them.
const PLACES: [&[(f64, f64)]; 5] = [
    &[(0.0, 0.0)],
    &[(0.0, -1.0), (0.0, 1.0)],
    &[(0.0, -1.0), (-1.0, 1.0), (1.0, 1.0)],
    &[(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)],
    &[(-1.0, -1.7), (1.0, -1.7), (0.0, 0.0), (-1.0, 1.7), (1.0, 1.7)],
];

pub(super) fn groups(to: &mut Drawing, rows: u16, each: u16) {
    let places = PLACES[usize::from(rows - 1).min(PLACES.len() - 1)];
    for (x, y) in places {
        let centre = (CENTRE_X + x * 54.0, CENTRE_Y + y * 54.0);
        to.circle("ring", centre, 48.0, Paint { fill: PAPER, stroke: SOFT_INK, width: 3.0 });
        dots::pattern(to, centre, 78.0, each, LEAF);
    }
}
