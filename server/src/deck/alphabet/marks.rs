//! Letters with marks, put together from plain ones as Unicode takes them apart: children are called José,
//! Zoë, Ștefan and Nguyễn. It knows where a mark sits on a letter, not which language writes it.

use super::{BASE, DESCENDER, Glyph, MIDDLE, TOP};
use std::ops::RangeInclusive;
use unicode_normalization::char::decompose_canonical;

/// Where letters with marks are: Latin-1 Supplement to Latin Extended-B, and Latin Extended Additional,
/// which has the Vietnamese ones.
const BLOCKS: [RangeInclusive<char>; 2] = ['\u{c0}'..='\u{24f}', '\u{1e00}'..='\u{1eff}'];
/// From a letter's top to the middle of the mark's lowest line, and from mark to mark, on the grid:
/// paper shows between them even under the broad pencil.
const GAP: f64 = 20.0;
/// Half as wide as the marks; a letter narrower than that gets room for its mark.
const MARK_HALF_WIDTH: f64 = 14.0;
/// Room beside the mark of a narrow letter.
const MARK_SIDE: f64 = 6.0;

/// Where a mark's own zero point comes to lie.
#[derive(Clone, Copy, PartialEq)]
enum Sits {
    /// On the letter's middle, above it; so tall is the mark.
    Above(f64),
    /// On the letter's middle at its foot.
    Below,
    /// On the upper right corner.
    Corner,
    /// Where the letter's last stroke ends on the base line.
    Tail,
}

struct Mark {
    character: char,
    sits: Sits,
    strokes: &'static [&'static str],
}

const fn mark(character: char, sits: Sits, strokes: &'static [&'static str]) -> Mark {
    Mark { character, sits, strokes }
}

/// Combining marks by Unicode's code point.
const MARKS: [Mark; 24] = [
    // Grave, acute, circumflex, tilde, macron, breve, dot, diaeresis, hook, ring, double acute, caron,
    // double grave, inverted breve.
    mark('\u{300}', Sits::Above(17.0), &["M-9 -17L4 0"]),
    mark('\u{301}', Sits::Above(17.0), &["M-4 0L9 -17"]),
    mark('\u{302}', Sits::Above(15.0), &["M-13 0L0 -15L13 0"]),
    mark('\u{303}', Sits::Above(12.0), &["M-16 -2A9 9 0 0 1 0 -6A9 9 0 0 0 16 -10"]),
    mark('\u{304}', Sits::Above(5.0), &["M-14 -5L14 -5"]),
    mark('\u{306}', Sits::Above(14.0), &["M-13 -14A14 14 0 0 0 13 -14"]),
    mark('\u{307}', Sits::Above(5.0), &["M0 -5L0.01 -5"]),
    mark('\u{308}', Sits::Above(5.0), &["M-11 -5L-10.99 -5", "M11 -5L11.01 -5"]),
    mark('\u{309}', Sits::Above(20.0), &["M-7 -15A7 6.5 0 1 1 1 -7L1 0"]),
    mark('\u{30a}', Sits::Above(24.0), &["M12 -12A12 12 0 1 0 -12 -12A12 12 0 1 0 12 -12"]),
    mark('\u{30b}', Sits::Above(17.0), &["M-12 0L-3 -17", "M5 0L14 -17"]),
    mark('\u{30c}', Sits::Above(15.0), &["M-13 -15L0 0L13 -15"]),
    mark('\u{30f}', Sits::Above(17.0), &["M-14 -17L-5 0", "M3 -17L12 0"]),
    mark('\u{311}', Sits::Above(14.0), &["M-13 -5A14 14 0 0 1 13 -5"]),
    // Dot, diaeresis, ring, comma, cedilla, circumflex, tilde, macron below.
    mark('\u{323}', Sits::Below, &["M0 20L0.01 20"]),
    mark('\u{324}', Sits::Below, &["M-11 20L-10.99 20", "M11 20L11.01 20"]),
    mark('\u{325}', Sits::Below, &["M8 28A8 8 0 1 0 -8 28A8 8 0 1 0 8 28"]),
    mark('\u{326}', Sits::Below, &["M3 18L-4 34"]),
    mark('\u{327}', Sits::Below, &["M0 6L9 18L-8 33"]),
    mark('\u{32d}', Sits::Below, &["M-13 33L0 18L13 33"]),
    mark('\u{330}', Sits::Below, &["M-16 28A9 9 0 0 1 0 24A9 9 0 0 0 16 20"]),
    mark('\u{331}', Sits::Below, &["M-14 20L14 20"]),
    // Horn and ogonek.
    mark('\u{31b}', Sits::Corner, &["M-7 8A16 16 0 0 0 9 -9"]),
    mark('\u{328}', Sits::Tail, &["M0 0A13 13 0 0 0 -6 18A8 8 0 0 0 8 24"]),
];

/// The comma of ģ, which would meet the letter's own tail.
const COMMA_ABOVE: Mark = mark('\u{327}', Sits::Above(18.0), &["M4 -18L-3 -2"]);
/// Beside tall letters a caron is a stroke: ď, ľ, ť.
const CARON_BESIDE: Mark = mark('\u{30c}', Sits::Corner, &["M11 4L6 24"]);

/// Every letter of those blocks that some of these letters make up with marks.
pub(super) fn composed(letters: &[&Glyph]) -> Vec<Glyph> {
    let characters = BLOCKS.into_iter().flatten();
    characters
        .filter(|own| letters.iter().all(|known| known.character != *own))
        .filter_map(|own| compose(own, letters))
        .collect()
}

fn compose(character: char, letters: &[&Glyph]) -> Option<Glyph> {
    let mut parts = Vec::new();
    decompose_canonical(character, |part| parts.push(part));
    let (first, marks) = parts.split_first().filter(|(_, marks)| !marks.is_empty())?;
    let plain = letters.iter().find(|glyph| glyph.character == *first)?;
    let marks: Vec<&Mark> = marks.iter().map(|mark| found(*first, *mark)).collect::<Option<_>>()?;
    let mut strokes: Vec<&'static str> = plain.strokes.to_vec();
    let rises = marks.iter().any(|mark| matches!(mark.sits, Sits::Above(_)));
    // The dot of an i gives way to a mark in its place.
    if rises && matches!(first, 'i' | 'j') {
        strokes.pop();
    }
    let mut y = top(*first) - GAP;
    let mut above: f64 = plain.above;
    let (mut left, mut right) = (plain.left, plain.right);
    for mark in marks {
        let at = match mark.sits {
            Sits::Above(tall) => {
                let at = (plain.width / 2.0, y);
                above = above.max(tall - y);
                y -= tall + GAP;
                at
            }
            Sits::Below => foot(plain),
            Sits::Corner => (plain.width, top(*first)),
            Sits::Tail => (tail(plain), BASE),
        };
        // Made once for each run of the program, as constants would be.
        strokes.extend(mark.strokes.iter().map(|stroke| &*moved(stroke, at).leak()));
        let room =
            if mark.sits == Sits::Corner { 0.0 } else { MARK_HALF_WIDTH - plain.width / 2.0 };
        if room > 0.0 {
            (left, right) = (left.max(room + MARK_SIDE), right.max(room + MARK_SIDE));
        }
        if mark.sits == Sits::Corner {
            right = right.max(MARK_HALF_WIDTH + MARK_SIDE);
        }
    }
    Some(Glyph { character, left, right, strokes: strokes.leak(), above, ..**plain })
}

/// The drawing of a mark on this letter.
fn found(letter: char, character: char) -> Option<&'static Mark> {
    match (letter, character) {
        ('d' | 'l' | 't' | 'L', '\u{30c}') => Some(&CARON_BESIDE),
        ('g', '\u{327}') => Some(&COMMA_ABOVE),
        // Latvian writes a comma where Unicode's names say cedilla.
        ('G' | 'K' | 'k' | 'L' | 'l' | 'N' | 'n' | 'R' | 'r', '\u{327}') => {
            found(letter, '\u{326}')
        }
        _ => MARKS.iter().find(|mark| mark.character == character),
    }
}

/// The height that marks stand on.
fn top(letter: char) -> f64 {
    if letter.is_uppercase() || "bdfhklt".contains(letter) { TOP } else { MIDDLE }
}

/// Where marks hang, beside a tail that goes down.
fn foot(letter: &Glyph) -> (f64, f64) {
    match letter.character {
        'y' => (letter.width, BASE),
        'g' | 'j' | 'p' | 'q' => (letter.width / 2.0, DESCENDER),
        _ => (letter.width / 2.0, BASE),
    }
}

/// Where an ogonek begins: at the foot on the right, or below what is round.
fn tail(letter: &Glyph) -> f64 {
    match letter.character {
        'o' | 'O' | 'U' | 'I' => letter.width / 2.0,
        'e' => letter.width * 0.6,
        _ => letter.width,
    }
}

/// A path of M, L and A moved; the grammar of all our strokes.
fn moved(path: &str, (dx, dy): (f64, f64)) -> String {
    let mut out = String::new();
    let starts: Vec<usize> =
        path.match_indices(['M', 'L', 'A']).map(|(at, _)| at).chain([path.len()]).collect();
    for pair in starts.windows(2) {
        let (command, numbers) = path[pair[0]..pair[1]].split_at(1);
        let mut numbers: Vec<f64> =
            numbers.split(' ').filter_map(|number| number.parse().ok()).collect();
        if let [.., x, y] = numbers.as_mut_slice() {
            (*x, *y) = (*x + dx, *y + dy);
        }
        let numbers: Vec<String> = numbers.into_iter().map(crate::deck::svg::number).collect();
        out.push_str(command);
        out.push_str(&numbers.join(" "));
    }
    out
}
