//! The project's own print alphabet: teacher's manuscript drawn as strokes, so that a card shows
//! the same letters on every screen and on paper and needs no font anywhere. It covers a to z,
//! A to Z, the digits and a few signs, the letters that names have beyond them, and the letters once more in
//! book print. It knows shapes
//! and spacing, not spelling.

mod book;
mod glyphs;
mod latin;
mod marks;

use super::svg::{Drawing, Paint, number};
use book::BOOK;
use glyphs::GLYPHS;
use latin::{LATIN, LATIN_BOOK};
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// y of the four writing lines on the em grid.
pub const TOP: f64 = 0.0;
/// The dotted line in the middle, where small letters end.
pub const MIDDLE: f64 = 50.0;
/// The line that letters stand on.
pub const BASE: f64 = 100.0;
/// Where descenders end.
pub const DESCENDER: f64 = 150.0;

/// One letter, digit or sign on the em grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glyph {
    /// What it stands for.
    pub character: char,
    /// Room on the left of the strokes, in grid units.
    pub left: f64,
    /// From the leftmost to the rightmost centre line, in grid units.
    pub width: f64,
    /// Room on the right of the strokes, in grid units.
    pub right: f64,
    /// One SVG path for each stroke.
    pub strokes: &'static [&'static str],
    /// How far a mark reaches above the top line, in grid units; 0 for most letters.
    pub above: f64,
}

/// Which of the two alphabets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Hand {
    /// Teacher's manuscript, as children write.
    Manuscript,
    /// Book print, letters alone.
    Book,
}

/// Letters with marks, of handwriting and of book print.
static MARKED: LazyLock<[Vec<Glyph>; 2]> = LazyLock::new(|| {
    [Hand::Manuscript, Hand::Book].map(|hand| marks::composed(&hand.drawn().collect::<Vec<_>>()))
});

impl Hand {
    /// What is drawn stroke by stroke.
    fn drawn(self) -> impl Iterator<Item = &'static Glyph> {
        let (plain, latin): (&[Glyph], &[Glyph]) = match self {
            Hand::Manuscript => (&GLYPHS, &LATIN),
            Hand::Book => (&BOOK, &LATIN_BOOK),
        };
        plain.iter().chain(latin)
    }

    /// Every glyph, the most frequent ones first.
    pub fn glyphs(self) -> impl Iterator<Item = &'static Glyph> {
        // Most texts have no marked letters, so that these are made only when one is asked for.
        self.drawn().chain(std::iter::once_with(move || &MARKED[self as usize]).flatten())
    }
}

/// The glyph of a character, if the alphabet has it.
pub fn glyph(hand: Hand, character: char) -> Option<&'static Glyph> {
    hand.glyphs().find(|glyph| glyph.character == character)
}

/// The glyph that exactly these strokes draw, in any order.
pub fn glyph_of(strokes: &[&str]) -> Option<(Hand, &'static Glyph)> {
    let same = |glyph: &&'static Glyph| {
        !strokes.is_empty()
            && glyph.strokes.len() == strokes.len()
            && glyph.strokes.iter().all(|stroke| strokes.contains(stroke))
    };
    [Hand::Manuscript, Hand::Book]
        .into_iter()
        .find_map(|hand| hand.glyphs().find(same).map(|glyph| (hand, glyph)))
}

/// Where the glyphs of one line stand, from the first centre line at x 0, in grid units.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    placed: Vec<(f64, &'static Glyph)>,
    /// From the first to the last centre line, in grid units.
    pub width: f64,
}

impl Line {
    /// Sets a text in one line; `None` if the alphabet lacks a character. `spacing` multiplies the
    /// room between letters: 1 for running text.
    pub fn set(hand: Hand, text: &str, spacing: f64) -> Option<Line> {
        let mut placed = Vec::new();
        let (mut x, mut first, mut width) = (0.0, 0.0, 0.0);
        for character in text.chars() {
            let glyph = glyph(hand, character)?;
            let (left, right) = (glyph.left * spacing, glyph.right * spacing);
            if placed.is_empty() {
                first = left;
            }
            placed.push((x + left - first, glyph));
            width = x + left + glyph.width - first;
            x += left + glyph.width + right;
        }
        Some(Line { placed, width })
    }

    /// How far its tallest mark reaches above the top line, in grid units.
    pub fn above(&self) -> f64 {
        self.placed.iter().map(|(_, glyph)| glyph.above).fold(0.0, f64::max)
    }

    /// The largest scale, at most `scale_max`, at which the line with a pencil of `pen` grid units
    /// fits into `width` units of the card.
    pub fn scale_to_fit(&self, width: f64, pen: f64, scale_max: f64) -> f64 {
        // Rounded down to whole hundredths, since that is what the drawing writes.
        ((width / (self.width + pen)).min(scale_max) * 100.0).floor() / 100.0
    }

    /// How far the first `count` glyphs reach, in grid units; `None` if there are fewer, or none.
    pub(super) fn reach(&self, count: usize) -> Option<f64> {
        let (x, glyph) = self.placed.get(count.checked_sub(1)?)?;
        Some(x + glyph.width)
    }

    /// The line's first `count` glyphs, where they stand in it.
    pub(super) fn beginning(&self, count: usize) -> Line {
        Line { placed: self.placed.iter().take(count).copied().collect(), width: self.width }
    }

    /// Draws the line centred at `centre_x` with its top line at `top_y`.
    pub(super) fn draw(&self, to: &mut Drawing, centre_x: f64, top_y: f64, scale: f64, p: Paint) {
        let left = centre_x - self.width * scale / 2.0;
        for (x, glyph) in self.placed.iter().filter(|(_, glyph)| !glyph.strokes.is_empty()) {
            to.glyph(glyph.strokes, (left + x * scale, top_y), scale, p);
        }
    }
}

/// Writing lines of one scale from `left` to `right`: top and base drawn through, middle dotted.
pub(super) fn writing_lines(
    to: &mut Drawing,
    (left, right): (f64, f64),
    top_y: f64,
    scale: f64,
    paint: Paint,
) {
    for y in [TOP, BASE] {
        to.line("", (left, top_y + y * scale), (right, top_y + y * scale), paint);
    }
    let y = top_y + MIDDLE * scale;
    to.dashed((left, y), (right, y), 4.0, paint);
}

/// A text as a drawing of its own on writing lines, 4 grid units to 1; `None` if the alphabet lacks
/// a character.
pub fn specimen(hand: Hand, text: &str) -> Option<String> {
    const SCALE: f64 = 0.25;
    let line = Line::set(hand, text, 1.0)?;
    let (width, height) = ((line.width + 60.0) * SCALE, (DESCENDER + 30.0) * SCALE);
    let mut drawing = Drawing::default();
    writing_lines(&mut drawing, (0.0, width), 4.0, SCALE, Paint::line("#4d7083", 0.5));
    line.draw(&mut drawing, width / 2.0, 4.0, SCALE, Paint::line("#2b2a33", 11.0));
    Some(format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}">{}</svg>"#,
        number(width),
        number(height),
        drawing.into_text()
    ))
}
