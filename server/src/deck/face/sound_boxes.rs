//! A word with one box for each of its sounds. Only words of as many letters as sounds are shown so.

use super::paper::{CENTRE_X, CENTRE_Y, INK, PAPER};
use crate::deck::alphabet::{BASE, Hand, Line, TOP};
use crate::deck::svg::{Drawing, Paint};

const BOX: (f64, f64) = (70.0, 132.0);
const SCALE: f64 = 0.68;

pub(super) fn draw(to: &mut Drawing, word: &str) -> Option<()> {
    let count = word.chars().count() as f64;
    for (place, letter) in word.chars().enumerate() {
        let left = CENTRE_X - count * BOX.0 / 2.0 + place as f64 * BOX.0;
        let corner = (left, CENTRE_Y - BOX.1 / 2.0);
        to.rect("box", corner, BOX, 0.0, Paint { fill: PAPER, stroke: INK, width: 3.5 });
        let line = Line::set(Hand::Manuscript, &letter.to_string(), 1.0)?;
        // Room below the base line for g, j, p and y.
        let top = CENTRE_Y - BOX.1 / 2.0 + 10.0;
        line.draw(to, left + BOX.0 / 2.0, top, SCALE, Paint::line(INK, 11.0));
    }
    debug_assert!((BASE - TOP) * SCALE < BOX.1);
    Some(())
}
