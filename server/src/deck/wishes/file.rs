//! A deck as a file that teachers share: JSON with the deck's name and its wishes and nothing of a class.
//! A deck of a teacher's own cards brings these along, pictures inside, in the form of `own/saved.rs`.
//!
//! ```json
//! {
//!   "handround_deck": 1,
//!   "name": "Numbers for Monday",
//!   "deck": {
//!     "ages": "FiveToSix", "skill": "Numbers", "confusables": "Avoid",
//!     "number_min": 1, "number_max": 10, "groups": 6,
//!     "wishes": { "kinds_out": ["Tally"], "groups_in": ["4", "7"], "cards_in": ["TenFrame 4"] }
//!   }
//! }
//! ```
//! `skill` and `confusables` are those of the wire (`protocol/WIRE.md`); groups and cards have the names
//! of `keys.rs`. Wishes may be left out, also one by one. With a skill of `OwnDeck` there is `"own": {...}`
//! beside `deck`; the id that the skill names is that of the server where the file was written.

use crate::deck::own::{OwnDeck, checked_again};
use handround_protocol::join::HttpRefusal;
use handround_protocol::skill::Skill;
use handround_protocol::wishes::DeckPlan;
use handround_protocol::workshop::NamedDeck;
use serde::{Deserialize, Serialize};

/// The version that this program writes, and the newest that it reads.
const VERSION: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct DeckFile {
    handround_deck: u32,
    name: String,
    deck: DeckPlan,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    own: Option<OwnDeck>,
}

/// A deck as one teacher hands it to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SharedDeck {
    /// The deck and its name.
    pub deck: NamedDeck,
    /// The cards that it is made of, if a teacher made them herself. Only a deck of such cards has them.
    pub own: Option<OwnDeck>,
}

/// Writes a deck file.
pub fn write_file(shared: &SharedDeck) -> String {
    let SharedDeck { deck: NamedDeck { name, deck }, own } = shared.clone();
    let file = DeckFile { handround_deck: VERSION, name, deck, own };
    serde_json::to_string_pretty(&file).map(|text| text + "\n").unwrap_or_default()
}

/// Whether JSON means to be a deck file and not something else, such as a saved deck of a teacher's own.
pub fn is_deck_file(bytes: &[u8]) -> bool {
    #[derive(Deserialize)]
    struct Head {
        #[serde(rename = "handround_deck")]
        _version: serde::de::IgnoredAny,
    }
    serde_json::from_slice::<Head>(without_mark(bytes)).is_ok()
}

/// Editors on Windows put a mark in front (Unicode 15, section 23.8, from memory).
fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

/// Reads a deck file. Cards of a teacher's own are checked like any that come in, and their pictures are
/// drawn anew. Whoever keeps the deck makes it once, so that what is kept can be played.
///
/// # Errors
/// One plain sentence, with the line where the file stops being one.
pub fn read_file(bytes: &[u8]) -> Result<SharedDeck, HttpRefusal> {
    let file: DeckFile = serde_json::from_slice(without_mark(bytes)).map_err(|error| {
        let line = u32::try_from(error.line()).ok().filter(|line| *line > 0);
        let words: String = error.to_string().chars().take(160).collect();
        HttpRefusal { message: format!("This is no deck file that can be read: {words}."), line }
    })?;
    let no = |message: String| HttpRefusal { message, line: None };
    if file.handround_deck != VERSION {
        return Err(no(format!(
            "This deck file has version {}, and only version {VERSION} can be read here.",
            file.handround_deck
        )));
    }
    if file.own.is_some() && !matches!(file.deck.skill, Skill::OwnDeck { .. }) {
        return Err(no("This deck file brings cards that its deck does not use.".to_owned()));
    }
    let own = file.own.map(checked_again).transpose()?;
    Ok(SharedDeck { deck: NamedDeck { name: file.name, deck: file.deck }, own })
}
