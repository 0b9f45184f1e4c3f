//! The slot for playing: when it ends, what still fits into it by simulation, when to ring the bell. The end
//! is written down; how long rounds take is simulated anew after a restart.

use super::super::decks::HeldMaterial;
use super::super::lesson_log::{DeckMade, LessonEvent};
use super::super::own_decks::own_deck;
use super::{LiveLesson, no, trouble};
use crate::deck::from_plan_with;
use crate::deck_length::{Asked, Lengths, SLOT_MINUTES_RANGE, for_page, lengths, said, still_fits};
use crate::limits::lesson::SLOT_DECKS_MAX;
use handround_protocol::id::DeckId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{LessonPlan, Phase};
use handround_protocol::workshop::SlotTold;
use std::collections::BTreeMap;
use std::sync::{MutexGuard, PoisonError};

/// The cards that tables play with, each with the largest table that does, and the rules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Played {
    plan: LessonPlan,
    decks: BTreeMap<DeckId, usize>,
}

/// How long rounds take with those cards.
#[derive(Debug)]
pub struct Forecast {
    of: Played,
    lengths: Vec<Lengths>,
}

/// A forecast to be made; it takes a core for a while.
pub struct ToSimulate {
    of: Played,
    decks: Vec<(DeckMade, usize, HeldMaterial)>,
}

impl ToSimulate {
    /// Plays the games. Cards that cannot be made any more, such as those of an own deck that was
    /// deleted, say nothing.
    pub fn simulate(self) -> Forecast {
        let one = |(made, seats, material): &(DeckMade, usize, HeldMaterial)| {
            let deck = from_plan_with(&made.plan, material.lend(), made.deck, made.seed).ok()?;
            let asked = Asked { seats: *seats, ..for_page(self.of.plan.ages, &deck, 0) };
            lengths(&self.of.plan, &deck, &asked).ok()
        };
        let lengths = self.decks.iter().filter_map(one).collect();
        Forecast { of: self.of, lengths }
    }
}

impl LiveLesson {
    /// Begins a slot that ends in so many minutes, or takes it back.
    ///
    /// # Errors
    /// Too short or too long, or the store's trouble.
    pub async fn choose_slot(&self, minutes: Option<u16>) -> Result<(), HttpRefusal> {
        if minutes.is_some_and(|minutes| !SLOT_MINUTES_RANGE.contains(&minutes)) {
            return Err(no("A slot has 5 to 120 minutes."));
        }
        let now = self.surroundings.clock.now();
        let ends = minutes.map(|minutes| now.plus(Micros::from_s(60 * u64::from(minutes))));
        let mut book = self.book.lock().await;
        let chosen = vec![LessonEvent::SlotChosen { ends }];
        self.write(&mut book, chosen).await.map_err(|error| trouble(&error))
    }

    /// What has to be simulated before the slot can be told; `None` if nothing has.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn slot_to_simulate(&self) -> Result<Option<ToSimulate>, HttpRefusal> {
        let book = self.book.lock().await;
        let record = &book.record;
        if record.slot_ends.is_none() {
            return Ok(None);
        }
        // A running game keeps its cards; between games the next ones lie ready.
        let mut of = Played { plan: record.plan.clone(), decks: BTreeMap::new() };
        for table in &self.board.borrow().tables {
            let seats = of.decks.entry(table.deck).or_default();
            *seats = (*seats).max(table.seats.len());
        }
        while of.decks.len() > SLOT_DECKS_MAX {
            of.decks.pop_last();
        }
        if self.forecast().as_ref().is_some_and(|known| known.of == of) {
            return Ok(None);
        }
        let mut decks = Vec::new();
        for (deck, seats) in &of.decks {
            let Some(made) = record.decks.iter().find(|made| made.deck == *deck) else { continue };
            let own = own_deck(&*self.surroundings.store, self.owner(), made.plan.skill).await;
            let own = own.map_err(|error| trouble(&error))?;
            decks.push((made.clone(), *seats, HeldMaterial::new(&record.pupils, own)));
        }
        Ok(Some(ToSimulate { of, decks }))
    }

    /// Keeps a forecast for the next looks at the slot.
    pub fn keep_forecast(&self, forecast: Forecast) {
        *self.forecast() = Some(forecast);
    }

    /// The slot as it runs; without a forecast, only the minutes.
    pub async fn slot_told(&self) -> SlotTold {
        let Some(ends) = self.book.lock().await.record.slot_ends else {
            return SlotTold { minutes_left: None, sentence: String::new(), ring_now: false };
        };
        let left_s = ends.since(self.surroundings.clock.now()).0.div_ceil(1_000_000);
        let playing = self.board.borrow().tables.iter().any(|table| {
            !table.bell && !matches!(table.view.phase, Phase::Waiting | Phase::GameOver)
        });
        let forecast = self.forecast();
        let fits = forecast.as_ref().and_then(|known| still_fits(&known.lengths, left_s));
        let told = said(left_s, fits, playing);
        let minutes_left = u16::try_from(left_s.div_ceil(60)).unwrap_or(u16::MAX);
        SlotTold {
            minutes_left: Some(minutes_left),
            sentence: told.sentence,
            ring_now: told.ring_now,
        }
    }

    /// Holds a whole value that no panic leaves half changed. Never held over a wait.
    fn forecast(&self) -> MutexGuard<'_, Option<Forecast>> {
        self.forecast.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
