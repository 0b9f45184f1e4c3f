//! The rules of play: a pure state machine. A command goes in, a typed refusal or events come out;
//! events are applied without deciding anything.
//!
//! This room deliberately knows no socket, database, runtime or clock, and no randomness but the
//! seed that comes with a command. It also does not know pupils' readiness, decks' pictures or how
//! links are measured; of support it knows which helper a card's face has, not how it looks.

mod apply;
mod cards;
mod care;
mod check;
mod cheer;
pub mod command;
pub mod decide;
pub mod event;
pub mod grab;
mod head_start;
mod reseat;
pub mod round_length;
pub mod rules;
mod seat;
pub mod settle;
pub mod shuffle;
pub mod simulation;
pub mod support;
pub mod table;
#[cfg(test)]
mod tests;
mod view;

pub use command::{By, Command, DeviceClock, LinkBounds, Seed};
pub use event::{Entry, Event, Marks, SeatPlan};
pub use rules::Rules;
pub use table::Table;
