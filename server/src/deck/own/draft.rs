//! A deck as its file says it, before anything is checked: each group and face with the line that it
//! stands on. Both file formats end up here, so that they are held to the same rules.

use super::error::{OwnDeckError, OwnFault};
use crate::limits::own::FACE_CHARS_MAX;

/// A deck as written.
#[derive(Debug, Default)]
pub(super) struct Draft {
    pub name: Option<Written<String>>,
    pub standards: Vec<Written<String>>,
    pub local_codes: Vec<Written<String>>,
    pub accent: Option<Written<String>>,
    pub groups: Vec<DraftGroup>,
}

/// A group as written.
#[derive(Debug)]
pub(super) struct DraftGroup {
    pub line: u32,
    pub meaning: String,
    pub faces: Vec<Written<DraftFace>>,
}

/// A face as written.
#[derive(Debug)]
pub(super) enum DraftFace {
    Text(String),
    Number(i64),
    /// A file, or one of our own pictures, and the word for it.
    Picture {
        name: String,
        word: Option<String>,
    },
}

/// A text that begins so names a picture, ours or a file's.
const PICTURE: &str = "picture:";
/// A text that ends so is a picture's file without saying more.
const FILES: [&str; 4] = [".png", ".jpg", ".jpeg", ".svg"];

impl DraftFace {
    /// What a text is: a picture if it names one, otherwise words.
    pub(super) fn of_text(text: String) -> DraftFace {
        if let (Some(start), Some(rest)) = (text.get(..PICTURE.len()), text.get(PICTURE.len()..))
            && start.eq_ignore_ascii_case(PICTURE)
        {
            return DraftFace::Picture { name: rest.trim().to_owned(), word: None };
        }
        if is_file(&text) {
            return DraftFace::Picture { name: text, word: None };
        }
        DraftFace::Text(text)
    }
}

/// Whether a name is that of a picture's file.
pub(super) fn is_file(name: &str) -> bool {
    let small = name.to_lowercase();
    FILES.iter().any(|ending| small.ends_with(ending))
}

/// Something and its line, counted from 1.
#[derive(Clone, Debug)]
pub(super) struct Written<T> {
    pub line: u32,
    pub is: T,
}

impl<T> Written<T> {
    /// A refusal of this.
    pub(super) fn no(&self, fault: OwnFault) -> OwnDeckError {
        OwnDeckError { line: Some(self.line), fault }
    }
}

/// The text of a file, without a byte order mark.
pub(super) fn text_of(file: &[u8]) -> Result<&str, OwnDeckError> {
    let text = std::str::from_utf8(file).map_err(|error| OwnDeckError {
        line: Some(line_at(file, error.valid_up_to())),
        fault: OwnFault::NotText,
    })?;
    Ok(text.trim_start_matches('\u{feff}'))
}

/// The line of a place in a file.
pub(super) fn line_at(file: &[u8], place: usize) -> u32 {
    let before = file.get(..place).unwrap_or(file);
    let breaks = before.iter().filter(|byte| **byte == b'\n').count();
    u32::try_from(breaks).unwrap_or(u32::MAX - 1) + 1
}

/// Control characters, and the marks of Unicode that turn the direction of text around (UAX #9),
/// which could make one word read like another.
pub(super) fn unshowable(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A wrong entry may be anything; a sentence shows its beginning.
pub(super) fn shortened(entry: &str) -> String {
    entry.chars().filter(|sign| !unshowable(*sign)).take(FACE_CHARS_MAX).collect()
}
