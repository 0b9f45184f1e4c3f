//! What the tests share: seeded randomness, a lesson in one line, and a device as `web` would
//! connect it.

use crate::game::LinkBounds;
use crate::journal::{MemoryStore, Store};
use crate::lesson::connection::{FromSeat, OutboxReader, outbox};
use crate::lesson::hub::{Hub, SeatLink, time_of_day};
use crate::lesson::randomness::Randomness;
use crate::teacher::TeacherId;
use handround_protocol::close::Close;
use handround_protocol::face::FaceSheet;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{Ask, DeckId, GroupIndex, LessonId, PupilIndex, SeatNumber, Token};
use handround_protocol::message::{BoardSays, SeatNews, SeatSays, ToClient, Welcome};
use handround_protocol::partner::{Partner, Temper, Thought};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardView, LessonPlan, Phase, SeatView};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::sync::{Arc, Mutex};
use std::time::Duration;

/// Randomness that a test can repeat.
pub struct Seeded(Mutex<ChaCha20Rng>);

impl Seeded {
    pub fn new(seed: u64) -> Arc<Seeded> {
        Arc::new(Seeded(Mutex::new(ChaCha20Rng::seed_from_u64(seed))))
    }
}

impl Randomness for Seeded {
    fn bytes(&self) -> [u8; 32] {
        let mut bytes = [0; 32];
        self.0.lock().unwrap().fill_bytes(&mut bytes);
        bytes
    }
}

/// The teacher of these tests.
pub const ME: TeacherId = TeacherId::THIS_MACHINE;

pub const URL: &str = "http://192.0.2.7:8787";

/// A hub over a store, as after a start or a restart.
pub async fn hub_over(store: &Arc<dyn Store>, seed: u64) -> Hub {
    let randomness = Seeded::new(seed);
    Hub::restore_with(store.clone(), URL.to_owned(), randomness, time_of_day()).await.unwrap()
}

pub fn memory() -> Arc<dyn Store> {
    Arc::new(MemoryStore::new())
}

pub fn plan(house: HouseRule) -> LessonPlan {
    LessonPlan { house, number_max: 10, groups: 8, ..LessonPlan::for_ages(AgeBand::SixToSeven) }
}

/// A lesson of this many pupils, `Pupil 0` and so on.
pub async fn lesson(hub: &Hub, pupils: usize, plan: LessonPlan) -> LessonId {
    let list: String = (0..pupils).map(|pupil| format!("Pupil {pupil}\n")).collect();
    hub.make_lesson(ME, "Garden", list.as_bytes(), plan).await.unwrap().lesson
}

pub async fn start(hub: &Hub, lesson: LessonId) -> Result<(), Refusal> {
    hub.board_says(ME, lesson, BoardSays::Start { table: None }).await
}

/// The board, once it says what the test waits for; simulated hours pass before it gives up.
pub async fn board_when(
    hub: &Hub,
    lesson: LessonId,
    says: impl Fn(&BoardView) -> bool,
) -> Arc<BoardView> {
    let mut board = hub.board(ME, lesson).await.unwrap();
    let wait = board.wait_for(|board| says(board));
    match tokio::time::timeout(Duration::from_secs(24 * 3_600), wait).await {
        Ok(board) => board.unwrap().clone(),
        Err(_) => {
            panic!("the board never says so: {:#?}", hub.board(ME, lesson).await.unwrap().borrow())
        }
    }
}

pub fn all(phase: Phase) -> impl Fn(&BoardView) -> bool {
    move |board| {
        !board.tables.is_empty() && board.tables.iter().all(|table| table.view.phase == phase)
    }
}

/// Joins as a child does, by the row of pictures on the board.
pub async fn join(hub: &Hub, lesson: LessonId, pupil: u16) -> Token {
    let row = hub.board(ME, lesson).await.unwrap().borrow().row.clone();
    let places = hub.places_by_row(&row).await.unwrap();
    hub.take_place(places.ticket, PupilIndex(pupil)).await.unwrap().token
}

/// A device on a seat.
pub struct Device {
    pub link: SeatLink,
    pub reader: OutboxReader,
    pub view: Option<SeatView>,
    pub last: Option<SeatNumber>,
    pub deck: DeckId,
    /// The sheet that it has loaded.
    pub sheet: Option<(DeckId, Vec<GroupIndex>)>,
    pub refusals: Vec<Refusal>,
    /// How many of its numbered messages were snapshots.
    pub snapshots: usize,
}

/// A link as good as a cable.
pub const LINK: LinkBounds = LinkBounds {
    least: Micros(2_000),
    smoothed: Micros(3_000),
    greatest: Micros(6_000),
    clock_step: Micros(100),
    ..LinkBounds::NONE
};

impl Device {
    pub async fn connect(
        hub: &Hub,
        token: Token,
        resume: Option<SeatNumber>,
    ) -> Result<Device, Close> {
        let (outbox, reader) = outbox();
        let (link, welcome) = hub.connect_seat(token, resume, outbox).await?;
        let Welcome::Seat { deck, .. } = welcome else { panic!("a seat's welcome") };
        let (view, sheet, refusals) = (None, None, Vec::new());
        Ok(Device { link, reader, view, last: None, deck, sheet, refusals, snapshots: 0 })
    }

    /// Comes back with what this device has.
    pub async fn reconnect(self, hub: &Hub, token: Token) -> Result<Device, Close> {
        let Device { view, last, .. } = self;
        let device = Device::connect(hub, token, last).await?;
        Ok(Device { view, last, ..device })
    }

    pub async fn says(&self, hub: &Hub, says: SeatSays) -> Result<(), Close> {
        let report = FromSeat::Says { ask: Ask(1), says, arrived: hub.now(), link: LINK };
        self.link.report(report).await
    }

    /// Takes the next thing that reaches the device, as `web` and a page would together.
    pub async fn next(&mut self, hub: &Hub) -> Result<(), Close> {
        let mut closed = self.reader.close.clone();
        tokio::select! {
            biased;
            why = async { *closed.wait_for(Option::is_some).await.unwrap() } => Err(why.unwrap()),
            Some(cue) = self.reader.urgent.recv() => {
                let (nonce, sent) = (cue.nonce, hub.now());
                self.link.report(FromSeat::CueSent { nonce, sent, link: LINK }).await?;
                self.link.report(FromSeat::CuePinged { nonce, arrived: hub.now() }).await
            }
            Some(message) = self.reader.ordinary.recv() => {
                self.read(message);
                Ok(())
            }
        }
    }

    fn read(&mut self, message: ToClient) {
        match message {
            ToClient::Welcome(Welcome::Seat { deck, .. }) => self.deck = deck,
            ToClient::Refused { refusal, .. } => self.refusals.push(refusal),
            ToClient::Seat { number, news } => {
                match (&mut self.view, news) {
                    (view, SeatNews::Snapshot(snapshot)) => {
                        self.snapshots += 1;
                        *view = Some(snapshot);
                    }
                    (Some(view), news) => {
                        assert_eq!(number.0, self.last.unwrap().0 + 1, "numbers have no gap");
                        view.apply(&news);
                    }
                    (None, news) => panic!("news before a snapshot: {news:?}"),
                }
                self.last = Some(number);
            }
            other => panic!("not for a seat: {other:?}"),
        }
    }

    /// Takes what has reached the device by now.
    pub async fn catch_up(&mut self, hub: &Hub) -> Result<(), Close> {
        let short = Duration::from_millis(20);
        while let Ok(next) = tokio::time::timeout(short, self.next(hub)).await {
            next?;
        }
        Ok(())
    }

    /// Plays with a brain until something happens that the test waits for.
    pub async fn play_until(
        &mut self,
        hub: &Hub,
        brain: &mut Partner,
        done: impl Fn(&SeatView) -> bool,
    ) -> Result<(), Close> {
        loop {
            let Some(view) = self.view.clone() else {
                self.next(hub).await?;
                continue;
            };
            if done(&view) {
                return Ok(());
            }
            if self.sheet.as_ref().is_none_or(|(deck, _)| *deck != self.deck) {
                self.sheet = Some((self.deck, groups(hub, self.deck).await));
            }
            let (_, groups) = self.sheet.as_ref().unwrap();
            match brain.think(&view, groups, hub.now()) {
                Thought::Say(says) => self.says(hub, says).await?,
                Thought::Rest => self.next(hub).await?,
                Thought::WaitUntil(at) => {
                    let wait = Duration::from_micros(at.since(hub.now()).0);
                    if let Ok(next) = tokio::time::timeout(wait, self.next(hub)).await {
                        next?;
                    }
                }
            }
        }
    }
}

pub fn brain(seed: u64) -> Partner {
    Partner::new(Temper::SIX_TO_SEVEN, seed)
}

/// The game has ended, and the device knows how.
pub fn over(view: &SeatView) -> bool {
    view.table.phase == Phase::GameOver && view.ruling.is_some()
}

/// The match group of each face, from the sheet that pages load.
pub async fn groups(hub: &Hub, deck: DeckId) -> Vec<GroupIndex> {
    let sheet: FaceSheet = serde_json::from_str(&hub.face_sheet(deck).await.unwrap()).unwrap();
    sheet.faces.iter().map(|face| face.group).collect()
}
