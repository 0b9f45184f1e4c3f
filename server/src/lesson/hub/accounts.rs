//! The hub's half for accounts: who has one, and what becomes of the things of a teacher who has none any
//! more.

use super::Hub;
use crate::account::{self, Account};
use crate::journal::StoreError;
use crate::lesson::{classes, kept_decks, own_decks};
use crate::teacher::TeacherId;
use handround_protocol::message::BoardSays;

impl Hub {
    /// All accounts.
    ///
    /// # Errors
    /// The store's.
    pub async fn accounts(&self) -> Result<Vec<Account>, StoreError> {
        account::read_all(self.store()).await
    }

    /// Ends and deletes what belongs to teachers whose account was removed. What this machine's own
    /// teacher made stays. Where the store fails, the rest goes with the next look for old classes.
    pub async fn forget_those_gone(&self) {
        if let Err(error) = self.try_to_forget_those_gone().await {
            tracing::error!(%error, "what belongs to removed accounts cannot be deleted yet");
        }
    }

    async fn try_to_forget_those_gone(&self) -> Result<(), StoreError> {
        let store = self.store();
        let known = account::teachers(store).await?;
        let gone = |owner: TeacherId| owner != TeacherId::THIS_MACHINE && !known.contains(&owner);
        for lesson in self.all_lessons().into_iter().filter(|lesson| gone(lesson.owner())) {
            if lesson.says(BoardSays::EndLesson).await.is_ok() {
                self.close(&lesson);
            }
        }
        let mut forgotten = 0;
        for kept in classes::read_all(store).await?.iter().filter(|kept| gone(kept.owner)) {
            let _one_after_the_other = self.inner.making.lock().await;
            forgotten += usize::from(self.delete_unless_played(kept.class).await.is_ok());
        }
        let _one_after_the_other = self.keeping().await;
        for deck in kept_decks::all(store).await?.iter().filter(|deck| gone(deck.owner)) {
            kept_decks::delete(store, deck.kept.id).await?;
            forgotten += 1;
        }
        for deck in own_decks::all(store).await?.iter().filter(|deck| gone(deck.owner)) {
            own_decks::delete(store, deck.kept.id).await?;
            forgotten += 1;
        }
        if forgotten > 0 {
            tracing::info!(forgotten, "classes and decks of removed accounts were deleted");
        }
        Ok(())
    }
}
