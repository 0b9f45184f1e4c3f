//! A lesson's link for a substitute: given, withdrawn, and asked whether it opens the lesson now.

use super::super::lesson_log::{LessonEvent, TokenDigest};
use super::super::substitute::{NotNow, Pass, is_possible};
use super::{LiveLesson, no, trouble};
use handround_protocol::door::DoorWaiting;
use handround_protocol::id::Token;
use handround_protocol::join::HttpRefusal;
use handround_protocol::substitute::{SubstituteDay, SubstituteLink};
use tokio::sync::watch;

impl LiveLesson {
    /// Gives a link for one day; an earlier one opens nothing any more.
    ///
    /// # Errors
    /// No such day, or the store's trouble.
    pub async fn give_substitute(
        &self,
        public_url: &str,
        day: SubstituteDay,
    ) -> Result<SubstituteLink, HttpRefusal> {
        if !is_possible(day, self.surroundings.clock.today()) {
            return Err(no("Choose today or a day of the next four weeks."));
        }
        let code = Token(self.surroundings.randomness.id());
        let pass = Pass { digest: TokenDigest::of(code), day };
        self.write_substitute(Some(pass)).await?;
        Ok(SubstituteLink { url: format!("{public_url}/substitute#{code}"), day })
    }

    /// Withdraws the link; its page is closed.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn withdraw_substitute(&self) -> Result<(), HttpRefusal> {
        self.write_substitute(None).await
    }

    async fn write_substitute(&self, pass: Option<Pass>) -> Result<(), HttpRefusal> {
        let mut book = self.book.lock().await;
        let given = LessonEvent::SubstituteGiven { pass };
        self.write(&mut book, vec![given]).await.map_err(|error| trouble(&error))?;
        self.pass.send_replace(pass);
        Ok(())
    }

    /// The link that stands.
    pub fn pass(&self) -> watch::Receiver<Option<Pass>> {
        self.pass.subscribe()
    }

    /// Whether this link opens the lesson now; `None` if it is no link of this lesson.
    pub fn opens(&self, digest: TokenDigest) -> Option<Result<Pass, NotNow>> {
        let pass = (*self.pass.borrow()).filter(|pass| pass.digest == digest)?;
        Some(pass.is_on(self.surroundings.clock.today()).map(|()| pass))
    }

    /// Who waits at the door for an answer.
    pub async fn waiting(&self) -> Vec<DoorWaiting> {
        self.door().await.waiting
    }
}
