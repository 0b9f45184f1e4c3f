//! Lessons as a whole, over the store that forgets, in paused time: whole games pass in seconds,
//! and nothing here depends on how fast a machine is.
#![allow(clippy::unwrap_used)]

mod kit;
mod moves;
mod play;
mod room;
mod stop;
mod ways;
