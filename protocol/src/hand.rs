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

#[cfg(test)]
mod tests {
    use super::*;

    /// A hand in letters, one for each match group.
    fn hand(text: &str) -> Vec<GroupIndex> {
        text.bytes().map(|letter| GroupIndex(u16::from(letter - b'a'))).collect()
    }

    #[test]
    fn only_four_of_one_group_are_four_alike() {
        let cases = [
            ("aaaa", Some(0)),
            ("cccc", Some(2)),
            ("aaab", None),
            ("baaa", None),
            ("abab", None),
            ("aaa", None),
            ("aaaaa", None),
            ("", None),
        ];
        for (text, expected) in cases {
            assert_eq!(four_alike(&hand(text)), expected.map(GroupIndex), "{text}");
        }
    }

    #[test]
    fn members_are_counted() {
        for (text, expected) in [("aaaa", 4), ("abca", 2), ("bbbb", 0), ("", 0)] {
            assert_eq!(count_of(&hand(text), GroupIndex(0)), expected, "{text}");
        }
    }
}
