//! A family of decks: every match group that it could make, and how a seed and a teacher's wishes
//! choose among them. Families differ in their groups alone; this is the one way from groups to a
//! deck, and it never puts two groups together that clash.

use super::cards::{Deck, DeckCard};
use super::clash::{Card, Clash, clash_beyond_meaning};
use super::confusable::confusable;
use super::error::DeckError;
use super::likeness::{Likeness, Meaning};
use super::shuffle::Choices;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::GROUP_CARDS_MIN;
use handround_protocol::skill::{Accent, Confusables};
use std::collections::BTreeSet;

/// Most groups of a deck: 13 groups of four are the 52 cards of an ordinary deck.
pub const DECK_GROUPS_MAX: u8 = 13;

/// A standard that a family serves: its code in the Common Core State Standards (2010), and what it
/// asks in our words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standard {
    /// Such as `K.CC.B.5`.
    pub code: &'static str,
    /// In our words.
    pub asks: &'static str,
}

/// One match group that a family can make.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MatchGroup {
    /// What all its cards mean.
    pub meaning: Meaning,
    /// Its cards by places: each place gives one card to the deck, which the seed picks. The first four
    /// places come first; if there are fewer, cards left over in them fill up the group.
    pub places: Vec<Vec<Card>>,
}

impl MatchGroup {
    /// A group of exactly these cards.
    pub(super) fn of(meaning: Meaning, cards: impl IntoIterator<Item = Card>) -> MatchGroup {
        MatchGroup { meaning, places: cards.into_iter().map(|card| vec![card]).collect() }
    }

    /// All cards that it could show.
    pub fn cards(&self) -> impl Iterator<Item = &Card> {
        self.places.iter().flatten()
    }

    /// Four cards, no two alike.
    fn deal(&self, choices: &mut Choices) -> Vec<Card> {
        let mut dealt = self.in_order(choices);
        dealt.truncate(GROUP_CARDS_MIN);
        dealt
    }

    /// All its cards, no two alike, in the order in which they are dealt.
    pub(super) fn in_order(&self, choices: &mut Choices) -> Vec<Card> {
        let mut places = self.places.clone();
        for place in &mut places {
            choices.shuffle(place);
        }
        let mut dealt: Vec<Card> = Vec::new();
        // Every place gives its first card before any gives its second.
        for turn in 0..places.iter().map(Vec::len).max().unwrap_or(0) {
            for place in &places {
                let new = place.get(turn).filter(|card| !dealt.contains(card));
                dealt.extend(new.cloned());
            }
        }
        dealt
    }
}

/// A family of decks with its settings made.
#[derive(Clone, Debug)]
pub struct Family {
    /// The deck's name on screen.
    pub name: String,
    /// What it serves.
    pub standards: &'static [Standard],
    /// The youngest and the oldest it suits.
    pub ages: (AgeBand, AgeBand),
    /// What makes its cards match.
    pub likeness: Likeness,
    /// Which sounds are one for some of the class.
    pub accent: Accent,
    /// Every group it could make.
    pub groups: Vec<MatchGroup>,
    /// Groups of which some must be together in a deck, as lists of meanings; a deck with room for one
    /// list starts with one. Empty for most families.
    pub starts: Vec<Vec<Meaning>>,
}

impl Family {
    /// The kinds of face that it shows.
    pub fn kinds(&self) -> BTreeSet<FaceKind> {
        self.groups.iter().flat_map(MatchGroup::cards).map(|card| card.0).collect()
    }

    /// How many match groups a deck of this family can have with these wishes: never more than 13.
    pub fn groups_max(&self, confusables: Confusables) -> u8 {
        u8::try_from(self.largest(&[], confusables).len()).unwrap_or(DECK_GROUPS_MAX)
    }

    /// Makes a deck.
    ///
    /// # Errors
    /// The first thing that makes it impossible; the same for every seed.
    pub fn deck(
        &self,
        groups: u8,
        confusables: Confusables,
        id: DeckId,
        seed: [u8; 32],
    ) -> Result<Deck, DeckError> {
        if groups == 0 {
            return Err(DeckError::NoGroups);
        }
        let mut choices = Choices::from_seed(seed);
        let Some(chosen) = self.choose_among(&mut choices, &[], usize::from(groups), confusables)
        else {
            let at_most = self.groups_max(confusables);
            return Err(match (at_most, confusables) {
                (0, Confusables::Target) => DeckError::NoConfusables,
                _ => DeckError::TooManyGroups { groups, at_most },
            });
        };
        let mut cards = Vec::new();
        for (group, index) in (0..).map(GroupIndex).zip(chosen) {
            for (face, shown) in self.groups[index].deal(&mut choices) {
                cards.push(DeckCard { group, face, shown });
            }
        }
        choices.shuffle(&mut cards);
        Ok(Deck { id, name: self.name.clone(), likeness: self.likeness, cards })
    }

    /// So many groups that go together, those kept among them, in rising order of what they mean;
    /// `None` if no order that was tried gives so many.
    pub(super) fn choose_among(
        &self,
        choices: &mut Choices,
        kept: &[usize],
        wanted: usize,
        confusables: Confusables,
    ) -> Option<Vec<usize>> {
        let largest = self.largest(kept, confusables);
        let mut chosen = largest.get(..wanted)?.to_vec();
        // A seed's own order seldom ends too early; when it does, another order is tried.
        for _ in 0..16 {
            let mut order: Vec<usize> = (0..self.groups.len()).collect();
            choices.shuffle(&mut order);
            let mut starts: Vec<&Vec<Meaning>> = self.starts.iter().collect();
            choices.shuffle(&mut starts);
            let found = self.choose(&order, &starts, kept, wanted, confusables);
            if found.len() == wanted {
                chosen = found;
                break;
            }
        }
        if confusables == Confusables::Target && wanted > 1 && !self.has_pair(&chosen) {
            return None;
        }
        chosen.sort_by(|one, other| self.groups[*one].meaning.cmp(&self.groups[*other].meaning));
        Some(chosen)
    }

    /// The largest choice that some orders of the groups give, up to what a deck holds. Exact for
    /// families without clashes; with some it may be a group short of the best, never over it.
    pub(super) fn largest(&self, kept: &[usize], confusables: Confusables) -> Vec<usize> {
        let mut best = Vec::new();
        for attempt in 0..24 {
            let mut order: Vec<usize> = (0..self.groups.len()).collect();
            let mut starts: Vec<&Vec<Meaning>> = self.starts.iter().collect();
            if attempt > 0 {
                let mut choices = Choices::from_seed([attempt; 32]);
                choices.shuffle(&mut order);
                choices.shuffle(&mut starts);
            }
            let most = usize::from(DECK_GROUPS_MAX);
            let found = self.choose(&order, &starts, kept, most, confusables);
            if found.len() > best.len() {
                best = found;
            }
            if best.len() == most.min(self.groups.len()) {
                break;
            }
        }
        best
    }

    /// Takes the kept groups and then groups in this order as far as they go together, up to
    /// `wanted`. The first groups of the result go together as well, so that a shorter deck is its
    /// beginning.
    fn choose(
        &self,
        order: &[usize],
        starts: &[&Vec<Meaning>],
        kept: &[usize],
        wanted: usize,
        confusables: Confusables,
    ) -> Vec<usize> {
        let mut chosen: Vec<usize> = kept.to_vec();
        let fits = |chosen: &[usize], group| self.goes_beside(group, chosen, confusables);
        // What each start lacks beside the kept groups; nothing if they hold a whole one.
        let lacks: Vec<Vec<usize>> = starts
            .iter()
            .map(|start| {
                let mut lacks = self.places_of(start);
                lacks.retain(|group| !kept.contains(group));
                lacks
            })
            .collect();
        if lacks.iter().all(|lacks| !lacks.is_empty()) {
            let start = lacks.into_iter().find(|lacks| {
                let with: Vec<usize> = kept.iter().chain(lacks).copied().collect();
                with.len() <= wanted
                    && (confusables != Confusables::Target || self.has_pair(&with))
                    && (kept.len()..with.len()).all(|at| fits(&with[..at], with[at]))
            });
            chosen.extend(start.unwrap_or_default());
        }
        let mut rest = order;
        let pairs = confusables == Confusables::Target;
        if pairs && wanted > 1 && !self.has_pair(&chosen) {
            let room = wanted.saturating_sub(chosen.len());
            match self.first_pair(order, &chosen, room) {
                // Without anything kept a deck begins where its first pair does, so that a seed stands
                // for the deck that it always stood for.
                Some(pair) => {
                    let from = order.iter().position(|group| kept.is_empty() && *group == pair[0]);
                    rest = &order[from.unwrap_or(0)..];
                    chosen.extend(pair);
                }
                None if chosen.is_empty() => return chosen,
                None => {}
            }
        }
        for group in rest {
            if chosen.len() < wanted && fits(&chosen, *group) {
                let partner = pairs.then(|| self.partner(*group, order, &chosen)).flatten();
                chosen.push(*group);
                chosen.extend(partner.filter(|_| chosen.len() < wanted));
            }
        }
        chosen
    }

    /// What makes the first pair beside groups that have none: the partner of one of them, or two that
    /// are new. Whatever else is taken first might leave no room for it.
    fn first_pair(&self, order: &[usize], chosen: &[usize], room: usize) -> Option<Vec<usize>> {
        let beside = |group: &usize| self.goes_beside(*group, chosen, Confusables::Target);
        order.iter().copied().filter(|group| room > 0 && beside(group)).find_map(|group| {
            if !self.partners(group, chosen).is_empty() {
                return Some(vec![group]);
            }
            let partner = self.partner(group, order, chosen).filter(|_| room > 1)?;
            Some(vec![group, partner])
        })
    }

    /// The first in this order that is confusable with a group and may stand beside it and the chosen ones.
    fn partner(&self, group: usize, order: &[usize], chosen: &[usize]) -> Option<usize> {
        let target = Confusables::Target;
        self.partners(group, order).into_iter().find(|partner| {
            self.goes_beside(*partner, chosen, target) && self.together(group, *partner, target)
        })
    }

    /// Whether a group is new to the chosen ones and may be in a deck with each of them.
    fn goes_beside(&self, group: usize, chosen: &[usize], confusables: Confusables) -> bool {
        !chosen.contains(&group)
            && chosen.iter().all(|other| self.together(group, *other, confusables))
    }

    fn places_of(&self, meanings: &[Meaning]) -> Vec<usize> {
        let place =
            |meaning: &Meaning| self.groups.iter().position(|group| group.meaning == *meaning);
        meanings.iter().filter_map(place).collect()
    }

    /// The groups that are confusable with one, in this order.
    fn partners(&self, group: usize, order: &[usize]) -> Vec<usize> {
        let own = &self.groups[group].meaning;
        let partner =
            |other: &usize| *other != group && confusable(own, &self.groups[*other].meaning);
        order.iter().copied().filter(partner).collect()
    }

    fn has_pair(&self, groups: &[usize]) -> bool {
        groups.iter().any(|group| !self.partners(*group, groups).is_empty())
    }

    /// Whether two groups may be in one deck.
    fn together(&self, one: usize, other: usize, confusables: Confusables) -> bool {
        let (one, other) = (&self.groups[one], &self.groups[other]);
        one.meaning != other.meaning
            && self.clash_between(one, other).is_none()
            && !(confusables == Confusables::Avoid && confusable(&one.meaning, &other.meaning))
    }

    /// Why no deck may hold both groups, if some card of one clashes with some card of the other.
    pub(super) fn clash_between(&self, one: &MatchGroup, other: &MatchGroup) -> Option<Clash> {
        one.cards().find_map(|card| {
            other.cards().find_map(|against| {
                let (mine, yours) = ((card, &one.meaning), (against, &other.meaning));
                clash_beyond_meaning(self.likeness, self.accent, mine, yours)
            })
        })
    }
}
