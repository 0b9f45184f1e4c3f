//! One more and one less, or just before and just after, with a number path: a group of every number from 2 to one
//! below the largest. Ten more and ten less: of every number from 20 to 89. A deck has 13 at most.

use crate::deck::error::DeckError;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const ONE_MORE: &[Standard] = &[
    Standard { code: "K.CC.A.2", asks: "count on from a given number" },
    Standard { code: "K.CC.B.4.C", asks: "the next number is one more" },
];

const TEN_MORE: &[Standard] =
    &[Standard { code: "1.NBT.C.5", asks: "ten more and ten less in the head" }];

fn told(step: u16, way: &str, from: u16) -> (FaceKind, Shown) {
    (FaceKind::MoreOrLess, Shown::Print(format!("{step} {way} than {from}")))
}

pub(super) fn one_more(max: u16) -> Result<Family, DeckError> {
    if !(8..=120).contains(&max) {
        let (what, allowed) = ("The largest number", "8 to 120");
        return Err(DeckError::OutOfRange { what, allowed, asked: max });
    }
    let group = |number: u16| {
        let cards = [
            (FaceKind::Numeral, Shown::Count(number)),
            (FaceKind::NumberPath, Shown::Count(number)),
            told(1, "more", number - 1),
            told(1, "less", number + 1),
        ];
        MatchGroup::of(Meaning::Number(number), cards)
    };
    Ok(Family {
        name: format!("One more, one less to {max}"),
        standards: ONE_MORE,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Value,
        accent: Accent::ANY,
        // Neighbours are shown as well, so that the largest number is the last one's.
        groups: (2..max).map(group).collect(),
        starts: Vec::new(),
    })
}

/// The same neighbours told by their place in the count and not by one more, as K.CC.A.2 has it.
pub(super) fn before_after(max: u16) -> Result<Family, DeckError> {
    let told = |text: String| (FaceKind::MoreOrLess, Shown::Print(text));
    let group = |number: u16| {
        let cards = [
            (FaceKind::Numeral, Shown::Count(number)),
            (FaceKind::NumberPath, Shown::Count(number)),
            told(format!("just after {}", number - 1)),
            told(format!("just before {}", number + 1)),
        ];
        MatchGroup::of(Meaning::Number(number), cards)
    };
    let family = one_more(max)?;
    let groups = (2..max).map(group).collect();
    Ok(Family { name: format!("Before and after to {max}"), groups, ..family })
}

pub(super) fn ten_more() -> Family {
    let group = |number: u16| {
        let cards = [
            (FaceKind::Numeral, Shown::Count(number)),
            (FaceKind::Blocks, Shown::Count(number)),
            told(10, "more", number - 10),
            told(10, "less", number + 10),
        ];
        MatchGroup::of(Meaning::Number(number), cards)
    };
    Family {
        name: "Ten more, ten less".to_owned(),
        standards: TEN_MORE,
        ages: (AgeBand::SixToSeven, AgeBand::SevenToEight),
        likeness: Likeness::Value,
        accent: Accent::ANY,
        groups: (20..=89).map(group).collect(),
        starts: Vec::new(),
    }
}
