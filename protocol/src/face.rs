//! What a card shows, and the sheet of all faces of a deck that a device loads before the first
//! deal. The sheet is the same for everybody and says nothing about who holds what.

use crate::id::{DeckId, FaceIndex, GroupIndex};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The kind of picture on a card. Only appended to, since journals and reports name kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum FaceKind {
    /// Digits: 7.
    Numeral,
    /// A number word: seven.
    NumberWord,
    /// One or two frames of two rows of five.
    TenFrame,
    /// Strokes, the fifth across four.
    Tally,
    /// Dots as on dice or dominoes, or in rows.
    Dots,
    /// Raised fingers.
    Fingers,
    /// A rod of ten and single cubes, for 11 to 19.
    TenAndOnes,
}

/// One face of a deck as every device draws it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Face {
    /// What kind of picture it is.
    pub kind: FaceKind,
    /// The match group it belongs to.
    pub group: GroupIndex,
    /// The drawing: one `<svg>` element of viewBox 0 0 250 350 without script, style or links.
    pub svg: String,
    /// What a screen reader says during play. Names the kind, never the value.
    pub label: String,
    /// What is said after the round, with the value: `ten frame, seven`.
    pub label_after: String,
}

/// All faces of one deck, loaded over HTTP before the first deal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct FaceSheet {
    /// The deck.
    pub deck: DeckId,
    /// Its name on screen, such as `Numbers 1 to 8`.
    pub name: String,
    /// The faces; a `FaceIndex` points here.
    pub faces: Vec<Face>,
}

impl FaceSheet {
    /// The match group of a face; `None` for an index beyond the sheet.
    pub fn group(&self, face: FaceIndex) -> Option<GroupIndex> {
        self.faces.get(usize::from(face.0)).map(|face| face.group)
    }
}
