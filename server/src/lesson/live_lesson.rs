//! One lesson that is not over: its record, its tables and its board. Whatever changes it is
//! durable before it takes effect.

mod door;
mod moves;
mod plans;
mod slot;
mod substitute;
mod wall;
mod wishes;

pub use door::Entered;
pub use plans::{PlanNo, check_plan};
pub use slot::{Forecast, ToSimulate};

use super::board::{
    Address, DeckNames, Easel, LessonFace, TableBoard, TableFace, board_view, paint, wall_url,
    wall_view,
};
use super::doorway::Doorway;
use super::lesson_log::{
    LessonEvent, LessonLog, Record, SeatGiven, TableMade, TokenDigest, lesson_stream, sheet_stream,
    write_line,
};
use super::live_table::Surroundings;
use super::secrets::Secrets;
use super::substitute::Pass;
use super::table_task::{TableHandle, TableStart};
use super::walks::Walks;
use crate::deck::print::{Pack, PackTable, on_paper};
use crate::game::{Entry, SeatPlan};
use crate::journal::{StoreError, Urgency};
use crate::teacher::TeacherId;
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{ClassId, DeckId, LessonId, SeatIndex, TableId, Token};
use handround_protocol::join::{HttpRefusal, LessonLine, PartnerSeat};
use handround_protocol::picture::Picture;
use handround_protocol::view::{BoardView, SeatKind, WallRace, WallView};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicU32;
use tokio::sync::{Mutex, MutexGuard, watch};
use tokio::task::JoinSet;

/// A friendly no that is about no line.
pub fn no(message: impl Into<String>) -> HttpRefusal {
    HttpRefusal { message: message.into(), line: None }
}

/// A refusal's words as a sentence of their own.
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// What the teacher or child reads when the store failed.
fn trouble(error: &StoreError) -> HttpRefusal {
    tracing::error!(%error, "a lesson could not be written");
    no("The server could not write this down. Try again in a moment.")
}

struct Book {
    record: Record,
    log: LessonLog,
    /// Seats whose tables have yet to be told who holds them; they may be in a round just now.
    untold: Vec<SeatGiven>,
}

/// One lesson.
pub struct LiveLesson {
    surroundings: Surroundings,
    secrets: Secrets,
    lesson: LessonId,
    name: String,
    row: Vec<Picture>,
    link: Token,
    wall_token: Token,
    demo: bool,
    class: Option<ClassId>,
    owner: TeacherId,
    tables: Vec<(TableId, TableHandle)>,
    book: Mutex<Book>,
    face: watch::Sender<Arc<LessonFace>>,
    board: watch::Receiver<Arc<BoardView>>,
    wall: watch::Receiver<Arc<WallView>>,
    wall_race: watch::Sender<Option<WallRace>>,
    races_shown: AtomicU32,
    doorway: std::sync::Mutex<Doorway>,
    desk: wall::WallDesk,
    forecast: std::sync::Mutex<Option<Forecast>>,
    pass: watch::Sender<Option<Pass>>,
    /// The tables and the painter; they end with the lesson.
    _tasks: JoinSet<()>,
}

/// A lesson's journal, read.
pub struct Reading {
    /// Its record.
    pub record: Record,
    /// Its journal to go on with.
    pub log: LessonLog,
    /// Its tables' journals, as far as they were read already.
    pub tables: BTreeMap<TableId, Vec<Entry>>,
}

impl LiveLesson {
    /// Sets up the tables and the board over what the journals say. `surroundings.shelf` is this
    /// lesson's own and still empty.
    ///
    /// # Errors
    /// A lesson without a deck, which none of ours is.
    pub fn open(
        surroundings: Surroundings,
        secrets: Secrets,
        public_url: &str,
        reading: Reading,
    ) -> Result<LiveLesson, StoreError> {
        let Reading { record, log, tables: mut entries } = reading;
        let made = &record.made;
        if record.next_deck().is_none() {
            return Err(StoreError::Failed(format!("lesson {} has no deck", made.lesson)));
        }
        record.decks.iter().for_each(|deck| surroundings.shelf.put(deck));
        let mut tasks = JoinSet::new();
        let mut tables = Vec::new();
        let mut boards = Vec::new();
        for table in &made.tables {
            let Some(next_deck) = record.next_deck_of(table.table) else { continue };
            let (board, reader) = watch::channel(None);
            let (handle, life) = TableHandle::open(TableStart {
                surroundings: surroundings.clone(),
                face: TableFace { table: table.table, name: table.name.clone() },
                entries: entries.remove(&table.table),
                next_deck,
                board,
            });
            tasks.spawn(life);
            tables.push((table.table, handle));
            boards.push(reader);
        }
        let face = Arc::new(LessonFace {
            lesson: made.lesson,
            name: made.name.clone(),
            open: record.open,
            row: made.row.clone(),
            join: Address::to_join(public_url, made.link),
            wall_url: wall_url(public_url, made.wall),
            plan: record.plan.clone(),
            deck_names: DeckNames::of(&record),
            walks: Walks::of(&record),
            seating: made.seating.clone(),
        });
        let unpainted: Vec<TableBoard> = vec![None; boards.len()];
        let (desk, shows) = wall::WallDesk::new();
        let nothing = shows.borrow().clone();
        let (board_sender, board) =
            watch::channel(Arc::new(board_view(&face, &unpainted, &nothing)));
        let (wall_sender, wall) =
            watch::channel(Arc::new(wall_view(&face, &unpainted, None, &nothing)));
        let (face, face_reader) = watch::channel(face);
        let (wall_race, race) = watch::channel(None);
        tasks.spawn(paint(Easel {
            lesson: face_reader,
            tables: boards,
            race,
            shows,
            board: board_sender,
            wall: wall_sender,
        }));
        let lesson = LiveLesson {
            surroundings,
            secrets,
            lesson: made.lesson,
            name: made.name.clone(),
            row: made.row.clone(),
            link: made.link,
            wall_token: made.wall,
            demo: made.demo,
            class: made.class,
            owner: made.owner,
            tables,
            face,
            board,
            wall,
            wall_race,
            races_shown: AtomicU32::new(0),
            doorway: std::sync::Mutex::default(),
            desk,
            forecast: std::sync::Mutex::default(),
            // One of before links had ways in of their own shows the teacher's, and is over.
            pass: watch::Sender::new(record.pass.filter(|pass| pass.lends.is_some())),
            _tasks: tasks,
            book: Mutex::new(Book { untold: record.changed_seats(), record, log }),
        };
        lesson.open_secrets();
        Ok(lesson)
    }

    /// The book is not shared yet, so it can be had without waiting.
    fn open_secrets(&self) {
        let Ok(book) = self.book.try_lock() else { return };
        let record = &book.record;
        let pupils = record
            .taken
            .iter()
            .filter_map(|(pupil, digest)| Some((record.seat_of(*pupil)?, *digest)));
        let partners = record.partners.iter().map(|(place, digest)| (*place, *digest));
        for ((table, seat), digest) in pupils.chain(partners) {
            if let Some(handle) = self.table(table) {
                self.secrets.open(digest, handle.clone(), seat);
            }
        }
    }

    /// Its id.
    pub fn id(&self) -> LessonId {
        self.lesson
    }

    /// Whether it is the demo's.
    pub fn is_demo(&self) -> bool {
        self.demo
    }

    /// The kept class that it was made from.
    pub fn class(&self) -> Option<ClassId> {
        self.class
    }

    /// The teacher whose lesson it is.
    pub fn owner(&self) -> TeacherId {
        self.owner
    }

    /// The teacher's board.
    pub fn board(&self) -> watch::Receiver<Arc<BoardView>> {
        self.board.clone()
    }

    /// The wall display, for the one who holds its secret.
    pub fn wall(&self, token: Token) -> Option<watch::Receiver<Arc<WallView>>> {
        (TokenDigest::of(token) == TokenDigest::of(self.wall_token)).then(|| self.wall.clone())
    }

    /// Whether a deck is this lesson's.
    pub fn has_deck(&self, deck: DeckId) -> bool {
        self.surroundings.shelf.get(deck).is_some()
    }

    /// One line for the teacher's list.
    pub async fn line(&self) -> LessonLine {
        let book = self.book.lock().await;
        let count = |number: usize| u16::try_from(number).unwrap_or(u16::MAX);
        LessonLine {
            lesson: self.lesson,
            name: self.name.clone(),
            made_at: book.record.made_at,
            pupils: count(book.record.pupils.len()),
            tables: count(self.tables.len()),
        }
    }

    /// Its children.
    pub async fn pupils(&self) -> Vec<super::class_list::Pupil> {
        self.book.lock().await.record.pupils.clone()
    }

    /// What is printed of the lesson, still without its decks' drawings. Of a child it takes the name
    /// alone, and the picture's word where paper has only a line for the name.
    pub async fn pack(&self) -> Pack {
        let book = self.book.lock().await;
        let record = &book.record;
        let table = |table: &TableMade| {
            let is_pupil = |seat: &&SeatPlan| seat.kind == SeatKind::Pupil;
            let name = |seat: &SeatPlan| on_paper(&seat.name, &seat.picture.name());
            let players: Vec<String> = table.seats.iter().filter(is_pupil).map(name).collect();
            // Partners alone need no paper.
            players.first()?;
            Some(PackTable {
                name: table.name.clone(),
                partners: table.seats.len() - players.len(),
                players,
                deck: record.next_deck_of(table.table)?,
            })
        };
        Pack {
            name: self.name.clone(),
            house: record.plan.house.clone(),
            tables: record.tables.iter().filter_map(table).collect(),
            decks: Vec::new(),
        }
    }

    /// How the class sits.
    pub fn seating(&self) -> String {
        self.face.borrow().seating.clone()
    }

    fn table(&self, table: TableId) -> Option<&TableHandle> {
        self.tables.iter().find(|(id, _)| *id == table).map(|(_, handle)| handle)
    }

    /// Makes events durable, then lets them take effect. If the store fails it may have written
    /// nevertheless, so the lesson is read back and shows what the journal holds.
    async fn write(
        &self,
        book: &mut MutexGuard<'_, Book>,
        events: Vec<LessonEvent>,
    ) -> Result<(), StoreError> {
        let Surroundings { store, clock, .. } = &self.surroundings;
        if let Err(error) = book.log.append(&**store, clock.now(), &events).await {
            let stream = lesson_stream(self.lesson);
            if let Ok((record, log, _)) = LessonLog::read(&**store, stream).await {
                **book = Book { untold: record.changed_seats(), record, log };
            }
            return Err(error);
        }
        events.into_iter().for_each(|event| book.record.apply(event));
        let Record { open, plan, .. } = &book.record;
        let deck_names = DeckNames::of(&book.record);
        let walks = Walks::of(&book.record);
        self.face.send_if_modified(|face| {
            let new = face.open != *open || face.plan != *plan || face.deck_names != deck_names;
            let new = new || face.walks != walks;
            if new {
                let (open, plan) = (*open, plan.clone());
                *face = Arc::new(LessonFace { open, plan, deck_names, walks, ..(**face).clone() });
            }
            new
        });
        Ok(())
    }

    /// A secret for every partner's seat; earlier ones are withdrawn.
    ///
    /// # Errors
    /// The store's trouble.
    pub async fn partner_seats(&self) -> Result<Vec<PartnerSeat>, HttpRefusal> {
        let mut book = self.book.lock().await;
        let places = partner_places(&book.record);
        let seats: Vec<PartnerSeat> = places
            .iter()
            .map(|(table, _)| PartnerSeat {
                table: *table,
                token: Token(self.surroundings.randomness.id()),
                kind: SeatKind::Partner,
            })
            .collect();
        let given: Vec<LessonEvent> = places
            .iter()
            .zip(&seats)
            .map(|((table, seat), given)| LessonEvent::PartnerSeatGiven {
                table: *table,
                seat: *seat,
                digest: TokenDigest::of(given.token),
            })
            .collect();
        let earlier: Vec<TokenDigest> = book.record.partners.values().copied().collect();
        self.write(&mut book, given).await.map_err(|error| trouble(&error))?;
        earlier.into_iter().for_each(|digest| self.secrets.withdraw(digest));
        for ((table, seat), given) in places.into_iter().zip(&seats) {
            if let Some(handle) = self.table(table) {
                self.secrets.open(TokenDigest::of(given.token), handle.clone(), seat);
            }
        }
        Ok(seats)
    }
}

fn partner_places(record: &Record) -> Vec<(TableId, SeatIndex)> {
    let mut places = Vec::new();
    for table in &record.tables {
        for (seat, plan) in (0..).map(SeatIndex).zip(&table.seats) {
            if plan.kind == SeatKind::Partner {
                places.push((table.table, seat));
            }
        }
    }
    places
}

/// Writes a deck's face sheet, before the lesson's journal names it.
///
/// # Errors
/// The store's.
pub async fn write_sheet(surroundings: &Surroundings, sheet: &FaceSheet) -> Result<(), StoreError> {
    let line = write_line(sheet)?;
    surroundings.store.append(sheet_stream(sheet.deck), 0, vec![line], Urgency::Group).await
}
