//! What makes the cards of a deck match, and what a card means under it.

use super::own::own_meaning;
use super::phrase;
use super::shown::{Outline, Shown, Solid, Time};
use super::words::patterns::{self, BLENDS, DIGRAPHS, R_VOWELS, Team, VOWEL_TEAMS};
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
    /// The same last sound.
    FinalSound,
    /// The same short vowel in the middle.
    MiddleVowel,
    /// The same two letters for one consonant.
    Digraph,
    /// The same two consonants at the beginning.
    Blend,
    /// The same letters for the same vowel.
    VowelTeam,
    /// The same vowel with r.
    RVowel,
    /// As many parts to clap.
    Syllables,
    /// A short form and its full form.
    ShortForm,
    /// The same two words in one.
    Compound,
    /// The same solid.
    Solid,
    /// The same solid by its most exact name: a cube is no rectangular prism.
    ExactSolid,
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
    /// A last sound.
    FinalSound(&'static str),
    /// A short vowel, as its letter.
    MiddleVowel(char),
    /// Letters that go together, and their sounds.
    Team(&'static str, &'static str),
    /// Parts to clap.
    Syllables(u16),
    /// A short form, as it is written.
    ShortForm(&'static str),
    /// The two words of a compound.
    Compound(&'static str, &'static str),
    /// A solid.
    Solid(Solid),
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
        Likeness::FinalSound => final_sound(kind, shown).map(Meaning::FinalSound),
        Likeness::MiddleVowel => middle_vowel(kind, shown).map(Meaning::MiddleVowel),
        Likeness::Digraph => team(kind, shown, &DIGRAPHS, patterns::digraph),
        Likeness::Blend => team(kind, shown, &BLENDS, patterns::blend),
        Likeness::VowelTeam => team(kind, shown, &VOWEL_TEAMS, patterns::vowel_team),
        Likeness::RVowel => team(kind, shown, &R_VOWELS, patterns::r_vowel),
        Likeness::Syllables => syllables(kind, shown).map(Meaning::Syllables),
        Likeness::ShortForm => short_form(kind, shown).map(Meaning::ShortForm),
        Likeness::Compound => {
            compound(kind, shown).map(|(first, second)| Meaning::Compound(first, second))
        }
        Likeness::Solid | Likeness::ExactSolid => solid(kind, shown).map(Meaning::Solid),
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
        Likeness::FinalSound => patterns::final_sound(text).map(Meaning::FinalSound),
        Likeness::MiddleVowel => {
            patterns::middle_vowel(text, Accent::DICTIONARY).map(Meaning::MiddleVowel)
        }
        Likeness::Digraph => patterns::digraph(text).map(means),
        Likeness::Blend => patterns::blend(text).map(means),
        Likeness::VowelTeam => patterns::vowel_team(text).map(means),
        Likeness::RVowel => patterns::r_vowel(text).map(means),
        Likeness::Syllables => patterns::syllables(text).map(Meaning::Syllables),
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
        (FaceKind::Picture | FaceKind::Emoji | FaceKind::OtherPicture, Shown::Thing(name)) => {
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
        (FaceKind::Coins, Shown::Coins(coins) | Shown::ValuedCoins(coins)) => {
            Ok(coins.iter().map(|coin| coin.cents()).sum())
        }
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

fn final_sound(kind: FaceKind, shown: &Shown) -> Result<&'static str, &'static str> {
    match (kind, shown) {
        (FaceKind::Picture | FaceKind::Emoji | FaceKind::OtherPicture, Shown::Thing(name)) => {
            patterns::final_sound(name).ok_or("the word does not end with a letter's own sound")
        }
        (FaceKind::SmallLetter, Shown::Print(text)) => {
            words::sound_of_letter(text).ok_or("the letter has no sound of its own")
        }
        _ => Err("it has no last sound"),
    }
}

fn middle_vowel(kind: FaceKind, shown: &Shown) -> Result<char, &'static str> {
    match (kind, shown) {
        (FaceKind::Picture | FaceKind::Emoji | FaceKind::OtherPicture, Shown::Thing(name)) => {
            patterns::middle_vowel(name, Accent::DICTIONARY)
                .ok_or("the word is not three sounds with a short vowel in the middle")
        }
        (FaceKind::SmallLetter, Shown::Print(text)) => text
            .chars()
            .next()
            .filter(|letter| text.len() == 1 && "aeiou".contains(*letter))
            .ok_or("it is no vowel"),
        _ => Err("it has no middle vowel"),
    }
}

fn means(team: &Team) -> Meaning {
    Meaning::Team(team.0, team.1)
}

/// Letters that go together, or a word that is an example of them.
fn team(
    kind: FaceKind,
    shown: &Shown,
    teams: &'static [Team],
    of: fn(&str) -> Option<&'static Team>,
) -> Result<Meaning, &'static str> {
    let found = match (kind, shown) {
        (FaceKind::LetterTeam, Shown::Print(letters)) => patterns::team_of(letters, teams),
        _ => of(&word(kind, shown)?),
    };
    found.map(means).ok_or("the word is no example of letters that go together here")
}

fn syllables(kind: FaceKind, shown: &Shown) -> Result<u16, &'static str> {
    match (kind, shown) {
        (FaceKind::Picture | FaceKind::Emoji | FaceKind::OtherPicture, Shown::Thing(name)) => {
            patterns::syllables(name).ok_or("not everybody claps the word as often")
        }
        (FaceKind::Claps | FaceKind::Numeral, Shown::Count(count)) => Ok(*count),
        _ => Err("it shows nothing to clap"),
    }
}

fn short_form(kind: FaceKind, shown: &Shown) -> Result<&'static str, &'static str> {
    let Shown::Print(text) = shown else { return Err("it is no short form") };
    let written = |form: &str| match kind {
        FaceKind::ShortForm | FaceKind::LongForm => form == text,
        _ => form.to_uppercase() == *text,
    };
    let found = phrase::SHORT_FORMS.iter().find(|(short, long)| match kind {
        FaceKind::ShortForm | FaceKind::ShortFormCapitals => written(short),
        FaceKind::LongForm | FaceKind::LongFormCapitals => written(long),
        _ => false,
    });
    found.map(|(short, _)| *short).ok_or("it is no short form that is known here")
}

fn compound(kind: FaceKind, shown: &Shown) -> Result<(&'static str, &'static str), &'static str> {
    let found = match (kind, shown) {
        (FaceKind::PictureParts, Shown::Things(first, second)) => phrase::compound(first, second),
        (FaceKind::WordParts, Shown::Print(text)) => {
            text.split_once(" + ").and_then(|(first, second)| phrase::compound(first, second))
        }
        _ => phrase::parts_of(&word(kind, shown)?),
    };
    found.ok_or("these two words make none that is known here")
}

fn solid(kind: FaceKind, shown: &Shown) -> Result<Solid, &'static str> {
    match (kind, shown) {
        (FaceKind::Solid | FaceKind::SolidThing, Shown::Solid { solid, .. }) => Ok(*solid),
        (FaceKind::SolidName, Shown::Print(text)) => Solid::ALL
            .into_iter()
            .find(|solid| solid.name() == text)
            .ok_or("it is no name of a solid"),
        _ => Err("it shows no solid"),
    }
}
