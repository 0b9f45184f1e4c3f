//! What happens when the store fails under a table, and that nothing is shown before it is durable.

use super::kit::*;
use crate::journal::{MemoryStore, Store, StoreError, StoreFuture, StreamName, Urgency};
use crate::lesson::hub::Hub;
use handround_protocol::close::Close;
use handround_protocol::house::HouseRule;
use handround_protocol::message::BoardSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::skill::Skill;
use handround_protocol::view::{BoardView, LessonPlan, Phase};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;
use tokio::sync::Semaphore;

/// A store that can fail, keep its writers waiting, and says who wrote alone.
struct Moody {
    inner: MemoryStore,
    fails: AtomicBool,
    /// Which streams it fails for: those whose name begins so.
    fails_for: &'static str,
    /// Writes all the same when it says that it failed, as a disk may.
    fails_after_writing: bool,
    gate: Semaphore,
    alone: AtomicUsize,
}

impl Moody {
    fn new(fails_after_writing: bool, fails_for: &'static str) -> Arc<Moody> {
        Arc::new(Moody {
            inner: MemoryStore::new(),
            fails: AtomicBool::new(false),
            fails_for,
            fails_after_writing,
            gate: Semaphore::new(Semaphore::MAX_PERMITS),
            alone: AtomicUsize::new(0),
        })
    }
}

impl Store for Moody {
    fn append(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
        urgency: Urgency,
    ) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            let _open = self.gate.acquire().await.unwrap();
            let fails = self.fails.load(Ordering::Relaxed) && stream.0.starts_with(self.fails_for);
            self.alone.fetch_add(usize::from(urgency == Urgency::Alone), Ordering::Relaxed);
            if !fails || self.fails_after_writing {
                self.inner.append(stream, held, lines, urgency).await?;
            }
            if fails { Err(StoreError::Failed("no room".to_owned())) } else { Ok(()) }
        })
    }
    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>> {
        self.inner.read(stream)
    }
    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>> {
        self.inner.streams(prefix)
    }
    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()> {
        self.inner.replace(stream, lines)
    }
    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()> {
        self.inner.delete(stream)
    }
}

async fn hub_and_store(seed: u64, fails_after_writing: bool) -> (Hub, Arc<Moody>) {
    let store = Moody::new(fails_after_writing, "");
    let shared: Arc<dyn Store> = store.clone();
    (hub_over(&shared, seed).await, store)
}

#[tokio::test(start_paused = true)]
async fn a_table_whose_store_fails_stops_comes_back_and_plays_on() {
    for fails_after_writing in [false, true] {
        let (hub, store) = hub_and_store(80, fails_after_writing).await;
        let lesson = lesson(&hub, 3, plan(HouseRule::Stay { rounds: 2 })).await;
        let token = join(&hub, lesson, 0).await;
        let mut device = Device::connect(&hub, token, None).await.unwrap();
        start(&hub, lesson).await.unwrap();
        board_when(&hub, lesson, all(Phase::Playing)).await;
        device.catch_up(&hub).await.unwrap();
        store.fails.store(true, Ordering::Relaxed);
        let pause = hub.board_says(ME, lesson, BoardSays::Pause { table: None }).await;
        assert_eq!(pause, Err(Refusal::ServerTrouble));
        assert_eq!(device.catch_up(&hub).await, Err(Close::TableStopped));
        let opened = hub.board_says(ME, lesson, BoardSays::Open { open: false }).await;
        assert_eq!(opened, Err(Refusal::ServerTrouble));
        store.fails.store(false, Ordering::Relaxed);
        // A page waits a moment and comes back; the table is there again.
        let device = device.reconnect(&hub, token).await.unwrap();
        assert_eq!(device.link.report(late_report()).await, Ok(()));
        hub.board_says(ME, lesson, BoardSays::Open { open: true }).await.unwrap();
        let resumed = hub.board_says(ME, lesson, BoardSays::Resume { table: None }).await;
        assert!(resumed.is_ok() || !fails_after_writing, "{resumed:?}");
        drop(device);
        board_when(&hub, lesson, all(Phase::GameOver)).await;
    }
}

fn late_report() -> crate::lesson::connection::FromSeat {
    let nonce = handround_protocol::id::Nonce([0; 16]);
    crate::lesson::connection::FromSeat::CuePinged {
        nonce,
        arrived: handround_protocol::time::Micros(1),
    }
}

#[tokio::test(start_paused = true)]
async fn a_table_that_cannot_be_rebuilt_stays_stopped_and_the_lesson_does_not_hang() {
    let (hub, store) = hub_and_store(81, false).await;
    let lesson = lesson(&hub, 3, plan(HouseRule::Stay { rounds: 2 })).await;
    let token = join(&hub, lesson, 0).await;
    let device = Device::connect(&hub, token, None).await.unwrap();
    start(&hub, lesson).await.unwrap();
    store.fails.store(true, Ordering::Relaxed);
    tokio::time::sleep(Duration::from_secs(600)).await;
    assert!(matches!(Device::connect(&hub, token, None).await, Err(Close::TableStopped)));
    assert_eq!(start(&hub, lesson).await, Err(Refusal::ServerTrouble));
    drop(device);
    store.fails.store(false, Ordering::Relaxed);
    hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
    assert!(hub.lessons(ME).await.is_empty());
}

/// A second writer, or a spoilt file: the table that finds it stops, the one beside it plays on, and
/// so does the lesson after a restart.
#[tokio::test(start_paused = true)]
async fn a_spoilt_journal_stops_its_own_table_only() {
    let (hub, store) = hub_and_store(84, false).await;
    let lesson = lesson(&hub, 7, plan(HouseRule::Stay { rounds: 2 })).await;
    let (first, second) = (join(&hub, lesson, 0).await, join(&hub, lesson, 6).await);
    let mut spoilt = Device::connect(&hub, first, None).await.unwrap();
    let mut sound = Device::connect(&hub, second, None).await.unwrap();
    spoilt.catch_up(&hub).await.unwrap();
    sound.catch_up(&hub).await.unwrap();
    let board = board_when(&hub, lesson, |board| board.tables.len() == 2).await;
    let stream = crate::lesson::lesson_log::table_stream(board.tables[0].table);
    let held = store.read(stream.clone()).await.unwrap().len() as u64;
    let foreign = vec!["{\"at\":1,\"event\":\"Nonsense\"}".to_owned()];
    store.append(stream, held, foreign, Urgency::Group).await.unwrap();
    assert_eq!(start(&hub, lesson).await, Err(Refusal::ServerTrouble));
    assert_eq!(spoilt.catch_up(&hub).await, Err(Close::TableStopped));
    sound.play_until(&hub, &mut brain(84), over).await.unwrap();
    assert!(matches!(Device::connect(&hub, first, None).await, Err(Close::TableStopped)));

    drop(hub);
    let shared: Arc<dyn Store> = store.clone();
    let hub = hub_over(&shared, 85).await;
    assert!(matches!(Device::connect(&hub, first, None).await, Err(Close::TableStopped)));
    assert!(Device::connect(&hub, second, None).await.is_ok());
}

#[tokio::test(start_paused = true)]
async fn nobody_sees_what_the_journal_does_not_hold() {
    let (hub, store) = hub_and_store(82, false).await;
    let lesson = lesson(&hub, 3, plan(HouseRule::Stay { rounds: 2 })).await;
    let mut device = Device::connect(&hub, join(&hub, lesson, 0).await, None).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    let before = (device.view.clone(), board_when(&hub, lesson, |_| true).await);
    let closed = store.gate.acquire_many(1 << 20).await.unwrap();
    store.gate.forget_permits(usize::MAX);
    let starting = tokio::spawn({
        let hub = hub.clone();
        async move { start(&hub, lesson).await }
    });
    tokio::time::sleep(Duration::from_secs(5)).await;
    device.catch_up(&hub).await.unwrap();
    assert_eq!(device.view, before.0);
    assert_eq!(*hub.board(ME, lesson).await.unwrap().borrow(), before.1);
    assert!(!starting.is_finished());
    drop(closed);
    starting.await.unwrap().unwrap();
    device.catch_up(&hub).await.unwrap();
    assert!(device.view.unwrap().hand.is_some());
}

/// A board's link breaks while the first of its tables is being started.
#[tokio::test(start_paused = true)]
async fn a_wish_is_carried_out_for_every_table_although_whoever_wished_it_is_gone() {
    let (hub, store) = hub_and_store(86, false).await;
    let lesson = lesson(&hub, 9, plan(HouseRule::Stay { rounds: 2 })).await;
    board_when(&hub, lesson, |board| board.tables.len() > 1).await;
    let closed = store.gate.acquire_many(1 << 20).await.unwrap();
    store.gate.forget_permits(usize::MAX);
    let gone = tokio::time::timeout(Duration::from_secs(1), start(&hub, lesson)).await;
    assert!(gone.is_err(), "the store keeps it waiting");
    drop(closed);
    let started = |board: &BoardView| board.tables.iter().all(|table| table.view.game.0 == 1);
    board_when(&hub, lesson, started).await;
}

#[tokio::test(start_paused = true)]
async fn only_a_races_first_grab_is_written_alone() {
    let (hub, store) = hub_and_store(83, false).await;
    let lesson = lesson(&hub, 1, plan(HouseRule::Stay { rounds: 3 })).await;
    start(&hub, lesson).await.unwrap();
    board_when(&hub, lesson, all(Phase::GameOver)).await;
    let mut races = 0;
    for stream in store.streams("table/").await.unwrap() {
        for line in store.read(stream).await.unwrap() {
            races +=
                usize::from(line.contains("\"RoundEnded\"") && !line.contains("\"race\":null"));
        }
    }
    assert!(races >= 3);
    assert_eq!(store.alone.load(Ordering::Relaxed), races);
}

/// Names of a class stand in a deck's sheet and in tables before the lesson's journal names those. A server
/// that stops between the two leaves them where deleting the class would not look.
#[tokio::test(start_paused = true)]
async fn what_no_lesson_names_is_gone_at_the_next_start() {
    const LIST: &str = "nickname,picture\nFernquill,kite\nMosswort,drum\nTwigbeam,hat\n\
                        Puddle,lamp\nAcorn,egg\nBreeze,clock\nSprout,glove\n";
    let store = Moody::new(false, "lesson/");
    let shared: Arc<dyn Store> = store.clone();
    let hub = hub_over(&shared, 87).await;
    let calm = plan(HouseRule::Stay { rounds: 1 });
    let make = async |name| hub.make_lesson(ME, name, LIST.as_bytes(), calm.clone()).await;
    let lesson = make("Oak").await.unwrap().lesson;
    let written = async || {
        let mut all = Vec::new();
        for prefix in ["sheet/", "table/"] {
            all.extend(store.streams(prefix).await.unwrap());
        }
        all
    };
    let before = written().await;
    store.fails.store(true, Ordering::Relaxed);
    let names = LessonPlan { skill: Skill::OurClass, groups: 6, ..calm.clone() };
    let refused = hub.board_says(ME, lesson, BoardSays::Plan(names.clone())).await;
    assert_eq!(refused, Err(Refusal::ServerTrouble));
    assert!(make("Elm").await.is_err());
    store.fails.store(false, Ordering::Relaxed);
    // A sheet with names, and a whole lesson that nobody made: its sheet and two tables.
    assert_eq!(written().await.len(), before.len() + 4);

    drop(hub);
    let hub = hub_over(&shared, 88).await;
    assert_eq!(written().await, before);
    // What a lesson names stays, deck by deck, from one start to the next.
    hub.board_says(ME, lesson, BoardSays::Plan(names)).await.unwrap();
    let with_names = written().await;
    assert_eq!(with_names.len(), before.len() + 1);
    hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
    drop(hub);
    drop(hub_over(&shared, 89).await);
    assert_eq!(written().await, with_names);
}
