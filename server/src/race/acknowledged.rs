//! What a device's own kernel acknowledged while its program was waited for: TCP's acknowledgements, which
//! no program at the other end sends and none can hold back. Pure.
//!
//! On a way that keeps its order everything that a device sent before it acknowledged a ping has arrived
//! with the acknowledgement. An answer that goes out at once, as a browser's does, is never behind it: the
//! acknowledgement rides on the answer or goes out just before. So of a device that answers at once this
//! shows nothing that its answers do not show too, and it cannot hurt a child. Acknowledgements may come
//! late (RFC 1122, 4.2.3.2: up to 500 ms), which shows less, never more.
//!
//! It deliberately trusts no look during which segments overtook each other, or bytes lay unread: then what
//! was acknowledged may be behind what is waited for.

use handround_protocol::time::Micros;
use serde::{Deserialize, Serialize};

/// While answers are overdue the kernel is asked so often: it takes some ten microseconds.
pub const LOOK_GAP: Micros = Micros::from_ms(10);

/// What the kernel says of a connection at one moment. Bytes count from the connection's beginning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Bytes handed to the kernel for the device.
    pub written: u64,
    /// How many of them the device's kernel has acknowledged.
    pub acknowledged: u64,
    /// Whether the device has sent something that is not dealt with yet.
    pub unread: bool,
    /// Segments of the device's that came before an earlier one.
    pub out_of_order: u32,
}

/// What the looks of a race say by the time of a grab.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Acknowledged {
    /// How long the oldest ping that was not acknowledged by the last look had been under way; 0 if there
    /// was none.
    pub unacknowledged: Micros,
    /// How long ago the oldest unanswered ping was seen acknowledged, if a later look saw a later
    /// acknowledgement: since then at the latest the device's program has held its answer back. 0 otherwise.
    pub held_back: Micros,
}
