//! When a connection is pinged. Pure, and fed with public facts alone: that a link is new or awake
//! again, that a game goes on, that cards were dealt. What a hand holds never shows in it, so the
//! pace tells nobody anything.

use crate::limits::web::{IDLE_PING_GAP, PING_GAP, QUICK_PING_GAP, QUICK_PINGS};
use handround_protocol::id::RoundNumber;
use handround_protocol::message::{SeatNews, ToClient};
use handround_protocol::view::{Phase, TableView};
use tokio::time::{Duration, Instant};

/// The pace of one connection.
#[derive(Clone, Copy, Debug)]
pub struct Pace {
    quick: u32,
    in_game: bool,
    round: RoundNumber,
    due: Instant,
}

impl Pace {
    /// A new connection: it is measured at once.
    pub fn new(now: Instant) -> Pace {
        Pace { quick: QUICK_PINGS, in_game: false, round: RoundNumber::default(), due: now }
    }

    /// When the next ping is due.
    pub fn due(&self) -> Instant {
        self.due
    }

    /// A ping left; the next one is due a gap after this one was.
    pub fn pinged(&mut self) {
        self.quick = self.quick.saturating_sub(1);
        self.due += self.gap();
    }

    /// The link may be another one, or a race may come: it is measured anew.
    pub fn start_over(&mut self, now: Instant) {
        self.quick = QUICK_PINGS;
        self.due = self.due.min(now);
    }

    /// A message goes out. Only its public part counts: each deal is measured before its first race.
    pub fn says(&mut self, message: &ToClient, now: Instant) {
        let Some(table) = public_part(message) else { return };
        self.in_game = !table.paused && !matches!(table.phase, Phase::Waiting | Phase::GameOver);
        if self.in_game && std::mem::replace(&mut self.round, table.round) != table.round {
            self.start_over(now);
        }
    }

    fn gap(&self) -> Duration {
        if self.quick > 0 {
            QUICK_PING_GAP
        } else if self.in_game {
            PING_GAP
        } else {
            IDLE_PING_GAP
        }
    }
}

/// What everybody at the table sees, if the message carries it.
fn public_part(message: &ToClient) -> Option<&TableView> {
    match message {
        ToClient::Seat { news: SeatNews::Table(table), .. } => Some(table),
        ToClient::Seat { news: SeatNews::Snapshot(view), .. } => Some(&view.table),
        _ => None,
    }
}
