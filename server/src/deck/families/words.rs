//! Words of consonant, short vowel and consonant: small letters, capitals, sound boxes, and a picture
//! where there is one, book print where there is none. Word families: four printed words that share an
//! ending in print and in sound.

use super::rhymes::sorted_by_rime;
use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning, meaning};
use crate::deck::shown::Shown;
use crate::deck::words;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::limits::GROUP_CARDS_MIN;
use std::collections::BTreeMap;

const SHORT_VOWELS: &[Standard] = &[
    Standard { code: "RF.K.2.D", asks: "first, middle and last sound of words of three sounds" },
    Standard { code: "RF.K.3.D", asks: "tell similarly spelled words by the letter that differs" },
    Standard { code: "RF.1.3.B", asks: "read regularly spelled words of one syllable" },
];

const WORD_FAMILIES: &[Standard] = &[
    Standard { code: "RF.K.2.C", asks: "blend and part the beginning and the rime of a word" },
    Standard { code: "RF.1.3.B", asks: "read regularly spelled words of one syllable" },
];

pub(super) fn short_vowels() -> Family {
    let group = |word: &'static str| {
        let print = |kind, text: String| (kind, Shown::Print(text));
        let fourth = match face::thing(word) {
            Some(_) => (FaceKind::Picture, Shown::Thing(word.to_owned())),
            None => print(FaceKind::WordBook, word.to_owned()),
        };
        let cards = [
            print(FaceKind::Word, word.to_owned()),
            print(FaceKind::WordCapitals, word.to_uppercase()),
            print(FaceKind::SoundBoxes, word.to_owned()),
            fourth,
        ];
        MatchGroup::of(Meaning::Word(word.to_owned()), cards)
    };
    Family {
        name: "Short vowel words".to_owned(),
        standards: SHORT_VOWELS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Word,
        groups: words::known().filter(|word| words::is_short_vowel_word(word)).map(group).collect(),
        starts: Vec::new(),
    }
}

pub(super) fn families() -> Family {
    let mut endings: BTreeMap<Meaning, Vec<&'static str>> = BTreeMap::new();
    for word in sorted_by_rime().into_values().flatten() {
        let shown = Shown::Print(word.to_owned());
        if let Ok(ending) = meaning(Likeness::Ending, FaceKind::Word, &shown) {
            endings.entry(ending).or_default().push(word);
        }
    }
    endings.retain(|_, words| words.len() >= GROUP_CARDS_MIN);
    let group = |(ending, words): (Meaning, Vec<&'static str>)| {
        let card = |word: &&str| (FaceKind::Word, Shown::Print((*word).to_owned()));
        MatchGroup { meaning: ending, places: vec![words.iter().map(card).collect()] }
    };
    Family {
        name: "Word families".to_owned(),
        standards: WORD_FAMILIES,
        ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
        likeness: Likeness::Ending,
        groups: endings.into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
