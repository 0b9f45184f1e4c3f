//! A partner's own small dice, so that the same seed plays the same game on every platform.
//! It deliberately is not fit for anything secret; shuffles use ChaCha in the server's `game`.

use crate::time::Micros;

/// SplitMix64: Steele, Lea and Flood, 'Fast Splittable Pseudorandom Number Generators', 2014.
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// 0 to `n - 1`; `n` is at least 1. The bias of the remainder is below 2^-40 for the spans and
    /// counts used here.
    pub(super) fn below(&mut self, n: u64) -> u64 {
        self.next() % n.max(1)
    }

    /// A span between two ends, both included; the ends may come in either order.
    pub(super) fn between(&mut self, (one, other): (Micros, Micros)) -> Micros {
        let (least, most) = (one.min(other).0, one.max(other).0);
        Micros(least + self.below((most - least).saturating_add(1)))
    }

    /// True this often in a thousand.
    pub(super) fn per_mille(&mut self, often: u16) -> bool {
        self.below(1_000) < u64::from(often)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first outputs for seed 1234567, from the test vector that Rosetta Code publishes for
    /// SplitMix64 ('Pseudo-random numbers/Splitmix64'); written from memory.
    #[test]
    fn dice_are_splitmix64() {
        let mut dice = Dice::new(1_234_567);
        let first: Vec<u64> = (0..5).map(|_| dice.next()).collect();
        assert_eq!(
            first,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    #[test]
    fn spans_hold_their_ends() {
        let mut dice = Dice::new(7);
        let span = (Micros(10), Micros(13));
        let mut seen = [false; 4];
        for _ in 0..200 {
            seen[usize::try_from(dice.between(span).0 - 10).unwrap_or(9)] = true;
        }
        assert_eq!(seen, [true; 4], "every value of the span, and none beyond it");
        assert_eq!(dice.between((Micros(5), Micros(5))), Micros(5));
    }
}
