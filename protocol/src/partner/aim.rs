//! Which group a partner collects, and so which card it gives away. It sees its own hand and the
//! card under consideration, and nothing else.

use super::dice::Dice;
use crate::hand::{count_of, four_alike};
use crate::id::GroupIndex;
use crate::limits::HAND_CARDS;

/// The group a partner collects, and how long in vain.
#[derive(Clone, Debug, Default)]
pub(super) struct Aim {
    group: Option<GroupIndex>,
    /// Groups that did not advance in a whole trip through the pile, the latest last.
    given_up: Vec<GroupIndex>,
    /// Cards considered since the group last advanced.
    in_vain: u32,
}

impl Aim {
    /// Decides on a card: the place in the hand to give away for it, or `None` to pass it on.
    ///
    /// `trip` is the number of cards that are in no hand. A group that has not advanced after so
    /// many cards is given up: every card there was has gone by, so another hand holds the rest.
    pub(super) fn give(
        &mut self,
        hand: &[GroupIndex],
        card: GroupIndex,
        trip: u32,
        slips_per_mille: u16,
        dice: &mut Dice,
    ) -> Option<usize> {
        if four_alike(hand).is_some() || hand.is_empty() {
            return None;
        }
        if dice.per_mille(slips_per_mille) {
            return usize::try_from(dice.below(hand.len() as u64)).ok();
        }
        if self.in_vain >= trip {
            self.give_up();
        }
        if self.choose(hand, card, dice) != Some(card) {
            self.in_vain = self.in_vain.saturating_add(1);
            return None;
        }
        self.in_vain = 0;
        let others = (0..hand.len()).filter(|place| hand[*place] != card);
        // What was given up goes first, since another hand waits for it; then the loneliest card,
        // so that a second pair stays as something to fall back on.
        let worth = |place: &usize| {
            let given_up = self.given_up.contains(&hand[*place]);
            10 * usize::from(given_up) + HAND_CARDS - count_of(hand, hand[*place])
        };
        best(others, worth, dice)
    }

    fn give_up(&mut self) {
        self.in_vain = 0;
        if let Some(group) = self.group.take() {
            self.given_up.retain(|known| *known != group);
            self.given_up.push(group);
        }
    }

    /// The group of which hand and card together hold most. The present aim wins a tie, so that a
    /// partner does not waver; other ties are drawn, so that two partners do not stay in step. With
    /// all of the hand given up, any fresh card is a new aim: two hands that each hold the half of
    /// two groups would otherwise wait for each other for ever.
    fn choose(
        &mut self,
        hand: &[GroupIndex],
        card: GroupIndex,
        dice: &mut Dice,
    ) -> Option<GroupIndex> {
        let count = |group: &GroupIndex| count_of(hand, *group) + usize::from(*group == card);
        let open =
            hand.iter().chain([&card]).copied().filter(|group| !self.given_up.contains(group));
        let worth = |group: &GroupIndex| 2 * count(group) + usize::from(Some(*group) == self.group);
        let Some(aimed) = best(open, worth, dice) else {
            // Nothing is left to hope for, so the one given up first is worth another try.
            self.given_up.remove(0);
            return None;
        };
        if self.group != Some(aimed) {
            self.in_vain = 0;
        }
        self.group = Some(aimed);
        self.group
    }
}

/// One of those with the greatest worth, drawn evenly.
fn best<T>(
    items: impl Iterator<Item = T>,
    worth: impl Fn(&T) -> usize,
    dice: &mut Dice,
) -> Option<T> {
    let mut found: Option<(T, usize)> = None;
    let mut ties: u64 = 0;
    for item in items {
        let value = worth(&item);
        match &found {
            Some((_, most)) if value < *most => continue,
            Some((_, most)) if value == *most => {
                ties += 1;
                if dice.below(ties) != 0 {
                    continue;
                }
            }
            _ => ties = 1,
        }
        found = Some((item, value));
    }
    found.map(|(item, _)| item)
}
