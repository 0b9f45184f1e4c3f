//! Pairs of cards from different groups that no deck may hold together, since a child could with
//! good reason say that they match.

use super::likeness::{Likeness, Meaning, meaning, meaning_of_word};
use super::own::own_clash;
use super::shown::{Outline, Shown, Solid};
use super::words::{self, Accent, patterns};
use handround_protocol::face::FaceKind;

/// One card as far as matching goes.
pub type Card = (FaceKind, Shown);

/// Why two cards of different groups are no fair pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Clash {
    /// They match.
    SameMeaning,
    /// Tally strokes stand beside a numeral of ones: two strokes and 11.
    RowOfOnes,
    /// A picture is likely called by the other's name.
    OtherName,
    /// Some accent hears no difference.
    SoundsAlike,
    /// One shape is a special case of the other: a square is a rectangle.
    Includes,
    /// Circles and strokes that are letters on one card and digits on the other: O and 0.
    LooksAlike,
    /// A letter stands beside something whose word begins with it.
    BeginsWith,
}

impl std::fmt::Display for Clash {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        to.write_str(match self {
            Clash::SameMeaning => "they match",
            Clash::RowOfOnes => "strokes and ones look alike",
            Clash::OtherName => "the picture may be called by the other's name",
            Clash::SoundsAlike => "they sound alike to some",
            Clash::Includes => "one shape is also the other",
            Clash::LooksAlike => "they look alike",
            Clash::BeginsWith => "one begins with the other",
        })
    }
}

impl Clash {
    /// What to do about it, for the teacher.
    pub fn suggestion(self) -> &'static str {
        match self {
            Clash::SameMeaning => "Put both into one group, or leave one of the groups out.",
            Clash::RowOfOnes => "Show one of the two numbers in another way.",
            Clash::OtherName => {
                "Use the word instead of the picture, or leave one of the groups out."
            }
            Clash::SoundsAlike => "Leave one of the groups out; some children hear no difference.",
            Clash::Includes => "Leave one of the shapes out, or ask for the most exact names.",
            Clash::LooksAlike => "Write one of the two as a word, or leave one of the groups out.",
            Clash::BeginsWith => "Leave the letter out, or one of the groups.",
        }
    }
}

/// Why two cards of different groups clash for some accent, if they do.
pub fn clash(likeness: Likeness, one: &Card, other: &Card) -> Option<Clash> {
    let meanings =
        (meaning(likeness, one.0, &one.1).ok()?, meaning(likeness, other.0, &other.1).ok()?);
    if meanings.0 == meanings.1 {
        return Some(Clash::SameMeaning);
    }
    clash_beyond_meaning(likeness, Accent::ANY, (one, &meanings.0), (other, &meanings.1))
}

/// The same for cards whose different meanings are known.
pub(super) fn clash_beyond_meaning(
    likeness: Likeness,
    accent: Accent,
    (one, one_means): (&Card, &Meaning),
    (other, other_means): (&Card, &Meaning),
) -> Option<Clash> {
    let called = |card: &Card, meant: &Meaning| match &card.1 {
        Shown::Thing(name) => words::other_names(name)
            .any(|other| meaning_of_word(likeness, other).as_ref() == Some(meant)),
        _ => false,
    };
    if called(one, other_means) || called(other, one_means) {
        return Some(Clash::OtherName);
    }
    if likeness == Likeness::Own {
        return own_clash(one, other, accent);
    }
    let found = match likeness {
        Likeness::Value => row_of_ones(one, other) || row_of_ones(other, one),
        Likeness::Rime | Likeness::Ending => {
            let rimes = |card: &Card| text(card).map(|word| words::rimes(&word, accent));
            rimes(one).zip(rimes(other)).is_some_and(|(one, other)| !one.is_disjoint(&other))
        }
        // In print `sun` and `son` differ; only a picture is known by its sound alone.
        Likeness::Word
            if matches!(&one.1, Shown::Thing(_)) || matches!(&other.1, Shown::Thing(_)) =>
        {
            let sounds = |card: &Card| text(card).map(|word| words::sounds(&word, accent));
            sounds(one).zip(sounds(other)).is_some_and(|(one, other)| !one.is_disjoint(&other))
        }
        Likeness::Outline => includes(one_means, other_means),
        Likeness::Solid => a_cube_is_a_box(one_means, other_means),
        // The picture of a tail asks for ai as well as for a_e: only the letters would tell.
        Likeness::Digraph | Likeness::Blend | Likeness::VowelTeam | Likeness::RVowel => {
            matches!((one_means, other_means), (Meaning::Team(_, one), Meaning::Team(_, other)) if one == other)
        }
        Likeness::MiddleVowel => vowel_changes(one, accent) || vowel_changes(other, accent),
        Likeness::ShortForm => {
            let sounds =
                |card: &Card| text(card).map(|form| words::sounds(&form.replace('’', "'"), accent));
            sounds(one).zip(sounds(other)).is_some_and(|(one, other)| !one.is_disjoint(&other))
        }
        _ => false,
    };
    found.then_some(match likeness {
        Likeness::Value => Clash::RowOfOnes,
        Likeness::Outline | Likeness::Solid => Clash::Includes,
        _ => Clash::SoundsAlike,
    })
}

fn text(card: &Card) -> Option<String> {
    match &card.1 {
        Shown::Print(text) | Shown::Thing(text) => Some(text.to_lowercase()),
        _ => None,
    }
}

/// Tally marks without a fifth stroke are a row of ones, so two strokes beside the numeral 11 is no
/// fair card.
fn row_of_ones(tally: &Card, numeral: &Card) -> bool {
    const ROWS: [(u16, u16); 3] = [(1, 1), (2, 11), (3, 111)];
    match (tally, numeral) {
        ((FaceKind::Tally, Shown::Count(strokes)), (FaceKind::Numeral, Shown::Count(ones))) => {
            ROWS.contains(&(*strokes, *ones))
        }
        _ => false,
    }
}

/// By the inclusive definitions of school geometry; a trapezoid has at least one pair of parallels.
fn includes(one: &Meaning, other: &Meaning) -> bool {
    use Outline::{Rectangle, Rhombus, Square, Trapezoid};
    let (Meaning::Outline(one), Meaning::Outline(other)) = (one, other) else { return false };
    const PAIRS: [(Outline, Outline); 5] = [
        (Square, Rectangle),
        (Square, Rhombus),
        (Square, Trapezoid),
        (Rectangle, Trapezoid),
        (Rhombus, Trapezoid),
    ];
    PAIRS.contains(&(*one, *other)) || PAIRS.contains(&(*other, *one))
}

/// Whether an accent hears another vowel in a picture's word than its letter says.
fn vowel_changes(card: &Card, accent: Accent) -> bool {
    match &card.1 {
        Shown::Thing(name) => patterns::middle_vowel(name, accent).is_none(),
        _ => false,
    }
}

/// A cube is a rectangular prism by the definitions of school geometry.
fn a_cube_is_a_box(one: &Meaning, other: &Meaning) -> bool {
    const PAIR: [Meaning; 2] =
        [Meaning::Solid(Solid::Cube), Meaning::Solid(Solid::RectangularPrism)];
    one != other && PAIR.contains(one) && PAIR.contains(other)
}
