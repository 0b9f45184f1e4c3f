//! The state of one table.

use super::command::{Command, Seed};
use super::event::{Entry, Event, SeatPlan};
use handround_protocol::id::SeatIndex;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardSeat, SeatView, TableView};

/// One table's state. It changes by `apply` alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {}

impl Table {
    /// An empty table, before its `Seated` event.
    pub fn empty() -> Table {
        todo!()
    }
    /// The event that sets a table.
    ///
    /// # Errors
    /// `SeatCount` for fewer than two or more than six seats.
    pub fn seat(_seats: Vec<SeatPlan>) -> Result<Event, Refusal> {
        todo!()
    }
    /// What a command leads to at a moment. Changes nothing.
    ///
    /// # Errors
    /// The rule's friendly no.
    pub fn decide(
        &self,
        _command: &Command,
        _now: Micros,
        _seed: Seed,
    ) -> Result<Vec<Event>, Refusal> {
        todo!()
    }
    /// Lets an event take effect. Never decides.
    pub fn apply(&mut self, _entry: &Entry) {
        todo!()
    }
    /// When `Command::Tick` is next due.
    pub fn wake_at(&self) -> Option<Micros> {
        todo!()
    }
    /// What this seat may see.
    pub fn seat_view(&self, _seat: SeatIndex) -> Option<SeatView> {
        todo!()
    }
    /// What everybody may see.
    pub fn table_view(&self) -> TableView {
        todo!()
    }
    /// What only the teacher sees of each seat.
    pub fn board_seats(&self, _now: Micros) -> Vec<BoardSeat> {
        todo!()
    }
    /// Who sits here.
    pub fn seats(&self) -> &[SeatPlan] {
        todo!()
    }
    /// Whether a practice partner should move for this seat now (it holds it, or stands in).
    pub fn partner_plays(&self, _seat: SeatIndex) -> bool {
        todo!()
    }
    /// Tokens still in the middle, also during a race; for the board alone.
    pub fn tokens_left(&self) -> u8 {
        todo!()
    }
    /// The last race in one plain sentence with names; empty before the first.
    pub fn last_race(&self) -> String {
        todo!()
    }
    /// A race is open: its first grab is in this decision or before it.
    pub fn race_is_open(&self) -> bool {
        todo!()
    }
    /// The numbered things that must always hold; `Err` names the one that does not.
    ///
    /// # Errors
    /// The broken invariant in words.
    pub fn check(&self) -> Result<(), String> {
        todo!()
    }
}
