//! How the next games are played: the lesson's plan, and decks of single tables. A deck is made, written
//! down and put on the shelf before the lesson's journal names it.

use super::super::decks::{self, DeckNote, HeldMaterial, same_deck};
use super::super::lesson_log::{DeckMade, LessonEvent, Record};
use super::super::own_decks::own_deck;
use super::{LiveLesson, no, sentence, write_sheet};
use crate::deck::DeckError;
use crate::game::Rules;
use crate::limits::lesson::LESSON_DECKS_MAX;
use handround_protocol::id::{DeckId, TableId};
use handround_protocol::join::HttpRefusal;
use handround_protocol::refusal::Refusal;
use handround_protocol::view::LessonPlan;
use handround_protocol::wishes::DeckPlan;

/// Why the next games cannot be played so.
#[derive(Debug)]
pub enum PlanNo {
    /// No such deck can be made.
    Deck(DeckError),
    /// The lesson has made as many decks as it may.
    TooManyDecks,
    /// The rules' no.
    Refused(Refusal),
}

impl PlanNo {
    /// As a device on the wire reads it.
    pub fn refusal(self) -> Refusal {
        match self {
            PlanNo::Deck(_) | PlanNo::TooManyDecks => Refusal::DeckNotPossible,
            PlanNo::Refused(refusal) => refusal,
        }
    }

    /// As the teacher reads it.
    pub fn told(self) -> HttpRefusal {
        no(match self {
            PlanNo::Deck(error) => error.to_string(),
            PlanNo::TooManyDecks => {
                "This lesson has used as many decks as it can hold. Make a new lesson.".to_owned()
            }
            PlanNo::Refused(Refusal::DeckTooSmall { serves }) => format!(
                "The deck is too small for your largest table: it serves up to {serves} seats. Use \
                 more groups."
            ),
            PlanNo::Refused(Refusal::RuleNotPlayable) => {
                "This rule cannot be played: a word has 3 to 6 letters, a game 1 to 20 rounds, a hint \
                 comes after 3 to 60 seconds, and 1 to 5 cards wait in a tray."
                    .to_owned()
            }
            PlanNo::Refused(refusal) => sentence(&refusal.to_string()),
        })
    }
}

impl From<Refusal> for PlanNo {
    fn from(refusal: Refusal) -> PlanNo {
        PlanNo::Refused(refusal)
    }
}

impl LiveLesson {
    /// How the next game of every table is to be played. A new deck also ends decks of single tables.
    ///
    /// # Errors
    /// Why it cannot be played so; nothing has changed then.
    pub async fn change_plan(&self, plan: LessonPlan) -> Result<(), PlanNo> {
        let mut book = self.book.lock().await;
        let seats = largest_table(&book.record);
        let (made, mut events) = self.deck_for(&book.record, &plan, seats).await?;
        let deck = made.deck;
        events.push(LessonEvent::PlanChanged { plan, deck });
        self.write(&mut book, events).await.map_err(|_| Refusal::ServerTrouble)?;
        self.announce(&book.record, &made).await;
        Ok(())
    }

    /// Another deck for the next games of one table or, without a table, of all. Without a deck a
    /// table plays with the lesson's again.
    ///
    /// # Errors
    /// Why it cannot be played so; nothing has changed then.
    pub async fn use_deck(
        &self,
        table: Option<TableId>,
        deck: Option<DeckPlan>,
    ) -> Result<(), PlanNo> {
        let Some(table) = table else {
            let plan = self.book.lock().await.record.plan.clone();
            return match deck {
                Some(deck) => self.change_plan(plan.with_deck(deck)).await,
                None => Ok(()),
            };
        };
        let mut book = self.book.lock().await;
        let laid = book.record.tables.iter().find(|laid| laid.table == table);
        let seats = laid.ok_or(Refusal::NoSuchTable)?.seats.len();
        let plan = match deck {
            Some(deck) => book.record.plan.clone().with_deck(deck),
            None => book.record.plan.clone(),
        };
        let (made, mut events) = self.deck_for(&book.record, &plan, seats).await?;
        let own = (Some(made.deck) != book.record.next_deck()).then_some(made.deck);
        events.push(LessonEvent::TableDeckChosen { table, deck: own });
        self.write(&mut book, events).await.map_err(|_| Refusal::ServerTrouble)?;
        self.announce(&book.record, &made).await;
        Ok(())
    }

    /// Lays a deck on each table of a fresh lesson that has one, in the order of the tables.
    ///
    /// # Errors
    /// Why one of them cannot be played; the tables before it have theirs then.
    pub async fn lay_decks(&self, decks: Vec<Option<DeckPlan>>) -> Result<(), PlanNo> {
        let tables: Vec<TableId> =
            self.book.lock().await.record.tables.iter().map(|laid| laid.table).collect();
        for (table, deck) in tables.into_iter().zip(decks) {
            if deck.is_some() {
                self.use_deck(Some(table), deck).await?;
            }
        }
        Ok(())
    }

    /// The deck that serves a plan, an old one if it can be, and what the journal has to learn of it.
    async fn deck_for(
        &self,
        record: &Record,
        plan: &LessonPlan,
        seats: usize,
    ) -> Result<(DeckMade, Vec<LessonEvent>), PlanNo> {
        if let Some(made) = record.decks.iter().find(|made| same_deck(&made.plan, plan)) {
            check_plan(plan, made, seats)?;
            return Ok((made.clone(), Vec::new()));
        }
        if record.decks.len() >= LESSON_DECKS_MAX {
            return Err(PlanNo::TooManyDecks);
        }
        let randomness = &self.surroundings.randomness;
        let deck = DeckId(randomness.uuid());
        let own = own_deck(&*self.surroundings.store, self.owner, plan.skill).await;
        let own = own.map_err(|_| Refusal::ServerTrouble)?;
        let material = HeldMaterial::new(&record.pupils, own);
        let (made, sheet) =
            decks::make(plan, material.lend(), deck, randomness.bytes()).map_err(PlanNo::Deck)?;
        check_plan(plan, &made, seats)?;
        write_sheet(&self.surroundings, &sheet).await.map_err(|_| Refusal::ServerTrouble)?;
        Ok((made.clone(), vec![LessonEvent::DeckMade(made)]))
    }

    /// Tells every table its next deck, so that devices load the faces early.
    async fn announce(&self, record: &Record, made: &DeckMade) {
        self.surroundings.shelf.put(made);
        for (table, handle) in &self.tables {
            if let Some(deck) = record.next_deck_of(*table) {
                handle.next_deck(deck).await;
            }
        }
    }
}

fn largest_table(record: &Record) -> usize {
    record.tables.iter().map(|table| table.seats.len()).max().unwrap_or(0)
}

/// Whether the rules can be played and the deck serves a table of so many seats.
///
/// # Errors
/// The rules' no.
pub fn check_plan(plan: &LessonPlan, deck: &DeckMade, seats: usize) -> Result<(), Refusal> {
    Rules::from_plan(plan).check()?;
    DeckNote::from(deck).cards.check(seats)
}
