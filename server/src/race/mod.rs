//! The fair arbiter: from what was observed to a ruling. Pure; every time comes in as an argument.
//!
//! It deliberately knows no socket, clock or randomness, no cards and no house rule: only seats,
//! cues, grabs, what was measured of the links, and ranks drawn before.

pub mod link;
pub mod ruling;
#[cfg(test)]
mod tests;

use crate::game::LinkBounds;
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::time::Micros;
use serde::{Deserialize, Serialize};

/// How a grab came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Kind {
    /// With four alike and no cue on the screen.
    OwnFour,
    /// In answer to the own cue.
    Cued,
    /// Up to a second before the own cue, when another's true grab lay behind it: a child reacting
    /// to the room. Safe, but never before a measured reaction.
    Room,
}

/// What was seen of one grab.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Observation {
    /// How it came about.
    pub kind: Kind,
    /// The device's clock when it showed the cue, as it claims; `None` without a cue.
    pub shown: Option<Micros>,
    /// The device's clock at the tap, as it claims.
    pub tap: Micros,
    /// When the frame was read, on the server's clock.
    pub arrived: Micros,
    /// The link as measured by then.
    pub link: LinkBounds,
    /// Which token was tapped; for the record only.
    pub token: u8,
}

/// One seat's cue and what the server knows of its way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cue {
    /// Unguessable, this seat's alone.
    pub nonce: Nonce,
    /// When it was made.
    pub made: Micros,
    /// When its bytes went to the kernel.
    pub sent: Option<Micros>,
    /// When the pong of its own ping was read.
    pub pinged: Option<Micros>,
    /// When the device's word that it shows the cue was read.
    pub shown_arrived: Option<Micros>,
    /// The device's clock when it showed the cue, as it claims.
    pub shown: Option<Micros>,
    /// The link as measured when it was sent.
    pub link: LinkBounds,
}

/// One seat in the race.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Runner {
    /// The seat.
    pub seat: SeatIndex,
    /// The drawn rank: smaller goes first where nothing else decides.
    pub rank: u8,
    /// Its cue; `None` for the seat that took the first token, and with two seats in play.
    pub cue: Option<Cue>,
    /// Its grab; the first that counted.
    pub grab: Option<Observation>,
    /// Void rounds this seat may still cause in this game.
    pub voids_left: u8,
}

/// A whole race as it was observed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Record {
    /// Tokens laid out.
    pub tokens: u8,
    /// When the first token was taken, on the server's clock.
    pub started: Micros,
    /// The seats in play, in the order of play.
    pub runners: Vec<Runner>,
}

/// Where a race stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Fewer claims than tokens: no time limit.
    Open,
    /// Every token is claimed; a silent seat could still beat the deciding claim until then.
    Hold {
        /// On the server's clock.
        until: Micros,
    },
}

/// One seat's place in a ruling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Placed {
    /// The seat.
    pub seat: SeatIndex,
    /// The reaction after clamping; `None` where it was not measured (own four, room, silent).
    pub reaction: Option<Micros>,
    /// The interval that the server measured for it, `None` likewise.
    pub interval: Option<(Micros, Micros)>,
    /// The claim lay outside the interval and was moved to its nearer end.
    pub clamped: bool,
    /// The drawn rank decided against a neighbour in the order.
    pub drawn: bool,
}

/// What was decided, first to last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ruling {
    /// The order, fastest first; the last one has no token.
    pub order: Vec<Placed>,
    /// The only seat without a token had no working link, so that the round is void.
    pub void: bool,
    /// One plain sentence for the teacher, with seats as `{0}`, `{1}` ... for their names.
    pub sentence: String,
}
