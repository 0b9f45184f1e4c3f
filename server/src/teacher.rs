//! Who a teacher is to the rooms behind the edge: whoever owns lessons, classes and decks, and no
//! more. How she proves it is the edge's business; her name and password are `account`'s.

use serde::{Deserialize, Serialize};
use std::fmt;
use uuid::Uuid;

/// One teacher. Whatever she makes carries it, and nobody else finds it: another teacher's lesson,
/// class or deck is answered exactly as one that does not exist.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
pub struct TeacherId(Uuid);

impl TeacherId {
    /// Whoever started the program, where there are no accounts: she comes with the one-time key. What
    /// was stored before there were accounts is hers.
    pub const THIS_MACHINE: TeacherId = TeacherId(Uuid::nil());

    /// A new teacher, from the bytes of a random UUID.
    pub fn new(bytes: [u8; 16]) -> TeacherId {
        TeacherId(Uuid::from_bytes(bytes))
    }

    /// Reads what `Display` wrote.
    pub fn parse(text: &str) -> Option<TeacherId> {
        Uuid::try_parse(text).ok().map(TeacherId)
    }
}

impl fmt::Display for TeacherId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.simple().fmt(f)
    }
}

/// A stored document with its owner beside its own fields.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Owned<T> {
    /// Whose it is.
    #[serde(default)]
    pub owner: TeacherId,
    /// What is stored.
    #[serde(flatten)]
    pub kept: T,
}
