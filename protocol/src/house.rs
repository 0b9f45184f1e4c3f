//! The teacher's house rules as devices know them.

use crate::limits::{WORD_LETTERS_MAX, WORD_LETTERS_MIN};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How a round's end counts. Design, section 3, rule 6.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum HouseRule {
    /// The race is played and nobody goes out; the game ends after this many ruled rounds.
    Stay {
        /// Rounds in a game, 1 to 20.
        rounds: u8,
    },
    /// Who is last collects the next letter of a word; a full word is out.
    Letters {
        /// A word of 3 to 6 letters, as the teacher wrote it.
        word: String,
    },
    /// Who is last is out and watches.
    Out {
        /// Whoever was last cannot be put out in the next round.
        shield: bool,
    },
    /// No tokens: a seat with four alike lays it down; the round ends when all have.
    Calm {
        /// Rounds in a game, 1 to 20.
        rounds: u8,
    },
}

impl HouseRule {
    /// Whether the rule can be played: its word or number of rounds is in range.
    pub fn is_playable(&self) -> bool {
        match self {
            HouseRule::Stay { rounds } | HouseRule::Calm { rounds } => (1..=20).contains(rounds),
            HouseRule::Letters { word } => {
                let letters = word.chars().count();
                (WORD_LETTERS_MIN..=WORD_LETTERS_MAX).contains(&letters)
                    && word.chars().all(char::is_alphabetic)
            }
            HouseRule::Out { .. } => true,
        }
    }

    /// Whether tokens lie in the middle.
    pub fn has_tokens(&self) -> bool {
        !matches!(self, HouseRule::Calm { .. })
    }
}

/// What happens when a seat holds four alike and has not noticed. Design, section 3, rule 8.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum MissedFour {
    /// Noticing is the skill: nothing is shown.
    FindItYourself,
    /// A private steady glow after this many seconds.
    HintAfter {
        /// 3 to 60.
        seconds: u8,
    },
    /// The glow comes at once.
    Tell,
}

/// Ages a set of defaults is meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum AgeBand {
    /// Kindergarten.
    FiveToSix,
    /// Grade 1.
    SixToSeven,
    /// Grade 2.
    SevenToEight,
}

/// How much time something leaves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Pace {
    /// More time than usual.
    Unhurried,
    /// The times of the design.
    #[default]
    Usual,
    /// Less time, for fluent players.
    Brisk,
}

/// How long a child waits after a false grab before the next tap counts; a real cue is always
/// answered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum FalseGrabCost {
    /// 1.5 s.
    #[default]
    ShortWait,
    /// 4 s, for a table that taps on the off-chance.
    LongWait,
}

/// The times of a lesson that its teacher may change.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[serde(default)]
#[ts(export)]
pub struct Timing {
    /// When a waiting child is reminded, and when cards go round it.
    pub pace: Pace,
    /// How quickly practice partners play.
    pub partners: Pace,
    /// What a false grab costs.
    pub false_grab: FalseGrabCost,
}
