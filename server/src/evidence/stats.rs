//! The measures, as plain functions of counts. Floats are at home here and nowhere near the journal.

use serde::Serialize;
use statrs::distribution::{
    Continuous, ContinuousCDF, Discrete, NegativeBinomial, Normal, StudentsT,
};

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
    wilson_of_share(hits as f64 / of as f64, of as f64)
}

fn wilson_of_share(share: f64, n: f64) -> Interval {
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

/// Sensitivity and bias, and how far off each may plausibly be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SignalDetection {
    /// d'.
    pub d_prime: f64,
    /// Half its 95 % interval.
    pub d_prime_off: f64,
    /// c.
    pub bias: f64,
    /// Half its 95 % interval.
    pub bias_off: f64,
}

/// `d_prime` with approximate intervals: the variance of each z by the delta method (Gourevitch and
/// Galanter 1967, from memory), at the corrected shares. Counts are kept matches, matches, kept cards
/// without a match, cards without a match.
pub fn signal_detection(
    (hits, signals, false_alarms, noise): (usize, usize, usize, usize),
) -> SignalDetection {
    let (d_prime, bias) = d_prime(hits, signals, false_alarms, noise);
    let variance = |yes: usize, of: usize| {
        let (of, share) = (of as f64 + 1.0, (yes as f64 + 0.5) / (of as f64 + 1.0));
        let density = Normal::standard().pdf(Normal::standard().inverse_cdf(share));
        share * (1.0 - share) / (of * density * density)
    };
    let off = Z_95 * (variance(hits, signals) + variance(false_alarms, noise)).sqrt();
    SignalDetection { d_prime, d_prime_off: off, bias, bias_off: off / 2.0 }
}

/// A 95 % interval for the share of several children's chances together, each `(kept, of)`. Chances of
/// one child are alike, so it counts only as many as give the same variance as the children's own
/// spread does, and asks Student's distribution for the few children that there are (an effective
/// sample size after Korn and Graubard 1998, in Wilson's formula; from memory). `None` below two
/// children.
pub fn clustered(children: &[(usize, usize)]) -> Option<Interval> {
    let played: Vec<(f64, f64)> = children
        .iter()
        .filter(|(_, of)| *of > 0)
        .map(|(kept, of)| (*kept as f64, *of as f64))
        .collect();
    let many = played.len() as f64;
    let freedom = StudentsT::new(0.0, 1.0, many - 1.0).ok().filter(|_| many >= 2.0)?;
    let all: f64 = played.iter().map(|(_, of)| of).sum();
    let share = played.iter().map(|(kept, _)| kept).sum::<f64>() / all;
    let off = played.iter().map(|(kept, of)| (kept - share * of).powi(2)).sum::<f64>();
    let variance = off / (all * all) * many / (many - 1.0);
    // Children who are more alike than chance would have them do not make it surer.
    let worth = if variance > 0.0 { (share * (1.0 - share) / variance).min(all) } else { all };
    let few = Z_95 / freedom.inverse_cdf(Normal::standard().cdf(Z_95));
    Some(wilson_of_share(share, worth * few * few))
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

/// What a child did of one kind where a pair could not show.
#[derive(Clone, Copy, Debug)]
pub struct Elsewhere {
    /// How often.
    pub times: usize,
    /// The share of its hands at which the pair could show.
    pub share_here: f64,
}

impl Elsewhere {
    /// How often the same happens here by the same chance: the child's rate is known from elsewhere
    /// only, which makes a Poisson number a negative binomial one (half a time more is Jeffreys'
    /// prior; Gelman and others, Bayesian Data Analysis, from memory).
    fn here(self) -> Option<NegativeBinomial> {
        // A share of 0 or 1 leaves nothing to compare with.
        let elsewhere = (1.0 - self.share_here).clamp(1e-9, 1.0 - 1e-9);
        NegativeBinomial::new(self.times as f64 + 0.5, elsewhere).ok()
    }
}

/// The chance of so many or more of two kinds together where chance alone is at work; 1 where it cannot
/// be told.
pub fn chance_of_so_many(times: usize, one: Elsewhere, other: Elsewhere) -> f64 {
    let (Some(one), Some(other)) = (one.here(), other.here()) else { return 1.0 };
    let at_most = |all: &NegativeBinomial, most: usize| -> f64 {
        (0..=most).map(|hits| all.pmf(hits as u64)).sum()
    };
    let fewer = (0..times).map(|hits| one.pmf(hits as u64) * at_most(&other, times - 1 - hits));
    (1.0 - fewer.sum::<f64>()).max(0.0)
}
