//! The hub's half of a substitute's link: the lesson that a code opens today.

use super::{DoorNo, Hub, SlotAt, carry_out};
use crate::lesson::clock::Clock;
use crate::lesson::lesson_log::TokenDigest;
use crate::lesson::live_lesson::{LiveLesson, no};
use crate::lesson::substitute::{self, LentShown, NotNow, Pass};
use crate::teacher::TeacherId;
use handround_protocol::close::Close;
use handround_protocol::id::{LessonId, Token};
use handround_protocol::join::HttpRefusal;
use handround_protocol::picture::Picture;
use handround_protocol::refusal::Refusal;
use handround_protocol::substitute::{
    SubstituteAsk, SubstituteDay, SubstituteDoor, SubstituteLink, SubstituteSays,
};
use handround_protocol::view::{BoardView, WallView};
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::watch;

/// A substitute's page that is let in.
pub struct SubstituteIn {
    /// What its wishes are about.
    pub seat: SubstituteSeatAt,
    /// The board that its page is drawn from.
    pub board: watch::Receiver<Arc<BoardView>>,
    /// The ways in that it shows.
    pub lent: LentShown,
    /// Ends when the link does.
    pub term: Term,
}

/// A wall display that was opened from a substitute's page.
pub struct LentWall {
    /// The wall, still with the teacher's ways in.
    pub wall: watch::Receiver<Arc<WallView>>,
    /// Those that it shows.
    pub lent: LentShown,
    /// Ends when the link does.
    pub term: Term,
}

/// The lesson, and the link that led there.
#[derive(Clone, Copy)]
pub struct SubstituteSeatAt {
    lesson: LessonId,
    digest: TokenDigest,
}

/// How long a link goes on opening the lesson.
pub struct Term {
    pass: watch::Receiver<Option<Pass>>,
    mine: Pass,
    clock: Clock,
}

/// Between two looks at the calendar, which may jump where a machine slept.
const LOOK_GAP: Duration = Duration::from_secs(60);

impl Term {
    /// Waits until the link was withdrawn or its day is over. May be dropped and asked again.
    pub async fn is_over(&mut self) {
        let (pass, mine, clock) = (&mut self.pass, self.mine, self.clock);
        let withdrawn = async {
            // Without a sender the lesson has ended, which its board tells.
            if pass.wait_for(|pass| *pass != Some(mine)).await.is_err() {
                std::future::pending::<()>().await;
            }
        };
        let day_over = async {
            while mine.is_on(clock.today()) != Err(NotNow::Late) {
                let left = Duration::from_micros(mine.day.until.since(clock.today()).0);
                tokio::time::sleep(left.min(LOOK_GAP)).await;
            }
        };
        tokio::select! {
            () = withdrawn => {}
            () = day_over => {}
        }
    }
}

impl Hub {
    /// Gives a lesson's link for one day.
    ///
    /// # Errors
    /// One plain sentence: no such lesson, or no such day.
    pub async fn give_substitute(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        day: SubstituteDay,
    ) -> Result<SubstituteLink, HttpRefusal> {
        // No lesson must get the same row meanwhile.
        let _one_after_the_other = self.inner.making.lock().await;
        let live = self.known_lesson(teacher, lesson)?;
        let others = self.all_lessons();
        let taken = |row: &[Picture]| others.iter().any(|lesson| lesson.holds_row(row));
        live.give_substitute(&self.inner.public_url, day, taken).await
    }

    /// The day of the link that stands, if there is one whose day is not over.
    ///
    /// # Errors
    /// One plain sentence: no such lesson.
    pub fn substitute_day(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<Option<SubstituteDay>, HttpRefusal> {
        let pass = *self.known_lesson(teacher, lesson)?.pass().borrow();
        let stands = |pass: &Pass| pass.is_on(self.today()) != Err(NotNow::Late);
        Ok(pass.filter(stands).map(|pass| pass.day))
    }

    /// Withdraws it.
    ///
    /// # Errors
    /// One plain sentence: no such lesson.
    pub async fn withdraw_substitute(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<(), HttpRefusal> {
        self.known_lesson(teacher, lesson)?.withdraw_substitute().await
    }

    /// Lets a substitute's page in.
    ///
    /// # Errors
    /// `UnknownCredential`: not today, or none of ours.
    pub fn connect_substitute(&self, code: Token) -> Result<SubstituteIn, Close> {
        let (live, opened) = self.opened(code).ok_or(Close::UnknownCredential)?;
        let mine = opened.map_err(|_| Close::UnknownCredential)?;
        let lent = mine.lends.ok_or(Close::UnknownCredential)?;
        Ok(SubstituteIn {
            seat: SubstituteSeatAt { lesson: live.id(), digest: mine.digest },
            board: live.board(),
            lent: lent.shown(&self.inner.public_url),
            term: Term { pass: live.pass(), mine, clock: self.inner.clock },
        })
    }

    /// The wall display that a secret opens which a substitute's page shows.
    pub fn lent_wall(&self, token: Token) -> Option<LentWall> {
        self.all_lessons().into_iter().find_map(|live| {
            let (wall, mine, lent) = live.lent_wall(token)?;
            let term = Term { pass: live.pass(), mine, clock: self.inner.clock };
            Some(LentWall { wall, lent: lent.shown(&self.inner.public_url), term })
        })
    }

    /// The slot for playing of the lesson that a code opens.
    ///
    /// # Errors
    /// The code opens nothing any more, or nothing now.
    pub fn substitute_slot(&self, code: Token) -> Result<SlotAt, DoorNo> {
        self.good_today(code).map(|(live, _)| SlotAt::new(live))
    }

    /// A substitute's wish.
    ///
    /// # Errors
    /// The friendly no, for its page.
    pub async fn substitute_says(
        &self,
        SubstituteSeatAt { lesson, digest }: SubstituteSeatAt,
        says: SubstituteSays,
    ) -> Result<(), Refusal> {
        // The page of a link that was withdrawn is about to be closed; a wish may be on the way.
        let live = self.lesson(lesson).ok_or(Refusal::NoSuchTable)?;
        match live.opens(digest) {
            Some(Ok(_)) => carry_out(async move { live.says(substitute::wish(says)).await }).await,
            _ => Err(Refusal::NoSuchTable),
        }
    }

    /// Who waits at the door of the lesson that a code opens, after an answer if there is one.
    ///
    /// # Errors
    /// The code opens nothing any more, or nothing now, or nobody waits there any more.
    pub async fn substitute_door(&self, ask: SubstituteAsk) -> Result<SubstituteDoor, DoorNo> {
        let (live, pass) = self.good_today(ask.code)?;
        if let Some(answer) = ask.answer {
            live.answer(answer.number, answer.admit).await.map_err(DoorNo::NotNow)?;
        }
        Ok(SubstituteDoor { day: pass.day, waiting: live.waiting().await })
    }

    /// The lesson that a code opens now, or why it opens none.
    fn good_today(&self, code: Token) -> Result<(Arc<LiveLesson>, Pass), DoorNo> {
        let gone = |words: &str| DoorNo::Gone(no(words));
        let unknown = || gone("This link is not used any more. Ask at the school's office.");
        let (live, opened) = self.opened(code).ok_or_else(unknown)?;
        match opened {
            Ok(pass) => Ok((live, pass)),
            Err(NotNow::Early) => {
                Err(DoorNo::NotNow(no("This link is for another day. Open it on that day.")))
            }
            Err(NotNow::Late) => Err(gone("The day of this link is over.")),
        }
    }

    /// The lesson whose link this is, and whether it is open now.
    fn opened(&self, code: Token) -> Option<(Arc<LiveLesson>, Result<Pass, NotNow>)> {
        let digest = TokenDigest::of(code);
        self.all_lessons().into_iter().find_map(|live| {
            let opened = live.opens(digest)?;
            Some((live, opened))
        })
    }
}
