//! Plays the races of one row, in parts that do not depend on how many processors there are. Who
//! plays them side by side is not its business.

use super::profiles::Profile;
use super::rivals::Rival;
use super::score::{HELD_BEYOND_MAX_MS, Held, Row};
use super::world::{Happened, World};
use crate::race::Record;
use crate::race::measure::{HELD_UP_FROM, greatest_round_trip};
use crate::race::ruling::{HOLD_MAX, rule_by};
use crate::race::unfold::unfold_by;
use handround_protocol::time::Micros;
use rand_chacha::ChaCha8Rng;
use rand_core::SeedableRng;

/// Parts of a row; each has its own stream of the generator, so that they can be played side by side.
pub const PARTS: u64 = 16;

/// One part of a row.
pub fn part(profile: &Profile, seed: u64, races: u64, number: u64) -> Row {
    let mut dice = ChaCha8Rng::seed_from_u64(seed);
    dice.set_stream(number);
    let mut world = World::new(profile, dice);
    let mut row = Row::new(profile);
    for _ in 0..races / PARTS + u64::from(number < races % PARTS) {
        take(&mut row, &world.race());
    }
    row
}

/// What ended a hold.
fn held_for(record: &Record, filled: Micros, hold: Micros) -> Held {
    let mut grabs = record.runners.iter().filter_map(|runner| runner.cue.zip(runner.grab));
    // There is one token less than seats, so only one seat can have been silent.
    if let Some((cue, grab)) = grabs.find(|(_, grab)| grab.arrived > filled) {
        let stuck = grab.link.unanswered > cue.link.smoothed.plus(HELD_UP_FROM);
        if stuck { Held::StuckTap } else { Held::Tap }
    } else if hold < HOLD_MAX {
        Held::Answer
    } else {
        Held::Time
    }
}

/// A row from its parts, however they were played.
pub fn whole(profile: &Profile, parts: impl IntoIterator<Item = Row>) -> Row {
    let mut row = Row::new(profile);
    parts.into_iter().for_each(|part| row.add(part));
    row
}

fn take(row: &mut Row, happened: &Happened) {
    let profile = &row.profile;
    row.races += 1;
    let none = vec![false; happened.truth.len()];
    for (rival, score) in Rival::ALL.into_iter().zip(&mut row.rivals) {
        score.take(&rival.order(happened), &happened.truth, &happened.dropped, &none);
    }
    let unfolded = unfold_by(&happened.record, &happened.answers, profile.credit, profile.hold);
    let Some((record, ruled)) = unfolded else { return };
    let mut arrivals: Vec<Micros> =
        record.runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).collect();
    arrivals.sort_unstable();
    let filled = arrivals[usize::from(record.tokens) - 1];
    let hold = ruled.since(filled);
    let cues = record.runners.iter().filter_map(|runner| runner.cue.as_ref());
    let greatest = cues.map(|cue| greatest_round_trip(cue, &cue.link)).max();
    row.holds_ms.push(hold.0 as f32 / 1e3);
    if let Some(greatest) = greatest {
        let over_ms = (hold.0 as i64 - greatest.0 as i64) as f32 / 1e3;
        row.over_ms.push(over_ms);
        if over_ms > HELD_BEYOND_MAX_MS {
            row.held.count(held_for(&record, filled, hold));
        }
    }
    let ruling = rule_by(&record, profile.credit);
    if ruling.void {
        row.void += 1;
        return;
    }
    let order: Vec<usize> = ruling.order.iter().map(|placed| usize::from(placed.seat.0)).collect();
    let mut drawn = none;
    ruling.order.iter().for_each(|placed| drawn[usize::from(placed.seat.0)] = placed.drawn);
    row.ours.take(&order, &happened.truth, &happened.dropped, &drawn);
}
