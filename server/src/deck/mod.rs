//! Deck families, their validity and their drawing. A deck is a list of cards in match groups;
//! a card's position is also its face's position on the sheet. Pure: the same plan, id and seed
//! give the same deck and the same bytes of SVG. This room does not know who plays, what a hand
//! holds or how a round goes; it draws pictures and says which of them match.

pub mod alphabet;
mod cards;
pub mod clash;
pub mod confusable;
pub mod difficulty;
mod error;
pub mod face;
pub mod families;
pub mod family;
pub mod likeness;
pub mod number;
pub mod number_word;
pub mod own;
pub mod parse_back;
pub mod phrase;
pub mod print;
pub mod shown;
mod shuffle;
mod svg;
pub mod valid;
pub mod wishes;
pub mod words;

pub use cards::{Deck, DeckCard};
pub use error::DeckError;
pub use families::{Classmate, Material, family_of, family_with, from_plan, from_plan_with};
pub use number::NumberDeck;
