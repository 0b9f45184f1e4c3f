//! Pairs that children take for each other although they do not match. They are fair, and hard: a
//! deck avoids them, allows them or is made of them.

use super::likeness::Meaning;
use super::own::own_confusable;
use super::shown::{Outline, Solid, Time};

/// Letters that look alike: pairs of a reading clinic's page (content notes, section 5, seen), and a
/// few from memory.
const LETTERS: [&str; 27] = [
    "bd", "bp", "bq", "dg", "dq", "ae", "ag", "gy", "ij", "il", "kx", "mn", "cn", "hn", "pq", "uv",
    "uw", "uy", "mw", "vy", "dp", "nu", "ft", "bh", "ce", "co", "gq",
];

/// Sounds that are hard to tell apart (content notes, section 5, from memory).
const SOUNDS: [(&str, &str); 12] = [
    ("B", "P"),
    ("D", "T"),
    ("G", "K"),
    ("F", "V"),
    ("M", "N"),
    ("B", "V"),
    ("F", "TH"),
    ("S", "Z"),
    ("EH", "IH"),
    ("AA", "AH"),
    ("AE", "EH"),
    ("L", "R"),
];

/// Short vowels that are hard to tell apart: short e and i first of all.
const VOWELS: [&str; 3] = ["ei", "ou", "ae"];

/// Whether children often take the two for each other.
pub fn confusable(one: &Meaning, other: &Meaning) -> bool {
    if one == other {
        return false;
    }
    match (one, other) {
        (Meaning::Number(one), Meaning::Number(other)) => numbers(*one, *other),
        (Meaning::Amount(one), Meaning::Amount(other)) => {
            numbers(*one, *other) || either((*one, *other), (5, 10))
        }
        (Meaning::Partner(one), Meaning::Partner(other)) => one.abs_diff(*other) == 1,
        (Meaning::Letter(one), Meaning::Letter(other)) => {
            LETTERS.iter().any(|pair| pair.contains(*one) && pair.contains(*other))
        }
        (Meaning::Word(one), Meaning::Word(other)) => words(one, other),
        (Meaning::Ending(spelled, one), Meaning::Ending(others, other)) => {
            one_sound_apart(one, other) || silent_e_apart(spelled, others)
        }
        (Meaning::Rime(one), Meaning::Rime(other)) => one_sound_apart(one, other),
        (Meaning::FirstSound(one), Meaning::FirstSound(other)) => sounds(one, other),
        (Meaning::Time(one), Meaning::Time(other)) => times(*one, *other),
        (Meaning::Outline(one), Meaning::Outline(other)) => outlines(*one, *other),
        // Thirds for fourths with the same count, or the shaded taken for the rest.
        (Meaning::Share(one, of), Meaning::Share(other, others)) => {
            one == other || of == others && one + other == *of
        }
        (Meaning::Own(one), Meaning::Own(other)) => own_confusable(one, other),
        (Meaning::FinalSound(one), Meaning::FinalSound(other)) => sounds(one, other),
        (Meaning::MiddleVowel(one), Meaning::MiddleVowel(other)) => {
            VOWELS.iter().any(|pair| pair.contains(*one) && pair.contains(*other))
        }
        (Meaning::Team(_, one), Meaning::Team(_, other)) => teams(one, other),
        (Meaning::Syllables(one), Meaning::Syllables(other)) => one.abs_diff(*other) == 1,
        (Meaning::ShortForm(one), Meaning::ShortForm(other)) => short_forms(one, other),
        (Meaning::Compound(one, two), Meaning::Compound(other, others)) => {
            one == other || two == others || one == others || two == other
        }
        (Meaning::Solid(one), Meaning::Solid(other)) => solids(*one, *other),
        _ => false,
    }
}

fn either<T: PartialEq>(pair: (T, T), known: (T, T)) -> bool {
    pair.0 == known.0 && pair.1 == known.1 || pair.0 == known.1 && pair.1 == known.0
}

/// Turned digits (6 and 9), the same digits in another order (12 and 21, 306 and 360), teen and ty
/// (13 and 30), and 12 with 20.
fn numbers(one: u16, other: u16) -> bool {
    const LOOKS: [(u16, u16); 4] = [(6, 9), (2, 5), (1, 7), (12, 20)];
    let digits = |number: u16| {
        let mut digits: Vec<char> = number.to_string().chars().collect();
        digits.sort_unstable();
        digits
    };
    let teen = |teen: u16, ty: u16| (13..=19).contains(&teen) && ty == (teen - 10) * 10;
    one != other
        && (LOOKS.iter().any(|known| either((one, other), *known))
            || digits(one) == digits(other)
            || teen(one, other)
            || teen(other, one))
}

/// Words that differ in the vowel alone, in one of the turning letters, or in their direction.
fn words(one: &str, other: &str) -> bool {
    if one.chars().count() != other.chars().count() {
        return false;
    }
    if one != other && one.chars().rev().eq(other.chars()) {
        return true;
    }
    let mut unlike = one.chars().zip(other.chars()).filter(|(one, other)| one != other);
    match (unlike.next(), unlike.next()) {
        (Some(pair), None) => {
            let vowel = |letter: char| "aeiou".contains(letter);
            vowel(pair.0) && vowel(pair.1)
                || "bdpq".contains(pair.0) && "bdpq".contains(pair.1)
                || either(pair, ('m', 'n'))
        }
        _ => false,
    }
}

fn sounds(one: &str, other: &str) -> bool {
    SOUNDS.iter().any(|known| either((one, other), *known))
}

/// Rimes of equally many sounds that differ in one hard pair.
fn one_sound_apart(one: &str, other: &str) -> bool {
    let (one, other): (Vec<&str>, Vec<&str>) =
        (one.split(' ').collect(), other.split(' ').collect());
    let mut unlike = one.iter().zip(&other).filter(|(one, other)| one != other);
    one.len() == other.len()
        && matches!((unlike.next(), unlike.next()), (Some((a, b)), None) if sounds(a, b))
}

/// The hands exchanged (6:00 and 12:30), or the hour hand read by the nearer numeral (10:30 as 9:30 or
/// 11:30), or the minute hand read as a numeral (3:15 as 3:03).
fn times(one: Time, other: Time) -> bool {
    let exchanged = |from: Time, to: Time| {
        let numeral = if from.minute == 0 { 12 } else { from.minute / 5 };
        let minute = from.hour % 12 * 5;
        // With the minute hand near the hour hand's place the two pictures differ by half an hour's turn.
        to.hour == numeral && to.minute.abs_diff(minute) <= 2
    };
    let half = |from: Time, to: Time| {
        (from.minute, from.hour % 12) == (0, 6) && (to.minute, to.hour % 12) == (30, 0)
    };
    let hour_off = {
        let apart = (one.hour % 12).abs_diff(other.hour % 12);
        one.minute == other.minute && one.minute >= 15 && (apart == 1 || apart == 11)
    };
    let numeral = |from: Time, to: Time| {
        from.hour == to.hour
            && from.minute > 0
            && u16::from(from.minute) == u16::from(to.minute) * 5
    };
    one != other
        && (exchanged(one, other)
            || exchanged(other, one)
            || half(one, other)
            || half(other, one)
            || hour_off
            || numeral(one, other)
            || numeral(other, one))
}

/// Endings that a silent e tells apart: `at` and `ate`.
fn silent_e_apart(one: &str, other: &str) -> bool {
    one.strip_suffix('e') == Some(other) || other.strip_suffix('e') == Some(one)
}

/// Sounds of letters that go together: hard pairs, a blend for one of equal beginning or end, and
/// affricates that tr and dr sound like.
fn teams(one: &str, other: &str) -> bool {
    const PAIRS: [(&str, &str); 8] = [
        ("CH", "SH"),
        ("F", "TH"),
        ("AA R", "AO R"),
        ("EH R", "IH R"),
        ("ER", "AO R"),
        ("AO", "OW"),
        ("AW", "OW"),
        ("EY", "IY"),
    ];
    PAIRS.iter().any(|known| either((one, other), *known)) || {
        let (one, other): (Vec<&str>, Vec<&str>) =
            (one.split(' ').collect(), other.split(' ').collect());
        let [a, b] = one[..] else { return false };
        let [c, d] = other[..] else { return false };
        b != "R" && d != "R" && a == c && sounds(b, d)
            || b == d && sounds(a, c)
            || a == c && either((b, d), ("L", "R"))
    }
}

/// Short forms of one pronoun (we’re, we’ll), or of one helping verb (do not, does not).
fn short_forms(one: &str, other: &str) -> bool {
    let begin = |form: &'_ str| form.split('’').next().unwrap_or_default().to_owned();
    let (first, second) = (begin(one), begin(other));
    first == second
        || either((one, other), ("don’t", "doesn’t"))
        || either((one, other), ("don’t", "didn’t"))
}

fn solids(one: Solid, other: Solid) -> bool {
    use Solid::{Cone, Cube, Cylinder, Pyramid, RectangularPrism, TriangularPrism};
    const PAIRS: [(Solid, Solid); 5] = [
        (Cube, RectangularPrism),
        (Cone, Pyramid),
        (Cone, Cylinder),
        (Pyramid, TriangularPrism),
        (RectangularPrism, TriangularPrism),
    ];
    PAIRS.iter().any(|known| either((one, other), *known))
}

fn outlines(one: Outline, other: Outline) -> bool {
    use Outline::{
        Circle, HalfCircle, Hexagon, Octagon, Oval, Pentagon, Rectangle, Rhombus, Square, Trapezoid,
    };
    const PAIRS: [(Outline, Outline); 8] = [
        (Hexagon, Octagon),
        (Hexagon, Pentagon),
        (Pentagon, Octagon),
        (Circle, Oval),
        (Circle, HalfCircle),
        (Square, Rectangle),
        (Rhombus, Trapezoid),
        (Square, Rhombus),
    ];
    PAIRS.iter().any(|known| either((one, other), *known))
}
