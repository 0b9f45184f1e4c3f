//! A race in the order in which the server would have learnt of it: from everything that would
//! ever have come in to what was known when the race was ruled. For stories, the lab and replays.

use super::measure::{CREDIT, CreditRule};
use super::ruling::{HOLD, HoldRule};
use super::{Record, Runner, Stage, ruling};
use handround_protocol::id::SeatIndex;
use handround_protocol::time::Micros;

/// A ping of the race that was answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Answer {
    /// By this seat's device.
    pub seat: SeatIndex,
    /// When the ping left.
    pub sent: Micros,
    /// When its answer was read.
    pub read: Micros,
}

/// What is known of one seat by a time.
fn known(runner: &Runner, answers: &[Answer], by: Micros) -> Runner {
    let seen = |moment: &Micros| *moment <= by;
    let mut runner = *runner;
    if let Some(cue) = runner.cue.as_mut() {
        cue.pinged = cue.pinged.filter(seen);
        cue.shown = cue.shown.filter(|_| cue.shown_arrived.as_ref().is_some_and(seen));
        cue.shown_arrived = cue.shown_arrived.filter(seen);
        let own = || answers.iter().filter(|answer| answer.seat == runner.seat);
        // The pong of the cue's own ping is the first to tell that pings are answered.
        let cues_own = cue.pinged.filter(|_| own().next().is_some()).and(cue.sent);
        let read = own().filter(|answer| answer.read <= by).map(|answer| answer.sent);
        cue.answered = cue.answered.max(cues_own).max(read.max());
    }
    runner.grab = runner.grab.filter(|grab| grab.arrived <= by);
    runner
}

/// What was known at the ruling, and when that was; `None` if it never comes to one. `answers` are
/// those to the pings of the race, for the seats whose links are pinged so.
pub fn unfold(all: &Record, answers: &[Answer]) -> Option<(Record, Micros)> {
    unfold_by(all, answers, CREDIT, HOLD)
}

/// The same under other rules, for the lab.
pub(super) fn unfold_by(
    all: &Record,
    answers: &[Answer],
    credit: CreditRule,
    hold: HoldRule,
) -> Option<(Record, Micros)> {
    let mut moments: Vec<Micros> = all
        .runners
        .iter()
        .flat_map(|runner| {
            let cue = runner.cue.as_ref();
            [
                runner.grab.map(|grab| grab.arrived),
                cue.and_then(|cue| cue.pinged),
                cue.and_then(|cue| cue.shown_arrived),
            ]
        })
        .flatten()
        .chain(answers.iter().map(|answer| answer.read))
        .collect();
    moments.sort_unstable();
    let mut grabs: Vec<Micros> =
        all.runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).collect();
    grabs.sort_unstable();
    let filled = *grabs.get(usize::from(all.tokens).checked_sub(1)?)?;
    let mut next = moments.into_iter().filter(|moment| *moment > filled);
    let mut now = filled;
    loop {
        let runners = all.runners.iter().map(|runner| known(runner, answers, now)).collect();
        let record = Record { runners, ..*all };
        let Stage::Hold { until } = ruling::stage_by(&record, credit, hold) else { return None };
        match next.next() {
            Some(moment) if moment < until => now = moment,
            _ => return Some((record, until.max(now))),
        }
    }
}
