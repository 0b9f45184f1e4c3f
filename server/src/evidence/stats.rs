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

/// What a child did of one kind, such as grabbing in error: where one pair could show, and elsewhere.
#[derive(Clone, Copy, Debug)]
pub struct Acts {
    /// Times that look like the pair.
    pub here: usize,
    /// Chances of it, where the pair could show.
    pub chances_here: f64,
    /// All other times.
    pub elsewhere: usize,
    /// All other chances.
    pub chances_elsewhere: f64,
}

/// Lightest weight of an act, so that the sum below has an end.
const WEIGHT_LEAST: f64 = 0.1;

impl Acts {
    /// How often the same happens here by the same chance: the child's rate is known from elsewhere
    /// only, which makes a Poisson number a negative binomial one (half a time more is Jeffreys'
    /// prior; Gelman and others, Bayesian Data Analysis, from memory).
    fn by_chance(self) -> Option<NegativeBinomial> {
        let all = self.chances_here + self.chances_elsewhere;
        // A share of 0 or 1 leaves nothing to compare with.
        let elsewhere = (self.chances_elsewhere / all).clamp(1e-9, 1.0 - 1e-9);
        NegativeBinomial::new(self.elsewhere as f64 + 0.5, elsewhere).ok()
    }

    /// What one act weighs: the more, the rarer it is for this child elsewhere. A false grab of a child
    /// that never grabs says more than one more whim of a child that changes cards all the time.
    fn weight(self) -> f64 {
        let rate = (self.elsewhere as f64 + 0.5) / self.chances_elsewhere.max(1e-9);
        rate.recip().ln_1p().max(WEIGHT_LEAST)
    }
}

/// The chance of so much or more of two kinds together where chance alone is at work, each act by its
/// weight; 1 where it cannot be told. Weights come from elsewhere alone, so that whatever they are it is
/// the chance that it says.
pub fn chance_of_so_much(one: Acts, other: Acts) -> f64 {
    chance_with([one.weight(), other.weight()], one, other)
}

/// The same with these weights.
pub(super) fn chance_with(weights: [f64; 2], one: Acts, other: Acts) -> f64 {
    let (Some(first), Some(second)) = (one.by_chance(), other.by_chance()) else { return 1.0 };
    // Sums of the same acts in another order differ in their last bits.
    let enough = one.here as f64 * weights[0] + other.here as f64 * weights[1] - 1e-9;
    let below = |sum: f64, weight: f64| {
        (0_u32..).take_while(move |times| sum + f64::from(*times) * weight < enough)
    };
    let less = |times: u32| {
        let sum = f64::from(times) * weights[0];
        let rest: f64 = below(sum, weights[1]).map(|more| second.pmf(u64::from(more))).sum();
        first.pmf(u64::from(times)) * rest
    };
    (1.0 - below(0.0, weights[0]).map(less).sum::<f64>()).max(0.0)
}
