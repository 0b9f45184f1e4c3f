//! Tests of what play says: figures against published values, decisions judged one by one, and
//! simulated children whose strengths and confusions are known.
#![allow(clippy::unwrap_used)]

mod cards;
mod judged;
mod next;
mod published;
mod reading;
mod recovery;
mod telling;
mod weeks;
