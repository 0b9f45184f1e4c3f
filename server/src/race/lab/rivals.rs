//! Four plainer rules, for comparison: nothing of ours is in them.

use super::world::Happened;
use crate::race::{Observation, Runner};

/// A plainer rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rival {
    /// Who is read first is first.
    Arrival,
    /// By the tap on synchronised clocks: whoever's cue came late is late.
    TappedAt,
    /// Arrival minus sending minus the least round trip.
    LessLeastTrip,
    /// What comes within a fixed hold of the first grab, in microseconds, by the claimed reaction; the
    /// rest by arrival.
    FixedHold(u64),
}

/// The fixed hold of the comparison.
pub const FIXED_HOLD_US: u64 = 200_000;

impl Rival {
    /// All of them, in the order of the table's columns.
    pub const ALL: [Rival; 4] =
        [Rival::Arrival, Rival::TappedAt, Rival::LessLeastTrip, Rival::FixedHold(FIXED_HOLD_US)];

    /// For people.
    pub fn name(self) -> &'static str {
        match self {
            Rival::Arrival => "arrival",
            Rival::TappedAt => "tapped at",
            Rival::LessLeastTrip => "less least trip",
            Rival::FixedHold(_) => "fixed hold",
        }
    }

    /// Seats, first to last. A seat that never grabbed is last; the one that began is first.
    pub fn order(self, happened: &Happened) -> Vec<usize> {
        let runners = &happened.record.runners;
        let first = runners
            .iter()
            .filter(|runner| runner.cue.is_some() || happened.record.tokens == 1)
            .filter_map(|runner| runner.grab.map(|grab| grab.arrived.0))
            .min()
            .unwrap_or_default();
        let mut keys: Vec<(u8, u64, usize)> = runners
            .iter()
            .enumerate()
            .map(|(index, runner)| match (&runner.grab, happened.truth[index]) {
                (_, None) => (0, 0, index),
                (Some(grab), _) => {
                    let (class, key) = self.key(runner, grab, first);
                    (class, key, index)
                }
                (None, _) => (3, 0, index),
            })
            .collect();
        keys.sort_unstable();
        keys.into_iter().map(|(.., index)| index).collect()
    }

    fn key(self, runner: &Runner, grab: &Observation, first: u64) -> (u8, u64) {
        let arrived = grab.arrived.0;
        match self {
            Rival::Arrival => (1, arrived),
            Rival::TappedAt => (1, grab.tapped.map_or(arrived, |tapped| tapped.0)),
            Rival::LessLeastTrip => match runner.cue {
                Some(cue) => {
                    let waited = grab.arrived.since(cue.sent.unwrap_or(cue.made));
                    (1, waited.since(grab.link.least).0)
                }
                None => (1, arrived - grab.link.least.0 / 2),
            },
            Rival::FixedHold(hold) => {
                let held = arrived <= first + hold;
                match (held, grab.shown) {
                    (true, Some(shown)) => (1, grab.tap.since(shown).0),
                    (true, None) => (1, grab.tapped.map_or(arrived, |tapped| tapped.0)),
                    (false, _) => (2, arrived),
                }
            }
        }
    }
}
