//! Which secret opens which seat, over all lessons. Secrets themselves are not kept, only their
//! digests.

use super::lesson_log::TokenDigest;
use super::table_task::TableHandle;
use handround_protocol::close::Close;
use handround_protocol::id::{SeatIndex, Token};
use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

#[derive(Clone, Debug)]
enum Opens {
    Seat(TableHandle, SeatIndex),
    /// The seat's lesson is over: its device is told so, and not that it is unknown.
    Nothing,
}

/// The index, shared by all lessons.
#[derive(Clone, Debug, Default)]
pub struct Secrets {
    seats: Arc<RwLock<BTreeMap<TokenDigest, Opens>>>,
}

impl Secrets {
    fn read(&self) -> RwLockReadGuard<'_, BTreeMap<TokenDigest, Opens>> {
        self.seats.read().unwrap_or_else(PoisonError::into_inner)
    }

    fn write(&self) -> RwLockWriteGuard<'_, BTreeMap<TokenDigest, Opens>> {
        self.seats.write().unwrap_or_else(PoisonError::into_inner)
    }

    /// Lets a secret open a seat.
    pub fn open(&self, digest: TokenDigest, table: TableHandle, seat: SeatIndex) {
        self.write().insert(digest, Opens::Seat(table, seat));
    }

    /// Withdraws a secret.
    pub fn withdraw(&self, digest: TokenDigest) {
        self.write().remove(&digest);
    }

    /// The lesson of a secret is over.
    pub fn over(&self, digest: TokenDigest) {
        self.write().insert(digest, Opens::Nothing);
    }

    /// The seat that a secret opens.
    ///
    /// # Errors
    /// `UnknownCredential` or `LessonOver`.
    pub fn find(&self, token: Token) -> Result<(TableHandle, SeatIndex), Close> {
        match self.read().get(&TokenDigest::of(token)) {
            Some(Opens::Seat(table, seat)) => Ok((table.clone(), *seat)),
            Some(Opens::Nothing) => Err(Close::LessonOver),
            None => Err(Close::UnknownCredential),
        }
    }
}
