//! Class list, grouping, tables as actors, practice partners: everything that lives as long as a
//! lesson does. It knows the rules of play only through `game::Table`, durable storage only
//! through `journal::Store`, and no HTTP or WebSocket at all.

mod attention;
mod belongings;
mod board;
pub mod class_list;
pub mod classes;
mod clock;
pub mod connection;
mod decks;
mod doorway;
pub mod grouping;
pub mod groups;
pub mod hub;
mod kept_decks;
mod leftovers;
mod lesson_log;
mod live_lesson;
mod live_table;
mod make;
mod model_table;
mod own_decks;
mod pace;
mod partners;
pub mod randomness;
mod seat_feed;
mod secrets;
mod substitute;
mod table_task;
#[cfg(test)]
mod tests;
mod tickets;
mod walks;
mod way_index;
mod ways;

pub use belongings::{Belongings, belongings};
pub use lesson_log::TABLE_STREAMS;
