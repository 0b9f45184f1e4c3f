//! Making a lesson, joining, leaving, and the teacher's board beside a table.

use super::kit::*;
use crate::lesson::hub::{Entered, Hub};
use handround_protocol::close::Close;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{DeckId, FaceIndex, LessonId, PupilIndex, TableId, Token};
use handround_protocol::message::{BoardSays, SeatSays};
use handround_protocol::picture::GARDEN_HELPERS;
use handround_protocol::refusal::Refusal;
use handround_protocol::view::{BoardView, LessonPlan, Phase, SeatKind};
use handround_protocol::wall::{WallSays, WallShows};
use std::collections::BTreeSet;
use std::time::Duration;

fn stay() -> LessonPlan {
    plan(HouseRule::Stay { rounds: 2 })
}

#[tokio::test(start_paused = true)]
async fn a_class_is_seated_and_every_place_is_found_by_row_and_by_link() {
    let hub = hub_over(&memory(), 1).await;
    let lesson = lesson(&hub, 11, stay()).await;
    let board = board_when(&hub, lesson, |board| board.tables.len() == 3).await;
    let sizes: Vec<usize> = board.tables.iter().map(|table| table.seats.len()).collect();
    assert_eq!(sizes, [4, 4, 3]);
    assert_eq!(board.seating, "11 children sit at 2 tables of four and one table of three.");
    assert!(board.join_url.starts_with(URL) && board.join_qr_svg.starts_with("<svg"));
    let code = Token::from_hex(board.join_url.rsplit('/').next().unwrap()).unwrap();
    let by_link = hub.places_by_link(code).await.unwrap();
    let by_row = hub.places_by_row(&board.row).await.unwrap();
    assert_eq!(by_link.places, by_row.places);
    assert_eq!(by_link.places.len(), 11);
    assert_ne!(by_link.ticket, by_row.ticket);
    let line = &hub.lessons(ME).await[0];
    assert_eq!((line.lesson, line.pupils, line.tables), (lesson, 11, 3));
}

#[tokio::test(start_paused = true)]
async fn one_child_sits_with_garden_helpers() {
    let hub = hub_over(&memory(), 2).await;
    let lesson = lesson(&hub, 1, stay()).await;
    let board = board_when(&hub, lesson, |board| !board.tables.is_empty()).await;
    let seats = &board.tables[0].view.seats;
    let kinds: Vec<SeatKind> = seats.iter().map(|seat| seat.kind).collect();
    assert_eq!(kinds, [SeatKind::Pupil, SeatKind::Partner, SeatKind::Partner]);
    for seat in &seats[1..] {
        assert!(GARDEN_HELPERS.contains(&seat.picture));
    }
    assert_ne!(seats[1].picture, seats[2].picture);
}

/// Every size of class can be seated with the defaults of every age; five share one table, for
/// which the youngest's six match groups would be too few.
#[tokio::test(start_paused = true)]
async fn a_class_of_any_size_gets_a_deck_that_serves_its_tables() {
    let hub = hub_over(&memory(), 13).await;
    for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
        for pupils in [1, 2, 3, 4, 5, 11] {
            let lesson = lesson(&hub, pupils, LessonPlan::for_ages(ages)).await;
            assert_eq!(start(&hub, lesson).await, Ok(()), "{ages:?}, {pupils} pupils");
        }
    }
}

#[tokio::test(start_paused = true)]
async fn a_place_is_taken_once_until_the_teacher_frees_it() {
    let hub = hub_over(&memory(), 3).await;
    let lesson = lesson(&hub, 3, stay()).await;
    let token = join(&hub, lesson, 1).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    device.catch_up(&hub).await.unwrap();

    let row = hub.board(ME, lesson).await.unwrap().borrow().row.clone();
    let places = hub.places_by_row(&row).await.unwrap();
    let taken: Vec<bool> = places.places.iter().map(|place| place.taken).collect();
    assert_eq!(taken, [false, true, false]);
    let refused = hub.take_place(places.ticket, PupilIndex(1)).await.unwrap_err();
    assert!(refused.message.contains("sits there already"), "{}", refused.message);
    let refused = hub.take_place(places.ticket, PupilIndex(3)).await.unwrap_err();
    assert!(refused.message.contains("Nobody"), "{}", refused.message);

    hub.board_says(ME, lesson, BoardSays::FreePlace { pupil: PupilIndex(1) }).await.unwrap();
    assert_eq!(device.catch_up(&hub).await, Err(Close::UnknownCredential));
    assert!(matches!(Device::connect(&hub, token, None).await, Err(Close::UnknownCredential)));
    let newer = hub.take_place(places.ticket, PupilIndex(1)).await.unwrap().token;
    assert!(Device::connect(&hub, newer, None).await.is_ok());
    // The ticket has served.
    assert!(hub.take_place(places.ticket, PupilIndex(2)).await.is_err());
}

#[tokio::test(start_paused = true)]
async fn a_closed_room_an_old_ticket_and_a_wrong_row_are_refused_kindly() {
    let hub = hub_over(&memory(), 4).await;
    let lesson = lesson(&hub, 3, stay()).await;
    let row = hub.board(ME, lesson).await.unwrap().borrow().row.clone();
    let mut other = row.clone();
    other.rotate_left(1);
    other[0] = row[0];
    assert!(hub.places_by_row(&other[..3]).await.is_err());
    assert!(hub.places_by_link(Token([0; 16])).await.is_err());

    let ticket = hub.places_by_row(&row).await.unwrap().ticket;
    hub.board_says(ME, lesson, BoardSays::Open { open: false }).await.unwrap();
    assert!(hub.places_by_row(&row).await.unwrap_err().message.contains("closed"));
    assert!(hub.take_place(ticket, PupilIndex(0)).await.unwrap_err().message.contains("closed"));
    hub.board_says(ME, lesson, BoardSays::Open { open: true }).await.unwrap();
    tokio::time::advance(Duration::from_secs(301)).await;
    assert!(hub.take_place(ticket, PupilIndex(0)).await.unwrap_err().message.contains("again"));
}

#[tokio::test(start_paused = true)]
async fn strangers_open_nothing() {
    let hub = hub_over(&memory(), 5).await;
    let lesson = lesson(&hub, 3, stay()).await;
    let stranger = Token([9; 16]);
    assert!(matches!(Device::connect(&hub, stranger, None).await, Err(Close::UnknownCredential)));
    assert!(hub.wall(stranger).await.is_none());
    assert!(hub.board(ME, LessonId([9; 16])).await.is_none());
    assert!(hub.face_sheet(DeckId([9; 16])).await.is_none());
    let wall_url = hub.board(ME, lesson).await.unwrap().borrow().wall_url.clone();
    let wall = Token::from_hex(wall_url.rsplit('/').next().unwrap()).unwrap();
    assert!(hub.wall(wall).await.is_some());
    // A seat's secret is no wall's, and the other way round.
    assert!(matches!(Device::connect(&hub, wall, None).await, Err(Close::UnknownCredential)));
    assert!(hub.wall(join(&hub, lesson, 0).await).await.is_none());
}

#[tokio::test(start_paused = true)]
async fn the_newest_device_has_the_seat() {
    let hub = hub_over(&memory(), 6).await;
    let lesson = lesson(&hub, 3, stay()).await;
    let token = join(&hub, lesson, 0).await;
    let mut older = Device::connect(&hub, token, None).await.unwrap();
    older.catch_up(&hub).await.unwrap();
    let mut newer = Device::connect(&hub, token, None).await.unwrap();
    assert_eq!(older.catch_up(&hub).await, Err(Close::NewerDevice));
    let late = older.says(&hub, SeatSays::TakeUp).await;
    assert_eq!(late, Err(Close::NewerDevice));
    // The older one's farewell does not take the seat from the newer one.
    drop(older);
    newer.catch_up(&hub).await.unwrap();
    let here = |here: bool| {
        move |board: &BoardView| {
            board.tables.first().is_some_and(|table| table.seats[0].here == here)
        }
    };
    board_when(&hub, lesson, here(true)).await;
    newer.says(&hub, SeatSays::TakeUp).await.unwrap();
    newer.catch_up(&hub).await.unwrap();
    assert_eq!(newer.refusals, [Refusal::NoRound]);
    drop(newer);
    board_when(&hub, lesson, here(false)).await;
}

#[tokio::test(start_paused = true)]
async fn a_plan_that_cannot_be_played_changes_nothing() {
    let hub = hub_over(&memory(), 7).await;
    let lesson = lesson(&hub, 5, stay()).await;
    let before = board_when(&hub, lesson, |board| !board.tables.is_empty()).await;
    // Five sit at two tables of three, which need (3 + 2) x 4 cards; four groups of four serve two.
    let small = LessonPlan { groups: 4, ..stay() };
    let refused = hub.board_says(ME, lesson, BoardSays::Plan(small)).await;
    assert_eq!(refused, Err(Refusal::DeckTooSmall { serves: 2 }));
    let many = LessonPlan { groups: 30, ..stay() };
    let refused = hub.board_says(ME, lesson, BoardSays::Plan(many)).await;
    assert_eq!(refused, Err(Refusal::DeckNotPossible));
    let word = plan(HouseRule::Letters { word: "no".to_owned() });
    let refused = hub.board_says(ME, lesson, BoardSays::Plan(word)).await;
    assert_eq!(refused, Err(Refusal::RuleNotPlayable));
    tokio::time::sleep(Duration::from_secs(2)).await;
    assert_eq!(*hub.board(ME, lesson).await.unwrap().borrow(), before);

    let word = plan(HouseRule::Letters { word: "no".to_owned() });
    let refused = hub.make_lesson(ME, "Garden", b"a\nb\nc\nd\ne", word).await.unwrap_err();
    assert!(refused.message.contains("cannot be played"), "{}", refused.message);
    assert_eq!(hub.lessons(ME).await.len(), 1);
}

#[tokio::test(start_paused = true)]
async fn devices_hear_of_the_next_deck_before_its_first_deal() {
    let hub = hub_over(&memory(), 8).await;
    let lesson = lesson(&hub, 3, stay()).await;
    let mut device = Device::connect(&hub, join(&hub, lesson, 0).await, None).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    let first = device.deck;
    let wider = LessonPlan { number_max: 12, ..stay() };
    hub.board_says(ME, lesson, BoardSays::Plan(wider)).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    let second = device.deck;
    assert_ne!(first, second);
    assert!(hub.face_sheet(second).await.is_some());
    // Another house rule needs no other faces, and a plan that comes back finds its old deck.
    let same = LessonPlan { number_max: 12, ..plan(HouseRule::Calm { rounds: 1 }) };
    hub.board_says(ME, lesson, BoardSays::Plan(same)).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    assert_eq!(device.deck, second);
    hub.board_says(ME, lesson, BoardSays::Plan(stay())).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    assert_eq!(device.deck, first);
    // In a game the deck in play stays announced until the game is over.
    start(&hub, lesson).await.unwrap();
    let wider = LessonPlan { number_max: 12, ..stay() };
    hub.board_says(ME, lesson, BoardSays::Plan(wider)).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    assert_eq!(device.deck, first);
    hub.board_says(ME, lesson, BoardSays::End { table: None }).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    assert_eq!(device.deck, second);
}

#[tokio::test(start_paused = true)]
async fn a_wish_for_one_table_leaves_the_others_alone() {
    let hub = hub_over(&memory(), 9).await;
    let lesson = lesson(&hub, 8, stay()).await;
    let board = board_when(&hub, lesson, |board| board.tables.len() == 2).await;
    let first = Some(board.tables[0].table);
    hub.board_says(ME, lesson, BoardSays::Start { table: first }).await.unwrap();
    let again = hub.board_says(ME, lesson, BoardSays::Start { table: first }).await;
    assert_eq!(again, Err(Refusal::GameRunning));
    let playing = |board: &BoardView| {
        board.tables.iter().filter(|table| table.view.phase != Phase::Waiting).count()
    };
    let board = board_when(&hub, lesson, move |board| playing(board) == 1).await;
    assert_eq!(board.tables[1].view.phase, Phase::Waiting);
    // All means all that can: the table that plays already is no reason to refuse.
    start(&hub, lesson).await.unwrap();
    board_when(&hub, lesson, move |board| playing(board) == 2).await;
    assert_eq!(start(&hub, lesson).await, Err(Refusal::GameRunning));
    let nowhere = BoardSays::Pause { table: Some(TableId([9; 16])) };
    assert_eq!(hub.board_says(ME, lesson, nowhere).await, Err(Refusal::NoSuchTable));
}

#[tokio::test(start_paused = true)]
async fn a_lesson_that_is_over_says_so_to_its_devices_even_after_a_restart() {
    let store = memory();
    let hub = hub_over(&store, 10).await;
    let lesson = lesson(&hub, 4, stay()).await;
    let token = join(&hub, lesson, 0).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    start(&hub, lesson).await.unwrap();
    hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
    assert_eq!(device.catch_up(&hub).await, Err(Close::LessonOver));
    let over = async |hub: &Hub| {
        assert!(matches!(Device::connect(hub, token, None).await, Err(Close::LessonOver)));
        assert!(hub.board(ME, lesson).await.is_none());
        assert!(hub.lessons(ME).await.is_empty());
    };
    over(&hub).await;
    drop(hub);
    over(&hub_over(&store, 11).await).await;
}

#[tokio::test(start_paused = true)]
async fn two_lessons_never_share_a_row() {
    let hub = hub_over(&memory(), 12).await;
    let mut rows = BTreeSet::new();
    for _ in 0..40 {
        let lesson = lesson(&hub, 3, stay()).await;
        rows.insert(hub.board(ME, lesson).await.unwrap().borrow().row.clone());
    }
    assert_eq!(rows.len(), 40);
}

#[tokio::test(start_paused = true)]
async fn the_demo_is_made_once_and_one_seat_is_free() {
    let store = memory();
    let hub = hub_over(&store, 13).await;
    let made = hub.make_demo().await.unwrap();
    let board = board_when(&hub, made.lesson, |board| board.tables.len() == 3).await;
    let sizes: Vec<usize> = board.tables.iter().map(|table| table.seats.len()).collect();
    assert_eq!(sizes, [4, 4, 3]);
    let seats = board.tables.iter().flat_map(|table| &table.view.seats);
    let (pupils, partners): (Vec<_>, Vec<_>) = seats.partition(|seat| seat.kind == SeatKind::Pupil);
    assert_eq!((pupils.len(), partners.len()), (1, 10));
    assert!(partners.iter().all(|seat| GARDEN_HELPERS.contains(&seat.picture)));
    let playing = |board: &BoardView| -> Vec<bool> {
        board.tables.iter().map(|table| table.view.phase == Phase::Playing).collect()
    };
    let waits = [true, true, false];
    board_when(&hub, made.lesson, |board| playing(board) == waits).await;
    let token = join(&hub, made.lesson, 0).await;
    board_when(&hub, made.lesson, |board| board.tables[2].view.phase != Phase::Waiting).await;
    let mut device = Device::connect(&hub, token, None).await.unwrap();
    device.catch_up(&hub).await.unwrap();
    assert!(device.view.unwrap().hand.is_some());

    assert_eq!(hub.make_demo().await.unwrap().lesson, made.lesson);
    drop(device.link);
    drop(hub);
    let hub = hub_over(&store, 14).await;
    assert_eq!(hub.make_demo().await.unwrap().lesson, made.lesson);
    assert_eq!(hub.lessons(ME).await.len(), 1);
    assert!(Device::connect(&hub, token, None).await.is_ok());

    // The newcomer has a place card, as a child of a class has, that leads to the same place.
    let (class, cards) = hub.place_cards(ME, made.lesson, None).await.unwrap();
    assert_eq!((class.as_str(), cards.len(), cards[0].name.as_str()), ("Garden class", 1, "Daisy"));
    assert_eq!(hub.classes(ME).await.unwrap().len(), 1);
    let code = cards[0].address.split_once("/p#").and_then(|(_, code)| Token::from_hex(code));
    let entered = hub.enter_by_code(code.unwrap(), Some(token)).await.unwrap();
    assert!(matches!(entered, Entered::In(joined) if joined.token == token));
}

/// The class has seen how it goes, and looks at its own tables from now on.
#[tokio::test(start_paused = true)]
async fn the_model_table_leaves_the_wall_when_play_begins_and_four_cards_stay() {
    let hub = hub_over(&memory(), 15).await;
    let lesson = lesson(&hub, 4, stay()).await;
    let board = board_when(&hub, lesson, |board| !board.tables.is_empty()).await;
    let token = Token::from_hex(board.wall_url.rsplit('/').next().unwrap()).unwrap();
    let mut wall = hub.wall(token).await.unwrap();
    let say = |says: WallSays| hub.board_says(ME, lesson, BoardSays::Wall(says));
    say(WallSays::ModelOpen).await.unwrap();
    wall.wait_for(|wall| wall.shows.model.is_some()).await.unwrap();
    start(&hub, lesson).await.unwrap();
    wall.wait_for(|wall| wall.shows == WallShows::default()).await.unwrap();
    assert_eq!(say(WallSays::ModelNext).await, Err(Refusal::NothingToShow), "it is put away");

    // A start that is refused begins nothing.
    say(WallSays::ModelOpen).await.unwrap();
    assert_eq!(start(&hub, lesson).await, Err(Refusal::GameRunning));
    wall.wait_for(|wall| wall.shows.model.is_some()).await.unwrap();

    // Four cards to talk about are no model: they stay until she takes them off.
    let deck = board.tables[0].deck;
    let groups = groups(&hub, deck).await;
    let alike = (0..).map(FaceIndex).zip(&groups).filter(|(_, group)| **group == groups[0]);
    let faces = alike.map(|(face, _)| face).take(4).collect();
    say(WallSays::Four { deck, faces }).await.unwrap();
    hub.board_says(ME, lesson, BoardSays::End { table: None }).await.unwrap();
    board_when(&hub, lesson, all(Phase::GameOver)).await;
    start(&hub, lesson).await.unwrap();
    board_when(&hub, lesson, |board| board.tables[0].view.game.0 == 2).await;
    let shown = wall.borrow_and_update().shows.clone();
    assert!(shown.four.is_some() && shown.model.is_none());
}
