//! Two numbers in one picture: a domino, a number bond, a ten frame with open counters, and the
//! path whose middle stone is empty.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, INK, LEAF, PAPER, SOFT_INK, WOOD};
use super::{dots, print, ten_frame};
use crate::deck::svg::{Drawing, Paint};

/// Most dots on one half of a domino.
pub(super) const HALF_MAX: u16 = 9;

/// A domino stood on end: two tiles of dots, unlike in colour for the eye and apart for everyone.
pub(super) fn domino(to: &mut Drawing, (upper, lower): (u16, u16)) {
    dots::square(to, CENTRE_Y - 70.0, 132.0, upper, LEAF);
    dots::square(to, CENTRE_Y + 70.0, 132.0, lower, BERRY);
}

/// The whole above, joined to its two parts below.
pub(super) fn bond(to: &mut Drawing, whole: Option<u16>, parts: (u16, u16)) -> Option<()> {
    let (top, left, right) = ((CENTRE_X, 86.0), (70.0, 238.0), (180.0, 238.0));
    for part in [left, right] {
        to.line("", top, part, Paint::line(SOFT_INK, 5.0));
    }
    let ring = |fill| Paint { fill, stroke: INK, width: 4.0 };
    to.circle("ring", top, 56.0, ring(PAPER));
    to.circle("ring", left, 46.0, ring(WOOD));
    to.circle("ring", right, 46.0, ring(WOOD));
    if let Some(whole) = whole {
        print::label(to, &whole.to_string(), top, 54.0, INK)?;
    }
    print::label(to, &parts.0.to_string(), left, 46.0, INK)?;
    print::label(to, &parts.1.to_string(), right, 46.0, INK)
}

/// A ten frame with the first number of full counters, the second of open ones.
pub(super) fn frame(to: &mut Drawing, (full, open): (u16, u16)) {
    ten_frame::cells(to, 1, |place, centre| {
        if place < full {
            Some(("counter", centre, Paint::fill(BERRY)))
        } else if place < full + open {
            Some(("open", centre, Paint { fill: PAPER, stroke: LEAF, width: 4.5 }))
        } else {
            None
        }
    });
}

/// Three stones of a number path; the middle one is the card's number and empty.
pub(super) fn path(to: &mut Drawing, value: u16) -> Option<()> {
    const STONE: (f64, f64) = (68.0, 84.0);
    // The path goes on, but it must not look cut off by the border.
    to.line("", (13.0, CENTRE_Y), (237.0, CENTRE_Y), Paint::line(SOFT_INK, 5.0));
    for (place, neighbour) in [(-1.0, value.checked_sub(1)), (0.0, None), (1.0, Some(value + 1))] {
        let centre = CENTRE_X + place * (STONE.0 + 6.0);
        let fill = if place == 0.0 { PAPER } else { WOOD };
        let corner = (centre - STONE.0 / 2.0, CENTRE_Y - STONE.1 / 2.0);
        to.rect("stone", corner, STONE, 18.0, Paint { fill, stroke: INK, width: 3.5 });
        match (neighbour, place == 0.0) {
            (Some(number), _) => {
                let text = number.to_string();
                let height = if text.len() > 2 { 25.0 } else { 38.0 };
                print::label(to, &text, (centre, CENTRE_Y), height, INK)?;
            }
            (None, true) => {}
            (None, false) => return None,
        }
    }
    Some(())
}
