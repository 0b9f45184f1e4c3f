//! Letters: capital and small letter on writing lines, both as books print them, and a picture whose
//! word begins with the letter and its own sound. 26 groups, 13 at most in a deck; x has no picture,
//! since it begins no word with its own sound.

use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use crate::deck::words;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "RF.K.1.D", asks: "name all capital and small letters" },
    Standard { code: "RF.K.3.A", asks: "the most frequent sound of each consonant" },
    Standard { code: "RF.K.3.B", asks: "long and short sounds of the vowels" },
];

pub(super) fn family() -> Family {
    let group = |letter: char| {
        let print = |kind, letter: char| (kind, Shown::Print(letter.to_string()));
        let capital = letter.to_ascii_uppercase();
        let pictures: Vec<_> = face::pictured()
            .filter(|name| words::first_letter(name) == Some(letter))
            .filter(|name| words::is_clear_first_letter(name, |_| true))
            .filter_map(face::picture)
            .collect();
        let mut places = vec![
            vec![print(FaceKind::Capital, capital)],
            vec![print(FaceKind::SmallLetter, letter)],
            vec![print(FaceKind::BookLetter, letter)],
        ];
        if pictures.is_empty() {
            places.push(vec![print(FaceKind::BookCapital, capital)]);
        } else {
            places.push(pictures);
        }
        MatchGroup { meaning: Meaning::Letter(letter), places }
    };
    Family {
        name: "Letters".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Letter,
        accent: Accent::ANY,
        groups: ('a'..='z').map(group).collect(),
        starts: Vec::new(),
    }
}
