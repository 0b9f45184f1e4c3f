//! Rhymes: four words with the same sounds from the stressed vowel on, whatever their spelling, as
//! pictures where we have them and in print otherwise. No two words of a group sound alike, and groups
//! that some accent hears as one are never in one deck.

use crate::deck::clash::Card;
use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use crate::deck::words::{self, Accent};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::limits::GROUP_CARDS_MIN;
use std::collections::BTreeMap;

const STANDARDS: &[Standard] = &[
    Standard { code: "RF.K.2.A", asks: "recognise and make rhymes" },
    Standard { code: "RF.1.3.C", asks: "final -e and vowel teams for long vowels" },
];

/// Words that only serve a sentence rhyme badly, because nobody stresses them.
fn content_word(word: &str) -> bool {
    const SERVANTS: &str = "all and are as at be but by can do for get had has he him if in into is it like may me \
                            my not now of on or our she so than the them then they this to up we were what when \
                            which who will with you your";
    !SERVANTS.split_whitespace().any(|servant| servant == word)
}

/// Known words by their rime; only those that every dictionary entry says one way, and of words that
/// sound alike only the first.
pub(super) fn sorted_by_rime() -> BTreeMap<String, Vec<&'static str>> {
    let mut sets: BTreeMap<String, Vec<&'static str>> = BTreeMap::new();
    for word in words::spelled().filter(|word| content_word(word)) {
        let mut rimes = words::rimes(word, Accent::DICTIONARY).into_iter();
        let (Some(rime), None) = (rimes.next(), rimes.next()) else { continue };
        let set = sets.entry(rime).or_default();
        let sounds = words::sounds(word, Accent::DICTIONARY);
        let new = |other: &&str| words::sounds(other, Accent::DICTIONARY).is_disjoint(&sounds);
        if set.iter().all(new) {
            set.push(word);
        }
    }
    sets.retain(|_, words| words.len() >= GROUP_CARDS_MIN);
    sets
}

pub(super) fn family() -> Family {
    let group = |(rime, words): (String, Vec<&'static str>)| {
        let card = |word: &&str| -> Card {
            let print = || (FaceKind::Word, Shown::Print((*word).to_owned()));
            face::picture(word).unwrap_or_else(print)
        };
        let (pictures, print): (Vec<Card>, Vec<Card>) =
            words.iter().map(card).partition(|card| card.0 != FaceKind::Word);
        // Pictures first: each has a place of its own before print fills the group.
        let mut places: Vec<Vec<Card>> = pictures.into_iter().map(|card| vec![card]).collect();
        places.push(print);
        MatchGroup { meaning: Meaning::Rime(rime), places }
    };
    Family {
        name: "Rhymes".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
        likeness: Likeness::Rime,
        accent: Accent::ANY,
        groups: sorted_by_rime().into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
