//! What one connection knows of its link's timing, shared by its two halves. Pure: every time
//! comes in as an argument.

use crate::game::LinkBounds;
use crate::lesson::connection::URGENT_MESSAGES_MAX;
use crate::race::link::Meter;
use handround_protocol::id::Nonce;
use handround_protocol::time::Micros;
use std::collections::VecDeque;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Both halves run in one task, so the lock is never waited for.
pub struct Timing(Mutex<State>);

struct State {
    meter: Meter,
    /// Cues whose own ping is unanswered, oldest first.
    cues: VecDeque<(Nonce, Micros)>,
    heard: Micros,
}

impl Timing {
    /// A link not yet measured, heard of just now.
    pub fn new(clock_step: Micros, now: Micros) -> Timing {
        let meter = Meter::new(clock_step);
        Timing(Mutex::new(State { meter, cues: VecDeque::new(), heard: now }))
    }

    /// A frame of any kind was read.
    pub fn heard(&self, at: Micros) {
        self.state().heard = at;
    }

    /// How long nothing was read.
    pub fn silence(&self, now: Micros) -> Micros {
        now.since(self.state().heard)
    }

    /// A ping's bytes went to the kernel.
    pub fn ping_sent(&self, nonce: Nonce, sent: Micros) {
        self.state().meter.ping_sent(nonce, sent);
    }

    /// A cue's bytes and those of its own ping went to the kernel. Answers with what is known of
    /// the link by then.
    pub fn cue_sent(&self, nonce: Nonce, sent: Micros) -> LinkBounds {
        let mut state = self.state();
        state.meter.ping_sent(nonce, sent);
        if state.cues.len() == URGENT_MESSAGES_MAX {
            state.cues.pop_front();
        }
        state.cues.push_back((nonce, sent));
        state.meter.bounds(sent)
    }

    /// A pong was read. Answers with the cues that it shows to have arrived: a pong may stand for
    /// every earlier ping too (RFC 6455 section 5.5.3).
    pub fn pong(&self, nonce: Nonce, arrived: Micros) -> Vec<Nonce> {
        let mut state = self.state();
        let Some(trip) = state.meter.pong(nonce, arrived) else {
            return Vec::new();
        };
        let answered = arrived.since(trip);
        let shown = state.cues.iter().take_while(|(_, sent)| *sent <= answered).count();
        state.cues.drain(..shown).map(|(cue, _)| cue).collect()
    }

    /// What is known of the link.
    pub fn bounds(&self, now: Micros) -> LinkBounds {
        self.state().meter.bounds(now)
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pong_tells_of_every_cue_before_it_and_of_none_after() {
        let timing = Timing::new(Micros(5), Micros(0));
        let [before, cue, between, second, after] = [1, 2, 3, 4, 5].map(|id| Nonce([id; 16]));
        timing.ping_sent(before, Micros(100));
        timing.cue_sent(cue, Micros(200));
        timing.ping_sent(between, Micros(300));
        timing.cue_sent(second, Micros(400));
        timing.ping_sent(after, Micros(500));
        assert_eq!(timing.pong(before, Micros(1_000)), [], "sent before the cue");
        assert_eq!(timing.pong(Nonce([9; 16]), Micros(1_050)), [], "never sent");
        assert_eq!(timing.pong(between, Micros(1_100)), [cue], "stands for the cue's own");
        assert_eq!(timing.pong(cue, Micros(1_150)), [], "answered already");
        assert_eq!(timing.pong(second, Micros(1_200)), [second]);
        assert_eq!(timing.pong(after, Micros(1_300)), []);
        assert_eq!(timing.bounds(Micros(1_300)).least, Micros(800));
        timing.heard(Micros(1_300));
        assert_eq!(timing.silence(Micros(2_000)), Micros(700));
    }
}
