//! Class list, grouping, tables as actors, practice partners: everything that lives as long as a
//! lesson does. It knows the rules of play only through `game::Table`, durable storage only
//! through `journal::Store`, and no HTTP or WebSocket at all.

pub mod connection;
pub mod hub;
