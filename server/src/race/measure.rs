//! One grab's reaction: what the device claims, held against what the server measured itself.
//!
//! A cue goes down, the page shows it at a frame, the child taps, the grab comes up. The server
//! sees only `sent` and `arrived`; how long the way down, the frame and the way up took together
//! (here: the trip) it must judge from other evidence. A claim says what the trip was. It is believed
//! as far as the server's own reading of the trip and a small credit go.

use super::{Cue, Kind, Note, Observation};
use crate::game::LinkBounds;
use handround_protocol::time::Micros;

/// Under this a reaction is an anticipation: World Athletics Technical Rule 16.6, 0.100 s.
pub const ANTICIPATION_BELOW: Micros = Micros::from_ms(100);
/// How much quicker than the server's own reading a claim can count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CreditRule {
    /// Never more than this.
    pub most: Micros,
    /// Nor more than this many times the link's mean deviation: on a steady link the server's own
    /// reading is nearly exact, so that a claim needs no credit, and gets none.
    pub deviations: u64,
}
/// The rule in force, chosen from the curve that `handround fairness` prints. Among honest seats on
/// Wi-Fi-like links larger caps than 20 ms set fewer than one pair in a thousand more right (.9954 at
/// 20, .9958 at 60 ms; 20,000 races, seed 20260101), while a claim 200 ms too low is spared ever more of
/// last places (.0477 at 20, .0570 at 60 ms). Smaller ones cost honest children more (.9938 at 10 ms).
pub const CREDIT: CreditRule = CreditRule { most: Micros::from_ms(20), deviations: 2 };
/// A page shows a change at the second frame from its arrival at the latest: two frames of 60 a
/// second, rounded up.
pub const FRAME_WAIT_MAX: Micros = Micros::from_ms(34);
/// And on average half a frame sooner; for a device that has not said when.
pub const FRAME_WAIT_MEAN: Micros = Micros::from_ms(25);
/// A grab that shows to have been held up by more may have been by a ping's gap more than shows; less is
/// left to the credit. With a threshold of 54 ms one pair in four hundred was wrong for want of 20 to
/// 60 ms (pairs .9947 against .9971, Wi-Fi-like at 60 ms, hold not limited); a claim 200 ms too low was
/// spared .002 less of last places (.0516, .0538; 100,000 races, seed 20260101).
pub const HELD_UP_FROM: Micros = Micros::from_ms(15);
/// Between two pings of an open race.
pub const RACE_PING_GAP: Micros = Micros::from_ms(50);
/// What a program may need to answer a ping beyond the kernel's own round trip.
pub const PONG_WORK_MAX: Micros = Micros::from_ms(3);
/// No round trip counts as longer than this.
pub const PLAUSIBLE_MAX: Micros = super::link::PLAUSIBLE_MAX;

/// A reaction placed inside what the server measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// What counts.
    pub reaction: Micros,
    /// The quickest and the slowest reaction that the server's own times allow, credit included.
    pub interval: (Micros, Micros),
    /// What the device claimed, if it did.
    pub claim: Option<Micros>,
    /// The claim lay outside the interval, or there was none.
    pub clamped: bool,
    /// How much quicker the reaction counts than by the server's own reading.
    pub credit: Micros,
    /// What was seen.
    pub notes: Vec<Note>,
}

/// Places a grab that answers a cue. Without a claim the slowest plausible reaction counts, so
/// that leaving the nonce out gains nothing. A cue not yet reported as sent counts from its making.
pub fn measure(cue: &Cue, grab: &Observation, rule: CreditRule) -> Measured {
    let mut notes = Vec::new();
    let waited = grab.arrived.since(cue.sent.unwrap_or(cue.made));
    let trip = trip(cue, grab, &mut notes);
    let step = grab.link.clock_step;
    let least = least(&grab.link).min(least(&cue.link));
    let slowest = waited.since(least).plus(step);
    let quickest = waited.since(trip).since(credit(&grab.link, rule)).min(slowest);
    let claim = match (grab.kind, grab.shown) {
        (Kind::Cued, Some(shown)) => Some(grab.tap.since(shown)),
        _ => None,
    };
    let reaction = claim.unwrap_or(slowest).clamp(quickest, slowest);
    match claim {
        None => notes.push(Note::NoClaim),
        Some(claim) if claim > slowest => notes.push(Note::SlowerThanLink),
        Some(claim) if claim < waited.since(greatest(cue, &grab.link).max(trip)).min(quickest) => {
            notes.push(Note::QuickerThanLink);
        }
        Some(claim) if claim < quickest => notes.push(Note::CreditCapped),
        Some(_) => {}
    }
    if clock_differs(grab, cue.sent.unwrap_or(cue.made)) {
        notes.push(Note::ClockDiffers);
    }
    Measured {
        reaction,
        interval: (quickest, slowest),
        claim,
        clamped: claim != Some(reaction),
        credit: waited.since(trip).since(reaction),
        notes,
    }
}

/// The credit that a claim on this link can get.
pub fn credit(link: &LinkBounds, rule: CreditRule) -> Micros {
    let spread = Micros(link.variation.0.saturating_mul(rule.deviations));
    spread.plus(link.clock_step).min(rule.most)
}

/// The server's own reading of the trip: cue down, frame, grab up.
fn trip(cue: &Cue, grab: &Observation, notes: &mut Vec<Note>) -> Micros {
    let sent = cue.sent.unwrap_or(cue.made);
    let late = pongs_late(&grab.link);
    if late > Micros(0) {
        notes.push(Note::PongsLate);
    }
    let greatest = grab.link.greatest.max(cue.link.greatest);
    let usual = grab.link.smoothed.since(late);
    // The cue's own ping shared its way down, so a spike there is seen and forgiven.
    let own = cue.pinged.map(|pinged| pinged.since(sent).since(late).min(PLAUSIBLE_MAX));
    if own.is_some_and(|own| own > greatest) {
        notes.push(Note::SpikeOnCue);
    }
    let way = own.map_or(usual, |own| own.max(usual));
    // The word that the cue was shown left with the frame; it is the device's own, so it is
    // believed only as far as frames explain.
    let with_frame = match cue.shown_arrived {
        Some(shown_arrived) => {
            let shown = shown_arrived.since(sent);
            let latest = way.plus(FRAME_WAIT_MAX);
            if shown > latest.plus(grab.link.variation) {
                // The cue's ping was back long before: whoever says so late is believed no more
                // than whoever says nothing.
                notes.push(Note::ShownLate);
                way.plus(FRAME_WAIT_MEAN)
            } else {
                shown.clamp(way, latest)
            }
        }
        None => way.plus(FRAME_WAIT_MEAN),
    };
    // What held the grab up held the answers behind it up too, the oldest of which the device gave
    // up to a ping's gap after the tap.
    let held_up = held_up(cue, grab, late, notes);
    let with_answers = with_frame.plus(held_up);
    if held_up <= HELD_UP_FROM {
        return with_answers;
    }
    notes.push(Note::SpikeOnGrab);
    with_answers.plus(RACE_PING_GAP)
}

/// How long the link held the grab up, by the answers behind it; where the device's kernel acknowledged what
/// its program left unanswered, by the acknowledgements.
fn held_up(cue: &Cue, grab: &Observation, late: Micros, notes: &mut Vec<Note>) -> Micros {
    let usual = usual_before(cue, grab, late);
    let beyond = |waited: Micros| waited.min(PLAUSIBLE_MAX).since(usual);
    let by_answers = beyond(grab.link.unanswered.since(late));
    if by_answers <= HELD_UP_FROM {
        return by_answers;
    }
    let held_up = match grab.link.acknowledged {
        None => by_answers,
        Some(kernel) if kernel.held_back > Micros(0) => Micros(0),
        Some(kernel) => beyond(kernel.unacknowledged).min(by_answers),
    };
    if held_up < by_answers {
        notes.push(Note::AnswersHeldBack);
    }
    held_up
}

/// The usual round trip without this race: a spike that held the cue up is in the smoothed one by
/// the time of the grab, and would hide that the grab was held up too. On a link that nothing was known
/// of before, the cue's own ping is all there is.
fn usual_before(cue: &Cue, grab: &Observation, late: Micros) -> Micros {
    let own = cue.pinged.map(|pinged| pinged.since(cue.sent.unwrap_or(cue.made)));
    let measured = [grab.link.smoothed, cue.link.smoothed].into_iter().filter(|it| it.0 > 0).min();
    measured.or(own).unwrap_or_default().since(late)
}

/// The least round trip, by the kernel's word where it is known.
fn least(link: &LinkBounds) -> Micros {
    link.kernel_least.map_or(link.least, |kernel| kernel.min(link.least))
}

/// How much longer even the quickest pong took than the kernel's round trip, a program's work and
/// the chance that the two looked at different moments explain.
fn pongs_late(link: &LinkBounds) -> Micros {
    let kernel = link.kernel_least.map(|kernel| kernel.plus(PONG_WORK_MAX).plus(link.variation));
    kernel.map_or(Micros(0), |kernel| link.least.since(kernel))
}

/// The greatest plausible trip of this cue: the round trip, and a frame.
pub fn greatest(cue: &Cue, link: &LinkBounds) -> Micros {
    greatest_round_trip(cue, link).plus(FRAME_WAIT_MAX)
}

/// The greatest plausible round trip of this cue: the link's, or what its own ping took.
pub fn greatest_round_trip(cue: &Cue, link: &LinkBounds) -> Micros {
    let own = cue.pinged.map_or(Micros(0), |pinged| pinged.since(cue.sent.unwrap_or(cue.made)));
    link.greatest.max(cue.link.greatest).max(own).min(PLAUSIBLE_MAX)
}

/// How much later than over the quickest way down the page can have shown the cue: by the cue's own
/// ping and two frames, or by the device's word that it shows it, whichever says less. All of a second
/// as long as neither is back. A device that says so too early is only waited for less.
pub fn shown_after(cue: &Cue) -> Micros {
    let after = |back: Micros| back.since(cue.sent.unwrap_or(cue.made)).since(cue.link.least);
    let by_ping = cue.pinged.map_or(PLAUSIBLE_MAX, after).plus(FRAME_WAIT_MAX);
    cue.shown_arrived.map_or(by_ping, |shown| after(shown).min(by_ping))
}

/// Whether a tap without a cue happened before that seat's cue can have been shown: even over the
/// quickest link the cue and the tap cannot both have travelled since.
pub fn before_cue(cue: Option<&Cue>, arrived: Micros, least: Micros) -> bool {
    match cue.and_then(|cue| cue.sent) {
        Some(sent) => arrived.since(sent) <= least,
        None => true,
    }
}

/// Whether the tap, by what the device told of its clock outside the race, lay before a moment after
/// which it must have been, or behind its arrival. A second opinion for the record: it moves nothing,
/// since the device's word is all that it rests on.
pub fn clock_differs(grab: &Observation, not_before: Micros) -> bool {
    let Some((tapped, clock)) = grab.tapped.zip(grab.link.clock) else { return false };
    let error = clock.error.plus(grab.link.clock_step);
    tapped.plus(error) < not_before || tapped > grab.arrived.plus(error)
}

/// When a tap without a cue happened on the server's clock: by the measured offset, believed as far
/// as the link and the credit go.
pub fn tapped(grab: &Observation, rule: CreditRule) -> Micros {
    let half = |span: Micros| Micros(span.0 / 2);
    let link = &grab.link;
    let usual = grab.arrived.since(half(link.smoothed.since(pongs_late(link))));
    let earliest = usual.since(credit(link, rule));
    grab.tapped.map_or(usual, |tapped| tapped.clamp(earliest, grab.arrived))
}
