//! Contractions: the short form and the full form, each in small letters and in capitals. Twenty-two
//! groups, 13 at most in a deck; no two groups sound alike, and none has two full forms.

use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::phrase::SHORT_FORMS;
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] =
    &[Standard { code: "L.2.2.C", asks: "the apostrophe in short forms: don’t for do not" }];

pub(super) fn family() -> Family {
    let group = |(short, long): (&'static str, &'static str)| {
        let cards = [
            (FaceKind::ShortForm, short.to_owned()),
            (FaceKind::LongForm, long.to_owned()),
            (FaceKind::ShortFormCapitals, short.to_uppercase()),
            (FaceKind::LongFormCapitals, long.to_uppercase()),
        ];
        let cards = cards.map(|(kind, text)| (kind, Shown::Print(text)));
        MatchGroup::of(Meaning::ShortForm(short), cards)
    };
    Family {
        name: "Short forms".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::SixToSeven, AgeBand::SevenToEight),
        likeness: Likeness::ShortForm,
        accent: Accent::ANY,
        groups: SHORT_FORMS.into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
