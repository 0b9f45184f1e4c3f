//! The server's clock: microseconds since the Unix epoch that never run backwards, not even when
//! the machine's clock is set back or the server restarts. This is the only place that asks the
//! machine for the time of day.

use handround_protocol::time::Micros;
use std::time::{Duration, SystemTime, UNIX_EPOCH};
use tokio::time::Instant;

/// The machine's time of day.
pub fn time_of_day() -> Micros {
    let since_epoch = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    Micros(u64::try_from(since_epoch.as_micros()).unwrap_or(u64::MAX))
}

/// A clock of one process, and the bridge to the runtime's timers. Cheap to copy; all copies agree.
#[derive(Clone, Copy, Debug)]
pub struct Clock {
    start: Instant,
    start_reads: Micros,
    /// Where the calendar is read; `None` in simulated time.
    calendar: Option<fn() -> Micros>,
}

impl Clock {
    /// Starts from a time of day, or just behind the last journal entry if that is later.
    pub fn start_after(last: Micros, time_of_day: Micros) -> Clock {
        Clock {
            start: Instant::now(),
            start_reads: time_of_day.max(last.plus(Micros(1))).min(Micros::MAX),
            calendar: None,
        }
    }

    /// The same with a calendar beside it.
    pub fn with_calendar(self, calendar: fn() -> Micros) -> Clock {
        Clock { calendar: Some(calendar), ..self }
    }

    /// This moment by the calendar, for days, sign-ins and expiry. The runtime's clock stands still while a
    /// laptop sleeps, and so does `now`, which is right for races and wrong for dates.
    pub fn today(&self) -> Micros {
        self.calendar.map_or_else(|| self.now(), |calendar| calendar().min(Micros::MAX))
    }

    /// This moment.
    pub fn now(&self) -> Micros {
        let elapsed = u64::try_from(self.start.elapsed().as_micros()).unwrap_or(u64::MAX);
        self.start_reads.plus(Micros(elapsed)).min(Micros::MAX)
    }

    /// The runtime's name for a moment; one that has passed is this process's start at the
    /// earliest.
    pub fn instant(&self, moment: Micros) -> Instant {
        self.start + Duration::from_micros(moment.since(self.start_reads).0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test(start_paused = true)]
    async fn a_machine_that_slept_has_another_day_and_the_same_race() {
        let monday = Micros::from_s(1_790_000_000);
        let clock = Clock::start_after(Micros(0), monday);
        assert_eq!(clock.today(), clock.now());
        let woken = clock.with_calendar(|| Micros::from_s(1_790_000_000 + 17 * 60 * 60));
        assert_eq!(woken.now(), monday, "the runtime's clock stood still");
        assert_eq!(woken.today().since(woken.now()), Micros::from_s(17 * 60 * 60));
    }

    #[tokio::test(start_paused = true)]
    async fn it_runs_with_the_runtime_and_never_behind_the_journal() {
        let far_ahead = Micros(4_000_000_000_000_000);
        let clock = Clock::start_after(far_ahead, time_of_day());
        let first = clock.now();
        assert!(first > far_ahead);
        tokio::time::advance(Duration::from_secs(3)).await;
        assert_eq!(clock.now().since(first), Micros::from_s(3));
        let later = clock.now().plus(Micros::from_ms(5));
        tokio::time::sleep_until(clock.instant(later)).await;
        assert!(clock.now() >= later);
    }
}
