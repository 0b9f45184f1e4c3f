//! A number word in small letters on writing lines, as a child writes it.

use super::paper::{CENTRE_X, CENTRE_Y, INK, LINE, WIDTH};
use crate::deck::alphabet::{BASE, DESCENDER, Line, TOP, writing_lines};
use crate::deck::number_word::number_word;
use crate::deck::svg::{Drawing, Paint};

/// Pencil width in grid units.
const PEN: f64 = 11.0;
/// Short words are not blown up beyond this: letters of a deck should look alike.
const SCALE_MAX: f64 = 0.9;
/// A little closer than running text, so that `seventeen` can be larger.
const SPACING: f64 = 0.8;
/// Length of the writing lines on the card.
const LINES: f64 = 222.0;
/// Room from one line's descenders to the next line's top, in grid units.
const LINE_GAP: f64 = 20.0;

pub(super) fn draw(to: &mut Drawing, value: u16) -> Option<()> {
    let words = number_word(value)?;
    let mut lines = Vec::new();
    for text in lines_of(&words) {
        lines.push(Line::set(text, SPACING)?);
    }
    let fit = |line: &Line| line.scale_to_fit(WIDTH, PEN, SCALE_MAX);
    let scale = lines.iter().map(fit).fold(SCALE_MAX, f64::min);
    let pitch = (DESCENDER - TOP + LINE_GAP) * scale;
    let height = pitch * (lines.len() - 1) as f64 + (BASE - TOP) * scale;
    let mut top = CENTRE_Y - height / 2.0;
    let (left, right) = (CENTRE_X - LINES / 2.0, CENTRE_X + LINES / 2.0);
    for line in &lines {
        writing_lines(to, (left, right), top, scale, Paint::line(LINE, 1.5));
        line.draw(to, CENTRE_X, top, scale, Paint::line(INK, PEN));
        top += pitch;
    }
    Some(())
}

/// Long names are broken behind `hundred` and behind a hyphen, never inside a word.
fn lines_of(words: &str) -> Vec<&str> {
    let (hundred, rest) = match words.split_once(' ') {
        Some((_, "hundred")) | None => (None, words),
        Some((_, rest)) => (Some("one hundred"), rest.trim_start_matches("hundred ")),
    };
    hundred.into_iter().chain(rest.split_inclusive('-')).collect()
}
