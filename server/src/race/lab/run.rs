//! Plays the races of one row, in parts that do not depend on how many processors there are. Who
//! plays them side by side is not its business.

use super::profiles::{Device, Profile};
use super::rivals::Rival;
use super::score::{Row, Score};
use super::world::{Happened, World};
use crate::race::measure::{CreditRule, PLAUSIBLE_MAX};
use crate::race::ruling::rule_by;
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
    let Some((record, ruled)) = unfold_by(&happened.record, &happened.answers, profile.credit)
    else {
        return;
    };
    let mut arrivals: Vec<Micros> =
        record.runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).collect();
    arrivals.sort_unstable();
    let filled = arrivals[usize::from(record.tokens) - 1];
    let hold = ruled.since(filled).0 as f32 / 1e3;
    let greatest = record.runners.iter().filter_map(|runner| runner.cue).map(|cue| {
        let own = cue.pinged.map_or(Micros(0), |pinged| pinged.since(cue.made));
        cue.link.greatest.max(own).min(PLAUSIBLE_MAX)
    });
    row.holds_ms.push(hold);
    if let Some(greatest) = greatest.max() {
        row.over_ms.push(hold - greatest.0 as f32 / 1e3);
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

/// One point of the curve from which the cap is chosen.
#[derive(Clone, Debug)]
pub struct CurvePoint {
    /// The cap.
    pub cap_ms: u64,
    /// Pairs and losers right among honest seats on Wi-Fi-like links, with all evidence.
    pub honest: Score,
    /// The same without pings in the race.
    pub honest_plain: Score,
    /// Spared of last places by claiming 200 ms less, on a Wi-Fi-like link of 60 ms.
    pub spared: f64,
    /// The same on a steady link.
    pub spared_steady: f64,
    /// The same by answering pings late on a Wi-Fi-like link through a proxy.
    pub spared_late: f64,
}

/// Last places and right orders against the cap; `play` plays a row.
pub fn curve(play: &dyn Fn(&Profile) -> Row) -> Vec<CurvePoint> {
    let at = |cap_ms: u64, name: &str, device: Device, direct: bool| {
        let Some(mut row) = super::by_name(name) else { unreachable!("the profiles have {name}") };
        row.credit = CreditRule { most: Micros::from_ms(cap_ms), ..row.credit };
        row.seats[1].device = device;
        row.seats.iter_mut().for_each(|seat| seat.direct = direct);
        play(&row)
    };
    [0, 5, 10, 15, 20, 30, 40, 60, 100, 200]
        .into_iter()
        .map(|cap_ms| CurvePoint {
            cap_ms,
            honest: at(cap_ms, "wifi", Device::Honest, true).ours,
            honest_plain: at(cap_ms, "wifi-plain", Device::Honest, true).ours,
            spared: at(cap_ms, "wifi-near", Device::ClaimsLess, true).spared(),
            spared_steady: at(cap_ms, "equal", Device::ClaimsLess, true).spared(),
            spared_late: at(cap_ms, "wifi-near", Device::PongsLate, false).spared(),
        })
        .collect()
}
