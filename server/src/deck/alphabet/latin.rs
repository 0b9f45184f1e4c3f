//! Letters of their own that names in Latin script have beyond a to z, drawn with the same pencil: ß, ø, ł,
//! þ. Same grid and path commands as `glyphs`.

use super::Glyph;
use super::glyphs::{BALL, CAPITAL_BALL, OPEN, ROUND, STRAIGHT, glyph};

/// Letters of Latin-1 Supplement and Latin Extended-A that no plain letter makes up with a mark, and a
/// few beyond: ẞ, the ə of Azerbaijan, the ɛ and ɔ of Ghana.
pub(super) const LATIN: [Glyph; 47] = [
    glyph(
        'ª',
        24.0,
        (ROUND, ROUND),
        &["M24 14A12 12 0 0 0 0 14A12 12 0 0 0 24 14", "M24 2L24 26", "M0 42L24 42"],
    ),
    glyph('º', 24.0, (ROUND, ROUND), &["M24 14A12 12 0 0 0 0 14A12 12 0 0 0 24 14", "M0 42L24 42"]),
    glyph(
        'µ',
        44.0,
        (STRAIGHT, STRAIGHT),
        &["M0 50L0 150", "M0 78A22 22 0 0 0 44 78", "M44 50L44 100"],
    ),
    glyph(
        'ß',
        42.0,
        (STRAIGHT, ROUND),
        &["M0 100L0 20A19 20 0 0 1 38 20A20 24 0 0 1 18 46A24 27 0 0 1 14 100"],
    ),
    glyph(
        'ẞ',
        56.0,
        (STRAIGHT, ROUND),
        &["M0 100L0 28A28 28 0 0 1 54 20L26 44A28 28 0 0 1 26 100L20 100"],
    ),
    glyph(
        'æ',
        90.0,
        (ROUND, OPEN),
        &[
            "M46 75A23 25 0 0 0 0 75A23 25 0 0 0 46 75",
            "M46 50L46 100",
            "M46 75L90 75A22 25 0 1 0 84 91",
        ],
    ),
    glyph(
        'Æ',
        92.0,
        (OPEN, ROUND),
        &[
            "M46 0L0 100",
            "M46 0L46 100",
            "M46 0L92 0",
            "M46 50L84 50",
            "M46 100L92 100",
            "M16.1 65L46 65",
        ],
    ),
    glyph(
        'œ',
        92.0,
        (ROUND, OPEN),
        &["M48 75A24 25 0 0 0 0 75A24 25 0 0 0 48 75", "M48 75L92 75A22 25 0 1 0 86 91"],
    ),
    glyph(
        'Œ',
        94.0,
        (ROUND, ROUND),
        &["M94 0L42 0A42 50 0 0 0 42 100L94 100", "M52 0L52 100", "M52 50L86 50"],
    ),
    glyph('ð', 50.0, (ROUND, ROUND), &[BALL, "M49.5 70A76 76 0 0 0 12 4", "M14 34L40 14"]),
    glyph(
        'Ð',
        74.0,
        (24.0, ROUND),
        &["M0 0L0 100", "M0 0L24 0A50 50 0 0 1 24 100L0 100", "M-14 50L24 50"],
    ),
    glyph('đ', 50.0, (ROUND, 22.0), &[BALL, "M50 0L50 100", "M34 22L64 22"]),
    glyph(
        'Đ',
        74.0,
        (24.0, ROUND),
        &["M0 0L0 100", "M0 0L24 0A50 50 0 0 1 24 100L0 100", "M-15 50L23 50"],
    ),
    glyph('þ', 50.0, (STRAIGHT, ROUND), &["M0 0L0 150", BALL]),
    glyph('Þ', 60.0, (STRAIGHT, OPEN), &["M0 0L0 100", "M0 22L33 22A27 27 0 0 1 33 76L0 76"]),
    glyph('ø', 50.0, (ROUND, ROUND), &[BALL, "M2 105L48 45"]),
    glyph('Ø', 84.0, (ROUND, ROUND), &[CAPITAL_BALL, "M8 107L76 -7"]),
    glyph(
        'ħ',
        44.0,
        (22.0, STRAIGHT),
        &["M0 0L0 100", "M0 72A22 22 0 0 1 44 72L44 100", "M-14 22L18 22"],
    ),
    glyph('Ħ', 62.0, (22.0, 22.0), &["M0 0L0 100", "M62 0L62 100", "M0 50L62 50", "M-13 24L75 24"]),
    glyph('ı', 0.0, (STRAIGHT, STRAIGHT), &["M0 50L0 100"]),
    glyph('ȷ', 24.0, (0.0, STRAIGHT), &["M24 50L24 130A20 20 0 0 1 -6 147.32"]),
    glyph(
        'ĳ',
        32.0,
        (STRAIGHT, STRAIGHT),
        &["M0 50L0 100", "M0 28L0.01 28", "M32 50L32 130A20 20 0 0 1 2 147.32", "M32 28L32.01 28"],
    ),
    glyph(
        'Ĳ',
        98.0,
        (ROUND, STRAIGHT),
        &["M18 0L18 100", "M0 0L36 0", "M0 100L36 100", "M98 0L98 76A22 24 0 0 1 54 76"],
    ),
    glyph('ĸ', 40.0, (STRAIGHT, OPEN), &["M0 50L0 100", "M36 50L0 80", "M12 70L40 100"]),
    glyph('ł', 0.0, (18.0, 18.0), &["M0 0L0 100", "M-13 62L13 40"]),
    glyph('Ł', 50.0, (22.0, OPEN), &["M0 0L0 100L50 100", "M-14 66L28 38"]),
    glyph('ŀ', 22.0, (STRAIGHT, STRAIGHT), &["M0 0L0 100", "M22 58L22.01 58"]),
    glyph('Ŀ', 50.0, (STRAIGHT, OPEN), &["M0 0L0 100L50 100", "M30 50L30.01 50"]),
    glyph(
        'ŉ',
        68.0,
        (OPEN, STRAIGHT),
        &["M6 0L0 22", "M24 50L24 100", "M24 72A22 22 0 0 1 68 72L68 100"],
    ),
    glyph(
        'ŋ',
        44.0,
        (STRAIGHT, STRAIGHT),
        &["M0 50L0 100", "M0 72A22 22 0 0 1 44 72L44 128A22 22 0 0 1 14 148"],
    ),
    glyph(
        'Ŋ',
        62.0,
        (STRAIGHT, STRAIGHT),
        &["M0 0L0 100", "M0 31A31 31 0 0 1 62 31L62 104A26 26 0 0 1 28 129"],
    ),
    glyph('ŧ', 32.0, (OPEN, OPEN), &["M16 12L16 100", "M0 50L32 50", "M2 76L30 76"]),
    glyph('Ŧ', 68.0, (OPEN, OPEN), &["M34 0L34 100", "M0 0L68 0", "M14 52L54 52"]),
    glyph('ſ', 38.0, (OPEN, OPEN), &["M39 4.5A16 16 0 0 0 14 16L14 100", "M2 50L14 50"]),
    glyph('ə', 50.0, (ROUND, ROUND), &["M50 75L0 75A25 25 0 1 0 5.85 58.93"]),
    glyph('Ə', 84.0, (ROUND, ROUND), &["M84 50L0 50A42 50 0 1 0 12.3 14.64"]),
    glyph('ɛ', 34.0, (ROUND, ROUND), &["M32 56A17 12.5 0 1 0 18 75A17 12.5 0 1 0 34 93"]),
    glyph('Ɛ', 56.0, (ROUND, ROUND), &["M50 11A28 24 0 1 0 30 48A29 26 0 1 0 56 86"]),
    glyph('ɔ', 44.0, (OPEN, ROUND), &["M0 58.93A25 25 0 1 1 0 91.07"]),
    glyph('Ɔ', 72.0, (OPEN, ROUND), &["M0 14.64A42 50 0 1 1 0 85.36"]),
    glyph('ɓ', 50.0, (STRAIGHT, ROUND), &["M16 2A16 16 0 0 0 0 18L0 100", BALL]),
    glyph('ɗ', 50.0, (ROUND, 22.0), &[BALL, "M66 2A16 16 0 0 0 50 18L50 100"]),
    glyph(
        'ƙ',
        40.0,
        (STRAIGHT, OPEN),
        &["M16 2A16 16 0 0 0 0 18L0 100", "M36 50L0 80", "M12 70L40 100"],
    ),
    glyph(
        'Ɓ',
        60.0,
        (26.0, ROUND),
        &[
            "M-16 18A16 18 0 0 1 0 0L0 100",
            "M0 0L32 0A24 24 0 0 1 32 48L0 48",
            "M32 48L34 48A26 26 0 0 1 34 100L0 100",
        ],
    ),
    glyph(
        'Ɗ',
        74.0,
        (26.0, ROUND),
        &["M-16 18A16 18 0 0 1 0 0L0 100", "M0 0L24 0A50 50 0 0 1 24 100L0 100"],
    ),
    glyph(
        'Ƙ',
        60.0,
        (STRAIGHT, 22.0),
        &["M0 0L0 100", "M70 16A14 14 0 0 0 56 0L0 58", "M18 39.4L60 100"],
    ),
    // A letter of Hawaiian, and how many names are typed: the ’ turned over.
    glyph('\u{2bb}', 6.0, (OPEN, OPEN), &["M6 22L0 0"]),
];

/// The same of book print, capitals alone: a name typed in capitals is shown in book print beside them.
pub(super) const LATIN_BOOK: [Glyph; 7] = [
    glyph(
        'Ł',
        55.0,
        (14.0, 7.0),
        &["M9 0L9 100", "M0 100L55 100L55 86", "M0 0L18 0", "M-5 64L32 40"],
    ),
    glyph('Ø', 72.0, (7.0, 7.0), &["M36 0A36 50 0 0 0 36 100A36 50 0 0 0 36 0", "M6 107L66 -7"]),
    glyph(
        'Ð',
        73.0,
        (14.0, 7.0),
        &["M9 0L9 100", "M0 0L29 0A44 50 0 0 1 29 100L0 100", "M-5 50L32 50"],
    ),
    glyph(
        'Đ',
        73.0,
        (14.0, 7.0),
        &["M9 0L9 100", "M0 0L29 0A44 50 0 0 1 29 100L0 100", "M-6 50L31 50"],
    ),
    glyph(
        'Æ',
        103.0,
        (7.0, 7.0),
        &[
            "M50 0L9 100",
            "M50 0L50 100",
            "M50 0L101 0L101 12",
            "M50 50L89 50",
            "M50 100L103 100L103 88",
            "M22.3 65L50 65",
            "M0 100L18 100",
        ],
    ),
    glyph(
        'Œ',
        98.0,
        (7.0, 7.0),
        &["M96 12L96 0L36 0A36 50 0 0 0 36 100L98 100L98 88", "M46 0L46 100", "M46 50L82 50"],
    ),
    glyph(
        'Þ',
        63.0,
        (7.0, 7.0),
        &["M9 0L9 100", "M0 0L18 0", "M9 22L38 22A25 27 0 0 1 38 76L9 76", "M0 100L18 100"],
    ),
];
