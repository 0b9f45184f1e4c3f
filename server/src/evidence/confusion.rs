//! Confusions: two items that a child took for each other, and the check that chance alone would
//! not have made it look so.
//!
//! Two things make one: a false grab of a hand that would be four alike if the two were one, and a true
//! pair given up for a card that matches nothing. Each counts once for a hand, and both at least
//! twice on different cards.

use super::cards::{CardFace, DeckFaces};
use super::decision::{Act, Decision};
use super::judge::counts;
use super::stats::{Elsewhere, chance_of_so_many};
use crate::game::event::Card;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Different hands or cards that a confusion needs at least.
pub const TIMES_MIN: usize = 2;
/// How seldom chance alone may make a pair look so. Chosen with `tests/recovery.rs` on seeds 0 to 39, as
/// EVIDENCE.md tells; the test plays other seeds.
const CHANCE_BELOW: f64 = 0.005;

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

/// An unordered pair of items.
type Pair = (String, String);

fn pair(one: &str, other: &str) -> Pair {
    if one < other { (one.into(), other.into()) } else { (other.into(), one.into()) }
}

/// What was seen of one pair.
#[derive(Default)]
struct Seen {
    grabs: BTreeSet<Vec<Card>>,
    broken: BTreeSet<Vec<Card>>,
    grab_chances: usize,
    break_chances: f64,
    of: usize,
}

/// What was seen of one child.
#[derive(Default)]
struct Tally {
    seen: BTreeMap<Pair, Seen>,
    titles: BTreeMap<String, String>,
    grabs: BTreeSet<Vec<Card>>,
    breaks: BTreeSet<Vec<Card>>,
    hands: usize,
    break_weight: f64,
}

/// The confusions in one child's decisions, each beside its deck.
pub fn confusions(decisions: &[(&Decision, &DeckFaces)]) -> Vec<Confusion> {
    let mut tally = Tally::default();
    for (one, deck) in decisions.iter().filter(|(one, _)| one.counts()) {
        tally.take(one, deck);
    }
    let sure = tally
        .seen
        .iter()
        .filter(|(_, own)| own.times() >= TIMES_MIN && tally.chance(own) < CHANCE_BELOW);
    let mut found: Vec<Confusion> = sure.map(|(pair, own)| tally.told(pair, own)).collect();
    found.sort_by(|one, other| {
        let times = |of: &Confusion| std::cmp::Reverse(of.grabs + of.pairs_broken);
        (times(one), &one.items).cmp(&(times(other), &other.items))
    });
    found
}

impl Seen {
    fn times(&self) -> usize {
        self.grabs.len() + self.broken.len()
    }
}

fn key(cards: &[Card]) -> Vec<Card> {
    let mut cards = cards.to_vec();
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
        for card in hand.iter().copied().chain(new) {
            self.titles.entry(card.item.clone()).or_insert_with(|| card.title.clone());
        }
        let nearly = nearly_four(&hand);
        if one.act == Act::FalseGrab {
            let fresh = self.grabs.insert(key(&one.hand));
            if let Some(pair) = nearly.filter(|_| fresh) {
                self.of(pair).grabs.insert(key(&one.hand));
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
        self.unmatched(one, &hand, new);
    }

    /// A new card that matches nothing.
    fn unmatched(&mut self, one: &Decision, hand: &[&CardFace], new: &CardFace) {
        let left = match one.act {
            Act::Kept { left } => one.hand.iter().position(|card| *card == left),
            _ => None,
        };
        let mut met = BTreeSet::new();
        for place in 0..hand.len() {
            let Some(broken) = broken_by(hand, place) else { continue };
            self.break_weight += 0.25;
            let Some(with) = broken else { continue };
            self.of(pair(&new.item, &with)).break_chances += 0.25;
            met.insert(pair(&new.item, &with));
        }
        met.into_iter().for_each(|pair| self.of(pair).of += 1);
        let Some((place, with)) = left.and_then(|place| Some((place, broken_by(hand, place)?)))
        else {
            return;
        };
        let cards = key(&[one.incoming.unwrap_or(one.hand[place]), one.hand[place]]);
        let fresh = self.breaks.insert(cards.clone());
        if let Some(with) = with.filter(|_| fresh) {
            self.of(pair(&new.item, &with)).broken.insert(cards);
        }
    }

    /// How likely chance alone makes it look so: the child's false grabs and broken pairs elsewhere, and
    /// at what share of its hands this pair could show.
    fn chance(&self, own: &Seen) -> f64 {
        let share = |part: f64, whole: f64| if whole > 0.0 { part / whole } else { 0.0 };
        let grabs = Elsewhere {
            times: self.grabs.len() - own.grabs.len(),
            share_here: share(own.grab_chances as f64, self.hands as f64),
        };
        let breaks = Elsewhere {
            times: self.breaks.len() - own.broken.len(),
            share_here: share(own.break_chances, self.break_weight),
        };
        chance_of_so_many(own.times(), grabs, breaks)
    }

    fn told(&self, pair: &Pair, own: &Seen) -> Confusion {
        let title = |item: &String| self.titles.get(item).cloned().unwrap_or_default();
        Confusion {
            items: (title(&pair.0), title(&pair.1)),
            grabs: own.grabs.len(),
            pairs_broken: own.broken.len(),
            of: own.of,
        }
    }
}

/// The two items of a hand that would be four alike if they were one.
fn nearly_four(hand: &[&CardFace]) -> Option<Pair> {
    let sizes = counts(hand);
    let items: Vec<&&String> = sizes.keys().collect();
    match items.as_slice() {
        [one, other] => Some(pair(one, other)),
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
