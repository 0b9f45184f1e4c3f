//! The door between `web` and the lessons: everything that the edge may ask, and nothing else.
//!
//! What a teacher asks begins with who she is, and reaches her own things alone; another's are
//! answered as ones that do not exist. What children ask names a secret and no teacher.

mod accounts;
mod carry;
mod classes;
mod door;
mod reports;
mod slot;
mod substitute;

use super::classes as kept_classes;
use super::clock::Clock;
use super::connection::Outbox;
use super::decks::Shelf;
use super::leftovers;
use super::lesson_log::{LESSONS, LessonLog, Record, sheet_stream, table_stream};
use super::live_lesson::{LiveLesson, PlanNo, Reading, no};
use super::live_table::{Surroundings, read_table};
use super::make::{self, DEMO_CLASS, Plan};
use super::randomness::{Randomness, SystemRandomness};
use super::secrets::Secrets;
use super::substitute::CameBy;
use super::tickets::Tickets;
use super::way_index::WayIndex;
use crate::deck::print::Pack;
use crate::journal::{Store, StoreError, StreamName};
use crate::limits::lesson::{LESSONS_EACH_MAX, LESSONS_MAX};
use crate::teacher::TeacherId;
use handround_protocol::close::Close;
use handround_protocol::id::{DeckId, LessonId, PupilIndex, SeatIndex, SeatNumber, TableId, Token};
use handround_protocol::join::{
    HttpRefusal, JoinPlaces, Joined, LessonLine, LessonMade, PartnerSeat, RaceTold,
};
use handround_protocol::message::{BoardSays, Welcome};
use handround_protocol::picture::Picture;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardView, HandTold, LessonPlan, WallView};
use handround_protocol::workshop::UseDeck;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock};
use tokio::sync::watch;

pub use super::clock::time_of_day;
pub use super::decks::HeldMaterial;
pub use super::live_lesson::{Entered, sentence};
pub use super::substitute::{LentShown, view as substitute_view};
pub use super::table_task::SeatLink;
pub use door::{DoorNo, PlaceToPrint};
pub use reports::Kept;
pub use slot::SlotAt;
pub use substitute::{LentWall, SubstituteIn, SubstituteSeatAt, Term};

/// All lessons of this server. Cheap to clone.
#[derive(Clone)]
pub struct Hub {
    inner: Arc<Inner>,
}

struct Inner {
    store: Arc<dyn Store>,
    clock: Clock,
    randomness: Arc<dyn Randomness>,
    public_url: String,
    lessons: RwLock<BTreeMap<LessonId, Arc<LiveLesson>>>,
    secrets: Secrets,
    tickets: Mutex<Tickets>,
    /// Holds what the store holds of kept classes. Never held over a wait, nor taken by whoever holds
    /// `lessons`.
    ways: Mutex<WayIndex>,
    sheets: Mutex<BTreeMap<DeckId, Arc<str>>>,
    /// Lessons are made one after the other, so that two never get the same row of pictures; and
    /// classes are changed and deleted in between, so that none loses a lesson.
    making: tokio::sync::Mutex<()>,
    /// Decks are kept one after the other, so that no name is kept twice.
    keeping: tokio::sync::Mutex<()>,
}

/// A lock of ours guards whole values that no panic leaves half changed.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Hub {
    /// Brings every lesson and table back from the journal. `public_url` is the address that
    /// children's devices reach, such as `http://192.0.2.7:8787`.
    ///
    /// # Errors
    /// A store that cannot be read.
    pub async fn restore(store: Arc<dyn Store>, public_url: String) -> anyhow::Result<Hub> {
        let machine = (time_of_day(), Some(time_of_day as fn() -> Micros));
        Hub::restore_from(store, public_url, Arc::new(SystemRandomness), machine).await
    }

    /// The same with randomness and a time of day of the caller's choice, so that a test can play the
    /// same again.
    ///
    /// # Errors
    /// A store that cannot be read.
    pub async fn restore_with(
        store: Arc<dyn Store>,
        public_url: String,
        randomness: Arc<dyn Randomness>,
        time_of_day: Micros,
    ) -> anyhow::Result<Hub> {
        Hub::restore_from(store, public_url, randomness, (time_of_day, None)).await
    }

    /// With where the calendar is read, if it is the machine's.
    async fn restore_from(
        store: Arc<dyn Store>,
        public_url: String,
        randomness: Arc<dyn Randomness>,
        (time_of_day, calendar): (Micros, Option<fn() -> Micros>),
    ) -> anyhow::Result<Hub> {
        match leftovers::clear(&*store).await {
            Ok(0) => {}
            Ok(cleared) => tracing::info!(cleared, "what was left half written is deleted"),
            // Nobody is led to it; the next start tries again.
            Err(error) => tracing::error!(%error, "what was left half written stays"),
        }
        let mut last = Micros(0);
        let mut readings = Vec::new();
        for stream in store.streams(LESSONS).await? {
            match read_lesson(&*store, stream.clone()).await {
                Ok((reading, written)) => {
                    last = last.max(written);
                    readings.push(reading);
                }
                // One spoiled journal must not keep the other classes from playing.
                Err(error) => tracing::error!(%error, stream = stream.0, "a lesson stays closed"),
            }
        }
        let clock = Clock::start_after(last, time_of_day);
        let hub = Hub {
            inner: Arc::new(Inner {
                store,
                clock: calendar.map_or(clock, |calendar| clock.with_calendar(calendar)),
                randomness,
                public_url: public_url.trim_end_matches('/').to_owned(),
                lessons: RwLock::default(),
                secrets: Secrets::default(),
                tickets: Mutex::default(),
                ways: Mutex::default(),
                sheets: Mutex::default(),
                making: tokio::sync::Mutex::default(),
                keeping: tokio::sync::Mutex::default(),
            }),
        };
        for kept in kept_classes::read_all(hub.store()).await? {
            lock(&hub.inner.ways).know(&kept);
        }
        for reading in readings {
            if reading.record.ended {
                hub.remember_over(&reading.record);
            } else if let Err(error) = hub.open(reading) {
                tracing::error!(%error, "a lesson stays closed");
            }
        }
        Ok(hub)
    }

    /// The address that devices reach, without a slash at the end.
    pub fn public_url(&self) -> &str {
        &self.inner.public_url
    }

    /// The server's clock: microseconds since the Unix epoch that never run backwards, not even
    /// over a restart.
    pub fn now(&self) -> Micros {
        self.inner.clock.now()
    }

    /// This moment by the calendar, for sign-ins, days and expiry.
    pub fn today(&self) -> Micros {
        self.inner.clock.today()
    }

    /// The demo's lesson: an invented class with practice partners in all seats but one. Two tables
    /// play already; the third waits for the newcomer, who would otherwise find a seat that has
    /// been last or even out. A store that holds it gives the same lesson back. The newcomer's line is kept as a
    /// class, and goes like any other.
    ///
    /// # Errors
    /// As for any lesson.
    pub async fn make_demo(&self) -> Result<LessonMade, HttpRefusal> {
        let made = match self.all_lessons().into_iter().find(|lesson| lesson.is_demo()) {
            Some(demo) => LessonMade { lesson: demo.id(), seating: demo.seating() },
            None => {
                let _one_after_the_other = self.inner.making.lock().await;
                let mut plan = Plan::demo();
                // Kept like a class of one's own, so that its place card can be printed. A server that keeps
                // as many as it can plays without.
                let kept = self.keep(plan.owner, DEMO_CLASS, plan.list.clone()).await;
                plan.class = kept.ok().map(|kept| kept.class);
                self.make(plan).await?
            }
        };
        if let Some(lesson) = self.lesson(made.lesson) {
            lesson.start_where_all_have_come().await;
            tokio::spawn(LiveLesson::rematch_by_itself(Arc::downgrade(&lesson)));
        }
        Ok(made)
    }

    /// The caller holds `making`.
    async fn make(&self, plan: Plan) -> Result<LessonMade, HttpRefusal> {
        let others = self.all_lessons();
        let own = others.iter().filter(|lesson| lesson.owner() == plan.owner).count();
        if own >= LESSONS_EACH_MAX {
            return Err(no("You have as many lessons as there is room for. End one first."));
        }
        if others.len() >= LESSONS_MAX {
            return Err(no("This server holds as many lessons as it can. Ask who looks after it."));
        }
        let taken = |row: &[Picture]| others.iter().any(|lesson| lesson.holds_row(row));
        let reading = make::make(&self.surroundings(), plan, taken).await?;
        let made = &reading.record.made;
        let answer = LessonMade { lesson: made.lesson, seating: made.seating.clone() };
        self.open(reading).map_err(|error| no(error.to_string()))?;
        Ok(answer)
    }

    /// A teacher's lessons that are not over.
    pub async fn lessons(&self, teacher: TeacherId) -> Vec<LessonLine> {
        let mut lines = Vec::new();
        let own = |lesson: &Arc<LiveLesson>| lesson.owner() == teacher;
        for lesson in self.all_lessons().into_iter().filter(own) {
            lines.push(lesson.line().await);
        }
        lines
    }

    /// The places of the lesson whose row of pictures this is.
    ///
    /// # Errors
    /// One plain sentence: no such row, or the room is closed.
    pub async fn places_by_row(&self, row: &[Picture]) -> Result<JoinPlaces, HttpRefusal> {
        let found = self.led_by(|lesson| lesson.led_by_row(row));
        self.places(found.ok_or_else(|| no("No class has these pictures. Look again."))?).await
    }

    /// The places of the lesson whose QR link this is.
    ///
    /// # Errors
    /// One plain sentence: no such link, or the room is closed.
    pub async fn places_by_link(&self, code: Token) -> Result<JoinPlaces, HttpRefusal> {
        let found = self.led_by(|lesson| lesson.led_by_link(code));
        self.places(found.ok_or_else(|| no("This link leads to no class. Scan it again."))?).await
    }

    fn led_by(
        &self,
        leads: impl Fn(&LiveLesson) -> Option<CameBy>,
    ) -> Option<(Arc<LiveLesson>, CameBy)> {
        let mut lessons = self.all_lessons().into_iter();
        lessons.find_map(|lesson| leads(&lesson).map(|by| (lesson, by)))
    }

    async fn places(
        &self,
        (lesson, by): (Arc<LiveLesson>, CameBy),
    ) -> Result<JoinPlaces, HttpRefusal> {
        let (name, places) = lesson.places().await?;
        let ticket = Token(self.inner.randomness.id());
        lock(&self.inner.tickets).give(ticket, (lesson.id(), by), self.now());
        Ok(JoinPlaces { ticket, lesson: name, places })
    }

    /// Gives a pupil's place to the device that holds the ticket.
    ///
    /// # Errors
    /// One plain sentence: the ticket is old, or the place is taken.
    pub async fn take_place(
        &self,
        ticket: Token,
        pupil: PupilIndex,
    ) -> Result<Joined, HttpRefusal> {
        let lesson = self.lesson_by_ticket(ticket)?;
        let joined = lesson.take_place(pupil).await?;
        lock(&self.inner.tickets).take_back(ticket);
        self.demo_goes_on(&lesson).await;
        Ok(joined)
    }

    /// Connects a device to its seat; the newest device wins and the older one is closed.
    ///
    /// # Errors
    /// `UnknownCredential` or `LessonOver`; `TableStopped` while a table stays stopped.
    pub async fn connect_seat(
        &self,
        token: Token,
        resume: Option<SeatNumber>,
        outbox: Outbox,
    ) -> Result<(SeatLink, Welcome), Close> {
        let (table, seat) = self.inner.secrets.find(token)?;
        table.connect(seat, resume, outbox).await
    }

    /// The teacher's board of a lesson, whole and always the newest.
    pub async fn board(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Option<watch::Receiver<Arc<BoardView>>> {
        self.own(teacher, lesson).map(|lesson| lesson.board())
    }

    /// A teacher's wish.
    ///
    /// # Errors
    /// The friendly no, for her page.
    pub async fn board_says(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        says: BoardSays,
    ) -> Result<(), Refusal> {
        // A board of a lesson that has ended meanwhile has nothing to wish for.
        let live = self.own(teacher, lesson).ok_or(Refusal::NoSuchTable)?;
        let ends = says == BoardSays::EndLesson;
        let grows = matches!(says, BoardSays::AddPupil { .. });
        let hub = self.clone();
        carry_out(async move {
            let said = live.says(says).await;
            if grows {
                // Also where the store failed, which may have written nevertheless.
                hub.index_children(&live).await;
            }
            if ends && said.is_ok() {
                hub.close(&live);
            }
            said
        })
        .await
    }

    /// The wall display that this secret opens.
    pub async fn wall(&self, token: Token) -> Option<watch::Receiver<Arc<WallView>>> {
        self.all_lessons().into_iter().find_map(|lesson| lesson.wall(token))
    }

    /// A deck's face sheet as JSON, ready to send.
    pub async fn face_sheet(&self, deck: DeckId) -> Option<Arc<str>> {
        // Only a running lesson's deck is looked up, so that strangers cause no reading and the kept
        // sheets are bounded by lessons and their decks.
        self.all_lessons().into_iter().find(|lesson| lesson.has_deck(deck))?;
        if let Some(sheet) = lock(&self.inner.sheets).get(&deck) {
            return Some(sheet.clone());
        }
        let lines = match self.inner.store.read(sheet_stream(deck)).await {
            Ok(lines) => lines,
            Err(error) => {
                tracing::error!(%error, %deck, "a face sheet cannot be read");
                return None;
            }
        };
        let sheet: Arc<str> = lines.into_iter().next()?.into();
        lock(&self.inner.sheets).insert(deck, sheet.clone());
        Some(sheet)
    }

    /// Secrets for the seats that practice partners hold, for partners from outside.
    ///
    /// # Errors
    /// One plain sentence: no such lesson.
    pub async fn partner_seats(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<Vec<PartnerSeat>, HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        lesson.partner_seats().await
    }

    /// The last race of a table, for the teacher.
    ///
    /// # Errors
    /// One plain sentence: no such lesson or table, or no race yet.
    pub async fn last_race(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        table: TableId,
    ) -> Result<RaceTold, HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        lesson.last_race(table).await
    }

    /// One seat's cards, for the teacher.
    ///
    /// # Errors
    /// One plain sentence: no such lesson, table or seat.
    pub async fn hand(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        table: TableId,
        seat: SeatIndex,
    ) -> Result<HandTold, HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        lesson.hand(table, seat).await
    }

    /// Freezes every table of a lesson, from a page that has no board open. True if a table stands
    /// still now: where nobody plays there is nothing to freeze.
    ///
    /// # Errors
    /// One plain sentence: no such lesson.
    pub async fn freeze(&self, teacher: TeacherId, lesson: LessonId) -> Result<bool, HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        match lesson.says(BoardSays::Pause { table: None }).await {
            Ok(()) | Err(Refusal::Paused) => Ok(true),
            Err(_) => Ok(false),
        }
    }

    /// How the next games of a lesson are to be played.
    ///
    /// # Errors
    /// One plain sentence: no such lesson, or why it cannot be played so.
    pub async fn change_plan(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        plan: LessonPlan,
    ) -> Result<(), HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        lesson.change_plan(plan).await.map_err(PlanNo::told)
    }

    /// Another deck for the next games of a lesson or of one of its tables.
    ///
    /// # Errors
    /// One plain sentence: no such lesson or table, or why the deck cannot be played.
    pub async fn use_deck(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
        wish: UseDeck,
    ) -> Result<(), HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        lesson.use_deck(wish.table, wish.deck).await.map_err(PlanNo::told)
    }

    /// The names and pictures of a lesson's children; none for a lesson that is over.
    pub(super) async fn pupils(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Vec<super::class_list::Pupil> {
        match self.own(teacher, lesson) {
            Some(lesson) => lesson.pupils().await,
            None => Vec::new(),
        }
    }

    /// A lesson as it is printed: tables, names, the rule and the decks of the next games.
    ///
    /// # Errors
    /// One plain sentence: no such lesson, or its cards cannot be read.
    pub async fn pack(&self, teacher: TeacherId, lesson: LessonId) -> Result<Pack, HttpRefusal> {
        let lesson = self.known_lesson(teacher, lesson)?;
        let mut pack = lesson.pack().await;
        let wanted: BTreeSet<DeckId> = pack.tables.iter().map(|table| table.deck).collect();
        for deck in wanted {
            let sheet = self.face_sheet(deck).await;
            let sheet = sheet.and_then(|sheet| serde_json::from_str(&sheet).ok());
            pack.decks.push(sheet.ok_or_else(|| no("The cards could not be read. Try again."))?);
        }
        Ok(pack)
    }

    pub(super) fn store(&self) -> &dyn Store {
        &*self.inner.store
    }

    pub(super) fn new_id(&self) -> [u8; 16] {
        self.inner.randomness.uuid()
    }

    /// Held by whoever keeps a deck.
    pub(super) async fn keeping(&self) -> tokio::sync::MutexGuard<'_, ()> {
        self.inner.keeping.lock().await
    }

    /// A lesson that a teacher's page names.
    pub(super) fn known_lesson(
        &self,
        teacher: TeacherId,
        lesson: LessonId,
    ) -> Result<Arc<LiveLesson>, HttpRefusal> {
        self.own(teacher, lesson).ok_or_else(|| no("There is no such lesson."))
    }

    /// A teacher's own lesson; another's is none.
    fn own(&self, teacher: TeacherId, lesson: LessonId) -> Option<Arc<LiveLesson>> {
        self.lesson(lesson).filter(|lesson| lesson.owner() == teacher)
    }

    fn lesson(&self, lesson: LessonId) -> Option<Arc<LiveLesson>> {
        let lessons = self.inner.lessons.read().unwrap_or_else(PoisonError::into_inner);
        lessons.get(&lesson).cloned()
    }

    fn all_lessons(&self) -> Vec<Arc<LiveLesson>> {
        let lessons = self.inner.lessons.read().unwrap_or_else(PoisonError::into_inner);
        lessons.values().cloned().collect()
    }

    /// A lesson has ended.
    fn close(&self, lesson: &LiveLesson) {
        let mut lessons = self.inner.lessons.write().unwrap_or_else(PoisonError::into_inner);
        lessons.remove(&lesson.id());
        let stays = |deck: DeckId| lessons.values().any(|lesson| lesson.has_deck(deck));
        lock(&self.inner.sheets).retain(|deck, _| stays(*deck));
        drop(lessons);
        if let Some(class) = lesson.class() {
            lock(&self.inner.ways).end(class, lesson.id());
        }
    }

    /// Whoever came late to a lesson of a kept class may have a card, too.
    async fn index_children(&self, lesson: &LiveLesson) {
        let Some(class) = lesson.class() else { return };
        let pupils = lesson.pupils().await;
        let mut ways = lock(&self.inner.ways);
        // One that ended meanwhile has been taken out, and must not come in again.
        if self.lesson(lesson.id()).is_some() {
            ways.seat(class, lesson.id(), &pupils);
        }
    }

    /// A shelf of decks is one lesson's own, hence new with each call.
    fn surroundings(&self) -> Surroundings {
        Surroundings {
            store: self.inner.store.clone(),
            clock: self.inner.clock,
            randomness: self.inner.randomness.clone(),
            shelf: Shelf::default(),
        }
    }

    fn open(&self, reading: Reading) -> Result<(), StoreError> {
        let Inner { secrets, public_url, lessons, ways, .. } = &*self.inner;
        let pupils = reading.record.pupils.clone();
        let lesson = LiveLesson::open(self.surroundings(), secrets.clone(), public_url, reading)?;
        let lesson = Arc::new(lesson);
        tokio::spawn(LiveLesson::carry_out_moves(Arc::downgrade(&lesson)));
        let (id, class) = (lesson.id(), lesson.class());
        // Nobody can end it before it can be found.
        if let Some(class) = class {
            lock(ways).seat(class, id, &pupils);
        }
        lessons.write().unwrap_or_else(PoisonError::into_inner).insert(id, lesson);
        Ok(())
    }

    fn remember_over(&self, record: &Record) {
        let digests = record.taken.values().chain(record.partners.values());
        digests.for_each(|digest| self.inner.secrets.over(*digest));
    }
}

/// Reads one lesson and, unless it is over, its tables; and when any of them was last written.
async fn read_lesson(
    store: &dyn Store,
    stream: StreamName,
) -> Result<(Reading, Micros), StoreError> {
    let (record, log, mut last) = LessonLog::read(store, stream).await?;
    let mut tables = BTreeMap::new();
    for table in record.made.tables.iter().filter(|_| !record.ended) {
        match read_table(store, table_stream(table.table)).await {
            Ok(entries) => {
                last = entries.last().map_or(last, |entry| last.max(entry.at));
                tables.insert(table.table, entries);
            }
            // The table tries again by itself, and stays stopped if that does not help.
            Err(error) => tracing::error!(%error, table = %table.table, "a table cannot be read"),
        }
    }
    Ok((Reading { record, log, tables }, last))
}

/// Carries a wish out to its end, also if whoever wished it is gone meanwhile: a board whose link breaks just
/// behind "start all" leaves no table waiting.
async fn carry_out(
    wish: impl Future<Output = Result<(), Refusal>> + Send + 'static,
) -> Result<(), Refusal> {
    tokio::spawn(wish).await.unwrap_or(Err(Refusal::ServerTrouble))
}
