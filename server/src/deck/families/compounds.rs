//! Words made of two words: the whole in small letters and in capitals, the two words, and pictures of
//! both parts or of the whole where we have them, book print where we have none. Twenty-nine groups, 13 at
//! most in a deck.

use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::phrase::COMPOUNDS;
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "L.2.4.D", asks: "know a compound word by the words in it" },
    Standard { code: "RF.1.3.E", asks: "read words of two syllables by their parts" },
];

pub(super) fn family() -> Family {
    let group = |(first, second): (&'static str, &'static str)| {
        let whole = format!("{first}{second}");
        let mut pictures = Vec::new();
        if face::thing(first).is_some() && face::thing(second).is_some() {
            let parts = Shown::Things(first.to_owned(), second.to_owned());
            pictures.push((FaceKind::PictureParts, parts));
        }
        if face::thing(&whole).is_some() {
            pictures.push((FaceKind::Picture, Shown::Thing(whole.clone())));
        }
        if pictures.is_empty() {
            pictures.push((FaceKind::WordBook, Shown::Print(whole.clone())));
        }
        let places = vec![
            vec![(FaceKind::Word, Shown::Print(whole.clone()))],
            vec![(FaceKind::WordParts, Shown::Print(format!("{first} + {second}")))],
            vec![(FaceKind::WordCapitals, Shown::Print(whole.to_uppercase()))],
            pictures,
        ];
        MatchGroup { meaning: Meaning::Compound(first, second), places }
    };
    Family {
        name: "Words made of two".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::SixToSeven, AgeBand::SevenToEight),
        likeness: Likeness::Compound,
        accent: Accent::ANY,
        groups: COMPOUNDS.into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
