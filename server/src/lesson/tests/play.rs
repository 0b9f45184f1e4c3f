//! Whole games through the table task, with partners inside, children on devices, and restarts.

use super::kit::*;
use crate::game::{Event, Table};
use crate::journal::Store;
use crate::lesson::hub::Hub;
use crate::lesson::lesson_log::table_stream;
use crate::lesson::live_table::read_table;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{LessonId, TableId};
use handround_protocol::partner::{Partner, Temper};
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardView, LessonPlan, Phase, RoundEnd, SeatView, VoidReason};
use std::sync::Arc;
use std::time::Duration;

/// Replays every table's journal and returns the number of rounds that were ended.
async fn replay(store: &Arc<dyn Store>, lesson_tables: &[TableId]) -> usize {
    let mut rounds = 0;
    for table in lesson_tables {
        let entries = read_table(&**store, table_stream(*table)).await.unwrap();
        let (mut once, mut again) = (Table::empty(), Table::empty());
        let mut last = Micros(0);
        for entry in &entries {
            assert!(entry.at >= last, "time never runs backwards");
            last = entry.at;
            once.apply(entry);
            once.check().unwrap();
            rounds += usize::from(matches!(entry.event, Event::RoundEnded { .. }));
        }
        entries.iter().for_each(|entry| again.apply(entry));
        assert_eq!(once, again);
    }
    rounds
}

async fn tables(hub: &Hub, lesson: LessonId) -> Vec<TableId> {
    let board = board_when(hub, lesson, |board| !board.tables.is_empty()).await;
    board.tables.iter().map(|table| table.table).collect()
}

#[tokio::test(start_paused = true)]
async fn partners_alone_play_every_house_rule_to_its_end() {
    let rules = [
        HouseRule::Stay { rounds: 3 },
        HouseRule::Letters { word: "LEAF".to_owned() },
        HouseRule::Out { shield: false },
        HouseRule::Out { shield: true },
        HouseRule::Calm { rounds: 2 },
    ];
    for (seed, house) in (20..).zip(rules) {
        let store = memory();
        let hub = hub_over(&store, seed).await;
        let lesson = lesson(&hub, 1, plan(house.clone())).await;
        start(&hub, lesson).await.unwrap();
        let board = board_when(&hub, lesson, all(Phase::GameOver)).await;
        assert!(!board.tables[0].winners.is_empty(), "{house:?}, seed {seed}");
        assert!(replay(&store, &tables(&hub, lesson).await).await >= 2, "{house:?}, seed {seed}");
    }
}

#[tokio::test(start_paused = true)]
async fn the_youngest_are_never_beaten_to_a_start_and_still_come_to_an_end() {
    let store = memory();
    let hub = hub_over(&store, 30).await;
    let young = LessonPlan {
        house: HouseRule::Stay { rounds: 2 },
        groups: 8,
        ..LessonPlan::for_ages(AgeBand::FiveToSix)
    };
    let lesson = lesson(&hub, 1, young).await;
    let token = join(&hub, lesson, 0).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    start(&hub, lesson).await.unwrap();
    device.play_until(&hub, &mut brain(30), over).await.unwrap();
    for table in tables(&hub, lesson).await {
        let entries = read_table(&*store, table_stream(table)).await.unwrap();
        let mut open = false;
        for entry in entries {
            match entry.event {
                Event::Grabbed { marks, .. } => {
                    assert!(open || marks.by.is_child(), "{:?} began a race", marks.by);
                    open = true;
                }
                Event::RoundEnded { .. } => open = false,
                _ => {}
            }
        }
    }
}

#[tokio::test(start_paused = true)]
async fn a_class_on_devices_plays_to_the_winners() {
    let store = memory();
    let hub = hub_over(&store, 40).await;
    let lesson = lesson(&hub, 7, plan(HouseRule::Out { shield: true })).await;
    let mut children = Vec::new();
    for pupil in 0..7 {
        let token = join(&hub, lesson, pupil).await;
        children.push(Device::connect(&hub, token, None).await.unwrap());
    }
    start(&hub, lesson).await.unwrap();
    let mut playing = Vec::new();
    for (seed, mut child) in (0..).zip(children) {
        let hub = hub.clone();
        playing.push(tokio::spawn(async move {
            child.play_until(&hub, &mut brain(seed), over).await.unwrap();
            child.view.unwrap()
        }));
    }
    for child in playing {
        let view = child.await.unwrap();
        assert!(!view.ruling.unwrap().winners.is_empty());
    }
    let ids = tables(&hub, lesson).await;
    assert!(replay(&store, &ids).await >= 2 + 3, "one goes out a round, down to one winner");
    // A rematch has everybody back. The board lags a moment behind the devices, so that the first
    // look may still show the game before.
    start(&hub, lesson).await.unwrap();
    let again = |board: &BoardView| board.tables.iter().all(|table| table.view.game.0 == 2);
    let playing = all(Phase::Playing);
    let board = board_when(&hub, lesson, |board| again(board) && playing(board)).await;
    let seats = board.tables.iter().flat_map(|table| &table.view.seats);
    assert!(seats.clone().count() == 7 && seats.into_iter().all(|seat| seat.in_play));
}

/// The server stops at many moments of one game, each time without any warning to its tables.
#[tokio::test(start_paused = true)]
async fn a_game_goes_on_over_restarts_and_the_device_comes_back_by_itself() {
    for seed in 50..56_u64 {
        let store = memory();
        let mut hub = hub_over(&store, seed).await;
        let lesson = lesson(&hub, 2, plan(HouseRule::Letters { word: "FERN".to_owned() })).await;
        let token = join(&hub, lesson, 0).await;
        let mut device = Device::connect(&hub, token, None).await.unwrap();
        start(&hub, lesson).await.unwrap();
        for restart in 1..200_u64 {
            let mut brain = brain(seed + restart);
            let lifetime = Duration::from_millis(1_700 * seed + 2_311 * restart);
            let ended =
                tokio::time::timeout(lifetime, device.play_until(&hub, &mut brain, over)).await;
            if let Ok(ended) = ended {
                ended.unwrap();
                assert!(restart > 5, "seed {seed}: hardly a restart");
                break;
            }
            let before = device.view.clone();
            drop(hub);
            hub = hub_over(&store, seed + 1_000 * restart).await;
            device = device.reconnect(&hub, token).await.unwrap();
            device.catch_up(&hub).await.unwrap();
            assert_eq!(device.snapshots, 1, "a number from before the restart was bridged");
            let (before, after) = (before.unwrap(), device.view.as_ref().unwrap());
            assert!(after.table.game >= before.table.game);
            assert!(after.table.round >= before.table.round);
        }
        assert!(over(device.view.as_ref().unwrap()), "seed {seed} never ended");
        replay(&store, &tables(&hub, lesson).await).await;
    }
}

/// A crash between two moves: the hand that comes back is the hand that went.
#[tokio::test(start_paused = true)]
async fn a_restart_brings_back_the_very_hand() {
    let store = memory();
    let hub = hub_over(&store, 60).await;
    let lesson = lesson(&hub, 1, plan(HouseRule::Stay { rounds: 3 })).await;
    let token = join(&hub, lesson, 0).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    start(&hub, lesson).await.unwrap();
    let considering =
        |view: &SeatView| view.hand.as_ref().is_some_and(|hand| hand.considering.is_some());
    device.play_until(&hub, &mut brain(60), considering).await.unwrap();
    let before = device.view.clone().unwrap();
    drop(hub);
    let hub = hub_over(&store, 61).await;
    let mut device = device.reconnect(&hub, token).await.unwrap();
    device.next(&hub).await.unwrap();
    let after = device.view.clone().unwrap();
    assert_eq!(after.table.round, before.table.round);
    let (before, after) = (before.hand.unwrap(), after.hand.unwrap());
    assert_eq!((after.cards, after.considering), (before.cards, before.considering));
}

/// A race cannot be decided after a crash, so it does not count and is dealt again.
#[tokio::test(start_paused = true)]
async fn a_race_that_was_open_at_a_restart_is_void() {
    let store = memory();
    let hub = hub_over(&store, 62).await;
    let lesson = lesson(&hub, 1, plan(HouseRule::Stay { rounds: 3 })).await;
    let token = join(&hub, lesson, 0).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    start(&hub, lesson).await.unwrap();
    let cued = |view: &SeatView| view.grab.cue.is_some();
    // A child who never takes the first token gets a cue in the first round.
    let waits = Temper { starts_races: false, ..Temper::SIX_TO_SEVEN };
    device.play_until(&hub, &mut Partner::new(waits, 62), cued).await.unwrap();
    let round = device.view.as_ref().unwrap().table.round;
    drop(hub);
    let hub = hub_over(&store, 63).await;
    let mut device = device.reconnect(&hub, token).await.unwrap();
    device.next(&hub).await.unwrap();
    let view = device.view.clone().unwrap();
    let ruling = view.ruling.unwrap();
    assert_eq!(ruling.round, round);
    assert_eq!(ruling.end, RoundEnd::Void { reason: VoidReason::Restarted });
    let dealt_again = |view: &SeatView| view.table.round > round && view.hand.is_some();
    device.play_until(&hub, &mut brain(63), dealt_again).await.unwrap();
    device.play_until(&hub, &mut brain(64), over).await.unwrap();
}

#[tokio::test(start_paused = true)]
async fn a_partner_from_outside_takes_over_and_leaves_again() {
    let hub = hub_over(&memory(), 70).await;
    let lesson = lesson(&hub, 1, plan(HouseRule::Stay { rounds: 3 })).await;
    let seats = hub.partner_seats(ME, lesson).await.unwrap();
    assert_eq!(seats.len(), 2);
    start(&hub, lesson).await.unwrap();
    let mut outside = Device::connect(&hub, seats[0].token, None).await.unwrap();
    // It says nothing: were the partner inside still playing, this seat's card would move.
    board_when(&hub, lesson, all(Phase::Playing)).await;
    outside.catch_up(&hub).await.unwrap();
    let you = outside.view.as_ref().unwrap().you;
    let hand = outside.view.as_ref().unwrap().hand.clone().unwrap().cards;
    let until = tokio::time::Instant::now() + Duration::from_secs(20);
    while let Ok(next) = tokio::time::timeout_at(until, outside.next(&hub)).await {
        next.unwrap();
    }
    let view = outside.view.clone().unwrap();
    assert_eq!(view.hand.unwrap().cards, hand);
    assert!(!view.table.seats[usize::from(you.0)].considering);
    // Gone, the one inside plays on to the end.
    drop(outside);
    board_when(&hub, lesson, all(Phase::GameOver)).await;
    // New secrets withdraw the old ones.
    hub.partner_seats(ME, lesson).await.unwrap();
    assert!(Device::connect(&hub, seats[0].token, None).await.is_err());
}
