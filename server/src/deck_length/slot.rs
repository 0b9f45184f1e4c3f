//! How many games fit into the minutes that a teacher has, and in a slot that runs how many still do and
//! when to ring the bell. Pure: it knows the lengths of simulated rounds and games and nothing of
//! how they were played.

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
    let counts = counts(games_s, 60 * u64::from(minutes), BETWEEN_GAMES_S);
    Some(Slot { minutes, games: percentile(&counts, 50)?, slow_games: percentile(&counts, 10)? })
}

/// How many spans fit one after the other, beginning with each of them once.
fn counts(spans_s: &[u64], left_s: u64, between_s: u64) -> Vec<u64> {
    (0..spans_s.len()).map(|first| fits(spans_s, first, left_s, between_s)).collect()
}

fn fits(spans_s: &[u64], first: usize, mut left_s: u64, between_s: u64) -> u64 {
    let mut whole = 0;
    for span in spans_s.iter().cycle().skip(first) {
        // A span of no length would never fill the slot.
        let span = (*span).max(1);
        if span > left_s {
            break;
        }
        whole += 1;
        left_s = left_s.saturating_sub(span + between_s);
    }
    whole
}

/// How long the rounds and games with one deck were in simulated time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lengths {
    /// Rounds, in seconds.
    pub rounds_s: Vec<u64>,
    /// Whole games, in seconds.
    pub games_s: Vec<u64>,
    /// Between two rounds of a game, in seconds.
    pub between_rounds_s: u64,
}

/// What still fits into a slot that runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StillFits {
    /// Whole rounds dealt from now on.
    pub rounds: u64,
    /// Whole games begun now.
    pub games: u64,
    /// The bell rung so many seconds before the end lets nine in ten rounds finish, even those
    /// dealt at that very moment.
    pub ring_s: u64,
}

/// What fits into the seconds that are left. With several decks the slowest counts, since all tables end
/// together; `None` if no round ever came to an end.
pub fn still_fits(decks: &[Lengths], left_s: u64) -> Option<StillFits> {
    let one = |deck: &Lengths| {
        let rounds = counts(&deck.rounds_s, left_s, deck.between_rounds_s);
        let games = counts(&deck.games_s, left_s, BETWEEN_GAMES_S);
        Some(StillFits {
            rounds: percentile(&rounds, 50)?,
            games: percentile(&games, 50).unwrap_or(0),
            ring_s: percentile(&deck.rounds_s, 90)?,
        })
    };
    decks.iter().filter_map(one).reduce(|one, other| StillFits {
        rounds: one.rounds.min(other.rounds),
        games: one.games.min(other.games),
        ring_s: one.ring_s.max(other.ring_s),
    })
}

/// What the teacher reads of a slot that runs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlotSaid {
    /// One line.
    pub sentence: String,
    /// Now is the time for the bell.
    pub ring_now: bool,
}

/// The line for a slot with so many seconds left. `playing`: some table plays a game whose bell has not
/// rung, so that there is something to ring for.
pub fn said(left_s: u64, fits: Option<StillFits>, playing: bool) -> SlotSaid {
    let minutes = |seconds: u64| match seconds.div_ceil(60) {
        1 => "1 minute".to_owned(),
        minutes => format!("{minutes} minutes"),
    };
    let left = if left_s == 0 { "The time is over".to_owned() } else { minutes(left_s) + " left" };
    let Some(StillFits { rounds, games, ring_s }) = fits else {
        return SlotSaid { sentence: left + ".", ring_now: playing && left_s == 0 };
    };
    let fit = match (rounds, games) {
        (0, _) => String::new(),
        (1, _) => ": time for one more round".to_owned(),
        (rounds, 0) => format!(": time for about {rounds} more rounds"),
        (rounds, 1) => format!(": time for about {rounds} more rounds, or one new game"),
        (rounds, games) => format!(": time for about {rounds} more rounds, or {games} new games"),
    };
    let ring_now = playing && left_s <= ring_s;
    let bell = match (playing, ring_now) {
        (false, _) => String::new(),
        (true, true) => " Ring the bell now, so that rounds finish.".to_owned(),
        (true, false) => format!(" Ring the bell in {}.", minutes(left_s - ring_s)),
    };
    SlotSaid { sentence: format!("{left}{fit}.{bell}"), ring_now }
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

    fn deck(rounds_s: &[u64], games_s: &[u64]) -> Lengths {
        Lengths { rounds_s: rounds_s.to_vec(), games_s: games_s.to_vec(), between_rounds_s: 10 }
    }

    #[test]
    fn what_still_fits_is_what_a_clock_on_the_wall_says() {
        // Rounds of 90 s with 10 s between them end at 90, 190, 290 s; games of 300 s at 300, 660 s.
        let even = deck(&[90; 5], &[300; 3]);
        for (left_s, rounds, games) in
            [(0, 0, 0), (89, 0, 0), (90, 1, 0), (190, 2, 0), (300, 3, 1), (659, 6, 1), (660, 6, 2)]
        {
            let expected = StillFits { rounds, games, ring_s: 90 };
            assert_eq!(
                still_fits(std::slice::from_ref(&even), left_s),
                Some(expected),
                "{left_s} s"
            );
        }
        // The slowest cards count for all, and cards whose rounds never ended for nothing.
        let slow = deck(&[40, 40, 40, 40, 40, 40, 40, 40, 200, 200], &[900]);
        let both = still_fits(&[even, slow, deck(&[], &[])], 300).unwrap();
        assert_eq!((both.games, both.ring_s), (0, 200));
        assert_eq!(still_fits(&[deck(&[], &[])], 300), None);
    }

    /// Whoever rings when told to has at most one round in ten that is not over at the end.
    #[test]
    fn the_bell_leaves_time_for_nine_rounds_in_ten() {
        let rounds: Vec<u64> = (0..200).map(|round| 60 + 31 * (round * round % 13)).collect();
        let told = still_fits(&[deck(&rounds, &[])], 600).unwrap();
        let late = rounds.iter().filter(|round| **round > told.ring_s).count();
        assert!(late * 10 <= rounds.len(), "{late} of {}", rounds.len());
    }

    #[test]
    fn the_line_is_short_and_says_when_to_ring() {
        let fits = |rounds, games| Some(StillFits { rounds, games, ring_s: 170 });
        for (left_s, fits, playing, sentence, ring_now) in [
            (
                1_020,
                fits(8, 2),
                true,
                "17 minutes left: time for about 8 more rounds, or 2 new games. Ring the bell in 15 \
                 minutes.",
                false,
            ),
            (
                1_020,
                fits(8, 1),
                false,
                "17 minutes left: time for about 8 more rounds, or one new game.",
                false,
            ),
            (
                230,
                fits(2, 0),
                true,
                "4 minutes left: time for about 2 more rounds. Ring the bell in 1 minute.",
                false,
            ),
            (
                170,
                fits(1, 0),
                true,
                "3 minutes left: time for one more round. Ring the bell now, so that rounds finish.",
                true,
            ),
            (
                40,
                fits(0, 0),
                true,
                "1 minute left. Ring the bell now, so that rounds finish.",
                true,
            ),
            (
                0,
                fits(0, 0),
                true,
                "The time is over. Ring the bell now, so that rounds finish.",
                true,
            ),
            (0, fits(0, 0), false, "The time is over.", false),
            (61, None, true, "2 minutes left.", false),
        ] {
            let told = said(left_s, fits, playing);
            assert_eq!((told.sentence.as_str(), told.ring_now), (sentence, ring_now));
        }
    }
}
