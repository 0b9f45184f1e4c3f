//! Digits, as large as the card allows.

use super::paper::{CENTRE_X, CENTRE_Y, INK, WIDTH};
use crate::deck::alphabet::{BASE, Line, TOP};
use crate::deck::svg::{Drawing, Paint};

/// Pencil width in grid units.
const PEN: f64 = 13.0;
/// One digit is 190 units tall; two and three digits are as tall as their width allows.
const SCALE_MAX: f64 = 1.9;

pub(super) fn draw(to: &mut Drawing, value: u16) -> Option<()> {
    let line = Line::set(&value.to_string())?;
    let scale = line.scale_to_fit(WIDTH - 10.0, PEN, SCALE_MAX);
    let top = CENTRE_Y - (BASE - TOP) * scale / 2.0;
    line.draw(to, CENTRE_X, top, scale, Paint::line(INK, PEN));
    Some(())
}
