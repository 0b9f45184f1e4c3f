//! From a race's record to its ruling: the order, the two phases open and hold, void rounds.
//!
//! It looks at a record only; what one grab is worth stands in `measure`.

use super::measure::{
    self, CREDIT, CreditRule, Measured, before_cue, clock_differs, measure, tapped,
};
use super::{Kind, Note, Observation, Placed, Record, Ruling, Runner, Stage};
use handround_protocol::id::SeatIndex;
use handround_protocol::time::Micros;

/// After a tap too soon, the next one counts only after this long. Design: 600 ms.
pub const TOO_SOON_WAIT: Micros = Micros::from_ms(600);
/// From the claim that fills the last token to the ruling at the most. Design, section 4.
pub const HOLD_MAX: Micros = Micros::from_ms(800);
/// How long a silent seat is waited for. A seat that has answered a ping which left late enough has not
/// tapped in time. One whose answers are stuck on their way may have, and its tap with them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HoldRule {
    /// If what the device had sent is known up to so shortly before it would have had to tap, the race
    /// waits no longer than `beyond` says: it would have to have tapped in just this time.
    pub unheard: Micros,
    /// That much longer than the greatest plausible round trip at the table.
    pub beyond: Micros,
}
/// The rule in force, chosen from the curve that `handround fairness` prints and RACE.md tells: at 165 ms the
/// hold is as short as asked in 99 of 100 races, and losers and pairs still reach their targets.
pub const HOLD: HoldRule = HoldRule { unheard: Micros::from_ms(165), beyond: Micros::from_ms(50) };
/// A tap this long before the own cue can be an answer to the room. Design, section 3, rule 7.
pub const ROOM_BEFORE: Micros = Micros::from_s(1);

/// From a cue on, its device is pinged every `RACE_PING_GAP` for this long: nearly all grabs come
/// sooner, and later ones are held by time alone.
pub const RACE_PINGS_FOR: Micros = Micros::from_s(5);

/// Where a seat stands in the order before ties are drawn: class, then microseconds within it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Class {
    /// Own four without a cue, before it could be shown: by synchronised time.
    OwnFour,
    /// Measured against the own cue.
    Measured,
    /// An answer to the room: by arrival.
    Room,
    /// No grab.
    Silent,
}

/// One seat's place.
pub(super) struct Place<'a> {
    pub(super) runner: &'a Runner,
    pub(super) class: Class,
    pub(super) at: Micros,
    pub(super) measured: Option<Measured>,
    pub(super) drawn: bool,
}

fn place(runner: &Runner, credit: CreditRule) -> Place<'_> {
    let plain = |class, at| Place { runner, class, at, measured: None, drawn: false };
    let Some(grab) = &runner.grab else { return plain(Class::Silent, Micros(0)) };
    match (grab.kind, &runner.cue) {
        (Kind::Room, _) => plain(Class::Room, grab.arrived),
        (Kind::OwnFour, cue) if before_cue(cue.as_ref(), grab.arrived, grab.link.least) => {
            plain(Class::OwnFour, tapped(grab, credit))
        }
        (_, Some(cue)) => {
            let measured = measure(cue, grab, credit);
            let at = measured.reaction;
            Place { runner, class: Class::Measured, at, measured: Some(measured), drawn: false }
        }
        (_, None) => plain(Class::Room, grab.arrived),
    }
}

/// Whether nothing but the draw can decide between two seats: nobody grabbed, the claims are closer
/// than the coarser clock can tell, or neither said when it was shown and both may be first. Among
/// seats with claims no interval is looked at: a slower claim could otherwise win a draw that a
/// quicker one would not have had.
fn too_close(a: &Place, b: &Place) -> bool {
    if a.class != b.class || a.class == Class::Silent {
        return a.class == b.class;
    }
    let step = |place: &Place| place.runner.grab.map_or(1, |grab| grab.link.clock_step.0);
    if a.at.0.abs_diff(b.at.0) < step(a).max(step(b)) {
        return true;
    }
    match (&a.measured, &b.measured) {
        (Some(a), Some(b)) if a.claim.is_none() && b.claim.is_none() => {
            a.interval.0 <= b.interval.1 && b.interval.0 <= a.interval.1
        }
        _ => false,
    }
}

/// The order, fastest first. A line between two neighbours divides the seats only if no seat before
/// it is too close to one behind; what no line divides is drawn together. So the order is
/// transitive, and nobody gains by reacting more slowly.
pub(super) fn order(record: &Record, credit: CreditRule) -> Vec<Place<'_>> {
    let mut places: Vec<Place> =
        record.runners.iter().map(|runner| place(runner, credit)).collect();
    places.sort_by_key(|place| (place.class, place.at, place.runner.rank));
    let mut start = 0;
    for end in 1..=places.len() {
        let (before, behind) = places.split_at(end);
        if before.iter().any(|a| behind.iter().any(|b| too_close(a, b))) {
            continue;
        }
        let together = &mut places[start..end];
        let drawn = together.len() > 1;
        together.sort_by_key(|place| place.runner.rank);
        together.iter_mut().for_each(|place| place.drawn = drawn);
        start = end;
    }
    places
}

/// Whether a race can be ruled, and if not yet, until when a silent seat could still win a token.
pub fn stage(record: &Record) -> Stage {
    stage_by(record, CREDIT, HOLD)
}

/// The same under other rules, for the lab.
pub(super) fn stage_by(record: &Record, credit: CreditRule, hold: HoldRule) -> Stage {
    let tokens = usize::from(record.tokens);
    let mut arrivals: Vec<Micros> =
        record.runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).collect();
    if arrivals.len() < tokens {
        return Stage::Open;
    }
    arrivals.sort_unstable();
    let Some(filled) = tokens.checked_sub(1).map(|last| arrivals[last]) else {
        return Stage::Hold { until: record.started };
    };
    let places = order(record, credit);
    let deciding = &places[tokens - 1];
    let cues = record.runners.iter().filter_map(|runner| runner.cue.as_ref());
    let greatest = cues.map(|cue| measure::greatest_round_trip(cue, &cue.link)).max();
    let latest = filled.plus(HOLD_MAX);
    let wait = Wait {
        latest,
        soon: filled.plus(greatest.unwrap_or_default()).plus(hold.beyond),
        unheard: hold.unheard,
    };
    let until = record
        .runners
        .iter()
        .filter(|runner| runner.grab.is_none())
        .map(|runner| silent_until(runner, deciding, wait))
        .max();
    Stage::Hold { until: until.unwrap_or(filled).clamp(filled, latest) }
}

/// The ends that a hold can have.
#[derive(Clone, Copy)]
struct Wait {
    latest: Micros,
    soon: Micros,
    unheard: Micros,
}

/// Until when this silent seat is waited for, since it could still beat the deciding claim.
fn silent_until(runner: &Runner, deciding: &Place, wait: Wait) -> Micros {
    let latest = wait.latest;
    match (&runner.cue, deciding.class) {
        // Two seats in play: the other may hold four as well and have tapped earlier.
        (None, Class::OwnFour) => latest,
        // It can win nothing any more, but as long as no word came back from its link, it could still
        // turn out that the round does not count.
        (Some(cue), Class::OwnFour) if cue.pinged.is_none() && cue.shown_arrived.is_none() => {
            cue.sent.unwrap_or(cue.made).plus(measure::greatest(cue, &cue.link))
        }
        (_, Class::OwnFour) => Micros(0),
        (Some(cue), Class::Measured) => {
            let sent = cue.sent.unwrap_or(cue.made);
            // It would have tapped before it could answer a ping that left so late, and what a
            // device sends keeps its order on the way.
            let proof = sent.plus(measure::shown_after(cue)).plus(deciding.at);
            let pinged = proof <= sent.plus(RACE_PINGS_FOR);
            match cue.answered.filter(|_| pinged) {
                Some(answered) if answered >= proof => Micros(0),
                Some(answered) if proof.since(answered) <= wait.unheard => wait.soon,
                Some(_) => latest,
                None => sent.plus(measure::greatest(cue, &cue.link)).plus(deciding.at),
            }
        }
        _ => latest,
    }
}

/// Whether it says anything new that a ping of the race was answered: the first one after a silent
/// seat's cue, and those that change when the race can be ruled.
pub fn worth_noting(record: &Record, seat: SeatIndex, sent: Micros) -> bool {
    let mut later = record.clone();
    let runner = later.runners.iter_mut().find(|runner| runner.seat == seat);
    let silent = runner.filter(|runner| runner.grab.is_none());
    let Some(cue) = silent.and_then(|runner| runner.cue.as_mut()) else { return false };
    if sent < cue.sent.unwrap_or(cue.made) || cue.answered.is_some_and(|known| sent <= known) {
        return false;
    }
    let first = cue.answered.is_none();
    cue.answered = Some(sent);
    first || stage(&later) != stage(record)
}

/// The ruling on a race whose tokens are all claimed.
pub fn rule(record: &Record) -> Ruling {
    rule_by(record, CREDIT)
}

/// The same under another rule of credit, for the lab.
pub(super) fn rule_by(record: &Record, credit: CreditRule) -> Ruling {
    let places = order(record, credit);
    let void = places.last().is_some_and(|place| {
        let runner = place.runner;
        let no_word =
            runner.cue.is_some_and(|cue| cue.pinged.is_none() && cue.shown_arrived.is_none());
        place.class == Class::Silent && no_word && runner.voids_left > 0
    });
    let sentence = super::sentence::sentence(&places, void);
    let order = places.into_iter().map(placed).collect();
    Ruling { order, void, sentence }
}

fn placed(place: Place) -> Placed {
    let Place { runner, measured, drawn, .. } = place;
    let seat = runner.seat;
    match measured {
        Some(measured) => Placed {
            seat,
            reaction: Some(measured.reaction),
            interval: Some(measured.interval),
            clamped: measured.clamped,
            drawn,
            claim: measured.claim,
            credit: measured.credit,
            notes: measured.notes,
        },
        None => Placed {
            seat,
            reaction: None,
            interval: None,
            clamped: false,
            drawn,
            claim: None,
            credit: Micros(0),
            notes: runner.grab.as_ref().map(unmeasured_notes).unwrap_or_default(),
        },
    }
}

/// A tap without a cue cannot have been longer under way than the link's greatest round trip.
fn unmeasured_notes(grab: &Observation) -> Vec<Note> {
    let not_before = grab.arrived.since(grab.link.greatest.max(grab.link.unanswered));
    if clock_differs(grab, not_before) { vec![Note::ClockDiffers] } else { Vec::new() }
}
