//! One decision judged by what the child could see. Recognition and strategy are kept apart: only a
//! card that could be kept at no cost, and a card that matches nothing, say something about
//! recognition.

use super::cards::{CardFace, DeckFaces};
use super::decision::{Act, Decision};
use std::collections::BTreeMap;

/// What a decision says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Judged {
    /// A chance to match: the new card matched the best that the hand held, and a loose card could go.
    Chance {
        /// Whether it was kept.
        kept: bool,
        /// The face of the hand that it matched, if there was just one.
        with: Option<CardFace>,
    },
    /// The new card matched nothing.
    NoMatch {
        /// Whether it was kept all the same.
        kept: bool,
    },
    /// It matched, but keeping had a price: what was done is strategy.
    Strategy,
    /// One card was exchanged for another of the same group: nothing can be said.
    LikeForLike,
    /// Four alike were broken up.
    FourBroken,
    /// No move.
    Other,
}

/// Judges a decision; `None` if its cards are not of this deck.
pub fn judge(decision: &Decision, deck: &DeckFaces) -> Option<Judged> {
    let hand: Vec<&CardFace> =
        decision.hand.iter().map(|card| deck.card(*card)).collect::<Option<_>>()?;
    let kept = match decision.act {
        Act::Kept { left } => Some(deck.card(left)?),
        Act::Passed => None,
        _ => return Some(Judged::Other),
    };
    let new = deck.card(decision.incoming?)?;
    let sizes = counts(&hand);
    if sizes.len() == 1 {
        let broken = kept.is_some_and(|left| left.item != new.item);
        return Some(if broken { Judged::FourBroken } else { Judged::Strategy });
    }
    let matching: Vec<&&CardFace> = hand.iter().filter(|own| own.item == new.item).collect();
    let loose = sizes.iter().any(|(item, size)| **item != new.item && *size == 1);
    let most = sizes.values().copied().max().unwrap_or(0);
    Some(match (matching.as_slice(), kept) {
        ([], kept) => Judged::NoMatch { kept: kept.is_some() },
        (_, Some(left)) if left.item == new.item => Judged::LikeForLike,
        // Who collects three of one kind rightly lets another pair go by.
        (found, _) if !loose || found.len() < most => Judged::Strategy,
        ([one], kept) => Judged::Chance { kept: kept.is_some(), with: Some((**one).clone()) },
        (_, kept) => Judged::Chance { kept: kept.is_some(), with: None },
    })
}

/// How many cards of each item.
pub(super) fn counts<'a>(hand: &[&'a CardFace]) -> BTreeMap<&'a String, usize> {
    let mut sizes = BTreeMap::new();
    for card in hand {
        *sizes.entry(&card.item).or_default() += 1;
    }
    sizes
}
