//! Quantities of time on the wire and in the journal: whole microseconds, never floats.

use serde::{Deserialize, Deserializer, Serialize, de::Error as _};
use ts_rs::TS;

/// A moment or a span in microseconds. On the server a moment counts from the Unix epoch and never
/// runs backwards within a table; on a device it counts from that page's own start. The two are
/// never subtracted from each other. Stays below 2^53, so that JavaScript holds it exactly.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, TS)]
#[ts(export)]
pub struct Micros(pub u64);

/// Reading refuses what JavaScript could not hold, so that a hostile device's `u64::MAX` ends at
/// the codec and no sum of a few times can overflow.
impl<'de> Deserialize<'de> for Micros {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let micros = Self(u64::deserialize(deserializer)?);
        if micros > Self::MAX {
            return Err(D::Error::custom("a time must stay below 2^53"));
        }
        Ok(micros)
    }
}

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
        let sum = self.0.saturating_add(span.0);
        if sum > Self::MAX.0 { Self::MAX } else { Self(sum) }
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
