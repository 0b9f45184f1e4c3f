//! 11 to 19 as ten and some more ones: 9 groups.

use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "K.NBT.A.1", asks: "11 to 19 are ten ones and some more ones" },
    Standard { code: "1.NBT.B.2.B", asks: "11 to 19 are one ten and some ones" },
];

pub(super) fn family() -> Family {
    let group = |number: u16| {
        let ones = number - 10;
        let count = |kind| (kind, Shown::Count(number));
        let places = vec![
            vec![count(FaceKind::TenAndOnes)],
            vec![count(FaceKind::TenFrame)],
            vec![count(FaceKind::Numeral)],
            vec![
                (FaceKind::Addition, Shown::Print(format!("10 + {ones}"))),
                (FaceKind::NumberBond, Shown::Bond { whole: false, parts: (10, ones) }),
            ],
        ];
        MatchGroup { meaning: Meaning::Number(number), places }
    };
    Family {
        name: "Ten and ones".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Value,
        accent: Accent::ANY,
        groups: (11..=19).map(group).collect(),
        starts: Vec::new(),
    }
}
