//! Handround's server. One circle, like a card round a table: socket, `web` stamps and admits,
//! the table's inbox in `lesson`, `game` decides events, `journal` makes them durable, the state
//! evolves, each seat's own view, sockets.
//!
//! `game`, `race`, `deck`, `deck_length`, `evidence`, `date` and `telling` are pure: time and seeds are arguments. `tests/` checks it.

pub mod account;
mod csv_row;
pub mod date;
pub mod deck;
pub mod deck_length;
pub mod evidence;
pub mod game;
pub mod journal;
pub mod lesson;
pub mod limits;
pub mod race;
pub mod teacher;
pub mod telling;
pub mod web;
