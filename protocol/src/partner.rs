//! A practice partner's brain: what to do next, from nothing but a seat's own view. The partners
//! inside the server and those outside share it; simulations of round lengths use it too.
//!
//! It knows no clock and no global randomness: the moment and a seed are arguments. It never sees
//! another hand, and it does not know who else is a partner.

use crate::id::GroupIndex;
use crate::message::SeatSays;
use crate::time::Micros;
use crate::view::SeatView;

/// How a partner plays. Spans are drawn evenly between their two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Temper {
    /// Time to look at a card before keeping or passing it.
    pub decide: (Micros, Micros),
    /// Time from a cue on the screen to the tap.
    pub react: (Micros, Micros),
    /// Time to notice the own four alike.
    pub notice: (Micros, Micros),
    /// Whether it ever takes the first token.
    pub starts_races: bool,
    /// Keeps that are random instead of sensible, in a thousand.
    pub slips_per_mille: u16,
}

/// What the brain wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Thought {
    /// Say this now, then think again with the next view.
    Say(SeatSays),
    /// Think again then, or when the view changes.
    WaitUntil(Micros),
    /// Nothing to do until the view changes.
    Rest,
}

/// One partner's brain for one seat.
#[derive(Clone, Debug)]
pub struct Partner {
    temper: Temper,
    seed: u64,
}

impl Partner {
    /// A brain that plays the same game again for the same seed.
    pub fn new(temper: Temper, seed: u64) -> Partner {
        Partner { temper, seed }
    }

    /// Decides from the view; `groups` is the match group of each face of the sheet.
    pub fn think(&mut self, view: &SeatView, groups: &[GroupIndex], now: Micros) -> Thought {
        let _ = (self.temper, self.seed, view, groups, now);
        Thought::Rest
    }
}
