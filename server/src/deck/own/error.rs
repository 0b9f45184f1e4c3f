//! Why a teacher's own deck was refused: where, and in a sentence what to do about it.

use super::picture::PictureFault;
use crate::deck::clash::Clash;
use crate::limits::own::{
    CODE_CHARS_MAX, CODES_MAX, FACE_CHARS_MAX, FILE_BYTES_MAX, GROUPS_MIN, GROUPS_MOST,
    NAME_CHARS_MAX, PICTURES_BYTES_MAX, PICTURES_MAX, WORD_CHARS_MAX,
};
use handround_protocol::join::HttpRefusal;
use handround_protocol::limits::{GROUP_CARDS_MAX, GROUP_CARDS_MIN};

/// Why a deck was refused, and on which line of its file, counted from 1; a fault of the whole file has
/// no line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnDeckError {
    /// The line.
    pub line: Option<u32>,
    /// What is wrong.
    pub fault: OwnFault,
}

impl std::fmt::Display for OwnDeckError {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self.line {
            Some(line) => write!(to, "Line {line}: {}", self.fault),
            None => self.fault.fmt(to),
        }
    }
}

impl std::error::Error for OwnDeckError {}

impl From<OwnFault> for OwnDeckError {
    fn from(fault: OwnFault) -> OwnDeckError {
        OwnDeckError { line: None, fault }
    }
}

impl From<OwnDeckError> for HttpRefusal {
    fn from(error: OwnDeckError) -> HttpRefusal {
        HttpRefusal { message: error.to_string(), line: error.line }
    }
}

/// What is wrong with a deck.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // Each sentence says what its variant means.
pub enum OwnFault {
    #[error("The deck file is larger than {} KiB. Pictures stand beside it as files of their own.", FILE_BYTES_MAX / 1024)]
    FileTooLarge,
    #[error("The file cannot be read as text. Save it as UTF-8.")]
    NotText,
    #[error("The file is not written as TOML: {why}.")]
    NotToml { why: String },
    #[error("This is no deck that Handround has saved.")]
    NotSaved,
    #[error("The deck has no name. Write one above the groups, such as {example}.")]
    NoName { example: &'static str },
    #[error("The name of the deck is longer than {NAME_CHARS_MAX} letters.")]
    NameTooLong,
    #[error("`{name}` holds a sign that cannot be shown.")]
    Unshowable { name: String },
    #[error("There is no setting called `{name}`. A deck has {allowed}.")]
    UnknownSetting { name: String, allowed: &'static str },
    #[error("`{name}` must be {wanted}.")]
    WrongSetting { name: &'static str, wanted: &'static str },
    #[error(
        "There are more than {CODES_MAX} codes, or one is longer than {CODE_CHARS_MAX} letters."
    )]
    Codes,
    #[error("The deck has {groups}. It needs at least {GROUPS_MIN} groups, since a table of two plays with 16 cards; a table of four needs 6.", groups = count(*groups, "group"))]
    TooFewGroups { groups: usize },
    #[error(
        "The deck has {groups} groups. There can be at most {GROUPS_MOST}; make two decks of it."
    )]
    TooManyGroups { groups: usize },
    #[error("The group has no meaning. Say in a word or two what its cards have in common.")]
    NoMeaning,
    #[error("The meaning is longer than {FACE_CHARS_MAX} letters.")]
    MeaningTooLong,
    #[error(
        "`{meaning}` is the meaning of the group on line {first} already. Put all its faces into one group."
    )]
    MeaningTwice { meaning: String, first: u32 },
    #[error("The group `{meaning}` has {faces}. A group has {GROUP_CARDS_MIN} to {GROUP_CARDS_MAX}, no two alike.", faces = count(*faces, "face"))]
    FaceCount { meaning: String, faces: usize },
    #[error("A face of the group `{meaning}` is empty.")]
    EmptyFace { meaning: String },
    #[error(
        "`{face}` stands twice in the group `{meaning}`. Write it in another way, or leave one out."
    )]
    FaceTwice { face: String, meaning: String },
    #[error("{pair} are in different groups, but {clash}. {advice}", advice = clash.suggestion())]
    Clash { pair: Box<UnfairPair>, clash: Clash },
    #[error(
        "`{start}...` is longer than {FACE_CHARS_MAX} letters, or has a word of more than {WORD_CHARS_MAX}. It would be too small to read."
    )]
    FaceTooLong { start: String },
    #[error(
        "The sign `{sign}` in `{face}` cannot be drawn on a card. Letters from a to z, digits and . , ' - + = ? ! can."
    )]
    Undrawable { sign: char, face: String },
    #[error("`{face}` has a word that no card here shows, since some take it for a rude one.")]
    Blocked { face: String },
    #[error(
        "{number} cannot be shown as a number: those from 0 to 999 can. Write it in quotation marks to have it as a word."
    )]
    NumberOutOfRange { number: String },
    #[error("A face is a word in quotation marks, a number, or {{ picture = \"file.png\" }}.")]
    NoFace,
    #[error(
        "There is no picture called `{name}`. Pictures of your own have a file name that ends in .png, .jpg, .jpeg or .svg."
    )]
    NoSuchPicture { name: String },
    #[error("The picture file `{file}` was not sent along with the deck.")]
    PictureMissing { file: String },
    #[error("The picture `{file}` cannot be used: {why}")]
    Picture { file: String, why: PictureFault },
    #[error("The deck has more than {PICTURES_MAX} pictures.")]
    TooManyPictures,
    #[error("The pictures are larger than {} MiB together. Save them smaller.", PICTURES_BYTES_MAX / 1024 / 1024)]
    PicturesTooLarge,
}

/// Two faces of different groups that are no fair pair.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnfairPair {
    /// A face, as a sentence names it.
    pub face: String,
    /// The meaning of its group.
    pub meaning: String,
    /// The other face.
    pub other: String,
    /// The meaning of its group.
    pub other_meaning: String,
    /// The line of the other one, if the deck came as a file with lines.
    pub other_line: Option<u32>,
}

impl std::fmt::Display for UnfairPair {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            to,
            "`{}` of the group `{}` and `{}` of the group `{}`",
            self.face, self.meaning, self.other, self.other_meaning
        )?;
        self.other_line.map_or(Ok(()), |line| write!(to, " on line {line}"))
    }
}

/// `1 face`, `3 faces`.
fn count(number: usize, name: &str) -> String {
    format!("{number} {name}{}", if number == 1 { "" } else { "s" })
}
