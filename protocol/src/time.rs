//! Quantities of time on the wire and in the journal: whole microseconds, never floats.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A moment or a span in microseconds. On the server a moment counts from the Unix epoch and never
/// runs backwards within a table; on a device it counts from that page's own start. The two are
/// never subtracted from each other. Stays below 2^53, so that JavaScript holds it exactly.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS,
)]
#[ts(export)]
pub struct Micros(pub u64);

impl Micros {
    /// The largest value that JavaScript's numbers hold exactly: 2^53 - 1.
    pub const MAX: Micros = Micros((1 << 53) - 1);

    /// A span of whole milliseconds.
    pub const fn from_ms(ms: u64) -> Self {
        Self(ms * 1_000)
    }

    /// A span of whole seconds.
    pub const fn from_s(s: u64) -> Self {
        Self(s * 1_000_000)
    }

    /// This moment plus a span, held at the largest value.
    pub const fn plus(self, span: Micros) -> Self {
        Self(self.0.saturating_add(span.0))
    }

    /// The span since an earlier moment; zero if that moment lies ahead.
    pub const fn since(self, earlier: Micros) -> Self {
        Self(self.0.saturating_sub(earlier.0))
    }

    /// Whole milliseconds, rounded down.
    pub const fn ms(self) -> u64 {
        self.0 / 1_000
    }
}
