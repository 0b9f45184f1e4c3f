//! Decks that teachers made themselves, kept with their pictures for any lesson. A deck stands in two
//! streams of one line each: the deck, and then what a list says of it, so that a deck is listed only
//! once all of it is kept.

use super::decks::HeldMaterial;
use super::hub::Hub;
use super::lesson_log::write_line;
use super::live_lesson::no;
use crate::deck::own::OwnDeck;
use crate::journal::{Store, StoreError, StreamName, Urgency};
use crate::limits::workshop::{OWN_DECKS_EACH_MAX, OWN_DECKS_MAX};
use crate::teacher::{Owned, TeacherId};
use handround_protocol::id::{LessonId, OwnDeckId};
use handround_protocol::join::HttpRefusal;
use handround_protocol::skill::Skill;
use handround_protocol::workshop::OwnDeckLine;

/// All lines of lists begin so.
const LIST: &str = "own-deck-line/";

fn deck_stream(id: OwnDeckId) -> StreamName {
    StreamName(format!("own-deck/{id}"))
}

fn line_stream(id: OwnDeckId) -> StreamName {
    StreamName(format!("{LIST}{id}"))
}

fn trouble(error: &StoreError) -> HttpRefusal {
    tracing::error!(%error, "an own deck could not be written or read");
    no("The server could not write this down. Try again in a moment.")
}

/// What a deck of this skill is made of beside its plan. A deck that is gone or another teacher's is
/// missing, and the deck maker says so.
///
/// # Errors
/// The store's.
pub async fn own_deck(
    store: &dyn Store,
    teacher: TeacherId,
    skill: Skill,
) -> Result<Option<OwnDeck>, StoreError> {
    let Skill::OwnDeck { deck } = skill else { return Ok(None) };
    let listed = line(store, line_stream(deck)).await?;
    if listed.is_none_or(|line| line.owner != teacher) {
        return Ok(None);
    }
    let lines = store.read(deck_stream(deck)).await?;
    Ok(lines.first().and_then(|line| serde_json::from_str(line).ok()))
}

async fn line(
    store: &dyn Store,
    stream: StreamName,
) -> Result<Option<Owned<OwnDeckLine>>, StoreError> {
    let lines = store.read(stream).await?;
    Ok(lines.first().and_then(|line| serde_json::from_str(line).ok()))
}

/// The lines of everybody's own decks.
///
/// # Errors
/// The store's.
pub async fn all(store: &dyn Store) -> Result<Vec<Owned<OwnDeckLine>>, StoreError> {
    let mut decks = Vec::new();
    for stream in store.streams(LIST).await? {
        decks.extend(line(store, stream).await?);
    }
    Ok(decks)
}

/// Deletes an own deck, its line first.
///
/// # Errors
/// The store's.
pub async fn delete(store: &dyn Store, id: OwnDeckId) -> Result<(), StoreError> {
    store.delete(line_stream(id)).await?;
    store.delete(deck_stream(id)).await
}

impl Hub {
    /// What a deck of this skill is made of beside its plan: the lesson's names, the own deck.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn material(
        &self,
        teacher: TeacherId,
        skill: Skill,
        lesson: Option<LessonId>,
    ) -> Result<HeldMaterial, HttpRefusal> {
        let own = own_deck(self.store(), teacher, skill).await.map_err(|error| trouble(&error))?;
        let class = match (skill, lesson) {
            (Skill::OurClass, Some(lesson)) => self.pupils(teacher, lesson).await,
            _ => Vec::new(),
        };
        Ok(HeldMaterial::new(&class, own))
    }

    /// The own decks that a teacher keeps, by name.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn own_decks(&self, teacher: TeacherId) -> Result<Vec<OwnDeckLine>, HttpRefusal> {
        let all = all(self.store()).await.map_err(|error| trouble(&error))?;
        let own = all.into_iter().filter(|deck| deck.owner == teacher).map(|deck| deck.kept);
        let mut decks: Vec<OwnDeckLine> = own.collect();
        decks.sort_by_key(|deck| deck.name.to_lowercase());
        Ok(decks)
    }

    /// Keeps an own deck that was read and checked. One of the same name stays beside it, since lessons
    /// and kept decks may name it.
    ///
    /// # Errors
    /// One plain sentence: too many decks, or the store's trouble.
    pub async fn keep_own_deck(
        &self,
        teacher: TeacherId,
        deck: &OwnDeck,
    ) -> Result<OwnDeckLine, HttpRefusal> {
        let _one_after_the_other = self.keeping().await;
        let all = all(self.store()).await.map_err(|error| trouble(&error))?;
        if all.iter().filter(|deck| deck.owner == teacher).count() >= OWN_DECKS_EACH_MAX {
            return Err(no("As many own decks are kept as there is room for. Delete one first."));
        }
        if all.len() >= OWN_DECKS_MAX {
            return Err(no(
                "This server keeps as many own decks as it can. Ask who looks after it.",
            ));
        }
        let line = OwnDeckLine {
            id: OwnDeckId(self.new_id()),
            name: deck.name.clone(),
            groups: u16::try_from(deck.groups.len()).unwrap_or(u16::MAX),
            notes: deck.notes(),
        };
        let written = async {
            let text = write_line(deck)?;
            self.store().append(deck_stream(line.id), 0, vec![text], Urgency::Group).await?;
            let text = write_line(&Owned { owner: teacher, kept: &line })?;
            self.store().append(line_stream(line.id), 0, vec![text], Urgency::Group).await
        };
        written.await.map_err(|error| trouble(&error))?;
        Ok(line)
    }

    /// Forgets an own deck. Lessons that use it have their own copy of its cards.
    ///
    /// # Errors
    /// One plain sentence: no such deck.
    pub async fn forget_own_deck(
        &self,
        teacher: TeacherId,
        id: OwnDeckId,
    ) -> Result<(), HttpRefusal> {
        if !self.own_decks(teacher).await?.iter().any(|deck| deck.id == id) {
            return Err(no("This deck is not kept any more."));
        }
        delete(self.store(), id).await.map_err(|error| trouble(&error))
    }

    /// An own deck as a file to share, pictures inside.
    ///
    /// # Errors
    /// One plain sentence: no such deck.
    pub async fn own_deck_file(
        &self,
        teacher: TeacherId,
        id: OwnDeckId,
    ) -> Result<(String, Vec<u8>), HttpRefusal> {
        let skill = Skill::OwnDeck { deck: id };
        let found =
            own_deck(self.store(), teacher, skill).await.map_err(|error| trouble(&error))?;
        let deck = found.ok_or_else(|| no("This deck is not kept any more."))?;
        let file = deck.save().map_err(|error| no(error.to_string()))?;
        Ok((deck.name, file))
    }
}
