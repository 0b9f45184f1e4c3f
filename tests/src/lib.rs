//! What the tests of whole games share: a server, a class that joins it over HTTP, and devices that
//! play over WebSockets.

#![warn(missing_docs)]

pub mod class;
pub mod disk;
pub mod door;
pub mod frames;
pub mod house;
pub mod knowledge;
pub mod network;
pub mod paper;
pub mod player;
pub mod program;
pub mod proxy;
pub mod quick_clock;
pub mod recorder;
pub mod replay;
pub mod simulated;
pub mod traces;
pub mod weather;
