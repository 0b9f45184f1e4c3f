//! The store on disk as tests have it: while it reads or writes, a quick clock stands still.
//!
//! A disk is as slow as whatever else the machine does. In a game whose seconds are parts of real ones, a
//! commit of some hundred milliseconds would let whole turns pass.

use crate::quick_clock::hold;
use handround_server::journal::{SqliteStore, Store, StoreFuture, StreamName, Urgency};
use std::path::Path;
use std::sync::Arc;

/// Opens or creates the store in a directory.
///
/// # Panics
/// If that cannot be done.
pub async fn open(directory: &Path) -> Arc<dyn Store> {
    let _hold = hold();
    Arc::new(Disk(SqliteStore::open(directory).await.expect("a store that can be opened")))
}

struct Disk(SqliteStore);

/// From where the work begins to where it ends.
fn held<'a, T: 'a>(work: StoreFuture<'a, T>) -> StoreFuture<'a, T> {
    Box::pin(async move {
        let _hold = hold();
        work.await
    })
}

impl Store for Disk {
    fn append(
        &self,
        stream: StreamName,
        held_lines: u64,
        lines: Vec<String>,
        urgency: Urgency,
    ) -> StoreFuture<'_, ()> {
        held(self.0.append(stream, held_lines, lines, urgency))
    }

    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>> {
        held(self.0.read(stream))
    }

    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>> {
        held(self.0.streams(prefix))
    }

    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()> {
        held(self.0.replace(stream, lines))
    }

    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()> {
        held(self.0.delete(stream))
    }
}
