//! Who waits at a lesson's door for the teacher's answer, who sat down moments ago, and at which
//! tablet. Kept in memory alone: after a restart a child taps once more. Pure: times are arguments.

use super::lesson_log::TokenDigest;
use crate::limits::lesson::{ANSWER_KEPT_FOR, UNDO_FOR, WAITING_MAX, WAITING_SILENT_FOR};
use handround_protocol::door::Way;
use handround_protocol::id::{PupilIndex, Token};
use handround_protocol::join::Joined;
use handround_protocol::time::Micros;
use std::collections::BTreeMap;

/// A device at the door.
#[derive(Clone, Debug)]
pub struct Waiting {
    /// Names it on the teacher's page.
    pub number: u32,
    /// Names it to itself.
    pub wait: Token,
    /// Whose place it wants.
    pub pupil: PupilIndex,
    /// How it came.
    pub way: Way,
    /// The tablet's secret, as a digest.
    pub tablet: Option<TokenDigest>,
    heard: Micros,
    answer: Answer,
}

/// What the teacher said.
#[derive(Clone, Debug)]
pub enum Answer {
    /// Nothing yet.
    None,
    /// Come in.
    In(Joined),
    /// Not now.
    No,
}

/// One lesson's door.
#[derive(Debug, Default)]
pub struct Doorway {
    last: u32,
    waiting: Vec<Waiting>,
    sat: BTreeMap<PupilIndex, (TokenDigest, Micros)>,
    tablets: BTreeMap<PupilIndex, TokenDigest>,
}

impl Doorway {
    /// A device waits from now on; one that waits too long without a word gives way first.
    pub fn wait(
        &mut self,
        wait: Token,
        (pupil, way): (PupilIndex, Way),
        tablet: Option<TokenDigest>,
        now: Micros,
    ) {
        self.tidy(now);
        if self.waiting.len() == WAITING_MAX {
            self.waiting.remove(0);
        }
        self.last = self.last.wrapping_add(1);
        let (number, answer) = (self.last, Answer::None);
        self.waiting.push(Waiting { number, wait, pupil, way, tablet, heard: now, answer });
    }

    /// A device asks for its answer; `None` for one that is not known any more.
    pub fn ask(&mut self, wait: Token, now: Micros) -> Option<Answer> {
        self.tidy(now);
        let found = self.waiting.iter_mut().find(|one| one.wait == wait)?;
        if matches!(found.answer, Answer::None) {
            found.heard = now;
        }
        Some(found.answer.clone())
    }

    /// Whether a device with this name waits here.
    pub fn knows(&self, wait: Token) -> bool {
        self.waiting.iter().any(|one| one.wait == wait)
    }

    /// Those without an answer.
    pub fn unanswered(&mut self, now: Micros) -> Vec<Waiting> {
        self.tidy(now);
        let open = self.waiting.iter().filter(|one| matches!(one.answer, Answer::None));
        open.cloned().collect()
    }

    /// The teacher's answer, for the device to fetch.
    pub fn answer(&mut self, number: u32, answer: Answer, now: Micros) {
        if let Some(one) = self.waiting.iter_mut().find(|one| one.number == number) {
            (one.answer, one.heard) = (answer, now);
        }
    }

    /// A device sat down, at a tablet of the cart or not.
    pub fn sat_down(
        &mut self,
        pupil: PupilIndex,
        seat: TokenDigest,
        tablet: Option<TokenDigest>,
        now: Micros,
    ) {
        self.sat.insert(pupil, (seat, now));
        match tablet {
            Some(tablet) => self.tablets.insert(pupil, tablet),
            None => self.tablets.remove(&pupil),
        };
    }

    /// Whether a place was taken so lately that the child may still take it back.
    pub fn is_fresh(&self, pupil: PupilIndex, now: Micros) -> bool {
        self.sat.get(&pupil).is_some_and(|(_, at)| now < at.plus(UNDO_FOR))
    }

    /// The tablet at which a child sits.
    pub fn tablet(&self, pupil: PupilIndex) -> Option<TokenDigest> {
        self.tablets.get(&pupil).copied()
    }

    /// A place is free again.
    pub fn left(&mut self, pupil: PupilIndex) {
        self.sat.remove(&pupil);
        self.tablets.remove(&pupil);
    }

    fn tidy(&mut self, now: Micros) {
        self.waiting.retain(|one| {
            let patience = match one.answer {
                Answer::None => WAITING_SILENT_FOR,
                _ => ANSWER_KEPT_FOR,
            };
            now < one.heard.plus(patience)
        });
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn token(number: usize) -> Token {
        Token((number as u128).to_be_bytes())
    }

    const ADA: (PupilIndex, Way) = (PupilIndex(0), Way::Picture);

    #[test]
    fn a_device_that_goes_on_asking_waits_and_one_that_went_away_is_forgotten() {
        let mut door = Doorway::default();
        let start = Micros::from_s(100);
        door.wait(token(1), ADA, None, start);
        door.wait(token(2), ADA, None, start);
        let later = start.plus(Micros::from_s(11));
        assert!(matches!(door.ask(token(1), later), Some(Answer::None)));
        let much_later = later.plus(Micros::from_s(11));
        assert_eq!(door.unanswered(much_later).len(), 1);
        assert!(door.ask(token(2), much_later).is_none());
        let number = door.unanswered(much_later)[0].number;
        door.answer(number, Answer::No, much_later);
        assert!(door.unanswered(much_later).is_empty());
        assert!(matches!(door.ask(token(1), much_later), Some(Answer::No)));
        assert!(door.ask(token(1), much_later.plus(ANSWER_KEPT_FOR)).is_none());
    }

    #[test]
    fn only_so_many_wait() {
        let mut door = Doorway::default();
        (0..=WAITING_MAX).for_each(|number| door.wait(token(number), ADA, None, Micros(1)));
        assert_eq!(door.unanswered(Micros(1)).len(), WAITING_MAX);
        assert!(!door.knows(token(0)));
    }

    #[test]
    fn a_wrong_tap_can_be_undone_for_ten_seconds() {
        let mut door = Doorway::default();
        let (ada, start) = (PupilIndex(0), Micros::from_s(100));
        door.sat_down(ada, TokenDigest::of(token(1)), None, start);
        assert!(door.is_fresh(ada, start.plus(Micros(UNDO_FOR.0 - 1))));
        assert!(!door.is_fresh(ada, start.plus(UNDO_FOR)));
        door.left(ada);
        assert!(!door.is_fresh(ada, start));
    }
}
