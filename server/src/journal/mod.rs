//! The append-only record and its stores. Knows lines of text in numbered streams; knows neither
//! cards nor lessons.

mod memory;
mod sqlite;
#[cfg(test)]
mod suite;

pub use memory::MemoryStore;
pub use sqlite::{FILE_NAME, SqliteStore};

use std::pin::Pin;

/// A future that a store returns; boxed, so that the trait can be an object.
pub type StoreFuture<'a, T> = Pin<Box<dyn Future<Output = Result<T, StoreError>> + Send + 'a>>;

/// A stream's name: one a lesson and one a table.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StreamName(pub String);

/// Whether lines may wait for company before they are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Urgency {
    /// Committed together with what other tables write at the same moment.
    Group,
    /// A race's first grab: committed alone, at once.
    Alone,
}

/// A store failed.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The lines do not follow what the stream holds: two writers, or a lost write.
    #[error("stream {stream} holds {held} lines, not {expected}")]
    OutOfStep {
        /// The stream.
        stream: String,
        /// Lines it holds.
        held: u64,
        /// Lines the writer believed it holds.
        expected: u64,
    },
    /// The store itself.
    #[error("the store failed: {0}")]
    Failed(String),
}

/// Where journals are kept. One node has SQLite; several nodes come later.
pub trait Store: Send + Sync + 'static {
    /// Appends lines behind the first `held` ones; returns once they are durable.
    fn append(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
        urgency: Urgency,
    ) -> StoreFuture<'_, ()>;
    /// All lines of a stream, oldest first.
    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>>;
    /// The names of all streams that begin like this.
    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>>;
    /// Puts these lines in the place of all that a stream held, at once; what it held is gone for
    /// good. For documents that must be able to forget, such as a class list.
    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()>;
    /// Removes a stream for good.
    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()>;
}
