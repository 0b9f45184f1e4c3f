//! Addition and subtraction facts with equal results. Sums alone give four facts for 8, 9 and 10 only,
//! so every group has both signs, a domino and a number bond beside them. Facts with zero are left
//! out. Results go from 2 to the largest number: within 5 4 groups, within 10 9, within 20 13 of 19.

use crate::deck::error::DeckError;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;
use std::ops::RangeInclusive;

const STANDARDS: &[Standard] = &[
    Standard { code: "K.OA.A.1", asks: "show adding and taking away with drawings and equations" },
    Standard { code: "K.OA.A.3", asks: "split numbers to 10 into pairs in more than one way" },
    Standard { code: "1.OA.C.6", asks: "add and subtract within 20" },
    Standard { code: "1.OA.D.7", asks: "two expressions can be equal: 5 + 2 and 3 + 4" },
    Standard { code: "2.OA.B.2", asks: "know the facts within 20" },
];

const RANGE: RangeInclusive<u16> = 5..=20;
/// Dots on half a domino.
const HALF: RangeInclusive<u16> = 1..=9;

pub(super) fn family(max: u16, ages: AgeBand) -> Result<Family, DeckError> {
    if !RANGE.contains(&max) {
        let (what, allowed) = ("The largest number of the facts", "5 to 20");
        return Err(DeckError::OutOfRange { what, allowed, asked: max });
    }
    Ok(Family {
        name: format!("Facts within {max}"),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
        likeness: Likeness::Value,
        accent: Accent::ANY,
        groups: (2..=max).map(|result| group(result, max, ages)).collect(),
        starts: Vec::new(),
    })
}

/// Kindergarten keeps the numeral in every group and fewer signs; later groups have more facts.
fn group(result: u16, max: u16, ages: AgeBand) -> MatchGroup {
    // 3 + 4 and 4 + 3 are one fact, written with the larger first every other time.
    let splits = || (1..=result / 2).map(move |small| (result - small, small));
    let turned = |(large, small): (u16, u16)| {
        if (large + small) % 2 == small % 2 { (large, small) } else { (small, large) }
    };
    let additions: Vec<_> = splits()
        .map(turned)
        .map(|(one, other)| (FaceKind::Addition, Shown::Print(format!("{one} + {other}"))))
        .collect();
    let subtractions: Vec<_> = (result + 1..=max)
        .map(|from| (FaceKind::Subtraction, Shown::Print(format!("{from} − {}", from - result))))
        .collect();
    let dominoes = splits()
        .filter(|(one, other)| HALF.contains(one) && HALF.contains(other))
        .map(|(one, other)| (FaceKind::DotParts, Shown::Parts(one, other)));
    let bonds = splits().map(|(one, other)| {
        (FaceKind::NumberBond, Shown::Bond { whole: false, parts: (other, one) })
    });
    let numeral = vec![(FaceKind::Numeral, Shown::Count(result))];
    let mut places = match ages {
        AgeBand::FiveToSix => vec![numeral, additions, dominoes.collect(), bonds.collect()],
        AgeBand::SixToSeven | AgeBand::SevenToEight => {
            let pictures = dominoes.chain(bonds).collect();
            vec![additions, subtractions, pictures, numeral]
        }
    };
    places.retain(|place| !place.is_empty());
    MatchGroup { meaning: Meaning::Number(result), places }
}
