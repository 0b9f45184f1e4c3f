//! Decks that teachers made themselves, kept with their pictures for any lesson. A deck stands in two
//! streams of one line each: the deck, and then what a list says of it, so that a deck is listed only
//! once all of it is kept.

use super::decks::HeldMaterial;
use super::hub::Hub;
use super::lesson_log::write_line;
use super::live_lesson::no;
use crate::deck::own::OwnDeck;
use crate::journal::{Store, StoreError, StreamName, Urgency};
use crate::limits::workshop::OWN_DECKS_MAX;
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

/// What a deck of this skill is made of beside its plan. A deck that is gone is missing, and the deck
/// maker says so.
///
/// # Errors
/// The store's.
pub async fn own_deck(store: &dyn Store, skill: Skill) -> Result<Option<OwnDeck>, StoreError> {
    let Skill::OwnDeck { deck } = skill else { return Ok(None) };
    let lines = store.read(deck_stream(deck)).await?;
    Ok(lines.first().and_then(|line| serde_json::from_str(line).ok()))
}

impl Hub {
    /// What a deck of this skill is made of beside its plan: the lesson's names, the own deck.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn material(
        &self,
        skill: Skill,
        lesson: Option<LessonId>,
    ) -> Result<HeldMaterial, HttpRefusal> {
        let own = own_deck(self.store(), skill).await.map_err(|error| trouble(&error))?;
        let class = match (skill, lesson) {
            (Skill::OurClass, Some(lesson)) => self.pupils(lesson).await,
            _ => Vec::new(),
        };
        Ok(HeldMaterial::new(&class, own))
    }

    /// The own decks that are kept, by name.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn own_decks(&self) -> Result<Vec<OwnDeckLine>, HttpRefusal> {
        let mut decks: Vec<OwnDeckLine> = Vec::new();
        let streams = self.store().streams(LIST).await.map_err(|error| trouble(&error))?;
        for stream in streams {
            let lines = self.store().read(stream).await.map_err(|error| trouble(&error))?;
            decks.extend(lines.first().and_then(|line| serde_json::from_str(line).ok()));
        }
        decks.sort_by_key(|deck| deck.name.to_lowercase());
        Ok(decks)
    }

    /// Keeps an own deck that was read and checked. One of the same name stays beside it, since lessons
    /// and kept decks may name it.
    ///
    /// # Errors
    /// One plain sentence: too many decks, or the store's trouble.
    pub async fn keep_own_deck(&self, deck: &OwnDeck) -> Result<OwnDeckLine, HttpRefusal> {
        let _one_after_the_other = self.keeping().await;
        self.write_own_deck(deck).await
    }

    /// Writes an own deck down; the caller holds `keeping`.
    pub(super) async fn write_own_deck(&self, deck: &OwnDeck) -> Result<OwnDeckLine, HttpRefusal> {
        if self.own_decks().await?.len() >= OWN_DECKS_MAX {
            return Err(no("As many own decks are kept as there is room for. Delete one first."));
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
            let text = write_line(&line)?;
            self.store().append(line_stream(line.id), 0, vec![text], Urgency::Group).await
        };
        written.await.map_err(|error| trouble(&error))?;
        Ok(line)
    }

    /// The kept own deck with just these cards, so that a file that is opened twice is kept once.
    pub(super) async fn same_own_deck(
        &self,
        deck: &OwnDeck,
    ) -> Result<Option<OwnDeckId>, HttpRefusal> {
        for line in self.own_decks().await?.into_iter().filter(|line| line.name == deck.name) {
            let skill = Skill::OwnDeck { deck: line.id };
            let kept = own_deck(self.store(), skill).await.map_err(|error| trouble(&error))?;
            if kept.as_ref() == Some(deck) {
                return Ok(Some(line.id));
            }
        }
        Ok(None)
    }

    /// Forgets an own deck. Lessons that use it have their own copy of its cards.
    ///
    /// # Errors
    /// One plain sentence: no such deck.
    pub async fn forget_own_deck(&self, id: OwnDeckId) -> Result<(), HttpRefusal> {
        if !self.own_decks().await?.iter().any(|deck| deck.id == id) {
            return Err(no("This deck is not kept any more."));
        }
        let gone = async {
            self.store().delete(line_stream(id)).await?;
            self.store().delete(deck_stream(id)).await
        };
        gone.await.map_err(|error| trouble(&error))
    }

    /// An own deck as a file to share, pictures inside.
    ///
    /// # Errors
    /// One plain sentence: no such deck.
    pub async fn own_deck_file(&self, id: OwnDeckId) -> Result<(String, Vec<u8>), HttpRefusal> {
        let skill = Skill::OwnDeck { deck: id };
        let found = own_deck(self.store(), skill).await.map_err(|error| trouble(&error))?;
        let deck = found.ok_or_else(|| no("This deck is not kept any more."))?;
        let file = deck.save().map_err(|error| no(error.to_string()))?;
        Ok((deck.name, file))
    }
}
