//! A deck as a file that teachers share: JSON with the deck's name and its wishes, no pictures and
//! nothing of a class.
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
//! of `keys.rs`. Wishes may be left out, also one by one.

use handround_protocol::join::HttpRefusal;
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
}

/// Writes a deck file.
pub fn write_file(deck: &NamedDeck) -> String {
    let NamedDeck { name, deck } = deck.clone();
    let file = DeckFile { handround_deck: VERSION, name, deck };
    serde_json::to_string_pretty(&file).map(|text| text + "\n").unwrap_or_default()
}

/// Reads a deck file. Whoever keeps the deck makes it once, so that what is kept can be played.
///
/// # Errors
/// One plain sentence, with the line where the file stops being one.
pub fn read_file(bytes: &[u8]) -> Result<NamedDeck, HttpRefusal> {
    // Editors on Windows put a mark in front (Unicode 15, section 23.8, from memory).
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let file: DeckFile = serde_json::from_slice(bytes).map_err(|error| {
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
    Ok(NamedDeck { name: file.name, deck: file.deck })
}
