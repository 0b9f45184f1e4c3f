//! Frequent words in four forms of print: small letters, capitals, with a first capital, book print.

use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use crate::deck::words;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard {
        code: "RF.K.3.C",
        asks: "read frequent words by sight: the, of, to, you, she, my, is",
    },
    Standard { code: "RF.1.3.G", asks: "read irregularly spelled words of grade 1" },
];

pub(super) fn family() -> Family {
    let group = |word: &'static str| {
        let print = |kind, text: String| (kind, Shown::Print(text));
        let first = format!("{}{}", word[..1].to_uppercase(), &word[1..]);
        let cards = [
            print(FaceKind::Word, word.to_owned()),
            print(FaceKind::WordCapitals, word.to_uppercase()),
            print(FaceKind::WordFirstCapital, first),
            print(FaceKind::WordBook, word.to_owned()),
        ];
        MatchGroup::of(Meaning::Word(word.to_owned()), cards)
    };
    Family {
        name: "Frequent words".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Word,
        accent: Accent::ANY,
        groups: words::frequent().map(group).collect(),
        starts: Vec::new(),
    }
}
