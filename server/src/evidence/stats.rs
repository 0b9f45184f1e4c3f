//! The measures, as plain functions of counts. Floats are at home here and nowhere near the journal.

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, DiscreteCDF, Normal, Poisson};

/// The quantile of the normal distribution that a 95 % interval is usually made with.
const Z_95: f64 = 1.96;

/// From the least to the greatest plausible share, both 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Interval {
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
}

/// Wilson's 95 % interval (1927) for a share; all of 0 to 1 without any trial.
pub fn wilson(hits: usize, of: usize) -> Interval {
    if of == 0 {
        return Interval { least: 0.0, greatest: 1.0 };
    }
    let (share, n) = (hits as f64 / of as f64, of as f64);
    let z2 = Z_95 * Z_95;
    let middle = share + z2 / (2.0 * n);
    let half = Z_95 * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
    let whole = 1.0 + z2 / n;
    Interval {
        least: ((middle - half) / whole).max(0.0),
        greatest: ((middle + half) / whole).min(1.0),
    }
}

/// Sensitivity d' and bias c with the log-linear correction (Hautus 1995). A positive bias: keeps
/// seldom; a negative one: keeps often, match or not.
pub fn d_prime(hits: usize, signals: usize, false_alarms: usize, noise: usize) -> (f64, f64) {
    let corrected = |yes: usize, of: usize| (yes as f64 + 0.5) / (of as f64 + 1.0);
    let z = |share: f64| Normal::standard().inverse_cdf(share);
    let (hit, alarm) = (z(corrected(hits, signals)), z(corrected(false_alarms, noise)));
    (hit - alarm, -(hit + alarm) / 2.0)
}

/// Parameters of knowledge tracing (Corbett and Anderson 1995). Stated, not fitted: one class has
/// too little evidence to fit them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tracing {
    /// Chance that an item is known before any chance to match.
    pub known_before: f64,
    /// Chance to learn it at one chance.
    pub learnt: f64,
    /// Chance to pass a known match.
    pub slip: f64,
    /// Chance to keep an unknown match.
    pub guess: f64,
}

impl Tracing {
    /// Ours. A child keeps about one unmatched card in five by whim, which is the guess.
    pub const OURS: Tracing = Tracing { known_before: 0.3, learnt: 0.1, slip: 0.1, guess: 0.2 };

    /// How sure it is after one more chance that the item is known, and before learning from it.
    pub fn seen(self, known: f64, kept: bool) -> f64 {
        let Tracing { slip, guess, .. } = self;
        let (right, chance) = if kept {
            (known * (1.0 - slip), (1.0 - known) * guess)
        } else {
            (known * slip, (1.0 - known) * (1.0 - guess))
        };
        right / (right + chance)
    }

    /// The same with what was learnt at the chance.
    pub fn next(self, known: f64, kept: bool) -> f64 {
        let after = self.seen(known, kept);
        after + (1.0 - after) * self.learnt
    }

    /// After a run of chances.
    pub fn after(self, kept: impl IntoIterator<Item = bool>) -> f64 {
        kept.into_iter().fold(self.known_before, |known, kept| self.next(known, kept))
    }
}

/// First quartile, median and third quartile, by linear interpolation; `None` without any value.
pub fn quartiles(values: &[f64]) -> Option<[f64; 3]> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1)?;
    Some([0.25, 0.5, 0.75].map(|share| {
        let place = share * last as f64;
        let (low, high) = (place.floor(), place.ceil());
        let at = |place: f64| sorted[place as usize];
        at(low) + (at(high) - at(low)) * (place - low)
    }))
}

/// The chance of so many or more events where `expected` are expected.
pub(super) fn poisson_tail(times: usize, expected: f64) -> f64 {
    let Some(below) = times.checked_sub(1) else { return 1.0 };
    // Something that chance alone never makes still has to be more than a slip of the finger.
    Poisson::new(expected.max(0.01)).map_or(1.0, |chance| chance.sf(below as u64))
}
