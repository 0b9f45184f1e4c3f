//! What devices and the Handround server say to each other: messages, views, card faces, codecs,
//! and what a hand can tell the one who holds it.
//!
//! This crate deliberately knows no socket, no clock, no file, no database and no global
//! randomness: times and seeds are arguments. Messages are named from one fixed side, the
//! device's: [`message::ToServer`] leaves the device, [`message::ToClient`] reaches it.

pub mod cheer;
pub mod classes;
pub mod close;
pub mod codec;
pub mod door;
pub mod face;
pub mod hand;
pub mod house;
pub mod id;
pub mod join;
pub mod limits;
pub mod message;
pub mod partner;
pub mod picture;
pub mod plan;
pub mod refusal;
pub mod skill;
pub mod substitute;
pub mod support;
pub mod time;
pub mod view;
pub mod wall;
pub mod wishes;
pub mod workshop;
