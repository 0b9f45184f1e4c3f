//! Children who come late, leave early or change their table, with rounds going on around them.

use super::kit::*;
use crate::game::{Event, Table};
use crate::lesson::lesson_log::table_stream;
use crate::lesson::live_table::read_table;
use handround_protocol::close::Close;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{PupilIndex, SeatIndex};
use handround_protocol::message::BoardSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::view::{BoardView, Phase, SeatKind};

/// Names by table, in the order of play; `*` for a practice partner.
fn seats(board: &BoardView) -> Vec<Vec<String>> {
    let name = |kind: SeatKind, name: &str| match kind {
        SeatKind::Pupil => name.replace("Pupil ", ""),
        SeatKind::Partner => "*".to_owned(),
    };
    let table = board.tables.iter();
    table.map(|t| t.view.seats.iter().map(|seat| name(seat.kind, &seat.name)).collect()).collect()
}

fn at(rows: &[&str]) -> Vec<Vec<String>> {
    rows.iter().map(|row| row.split(' ').map(str::to_owned).collect()).collect()
}

#[tokio::test(start_paused = true)]
async fn a_child_moves_after_its_round_and_its_secret_leads_to_the_new_table() {
    let store = memory();
    let hub = hub_over(&store, 71).await;
    let lesson = lesson(&hub, 7, plan(HouseRule::Stay { rounds: 4 })).await;
    let token = join(&hub, lesson, 1).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    let board = board_when(&hub, lesson, |board| board.tables.len() == 2).await;
    assert_eq!(seats(&board), at(&["0 1 2 3", "4 5 6"]));
    let (first, second) = (board.tables[0].table, board.tables[1].table);
    let says = |says| hub.board_says(ME, lesson, says);
    let to = |table| BoardSays::MovePupil { pupil: PupilIndex(1), table };
    assert_eq!(says(to(Some(first))).await, Err(Refusal::SitsThere));
    start(&hub, lesson).await.unwrap();
    let in_round = |board: &BoardView| board.tables.iter().all(|t| t.view.phase == Phase::Playing);
    board_when(&hub, lesson, in_round).await;
    says(to(Some(second))).await.unwrap();
    let board = board_when(&hub, lesson, |board| !board.moving.is_empty()).await;
    assert_eq!(seats(&board), at(&["0 1 2 3", "4 5 6"]), "not while a round is being played");
    let moved = device.play_until(&hub, &mut brain(71), |_| false).await;
    assert_eq!(moved, Err(Close::Moved));
    let board = board_when(&hub, lesson, |board| board.moving.is_empty()).await;
    assert_eq!(seats(&board), at(&["0 * 2 3", "4 5 6 1"]));
    // The number of the old seat means nothing at the new one: a snapshot comes.
    let mut device = device.reconnect(&hub, token).await.unwrap();
    device.play_until(&hub, &mut brain(72), |view| view.you == SeatIndex(3)).await.unwrap();
    assert_eq!(device.snapshots, 1);
    device.play_until(&hub, &mut brain(72), over).await.unwrap();
    board_when(&hub, lesson, all(Phase::GameOver)).await;
    for table in [first, second] {
        let entries = read_table(&*store, table_stream(table)).await.unwrap();
        let mut again = Table::empty();
        entries.iter().for_each(|entry| again.apply(entry));
        again.check().unwrap();
    }
    drop(hub);
    let hub = hub_over(&store, 73).await;
    let board = board_when(&hub, lesson, |board| board.tables.len() == 2).await;
    assert_eq!(seats(&board), at(&["0 * 2 3", "4 5 6 1"]));
    let again = Device::connect(&hub, token, None).await.unwrap();
    drop(again);
    // And back: the partner makes way.
    hub.board_says(ME, lesson, to(Some(first))).await.unwrap();
    let home = at(&["0 1 2 3", "4 5 6 *"]);
    board_when(&hub, lesson, |board| seats(board) == home).await;
}

#[tokio::test(start_paused = true)]
async fn a_late_comer_gets_a_partners_seat_or_a_new_one_and_a_picture_that_nobody_has() {
    let store = memory();
    let hub = hub_over(&store, 74).await;
    let lesson = lesson(&hub, 2, plan(HouseRule::Stay { rounds: 2 })).await;
    let board = board_when(&hub, lesson, |board| board.tables.len() == 1).await;
    let table = board.tables[0].table;
    let add = |name: &str| BoardSays::AddPupil { name: name.to_owned(), table };
    for name in ["pupil 1", "", "A name that is much longer than any nickname can be"] {
        assert_eq!(
            hub.board_says(ME, lesson, add(name)).await,
            Err(Refusal::NameNotPossible),
            "{name}"
        );
    }
    for name in ["Noor", "Oda", "Per", "Quin"] {
        hub.board_says(ME, lesson, add(name)).await.unwrap();
        board_when(&hub, lesson, |board| {
            board.moving.is_empty() && seats(board)[0].iter().any(|seat| seat == name)
        })
        .await;
    }
    let board = board_when(&hub, lesson, |_| true).await;
    assert_eq!(seats(&board), at(&["0 1 Noor Oda Per Quin"]));
    let pictures: Vec<_> = board.tables[0].view.seats.iter().map(|seat| seat.picture).collect();
    assert!(pictures.iter().enumerate().all(|(at, one)| !pictures[..at].contains(one)));
    assert_eq!(hub.board_says(ME, lesson, add("Rani")).await, Err(Refusal::SeatCount));
    let token = join(&hub, lesson, 3).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    start(&hub, lesson).await.unwrap();
    device.play_until(&hub, &mut brain(74), over).await.unwrap();
}

#[tokio::test(start_paused = true)]
async fn a_child_that_leaves_is_followed_by_a_partner_and_can_be_given_a_place_again() {
    let store = memory();
    let hub = hub_over(&store, 75).await;
    let lesson = lesson(&hub, 3, plan(HouseRule::Stay { rounds: 2 })).await;
    let token = join(&hub, lesson, 2).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    let board = board_when(&hub, lesson, |board| board.tables.len() == 1).await;
    let table = board.tables[0].table;
    let pupil = PupilIndex(2);
    hub.board_says(ME, lesson, BoardSays::MovePupil { pupil, table: None }).await.unwrap();
    let board = board_when(&hub, lesson, |board| board.unseated.len() == 1).await;
    let board = if seats(&board) == at(&["0 1 *"]) {
        board
    } else {
        board_when(&hub, lesson, |board| seats(board) == at(&["0 1 *"])).await
    };
    assert_eq!(board.unseated[0].pupil, pupil);
    assert_eq!(device.catch_up(&hub).await, Err(Close::Moved));
    assert!(matches!(device.reconnect(&hub, token).await, Err(Close::UnknownCredential)));
    hub.board_says(ME, lesson, BoardSays::MovePupil { pupil, table: Some(table) }).await.unwrap();
    let back = board_when(&hub, lesson, |board| seats(board) == at(&["0 1 2"])).await;
    assert!(back.unseated.is_empty());
    let token = join(&hub, lesson, 2).await;
    Device::connect(&hub, token, None).await.unwrap();
}

#[tokio::test(start_paused = true)]
async fn of_two_wishes_in_one_round_the_later_one_holds_and_every_child_sits_once() {
    let store = memory();
    let hub = hub_over(&store, 76).await;
    let lesson = lesson(&hub, 10, plan(HouseRule::Stay { rounds: 4 })).await;
    let token = join(&hub, lesson, 1).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    let board = board_when(&hub, lesson, |board| board.tables.len() == 3).await;
    let before = seats(&board);
    assert_eq!(before, at(&["0 1 2 3", "4 5 6", "7 8 9"]));
    let tables: Vec<_> = board.tables.iter().map(|table| table.table).collect();
    start(&hub, lesson).await.unwrap();
    board_when(&hub, lesson, |board| board.tables[0].view.phase == Phase::Playing).await;
    for table in [tables[1], tables[2], tables[2]] {
        let says = BoardSays::MovePupil { pupil: PupilIndex(1), table: Some(table) };
        assert_eq!(hub.board_says(ME, lesson, says).await, Ok(()));
    }
    assert_eq!(device.play_until(&hub, &mut brain(76), |_| false).await, Err(Close::Moved));
    let board = board_when(&hub, lesson, |board| board.moving.is_empty()).await;
    assert_eq!(seats(&board), at(&["0 * 2 3", "4 5 6", "7 8 9 1"]));
}

#[tokio::test(start_paused = true)]
async fn a_lesson_that_ends_while_a_race_is_open_leaves_whole_journals_and_tells_every_device() {
    let store = memory();
    let hub = hub_over(&store, 77).await;
    let lesson = lesson(&hub, 1, plan(HouseRule::Stay { rounds: 4 })).await;
    let token = join(&hub, lesson, 0).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    let board = board_when(&hub, lesson, |board| board.tables.len() == 1).await;
    start(&hub, lesson).await.unwrap();
    // The child looks on: cards go round it, a partner begins a race, and it stays open.
    while device.view.as_ref().is_none_or(|view| view.grab.cue.is_none()) {
        device.next(&hub).await.unwrap();
    }
    hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
    assert_eq!(device.catch_up(&hub).await, Err(Close::LessonOver));
    assert_eq!(
        hub.board_says(ME, lesson, BoardSays::EndLesson).await,
        Err(Refusal::NoSuchTable),
        "over for good"
    );
    let entries = read_table(&*store, table_stream(board.tables[0].table)).await.unwrap();
    let mut again = Table::empty();
    entries.iter().for_each(|entry| again.apply(entry));
    again.check().unwrap();
    let raced = entries.iter().any(|entry| matches!(entry.event, Event::Grabbed { .. }));
    assert!(raced, "a race was open");
    drop(hub);
    assert!(hub_over(&store, 78).await.lessons(ME).await.is_empty());
}

#[tokio::test(start_paused = true)]
async fn the_board_names_the_table_where_a_child_disturbs_least() {
    let hub = hub_over(&memory(), 75).await;
    // Tables of 4 and 3: the smaller one has room without a partner beside it.
    let lesson = lesson(&hub, 7, plan(HouseRule::Stay { rounds: 1 })).await;
    let board = board_when(&hub, lesson, |board| board.tables.len() == 2).await;
    assert_eq!(seats(&board), at(&["0 1 2 3", "4 5 6"]));
    let (first, second) = (board.tables[0].table, board.tables[1].table);
    assert_eq!((board.late_table, board.alone.len()), (Some(second), 0));

    // Two leave the smaller table: whoever stays sits with partners, and the other table is full of
    // children; a third leaves there, and the place is the best one.
    let says = |says| hub.board_says(ME, lesson, says);
    let leaves = |pupil| BoardSays::MovePupil { pupil: PupilIndex(pupil), table: None };
    for pupil in [5, 6, 0] {
        says(leaves(pupil)).await.unwrap();
    }
    let sit = at(&["* 1 2 3", "4 * *"]);
    let board =
        board_when(&hub, lesson, |board| board.unseated.len() == 3 && seats(board) == sit).await;
    let alone: Vec<_> = board.alone.iter().map(|child| (child.pupil, child.best)).collect();
    assert_eq!(alone, [(PupilIndex(4), Some(first))]);
    let best: Vec<_> = board.unseated.iter().map(|child| child.best).collect();
    // Beside the child that is alone.
    assert_eq!(best, [Some(second); 3]);
}
