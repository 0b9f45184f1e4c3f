//! What a server that stopped left half written. A deck's sheet and a table's first line stand in the store
//! before the lesson's journal names them, so that a crash in between leaves streams to which nothing leads.
//! They can hold nicknames, and deleting the class would never find them. It knows no lesson: whatever
//! any line of a lesson names stays, also where nobody can read that line any more.

use super::lesson_log::{LESSONS, SHEETS, TABLE_STREAMS};
use crate::journal::{Store, StoreError, StreamName};
use std::collections::BTreeSet;

/// Deletes them, and says how many there were. Only for a start, while nothing is being made.
///
/// # Errors
/// The store's; some may be gone then.
pub async fn clear(store: &dyn Store) -> Result<usize, StoreError> {
    let mut named = BTreeSet::new();
    for lesson in store.streams(LESSONS).await? {
        for line in store.read(lesson).await? {
            // As JSON writes them, an id is all that stands between two quotation marks.
            named.extend(line.split('"').filter(|text| is_id(text)).map(str::to_owned));
        }
    }
    let mut cleared = 0;
    for prefix in [SHEETS, TABLE_STREAMS] {
        for StreamName(name) in store.streams(prefix).await? {
            if name.strip_prefix(prefix).is_some_and(|id| !named.contains(id)) {
                store.delete(StreamName(name)).await?;
                cleared += 1;
            }
        }
    }
    Ok(cleared)
}

/// Sixteen bytes in hex.
fn is_id(text: &str) -> bool {
    text.len() == 32 && text.bytes().all(|digit| digit.is_ascii_hexdigit())
}
