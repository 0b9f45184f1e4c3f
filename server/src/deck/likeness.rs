//! What makes the cards of a deck match, and what a card means under it.

use super::own::own_meaning;
use super::phrase;
use super::shown::{Outline, Shown, Time};
use super::words::{self, Accent};
use handround_protocol::face::FaceKind;
use serde::{Deserialize, Serialize};

/// What makes cards match.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Likeness {
    /// The same number.
    #[default]
    Value,
    /// The same two numbers that make ten.
    PartnersOfTen,
    /// The same letter.
    Letter,
    /// The same word.
    Word,
    /// The same printed ending that sounds the same.
    Ending,
    /// The same sounds from the stressed vowel on.
    Rime,
    /// The same first sound.
    FirstSound,
    /// The same time.
    Time,
    /// The same amount of money.
    Amount,
    /// The same shape.
    Outline,
    /// The same shape by its most exact name: a square is no rectangle.
    ExactOutline,
    /// The same part of a whole.
    Share,
    /// The same group of a teacher's own deck, or the same child of the class.
    Own,
}

/// What a card means; two cards match if and only if they mean the same.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meaning {
    /// A number.
    Number(u16),
    /// The smaller partner of ten.
    Partner(u16),
    /// A small letter.
    Letter(char),
    /// A word in small letters.
    Word(String),
    /// A printed ending and how it sounds.
    Ending(String, String),
    /// Sounds from the stressed vowel on.
    Rime(String),
    /// A first sound.
    FirstSound(&'static str),
    /// A time.
    Time(Time),
    /// Cents.
    Amount(u16),
    /// A shape.
    Outline(Outline),
    /// Shaded shares, and all shares.
    Share(u8, u8),
    /// All that the cards of a teacher's group say, in small letters. What they have in common no
    /// card shows, so a single card tells no more than its own part of it.
    Own(Vec<String>),
}

/// What a face means, or why it means nothing under this likeness.
///
/// # Errors
/// A reason in plain words.
pub fn meaning(likeness: Likeness, kind: FaceKind, shown: &Shown) -> Result<Meaning, &'static str> {
    match likeness {
        Likeness::Value => number(kind, shown).map(Meaning::Number),
        Likeness::PartnersOfTen => partner(kind, shown).map(Meaning::Partner),
        Likeness::Letter => letter(kind, shown).map(Meaning::Letter),
        Likeness::Word => word(kind, shown).map(Meaning::Word),
        Likeness::Ending => ending(&word(kind, shown)?),
        Likeness::Rime => rime(&word(kind, shown)?).map(Meaning::Rime),
        Likeness::FirstSound => first_sound(kind, shown).map(Meaning::FirstSound),
        Likeness::Time => time(kind, shown).map(Meaning::Time),
        Likeness::Amount => amount(kind, shown).map(Meaning::Amount),
        Likeness::Outline | Likeness::ExactOutline => outline(kind, shown).map(Meaning::Outline),
        Likeness::Share => share(kind, shown).map(|(shaded, all)| Meaning::Share(shaded, all)),
        Likeness::Own => Ok(own_meaning([&(kind, shown.clone())])),
    }
}

/// What a word would mean as a card of its own; how another name of a picture is judged.
pub(super) fn meaning_of_word(likeness: Likeness, text: &str) -> Option<Meaning> {
    match likeness {
        Likeness::Letter => words::first_letter(text).map(Meaning::Letter),
        Likeness::Word => Some(Meaning::Word(text.to_owned())),
        Likeness::Ending => ending(text).ok(),
        Likeness::Rime => rime(text).ok().map(Meaning::Rime),
        Likeness::FirstSound => words::first_sound(text).map(Meaning::FirstSound),
        _ => None,
    }
}

fn number(kind: FaceKind, shown: &Shown) -> Result<u16, &'static str> {
    match (kind, shown) {
        (_, Shown::Count(value)) => Ok(*value),
        (_, Shown::Parts(one, other) | Shown::Bond { whole: false, parts: (one, other) }) => {
            Ok(one + other)
        }
        (_, Shown::Rows { rows, each }) => Ok(rows * each),
        (_, Shown::Print(text)) => phrase::number(kind, text),
        _ => Err("it shows no number"),
    }
}

/// Both partners must be there, and make ten.
fn partner(kind: FaceKind, shown: &Shown) -> Result<u16, &'static str> {
    let (one, other) = match (kind, shown) {
        (_, Shown::Parts(one, other) | Shown::Bond { whole: true, parts: (one, other) }) => {
            (*one, *other)
        }
        (FaceKind::Addition | FaceKind::Subtraction, Shown::Print(text)) => {
            let (left, sign, right) = phrase::equation(text).ok_or("it is no sum")?;
            match sign {
                '+' => (left, right),
                _ if left == 10 => (right, 10_u16.saturating_sub(right)),
                _ => return Err("it does not take away from ten"),
            }
        }
        _ => return Err("it shows no partners"),
    };
    if one + other == 10 { Ok(one.min(other)) } else { Err("its parts do not make ten") }
}

fn letter(kind: FaceKind, shown: &Shown) -> Result<char, &'static str> {
    match shown {
        Shown::Print(text) => {
            let mut letters = text.chars();
            let (Some(letter), None) = (letters.next(), letters.next()) else {
                return Err("it shows more than a letter");
            };
            let capital = matches!(kind, FaceKind::Capital | FaceKind::BookCapital);
            let right =
                if capital { letter.is_ascii_uppercase() } else { letter.is_ascii_lowercase() };
            if right {
                Ok(letter.to_ascii_lowercase())
            } else {
                Err("it is the other form of letter")
            }
        }
        Shown::Thing(name) => {
            words::first_letter(name).ok_or("the word does not begin with its letter's own sound")
        }
        _ => Err("it shows no letter"),
    }
}

/// Whether a text is written as its kind says.
fn word(kind: FaceKind, shown: &Shown) -> Result<String, &'static str> {
    match shown {
        Shown::Thing(name) => Ok(name.clone()),
        Shown::Print(text) => {
            let small = text.to_lowercase();
            let first = small.chars().next().ok_or("the word is empty")?;
            let written = match kind {
                FaceKind::WordCapitals => small.to_uppercase(),
                FaceKind::WordFirstCapital => {
                    format!("{}{}", first.to_uppercase(), &small[first.len_utf8()..])
                }
                FaceKind::Word | FaceKind::WordBook | FaceKind::SoundBoxes => small.clone(),
                _ => return Err("it is no word"),
            };
            if written != *text {
                return Err("it is written in another form than its kind");
            }
            if kind == FaceKind::SoundBoxes && !words::is_short_vowel_word(&small) {
                return Err("its letters and sounds do not go one by one");
            }
            Ok(small)
        }
        _ => Err("it shows no word"),
    }
}

fn rime(word: &str) -> Result<String, &'static str> {
    let mut rimes = words::rimes(word, Accent::DICTIONARY).into_iter();
    match (rimes.next(), rimes.next()) {
        (Some(rime), None) => Ok(rime),
        (Some(_), Some(_)) => Err("the word is said in two ways that rhyme with different words"),
        _ => Err("the sound of the word is not known"),
    }
}

fn ending(word: &str) -> Result<Meaning, &'static str> {
    let ending = words::ending(word).ok_or("the word has no vowel letter")?;
    Ok(Meaning::Ending(ending.to_owned(), rime(word)?))
}

fn first_sound(kind: FaceKind, shown: &Shown) -> Result<&'static str, &'static str> {
    match (kind, shown) {
        (FaceKind::Picture, Shown::Thing(name)) => {
            // The plain letter's sound alone: no sh, no tr.
            words::first_letter(name)
                .and_then(|_| words::first_sound(name))
                .ok_or("the word does not begin with a letter's own sound")
        }
        (FaceKind::SmallLetter, Shown::Print(text)) => {
            let mut sounds = text.split(' ').map(words::sound_of_letter);
            let first = sounds.next().flatten().ok_or("the letter has no sound of its own")?;
            let same = sounds.all(|sound| sound == Some(first));
            if same { Ok(first) } else { Err("the letters sound different") }
        }
        _ => Err("it has no first sound"),
    }
}

fn time(kind: FaceKind, shown: &Shown) -> Result<Time, &'static str> {
    match (kind, shown) {
        (_, Shown::Time(time)) => Ok(*time),
        (FaceKind::TimeWords, Shown::Print(text)) => {
            phrase::time_of(text).ok_or("these words tell no time")
        }
        _ => Err("it shows no time"),
    }
}

fn amount(kind: FaceKind, shown: &Shown) -> Result<u16, &'static str> {
    match (kind, shown) {
        (FaceKind::Coins, Shown::Coins(coins)) => Ok(coins.iter().map(|coin| coin.cents()).sum()),
        (FaceKind::CentSign | FaceKind::DollarSign | FaceKind::MoneyWords, Shown::Print(text)) => {
            phrase::cents_of(kind, text).ok_or("it tells no amount")
        }
        _ => Err("it shows no amount"),
    }
}

fn outline(kind: FaceKind, shown: &Shown) -> Result<Outline, &'static str> {
    match (kind, shown) {
        (_, Shown::Outline { outline, .. }) => Ok(*outline),
        (FaceKind::ShapeName, Shown::Print(text)) => Outline::ALL
            .into_iter()
            .find(|outline| outline.name() == text)
            .ok_or("it is no name of a shape"),
        _ => Err("it shows no shape"),
    }
}

fn share(kind: FaceKind, shown: &Shown) -> Result<(u8, u8), &'static str> {
    match (kind, shown) {
        (_, Shown::Shares { shares, shaded, .. }) => Ok((*shaded, *shares)),
        (FaceKind::ShareWords, Shown::Print(text)) => {
            phrase::share_of(text).ok_or("these words tell no share")
        }
        _ => Err("it shows no share"),
    }
}
