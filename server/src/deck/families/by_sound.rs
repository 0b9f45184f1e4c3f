//! Pictures sorted by how their words sound: by the last sound, by the short vowel in the middle, by the
//! parts to clap. No print but a letter, so that children listen. A picture is in play only if nothing
//! that children may call it belongs to another group.
//!
//! Last sounds make 6 groups. Middle vowels make 5, one for each vowel, and parts to clap make 4: fewer
//! than a table of four needs, so such a deck serves three seats or two.

use crate::deck::clash::Card;
use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use crate::deck::words::{self, patterns};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;
use std::collections::BTreeMap;

const SOUNDS: &[Standard] = &[
    Standard { code: "RF.K.2.D", asks: "hear and say the first, middle and last sound of a word" },
    Standard { code: "RF.1.2.C", asks: "hear and say first, middle and last sounds" },
];

const VOWELS: &[Standard] = &[
    Standard { code: "RF.K.2.D", asks: "hear and say the first, middle and last sound of a word" },
    Standard { code: "RF.K.3.B", asks: "short vowels and the letters that write them" },
    Standard { code: "RF.1.2.A", asks: "tell long and short vowels apart" },
];

const PARTS: &[Standard] =
    &[Standard { code: "RF.K.2.B", asks: "count, say, blend and part the syllables of a word" }];

/// Pictures by the key of their words, each key with at least so many that are clear beside the others.
fn pictures<K: Ord + Copy>(
    key: impl Fn(&str) -> Option<K>,
    least: usize,
) -> BTreeMap<K, Vec<&'static str>> {
    let names = face::pictured;
    let mut keys: Vec<K> = names().filter_map(&key).collect();
    keys.sort_unstable();
    keys.dedup();
    // What is clear depends on the keys that are left, so the one that lacks most goes first.
    loop {
        let clear = |name: &&str| {
            let own = key(name);
            let others = words::other_names(name).filter_map(&key);
            own.is_some_and(|own| keys.contains(&own))
                && others.into_iter().all(|other| Some(other) == own || !keys.contains(&other))
        };
        let mut sorted: BTreeMap<K, Vec<&'static str>> =
            keys.iter().map(|key| (*key, Vec::new())).collect();
        for name in names().filter(clear) {
            if let Some(pictures) = key(name).and_then(|key| sorted.get_mut(&key)) {
                pictures.push(name);
            }
        }
        match sorted.iter().min_by_key(|(_, pictures)| pictures.len()) {
            Some((key, pictures)) if pictures.len() < least => keys.retain(|other| other != key),
            _ => return sorted,
        }
    }
}

/// A group: some cards that are always there, and as many places for pictures as fill it.
fn group(meaning: Meaning, always: Vec<Card>, pictures: &[&'static str]) -> MatchGroup {
    let room = 4_usize.saturating_sub(always.len()).max(1);
    let mut places: Vec<Vec<Card>> = always.into_iter().map(|card| vec![card]).collect();
    let first = places.len();
    places.extend((0..room).map(|_| Vec::new()));
    for (index, name) in pictures.iter().enumerate() {
        places[first + index % room].extend(face::picture(name));
    }
    MatchGroup { meaning, places }
}

fn letter(letter: char) -> Card {
    (FaceKind::SmallLetter, Shown::Print(letter.to_string()))
}

pub(super) fn final_sounds() -> Family {
    let group = |(sound, pictures): (&'static str, Vec<&'static str>)| {
        // The letter that writes the sound at the end of a word: k, not c.
        let letters = ('a'..='z').filter(|letter| *letter != 'c');
        let own = letters
            .into_iter()
            .find(|letter| words::sound_of_letter(&letter.to_string()) == Some(sound))?;
        Some(group(Meaning::FinalSound(sound), vec![letter(own)], &pictures))
    };
    Family {
        name: "Last sounds".to_owned(),
        standards: SOUNDS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::FinalSound,
        accent: Accent::ANY,
        groups: pictures(patterns::final_sound, 3).into_iter().filter_map(group).collect(),
        starts: Vec::new(),
    }
}

/// Pictures whose vowel some of the class hear otherwise are left out, so that the accent matters here.
pub(super) fn middle_vowels(accent: Accent) -> Family {
    let group = |(vowel, pictures): (char, Vec<&'static str>)| {
        group(Meaning::MiddleVowel(vowel), vec![letter(vowel)], &pictures)
    };
    let vowel = |word: &str| patterns::middle_vowel(word, accent);
    Family {
        name: "Middle vowels".to_owned(),
        standards: VOWELS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::MiddleVowel,
        accent,
        groups: pictures(vowel, 3).into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}

pub(super) fn syllables() -> Family {
    let group = |(count, pictures): (u16, Vec<&'static str>)| {
        let always = [FaceKind::Claps, FaceKind::Numeral].map(|kind| (kind, Shown::Count(count)));
        group(Meaning::Syllables(count), always.to_vec(), &pictures)
    };
    Family {
        name: "Parts to clap".to_owned(),
        standards: PARTS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Syllables,
        accent: Accent::ANY,
        groups: pictures(patterns::syllables, 2).into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
