//! One device's connection as the lesson sees it: two bounded lanes out, and a way to be closed.
//! The socket task in `web` owns the receiving ends; a lane that is full drops the reader.

use crate::game::LinkBounds;
use handround_protocol::close::Close;
use handround_protocol::id::{Ask, Nonce, RoundNumber};
use handround_protocol::message::{SeatSays, ToClient};
use handround_protocol::time::Micros;
use tokio::sync::{mpsc, watch};

/// Messages that may wait for one reader before it counts as too slow: a second of the busiest
/// table, and under 16 KiB of unread data, so that pongs are not delayed behind it.
pub const OUTBOX_MESSAGES_MAX: usize = 64;
/// Cues that may wait for one reader: a seat has one cue a round.
pub const URGENT_MESSAGES_MAX: usize = 4;

/// A cue on its way; it overtakes the ordinary lane, and a ping rides straight behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UrgentCue {
    /// The round.
    pub round: RoundNumber,
    /// The cue.
    pub nonce: Nonce,
}

/// The lesson's end of a connection.
#[derive(Clone, Debug)]
pub struct Outbox {
    ordinary: mpsc::Sender<ToClient>,
    urgent: mpsc::Sender<UrgentCue>,
    close: watch::Sender<Option<Close>>,
}

/// The socket task's end of a connection.
#[derive(Debug)]
pub struct OutboxReader {
    /// Ordinary messages, in order.
    pub ordinary: mpsc::Receiver<ToClient>,
    /// Cues; always looked at first.
    pub urgent: mpsc::Receiver<UrgentCue>,
    /// Becomes `Some` when the connection must be closed.
    pub close: watch::Receiver<Option<Close>>,
}

/// A new connection's two ends.
pub fn outbox() -> (Outbox, OutboxReader) {
    let (ordinary, ordinary_reader) = mpsc::channel(OUTBOX_MESSAGES_MAX);
    let (urgent, urgent_reader) = mpsc::channel(URGENT_MESSAGES_MAX);
    let (close, close_reader) = watch::channel(None);
    let reader =
        OutboxReader { ordinary: ordinary_reader, urgent: urgent_reader, close: close_reader };
    (Outbox { ordinary, urgent, close }, reader)
}

impl Outbox {
    /// Queues a message; a reader whose queue is full is closed, never waited for.
    pub fn send(&self, message: ToClient) {
        if self.ordinary.try_send(message).is_err() {
            self.close(Close::TooSlow);
        }
    }

    /// Queues a cue ahead of everything else.
    pub fn send_cue(&self, cue: UrgentCue) {
        if self.urgent.try_send(cue).is_err() {
            self.close(Close::TooSlow);
        }
    }

    /// Why it was asked to close, if it was.
    pub fn closed(&self) -> Option<Close> {
        *self.close.borrow()
    }

    /// Asks the socket task to close; the first reason stands.
    pub fn close(&self, why: Close) {
        self.close.send_if_modified(|reason| {
            let first = reason.is_none();
            reason.get_or_insert(why);
            first
        });
    }
}

/// What a seat's socket task reports to its table, each stamped where it happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FromSeat {
    /// The device said something.
    Says {
        /// The device's own number for it.
        ask: Ask,
        /// What.
        says: SeatSays,
        /// When the frame was read.
        arrived: Micros,
        /// The link as measured by then.
        link: LinkBounds,
    },
    /// A cue's bytes, with its ping behind, went to the kernel.
    CueSent {
        /// The cue.
        nonce: Nonce,
        /// When.
        sent: Micros,
        /// The link as measured by then.
        link: LinkBounds,
    },
    /// The cue's own pong was read.
    CuePinged {
        /// The cue.
        nonce: Nonce,
        /// When.
        arrived: Micros,
    },
    /// A ping of an open race was answered: all that the device had sent by then has been read.
    RacePinged {
        /// When that ping went to the kernel.
        sent: Micros,
    },
}
