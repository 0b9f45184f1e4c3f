//! Punctuation and other signs that names, titles and the printed guide have, on the same grid and with the
//! same pencil as the alphabet. Cards never show them, so they stay out of the alphabet that drawings are
//! read back with.

use crate::deck::alphabet::Glyph;

const fn sign(character: char, width: f64, side: f64, strokes: &'static [&'static str]) -> Glyph {
    Glyph { character, left: side, width, right: side, strokes, above: 0.0 }
}

/// A dot of the pencil: a line too short to see, with round ends.
const DOT_ON_BASE: &str = "M0 98L0.01 98";
const DOT_BELOW_MIDDLE: &str = "M0 60L0.01 60";

/// Small digits above the base line of other signs.
const ONE: &str = "M0 8L8 0L8 36";
const TWO: &str = "M0 8A9 9 0 0 1 18 10L0 36L18 36";
const THREE: &str = "M0 4A9 8.5 0 1 1 8 17A10 9.5 0 1 1 0 32";
/// The stroke of a fraction, and what stands below it.
const FRACTION: &str = "M16 104L56 -4";
const BELOW_TWO: &str = "M50 72A9 9 0 0 1 68 74L50 100L68 100";
const BELOW_FOUR: &str = "M58 64L48 88L68 88M64 74L64 100";
const RING_OF_R: &str = "M76 50A38 40 0 0 0 0 50A38 40 0 0 0 76 50";

/// Every sign beyond the alphabet: ASCII, the rest of Latin-1, and what word processors put in.
pub(super) const SIGNS: [Glyph; 63] = [
    sign('.', 0.0, 13.0, &[DOT_ON_BASE]),
    sign(',', 5.0, 11.0, &["M5 97L0 114"]),
    sign(':', 0.0, 13.0, &[DOT_ON_BASE, DOT_BELOW_MIDDLE]),
    sign(';', 5.0, 11.0, &["M5 97L0 114", "M4 60L4.01 60"]),
    sign('!', 0.0, 15.0, &["M0 2L0 70", DOT_ON_BASE]),
    sign('?', 40.0, 11.0, &["M0 18A20 19 0 1 1 32 35C22 42 20 48 20 70", "M20 98L20.01 98"]),
    sign('\'', 0.0, 12.0, &["M0 2L0 20"]),
    sign('"', 14.0, 12.0, &["M0 2L0 20", "M14 2L14 20"]),
    sign('\u{2018}', 6.0, 10.0, &["M6 2L0 22"]),
    sign('\u{201c}', 20.0, 10.0, &["M6 2L0 22", "M20 2L14 22"]),
    sign('\u{201d}', 20.0, 10.0, &["M6 0L0 20", "M20 0L14 20"]),
    sign('\u{2026}', 48.0, 13.0, &[DOT_ON_BASE, "M24 98L24.01 98", "M48 98L48.01 98"]),
    sign('(', 16.0, 12.0, &["M16 -6A124 124 0 0 0 16 116"]),
    sign(')', 16.0, 12.0, &["M0 -6A124 124 0 0 1 0 116"]),
    sign('[', 16.0, 12.0, &["M16 -6L0 -6L0 116L16 116"]),
    sign(']', 16.0, 12.0, &["M0 -6L16 -6L16 116L0 116"]),
    sign('{', 22.0, 12.0, &["M22 -6L12 2L12 46L0 55L12 64L12 108L22 116"]),
    sign('}', 22.0, 12.0, &["M0 -6L10 2L10 46L22 55L10 64L10 108L0 116"]),
    sign('/', 34.0, 10.0, &["M0 106L34 -4"]),
    sign('\\', 34.0, 10.0, &["M0 -4L34 106"]),
    sign('|', 0.0, 15.0, &["M0 -6L0 116"]),
    sign('<', 44.0, 13.0, &["M44 30L0 54L44 78"]),
    sign('>', 44.0, 13.0, &["M0 30L44 54L0 78"]),
    sign('#', 52.0, 12.0, &["M22 16L12 92", "M44 16L34 92", "M2 40L52 40", "M0 68L50 68"]),
    sign('&', 62.0, 11.0, &["M62 100L16 32A17 17 0 1 1 44 28L12 58A24 24 0 1 0 46 92L60 66"]),
    sign('*', 34.0, 12.0, &["M17 4L17 40", "M1 13L33 31", "M33 13L1 31"]),
    sign(
        '@',
        76.0,
        12.0,
        &[
            "M54 62A16 17 0 0 0 22 62A16 17 0 0 0 54 62",
            "M54 46L54 70A11 11 0 0 0 76 66A38 42 0 1 0 56 98",
        ],
    ),
    sign('^', 36.0, 12.0, &["M0 30L18 4L36 30"]),
    sign('_', 60.0, 4.0, &["M0 112L60 112"]),
    sign('`', 13.0, 12.0, &["M0 4L13 21"]),
    sign('~', 44.0, 12.0, &["M0 58A14 14 0 0 1 22 54A14 14 0 0 0 44 50"]),
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
    sign('¡', 0.0, 15.0, &["M0 150L0 82", "M0 54L0.01 54"]),
    sign('¿', 40.0, 11.0, &["M40 132A20 19 0 1 1 8 115C18 108 20 102 20 82", "M20 54L20.01 54"]),
    sign(
        '£',
        50.0,
        12.0,
        &["M50 16A17 18 0 0 0 16 18L16 78A22 22 0 0 1 0 100L50 100", "M2 54L38 54"],
    ),
    sign(
        '¤',
        52.0,
        12.0,
        &[
            "M44 54A18 18 0 0 0 8 54A18 18 0 0 0 44 54",
            "M2 30L12 40",
            "M50 30L40 40",
            "M2 78L12 68",
            "M50 78L40 68",
        ],
    ),
    sign('¥', 64.0, 10.0, &["M0 0L32 48", "M64 0L32 48L32 100", "M10 56L54 56", "M10 76L54 76"]),
    sign('¦', 0.0, 15.0, &["M0 -6L0 42", "M0 68L0 116"]),
    sign(
        '§',
        40.0,
        12.0,
        &[
            "M36 8A17 14 0 1 0 12 30L30 42A16 17 0 0 1 28 72",
            "M4 106A17 14 0 1 0 28 84L10 72A16 17 0 0 1 12 42",
        ],
    ),
    sign('¨', 22.0, 12.0, &["M0 24L0.01 24", "M22 24L22.01 24"]),
    sign('´', 13.0, 12.0, &["M0 21L13 4"]),
    sign('¯', 36.0, 10.0, &["M0 14L36 14"]),
    sign('¸', 10.0, 12.0, &["M8 102L5 112A7 7 0 1 1 0 124"]),
    sign('·', 0.0, 13.0, &["M0 58L0.01 58"]),
    sign('°', 18.0, 12.0, &["M18 12A9 9 0 0 0 0 12A9 9 0 0 0 18 12"]),
    sign('©', 76.0, 11.0, &[RING_OF_R, "M52 38A18 19 0 1 0 52 62"]),
    sign(
        '®',
        76.0,
        11.0,
        &[RING_OF_R, "M28 70L28 30L42 30A11 11 0 0 1 42 52L28 52", "M40 52L52 70"],
    ),
    sign('«', 40.0, 11.0, &["M16 46L0 64L16 82", "M40 46L24 64L40 82"]),
    sign('»', 40.0, 11.0, &["M0 46L16 64L0 82", "M24 46L40 64L24 82"]),
    sign('¬', 48.0, 15.0, &["M0 54L48 54L48 76"]),
    sign('±', 52.0, 15.0, &["M0 46L52 46", "M26 20L26 72", "M0 90L52 90"]),
    sign('×', 40.0, 15.0, &["M0 34L40 74", "M40 34L0 74"]),
    sign('÷', 52.0, 15.0, &["M0 54L52 54", "M26 30L26.01 30", "M26 78L26.01 78"]),
    sign('¶', 46.0, 12.0, &["M46 0L20 0A20 24 0 0 0 20 48L28 48", "M28 0L28 116", "M46 0L46 116"]),
    sign('¹', 8.0, 10.0, &[ONE]),
    sign('²', 18.0, 10.0, &[TWO]),
    sign('³', 18.0, 10.0, &[THREE]),
    sign('¼', 68.0, 10.0, &[ONE, FRACTION, BELOW_FOUR]),
    sign('½', 68.0, 10.0, &[ONE, FRACTION, BELOW_TWO]),
    sign('¾', 68.0, 10.0, &[THREE, FRACTION, BELOW_FOUR]),
    // In front of items and between two parts of one line: a small ring that the pencil fills.
    sign('\u{2022}', 10.0, 14.0, &["M10 64A5 5 0 0 0 0 64A5 5 0 0 0 10 64"]),
    // Stands for each letter that nobody has drawn: a piece of a line to write on by hand, as wide as a
    // hand writes a letter. Pieces side by side make one line.
    sign(UNDRAWN, 142.0, 0.0, &["M0 104L142 104"]),
];

/// The character of the line that stands for undrawn letters.
pub(super) const UNDRAWN: char = '\u{25a1}';
