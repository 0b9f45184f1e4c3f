//! Letters with accents, put together from the alphabet's letters: children are called José and Zoë, and
//! a name in a box is no name. Cards do not show them, so they stay out of the alphabet that drawings
//! are read back with.

use crate::deck::alphabet::{BASE, Glyph, MIDDLE, TOP};

/// An accent: its strokes about the middle of a letter, from the line that it stands on.
struct Accent {
    strokes: &'static [&'static str],
    /// Letters with it, and the letters without, in the same order.
    letters: (&'static str, &'static str),
    below: bool,
}

const fn above(strokes: &'static [&'static str], letters: (&'static str, &'static str)) -> Accent {
    Accent { strokes, letters, below: false }
}

/// From a letter's top to the accent, on the alphabet's grid: a pencil's width of paper between.
const GAP: f64 = 20.0;

/// The accents of the Latin-1 supplement and a few more (Unicode's names: acute, grave, circumflex,
/// diaeresis, tilde, ring above, caron, cedilla).
const ACCENTS: [Accent; 8] = [
    above(&["M-4 0L9 -17"], ("áéíóúýćńśźÁÉÍÓÚÝ", "aeiouycnszAEIOUY")),
    above(&["M-9 -17L4 0"], ("àèìòùÀÈÌÒÙ", "aeiouAEIOU")),
    above(&["M-13 0L0 -15L13 0"], ("âêîôûÂÊÎÔÛ", "aeiouAEIOU")),
    above(&["M-11 -5L-10.99 -5", "M11 -5L11.01 -5"], ("äëïöüÿÄËÏÖÜ", "aeiouyAEIOU")),
    above(&["M-16 -2A9 9 0 0 1 0 -6A9 9 0 0 0 16 -10"], ("ãñõÃÑÕ", "anoANO")),
    above(&["M8 -8A8 8 0 1 0 -8 -8A8 8 0 1 0 8 -8"], ("åÅ", "aA")),
    above(&["M-13 -15L0 0L13 -15"], ("čěňřšžČŘŠŽ", "cenrszCRSZ")),
    Accent { strokes: &["M3 4L-5 24"], letters: ("çşÇŞ", "csCS"), below: true },
];

/// A letter to draw: strokes, each moved by so much.
pub(super) struct Drawn {
    pub character: char,
    pub left: f64,
    pub width: f64,
    pub right: f64,
    pub strokes: Vec<(&'static str, (f64, f64))>,
}

impl From<&Glyph> for Drawn {
    fn from(glyph: &Glyph) -> Drawn {
        Drawn {
            character: glyph.character,
            left: glyph.left,
            width: glyph.width,
            right: glyph.right,
            strokes: glyph.strokes.iter().map(|stroke| (*stroke, (0.0, 0.0))).collect(),
        }
    }
}

/// Every letter with an accent whose letter without one is among these.
pub(super) fn accented<'a>(letters: &'a [&'static Glyph]) -> impl Iterator<Item = Drawn> + 'a {
    let pairs = ACCENTS.iter().flat_map(|accent| {
        let both = accent.letters.0.chars().zip(accent.letters.1.chars());
        both.map(move |(with, without)| (accent, with, without))
    });
    pairs.filter_map(move |(accent, with, without)| {
        let plain = letters.iter().find(|glyph| glyph.character == without)?;
        Some(compose(plain, accent, with))
    })
}

fn compose(plain: &Glyph, accent: &Accent, character: char) -> Drawn {
    let top = if plain.character.is_ascii_uppercase() { TOP } else { MIDDLE };
    let base = if accent.below { BASE } else { top - GAP };
    let mut drawn = Drawn { character, ..Drawn::from(plain) };
    // The dot of an i gives way to its accent.
    if plain.character == 'i' {
        drawn.strokes.truncate(1);
    }
    let at = (plain.width / 2.0, base);
    drawn.strokes.extend(accent.strokes.iter().map(|stroke| (*stroke, at)));
    // A narrow letter gets room for its accent.
    let room = (14.0 - plain.width / 2.0).max(0.0);
    drawn.left = drawn.left.max(room + 6.0);
    drawn.right = drawn.right.max(room + 6.0);
    drawn
}
