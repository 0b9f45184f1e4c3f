//! How many games fit into the minutes that a teacher has. Pure: it knows the lengths of simulated
//! games and nothing of how they were played.

use crate::game::round_length::percentile;
use serde::Serialize;

/// The least and the most minutes that a slot may have: below five no game fits, and no lesson of
/// this age is longer than two hours (common practice, no source).
pub const SLOT_MINUTES_RANGE: std::ops::RangeInclusive<u16> = 5..=120;
/// Between two games a class breathes, talks about the four cards and deals again, in seconds. Common
/// practice, no source.
const BETWEEN_GAMES_S: u64 = 60;

/// Games in a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Slot {
    /// Its length.
    pub minutes: u16,
    /// Whole games in half of the slots, or more.
    pub games: u64,
    /// Whole games in the slowest tenth of them, or fewer.
    pub slow_games: u64,
}

/// What fits, if any game came to an end. The games are played one after the other as they were simulated,
/// beginning with each of them once, so that short and long ones come in every order that they had.
pub fn slot(games_s: &[u64], minutes: u16) -> Option<Slot> {
    let counts: Vec<u64> = (0..games_s.len()).map(|first| fits(games_s, first, minutes)).collect();
    Some(Slot { minutes, games: percentile(&counts, 50)?, slow_games: percentile(&counts, 10)? })
}

fn fits(games_s: &[u64], first: usize, minutes: u16) -> u64 {
    let mut left = 60 * u64::from(minutes);
    let mut whole = 0;
    for game in games_s.iter().cycle().skip(first) {
        // A game of no length would never fill the slot.
        let span = (*game).max(1);
        if span > left {
            break;
        }
        whole += 1;
        left = left.saturating_sub(span + BETWEEN_GAMES_S);
    }
    whole
}

impl Slot {
    /// In words.
    pub fn sentence(self) -> String {
        let games = |count: u64| match count {
            1 => "one game fits".to_owned(),
            count => format!("{count} games fit"),
        };
        let (minutes, usual, slow) = (self.minutes, games(self.games), games(self.slow_games));
        match (self.games, self.slow_games) {
            (0, _) => format!(
                "In {minutes} minutes no whole game fits: ring the bell for the last round, or choose \
                 fewer rounds."
            ),
            (same, slow) if same == slow => format!("In {minutes} minutes {usual}."),
            (_, 0) => format!("In {minutes} minutes {usual}; in slow ones none."),
            _ => format!("In {minutes} minutes {usual}; if they are slow, {slow}."),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn games_of_one_length_fit_as_by_hand() {
        // 5-minute games with a minute between them: 5, 11, 17, 23 minutes.
        for (minutes, games) in [(5, 1), (10, 1), (11, 2), (16, 2), (17, 3), (22, 3), (23, 4)] {
            let slot = slot(&[300; 7], minutes).unwrap();
            assert_eq!((slot.games, slot.slow_games), (games, games), "{minutes} minutes");
        }
        assert_eq!(slot(&[], 20), None);
        assert!(slot(&[9_999], 20).unwrap().sentence().contains("no whole game"));
    }

    #[test]
    fn a_longer_slot_never_holds_fewer_games_and_slow_ones_are_never_more() {
        let games: Vec<u64> = (0..40).map(|game| 120 + 37 * (game * game % 17)).collect();
        let mut before = 0;
        for minutes in SLOT_MINUTES_RANGE {
            let slot = slot(&games, minutes).unwrap();
            assert!(slot.games >= before && slot.slow_games <= slot.games, "{minutes} minutes");
            before = slot.games;
        }
    }
}
