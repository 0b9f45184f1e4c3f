//! What the tests of whole games share.

pub mod house;
pub mod paper;
