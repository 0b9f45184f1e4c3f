//! Punctuation for the printed guide, on the same grid and with the same pencil as the alphabet.
//! Cards never show it, so it stays out of the alphabet that drawings are read back with.

use crate::deck::alphabet::Glyph;

const fn sign(character: char, width: f64, side: f64, strokes: &'static [&'static str]) -> Glyph {
    Glyph { character, left: side, width, right: side, strokes }
}

/// A dot of the pencil: a line too short to see, with round ends.
const DOT_ON_BASE: &str = "M0 98L0.01 98";
const DOT_BELOW_MIDDLE: &str = "M0 60L0.01 60";

/// Every sign that the guide uses beyond the alphabet.
pub(super) const SIGNS: [Glyph; 15] = [
    sign('.', 0.0, 13.0, &[DOT_ON_BASE]),
    sign(',', 5.0, 11.0, &["M5 97L0 114"]),
    sign(':', 0.0, 13.0, &[DOT_ON_BASE, DOT_BELOW_MIDDLE]),
    sign(';', 5.0, 11.0, &["M5 97L0 114", "M4 60L4.01 60"]),
    sign('!', 0.0, 15.0, &["M0 2L0 70", DOT_ON_BASE]),
    sign('?', 40.0, 11.0, &["M0 18A20 19 0 1 1 32 35C22 42 20 48 20 70", "M20 98L20.01 98"]),
    sign('\'', 0.0, 12.0, &["M0 2L0 20"]),
    sign('"', 14.0, 12.0, &["M0 2L0 20", "M14 2L14 20"]),
    sign('(', 16.0, 12.0, &["M16 -6A124 124 0 0 0 16 116"]),
    sign(')', 16.0, 12.0, &["M0 -6A124 124 0 0 1 0 116"]),
    sign('/', 34.0, 10.0, &["M0 106L34 -4"]),
    sign(
        '%',
        70.0,
        12.0,
        &[
            "M8 100L62 0",
            "M30 18A15 18 0 0 0 0 18A15 18 0 0 0 30 18",
            "M70 82A15 18 0 0 0 40 82A15 18 0 0 0 70 82",
        ],
    ),
    sign('=', 44.0, 15.0, &["M0 42L44 42", "M0 66L44 66"]),
    // In front of items and between two parts of one line: a small ring that the pencil fills.
    sign('\u{2022}', 10.0, 14.0, &["M10 64A5 5 0 0 0 0 64A5 5 0 0 0 10 64"]),
    // Stands for a character that nobody has drawn, as in a deck's name in another script.
    sign(UNDRAWN, 40.0, 14.0, &["M0 20L40 20L40 100L0 100L0 20"]),
];

/// The character of the box that stands for undrawn characters.
pub(super) const UNDRAWN: char = '\u{25a1}';
