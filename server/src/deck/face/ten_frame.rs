//! Ten frames, filled five-wise: the top row from left to right, then the bottom row. Empty cells
//! are always drawn, and from 11 on a second frame stands below a full first one.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, INK, PAPER};
use crate::deck::svg::{Drawing, Paint};

/// A cell is a little taller than wide, for larger counters on a narrow card.
const CELL: (f64, f64) = (43.0, 50.0);
const COUNTER_RADIUS: f64 = 16.5;
const FRAME_GAP: f64 = 34.0;
const OUTLINE: f64 = 3.0;
const COLUMNS: u16 = 5;
const FRAME_CELLS: u16 = 10;

pub(super) fn draw(to: &mut Drawing, value: u16) {
    let frames = if value > FRAME_CELLS { 2 } else { 1 };
    cells(to, frames, |place, centre| {
        (place < value).then_some(("counter", centre, Paint::fill(BERRY)))
    });
}

/// A counter: its mark, centre and paint.
type Counter = (&'static str, (f64, f64), Paint);

/// Draws the cells of the frames, each with the counter that `counter` puts there.
pub(super) fn cells(
    to: &mut Drawing,
    frames: u16,
    counter: impl Fn(u16, (f64, f64)) -> Option<Counter>,
) {
    let frame_height = 2.0 * CELL.1;
    let height = f64::from(frames) * frame_height + f64::from(frames - 1) * FRAME_GAP;
    let left = CENTRE_X - f64::from(COLUMNS) * CELL.0 / 2.0;
    let cell = Paint { fill: PAPER, stroke: INK, width: OUTLINE };
    for frame in 0..frames {
        let top = CENTRE_Y - height / 2.0 + f64::from(frame) * (frame_height + FRAME_GAP);
        for place in 0..FRAME_CELLS {
            let x = left + f64::from(place % COLUMNS) * CELL.0;
            let y = top + f64::from(place / COLUMNS) * CELL.1;
            to.rect("cell", (x, y), CELL, 0.0, cell);
            let centre = (x + CELL.0 / 2.0, y + CELL.1 / 2.0);
            if let Some((part, centre, paint)) = counter(frame * FRAME_CELLS + place, centre) {
                to.circle(part, centre, COUNTER_RADIUS, paint);
            }
        }
    }
}
