//! What one connection knows of its link's timing, shared by its two halves. Every time comes in as
//! an argument.

use crate::game::{DeviceClock, LinkBounds};
use crate::lesson::connection::URGENT_MESSAGES_MAX;
use crate::limits::web::{CLOCK_QUESTIONS_MAX, SLEEP_MIN};
use crate::race::acknowledged::Look;
use crate::race::clock::{Exchange, Filter};
use crate::race::link::Meter;
use crate::race::ruling::RACE_PINGS_FOR;
use handround_protocol::id::Nonce;
use handround_protocol::time::Micros;
use std::collections::VecDeque;
use std::future::poll_fn;
use std::pin::pin;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tokio::sync::Notify;

/// Both halves run in one task, so the lock is never waited for.
pub struct Timing {
    state: Mutex<State>,
    woke: Notify,
}

struct State {
    meter: Meter,
    /// The device's clock beside ours.
    clock: Filter,
    clock_step: Micros,
    /// Questions for the device's clock that are not answered, oldest first.
    clock_asked: VecDeque<(Nonce, Micros)>,
    /// Cues whose own ping is unanswered, oldest first.
    cues: VecDeque<(Nonce, Micros)>,
    /// Until when the pings are those of an open race.
    race_until: Micros,
    /// Since when a ping has been out without a word from the device.
    waiting_since: Option<Micros>,
    /// The device said that its page is hidden.
    hidden: bool,
    /// The reading half has dealt with every whole frame that it has.
    idle: bool,
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
    /// A link not yet measured.
    pub fn new(clock_step: Micros) -> Timing {
        let meter = Meter::new(clock_step);
        let state = State {
            meter,
            clock: Filter::default(),
            clock_step,
            clock_asked: VecDeque::new(),
            cues: VecDeque::new(),
            race_until: Micros(0),
            waiting_since: None,
            hidden: false,
            idle: false,
        };
        Timing { state: Mutex::new(state), woke: Notify::new() }
    }

    /// A frame of any kind was read. A device that was silent for long has slept.
    pub fn heard(&self, at: Micros) {
        let mut state = self.state();
        if state.silence(at) >= micros(SLEEP_MIN) {
            state.start_over();
            self.woke.notify_one();
        }
        state.waiting_since = None;
    }

    /// Waits until the link has to be measured anew.
    pub async fn woken(&self) {
        self.woke.notified().await;
    }

    /// How long a ping has been out without a word from the device.
    pub fn silence(&self, now: Micros) -> Micros {
        self.state().silence(now)
    }

    /// The page can be seen, or is hidden. When it comes back its radio may have slept as well.
    pub fn in_view(&self, visible: bool) {
        let mut state = self.state();
        if visible && state.hidden {
            state.start_over();
            self.woke.notify_one();
        }
        state.hidden = !visible;
    }

    /// A ping's bytes went to the kernel.
    pub fn ping_sent(&self, nonce: Nonce, sent: Micros) {
        let mut state = self.state();
        state.meter.ping_sent(nonce, sent);
        state.waiting_since.get_or_insert(sent);
    }

    /// The kernel's own least round trip of this connection.
    pub fn kernel_says(&self, least: Micros) {
        self.state().meter.kernel_says(least);
    }

    /// A ping of an open race went to the kernel.
    pub fn race_ping_sent(&self, nonce: Nonce, sent: Micros) {
        self.state().meter.race_ping_sent(nonce, sent);
    }

    /// Whether a cue went out so lately that its race is pinged.
    pub fn in_race(&self, now: Micros) -> bool {
        now < self.state().race_until
    }

    /// Reads, and knows meanwhile whether the reading half waits for more.
    pub async fn while_reading<T>(&self, reading: impl Future<Output = T>) -> T {
        let mut reading = pin!(reading);
        poll_fn(|context| {
            let polled = reading.as_mut().poll(context);
            self.state().idle = polled.is_pending();
            polled
        })
        .await
    }

    /// What the kernel says in an open race, where it was asked.
    pub fn kernel_looked(&self, look: Look, at: Micros) {
        let mut state = self.state();
        let unread = look.unread || !state.idle;
        state.meter.kernel_looked(Look { unread, ..look }, at);
    }

    /// Whether the segments of this race have kept their order, by the kernel's word.
    pub fn kernel_order(&self, look: Option<Look>) {
        self.state().meter.kernel_order(look);
    }

    /// Whether an answer to a ping takes longer than it usually does.
    pub fn overdue(&self, now: Micros) -> bool {
        self.state().meter.overdue(now)
    }

    /// A cue's bytes and those of its own ping went to the kernel, which said this of the connection, if
    /// it may be asked. Answers with what is known of the link by then.
    pub fn cue_sent(&self, nonce: Nonce, sent: Micros, look: Option<Look>) -> LinkBounds {
        let mut state = self.state();
        state.meter.ping_sent(nonce, sent);
        state.meter.race_begins(look);
        state.waiting_since.get_or_insert(sent);
        if state.cues.len() == URGENT_MESSAGES_MAX {
            state.cues.pop_front();
        }
        state.cues.push_back((nonce, sent));
        state.race_until = sent.plus(RACE_PINGS_FOR);
        state.bounds(sent)
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

    /// A question for the device's clock went to the kernel.
    pub fn clock_asked(&self, nonce: Nonce, sent: Micros) {
        let mut state = self.state();
        if state.clock_asked.len() == CLOCK_QUESTIONS_MAX {
            state.clock_asked.pop_front();
        }
        state.clock_asked.push_back((nonce, sent));
    }

    /// The device told its clock. An answer to no open question teaches nothing.
    pub fn clock_told(&self, nonce: Nonce, received: Micros, answered: Micros, arrived: Micros) {
        let mut state = self.state();
        let place = state.clock_asked.iter().position(|(asked, _)| *asked == nonce);
        let Some((_, asked)) = place.and_then(|place| state.clock_asked.remove(place)) else {
            return;
        };
        let [asked, received, answered, heard] = [asked, received, answered, arrived]
            .map(|time| i64::try_from(time.0).unwrap_or(i64::MAX));
        state.clock.learn(&Exchange { asked, received, answered, heard }, arrived);
    }

    /// What is known of the link and of the device's clock.
    pub fn bounds(&self, now: Micros) -> LinkBounds {
        self.state().bounds(now)
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl State {
    fn silence(&self, now: Micros) -> Micros {
        self.waiting_since.map_or(Micros(0), |since| now.since(since))
    }

    fn bounds(&self, now: Micros) -> LinkBounds {
        let clock = self.clock.offset(now).map(|offset| DeviceClock {
            ahead_us: offset.offset_ns / 1_000,
            // Both of the device's times are rounded to its clock's step.
            error: offset.error.plus(self.clock_step),
        });
        LinkBounds { clock, ..self.meter.bounds(now) }
    }

    /// Forgets what was measured. A clock may have stood still in a sleep. Cues stay: that one has arrived is no measure of the link, and a
    /// round must not become void because a page woke up.
    fn start_over(&mut self) {
        self.meter.reset();
        self.clock.reset();
        self.clock_asked.clear();
        for (nonce, sent) in &self.cues {
            self.meter.race_ping_sent(*nonce, *sent);
        }
    }
}

fn micros(span: Duration) -> Micros {
    Micros(u64::try_from(span.as_micros()).unwrap_or(u64::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pong_tells_of_every_cue_before_it_and_of_none_after() {
        let timing = Timing::new(Micros(5));
        let [before, cue, between, second, after] = [1, 2, 3, 4, 5].map(|id| Nonce([id; 16]));
        timing.ping_sent(before, Micros(100));
        timing.cue_sent(cue, Micros(200), None);
        timing.ping_sent(between, Micros(300));
        timing.cue_sent(second, Micros(400), None);
        timing.ping_sent(after, Micros(500));
        assert_eq!(timing.pong(before, Micros(1_000)).cues, [], "sent before the cue");
        assert_eq!(timing.pong(Nonce([9; 16]), Micros(1_050)), Told::default(), "never sent");
        assert_eq!(timing.pong(between, Micros(1_100)).cues, [cue], "stands for the cue's own");
        assert_eq!(timing.pong(cue, Micros(1_150)), Told::default(), "answered already");
        assert_eq!(timing.pong(second, Micros(1_200)).cues, [second]);
        assert_eq!(timing.pong(after, Micros(1_300)).race_ping, Some(Micros(500)));
        assert_eq!(timing.bounds(Micros(1_300)).least, Micros(800));
        let over = Micros(400).plus(RACE_PINGS_FOR);
        assert!(timing.in_race(Micros(over.0 - 1)) && !timing.in_race(over));
        timing.ping_sent(Nonce([6; 16]), over);
        assert_eq!(timing.pong(Nonce([6; 16]), Micros(over.0 + 9)).race_ping, None);
    }

    /// The second row of the check values: 100, 170, 175, 165 ms give an offset of 40 ms and a delay
    /// of 60 (RFC 5905 section 8, computed).
    #[test]
    fn a_device_that_tells_its_clock_is_set_beside_ours_until_the_page_sleeps() {
        let ms = Micros::from_ms;
        let timing = Timing::new(Micros(5));
        let [first, second, never] = [1, 2, 3].map(|id| Nonce([id; 16]));
        timing.clock_asked(first, ms(100));
        assert_eq!(timing.bounds(ms(120)).clock, None);
        timing.clock_told(never, ms(1), ms(1), ms(160));
        assert_eq!(timing.bounds(ms(160)).clock, None, "nobody asked that");
        timing.clock_told(first, ms(170), ms(175), ms(165));
        let known = DeviceClock { ahead_us: 40_000, error: Micros(30_000 + 1 + 5) };
        assert_eq!(timing.bounds(ms(165)).clock, Some(known));
        timing.clock_told(first, ms(900), ms(900), ms(170));
        assert_eq!(timing.bounds(ms(165)).clock, Some(known), "answered already");
        let aged = timing.bounds(ms(165 + 1_000_000)).clock.map(|clock| clock.error);
        let drift = Micros(15_000);
        assert_eq!(aged, Some(known.error.plus(drift)), "15 ppm: RFC 5905's PHI");
        timing.clock_asked(second, ms(200));
        timing.in_view(false);
        timing.in_view(true);
        assert_eq!(timing.bounds(ms(201)).clock, None);
        timing.clock_told(second, ms(260), ms(260), ms(210));
        assert_eq!(timing.bounds(ms(210)).clock, None, "asked before the sleep");
    }

    #[test]
    fn only_an_unanswered_ping_makes_silence_and_a_sleep_forgets_the_link_but_not_the_cue() {
        let timing = Timing::new(Micros(5));
        let [first, cue, later] = [1, 2, 3].map(|id| Nonce([id; 16]));
        let second = Micros::from_s;
        timing.ping_sent(first, second(1));
        timing.heard(second(2));
        timing.pong(first, second(2));
        assert_eq!(timing.bounds(second(2)).least, second(1));
        assert_eq!(timing.silence(second(600)), Micros(0), "nothing was asked of it");
        timing.cue_sent(cue, second(600), None);
        timing.ping_sent(later, second(600));
        assert_eq!(timing.silence(second(602)), second(2));
        timing.heard(second(605));
        assert_eq!(timing.silence(second(606)), Micros(0));
        assert_eq!(timing.bounds(second(605)).least, Micros(0), "nothing is known of the link");
        assert_eq!(timing.pong(later, second(605)), Told::default(), "forgotten");
        assert_eq!(timing.pong(cue, second(605)).cues, [cue], "the cue has arrived");
        assert_eq!(timing.bounds(second(605)).smoothed, Micros(0), "and is no measure");
    }

    #[test]
    fn a_page_that_comes_back_into_view_is_measured_anew_and_one_that_was_in_view_is_not() {
        let timing = Timing::new(Micros(5));
        let nonce = Nonce([1; 16]);
        timing.ping_sent(nonce, Micros(0));
        timing.pong(nonce, Micros(9));
        timing.in_view(true);
        timing.in_view(false);
        assert_eq!(timing.bounds(Micros(9)).smoothed, Micros(9));
        timing.in_view(true);
        assert_eq!(timing.bounds(Micros(9)).smoothed, Micros(0));
    }
}
