//! What a hand can tell the one who holds it.

use crate::id::GroupIndex;
use crate::limits::HAND_CARDS;

/// The match group of four alike, if the hand is four cards of one group.
pub fn four_alike(groups: &[GroupIndex]) -> Option<GroupIndex> {
    match groups {
        [first, rest @ ..] if groups.len() == HAND_CARDS => {
            rest.iter().all(|group| group == first).then_some(*first)
        }
        _ => None,
    }
}

/// How many cards of a hand belong to a group.
pub fn count_of(groups: &[GroupIndex], wanted: GroupIndex) -> usize {
    groups.iter().filter(|group| **group == wanted).count()
}
