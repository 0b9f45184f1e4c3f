//! Changing wishes while a teacher looks at the deck: keep what is shown, take another group or another
//! card, and let go what a new setting has made impossible.

use super::{WishError, card_key, distinct, group_key, title};
use crate::deck::cards::Deck;
use crate::deck::clash::Card;
use crate::deck::confusable::confusable;
use crate::deck::error::DeckError;
use crate::deck::family::{Family, MatchGroup};
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::{HAND_CARDS, WISHED_CARDS_MAX, WISHED_GROUPS_MAX};
use handround_protocol::skill::Confusables;
use handround_protocol::wishes::{CardKey, DeckPlan, DeckWishes, GroupKey};
use handround_protocol::workshop::Swap;
use std::collections::BTreeSet;

/// The same plan with everything kept that a deck shows, so that it comes out the same for every seed
/// but for the order of its cards. Groups and cards are named in the family's order, so that each stays
/// in its place on a page.
pub fn keep_all(family: &Family, plan: &DeckPlan, deck: &Deck) -> DeckPlan {
    let mut plan = plan.clone();
    let DeckWishes { groups_in, cards_in, .. } = &mut plan.wishes;
    groups_in.clear();
    cards_in.clear();
    for group in &family.groups {
        let shown = shown_of(group, deck);
        if !shown.is_empty() {
            groups_in.push(group_key(&group.meaning));
            let own = distinct(group).into_iter();
            cards_in.extend(own.filter(|card| shown.contains(card)).map(card_key));
        }
    }
    plan
}

/// The cards by which a deck shows a group; none if the deck does not have it. A single card may stand
/// in several groups that are never in one deck, such as two children's common initial.
pub(super) fn shown_of(group: &MatchGroup, deck: &Deck) -> Vec<Card> {
    let of = |index: GroupIndex| {
        let cards = deck.cards.iter().filter(move |card| card.group == index);
        cards.map(|card| (card.face, card.shown.clone())).collect::<Vec<Card>>()
    };
    let all: BTreeSet<GroupIndex> = deck.cards.iter().map(|card| card.group).collect();
    let own = |cards: &Vec<Card>| cards.iter().all(|card| group.cards().any(|one| one == card));
    all.into_iter().map(of).find(own).unwrap_or_default()
}

/// The plan as far as this family can follow it: wishes that a change of skill, range or kinds has made
/// impossible are let go, the later before the earlier, and the groups are no more than there can be.
pub fn fit(family: &Family, plan: &DeckPlan) -> DeckPlan {
    let mut plan = plan.clone();
    let (confusables, wishes) = (plan.confusables, &mut plan.wishes);
    let kinds = family.kinds();
    wishes.kinds_out.retain(|kind| kinds.contains(kind));
    wishes.kinds_out.sort_unstable();
    wishes.kinds_out.dedup();
    let known: Vec<GroupKey> =
        family.groups.iter().map(|group| group_key(&group.meaning)).collect();
    wishes.groups_out.retain(|key| known.contains(key));
    let all: Vec<CardKey> =
        family.groups.iter().flat_map(|group| group.cards().map(card_key)).collect();
    wishes.cards_out.retain(|key| all.contains(key));
    let left = family.left(wishes);
    let most = left.largest(&[], confusables).len();
    plan.groups = plan.groups.min(u8::try_from(most).unwrap_or(u8::MAX)).max(1);

    let mut kept: Vec<usize> = Vec::new();
    for key in &wishes.groups_in {
        let place = left.groups.iter().position(|group| group_key(&group.meaning) == *key);
        let Some(place) = place else { continue };
        let group = &left.groups[place];
        let fits = |other: &usize| {
            let other = &left.groups[*other];
            let avoid = confusables == Confusables::Avoid;
            left.clash_between(group, other).is_none()
                && !(avoid && confusable(&group.meaning, &other.meaning))
        };
        let room = kept.len() < usize::from(plan.groups);
        if room && !kept.contains(&place) && kept.iter().all(fits) {
            kept.push(place);
        }
    }
    let groups = kept.iter().map(|place| &left.groups[*place]);
    let cards = groups.clone().flat_map(|group| {
        let own: Vec<CardKey> = distinct(group).into_iter().map(card_key).collect();
        let kept = wishes.cards_in.iter().filter(|card| own.contains(card));
        kept.take(HAND_CARDS).cloned().collect::<Vec<_>>()
    });
    wishes.cards_in = cards.collect();
    wishes.groups_in = groups.map(|group| group_key(&group.meaning)).collect();
    plan
}

/// The plan with another group or card instead of one that is kept. What was swapped away earlier stays
/// away as long as something new is left, and may come back after that.
///
/// # Errors
/// There is nothing else, or no such group or card.
pub fn swap(
    family: &Family,
    plan: &DeckPlan,
    swap: &Swap,
    seed: [u8; 32],
) -> Result<DeckPlan, DeckError> {
    let place = family.groups.iter().position(|group| match swap {
        Swap::Group(key) => group_key(&group.meaning) == *key,
        Swap::Card(key) => {
            plan.wishes.groups_in.contains(&group_key(&group.meaning))
                && group.cards().any(|card| card_key(card) == *key)
        }
    });
    let group = place.map(|place| &family.groups[place]).ok_or_else(|| match swap {
        Swap::Group(key) => WishError::UnknownGroup(key.0.clone()),
        Swap::Card(key) => WishError::UnknownCard(key.0.clone()),
    })?;
    let own: Vec<CardKey> = group.cards().map(card_key).collect();
    let key = group_key(&group.meaning);
    let (away, nothing_left) = match swap {
        Swap::Group(_) => {
            let mut away = plan.clone();
            away.wishes.groups_in.retain(|other| *other != key);
            away.wishes.cards_in.retain(|card| !own.contains(card));
            put_last(&mut away.wishes.groups_out, &key, WISHED_GROUPS_MAX);
            let nothing_left = match plan.confusables {
                Confusables::Target => WishError::NoOtherPair,
                Confusables::Avoid | Confusables::Allow => WishError::NoOtherGroup,
            };
            (away, nothing_left(title(group)))
        }
        Swap::Card(card) => {
            let mut away = plan.clone();
            away.wishes.cards_in.retain(|other| other != card);
            put_last(&mut away.wishes.cards_out, card, WISHED_CARDS_MAX);
            (away, WishError::NoOtherCard(title(group)))
        }
    };
    if possible(family, &away, seed) {
        return Ok(away);
    }
    let mut again = away;
    let DeckWishes { groups_out, cards_out, .. } = &mut again.wishes;
    match swap {
        Swap::Group(_) => groups_out.retain(|other| *other == key),
        Swap::Card(card) => cards_out.retain(|other| other == card || !own.contains(other)),
    }
    if possible(family, &again, seed) { Ok(again) } else { Err(nothing_left.into()) }
}

fn possible(family: &Family, plan: &DeckPlan, seed: [u8; 32]) -> bool {
    let id = DeckId([0; 16]);
    family.wished(plan.groups, plan.confusables, &plan.wishes, id, seed).is_ok()
}

/// Puts a name at the end of a list, and lets the oldest go where it would grow too long.
fn put_last<Key: Clone + PartialEq>(list: &mut Vec<Key>, key: &Key, most: usize) {
    list.retain(|other| other != key);
    list.push(key.clone());
    let over = list.len().saturating_sub(most);
    list.drain(..over);
}
