//! Link timing of one connection, pure: RFC 6298 smoothing over RFC 6455 pings whose send times
//! stay on the server.

use super::acknowledged::{Acknowledged, Look};
use super::measure::HELD_UP_FROM;
use crate::game::LinkBounds;
use handround_protocol::id::Nonce;
use handround_protocol::time::Micros;
use std::collections::VecDeque;

/// Pings that may be under way or remembered for one connection; older ones are forgotten.
pub const PINGS_UNDER_WAY_MAX: usize = 64;
/// Round trips kept for the least and the 95th percentile.
pub const SAMPLES_MAX: usize = 64;
/// The window of the least round trip: two minutes.
pub const WINDOW: Micros = Micros::from_s(120);
/// No round trip counts as longer than this: 1 s.
pub const PLAUSIBLE_MAX: Micros = Micros::from_s(1);

/// A ping that is not answered.
#[derive(Clone, Copy, Debug)]
struct UnderWay {
    nonce: Nonce,
    sent: Micros,
    /// Whether its round trip is learnt.
    learn: bool,
    /// Its last byte is no later one than this of the connection's; known from the first look at the kernel on.
    end: Option<u64>,
    /// When a look first saw it acknowledged.
    acknowledged: Option<Micros>,
}

/// Measures one connection.
#[derive(Clone, Debug)]
pub struct Meter {
    under_way: VecDeque<UnderWay>,
    samples: VecDeque<(Micros, Micros)>,
    smoothed: Option<Micros>,
    variation: Micros,
    clock_step: Micros,
    kernel_least: Option<Micros>,
    /// Segments that had come out of order when the race began; `None` while acknowledgements show nothing.
    out_of_order: Option<u32>,
}

impl Meter {
    /// A connection not yet measured; `clock_step` is the device's, as it reported.
    pub fn new(clock_step: Micros) -> Meter {
        Meter {
            under_way: VecDeque::new(),
            samples: VecDeque::new(),
            smoothed: None,
            variation: Micros(0),
            clock_step,
            kernel_least: None,
            out_of_order: None,
        }
    }

    /// The page woke from sleep: its link may be another one, so all that was measured is forgotten.
    pub fn reset(&mut self) {
        *self = Meter::new(self.clock_step);
    }

    /// The kernel's own least round trip of this connection (TCP_INFO, `tcpi_min_rtt`). Only for
    /// deployments that say that connections are direct; through a proxy it would be the proxy's.
    pub fn kernel_says(&mut self, least: Micros) {
        self.kernel_least = Some(least);
    }

    /// A ping went to the kernel.
    pub fn ping_sent(&mut self, nonce: Nonce, sent: Micros) {
        self.sent(nonce, sent, true);
    }

    /// A ping of an open race went to the kernel. They follow each other closely, to show what the
    /// device had sent by when; as samples they would push out what two minutes have taught.
    pub fn race_ping_sent(&mut self, nonce: Nonce, sent: Micros) {
        self.sent(nonce, sent, false);
    }

    fn sent(&mut self, nonce: Nonce, sent: Micros, learn: bool) {
        if self.under_way.len() == PINGS_UNDER_WAY_MAX {
            self.under_way.pop_front();
        }
        let fresh = UnderWay { nonce, sent, learn, end: None, acknowledged: None };
        self.under_way.push_back(fresh);
    }

    /// A cue and its own ping went to the kernel, which said this just after; `None` where it says nothing
    /// of the device. What is under way may have been acknowledged before.
    pub fn race_begins(&mut self, look: Option<Look>) {
        self.out_of_order = look.map(|look| look.out_of_order);
        for ping in &mut self.under_way {
            ping.end = look.map(|look| look.written);
            ping.acknowledged = None;
        }
    }

    /// What the kernel says in an open race, where it was asked.
    pub fn kernel_looked(&mut self, look: Look, at: Micros) {
        self.kernel_order(Some(look));
        for ping in &mut self.under_way {
            let end = *ping.end.get_or_insert(look.written);
            if end <= look.acknowledged && !look.unread {
                ping.acknowledged.get_or_insert(at);
            }
        }
    }

    /// From the first segment that overtook another one on, or if the kernel does not answer,
    /// acknowledgements show nothing in this race.
    pub fn kernel_order(&mut self, look: Option<Look>) {
        self.out_of_order = self
            .out_of_order
            .filter(|before| look.is_some_and(|look| look.out_of_order == *before));
    }

    /// Whether the kernel is worth asking: an answer takes longer than it usually does.
    pub fn overdue(&self, now: Micros) -> bool {
        let usual = self.smoothed.unwrap_or_default().plus(HELD_UP_FROM);
        self.under_way.front().is_some_and(|ping| now.since(ping.sent) > usual)
    }

    /// A pong was read. It answers every earlier ping (RFC 6455 section 5.5.3). Returns the round
    /// trip, or `None` for a nonce that was never sent or is answered already.
    pub fn pong(&mut self, nonce: Nonce, arrived: Micros) -> Option<Micros> {
        let place = self.under_way.iter().position(|ping| ping.nonce == nonce)?;
        let UnderWay { sent, learn, .. } = self.under_way[place];
        self.under_way.drain(..=place);
        let trip = arrived.since(sent);
        if learn {
            self.learn(trip, arrived);
        }
        Some(trip)
    }

    /// RFC 6298 section 2: the variation is updated before the smoothed round trip.
    fn learn(&mut self, trip: Micros, at: Micros) {
        if self.samples.len() == SAMPLES_MAX {
            self.samples.pop_front();
        }
        self.samples.push_back((at, trip));
        match self.smoothed {
            None => {
                self.smoothed = Some(trip);
                self.variation = Micros(trip.0 / 2);
            }
            Some(smoothed) => {
                let miss = smoothed.0.abs_diff(trip.0);
                self.variation = Micros((3 * self.variation.0 + miss) / 4);
                self.smoothed = Some(Micros((7 * smoothed.0 + trip.0) / 8));
            }
        }
    }

    /// What the kernel's word comes to by now.
    fn acknowledged(&self, now: Micros) -> Option<Acknowledged> {
        self.out_of_order?;
        let waiting = self.under_way.iter().find(|ping| ping.acknowledged.is_none());
        let oldest = self.under_way.front().and_then(|ping| ping.acknowledged);
        let later = |seen: &Micros| {
            self.under_way.iter().any(|ping| ping.acknowledged.is_some_and(|at| at > *seen))
        };
        Some(Acknowledged {
            unacknowledged: waiting.map_or(Micros(0), |ping| now.since(ping.sent)),
            held_back: oldest.filter(later).map_or(Micros(0), |seen| now.since(seen)),
        })
    }

    /// What is known by now. An unmeasured link is anything from 0 to 1 s. Of the device's clock it
    /// knows nothing.
    pub fn bounds(&self, now: Micros) -> LinkBounds {
        let oldest = self.under_way.front();
        let unanswered = oldest.map_or(Micros(0), |ping| now.since(ping.sent));
        let acknowledged = self.acknowledged(now);
        let window_start = now.since(WINDOW);
        let recent = self.samples.iter().filter(|(at, _)| *at >= window_start);
        let least = recent.map(|(_, trip)| *trip).min();
        let Some((smoothed, least)) = self.smoothed.map(|smoothed| (smoothed, least)) else {
            return LinkBounds {
                least: Micros(0),
                smoothed: Micros(0),
                greatest: PLAUSIBLE_MAX,
                clock_step: self.clock_step,
                variation: PLAUSIBLE_MAX,
                kernel_least: self.kernel_least,
                unanswered,
                clock: None,
                acknowledged,
            };
        };
        let mut trips: Vec<Micros> = self.samples.iter().map(|(_, trip)| *trip).collect();
        let place = (trips.len() * 95).div_ceil(100) - 1;
        let (_, percentile_95, _) = trips.select_nth_unstable(place);
        let percentile_95 = *percentile_95;
        let greatest = Micros(smoothed.0 + 4 * self.variation.0).max(percentile_95);
        LinkBounds {
            least: least.or(trips.iter().min().copied()).unwrap_or_default(),
            smoothed,
            greatest: greatest.min(PLAUSIBLE_MAX),
            clock_step: self.clock_step,
            variation: self.variation,
            kernel_least: self.kernel_least,
            unanswered,
            clock: None,
            acknowledged,
        }
    }
}
