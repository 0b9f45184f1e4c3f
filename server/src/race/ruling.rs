//! From a race's record to its ruling: clamped reactions, the order, the hold.
//!
//! First version: claims are placed inside the measured interval. It deliberately has no cap on
//! credit yet and does not weigh evidence by its spread.

use super::{Cue, Kind, Observation, Placed, Record, Ruling, Runner, Stage};
use handround_protocol::time::Micros;

/// Under this a reaction is an anticipation: World Athletics Technical Rule 16.6, 0.100 s.
pub const ANTICIPATION_BELOW: Micros = Micros::from_ms(100);
/// After a tap too soon, the next one counts only after this long. Design: 600 ms.
pub const TOO_SOON_WAIT: Micros = Micros::from_ms(600);
/// From the claim that fills the last token to the ruling at the most. Design, section 4.
pub const HOLD_MAX: Micros = Micros::from_ms(800);
/// A tap this long before the own cue can be an answer to the room. Design, section 3, rule 7.
pub const ROOM_BEFORE: Micros = Micros::from_s(1);
/// No round trip counts as longer than this.
const PLAUSIBLE_MAX: Micros = super::link::PLAUSIBLE_MAX;

/// A reaction placed inside what the server measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Measured {
    /// After clamping.
    pub reaction: Micros,
    /// From the least flattering to the most flattering reading of the server's own times.
    pub interval: (Micros, Micros),
    /// The claim lay outside, or there was none.
    pub clamped: bool,
}

/// Places a grab that answers a cue. Without a claim the slowest plausible reaction counts, so
/// that leaving the nonce out gains nothing. A cue not yet reported as sent counts from its making.
pub fn measure(cue: &Cue, grab: &Observation) -> Measured {
    let sent = cue.sent.unwrap_or(cue.made);
    let waited = grab.arrived.since(sent);
    let least = grab.link.least.min(cue.link.least);
    let own_trip = cue.pinged.map_or(Micros(0), |pinged| pinged.since(sent));
    let greatest = grab.link.greatest.max(cue.link.greatest).max(own_trip).min(PLAUSIBLE_MAX);
    let step = grab.link.clock_step.0;
    let interval = (
        Micros(waited.0.saturating_sub(greatest.0).saturating_sub(step)),
        Micros(waited.0.saturating_sub(least.0).saturating_add(step)),
    );
    let claim = match (grab.kind, grab.shown) {
        (Kind::Cued, Some(shown)) => grab.tap.since(shown),
        _ => interval.1,
    };
    let reaction = claim.clamp(interval.0, interval.1);
    Measured { reaction, interval, clamped: reaction != claim || grab.shown.is_none() }
}

/// Whether a tap without a cue happened before that seat's cue can have been shown: even over the
/// quickest link the cue and the tap cannot both have travelled since.
pub fn before_cue(cue: Option<&Cue>, arrived: Micros, least: Micros) -> bool {
    match cue.and_then(|cue| cue.sent) {
        Some(sent) => arrived.since(sent) <= least,
        None => true,
    }
}

/// Where a seat stands in the order before ties are drawn: class, then microseconds within it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Class {
    /// Own four without a cue, before it could be shown: by synchronised time.
    OwnFour,
    /// Measured against the own cue.
    Measured,
    /// An answer to the room: by arrival.
    Room,
    /// No grab.
    Silent,
}

struct Place {
    class: Class,
    at: Micros,
    measured: Option<Measured>,
}

fn place(runner: &Runner) -> Place {
    let Some(grab) = &runner.grab else {
        return Place { class: Class::Silent, at: Micros(0), measured: None };
    };
    match (grab.kind, &runner.cue) {
        (Kind::Room, _) => Place { class: Class::Room, at: grab.arrived, measured: None },
        (Kind::OwnFour, cue) if before_cue(cue.as_ref(), grab.arrived, grab.link.least) => {
            let tapped = Micros(grab.arrived.0.saturating_sub(grab.link.least.0 / 2));
            Place { class: Class::OwnFour, at: tapped, measured: None }
        }
        (_, Some(cue)) => {
            let measured = measure(cue, grab);
            Place { class: Class::Measured, at: measured.reaction, measured: Some(measured) }
        }
        (_, None) => Place { class: Class::Room, at: grab.arrived, measured: None },
    }
}

/// Whether nothing but the draw can decide between two neighbours in the order.
fn too_close(a: (&Runner, &Place), b: (&Runner, &Place)) -> bool {
    if a.1.class != b.1.class || a.1.class == Class::Silent {
        return a.1.class == b.1.class;
    }
    let step = |runner: &Runner| runner.grab.map_or(1, |grab| grab.link.clock_step.0);
    if a.1.at.0.abs_diff(b.1.at.0) < step(a.0).max(step(b.0)) {
        return true;
    }
    match (&a.1.measured, &b.1.measured) {
        (Some(a), Some(b)) if a.clamped && b.clamped => {
            a.interval.0 <= b.interval.1 && b.interval.0 <= a.interval.1
        }
        _ => false,
    }
}

/// The order, fastest first. Ties that chain are drawn together, so that the order is transitive
/// and does not depend on the order in which observations came.
fn order(record: &Record) -> Vec<(Runner, Place, bool)> {
    let mut places: Vec<(Runner, Place, bool)> =
        record.runners.iter().map(|runner| (*runner, place(runner), false)).collect();
    places.sort_by_key(|(runner, place, _)| (place.class, place.at, runner.rank));
    let mut start = 0;
    while start < places.len() {
        let mut end = start + 1;
        while end < places.len()
            && too_close((&places[end - 1].0, &places[end - 1].1), (&places[end].0, &places[end].1))
        {
            end += 1;
        }
        let tied = end - start > 1;
        let chain = &mut places[start..end];
        chain.sort_by_key(|(runner, _, _)| runner.rank);
        chain.iter_mut().for_each(|(_, _, drawn)| *drawn = tied);
        start = end;
    }
    places
}

/// Whether a race can be ruled, and if not yet, until when a silent seat could still win a token.
pub fn stage(record: &Record) -> Stage {
    let tokens = usize::from(record.tokens);
    let mut arrivals: Vec<Micros> =
        record.runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).collect();
    if arrivals.len() < tokens {
        return Stage::Open;
    }
    arrivals.sort_unstable();
    let filled = arrivals[tokens - 1];
    let places = order(record);
    let deciding = &places[tokens - 1].1;
    let latest = filled.plus(HOLD_MAX);
    let until = record
        .runners
        .iter()
        .filter(|runner| runner.grab.is_none())
        .map(|runner| silent_until(runner, deciding, latest))
        .max();
    Stage::Hold { until: until.unwrap_or(filled).clamp(filled, latest) }
}

/// Until when this silent seat could still beat the deciding claim.
fn silent_until(runner: &Runner, deciding: &Place, latest: Micros) -> Micros {
    match (&runner.cue, deciding.class) {
        // Two seats in play: the other may hold four as well and have tapped earlier.
        (None, Class::OwnFour) => latest,
        (_, Class::OwnFour) => Micros(0),
        (Some(cue), Class::Measured) => {
            let sent = cue.sent.unwrap_or(cue.made);
            let own_trip = cue.pinged.map_or(Micros(0), |pinged| pinged.since(sent));
            let greatest = cue.link.greatest.max(own_trip).min(PLAUSIBLE_MAX);
            sent.plus(greatest).plus(deciding.at)
        }
        _ => latest,
    }
}

/// The ruling on a race whose tokens are all claimed.
pub fn rule(record: &Record) -> Ruling {
    let places = order(record);
    let void = places.last().is_some_and(|(runner, place, _)| {
        let no_word =
            runner.cue.is_some_and(|cue| cue.pinged.is_none() && cue.shown_arrived.is_none());
        place.class == Class::Silent && no_word && runner.voids_left > 0
    });
    let sentence = sentence(&places, void);
    let order = places
        .iter()
        .map(|(runner, place, drawn)| Placed {
            seat: runner.seat,
            reaction: place.measured.map(|measured| measured.reaction),
            interval: place.measured.map(|measured| measured.interval),
            clamped: place.measured.is_some_and(|measured| measured.clamped),
            drawn: *drawn,
        })
        .collect();
    Ruling { order, void, sentence }
}

/// One sentence for the teacher; `{n}` stands for the name at seat n.
fn sentence(places: &[(Runner, Place, bool)], void: bool) -> String {
    let told: Vec<String> = places
        .iter()
        .map(|(runner, place, drawn)| {
            let seat = runner.seat;
            let how = match place.class {
                Class::OwnFour => "saw four alike".to_owned(),
                Class::Measured => {
                    let ms = place.at.ms();
                    format!("reacted in {}.{:02} s", ms / 1000, ms % 1000 / 10)
                }
                Class::Room => "answered the room".to_owned(),
                Class::Silent => "did not tap".to_owned(),
            };
            let draw = if *drawn && place.class != Class::Silent { ", by the draw" } else { "" };
            format!("{{{seat}}} {how}{draw}")
        })
        .collect();
    let end = if void { "; the link was gone, so the round does not count." } else { "." };
    format!("{}{end}", told.join("; "))
}
