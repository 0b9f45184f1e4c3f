//! Beginning sounds: pictures whose words begin alike, and the letter that writes the sound. c and k
//! are one group, since they sound the same. A sound needs three pictures that no other group could
//! claim by another name; with the pictures of today that gives 11 groups.

use crate::deck::clash::Card;
use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use crate::deck::words;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;
use std::collections::BTreeMap;

const STANDARDS: &[Standard] = &[
    Standard { code: "RF.K.2.D", asks: "hear and say the first sound of a word" },
    Standard { code: "RF.K.3.A", asks: "the most frequent sound of each consonant" },
];

/// Pictures of a group beside its letter.
const PICTURES_MIN: usize = 3;

pub(super) fn family() -> Family {
    let mut sounds: BTreeMap<&'static str, Vec<char>> = BTreeMap::new();
    for letter in 'a'..='z' {
        if let Some(sound) = words::sound_of_letter(&letter.to_string()) {
            sounds.entry(sound).or_default().push(letter);
        }
    }
    // A picture is clear only beside the sounds that are left, so the sound that lacks most pictures
    // goes first, until every one has enough.
    while let Some((sound, count)) = sounds
        .keys()
        .map(|sound| (*sound, pictures(sound, &sounds).len()))
        .min_by_key(|lacks| lacks.1)
    {
        if count >= PICTURES_MIN {
            break;
        }
        sounds.remove(sound);
    }
    let group = |(sound, letters): (&&'static str, &Vec<char>)| {
        let letters: Vec<String> = letters.iter().map(char::to_string).collect();
        let letters = (FaceKind::SmallLetter, Shown::Print(letters.join(" ")));
        // Three places for pictures, so that the seed picks among them.
        let mut places = vec![vec![letters]];
        places.extend((0..PICTURES_MIN).map(|_| Vec::new()));
        for (index, picture) in pictures(sound, &sounds).into_iter().enumerate() {
            places[1 + index % PICTURES_MIN].push(picture);
        }
        MatchGroup { meaning: Meaning::FirstSound(sound), places }
    };
    Family {
        name: "First sounds".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::FiveToSix),
        likeness: Likeness::FirstSound,
        accent: Accent::ANY,
        groups: sounds.iter().map(group).collect(),
        starts: Vec::new(),
    }
}

/// The pictures that begin with a sound and are clear beside the other sounds.
fn pictures(sound: &str, sounds: &BTreeMap<&'static str, Vec<char>>) -> Vec<Card> {
    let others = |letter: char| sounds.values().any(|letters| letters.contains(&letter));
    let begins =
        |name: &str| words::first_letter(name).is_some() && words::first_sound(name) == Some(sound);
    face::pictured()
        .filter(|name| begins(name) && words::is_clear_first_letter(name, others))
        .filter_map(face::picture)
        .collect()
}
