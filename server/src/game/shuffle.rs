//! The shuffle: ChaCha20 and our own small Fisher-Yates, fixed by a stored vector, so that a stored
//! journal's seed gives the same order for ever. Also the other draws of a table.
//!
//! Knows nothing of cards; every draw starts from a seed that the caller hands in.

use super::command::Seed;
use handround_protocol::id::{CardId, Nonce};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::collections::BTreeSet;

/// What one seed is used for; each use has a ChaCha stream of its own, so that none tells of another.
#[derive(Clone, Copy, Debug)]
pub enum Use {
    /// The order of the cards.
    Order = 0,
    /// The ids of the cards.
    Ids = 1,
    /// The ranks that decide ties.
    Ranks = 2,
    /// The nonces of cues.
    Cues = 3,
    /// The first dealer.
    Dealer = 4,
    /// The pair of a child with a head start.
    HeadStart = 5,
}

/// A generator for one use of a seed.
pub fn generator(seed: Seed, purpose: Use) -> ChaCha20Rng {
    let mut generator = ChaCha20Rng::from_seed(seed.0);
    generator.set_stream(purpose as u64);
    generator
}

/// An even draw from `0..bound`; `bound` is at least 1. Draws that would favour small results are
/// thrown away, so that the result is exactly even.
pub fn below(generator: &mut impl RngCore, bound: u32) -> u32 {
    let fair = u32::MAX - u32::MAX % bound;
    loop {
        let draw = generator.next_u32();
        if draw < fair {
            return draw % bound;
        }
    }
}

/// Fisher and Yates's shuffle, from the last place down.
pub fn shuffle<T>(items: &mut [T], generator: &mut impl RngCore) {
    for last in (1..items.len()).rev() {
        let bound = u32::try_from(last + 1).unwrap_or(u32::MAX);
        items.swap(last, below(generator, bound) as usize);
    }
}

/// As many ids as cards, all different.
pub fn card_ids(count: usize, seed: Seed) -> Vec<CardId> {
    let mut generator = generator(seed, Use::Ids);
    let mut seen = BTreeSet::new();
    let mut ids = Vec::with_capacity(count);
    while ids.len() < count {
        let id = CardId(generator.next_u64().to_be_bytes());
        if seen.insert(id) {
            ids.push(id);
        }
    }
    ids
}

/// The ranks `0..count` in a drawn order.
pub fn ranks(count: u8, seed: Seed) -> Vec<u8> {
    let mut ranks: Vec<u8> = (0..count).collect();
    shuffle(&mut ranks, &mut generator(seed, Use::Ranks));
    ranks
}

/// As many unguessable nonces as asked for.
pub fn nonces(count: usize, seed: Seed) -> Vec<Nonce> {
    let mut generator = generator(seed, Use::Cues);
    (0..count)
        .map(|_| {
            let mut bytes = [0; 16];
            generator.fill_bytes(&mut bytes);
            Nonce(bytes)
        })
        .collect()
}
