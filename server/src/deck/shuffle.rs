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
