//! One decision of one child: what it could see, what it did, and why it may not count.

use handround_protocol::id::{DeckId, PupilIndex, SeatIndex};
use handround_protocol::time::Micros;
use serde::Serialize;

use crate::game::event::Card;

/// Why a decision is left out of the measures. It is shown apart, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub enum Exclusion {
    /// A helper was on a card that it saw.
    Helped,
    /// A hint was showing.
    Hinted,
    /// Another hand may have tapped: a shared device.
    SharedDevice,
    /// Played at home, where others may have helped.
    Home,
    /// A practice partner kept the seat warm.
    StandIn,
    /// A practice partner's seat.
    Partner,
    /// The first after a pause, a break of the link or a stand-in.
    AfterPause,
    /// Over 20 seconds.
    TooSlow,
    /// Under 0.7 seconds.
    TooQuick,
    /// A quick run of one same button.
    SameButton,
    /// Many taps at once, or before the hand was seen.
    Excited,
    /// An answer to what the room did.
    Room,
    /// Taken back by undo.
    TakenBack,
}

impl Exclusion {
    /// In a teacher's words.
    pub fn words(self) -> &'static str {
        match self {
            Exclusion::Helped => "with a helper on the card",
            Exclusion::Hinted => "with a hint",
            Exclusion::SharedDevice => "on a shared device",
            Exclusion::Home => "at home",
            Exclusion::StandIn => "by a practice partner in the child's place",
            Exclusion::Partner => "by a practice partner",
            Exclusion::AfterPause => "first after a pause",
            Exclusion::TooSlow => "after more than 20 seconds",
            Exclusion::TooQuick => "within 0.7 seconds",
            Exclusion::SameButton => "in a quick run of one same button",
            Exclusion::Excited => "excited taps",
            Exclusion::Room => "answers to the room",
            Exclusion::TakenBack => "taken back",
        }
    }
}

/// What a child did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Kept the new card and gave this one away.
    Kept {
        /// The card that left.
        left: Card,
    },
    /// Handed the new card on.
    Passed,
    /// Took a token, or laid down, with four alike; `taken` is the time to notice.
    FourNoticed,
    /// The round ended with four alike in the hand for three seconds or more and no token taken.
    FourMissed,
    /// Took a token without a cue and without four alike.
    FalseGrab,
}

/// One decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decision {
    /// When, on the server's clock.
    pub at: Micros,
    /// The seat.
    pub seat: SeatIndex,
    /// Whose; `None` for a partner's seat.
    pub pupil: Option<PupilIndex>,
    /// The deck in play.
    pub deck: DeckId,
    /// What was done.
    pub act: Act,
    /// From the moment the choice could be made.
    pub taken: Micros,
    /// The hand before it.
    pub hand: Vec<Card>,
    /// The new card, if there was one.
    pub incoming: Option<Card>,
    /// Why it does not count; empty for one that does.
    pub excluded: Vec<Exclusion>,
}

impl Decision {
    /// Whether it counts.
    pub fn counts(&self) -> bool {
        self.excluded.is_empty()
    }
}
