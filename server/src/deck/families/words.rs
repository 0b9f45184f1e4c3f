//! Words of consonant, short vowel and consonant that have a picture: small letters, capitals, and two
//! unlike pictures, or a picture and sound boxes. Word families: four printed words that share an
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
use handround_protocol::skill::Accent;
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
        let boxes = || print(FaceKind::SoundBoxes, word.to_owned());
        let picture = face::picture(word)?;
        let cards = [
            vec![print(FaceKind::Word, word.to_owned())],
            vec![print(FaceKind::WordCapitals, word.to_uppercase())],
            vec![picture],
            vec![face::other_picture(word).unwrap_or_else(boxes)],
        ];
        Some(MatchGroup { meaning: Meaning::Word(word.to_owned()), places: cards.into() })
    };
    Family {
        name: "Short vowel words".to_owned(),
        standards: SHORT_VOWELS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Word,
        accent: Accent::ANY,
        groups: words::spelled()
            .filter(|word| words::is_short_vowel_word(word))
            .filter_map(group)
            .collect(),
        starts: Vec::new(),
    }
}

const SILENT_E: &[Standard] = &[
    Standard { code: "RF.1.3.C", asks: "final -e and vowel teams for long vowels" },
    Standard { code: "RF.K.3.B", asks: "long and short sounds with their common spellings" },
];

pub(super) fn families() -> Family {
    Family {
        name: "Word families".to_owned(),
        standards: WORD_FAMILIES,
        ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
        likeness: Likeness::Ending,
        accent: Accent::ANY,
        groups: endings().into_iter().map(|(ending, words)| printed(ending, &words)).collect(),
        starts: Vec::new(),
    }
}

/// Endings with a silent e, and the short ones that an e would turn into them: `-ate` and `-at`. Every
/// deck of two groups and more starts with such a pair, so that the e is what tells.
pub(super) fn silent_e() -> Family {
    let long = |spelled: &str| {
        let letters: Vec<char> = spelled.chars().collect();
        matches!(letters[..], [vowel, consonant, 'e'] if "aeiou".contains(vowel) && !"aeiour".contains(consonant))
    };
    let endings: Vec<(Meaning, Vec<&'static str>)> = endings().into_iter().collect();
    let spelled = |meaning: &Meaning| match meaning {
        Meaning::Ending(spelled, _) => spelled.clone(),
        _ => String::new(),
    };
    let with_e: Vec<String> =
        endings.iter().map(|(meaning, _)| spelled(meaning)).filter(|ending| long(ending)).collect();
    let chosen: Vec<_> = endings
        .into_iter()
        .filter(|(meaning, _)| {
            let ending = spelled(meaning);
            with_e.contains(&ending) || with_e.contains(&format!("{ending}e"))
        })
        .collect();
    let starts = chosen.iter().flat_map(|(short, _)| {
        let partner = format!("{}e", spelled(short));
        let partners = chosen.iter().filter(move |(long, _)| spelled(long) == partner);
        partners.map(|(long, _)| vec![short.clone(), long.clone()])
    });
    Family {
        name: "Silent e".to_owned(),
        standards: SILENT_E,
        ages: (AgeBand::SixToSeven, AgeBand::SevenToEight),
        likeness: Likeness::Ending,
        accent: Accent::ANY,
        starts: starts.collect(),
        groups: chosen.into_iter().map(|(ending, words)| with_pictures(ending, &words)).collect(),
    }
}

fn printed(ending: Meaning, words: &[&'static str]) -> MatchGroup {
    let card = |word: &&str| (FaceKind::Word, Shown::Print((*word).to_owned()));
    MatchGroup { meaning: ending, places: vec![words.iter().map(card).collect()] }
}

/// The same with pictures where we have them; half of the cards are print in any case.
fn with_pictures(ending: Meaning, words: &[&'static str]) -> MatchGroup {
    let (pictures, print): (Vec<&str>, Vec<&str>) =
        words.iter().partition(|word| face::picture(word).is_some());
    let half = print.len() / 2;
    let cards = |words: &[&str]| -> Vec<_> {
        words.iter().map(|word| (FaceKind::Word, Shown::Print((*word).to_owned()))).collect()
    };
    let pictures = pictures.iter().filter_map(|name| face::picture(name));
    let mut places = vec![cards(&print[..half]), cards(&print[half..]), pictures.collect()];
    places.retain(|place: &Vec<_>| !place.is_empty());
    MatchGroup { meaning: ending, places }
}

/// Words by their printed ending that sounds the same, four at least.
fn endings() -> BTreeMap<Meaning, Vec<&'static str>> {
    let mut endings: BTreeMap<Meaning, Vec<&'static str>> = BTreeMap::new();
    for word in sorted_by_rime().into_values().flatten() {
        let shown = Shown::Print(word.to_owned());
        if let Ok(ending) = meaning(Likeness::Ending, FaceKind::Word, &shown) {
            endings.entry(ending).or_default().push(word);
        }
    }
    endings.retain(|_, words| words.len() >= GROUP_CARDS_MIN);
    endings
}
