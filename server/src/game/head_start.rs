//! A head start: a child that the teacher gave one begins each round with two cards that match. It is
//! given in the deal and not in the race, so that a race ranks reactions alone, and nobody else sees it.
//!
//! The others' hands stay as they were dealt: the card for the pair comes from those that nobody holds
//! yet. Where none of them matches, there is no head start in that round.

use super::event::Card;
use super::shuffle::below;
use handround_protocol::id::GroupIndex;
use handround_protocol::limits::HAND_CARDS;
use rand_core::RngCore;

/// Changes the order of a deal. `groups` has each card's match group, `seats` is how many are dealt to,
/// one card each in turn, and `places` are those with a head start, counted from the dealer.
pub fn give(
    order: &mut [Card],
    groups: &[GroupIndex],
    seats: usize,
    places: &[usize],
    generator: &mut impl RngCore,
) {
    let group = |card: Card| groups.get(usize::from(card.0)).copied();
    for place in places.iter().copied().filter(|place| *place < seats) {
        let hand: Vec<usize> = (0..HAND_CARDS).map(|turn| turn * seats + place).collect();
        if hand.iter().any(|at| *at >= order.len()) {
            continue;
        }
        let same = |one: usize, other: usize| group(order[one]) == group(order[other]);
        let has_pair = hand.iter().any(|one| hand.iter().any(|at| at != one && same(*one, *at)));
        if has_pair {
            continue;
        }
        // Every way to a pair is as likely as the others: a held card, its match, the card that goes.
        let mut ways: Vec<(usize, usize)> = Vec::new();
        for free in HAND_CARDS * seats..order.len() {
            for held in &hand {
                if same(*held, free) {
                    let goes = hand.iter().filter(|at| *at != held);
                    ways.extend(goes.map(|goes| (*goes, free)));
                }
            }
        }
        if let Some(count) = u32::try_from(ways.len()).ok().filter(|count| *count > 0) {
            let (goes, free) = ways[below(generator, count) as usize];
            order.swap(goes, free);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::command::Seed;
    use super::super::shuffle::{Use, generator, shuffle};
    use super::*;
    use handround_protocol::id::FaceIndex;

    fn hands(order: &[Card], seats: usize) -> Vec<Vec<u16>> {
        (0..seats)
            .map(|place| (0..HAND_CARDS).map(|turn| order[turn * seats + place].0).collect())
            .collect()
    }

    fn pairs(hand: &[u16]) -> usize {
        let same = |one: &u16, other: &u16| one != other && one / 4 == other / 4;
        hand.iter().filter(|one| hand.iter().any(|other| same(one, other))).count()
    }

    /// Four cards a group, 3 to 6 seats, 5 to 13 groups, 200 deals each.
    #[test]
    fn whoever_has_it_has_a_pair_and_nobody_else_notices() {
        let (mut deals, mut changed, mut without) = (0, 0, 0);
        for (seats, group_count) in [(3, 5), (3, 13), (4, 6), (6, 13)] {
            for number in 0..200u8 {
                let seed = Seed([number; 32]);
                let groups: Vec<GroupIndex> =
                    (0..group_count * 4).map(|card| GroupIndex(card / 4)).collect();
                let mut before: Vec<Card> = (0..group_count * 4).map(FaceIndex).collect();
                shuffle(&mut before, &mut generator(seed, Use::Order));
                let mut after = before.clone();
                let places = [1, 2];
                give(&mut after, &groups, seats, &places, &mut generator(seed, Use::HeadStart));

                let mut sorted = after.clone();
                sorted.sort();
                let whole: Vec<Card> = (0..group_count * 4).map(FaceIndex).collect();
                assert_eq!(sorted, whole, "no card is lost or doubled, seed {number}");
                let (old, new) = (hands(&before, seats), hands(&after, seats));
                for place in 0..seats {
                    if !places.contains(&place) || pairs(&old[place]) > 0 {
                        assert_eq!(old[place], new[place], "seat {place}, seed {number}");
                        continue;
                    }
                    deals += 1;
                    let kept = new[place].iter().filter(|card| old[place].contains(card)).count();
                    if kept == HAND_CARDS {
                        // Nothing matched among the cards that nobody held.
                        without += 1;
                    } else {
                        assert_eq!((kept, pairs(&new[place])), (3, 2), "seed {number}");
                        changed += 1;
                    }
                }
            }
        }
        println!("{deals} hands without a pair: {changed} got one, {without} could not");
        assert!(changed > 9 * without && changed > 100);
    }
}
