//! Halves, thirds and fourths: a round, a tall and a long whole with shares shaded, and words. Five
//! groups: one half, one and two thirds, one and three fourths. Two fourths are as much as one half, so
//! that they are left out, and so are whole wholes.

use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::phrase::share_words;
use crate::deck::shown::{Shown, Whole};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "1.G.A.3", asks: "cut circles and rectangles into halves and fourths" },
    Standard { code: "2.G.A.3", asks: "two, three or four equal shares, also of unlike wholes" },
];

pub(super) fn family() -> Family {
    let group = |(shaded, shares): (u8, u8)| {
        let drawn = |whole| (FaceKind::Shares, Shown::Shares { whole, shares, shaded });
        let words = share_words(shaded, shares);
        let words = words.map(|text| (FaceKind::ShareWords, Shown::Print(text)));
        let cards = Whole::ALL.into_iter().map(drawn).chain(words);
        MatchGroup::of(Meaning::Share(shaded, shares), cards)
    };
    Family {
        name: "Halves, thirds, fourths".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::SixToSeven, AgeBand::SevenToEight),
        likeness: Likeness::Share,
        accent: Accent::ANY,
        groups: [(1, 2), (1, 3), (2, 3), (1, 4), (3, 4)].into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
