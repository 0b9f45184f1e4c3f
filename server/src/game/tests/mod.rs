//! The rules, tried: stories as small tables of text, properties over seeded random games.
#![allow(clippy::unwrap_used)]

mod care;
mod cheer;
mod properties;
mod stories;
mod support;

use super::Rules;
use super::rules::GameDeck;
use handround_protocol::house::{HouseRule, MissedFour, Pace};
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::time::Micros;

/// Rules for a test, with the usual times.
pub fn rules(house: HouseRule) -> Rules {
    Rules {
        house,
        missed_four: MissedFour::HintAfter { seconds: 10 },
        cue_sound: false,
        cards_come_by_themselves: false,
        tray_limit: 3,
        remind_after: Micros::from_s(25),
        pass_by_after: Micros::from_s(45),
        next_deal_after: Micros::from_s(10),
        false_grab_wait: Micros::from_ms(1_500),
        partner_pace: Pace::Usual,
        cheering: false,
    }
}

/// A deck with groups of these sizes.
pub fn deck(sizes: &[u8]) -> GameDeck {
    let groups = (0_u16..).zip(sizes);
    let groups = groups.flat_map(|(group, size)| (0..*size).map(move |_| GroupIndex(group)));
    GameDeck { id: DeckId([7; 16]), groups: groups.collect() }
}
