//! A link as the lab imagines it: a least one-way time each way, log-normal jitter, rare spikes, and
//! TCP's order: nothing overtakes what was sent before it. Times in microseconds.

use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, LogNormal, StandardUniform};

/// One direction of a link.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// The least time on the way.
    pub least_us: f64,
    /// What comes on top, if anything varies.
    pub jitter: Option<LogNormal<f64>>,
    /// Share of messages that meet a spike.
    pub spike_share: f64,
    /// And how long it is.
    pub spike_us: f64,
    /// Spikes belong to the moment, not to the message: who is sent in one waits for its end.
    pub by_time: bool,
    /// Times on the way that were recorded; where there are some, nothing else is drawn.
    pub recorded_us: Option<&'static [f64]>,
}

/// Jitter with this median and this spread of its logarithm.
fn jitter(median_ms: f64, spread: f64) -> Option<LogNormal<f64>> {
    LogNormal::new((median_ms * 1_000.0).ln(), spread).ok()
}

impl Way {
    /// Cable-like: jitter with a median of 0.3 ms, no spikes.
    pub fn steady(least_ms: f64) -> Way {
        Way {
            least_us: least_ms * 1_000.0,
            jitter: jitter(0.3, 0.5),
            spike_share: 0.0,
            spike_us: 0.0,
            by_time: false,
            recorded_us: None,
        }
    }

    /// As it was recorded.
    pub fn recorded(samples_us: &'static [f64]) -> Way {
        Way { recorded_us: Some(samples_us), ..Way::exact(0.0) }
    }

    /// Wi-Fi-like: log-normal jitter with a median of 5 ms (mean 6.9, one in a hundred above 32 ms),
    /// 1 % spikes of 300 ms. An assumption; the profile of the issue names only its kind.
    pub fn wireless(least_ms: f64) -> Way {
        Way {
            jitter: jitter(5.0, 0.8),
            spike_share: 0.01,
            spike_us: 300_000.0,
            ..Way::steady(least_ms)
        }
    }

    /// The same with stalls of 600 ms, in which 1 % of the time passes: a message that meets one waits
    /// 300 ms in the mean, however many are sent.
    pub fn stalling(least_ms: f64) -> Way {
        Way { by_time: true, spike_us: 600_000.0, ..Way::wireless(least_ms) }
    }

    /// Nothing but the least time; for the toy table.
    pub fn exact(least_ms: f64) -> Way {
        Way { jitter: None, ..Way::steady(least_ms) }
    }

    /// Time on the way of one message.
    pub fn draw(&self, dice: &mut ChaCha8Rng) -> f64 {
        self.draw_spike(dice).0
    }

    /// The same, and whether it met a spike of its own.
    pub fn draw_spike(&self, dice: &mut ChaCha8Rng) -> (f64, bool) {
        if let Some(samples_us) = self.recorded_us {
            return (one_of(samples_us, dice), false);
        }
        let jitter = self.jitter.map_or(0.0, |jitter| jitter.sample(dice));
        let spiked = !self.by_time && self.spike_share > 0.0 && unit(dice) < self.spike_share;
        (self.least_us + jitter + if spiked { self.spike_us } else { 0.0 }, spiked)
    }
}

/// The stall that comes next on one way, or the one that is on.
#[derive(Clone, Copy, Debug, Default)]
pub struct Stall {
    from: f64,
    to: f64,
}

impl Stall {
    /// How long a message that is ready now waits.
    pub fn wait(&mut self, way: &Way, now: f64, dice: &mut ChaCha8Rng) -> f64 {
        if !way.by_time {
            return 0.0;
        }
        while self.to <= now {
            let mean = way.spike_us * (1.0 / way.spike_share - 1.0);
            // After a long time without messages the next stall is drawn from now.
            let after = if self.to == 0.0 { now } else { self.to };
            self.from = after - mean * (1.0 - unit(dice)).ln();
            self.to = self.from + way.spike_us;
        }
        if now < self.from { 0.0 } else { self.to - now }
    }
}

/// One of these; 0 if there are none.
pub fn one_of(samples: &[f64], dice: &mut ChaCha8Rng) -> f64 {
    samples.get((unit(dice) * samples.len() as f64) as usize).copied().unwrap_or_default()
}

/// From 0 up to 1.
pub fn unit(dice: &mut ChaCha8Rng) -> f64 {
    StandardUniform.sample(dice)
}

/// When segments sent in this order come to the other kernel: queues keep the order, and only what met a
/// spike of its own, as one that was lost and is sent again, is overtaken.
#[derive(Clone, Copy, Debug, Default)]
pub struct Queue {
    last: f64,
}

impl Queue {
    /// When the next segment comes.
    pub fn arrival(&mut self, sent: f64, (on_the_way, spiked): (f64, bool)) -> f64 {
        let came = sent + on_the_way;
        if spiked {
            return came;
        }
        self.last = self.last.max(came);
        self.last
    }
}

/// When messages sent in this order at these times arrive: none before an earlier one.
#[derive(Clone, Copy, Debug, Default)]
pub struct Order {
    last: f64,
}

impl Order {
    /// The arrival of the next message.
    pub fn arrival(&mut self, sent: f64, on_the_way: f64) -> f64 {
        self.last = self.last.max(sent + on_the_way);
        self.last
    }
}
