//! Cheering: kind pictures that children who watch send to their table between two rounds. A house rule
//! that the teacher switches on.

use crate::id::SeatIndex;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A kind picture; all are drawn by us, and none is better than another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum CheerPicture {
    /// A sun.
    Sun,
    /// A flower.
    Flower,
    /// Clapping hands.
    Clap,
}

/// A picture that was sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Cheer {
    /// By whom.
    pub seat: SeatIndex,
    /// Which.
    pub picture: CheerPicture,
}
