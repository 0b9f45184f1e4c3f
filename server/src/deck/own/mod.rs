//! A teacher's own decks: match groups that she writes herself, as TOML or as a spreadsheet, with
//! words, numbers and pictures. Bytes in; a checked deck, or the line and the reason why not, out. It
//! knows no folder and no upload: whoever has the files hands them over.
//!
//! What the cards of a group have in common is the teacher's word. What can be checked is checked: no
//! card may belong to two groups by its word, its number, its picture or its sound.

mod alike;
mod check;
mod draft;
mod error;
pub mod picture;
mod picture_svg;
mod saved;
mod upload;
mod written_csv;
mod written_toml;

pub use alike::own_meaning;
pub(super) use alike::{own_clash, own_confusable};
pub use error::{OwnDeckError, OwnFault, UnfairPair};
pub use picture::{OwnPicture, PictureFault};
pub use saved::checked_again;
pub use upload::{Upload, Uploads};

use super::clash::Card;
use super::family::{Family, MatchGroup};
use super::likeness::Likeness;
use super::phrase;
use super::shown::Shown;
use super::words::{self, Accent};
use crate::limits::own::{FILE_BYTES_MAX, SAVED_BYTES_MAX};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Pictures by their file's name, as they came.
pub type Pictures = BTreeMap<String, Vec<u8>>;

/// How a deck is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// By hand.
    Toml,
    /// By a spreadsheet.
    Csv,
    /// By us, with its pictures inside: `OwnDeck::save`.
    Saved,
}

/// A teacher's own deck, checked. What is deserialised from elsewhere must go through `read` with
/// `Format::Saved`, or through `checked_again`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnDeck {
    /// Its name on screen.
    pub name: String,
    /// Codes of published standards that it serves, as the teacher wrote them.
    #[serde(default)]
    pub standards: Vec<String>,
    /// Codes of the school's own.
    #[serde(default)]
    pub local_codes: Vec<String>,
    /// Which sounds are one for some child of the class.
    pub accent: Accent,
    /// Its match groups.
    pub groups: Vec<OwnGroup>,
}

/// A match group of an own deck.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnGroup {
    /// What its cards have in common, in the teacher's words; no card shows it.
    pub meaning: String,
    /// 4 to 12, no two alike.
    pub faces: Vec<OwnFace>,
}

/// A face of an own deck.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum OwnFace {
    /// A word or a few.
    Words(String),
    /// A number in digits.
    Number(u16),
    /// One of our own pictures.
    Thing(String),
    /// A picture of the teacher's.
    Picture(OwnPicture),
}

impl OwnFace {
    /// The card that shows it.
    pub fn card(&self) -> Card {
        match self {
            OwnFace::Number(number) => (FaceKind::Numeral, Shown::Count(*number)),
            OwnFace::Thing(name) => (FaceKind::Picture, Shown::Thing(name.clone())),
            OwnFace::Picture(picture) => (FaceKind::Picture, Shown::Own(picture.clone())),
            OwnFace::Words(text) => (kind_of(text), Shown::Print(text.clone())),
        }
    }

    /// How a sentence names it.
    pub fn named(&self) -> String {
        match self {
            OwnFace::Words(text) => text.clone(),
            OwnFace::Number(number) => number.to_string(),
            OwnFace::Thing(name) => format!("picture of {name}"),
            OwnFace::Picture(picture) => format!("picture of {}", picture.word),
        }
    }
}

/// A single letter keeps its place between the writing lines, and a sum is printed without them.
fn kind_of(text: &str) -> FaceKind {
    let mut letters = text.chars();
    match (letters.next(), letters.next()) {
        (Some('A'..='Z'), None) => FaceKind::Capital,
        (Some('a'..='z'), None) => FaceKind::SmallLetter,
        _ => match phrase::equation(text) {
            Some((_, '+', _)) => FaceKind::Addition,
            Some(_) => FaceKind::Subtraction,
            None => FaceKind::Word,
        },
    }
}

/// Reads a deck. Nothing of it is kept unless all of it is right.
///
/// # Errors
/// The first thing that is wrong, with its line.
pub fn read(file: &[u8], format: Format, pictures: &Pictures) -> Result<OwnDeck, OwnDeckError> {
    let bytes_max = if format == Format::Saved { SAVED_BYTES_MAX } else { FILE_BYTES_MAX };
    if file.len() > bytes_max {
        return Err(OwnFault::FileTooLarge.into());
    }
    match format {
        Format::Toml => check::finish(written_toml::read(file)?, "name = \"Plants\"", pictures),
        Format::Csv => check::finish(written_csv::read(file)?, "name:,Plants", pictures),
        Format::Saved => saved::read(file),
    }
}

/// The picture files that a deck names, each once, so that whoever has the files need not send others.
///
/// # Errors
/// The file cannot be read as a deck.
pub fn files_named(file: &[u8], format: Format) -> Result<Vec<String>, OwnDeckError> {
    let draft = match format {
        _ if file.len() > FILE_BYTES_MAX => return Err(OwnFault::FileTooLarge.into()),
        Format::Toml => written_toml::read(file)?,
        Format::Csv => written_csv::read(file)?,
        Format::Saved => return Ok(Vec::new()),
    };
    let faces = draft.groups.iter().flat_map(|group| &group.faces);
    let name = |face: &draft::Written<draft::DraftFace>| match &face.is {
        draft::DraftFace::Picture { name, .. } if draft::is_file(name) => Some(name.clone()),
        _ => None,
    };
    let names: std::collections::BTreeSet<String> = faces.filter_map(name).collect();
    Ok(names.into_iter().collect())
}

impl OwnDeck {
    /// The deck with its pictures as one file, for keeping and for sharing.
    ///
    /// # Errors
    /// None that a deck of ours can meet; serde's signature has one.
    pub fn save(&self) -> Result<Vec<u8>, serde_json::Error> {
        serde_json::to_vec_pretty(self)
    }

    /// The family of this deck alone: all its groups, of which a deck for play takes as many as are
    /// asked for.
    pub fn family(&self) -> Family {
        let group = |group: &OwnGroup| {
            let cards: Vec<Card> = group.faces.iter().map(OwnFace::card).collect();
            MatchGroup { meaning: own_meaning(&cards), places: vec![cards] }
        };
        Family {
            name: self.name.clone(),
            standards: &[],
            // A teacher knows her class; the deck says nothing of ages.
            ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
            likeness: Likeness::Own,
            accent: self.accent,
            groups: self.groups.iter().map(group).collect(),
            starts: Vec::new(),
        }
    }

    /// What the teacher should know although nothing is wrong, in sentences: words that we could not
    /// check, words that sound alike, and how large a table the deck serves.
    pub fn notes(&self) -> Vec<String> {
        check::notes(self)
    }
}

/// Whether a text is one word of letters, which a dictionary could know.
fn is_word(text: &str) -> bool {
    text.chars().count() > 1 && text.chars().all(|letter| letter.is_ascii_alphabetic())
}

/// Whether our dictionary knows how a word sounds.
fn is_known(word: &str) -> bool {
    !words::pronunciations(&word.to_lowercase()).is_empty()
}
