//! A lesson's own journal: what was made, who holds which place, and how the next game is played.
//! Outcomes only, like a table's journal; variants are only appended. Secrets of seats are kept as
//! digests; the join link and the wall's secret are shown on the teacher's page and kept as they
//! are.

use super::class_list::Pupil;
use super::groups::Apart;
use super::substitute::Pass;
use crate::game::{By, SeatPlan};
use crate::journal::{Store, StoreError, StreamName, Urgency};
use crate::teacher::TeacherId;
use handround_protocol::door::Admit;
use handround_protocol::id::{
    ClassId, DeckId, GroupIndex, LessonId, PupilIndex, SeatIndex, TableId, Token,
};
use handround_protocol::picture::Picture;
use handround_protocol::support::Support;
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, LessonPlan};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeMap;

/// The SHA-256 of a seat's secret. The secret has 128 random bits, so no salt is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct TokenDigest(pub [u8; 32]);

impl TokenDigest {
    /// The digest of a secret.
    pub fn of(token: Token) -> TokenDigest {
        TokenDigest(Sha256::digest(token.0).into())
    }
}

/// One line of a lesson's journal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LessonEntry {
    /// When, on the server's clock.
    pub at: Micros,
    /// What.
    pub event: LessonEvent,
}

/// What happened to a lesson.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum LessonEvent {
    /// It was made; always the first.
    Made(Made),
    /// A deck was made; its face sheet stands in a stream of its own.
    DeckMade(DeckMade),
    /// A device took a pupil's place.
    PlaceTaken {
        /// The pupil.
        pupil: PupilIndex,
        /// Of the seat's secret.
        digest: TokenDigest,
    },
    /// The teacher freed a place.
    PlaceFreed {
        /// The pupil.
        pupil: PupilIndex,
    },
    /// A partner from outside may hold this seat; an earlier secret of the seat is void.
    PartnerSeatGiven {
        /// The table.
        table: TableId,
        /// The seat.
        seat: SeatIndex,
        /// Of the seat's secret.
        digest: TokenDigest,
    },
    /// The next game is to be played so.
    PlanChanged {
        /// The whole plan.
        plan: LessonPlan,
        /// The deck that serves it.
        deck: DeckId,
    },
    /// Children may join, or not.
    Opened {
        /// Whether they may.
        open: bool,
    },
    /// The lesson is over for good.
    Ended,
    /// The next games of one table are to be played with a deck of its own, or again with the lesson's.
    TableDeckChosen {
        /// The table.
        table: TableId,
        /// Its own deck; `None` for the lesson's.
        deck: Option<DeckId>,
    },
    /// The teacher gave a child support.
    SupportGiven {
        /// The pupil.
        pupil: PupilIndex,
        /// The whole of it.
        support: Support,
    },
    /// A child came late; its number is the next one.
    PupilAdded {
        /// The new line of the class list.
        pupil: Pupil,
    },
    /// A child is to sit elsewhere once its table is between rounds.
    MoveWished {
        /// The pupil.
        pupil: PupilIndex,
        /// Where to; `None` for a child that leaves.
        to: Option<TableId>,
    },
    /// Seats changed hands: the child's old one, its new one, or both.
    Reseated {
        /// The pupil.
        pupil: PupilIndex,
        /// Who holds which seat from now on.
        seats: Vec<SeatGiven>,
    },
    /// The teacher chose whom she lets in herself.
    AdmitChosen {
        /// Whom.
        admit: Admit,
    },
    /// A child's moves are marked so from now on.
    PlaysFrom {
        /// The pupil.
        pupil: PupilIndex,
        /// How.
        by: By,
    },
    /// A substitute's link was given, or withdrawn.
    SubstituteGiven {
        /// The link that stands; `None` once it was withdrawn.
        pass: Option<Pass>,
    },
    /// The teacher began a slot for playing, or took it back.
    SlotChosen {
        /// When it ends; `None` for no slot.
        ends: Option<Micros>,
    },
}

/// Who holds a seat from now on. A seat behind the last one is a new seat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeatGiven {
    /// The table.
    pub table: TableId,
    /// The seat.
    pub seat: SeatIndex,
    /// Who.
    pub plan: SeatPlan,
}

/// A lesson as it was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Made {
    /// The lesson.
    pub lesson: LessonId,
    /// Its name.
    pub name: String,
    /// The class list.
    pub pupils: Vec<Pupil>,
    /// The tables.
    pub tables: Vec<TableMade>,
    /// How the class sits, in one plain sentence.
    pub seating: String,
    /// The plan of the first game.
    pub plan: LessonPlan,
    /// The row of pictures to join by.
    pub row: Vec<Picture>,
    /// The code of the join link.
    pub link: Token,
    /// The wall display's secret.
    pub wall: Token,
    /// The invented class of the demo.
    pub demo: bool,
    /// Who should not sit together.
    #[serde(default)]
    pub apart: Vec<Apart>,
    /// The kept class that it was made from; deleting that deletes this.
    #[serde(default)]
    pub class: Option<ClassId>,
    /// The teacher whose lesson it is.
    #[serde(default)]
    pub owner: TeacherId,
}

/// A table as it was laid. Its own journal begins with the same seats.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TableMade {
    /// The table.
    pub table: TableId,
    /// Such as `Table 1`.
    pub name: String,
    /// In the order of play.
    pub seats: Vec<SeatPlan>,
}

/// A deck as it was made: the outcome beside the seed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeckMade {
    /// The deck.
    pub deck: DeckId,
    /// What its drawing started from.
    pub seed: [u8; 32],
    /// The plan that it follows.
    pub plan: LessonPlan,
    /// Its name on screen.
    pub name: String,
    /// The match group of each card.
    pub groups: Vec<GroupIndex>,
    /// The helpers that each card's face has; decks of before helpers have none.
    #[serde(default)]
    pub helpers: Vec<Vec<Helper>>,
    /// It has pictures to name.
    #[serde(default)]
    pub pictures: bool,
}

/// A lesson's state: the sum of its journal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// As it was made.
    pub made: Made,
    /// When, which tells two lessons of one name apart.
    pub made_at: Micros,
    /// The class list, with those who came late.
    pub pupils: Vec<Pupil>,
    /// The tables as they are laid now.
    pub tables: Vec<TableMade>,
    /// Children who are to sit elsewhere.
    pub moves: BTreeMap<PupilIndex, Option<TableId>>,
    /// How the next game is played.
    pub plan: LessonPlan,
    /// Whether children may join.
    pub open: bool,
    /// Whether it is over.
    pub ended: bool,
    /// Places that devices hold.
    pub taken: BTreeMap<PupilIndex, TokenDigest>,
    /// Seats that partners from outside may hold.
    pub partners: BTreeMap<(TableId, SeatIndex), TokenDigest>,
    /// All decks; the first comes with the lesson.
    pub decks: Vec<DeckMade>,
    /// The deck that the teacher's latest plan chose; `None` until she changes the first plan.
    pub chosen: Option<DeckId>,
    /// Tables with a deck of their own. A new deck for the lesson ends that.
    pub table_decks: BTreeMap<TableId, DeckId>,
    /// What the teacher gave single children, by their line in the class list. Sensitive like their
    /// readiness: only her board shows it.
    pub support: BTreeMap<PupilIndex, Support>,
    /// Whom the teacher lets in herself.
    pub admit: Admit,
    /// The substitute's link that stands, if its day is over or not.
    pub pass: Option<Pass>,
    /// When the slot for playing ends.
    pub slot_ends: Option<Micros>,
}

impl Record {
    /// A lesson that was made just now. Its room is open, so that a first lesson needs no switch.
    pub fn new(made: Made, made_at: Micros) -> Record {
        Record {
            plan: made.plan.clone(),
            pupils: made.pupils.clone(),
            tables: made.tables.clone(),
            moves: BTreeMap::new(),
            made,
            made_at,
            open: true,
            ended: false,
            taken: BTreeMap::new(),
            partners: BTreeMap::new(),
            decks: Vec::new(),
            chosen: None,
            table_decks: BTreeMap::new(),
            support: BTreeMap::new(),
            admit: Admit::default(),
            pass: None,
            slot_ends: None,
        }
    }

    /// A lesson and what happened to it since, and when it was last written.
    fn sum(
        made: Made,
        made_at: Micros,
        entries: impl IntoIterator<Item = LessonEntry>,
    ) -> (Record, Micros) {
        let (mut record, mut last) = (Record::new(made, made_at), made_at);
        for LessonEntry { at, event } in entries {
            record.apply(event);
            last = last.max(at);
        }
        (record, last)
    }

    /// Lets an event take effect. Never decides.
    pub fn apply(&mut self, event: LessonEvent) {
        match event {
            LessonEvent::Made(made) => *self = Record::new(made, self.made_at),
            LessonEvent::DeckMade(deck) => self.decks.push(deck),
            LessonEvent::PlaceTaken { pupil, digest } => {
                self.taken.insert(pupil, digest);
            }
            LessonEvent::PlaceFreed { pupil } => {
                self.taken.remove(&pupil);
            }
            LessonEvent::PartnerSeatGiven { table, seat, digest } => {
                self.partners.insert((table, seat), digest);
            }
            LessonEvent::PlanChanged { plan, deck } => {
                if self.next_deck() != Some(deck) {
                    self.table_decks.clear();
                }
                self.plan = plan;
                self.chosen = Some(deck);
            }
            LessonEvent::TableDeckChosen { table, deck: Some(deck) } => {
                self.table_decks.insert(table, deck);
            }
            LessonEvent::TableDeckChosen { table, deck: None } => {
                self.table_decks.remove(&table);
            }
            LessonEvent::PupilAdded { pupil } => self.pupils.push(pupil),
            LessonEvent::MoveWished { pupil, to } => {
                self.moves.insert(pupil, to);
            }
            LessonEvent::Reseated { pupil, seats } => {
                self.moves.remove(&pupil);
                seats.into_iter().for_each(|given| self.give_seat(given));
                if self.seat_of(pupil).is_none() {
                    self.taken.remove(&pupil);
                }
            }
            LessonEvent::Opened { open } => self.open = open,
            LessonEvent::Ended => self.ended = true,
            LessonEvent::SupportGiven { pupil, support } => {
                self.support.insert(pupil, support);
            }
            LessonEvent::AdmitChosen { admit } => self.admit = admit,
            LessonEvent::SubstituteGiven { pass } => self.pass = pass,
            LessonEvent::SlotChosen { ends } => self.slot_ends = ends,
            LessonEvent::PlaysFrom { pupil, by } => {
                let seats = self.tables.iter_mut().flat_map(|table| &mut table.seats);
                seats.filter(|seat| seat.pupil == Some(pupil)).for_each(|seat| seat.by = by);
            }
        }
    }

    /// The deck of the next game. Every lesson is made with one.
    pub fn next_deck(&self) -> Option<DeckId> {
        self.chosen.or(self.decks.first().map(|made| made.deck))
    }

    /// The deck of a table's next game: its own, or the lesson's.
    pub fn next_deck_of(&self, table: TableId) -> Option<DeckId> {
        self.table_decks.get(&table).copied().or_else(|| self.next_deck())
    }

    /// The name of a deck of this lesson.
    pub fn deck_name(&self, deck: DeckId) -> String {
        let made = self.decks.iter().find(|made| made.deck == deck);
        made.map(|made| made.name.clone()).unwrap_or_default()
    }

    fn give_seat(&mut self, SeatGiven { table, seat, plan }: SeatGiven) {
        self.partners.remove(&(table, seat));
        let Some(laid) = self.tables.iter_mut().find(|laid| laid.table == table) else { return };
        match laid.seats.get_mut(usize::from(seat.0)) {
            Some(held) => *held = plan,
            None => laid.seats.push(plan),
        }
    }

    /// Seats that are held by somebody else than when the lesson was made.
    pub fn changed_seats(&self) -> Vec<SeatGiven> {
        let mut changed = Vec::new();
        for (laid, made) in self.tables.iter().zip(&self.made.tables) {
            for (seat, plan) in (0..).map(SeatIndex).zip(&laid.seats) {
                if made.seats.get(usize::from(seat.0)) != Some(plan) {
                    changed.push(SeatGiven { table: laid.table, seat, plan: plan.clone() });
                }
            }
        }
        changed
    }

    /// How a pupil's moves are marked.
    pub fn plays_from(&self, pupil: PupilIndex) -> Option<By> {
        let mut seats = self.tables.iter().flat_map(|table| &table.seats);
        seats.find(|seat| seat.pupil == Some(pupil)).map(|seat| seat.by)
    }

    /// Where a pupil sits.
    pub fn seat_of(&self, pupil: PupilIndex) -> Option<(TableId, SeatIndex)> {
        self.tables.iter().find_map(|table| {
            let place = table.seats.iter().position(|seat| seat.pupil == Some(pupil))?;
            Some((table.table, SeatIndex(u8::try_from(place).ok()?)))
        })
    }
}

/// The prefix of every lesson's stream.
pub const LESSONS: &str = "lesson/";

/// A lesson's stream.
pub fn lesson_stream(lesson: LessonId) -> StreamName {
    StreamName(format!("{LESSONS}{lesson}"))
}

/// The prefix of every table's stream.
pub const TABLE_STREAMS: &str = "table/";

/// A table's stream.
pub fn table_stream(table: TableId) -> StreamName {
    StreamName(format!("{TABLE_STREAMS}{table}"))
}

/// The prefix of every face sheet's stream.
pub const SHEETS: &str = "sheet/";

/// The stream that holds a deck's face sheet as one line of JSON.
pub fn sheet_stream(deck: DeckId) -> StreamName {
    StreamName(format!("{SHEETS}{deck}"))
}

/// Writes and reads one lesson's journal.
#[derive(Debug)]
pub struct LessonLog {
    stream: StreamName,
    held: u64,
}

impl LessonLog {
    /// The journal of a lesson that is being made.
    pub fn new(lesson: LessonId) -> LessonLog {
        LessonLog { stream: lesson_stream(lesson), held: 0 }
    }

    /// Makes events durable.
    ///
    /// # Errors
    /// The store's; nothing has happened then.
    pub async fn append(
        &mut self,
        store: &dyn Store,
        at: Micros,
        events: &[LessonEvent],
    ) -> Result<(), StoreError> {
        let lines = events
            .iter()
            .map(|event| write_line(&LessonEntry { at, event: event.clone() }))
            .collect::<Result<Vec<_>, _>>()?;
        let count = lines.len() as u64;
        store.append(self.stream.clone(), self.held, lines, Urgency::Group).await?;
        self.held += count;
        Ok(())
    }

    /// Reads a lesson back: its record, its journal to go on with, and when it was last written.
    ///
    /// # Errors
    /// The store's, or a line that cannot be read.
    pub async fn read(
        store: &dyn Store,
        stream: StreamName,
    ) -> Result<(Record, LessonLog, Micros), StoreError> {
        let lines = store.read(stream.clone()).await?;
        let held = lines.len() as u64;
        let mut entries = lines.iter().map(|line| read_line::<LessonEntry>(&stream, line));
        let Some(LessonEntry { at, event: LessonEvent::Made(made) }) =
            entries.next().transpose()?
        else {
            return Err(StoreError::Failed(format!("{} does not begin with `Made`", stream.0)));
        };
        let entries = entries.collect::<Result<Vec<_>, _>>()?;
        let (record, last) = Record::sum(made, at, entries);
        Ok((record, LessonLog { stream, held }, last))
    }

    /// The records of all lessons that were made from a class, that which was written last at the end. A
    /// line that cannot be read, such as one of a later version, is passed over: one spoiled journal must
    /// neither keep another class from its reports nor its own from being deleted.
    ///
    /// # Errors
    /// The store's.
    pub async fn of_class(store: &dyn Store, class: ClassId) -> Result<Vec<Record>, StoreError> {
        let mut found = Vec::new();
        for stream in store.streams(LESSONS).await? {
            let lines = store.read(stream.clone()).await?;
            let entries = lines.iter().map(|line| read_line::<LessonEntry>(&stream, line));
            let mut entries = entries.filter_map(|entry| {
                entry.inspect_err(|error| tracing::error!(%error, "a line is passed over")).ok()
            });
            let Some(LessonEntry { at, event: LessonEvent::Made(made) }) = entries.next() else {
                continue;
            };
            if made.class == Some(class) {
                let (record, last) = Record::sum(made, at, entries);
                found.push((last, record));
            }
        }
        found.sort_by_key(|(last, _)| *last);
        Ok(found.into_iter().map(|(_, record)| record).collect())
    }
}

/// One line of a journal as JSON text.
///
/// # Errors
/// Only for a type that JSON cannot carry: our fault.
pub fn write_line<T: Serialize>(entry: &T) -> Result<String, StoreError> {
    serde_json::to_string(entry).map_err(|error| StoreError::Failed(error.to_string()))
}

/// Reads one line of a journal.
///
/// # Errors
/// A line that is not what this version or an earlier one wrote.
pub fn read_line<T: for<'de> Deserialize<'de>>(
    stream: &StreamName,
    line: &str,
) -> Result<T, StoreError> {
    serde_json::from_str(line).map_err(|error| {
        StoreError::Failed(format!("a line of {} cannot be read: {error}", stream.0))
    })
}
