//! Confusions: two items that a child took for each other, and the check that chance alone would
//! not have made it look so.
//!
//! Two things make one: a false grab of a hand that would be four alike if the two were one, and a true
//! pair given up for a card that matches nothing. Each counts once for a hand, and both at least
//! twice on different cards.

use super::bounds::{CHANCE_BELOW, TIMES_MIN};
use super::cards::{CardFace, DeckFaces};
use super::decision::{Act, Decision};
use super::judge::counts;
use super::stats::{Acts, chance_of_so_much};
use crate::game::event::Card;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Two items that a child takes for each other.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Confusion {
    /// By title, in the order of their stored names.
    pub items: (String, String),
    /// False grabs of different hands.
    pub grabs: usize,
    /// True pairs given up on different cards.
    pub pairs_broken: usize,
    /// Decisions at which it could have shown.
    pub of: usize,
}

/// Two items of one skill, in the order of their stored names. The same number of another skill is
/// another item.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Pair {
    skill: String,
    one: String,
    other: String,
}

impl Pair {
    fn of(skill: &str, one: &str, other: &str) -> Pair {
        let (one, other) = if one < other { (one, other) } else { (other, one) };
        Pair { skill: skill.to_owned(), one: one.to_owned(), other: other.to_owned() }
    }
}

/// Cards by their stored names, in order: the same cards in another week's deck are the same.
type Cards = Vec<String>;

/// What was seen of one pair.
#[derive(Default)]
struct Seen {
    grabs: BTreeSet<Cards>,
    broken: BTreeSet<Cards>,
    grab_chances: usize,
    break_chances: f64,
    of: usize,
}

/// What was seen of one child.
#[derive(Default)]
struct Tally {
    seen: BTreeMap<Pair, Seen>,
    titles: BTreeMap<(String, String), String>,
    grabs: BTreeSet<Cards>,
    breaks: BTreeSet<Cards>,
    hands: usize,
    break_chances: f64,
}

/// The confusions in one child's decisions, each beside its deck.
pub fn confusions(decisions: &[(&Decision, &DeckFaces)]) -> Vec<Confusion> {
    let sure = suspected(decisions).into_iter();
    let sure =
        sure.filter(|(_, [grabs, breaks])| chance_of_so_much(*grabs, *breaks) < CHANCE_BELOW);
    let mut found: Vec<Confusion> = sure.map(|(found, _)| found).collect();
    found.sort_by(|one, other| {
        let times = |of: &Confusion| std::cmp::Reverse(of.grabs + of.pairs_broken);
        (times(one), &one.items).cmp(&(times(other), &other.items))
    });
    found
}

/// Pairs seen at least twice on different cards, whatever chance has to do with it: false grabs, then
/// pairs given up.
pub(super) fn suspected(decisions: &[(&Decision, &DeckFaces)]) -> Vec<(Confusion, [Acts; 2])> {
    let mut tally = Tally::default();
    for (one, deck) in decisions.iter().filter(|(one, _)| one.counts()) {
        tally.take(one, deck);
    }
    let often = tally.seen.iter().filter(|(_, own)| own.times() >= TIMES_MIN);
    often.map(|(pair, own)| (tally.told(pair, own), tally.acts(own))).collect()
}

impl Seen {
    fn times(&self) -> usize {
        self.grabs.len() + self.broken.len()
    }
}

fn key(cards: &[Card], deck: &DeckFaces) -> Cards {
    // A deck that cannot be made again has no names for its cards.
    let name = |card: &Card| match deck.card(*card) {
        Some(face) if !face.card.is_empty() => face.card.clone(),
        _ => format!("{} {}", deck.id, card.0),
    };
    let mut cards: Cards = cards.iter().map(name).collect();
    cards.sort_unstable();
    cards
}

impl Tally {
    fn of(&mut self, pair: Pair) -> &mut Seen {
        self.seen.entry(pair).or_default()
    }

    fn take(&mut self, one: &Decision, deck: &DeckFaces) {
        let hand: Option<Vec<&CardFace>> = one.hand.iter().map(|card| deck.card(*card)).collect();
        let Some(hand) = hand else { return };
        let new = one.incoming.and_then(|card| deck.card(card));
        let skill = deck.skill_name();
        for card in hand.iter().copied().chain(new) {
            let item = (skill.clone(), card.item.clone());
            self.titles.entry(item).or_insert_with(|| card.title.clone());
        }
        let nearly = nearly_four(&skill, &hand);
        if one.act == Act::FalseGrab {
            let cards = key(&one.hand, deck);
            let fresh = self.grabs.insert(cards.clone());
            if let Some(pair) = nearly.filter(|_| fresh) {
                self.of(pair).grabs.insert(cards);
            }
            return;
        }
        let (Act::Kept { .. } | Act::Passed, Some(new)) = (one.act, new) else { return };
        self.hands += 1;
        if let Some(pair) = nearly {
            let own = self.of(pair);
            own.grab_chances += 1;
            own.of += 1;
        }
        if hand.iter().any(|own| own.item == new.item) || counts(&hand).len() == 1 {
            return;
        }
        self.unmatched((one, deck, &skill), &hand, new);
    }

    /// A new card that matches nothing.
    fn unmatched(
        &mut self,
        (one, deck, skill): (&Decision, &DeckFaces, &str),
        hand: &[&CardFace],
        new: &CardFace,
    ) {
        let left = match one.act {
            Act::Kept { left } => one.hand.iter().position(|card| *card == left),
            _ => None,
        };
        // A whim gives any of the four cards away.
        let chance = 1.0 / hand.len() as f64;
        let mut met = BTreeSet::new();
        for place in 0..hand.len() {
            let Some(broken) = broken_by(hand, place) else { continue };
            self.break_chances += chance;
            let Some(with) = broken else { continue };
            let pair = Pair::of(skill, &new.item, &with);
            self.of(pair.clone()).break_chances += chance;
            met.insert(pair);
        }
        met.into_iter().for_each(|pair| self.of(pair).of += 1);
        let Some((place, with)) = left.and_then(|place| Some((place, broken_by(hand, place)?)))
        else {
            return;
        };
        let cards = key(&[one.incoming.unwrap_or(one.hand[place]), one.hand[place]], deck);
        let fresh = self.breaks.insert(cards.clone());
        if let Some(with) = with.filter(|_| fresh) {
            self.of(Pair::of(skill, &new.item, &with)).broken.insert(cards);
        }
    }

    /// A pair's false grabs and pairs given up, beside the child's own elsewhere.
    fn acts(&self, own: &Seen) -> [Acts; 2] {
        let grabs = Acts {
            here: own.grabs.len(),
            chances_here: own.grab_chances as f64,
            elsewhere: self.grabs.len() - own.grabs.len(),
            chances_elsewhere: self.hands as f64 - own.grab_chances as f64,
        };
        let breaks = Acts {
            here: own.broken.len(),
            chances_here: own.break_chances,
            elsewhere: self.breaks.len() - own.broken.len(),
            chances_elsewhere: self.break_chances - own.break_chances,
        };
        [grabs, breaks]
    }

    fn told(&self, pair: &Pair, own: &Seen) -> Confusion {
        let title = |item: &String| {
            let known = self.titles.get(&(pair.skill.clone(), item.clone()));
            known.cloned().unwrap_or_default()
        };
        Confusion {
            items: (title(&pair.one), title(&pair.other)),
            grabs: own.grabs.len(),
            pairs_broken: own.broken.len(),
            of: own.of,
        }
    }
}

/// The two items of a hand that would be four alike if they were one.
fn nearly_four(skill: &str, hand: &[&CardFace]) -> Option<Pair> {
    let sizes = counts(hand);
    let items: Vec<&&String> = sizes.keys().collect();
    match items.as_slice() {
        [one, other] => Some(Pair::of(skill, one, other)),
        _ => None,
    }
}

/// `Some` if giving this card away breaks a true pair; inside it the one item among the rest that
/// the new card may have been taken for, if it stands out.
fn broken_by(hand: &[&CardFace], place: usize) -> Option<Option<String>> {
    let sizes = counts(hand);
    let left = &hand[place].item;
    if sizes[left] < 2 {
        return None;
    }
    let others: Vec<(&&String, &usize)> = sizes.iter().filter(|(item, _)| **item != left).collect();
    let most = others.iter().map(|(_, size)| **size).max()?;
    let mut largest = others.iter().filter(|(_, size)| **size == most);
    let first = largest.next().map(|(item, _)| (**item).clone());
    Some(if largest.next().is_none() { first } else { None })
}
