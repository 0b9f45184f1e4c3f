//! The strokes of the print alphabet: ball and stick, one path for each stroke of the pencil.
//!
//! Grid: top line y 0, middle line y 50, base line y 100, descender line y 150; x grows to the
//! right from the glyph's leftmost centre line. Paths use only M, L and A with absolute numbers,
//! so that the parse-back and the print sheet need to know nothing more. Small letters are half
//! as tall as capitals and round ones are true circles, as five-year-olds are taught to write
//! them (common practice, no source).

use super::Glyph;

/// Bearings: the room on a side between the outermost centre line and the edge of the glyph's
/// cell. Straight sides need most room and open diagonals least, for an even rhythm.
pub(super) const STRAIGHT: f64 = 15.0;
pub(super) const ROUND: f64 = 11.0;
pub(super) const OPEN: f64 = 8.0;
/// Digits are all equally wide, so that columns of numerals line up.
const DIGIT_CELL: f64 = 78.0;

pub(super) const fn glyph(
    character: char,
    width: f64,
    sides: (f64, f64),
    strokes: &'static [&'static str],
) -> Glyph {
    Glyph { character, left: sides.0, width, right: sides.1, strokes, above: 0.0 }
}

const fn digit(character: char, width: f64, strokes: &'static [&'static str]) -> Glyph {
    let side = (DIGIT_CELL - width) / 2.0;
    Glyph { character, left: side, width, right: side, strokes, above: 0.0 }
}

/// Every glyph.
pub(super) const GLYPHS: [Glyph; 72] = [
    // Small letters.
    glyph('a', 50.0, (ROUND, STRAIGHT), &[BALL, "M50 50L50 100"]),
    glyph('b', 50.0, (STRAIGHT, ROUND), &["M0 0L0 100", BALL]),
    glyph('c', 44.0, (ROUND, OPEN), &["M44.15 58.93A25 25 0 1 0 44.15 91.07"]),
    glyph('d', 50.0, (ROUND, STRAIGHT), &[BALL, "M50 0L50 100"]),
    glyph('e', 50.0, (ROUND, OPEN), &["M0 75L50 75A25 25 0 1 0 44.15 91.07"]),
    glyph('f', 38.0, (OPEN, OPEN), &["M39 4.5A16 16 0 0 0 14 16L14 100", "M0 50L32 50"]),
    glyph('g', 50.0, (ROUND, STRAIGHT), &[BALL, "M50 50L50 126A24 24 0 0 1 5.2 138"]),
    glyph('h', 44.0, (STRAIGHT, STRAIGHT), &["M0 0L0 100", "M0 72A22 22 0 0 1 44 72L44 100"]),
    glyph('i', 0.0, (STRAIGHT, STRAIGHT), &["M0 50L0 100", "M0 28L0.01 28"]),
    glyph('j', 24.0, (0.0, STRAIGHT), &["M24 50L24 130A20 20 0 0 1 -6 147.32", "M24 28L24.01 28"]),
    glyph('k', 40.0, (STRAIGHT, OPEN), &["M0 0L0 100", "M36 50L0 80", "M12 70L40 100"]),
    glyph('l', 0.0, (STRAIGHT, STRAIGHT), &["M0 0L0 100"]),
    glyph(
        'm',
        72.0,
        (STRAIGHT, STRAIGHT),
        &["M0 50L0 100", "M0 68A18 18 0 0 1 36 68L36 100", "M36 68A18 18 0 0 1 72 68L72 100"],
    ),
    glyph('n', 44.0, (STRAIGHT, STRAIGHT), &["M0 50L0 100", "M0 72A22 22 0 0 1 44 72L44 100"]),
    glyph('o', 50.0, (ROUND, ROUND), &[BALL]),
    glyph('p', 50.0, (STRAIGHT, ROUND), &["M0 50L0 150", BALL]),
    glyph('q', 50.0, (ROUND, STRAIGHT), &[BALL, "M50 50L50 150L62 138"]),
    glyph('r', 36.0, (STRAIGHT, OPEN), &["M0 50L0 100", "M0 72A22 22 0 0 1 36.14 55.15"]),
    glyph('s', 35.0, (ROUND, ROUND), &["M32.5 56A17 12.5 0 1 0 17.5 75A17 12.5 0 1 1 2.5 94"]),
    glyph('t', 32.0, (OPEN, OPEN), &["M16 12L16 100", "M0 50L32 50"]),
    glyph('u', 44.0, (STRAIGHT, STRAIGHT), &["M0 50L0 78A22 22 0 0 0 44 78", "M44 50L44 100"]),
    glyph('v', 44.0, (OPEN, OPEN), &["M0 50L22 100L44 50"]),
    glyph('w', 68.0, (OPEN, OPEN), &["M0 50L17 100L34 50L51 100L68 50"]),
    glyph('x', 42.0, (OPEN, OPEN), &["M0 50L42 100", "M42 50L0 100"]),
    glyph('y', 44.0, (OPEN, OPEN), &["M0 50L22 100", "M44 50L0 150"]),
    glyph('z', 40.0, (ROUND, ROUND), &["M0 50L40 50L0 100L40 100"]),
    // Capitals.
    glyph('A', 72.0, (OPEN, OPEN), &["M36 0L0 100", "M36 0L72 100", "M12.6 65L59.4 65"]),
    glyph(
        'B',
        60.0,
        (STRAIGHT, ROUND),
        &[
            "M0 0L0 100",
            "M0 0L32 0A24 24 0 0 1 32 48L0 48",
            "M32 48L34 48A26 26 0 0 1 34 100L0 100",
        ],
    ),
    glyph('C', 72.0, (ROUND, OPEN), &["M71.7 14.64A42 50 0 1 0 71.7 85.36"]),
    glyph('D', 74.0, (STRAIGHT, ROUND), &["M0 0L0 100", "M0 0L24 0A50 50 0 0 1 24 100L0 100"]),
    glyph(
        'E',
        52.0,
        (STRAIGHT, ROUND),
        &["M0 0L0 100", "M0 0L52 0", "M0 50L44 50", "M0 100L52 100"],
    ),
    glyph('F', 52.0, (STRAIGHT, OPEN), &["M0 0L0 100", "M0 0L52 0", "M0 50L44 50"]),
    glyph('G', 84.0, (ROUND, ROUND), &["M71.7 14.64A42 50 0 1 0 84 50L54 50"]),
    glyph('H', 62.0, (STRAIGHT, STRAIGHT), &["M0 0L0 100", "M62 0L62 100", "M0 50L62 50"]),
    glyph('I', 36.0, (ROUND, ROUND), &["M18 0L18 100", "M0 0L36 0", "M0 100L36 100"]),
    glyph('J', 44.0, (OPEN, STRAIGHT), &["M44 0L44 76A22 24 0 0 1 0 76"]),
    glyph('K', 60.0, (STRAIGHT, OPEN), &["M0 0L0 100", "M56 0L0 58", "M18 39.4L60 100"]),
    glyph('L', 50.0, (STRAIGHT, OPEN), &["M0 0L0 100L50 100"]),
    glyph('M', 80.0, (STRAIGHT, STRAIGHT), &["M0 0L0 100", "M0 0L40 80L80 0", "M80 0L80 100"]),
    glyph('N', 62.0, (STRAIGHT, STRAIGHT), &["M0 0L0 100", "M0 0L62 100", "M62 0L62 100"]),
    glyph('O', 84.0, (ROUND, ROUND), &[CAPITAL_BALL]),
    glyph('P', 60.0, (STRAIGHT, OPEN), &["M0 0L0 100", "M0 0L33 0A27 27 0 0 1 33 54L0 54"]),
    glyph('Q', 84.0, (ROUND, ROUND), &[CAPITAL_BALL, "M54 72L84 102"]),
    glyph(
        'R',
        60.0,
        (STRAIGHT, OPEN),
        &["M0 0L0 100", "M0 0L33 0A27 27 0 0 1 33 54L0 54", "M28 54L60 100"],
    ),
    glyph('S', 60.0, (ROUND, ROUND), &["M54 11A28 24 0 1 0 30 48A29 26 0 1 1 4 86"]),
    glyph('T', 68.0, (OPEN, OPEN), &["M34 0L34 100", "M0 0L68 0"]),
    glyph('U', 60.0, (STRAIGHT, STRAIGHT), &["M0 0L0 70A30 30 0 0 0 60 70L60 0"]),
    glyph('V', 68.0, (OPEN, OPEN), &["M0 0L34 100L68 0"]),
    glyph('W', 96.0, (OPEN, OPEN), &["M0 0L24 100L48 0L72 100L96 0"]),
    glyph('X', 64.0, (OPEN, OPEN), &["M0 0L64 100", "M64 0L0 100"]),
    glyph('Y', 64.0, (OPEN, OPEN), &["M0 0L32 48", "M64 0L32 48L32 100"]),
    glyph('Z', 62.0, (ROUND, ROUND), &["M0 0L62 0L0 100L62 100"]),
    // Digits. The 1 has a flag and the 9 a straight stick, so that 1 is not l and 9 not a turned 6.
    digit('0', 56.0, &["M28 0A28 50 0 0 0 28 100A28 50 0 0 0 28 0"]),
    digit('1', 24.0, &["M0 20L24 0L24 100"]),
    digit('2', 56.0, &["M2 20A27 27 0 1 1 48.7 44.4L0 100L56 100"]),
    digit('3', 54.0, &["M5.2 12A24 24 0 1 1 26 48A26 26 0 1 1 3.5 87"]),
    digit('4', 58.0, &["M12 0L0 60L58 60", "M44 0L44 100"]),
    digit('5', 58.0, &["M11 0L7.9 44.6A31 31 0 1 1 0.2 84.5", "M11 0L52 0"]),
    digit('6', 56.0, &["M40 0A84.8 84.8 0 0 0 0 72A28 28 0 0 0 56 72A28 28 0 0 0 0 72"]),
    digit('7', 56.0, &["M0 0L56 0L18 100"]),
    digit(
        '8',
        54.0,
        &["M27 48A24 24 0 0 1 27 0A24 24 0 0 1 27 48A26 26 0 0 0 27 100A26 26 0 0 0 27 48"],
    ),
    digit('9', 56.0, &["M56 28A28 28 0 0 0 0 28A28 28 0 0 0 56 28", "M56 28L56 100"]),
    // Signs.
    glyph('-', 28.0, (STRAIGHT, STRAIGHT), &["M0 75L28 75"]),
    glyph('+', 52.0, (STRAIGHT, STRAIGHT), &["M0 54L52 54", "M26 28L26 80"]),
    glyph('−', 52.0, (STRAIGHT, STRAIGHT), &["M0 54L52 54"]),
    glyph('=', 52.0, (STRAIGHT, STRAIGHT), &["M0 42L52 42", "M0 66L52 66"]),
    glyph(':', 0.0, (STRAIGHT, STRAIGHT), &["M0 36L0.01 36", "M0 78L0.01 78"]),
    glyph('.', 0.0, (STRAIGHT, STRAIGHT), &["M0 99L0.01 99"]),
    glyph('’', 6.0, (OPEN, OPEN), &["M6 0L0 22"]),
    glyph('¢', 46.0, (ROUND, ROUND), &["M42 39A25 25 0 1 0 42 73", "M25 18L25 94"]),
    glyph(
        '$',
        54.0,
        (ROUND, ROUND),
        &["M50 24A25 20 0 1 0 27 50A26 21 0 1 1 2 78", "M27 -8L27 108"],
    ),
    glyph(' ', 26.0, (OPEN, OPEN), &[]),
];

/// The ball of small letters, from three o'clock back round the top.
pub(super) const BALL: &str = "M50 75A25 25 0 0 0 0 75A25 25 0 0 0 50 75";
/// The ball of capitals, a little narrower than a circle.
pub(super) const CAPITAL_BALL: &str = "M42 0A42 50 0 0 0 42 100A42 50 0 0 0 42 0";
