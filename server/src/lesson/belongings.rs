//! What a teacher has in a store, in numbers: for whoever is about to remove her account. It reads and
//! changes nothing, so it may look beside a running server.

use super::lesson_log::{LESSONS, LessonLog};
use super::{classes, kept_decks, own_decks};
use crate::journal::{Store, StoreError};
use crate::teacher::TeacherId;
use std::fmt;

/// How much there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Belongings {
    classes: usize,
    lessons: usize,
    decks: usize,
}

impl Belongings {
    /// There is nothing.
    pub fn is_nothing(&self) -> bool {
        self.classes + self.lessons + self.decks == 0
    }
}

impl fmt::Display for Belongings {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Belongings { classes, lessons, decks } = self;
        write!(f, "classes: {classes}, lessons: {lessons}, decks: {decks}")
    }
}

/// Counts what a teacher has. A lesson whose journal cannot be read counts for nobody.
///
/// # Errors
/// The store's.
pub async fn belongings(store: &dyn Store, teacher: TeacherId) -> Result<Belongings, StoreError> {
    let classes = classes::read_all(store).await?;
    let classes = classes.iter().filter(|class| class.owner == teacher).count();
    let mut lessons = 0;
    for stream in store.streams(LESSONS).await? {
        let read = LessonLog::read(store, stream).await;
        lessons += usize::from(read.is_ok_and(|(record, ..)| record.made.owner == teacher));
    }
    let kept = kept_decks::all(store).await?;
    let own = own_decks::all(store).await?;
    let decks = kept.iter().filter(|deck| deck.owner == teacher).count()
        + own.iter().filter(|deck| deck.owner == teacher).count();
    Ok(Belongings { classes, lessons, decks })
}
