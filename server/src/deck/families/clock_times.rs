//! Clock times: two clocks with hands, a clock of digits, words. By the hour 12 groups, in half hours 24,
//! in quarters 48, in fives 144; a deck has 13 of them at most.

use crate::deck::error::DeckError;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::phrase::time_words;
use crate::deck::shown::{Shown, Time};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const HOURS: &[Standard] =
    &[Standard { code: "1.MD.B.3", asks: "tell and write time in hours and half-hours" }];

const FIVES: &[Standard] =
    &[Standard { code: "2.MD.C.7", asks: "tell and write time to five minutes" }];

pub(super) fn family(step_minutes: u8, quarter_words: bool) -> Result<Family, DeckError> {
    let (standards, ages, name) = match step_minutes {
        60 => (HOURS, AgeBand::SixToSeven, "Clock: hours"),
        30 => (HOURS, AgeBand::SixToSeven, "Clock: half hours"),
        15 => (FIVES, AgeBand::SevenToEight, "Clock: quarter hours"),
        5 => (FIVES, AgeBand::SevenToEight, "Clock: five minutes"),
        _ => {
            let (what, allowed) = ("The minutes between two times", "60, 30, 15 or 5");
            return Err(DeckError::OutOfRange { what, allowed, asked: step_minutes.into() });
        }
    };
    let group = |minutes: u16| {
        let time = Time::from_minutes(minutes);
        let shown = |kind| vec![(kind, Shown::Time(time))];
        let mut ways = time_words(time);
        // `ten fifteen` reads as the digits do; `quarter past ten` is for classes that have met it.
        if time.minute % 30 == 15 {
            let digits = ways.pop();
            if !quarter_words {
                ways = digits.into_iter().collect();
            }
        }
        let words = ways.into_iter().map(|text| (FaceKind::TimeWords, Shown::Print(text)));
        let places = vec![
            shown(FaceKind::ClockRound),
            shown(FaceKind::ClockSquare),
            shown(FaceKind::DigitalTime),
            words.collect(),
        ];
        MatchGroup { meaning: Meaning::Time(time), places }
    };
    Ok(Family {
        name: name.to_owned(),
        standards,
        ages: (ages, AgeBand::SevenToEight),
        likeness: Likeness::Time,
        accent: Accent::ANY,
        groups: (0..720).step_by(usize::from(step_minutes)).map(group).collect(),
        starts: Vec::new(),
    })
}
