//! A lesson's link for a substitute: given, withdrawn, and asked whether it opens the lesson now.

use super::super::lesson_log::{LessonEvent, TokenDigest};
use super::super::make::free_row;
use super::super::substitute::{CameBy, Lent, NotNow, Pass, is_possible};
use super::{LiveLesson, no, trouble};
use handround_protocol::door::DoorWaiting;
use handround_protocol::id::Token;
use handround_protocol::join::HttpRefusal;
use handround_protocol::picture::Picture;
use handround_protocol::substitute::{SubstituteDay, SubstituteLink};
use handround_protocol::view::WallView;
use std::sync::Arc;
use tokio::sync::watch;

impl LiveLesson {
    /// Gives a link for one day, with ways in of its own; an earlier one opens nothing any more, nor do its
    /// ways in. `row_taken` says whether a row leads elsewhere.
    ///
    /// # Errors
    /// No such day, or the store's trouble.
    pub async fn give_substitute(
        &self,
        public_url: &str,
        day: SubstituteDay,
        row_taken: impl Fn(&[Picture]) -> bool,
    ) -> Result<SubstituteLink, HttpRefusal> {
        if !is_possible(day, self.surroundings.clock.today()) {
            return Err(no("Choose today or a day of the next four weeks."));
        }
        let secret = || Token(self.surroundings.randomness.id());
        let (code, link, wall) = (secret(), secret(), secret());
        let lent = Lent { row: free_row(&self.surroundings, row_taken), link, wall };
        let pass = Pass { digest: TokenDigest::of(code), day, lends: Some(lent) };
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

    /// What the link that is good now lends, and which link that is.
    fn lent_now(&self) -> Option<(Pass, Lent)> {
        let pass = (*self.pass.borrow())?;
        pass.is_on(self.surroundings.clock.today()).ok()?;
        Some((pass, pass.lends?))
    }

    /// Whether a row is this lesson's, or lent by its link on whatever day.
    pub fn holds_row(&self, row: &[Picture]) -> bool {
        let lent = self.pass.borrow().and_then(|pass| pass.lends);
        self.row == row || lent.is_some_and(|lent| lent.row == *row)
    }

    /// Whether this row of pictures leads here now, and whose it is.
    pub fn led_by_row(&self, row: &[Picture]) -> Option<CameBy> {
        if self.row == row {
            return Some(CameBy::Own);
        }
        let (pass, lent) = self.lent_now()?;
        (lent.row == *row).then_some(CameBy::Lent(pass.digest))
    }

    /// Whether this link leads here now, and whose it is.
    pub fn led_by_link(&self, code: Token) -> Option<CameBy> {
        if self.link == code {
            return Some(CameBy::Own);
        }
        let (pass, lent) = self.lent_now()?;
        (lent.link == code).then_some(CameBy::Lent(pass.digest))
    }

    /// Whether the way by which a device came is still one.
    pub fn leads_still(&self, by: CameBy) -> bool {
        match by {
            CameBy::Own => true,
            CameBy::Lent(digest) => self.lent_now().is_some_and(|(pass, _)| pass.digest == digest),
        }
    }

    /// The wall display by the secret that the link of today lends.
    pub fn lent_wall(&self, token: Token) -> Option<(watch::Receiver<Arc<WallView>>, Pass, Lent)> {
        let (pass, lent) = self.lent_now()?;
        let known = TokenDigest::of(token) == TokenDigest::of(lent.wall);
        known.then(|| (self.wall.clone(), pass, lent))
    }

    /// Who waits at the door for an answer.
    pub async fn waiting(&self) -> Vec<DoorWaiting> {
        self.door().await.waiting
    }
}
