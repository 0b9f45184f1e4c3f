//! Partners of ten. A group is one partnership, 7 and 3, whichever comes first: as a ten frame of two
//! kinds of counter, as a bond, as a sum and as a difference. 9 and 1 to 5 and 5 are 5 groups.

use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "K.OA.A.4", asks: "find the number that makes 10 with 1 to 9" },
    Standard { code: "1.OA.C.6", asks: "make ten on the way to a sum" },
];

pub(super) fn family() -> Family {
    let group = |small: u16| {
        let mut orders = vec![(10 - small, small), (small, 10 - small)];
        orders.dedup();
        let each = |card: &dyn Fn(u16, u16) -> (FaceKind, Shown)| {
            orders.iter().map(|(one, other)| card(*one, *other)).collect::<Vec<_>>()
        };
        let places = vec![
            each(&|one, other| (FaceKind::FrameParts, Shown::Parts(one, other))),
            each(&|one, other| {
                (FaceKind::NumberBond, Shown::Bond { whole: true, parts: (one, other) })
            }),
            each(&|one, other| (FaceKind::Addition, Shown::Print(format!("{one} + {other}")))),
            each(&|one, _| (FaceKind::Subtraction, Shown::Print(format!("10 − {one}")))),
        ];
        MatchGroup { meaning: Meaning::Partner(small), places }
    };
    Family {
        name: "Partners of ten".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::PartnersOfTen,
        accent: Accent::ANY,
        groups: (1..=5).map(group).collect(),
        starts: Vec::new(),
    }
}
