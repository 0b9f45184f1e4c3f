//! The offset between a device's clock and the server's: RFC 5905's on-wire arithmetic and its
//! eight-stage filter, over an ordinary message. Pure.
//!
//! Only taps that have no cue need it. It deliberately does not steer any clock.

use handround_protocol::time::Micros;
use std::collections::VecDeque;

/// Samples that the filter keeps: RFC 5905 section 10, eight stages.
pub const STAGES: usize = 8;
/// How far two clocks may drift apart: RFC 5905's PHI, 15 parts in a million.
const DRIFT_PER_MILLION: u64 = 15;

/// One exchange. `asked` and `heard` are read on the asking side's clock, `received` and
/// `answered` on the other's; all in microseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exchange {
    /// T1: the question left.
    pub asked: i64,
    /// T2: it was read.
    pub received: i64,
    /// T3: the answer left.
    pub answered: i64,
    /// T4: it was read.
    pub heard: i64,
}

/// What one exchange says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sample {
    /// The other clock minus the asking one, in nanoseconds, since the arithmetic halves.
    pub offset_ns: i64,
    /// The round trip without the other side's own time.
    pub delay: Micros,
}

impl Exchange {
    /// RFC 5905 section 8: offset ((T2-T1)+(T3-T4))/2 and delay (T4-T1)-(T3-T2). `None` where times
    /// run backwards or are too large to subtract.
    pub fn sample(&self) -> Option<Sample> {
        let there = self.received.checked_sub(self.asked)?;
        let back = self.answered.checked_sub(self.heard)?;
        let twice = there.checked_add(back)?;
        let delay =
            self.heard.checked_sub(self.asked)? - self.answered.checked_sub(self.received)?;
        let delay = Micros(u64::try_from(delay).ok()?);
        (self.answered >= self.received)
            .then(|| Some(Sample { offset_ns: twice.checked_mul(500)?, delay }))?
    }
}

/// The filtered offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offset {
    /// The other clock minus the asking one, in nanoseconds.
    pub offset_ns: i64,
    /// It is off by no more than this: half the delay, and what the clocks drift in its age.
    pub error: Micros,
}

/// The last eight exchanges of one connection.
#[derive(Clone, Debug, Default)]
pub struct Filter {
    samples: VecDeque<(Micros, Sample)>,
}

impl Filter {
    /// Takes an exchange in; `at` is when it ended, on the asking side's clock. An offset that the
    /// earlier ones exclude means that a clock stepped, as when a page wakes from sleep: then only
    /// the new one counts.
    pub fn learn(&mut self, exchange: &Exchange, at: Micros) {
        let Some(sample) = exchange.sample() else { return };
        if let Some(known) = self.offset(at) {
            let apart = known.offset_ns.abs_diff(sample.offset_ns) / 1_000;
            if apart > known.error.0 + sample.delay.0 / 2 + 1 {
                self.reset();
            }
        }
        if self.samples.len() == STAGES {
            self.samples.pop_front();
        }
        self.samples.push_back((at, sample));
    }

    /// Everything known is forgotten: the page woke from sleep.
    pub fn reset(&mut self) {
        self.samples.clear();
    }

    /// The offset of the sample with the least delay, the newest of equals.
    pub fn offset(&self, now: Micros) -> Option<Offset> {
        let (at, sample) = self.samples.iter().rev().min_by_key(|(_, sample)| sample.delay)?;
        let drift = now.since(*at).0 / 1_000 * DRIFT_PER_MILLION / 1_000;
        Some(Offset {
            offset_ns: sample.offset_ns,
            error: Micros(sample.delay.0.div_ceil(2) + drift + 1),
        })
    }
}
