//! How hard a deck is, as numbers that can be compared: what makes it hard is counted, and one sum of
//! them orders decks. The weights are our own guess until play has told better; nothing else uses them.

use super::cards::Deck;
use super::clash::Card;
use super::confusable::confusable;
use super::likeness::{Likeness, Meaning, meaning};
use super::own::own_meaning;
use handround_protocol::face::FaceKind;
use handround_protocol::id::GroupIndex;
use std::collections::{BTreeMap, BTreeSet};

/// What makes a deck hard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difficulty {
    /// Match groups to keep in mind.
    pub groups: usize,
    /// Kinds of face to translate between.
    pub kinds: usize,
    /// Pairs of groups that children take for each other.
    pub confusable_pairs: Vec<(Meaning, Meaning)>,
    /// Pairs of groups whose numbers are next to each other, which a quick look does not tell apart.
    pub neighbours: usize,
}

impl Difficulty {
    /// One number; larger is harder. A confusable pair weighs as much as two more groups.
    pub fn score(&self) -> usize {
        2 * self.groups + self.kinds + 4 * self.confusable_pairs.len() + self.neighbours
    }
}

/// Counts what makes a deck hard.
pub fn difficulty(deck: &Deck) -> Difficulty {
    let means: BTreeSet<Meaning> = match deck.likeness {
        Likeness::Own => own_groups(deck),
        likeness => deck
            .cards
            .iter()
            .filter_map(|card| meaning(likeness, card.face, &card.shown).ok())
            .collect(),
    };
    let kinds: BTreeSet<FaceKind> = deck.cards.iter().map(|card| card.face).collect();
    let means: Vec<Meaning> = means.into_iter().collect();
    let pairs = (0..means.len()).flat_map(|at| (0..at).map(move |before| (before, at)));
    let (mut confusable_pairs, mut neighbours) = (Vec::new(), 0);
    for (one, other) in pairs {
        let (one, other) = (&means[one], &means[other]);
        if confusable(one, other) {
            confusable_pairs.push((one.clone(), other.clone()));
        }
        neighbours += usize::from(next_to_each_other(one, other));
    }
    Difficulty { groups: means.len(), kinds: kinds.len(), confusable_pairs, neighbours }
}

/// What the groups of an own deck say.
fn own_groups(deck: &Deck) -> BTreeSet<Meaning> {
    let mut groups: BTreeMap<GroupIndex, Vec<Card>> = BTreeMap::new();
    for card in &deck.cards {
        groups.entry(card.group).or_default().push((card.face, card.shown.clone()));
    }
    groups.values().map(own_meaning).collect()
}

fn next_to_each_other(one: &Meaning, other: &Meaning) -> bool {
    match (one, other) {
        (Meaning::Number(one), Meaning::Number(other))
        | (Meaning::Partner(one), Meaning::Partner(other))
        | (Meaning::Amount(one), Meaning::Amount(other)) => one.abs_diff(*other) == 1,
        _ => false,
    }
}
