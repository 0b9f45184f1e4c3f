//! A teacher's wishes for a deck, carried out: what she keeps is in the deck, what she leaves out is
//! not, and the seed chooses the rest. A wish that cannot be fulfilled is refused with its reason and
//! with what would help.

mod file;
mod keys;
mod preview;
mod swap;

pub use file::{SharedDeck, is_deck_file, read_file, write_file};
pub use keys::{card_key, group_key, title};
pub use preview::{preview, seed_of};
pub use swap::{fit, keep_all, swap};

use super::cards::{Deck, DeckCard};
use super::clash::{Card, Clash};
use super::confusable::confusable;
use super::error::DeckError;
use super::families::{Material, family_with, from_plan_with};
use super::family::{DECK_GROUPS_MAX, Family, MatchGroup};
use super::likeness::Meaning;
use super::shuffle::Choices;
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::{GROUP_CARDS_MIN, HAND_CARDS};
use handround_protocol::skill::Confusables;
use handround_protocol::view::LessonPlan;
use handround_protocol::wishes::{CardKey, DeckPlan, DeckWishes, GroupKey};

/// Why wishes cannot be fulfilled.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WishError {
    /// More wishes than any page makes.
    #[error("These are more wishes than a deck can follow. Start from a fresh deck.")]
    TooManyWishes,
    /// No such group in this skill.
    #[error("This skill has no group called `{0}`. Choose among the groups that are shown.")]
    UnknownGroup(String),
    /// No such card among those that are left.
    #[error(
        "The card `{0}` is not among the cards that are left. Bring its kind back, or let it go."
    )]
    UnknownCard(String),
    /// A group is kept and left out.
    #[error("`{0}` is both kept and left out. Decide for one of the two.")]
    KeptAndLeftOut(String),
    /// Too much of a kept group is left out.
    #[error(
        "`{title}` has only {cards} of 4 cards left. Bring a kind of card back, or let the group go."
    )]
    GroupTooSmall {
        /// The group's title.
        title: String,
        /// Cards that it has left.
        cards: usize,
    },
    /// More cards of a group are kept than it shows.
    #[error("`{0}` shows four cards, and more are kept. Let one go.")]
    TooManyCards(String),
    /// More groups are kept than the deck has.
    #[error("{kept} groups are kept, and the deck has {groups}. Use more groups, or let some go.")]
    TooManyKept {
        /// Groups kept.
        kept: usize,
        /// Groups in play.
        groups: u8,
    },
    /// Two kept groups cannot be together.
    #[error("`{one}` and `{other}` cannot be in one deck: {clash}. {}", clash.suggestion())]
    Clash {
        /// A title.
        one: String,
        /// The other.
        other: String,
        /// Why.
        clash: Clash,
    },
    /// Two kept groups are confusable, and such pairs are to be avoided.
    #[error(
        "Children take `{one}` and `{other}` for each other. Allow such pairs, or let one of them go."
    )]
    Confusable {
        /// A title.
        one: String,
        /// The other.
        other: String,
    },
    /// What is left makes fewer groups.
    #[error(
        "With what is left out, there can be at most {at_most} groups, not {groups}. Bring something \
         back, or use fewer groups."
    )]
    TooFewLeft {
        /// Groups asked for.
        groups: u8,
        /// Groups that are possible.
        at_most: u8,
    },
    /// The skill has nothing else to show.
    #[error("There is no other group to take instead of `{0}`.")]
    NoOtherGroup(String),
    /// Pairs are asked for, and only this group makes one with those that stay.
    #[error(
        "Without `{0}` no pair is left that children take for each other. Change another group \
         first, or let chance decide about such pairs."
    )]
    NoOtherPair(String),
    /// The group has nothing else to show.
    #[error("`{0}` has no other card to show instead.")]
    NoOtherCard(String),
    /// No pair that children take for each other is possible.
    #[error(
        "With these groups no pair is one that children take for each other. Keep fewer groups."
    )]
    NoPair,
}

/// Makes the deck of a plan as a lesson would.
///
/// # Errors
/// Why it cannot be made, as a sentence.
pub fn make(plan: &DeckPlan, material: Material<'_>, seed: [u8; 32]) -> Result<Deck, DeckError> {
    let lesson = LessonPlan::for_ages(plan.ages).with_deck(plan.clone());
    from_plan_with(&lesson, material, DeckId([0; 16]), seed)
}

/// The most groups that a deck of this plan could have, whichever of them are kept.
///
/// # Errors
/// A setting out of range, as a sentence.
pub fn groups_max(plan: &DeckPlan, material: Material<'_>) -> Result<u8, DeckError> {
    let lesson = LessonPlan::for_ages(plan.ages).with_deck(plan.clone());
    let family = family_with(&lesson, material)?;
    Ok(family.left(&plan.wishes).groups_max(plan.confusables))
}

impl Family {
    /// The family without what the wishes leave out. Groups that are left with too few cards go.
    pub fn left(&self, wishes: &DeckWishes) -> Family {
        let mut left = self.clone();
        for group in &mut left.groups {
            for place in &mut group.places {
                place.retain(|card| {
                    !wishes.kinds_out.contains(&card.0)
                        && !wishes.cards_out.contains(&card_key(card))
                });
            }
            group.places.retain(|place| !place.is_empty());
        }
        left.groups.retain(|group| {
            !wishes.groups_out.contains(&group_key(&group.meaning))
                && distinct(group).len() >= GROUP_CARDS_MIN
        });
        let there = |meaning: &Meaning| left.groups.iter().any(|group| group.meaning == *meaning);
        left.starts.retain(|start| start.iter().all(there));
        left
    }

    /// How many groups a deck with these wishes can have.
    pub fn groups_max_with(&self, confusables: Confusables, wishes: &DeckWishes) -> u8 {
        let left = self.left(wishes);
        let kept = places_of(&left, &wishes.groups_in);
        u8::try_from(left.largest(&kept, confusables).len()).unwrap_or(DECK_GROUPS_MAX)
    }

    /// Makes a deck that follows the wishes.
    ///
    /// # Errors
    /// The first wish that cannot be fulfilled; the same for every seed.
    pub fn wished(
        &self,
        groups: u8,
        confusables: Confusables,
        wishes: &DeckWishes,
        id: DeckId,
        seed: [u8; 32],
    ) -> Result<Deck, DeckError> {
        if groups == 0 {
            return Err(DeckError::NoGroups);
        }
        let left = self.left(wishes);
        let kept = self.check(&left, groups, confusables, wishes)?;
        let mut choices = Choices::from_seed(seed);
        let chosen = left.choose_among(&mut choices, &kept, usize::from(groups), confusables);
        let Some(chosen) = chosen else {
            let at_most = left.largest(&kept, confusables).len();
            let at_most = u8::try_from(at_most).unwrap_or(DECK_GROUPS_MAX);
            return Err(match confusables {
                Confusables::Target if at_most == 0 || at_most >= groups => {
                    if kept.is_empty() {
                        DeckError::NoConfusables
                    } else {
                        WishError::NoPair.into()
                    }
                }
                _ if wishes.is_empty() => DeckError::TooManyGroups { groups, at_most },
                _ => WishError::TooFewLeft { groups, at_most }.into(),
            });
        };
        let mut cards = Vec::new();
        for (group, index) in (0..).map(GroupIndex).zip(chosen) {
            for (face, shown) in deal(&left.groups[index], &wishes.cards_in, &mut choices) {
                cards.push(DeckCard { group, face, shown });
            }
        }
        choices.shuffle(&mut cards);
        Ok(Deck { id, name: self.name.clone(), likeness: self.likeness, cards })
    }

    /// Whether what is kept goes together; answers with the places of the kept groups.
    fn check(
        &self,
        left: &Family,
        groups: u8,
        confusables: Confusables,
        wishes: &DeckWishes,
    ) -> Result<Vec<usize>, WishError> {
        if !wishes.within_bounds() {
            return Err(WishError::TooManyWishes);
        }
        let mut kept: Vec<usize> = Vec::new();
        for key in &wishes.groups_in {
            match left.groups.iter().position(|group| group_key(&group.meaning) == *key) {
                Some(place) if kept.contains(&place) => {}
                Some(place) => kept.push(place),
                None => return Err(self.why_gone(key, wishes)),
            }
        }
        if kept.len() > usize::from(groups) {
            return Err(WishError::TooManyKept { kept: kept.len(), groups });
        }
        let all: Vec<CardKey> =
            left.groups.iter().flat_map(MatchGroup::cards).map(card_key).collect();
        if let Some(gone) = wishes.cards_in.iter().find(|key| !all.contains(key)) {
            return Err(WishError::UnknownCard(gone.0.clone()));
        }
        for (at, one) in kept.iter().enumerate() {
            let group = &left.groups[*one];
            let shown = distinct(group).into_iter();
            if shown.filter(|card| wishes.cards_in.contains(&card_key(card))).count() > HAND_CARDS {
                return Err(WishError::TooManyCards(title(group)));
            }
            for other in kept[..at].iter().map(|other| &left.groups[*other]) {
                if let Some(clash) = left.clash_between(group, other) {
                    let (one, other) = (title(other), title(group));
                    return Err(WishError::Clash { one, other, clash });
                }
                let avoid = confusables == Confusables::Avoid;
                if avoid && confusable(&group.meaning, &other.meaning) {
                    return Err(WishError::Confusable { one: title(other), other: title(group) });
                }
            }
        }
        Ok(kept)
    }

    /// Why a kept group is not among those that are left.
    fn why_gone(&self, key: &GroupKey, wishes: &DeckWishes) -> WishError {
        let Some(group) = self.groups.iter().find(|group| group_key(&group.meaning) == *key) else {
            return WishError::UnknownGroup(key.0.clone());
        };
        if wishes.groups_out.contains(key) {
            return WishError::KeptAndLeftOut(title(group));
        }
        let shown = distinct(group).into_iter();
        let cards = shown
            .filter(|card| {
                !wishes.kinds_out.contains(&card.0) && !wishes.cards_out.contains(&card_key(card))
            })
            .count();
        WishError::GroupTooSmall { title: title(group), cards }
    }
}

/// The places of groups in a family; groups that it lacks are passed over.
fn places_of(family: &Family, keys: &[GroupKey]) -> Vec<usize> {
    let place =
        |key: &GroupKey| family.groups.iter().position(|group| group_key(&group.meaning) == *key);
    keys.iter().filter_map(place).collect()
}

/// The cards of a group, each once.
fn distinct(group: &MatchGroup) -> Vec<&Card> {
    let mut cards: Vec<&Card> = Vec::new();
    for card in group.cards() {
        if !cards.contains(&card) {
            cards.push(card);
        }
    }
    cards
}

/// Four cards of a group: those that are kept, then others as chance has them.
fn deal(group: &MatchGroup, cards_in: &[CardKey], choices: &mut Choices) -> Vec<Card> {
    let (mut kept, others): (Vec<Card>, Vec<Card>) =
        group.in_order(choices).into_iter().partition(|card| cards_in.contains(&card_key(card)));
    kept.extend(others);
    kept.truncate(GROUP_CARDS_MIN);
    kept
}
