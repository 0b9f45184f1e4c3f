//! What the teacher puts on the wall display beside the way in: four cards that match, and a model
//! table played step by step. Nothing here says whose cards they were.

use crate::id::{DeckId, FaceIndex, TableId};
use crate::picture::Picture;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What the teacher wishes to see on the wall.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum WallSays {
    /// Four matching cards of one of the lesson's decks.
    Four {
        /// The deck.
        deck: DeckId,
        /// Four different faces of one match group.
        faces: Vec<FaceIndex>,
    },
    /// The four cards of a table's last round.
    LastFour {
        /// The table.
        table: TableId,
    },
    /// Turn one of the four over.
    Hide {
        /// Its place, counted from 0.
        place: u8,
    },
    /// Show all four again.
    ShowAll,
    /// A model table with the deck of the next game, at its first step.
    ModelOpen,
    /// Its next step; after the last nothing changes.
    ModelNext,
    /// Back to its first step.
    ModelBack,
    /// Take four cards or model table off the wall.
    TakeOff,
}

/// What the wall shows at the teacher's wish; at most one of the two.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallShows {
    /// Four cards that match.
    pub four: Option<WallFour>,
    /// The model table.
    pub model: Option<WallModel>,
}

/// Four cards that match. A card that is turned over is not sent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallFour {
    /// The deck whose faces these are.
    pub deck: DeckId,
    /// The cards; `None` for the one that is turned over.
    pub cards: Vec<Option<FaceIndex>>,
}

/// One step of the model table, all hands open. Practice partners alone play it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallModel {
    /// The deck whose faces these are.
    pub deck: DeckId,
    /// The step, counted from 1.
    pub step: u16,
    /// How many there are.
    pub steps: u16,
    /// One plain sentence on what has just happened.
    pub words: String,
    /// Tokens in the middle.
    pub tokens: u8,
    /// Cards on the draw pile.
    pub draw_pile: u16,
    /// Who plays, in the order of play.
    pub seats: Vec<ModelSeat>,
}

/// One practice partner at the model table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct ModelSeat {
    /// The helper's name.
    pub name: String,
    /// Its picture.
    pub picture: Picture,
    /// The hand.
    pub hand: Vec<FaceIndex>,
    /// The card to keep or pass.
    pub considering: Option<FaceIndex>,
    /// Cards waiting in its tray.
    pub waiting: u8,
    /// It has taken a token.
    pub token: bool,
    /// The step is about this seat.
    pub acts: bool,
}
