//! What the teacher puts on the wall: four cards that match, or the model table. It is a lesson's passing
//! show: not written down, and gone with a restart. Nothing here knows whose cards they were.

use super::LiveLesson;
use crate::game::rules::GameDeck;
use crate::lesson::model_table::model_table;
use handround_protocol::hand::four_alike;
use handround_protocol::id::{DeckId, FaceIndex, GroupIndex, TableId};
use handround_protocol::limits::HAND_CARDS;
use handround_protocol::refusal::Refusal;
use handround_protocol::wall::{WallFour, WallModel, WallSays, WallShows};
use std::collections::BTreeSet;
use std::sync::{Mutex, MutexGuard, PoisonError};
use tokio::sync::watch;

/// What lies ready for the wall, and what it shows.
pub struct WallDesk {
    shows: watch::Sender<WallShows>,
    ready: Mutex<Ready>,
}

#[derive(Default)]
struct Ready {
    deck: Option<DeckId>,
    four: Vec<FaceIndex>,
    steps: Vec<WallModel>,
}

impl WallDesk {
    /// An empty desk and what its wall shows.
    pub fn new() -> (WallDesk, watch::Receiver<WallShows>) {
        let (shows, reader) = watch::channel(WallShows::default());
        (WallDesk { shows, ready: Mutex::default() }, reader)
    }

    /// Holds whole values that no panic leaves half changed. Never held over a wait.
    fn ready(&self) -> MutexGuard<'_, Ready> {
        self.ready.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn put_four(&self, deck: DeckId, four: Vec<FaceIndex>) {
        let cards = four.iter().copied().map(Some).collect();
        *self.ready() = Ready { deck: Some(deck), four, steps: Vec::new() };
        self.shows.send_replace(WallShows { four: Some(WallFour { deck, cards }), model: None });
    }

    /// All four, or all but one.
    fn turn(&self, hidden: Option<usize>) -> Result<(), Refusal> {
        let ready = self.ready();
        let deck = ready.deck.ok_or(Refusal::NothingToShow)?;
        if hidden.is_some_and(|place| place >= ready.four.len()) {
            return Err(Refusal::NothingToShow);
        }
        let card = |(place, face): (usize, &FaceIndex)| (hidden != Some(place)).then_some(*face);
        let cards = ready.four.iter().enumerate().map(card).collect();
        self.shows.send_replace(WallShows { four: Some(WallFour { deck, cards }), model: None });
        Ok(())
    }

    fn put_model(&self, steps: Vec<WallModel>) {
        let model = steps.first().cloned();
        *self.ready() = Ready { steps, ..Ready::default() };
        self.shows.send_replace(WallShows { four: None, model });
    }

    /// The step at this place, counted from 0, of what is on the wall.
    fn step_to(&self, place: impl Fn(usize) -> usize) -> Result<(), Refusal> {
        let ready = self.ready();
        let now = self.shows.borrow().model.as_ref().map(|model| usize::from(model.step) - 1);
        let place = place(now.ok_or(Refusal::NothingToShow)?).min(ready.steps.len() - 1);
        self.shows.send_replace(WallShows { four: None, model: Some(ready.steps[place].clone()) });
        Ok(())
    }

    fn clear(&self) {
        *self.ready() = Ready::default();
        self.shows.send_replace(WallShows::default());
    }

    /// The lesson plays: the model has done its work.
    pub fn play_begins(&self) {
        if self.shows.borrow().model.is_some() {
            self.clear();
        }
    }
}

impl LiveLesson {
    /// A wish for the wall.
    pub(super) async fn wall_says(&self, says: WallSays) -> Result<(), Refusal> {
        match says {
            WallSays::Four { deck, faces } => self.show_four(deck, faces),
            WallSays::LastFour { table } => self.show_last_four(table).await,
            WallSays::Hide { place } => self.desk.turn(Some(usize::from(place))),
            WallSays::ShowAll => self.desk.turn(None),
            WallSays::ModelOpen => self.open_model().await,
            WallSays::ModelNext => self.desk.step_to(|now| now + 1),
            WallSays::ModelBack => self.desk.step_to(|_| 0),
            WallSays::TakeOff => {
                self.desk.clear();
                Ok(())
            }
        }
    }

    fn show_four(&self, deck: DeckId, faces: Vec<FaceIndex>) -> Result<(), Refusal> {
        let note = self.surroundings.shelf.get(deck).ok_or(Refusal::NothingToShow)?;
        let group = |face: &FaceIndex| note.cards.groups.get(usize::from(face.0)).copied();
        let groups: Option<Vec<GroupIndex>> = faces.iter().map(group).collect();
        let different = faces.iter().collect::<BTreeSet<_>>().len() == HAND_CARDS;
        let alike = groups.is_some_and(|groups| four_alike(&groups).is_some());
        if faces.len() != HAND_CARDS || !different || !alike {
            return Err(Refusal::NoFourAlike);
        }
        self.desk.put_four(deck, faces);
        Ok(())
    }

    async fn show_last_four(&self, table: TableId) -> Result<(), Refusal> {
        let handle = self.table(table).ok_or(Refusal::NoSuchTable)?;
        let (deck, mut four) = handle.last_four().await.ok_or(Refusal::NothingToShow)?;
        // In the sheet's order: even the order in a hand is nobody else's business.
        four.sort_unstable();
        self.show_four(deck, four)
    }

    async fn open_model(&self) -> Result<(), Refusal> {
        let (note, ages) = {
            let book = self.book.lock().await;
            let deck = book.record.next_deck().ok_or(Refusal::NothingToShow)?;
            (
                self.surroundings.shelf.get(deck).ok_or(Refusal::NothingToShow)?,
                book.record.plan.ages,
            )
        };
        let cards: GameDeck = note.cards.clone();
        // A few dozen simulated rounds at the most: not for a thread that serves sockets.
        let steps = tokio::task::spawn_blocking(move || model_table(&cards, ages)).await;
        self.desk.put_model(steps.map_err(|_| Refusal::ServerTrouble)??);
        Ok(())
    }
}
