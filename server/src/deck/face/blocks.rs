//! Base-ten blocks for 1 to 999: squares of a hundred, rods of ten and single cubes, strictly in
//! proportion and with every cell outlined. Hundreds stand above, then rods and cubes from left to
//! right; a place of zero shows nothing.

use super::paper::{CENTRE_X, CENTRE_Y, INK, WIDTH, WOOD};
use crate::deck::svg::{Drawing, Paint, number};

const HEIGHT: f64 = 272.0;
/// Squares of a hundred on one row.
const ROW_SQUARES: u16 = 3;
/// Cubes in one column.
const COLUMN: u16 = 5;
/// A cube is never larger than this, whatever room there is.
const CUBE_MAX: f64 = 21.0;
/// Gaps as shares of a cube's side.
const GAP: f64 = 0.45;
const PLACE_GAP: f64 = 1.2;

pub(super) fn draw(to: &mut Drawing, value: u16) {
    let (hundreds, tens, ones) = (value / 100, value / 10 % 10, value % 10);
    let (across, up) = size(hundreds, tens, ones);
    let cube = (WIDTH / across).min(HEIGHT / up).min(CUBE_MAX);
    let mut top = CENTRE_Y - up * cube / 2.0;
    for row in 0..hundreds.div_ceil(ROW_SQUARES) {
        let here = (hundreds - row * ROW_SQUARES).min(ROW_SQUARES);
        let mut left = CENTRE_X - row_width(here, 10.0) * cube / 2.0;
        for _ in 0..here {
            block(to, (left, top), (10, 10), cube);
            left += (10.0 + GAP) * cube;
        }
        top += (10.0 + PLACE_GAP) * cube;
    }
    let mut left = CENTRE_X - lower_width(tens, ones) * cube / 2.0;
    let floor = top + 10.0 * cube;
    for _ in 0..tens {
        block(to, (left, top), (1, 10), cube);
        left += (1.0 + GAP) * cube;
    }
    if tens > 0 {
        left += (PLACE_GAP - GAP) * cube;
    }
    // Cubes alone stand in the middle of their height, beside rods on the rods' floor.
    let floor = if tens == 0 { floor - (10.0 - cubes_height(ones)) * cube } else { floor };
    for one in 0..ones {
        let x = left + f64::from(one / COLUMN) * (1.0 + GAP) * cube;
        let y = floor - cube - f64::from(one % COLUMN) * (1.0 + GAP) * cube;
        block(to, (x, y), (1, 1), cube);
    }
}

fn row_width(count: u16, each: f64) -> f64 {
    f64::from(count) * each + f64::from(count.saturating_sub(1)) * GAP
}

fn cubes_height(ones: u16) -> f64 {
    row_width(ones.min(COLUMN), 1.0)
}

fn lower_width(tens: u16, ones: u16) -> f64 {
    let between = if tens > 0 && ones > 0 { PLACE_GAP } else { 0.0 };
    row_width(tens, 1.0) + between + row_width(ones.div_ceil(COLUMN), 1.0)
}

/// Width and height of the whole picture in cubes.
fn size(hundreds: u16, tens: u16, ones: u16) -> (f64, f64) {
    let rows = f64::from(hundreds.div_ceil(ROW_SQUARES));
    let lower = match (tens, ones) {
        (0, 0) => 0.0,
        (0, _) => cubes_height(ones),
        _ => 10.0,
    };
    let gaps = if lower > 0.0 { rows } else { rows - 1.0 };
    let up = rows * 10.0 + gaps.max(0.0) * PLACE_GAP + lower;
    (row_width(hundreds.min(ROW_SQUARES), 10.0).max(lower_width(tens, ones)), up)
}

/// One block with the lines between its cells.
fn block(to: &mut Drawing, at: (f64, f64), (across, up): (u8, u8), cube: f64) {
    let pen = (cube * 0.14).clamp(0.9, 2.5);
    let (width, height) = (f64::from(across) * cube, f64::from(up) * cube);
    let paint = Paint { fill: WOOD, stroke: INK, width: pen };
    to.rect("block", at, (width, height), 0.0, paint);
    let mut lines = String::new();
    let mut line = |from: (f64, f64), end: (f64, f64)| {
        let point = |(x, y): (f64, f64)| format!("{} {}", number(at.0 + x), number(at.1 + y));
        lines.push_str(&format!("M{}L{}", point(from), point(end)));
    };
    for cell in 1..across {
        line((f64::from(cell) * cube, 0.0), (f64::from(cell) * cube, height));
    }
    for cell in 1..up {
        line((0.0, f64::from(cell) * cube), (width, f64::from(cell) * cube));
    }
    if !lines.is_empty() {
        to.path("cuts", &lines, Paint::line(INK, pen * 0.8));
    }
}
