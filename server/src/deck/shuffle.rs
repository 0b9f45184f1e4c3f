//! This room's own shuffle. It fixes which cards stand where on a face sheet, so it must never
//! change for a released deck: a named generator and a plain Fisher-Yates, nothing borrowed.

use rand_chacha::ChaCha8Rng;
use rand_core::{RngCore, SeedableRng};

/// A stream of choices that a seed fixes.
pub(super) struct Choices(ChaCha8Rng);

impl Choices {
    pub(super) fn from_seed(seed: [u8; 32]) -> Choices {
        Choices(ChaCha8Rng::from_seed(seed))
    }

    /// A number below `bound`, each equally likely; `bound` is at least 1. Draws at the end that
    /// would favour small numbers are thrown away.
    fn below(&mut self, bound: u32) -> u32 {
        let fair = u32::MAX - u32::MAX % bound;
        loop {
            let draw = self.0.next_u32();
            if draw < fair {
                return draw % bound;
            }
        }
    }

    /// Fisher and Yates: from the last place down, swap with an equally likely place at or below.
    pub(super) fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let places = u32::try_from(last + 1).unwrap_or(u32::MAX);
            items.swap(last, self.below(places) as usize);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ChiSquared, ContinuousCDF};

    /// Our own vector: as long as it holds, a stored plan and seed give the sheet they gave before.
    #[test]
    fn a_seed_fixes_the_order_for_ever() {
        let mut numbers: Vec<u8> = (0..16).collect();
        Choices::from_seed([7; 32]).shuffle(&mut numbers);
        assert_eq!(numbers, [6, 5, 11, 7, 12, 15, 10, 1, 0, 9, 2, 3, 13, 14, 8, 4]);
    }

    /// All 24 orders of four things come up equally often; chi-square from statrs. A shuffle that
    /// swaps with any place, in the same test, does not pass.
    #[test]
    fn every_order_is_equally_likely() {
        const TRIALS: u32 = 48_000;
        let statistic = |swap_with_any: bool| {
            let mut choices = Choices::from_seed([11; 32]);
            let mut counts = std::collections::BTreeMap::<[u8; 4], u32>::new();
            for _ in 0..TRIALS {
                let mut order = [0, 1, 2, 3];
                if swap_with_any {
                    (0..4).for_each(|place| order.swap(place, choices.below(4) as usize));
                } else {
                    choices.shuffle(&mut order);
                }
                *counts.entry(order).or_default() += 1;
            }
            let expected = f64::from(TRIALS) / 24.0;
            assert_eq!(counts.len(), 24);
            counts.values().map(|n| (f64::from(*n) - expected).powi(2) / expected).sum::<f64>()
        };
        let limit = ChiSquared::new(23.0).map(|chi| chi.inverse_cdf(0.999)).unwrap_or(0.0);
        assert!(statistic(false) < limit, "{} against {limit}", statistic(false));
        assert!(statistic(true) > limit, "the naive shuffle passed: {}", statistic(true));
    }
}
