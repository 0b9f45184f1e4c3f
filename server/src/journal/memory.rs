//! A store that forgets with its process: for tests and simulations.

use super::{Store, StoreError, StoreFuture, StreamName, Urgency};
use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Journals in memory. A restart in a test is a second reader of the same `Arc<MemoryStore>`.
#[derive(Debug, Default)]
pub struct MemoryStore {
    streams: Mutex<BTreeMap<StreamName, Vec<String>>>,
}

impl MemoryStore {
    /// An empty store.
    pub fn new() -> MemoryStore {
        MemoryStore::default()
    }

    /// No method can panic while it holds the lock, so a poisoned map is still whole.
    fn streams(&self) -> MutexGuard<'_, BTreeMap<StreamName, Vec<String>>> {
        self.streams.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn append_now(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
    ) -> Result<(), StoreError> {
        let mut streams = self.streams();
        let holds = streams.get(&stream).map_or(0, |lines| lines.len() as u64);
        if holds != held {
            return Err(StoreError::OutOfStep { stream: stream.0, held: holds, expected: held });
        }
        if !lines.is_empty() {
            streams.entry(stream).or_default().extend(lines);
        }
        Ok(())
    }
}

impl Store for MemoryStore {
    fn append(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
        _urgency: Urgency,
    ) -> StoreFuture<'_, ()> {
        Box::pin(async move { self.append_now(stream, held, lines) })
    }

    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>> {
        Box::pin(async move { Ok(self.streams().get(&stream).cloned().unwrap_or_default()) })
    }

    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>> {
        let prefix = prefix.to_owned();
        Box::pin(async move {
            let streams = self.streams();
            Ok(streams.keys().filter(|name| name.0.starts_with(&prefix)).cloned().collect())
        })
    }

    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            if lines.is_empty() {
                self.streams().remove(&stream);
            } else {
                self.streams().insert(stream, lines);
            }
            Ok(())
        })
    }

    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            self.streams().remove(&stream);
            Ok(())
        })
    }
}
