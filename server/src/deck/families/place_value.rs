//! Place value to 99 or to 999: numeral, number name, expanded form (where it does not equal the
//! numeral), tens and ones, base-ten blocks. Every deck starts with three numbers that share digits,
//! since otherwise one digit alone would tell a match. 13 groups at most of 90, or of 900.

use crate::deck::confusable::confusable;
use crate::deck::error::DeckError;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::number_word::number_word;
use crate::deck::phrase::{expanded_form, place_names};
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const TO_99: &[Standard] = &[
    Standard { code: "1.NBT.B.2", asks: "the two digits of a number are tens and ones" },
    Standard { code: "1.NBT.A.1", asks: "read and write numerals to 120" },
];

const TO_999: &[Standard] = &[
    Standard {
        code: "2.NBT.A.1",
        asks: "the three digits of a number are hundreds, tens and ones",
    },
    Standard {
        code: "2.NBT.A.3",
        asks: "numbers to 1000 as numerals, number names, expanded form",
    },
];

pub(super) fn family(max: u16) -> Result<Family, DeckError> {
    let (standards, ages, from) = match max {
        99 => (TO_99, AgeBand::SixToSeven, 10),
        999 => (TO_999, AgeBand::SevenToEight, 100),
        _ => {
            let (what, allowed) = ("The largest number of place value", "99 or 999");
            return Err(DeckError::OutOfRange { what, allowed, asked: max });
        }
    };
    Ok(Family {
        name: format!("Place value to {max}"),
        standards,
        ages: (ages, AgeBand::SevenToEight),
        likeness: Likeness::Value,
        accent: Accent::ANY,
        groups: (from..=max).map(group).collect(),
        starts: starts(max),
    })
}

fn group(number: u16) -> MatchGroup {
    let print = |kind, text: Option<String>| text.map(|text| (kind, Shown::Print(text)));
    let cards = [
        Some((FaceKind::Numeral, Shown::Count(number))),
        Some((FaceKind::Blocks, Shown::Count(number))),
        print(FaceKind::ExpandedForm, expanded_form(number)),
        number_word(number).map(|_| (FaceKind::NumberWord, Shown::Count(number))),
        print(FaceKind::PlaceNames, Some(place_names(number))),
    ];
    // The seed chooses between tens and ones and the number name; where there is no expanded form,
    // both are there.
    let mut places: Vec<Vec<_>> = cards.into_iter().flatten().map(|card| vec![card]).collect();
    if places.len() > 4 {
        let last = places.pop().unwrap_or_default();
        places[3].extend(last);
    }
    MatchGroup { meaning: Meaning::Number(number), places }
}

/// Three numbers that share digits: 34, 43 and 40, or without turned digits 34, 37 and 54.
fn starts(max: u16) -> Vec<Vec<Meaning>> {
    let mut starts = Vec::new();
    let hundreds = if max == 99 { 0..=0 } else { 1..=9 };
    for hundred in hundreds {
        for tens in 1..=9_u16 {
            for ones in 1..=9_u16 {
                let base = hundred * 100;
                let (number, turned) = (base + tens * 10 + ones, base + ones * 10 + tens);
                let other_ones = base + tens * 10 + (ones + 3) % 10;
                let other_tens = base + (tens % 9 + 1) * 10 + ones;
                let round = base + tens * 10;
                let trios = [[number, turned, round], [number, other_ones, other_tens]];
                for trio in trios {
                    let meanings = trio.map(Meaning::Number);
                    let distinct = trio[0] != trio[1] && trio[1] != trio[2] && trio[0] != trio[2];
                    // Every other trio has no confusable pair, for decks that avoid them.
                    let plain = !meanings
                        .iter()
                        .enumerate()
                        .any(|(at, one)| meanings[..at].iter().any(|other| confusable(one, other)));
                    if distinct && (plain || trio[1] == turned) {
                        starts.push(meanings.to_vec());
                    }
                }
            }
        }
    }
    starts
}
