//! Digits, as large as the card allows.

use super::paper::{CENTRE_X, CENTRE_Y, INK, WIDTH};
use crate::deck::alphabet::{BASE, Hand, Line, TOP};
use crate::deck::svg::{Drawing, Paint};

/// Pencil width in grid units.
const PEN: f64 = 11.5;
/// Scales for one, two and three digits. Numerals of as many digits are equally tall, whatever the
/// digits, and the widest of them fits the card.
const SCALES: [f64; 3] = [1.84, 1.46, 0.94];

pub(super) fn draw(to: &mut Drawing, value: u16) -> Option<()> {
    draw_lifted(to, value, 0.0)
}

/// The same, so many units of the card higher.
pub(super) fn draw_lifted(to: &mut Drawing, value: u16, lift: f64) -> Option<()> {
    let digits = value.to_string();
    let line = Line::set(Hand::Manuscript, &digits, 1.0)?;
    let scale = line.scale_to_fit(WIDTH, PEN, *SCALES.get(digits.len() - 1)?);
    let top = CENTRE_Y - (BASE - TOP) * scale / 2.0 - lift;
    line.draw(to, CENTRE_X, top, scale, Paint::line(INK, PEN));
    Some(())
}
