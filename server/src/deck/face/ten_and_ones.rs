//! Ten and ones for 11 to 19: a rod of ten outlined cells beside single cubes of the same size, so
//! that ten cubes laid end to end would be exactly the rod. Cubes stand in columns of five.

use super::paper::{CENTRE_X, CENTRE_Y, INK, WOOD};
use crate::deck::svg::{Drawing, Paint};

const CUBE: f64 = 27.0;
const CUBE_GAP: f64 = 12.0;
const ROD_GAP: f64 = 38.0;
const ROD_CELLS: u16 = 10;
const COLUMN: u16 = 5;

pub(super) fn draw(to: &mut Drawing, value: u16) {
    let ones = value - ROD_CELLS;
    let columns = f64::from(ones.div_ceil(COLUMN));
    let width = CUBE + ROD_GAP + columns * CUBE + (columns - 1.0) * CUBE_GAP;
    let left = CENTRE_X - width / 2.0;
    let floor = CENTRE_Y + f64::from(ROD_CELLS) * CUBE / 2.0;
    let paint = Paint { fill: WOOD, stroke: INK, width: 2.5 };
    for cell in 0..ROD_CELLS {
        let y = floor - f64::from(cell + 1) * CUBE;
        to.rect("rod-cell", (left, y), (CUBE, CUBE), 0.0, paint);
    }
    for cube in 0..ones {
        let x = left + CUBE + ROD_GAP + f64::from(cube / COLUMN) * (CUBE + CUBE_GAP);
        let y = floor - CUBE - f64::from(cube % COLUMN) * (CUBE + CUBE_GAP);
        to.rect("cube", (x, y), (CUBE, CUBE), 0.0, paint);
    }
}
