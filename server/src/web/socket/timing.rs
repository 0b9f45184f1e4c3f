//! What one connection knows of its link's timing, shared by its two halves. Pure: every time
//! comes in as an argument.

use crate::game::LinkBounds;
use crate::lesson::connection::URGENT_MESSAGES_MAX;
use crate::race::link::Meter;
use crate::race::ruling::RACE_PINGS_FOR;
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
    /// Until when the pings are those of an open race.
    race_until: Micros,
    heard: Micros,
}

/// What a pong tells.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// Cues that it shows to have arrived.
    pub cues: Vec<Nonce>,
    /// When the answered ping was sent, while a race is open.
    pub race_ping: Option<Micros>,
}

impl Timing {
    /// A link not yet measured, heard of just now.
    pub fn new(clock_step: Micros, now: Micros) -> Timing {
        let meter = Meter::new(clock_step);
        Timing(Mutex::new(State {
            meter,
            cues: VecDeque::new(),
            race_until: Micros(0),
            heard: now,
        }))
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

    /// A ping of an open race went to the kernel.
    pub fn race_ping_sent(&self, nonce: Nonce, sent: Micros) {
        self.state().meter.race_ping_sent(nonce, sent);
    }

    /// Whether a cue went out so lately that its race is pinged.
    pub fn in_race(&self, now: Micros) -> bool {
        now < self.state().race_until
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
        state.race_until = sent.plus(RACE_PINGS_FOR);
        state.meter.bounds(sent)
    }

    /// A pong was read. It may stand for every earlier ping too (RFC 6455 section 5.5.3).
    pub fn pong(&self, nonce: Nonce, arrived: Micros) -> Told {
        let mut state = self.state();
        let Some(trip) = state.meter.pong(nonce, arrived) else {
            return Told::default();
        };
        let answered = arrived.since(trip);
        let shown = state.cues.iter().take_while(|(_, sent)| *sent <= answered).count();
        let cues = state.cues.drain(..shown).map(|(cue, _)| cue).collect();
        // A pong tells what the device had sent by the time it answered, whatever the ping was for.
        let race_ping = (answered < state.race_until).then_some(answered);
        Told { cues, race_ping }
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
        assert_eq!(timing.pong(before, Micros(1_000)).cues, [], "sent before the cue");
        assert_eq!(timing.pong(Nonce([9; 16]), Micros(1_050)), Told::default(), "never sent");
        assert_eq!(timing.pong(between, Micros(1_100)).cues, [cue], "stands for the cue's own");
        assert_eq!(timing.pong(cue, Micros(1_150)), Told::default(), "answered already");
        assert_eq!(timing.pong(second, Micros(1_200)).cues, [second]);
        assert_eq!(timing.pong(after, Micros(1_300)).race_ping, Some(Micros(500)));
        assert_eq!(timing.bounds(Micros(1_300)).least, Micros(800));
        timing.heard(Micros(1_300));
        assert_eq!(timing.silence(Micros(2_000)), Micros(700));
        let over = Micros(400).plus(RACE_PINGS_FOR);
        assert!(timing.in_race(Micros(over.0 - 1)) && !timing.in_race(over));
        timing.ping_sent(Nonce([6; 16]), over);
        assert_eq!(timing.pong(Nonce([6; 16]), Micros(over.0 + 9)).race_ping, None);
    }
}
