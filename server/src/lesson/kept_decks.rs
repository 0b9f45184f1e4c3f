//! Decks that teachers keep under names, for any lesson: saved, listed, deleted, and written as a file
//! to share. A deck is one line of a stream of its own, so it is kept whole or not at all; a deck saved
//! again under its name is written anew before the old one goes.

use super::hub::Hub;
use super::live_lesson::no;
use crate::deck::wishes::make;
use crate::journal::{Store, StoreError, StreamName, Urgency};
use crate::limits::workshop::{KEPT_DECKS_EACH_MAX, KEPT_DECKS_MAX};
use crate::teacher::{Owned, TeacherId};
use handround_protocol::id::KeptDeckId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::limits::DECK_NAME_CHARS_MAX;
use handround_protocol::skill::Skill;
use handround_protocol::workshop::{KeptDeck, NamedDeck};

/// All streams of kept decks begin so.
const PREFIX: &str = "kept-deck/";
/// Room for a space and a number behind a name: there are fewer decks than 1,000.
const NUMBER_CHARS: usize = 4;

fn stream(id: KeptDeckId) -> StreamName {
    StreamName(format!("{PREFIX}{id}"))
}

fn trouble(error: &StoreError) -> HttpRefusal {
    tracing::error!(%error, "a kept deck could not be written or read");
    no("The server could not write this down. Try again in a moment.")
}

/// Everybody's kept decks. A line that cannot be read, such as one of a later version, is passed over.
///
/// # Errors
/// The store's.
pub async fn all(store: &dyn Store) -> Result<Vec<Owned<KeptDeck>>, StoreError> {
    let mut decks = Vec::new();
    for stream in store.streams(PREFIX).await? {
        decks.extend(read(store, stream).await?);
    }
    Ok(decks)
}

/// Deletes a kept deck.
///
/// # Errors
/// The store's.
pub async fn delete(store: &dyn Store, id: KeptDeckId) -> Result<(), StoreError> {
    store.delete(stream(id)).await
}

impl Hub {
    /// The decks that a teacher keeps, by name.
    ///
    /// # Errors
    /// The store's trouble. A line that cannot be read, such as one of a later version, is passed over.
    pub async fn kept_decks(&self, teacher: TeacherId) -> Result<Vec<KeptDeck>, HttpRefusal> {
        let all = all(self.store()).await.map_err(|error| trouble(&error))?;
        let own = all.into_iter().filter(|deck| deck.owner == teacher).map(|deck| deck.kept);
        let mut decks: Vec<KeptDeck> = own.collect();
        decks.sort_by_key(|deck| deck.kept.name.to_lowercase());
        Ok(decks)
    }

    /// Keeps a deck. One that was kept under the same name is replaced, or the new one gets a name with
    /// a number.
    ///
    /// # Errors
    /// One plain sentence: the name, a deck that cannot be made, or too many decks.
    pub async fn keep_deck(
        &self,
        teacher: TeacherId,
        deck: NamedDeck,
        replace: bool,
    ) -> Result<KeptDeck, HttpRefusal> {
        let name = deck.name.trim().to_owned();
        if name.is_empty() {
            return Err(no("Give the deck a name."));
        }
        if name.chars().count() > DECK_NAME_CHARS_MAX || name.chars().any(char::is_control) {
            return Err(no("Give the deck a shorter name, on one line."));
        }
        if deck.deck.skill == Skill::OurClass {
            return Err(no("A deck of the class's names stays in its lesson and is not kept."));
        }
        let material = self.material(teacher, deck.deck.skill, None).await?;
        make(&deck.deck, material.lend(), [0; 32]).map_err(|error| no(error.to_string()))?;
        // One after the other, so that a name is never kept twice.
        let _one_after_the_other = self.keeping().await;
        let all = all(self.store()).await.map_err(|error| trouble(&error))?;
        let before: Vec<&KeptDeck> =
            all.iter().filter(|deck| deck.owner == teacher).map(|deck| &deck.kept).collect();
        let is_kept = |name: &str| before.iter().any(|one| one.kept.name == name);
        let name = if replace || !is_kept(&name) {
            name
        } else {
            let short: String = name.chars().take(DECK_NAME_CHARS_MAX - NUMBER_CHARS).collect();
            let mut numbered = (2..).map(|number| format!("{short} {number}"));
            numbered.find(|name| !is_kept(name)).unwrap_or(name)
        };
        if before.len() >= KEPT_DECKS_EACH_MAX && !is_kept(&name) {
            return Err(no("As many decks are kept as there is room for. Delete one first."));
        }
        if all.len() >= KEPT_DECKS_MAX && !is_kept(&name) {
            return Err(no("This server keeps as many decks as it can. Ask who looks after it."));
        }
        let kept = KeptDeck { id: KeptDeckId(self.new_id()), kept: NamedDeck { name, ..deck } };
        let owned = Owned { owner: teacher, kept: &kept };
        let line = super::lesson_log::write_line(&owned).map_err(|error| trouble(&error))?;
        let written = self.store().append(stream(kept.id), 0, vec![line], Urgency::Group).await;
        written.map_err(|error| trouble(&error))?;
        for old in before.iter().filter(|old| old.kept.name == kept.kept.name) {
            delete(self.store(), old.id).await.map_err(|error| trouble(&error))?;
        }
        Ok(kept)
    }

    /// A deck that is kept.
    ///
    /// # Errors
    /// One plain sentence: no such deck.
    pub async fn kept_deck(
        &self,
        teacher: TeacherId,
        id: KeptDeckId,
    ) -> Result<NamedDeck, HttpRefusal> {
        let found = read(self.store(), stream(id)).await.map_err(|error| trouble(&error))?;
        let own = found.filter(|deck| deck.owner == teacher);
        own.map(|deck| deck.kept.kept).ok_or_else(|| no("This deck is not kept any more."))
    }

    /// Forgets a deck. Lessons that use it have their own copy.
    ///
    /// # Errors
    /// One plain sentence: no such deck.
    pub async fn forget_deck(&self, teacher: TeacherId, id: KeptDeckId) -> Result<(), HttpRefusal> {
        self.kept_deck(teacher, id).await?;
        delete(self.store(), id).await.map_err(|error| trouble(&error))
    }
}

async fn read(
    store: &dyn Store,
    stream: StreamName,
) -> Result<Option<Owned<KeptDeck>>, StoreError> {
    let lines = store.read(stream.clone()).await?;
    let deck = lines.last().and_then(|line| serde_json::from_str(line).ok());
    if deck.is_none() && !lines.is_empty() {
        tracing::warn!(stream = stream.0, "a kept deck cannot be read");
    }
    Ok(deck)
}
