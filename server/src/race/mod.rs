//! The fair arbiter: from what was observed to a ruling. Pure; every time comes in as an argument.
//!
//! It deliberately knows no socket, clock or randomness, no cards and no house rule: only seats,
//! cues, grabs, what was measured of the links, and ranks drawn before.

pub mod acknowledged;
pub mod clock;
pub mod lab;
pub mod link;
pub mod measure;
pub mod picture;
pub mod replay;
pub mod ruling;
mod sentence;
#[cfg(test)]
mod tests;
pub mod unfold;

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
    /// The tap on the server's clock, by the measured offset (RFC 5905), as far as the device is
    /// believed; `None` where no offset is known.
    #[serde(default)]
    pub tapped: Option<Micros>,
}

impl Observation {
    /// One without a cue, of which only the arrival is known; for partners, tests and the lab.
    pub fn plain(kind: Kind, tap: Micros, arrived: Micros, link: LinkBounds) -> Observation {
        Observation { kind, shown: None, tap, arrived, link, token: 0, tapped: None }
    }
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
    /// When the newest ping left that was answered by now: the device had sent nothing before it
    /// that did not arrive. `None` where pings do not follow each other closely in a race.
    #[serde(default)]
    pub answered: Option<Micros>,
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
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
    /// What the device claimed, if it claimed a reaction.
    #[serde(default)]
    pub claim: Option<Micros>,
    /// How much quicker the reaction counts than by the server's own times.
    #[serde(default)]
    pub credit: Micros,
    /// What was seen on the way, for the record.
    #[serde(default)]
    pub notes: Vec<Note>,
}

/// Something that the record mentions about one seat's times. None of them is an accusation: each
/// happens to honest devices too.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Note {
    /// The grab did not say when its cue was shown, so the slowest plausible reading counts.
    NoClaim,
    /// The claim was quicker than anything that this link could have carried.
    QuickerThanLink,
    /// The claim was quicker than the server's own reading by more than the credit that is given.
    CreditCapped,
    /// The claim was slower than the link allows.
    SlowerThanLink,
    /// The word that the cue was shown came later than its ping and the page's frames explain.
    ShownLate,
    /// The cue's own ping took longer than anything measured before: a spike on the way.
    SpikeOnCue,
    /// A ping was unanswered longer than anything measured before: a spike on the grab's way.
    SpikeOnGrab,
    /// The pings take longer than the kernel's own round trip by more than a program needs.
    PongsLate,
    /// By the device's clock, as told outside the race, the tap was when it cannot have been.
    ClockDiffers,
    /// The tap's ping was answered late although the device's kernel had acknowledged it: the link did not hold
    /// the answers up, at least not for as long as they took.
    AnswersHeldBack,
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
