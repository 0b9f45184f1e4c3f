//! Claps: for each part of a word two garden gloves that meet, with three short strokes of sound.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, GLOVE, INK, LEAF};
use crate::deck::svg::{Drawing, Paint};

/// Most claps: no word for these ages has more parts.
const CLAPS_MAX: u16 = 4;
/// From one pair of hands to the next.
const PITCH: (f64, f64) = (104.0, 128.0);

pub(super) fn draw(to: &mut Drawing, claps: u16) -> Option<()> {
    if !(1..=CLAPS_MAX).contains(&claps) {
        return None;
    }
    // Two in a row, like the beats of a line.
    let rows = claps.div_ceil(2);
    for clap in 0..claps {
        let (row, column) = (clap / 2, clap % 2);
        let here = (claps - row * 2).min(2);
        let x = CENTRE_X + (f64::from(column) - f64::from(here - 1) / 2.0) * PITCH.0;
        let y = CENTRE_Y + (f64::from(row) - f64::from(rows - 1) / 2.0) * PITCH.1;
        pair(to, (x, y + 8.0));
    }
    Some(())
}

/// The left hand carries the mark, one for each clap.
fn pair(to: &mut Drawing, (x, y): (f64, f64)) {
    for (side, part) in [(1.0, ""), (-1.0, "clap")] {
        let at = |dx: f64, dy: f64| (x + side * dx, y + dy);
        to.line("", at(25.0, 36.0), at(8.0, -24.0), Paint::line(INK, 28.0));
        to.line("", at(14.0, 20.0), at(2.0, 6.0), Paint::line(INK, 17.0));
        to.line(part, at(25.0, 36.0), at(8.0, -24.0), Paint::line(GLOVE, 22.0));
        to.line("", at(14.0, 20.0), at(2.0, 6.0), Paint::line(GLOVE, 11.0));
        to.line("", at(26.0, 42.0), at(24.0, 35.0), Paint::line(LEAF, 24.0));
    }
    for (dx, from, end) in [(0.0, -46.0, -58.0), (-18.0, -42.0, -51.0), (18.0, -42.0, -51.0)] {
        to.line("", (x + dx, y + from), (x + dx * 1.5, y + end), Paint::line(BERRY, 5.0));
    }
}
