//! Everything that can be asked of a table.

use super::event::SeatPlan;
use super::rules::{GameDeck, Rules};
use crate::race::acknowledged::Acknowledged;
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::message::SeatSays;
use handround_protocol::support::Support;
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, VoidReason};
use serde::{Deserialize, Serialize};

/// Fresh unguessable bytes that come with every command; most commands leave them unused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seed(pub [u8; 32]);

/// Who moved: a mark that evidence needs, since only a child's own moves say something of the child.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum By {
    /// The child, on an own device in the room.
    Child,
    /// A practice partner that holds the seat.
    Partner,
    /// A practice partner that keeps an away child's seat warm.
    StandIn,
    /// A child whose hand shares a device with others.
    SharedDevice,
    /// A child at home.
    Home,
}

impl By {
    /// Whether a child made the move.
    pub fn is_child(self) -> bool {
        matches!(self, By::Child | By::SharedDevice | By::Home)
    }
}

/// What the server has measured of a seat's link, in microseconds. Round trips, never one-way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LinkBounds {
    /// Least round trip over two minutes.
    pub least: Micros,
    /// Smoothed round trip, RFC 6298.
    pub smoothed: Micros,
    /// Greatest plausible round trip, at most 1 s.
    pub greatest: Micros,
    /// The device's coarsest clock step.
    pub clock_step: Micros,
    /// Mean deviation of the round trip, RFC 6298's RTTVAR. Records of the first format lack it.
    #[serde(default)]
    pub variation: Micros,
    /// The kernel's own least round trip (TCP_INFO), which no client program can delay. `None`
    /// where the deployment says that connections come through a proxy, or nothing was read.
    #[serde(default)]
    pub kernel_least: Option<Micros>,
    /// How long the oldest ping still unanswered had been under way; 0 if there was none. While a
    /// race is open pings follow each other closely, and answers keep their place behind what the
    /// device sent before. So whatever held a grab up on its way shows here.
    #[serde(default)]
    pub unanswered: Micros,
    /// The device's clock beside the server's; `None` as long as it has not told it.
    #[serde(default)]
    pub clock: Option<DeviceClock>,
    /// What the device's kernel acknowledged in this race. `None` outside a race, where `kernel_least` is, and
    /// where segments overtook each other, so that acknowledgements show nothing.
    #[serde(default)]
    pub acknowledged: Option<Acknowledged>,
}

/// A device's clock beside the server's, by RFC 5905's filter over what the device told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeviceClock {
    /// The device's clock minus the server's, in microseconds; mostly far below zero, since devices
    /// count from their own beginning.
    pub ahead_us: i64,
    /// It is off by no more than this, if the device told the truth; grows with age.
    pub error: Micros,
}

impl DeviceClock {
    /// The moment on the server's clock at which the device's own showed this; `None` where that is no
    /// time that can be written.
    pub fn on_server(&self, device: Micros) -> Option<Micros> {
        let server = i64::try_from(device.0).ok()?.checked_sub(self.ahead_us)?;
        u64::try_from(server).ok().map(Micros).filter(|moment| *moment <= Micros::MAX)
    }
}

impl LinkBounds {
    /// A partner inside the server has no link.
    pub const NONE: LinkBounds = LinkBounds {
        least: Micros(0),
        smoothed: Micros(0),
        greatest: Micros(0),
        clock_step: Micros(1),
        variation: Micros(0),
        kernel_least: None,
        unanswered: Micros(0),
        clock: None,
        acknowledged: None,
    };
}

/// A wish, with what the edge knows of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// A seat's device or partner says something.
    Seat {
        /// The seat.
        seat: SeatIndex,
        /// Who moved.
        by: By,
        /// What.
        says: SeatSays,
        /// When the frame was read, stamped in the socket task.
        arrived: Micros,
        /// The seat's link as measured by then.
        link: LinkBounds,
    },
    /// A seat's cue went to the kernel, stamped in the socket task.
    CueSent {
        /// The seat.
        seat: SeatIndex,
        /// The cue.
        nonce: Nonce,
        /// When.
        sent: Micros,
        /// The seat's link as measured by then.
        link: LinkBounds,
    },
    /// The pong of the ping that rode behind a cue came back.
    CuePinged {
        /// The seat.
        seat: SeatIndex,
        /// The cue.
        nonce: Nonce,
        /// When it was read.
        arrived: Micros,
    },
    /// A ping of the open race was answered, so whatever the device sent before has come in too.
    RacePinged {
        /// The seat.
        seat: SeatIndex,
        /// When the ping's bytes went to the kernel.
        sent: Micros,
    },
    /// A seat's device connected (or came back).
    LinkUp {
        /// The seat.
        seat: SeatIndex,
    },
    /// A seat's device is gone.
    LinkDown {
        /// The seat.
        seat: SeatIndex,
    },
    /// Begin a game, or a rematch, with everybody back. Refused while one is running.
    Start {
        /// How it is played.
        rules: Rules,
        /// The cards.
        deck: GameDeck,
    },
    /// What the deck of the next game offers beside its cards. Says nothing new most times.
    Offer {
        /// The helpers that each card's face has, by its position in the deck.
        helpers: Vec<Vec<Helper>>,
        /// It has pictures that are to be named before the first deal.
        naming: bool,
    },
    /// One child's support, from the next deal on.
    Support {
        /// The seat.
        seat: SeatIndex,
        /// The whole of it.
        support: Support,
    },
    /// Stop as soon as no race is open.
    Pause,
    /// Go on.
    Resume,
    /// End the game once no race is open.
    End,
    /// Remind a child softly.
    Nudge {
        /// The seat.
        seat: SeatIndex,
    },
    /// Take down a child's raised hand.
    HelpGiven {
        /// The seat.
        seat: SeatIndex,
    },
    /// Give a child's seat to a practice partner, or back.
    HandOver {
        /// The seat.
        seat: SeatIndex,
        /// Whether the partner plays.
        partner: bool,
    },
    /// Let somebody else hold a seat, or add one behind the last. Refused while a race is open, and
    /// for an old seat while a round is being played.
    Reseat {
        /// The seat; the number of seats for a new one.
        seat: SeatIndex,
        /// Who holds it.
        plan: SeatPlan,
    },
    /// Let the round that is being played be the last of its game, or take that back.
    Bell {
        /// Whether it rings.
        ring: bool,
    },
    /// The round does not count: a restart in a race, or seats changed.
    Void(VoidReason),
    /// Time has come for something that `Table::wake_at` announced. Harmless when early.
    Tick,
}
