//! The door of a lesson over real sockets: place cards, home links, the teacher's answer, a second device,
//! a wrong tap, tablets of the cart, several hands on one screen.
#![allow(clippy::unwrap_used)]

use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::door::{
    Admit, DoorCard, DoorPick, DoorSays, DoorTablet, DoorUndo, DoorView, DoorWait, SharedAsked,
    TabletTold, Way,
};
use handround_protocol::id::{LessonId, PupilIndex, TableId, Token};
use handround_protocol::join::{JoinPick, JoinPlaces, Joined};
use handround_protocol::message::{BoardSays, ToClient, Welcome};
use handround_server::game::{By, Event};
use handround_server::journal::{MemoryStore, Store};
use handround_server::limits::lesson::UNDO_FOR;
use handround_tests::class::journal;
use handround_tests::door::{Answer, Device};
use handround_tests::house::{House, ME};
use handround_tests::paper::{Pdf, poppler};
use handround_tests::quick_clock;
use std::sync::Arc;
use std::time::Duration;

const LIST: &str = "nickname,picture\nAda,kite\nBo,drum\nCl\u{e9}o,pear\nDora,mug\n";
const ADA: PupilIndex = PupilIndex(0);
const BO: PupilIndex = PupilIndex(1);

async fn says(house: &House, lesson: LessonId, says: DoorSays) -> Answer {
    let body = serde_json::to_vec(&says).unwrap();
    house.ask_as_teacher(&format!("POST /lessons/{lesson}/door"), &body).await
}

async fn wish(house: &House, lesson: LessonId, wish: DoorSays) -> DoorView {
    let answer = says(house, lesson, wish).await;
    assert_eq!(answer.status, 200, "{}", String::from_utf8_lossy(&answer.body));
    answer.json()
}

async fn door(house: &House, lesson: LessonId) -> DoorView {
    house.ask_as_teacher(&format!("GET /lessons/{lesson}/door"), b"").await.json()
}

async fn ask(house: &House, lesson: LessonId, pupil: PupilIndex, tablet: Option<Token>) -> Answer {
    let JoinPlaces { ticket, .. } = house.places(lesson).await.json();
    house.post("/join/ask", &DoorPick { ticket, pupil, tablet }).await
}

async fn cards(house: &House, lesson: LessonId) -> Vec<String> {
    printed(house, lesson, "", &["Ada", "Bo", "Cl\u{e9}o", "Dora"]).await
}

/// What a camera sees of the printed cards, read by rqrr from pixels that poppler drew.
async fn printed(house: &House, lesson: LessonId, wish: &str, names: &[&str]) -> Vec<String> {
    let line = format!("GET /lessons/{lesson}/place-cards.pdf?paper=a4{wish}");
    let answer = house.ask_as_teacher(&line, b"").await;
    assert_eq!(answer.status, 200, "{}", String::from_utf8_lossy(&answer.body));
    let pdf = Pdf::of(&answer.body).unwrap();
    let words = pdf.words(1).unwrap();
    for name in names {
        assert!(words.contains(name), "{name} is missing: {words}");
    }
    let path = pdf.path().to_str().unwrap().to_owned();
    let png = poppler("pdftoppm", &["-r", "200", "-gray", "-png", "-singlefile", &path]).unwrap();
    let page = image::load_from_memory(&png).unwrap().to_luma8();
    let places = (0..3).flat_map(|row| (0..3).map(move |column| (row, column)));
    places.filter_map(|place| code_at(&page, place)).collect()
}

/// The code of one of nine cards on A4, each looked at by itself as a child's tablet would: beside each
/// other the corners of two codes can look like those of one.
fn code_at(page: &image::GrayImage, (row, column): (u32, u32)) -> Option<String> {
    // In mm: a third of the page's width; cards are 88 tall, their codes begin about 60 below its top.
    let pixels = |mm: u32| mm * 2_000 / 254;
    let (left, top) = (pixels(70 * column), pixels(40 + 88 * row));
    let mut card = rqrr::PreparedImage::prepare_from_greyscale(
        pixels(70) as usize,
        pixels(75) as usize,
        |x, y| page.get_pixel(left + x as u32, top + y as u32).0[0],
    );
    let grids = card.detect_grids();
    grids.first().map(|grid| grid.decode().unwrap().1)
}

fn code(address: &str) -> Token {
    address.split_once('#').and_then(|(_, code)| Token::from_hex(code)).unwrap()
}

async fn by_code(house: &House, address: &str) -> Answer {
    house.post("/join/card", &DoorCard { code: code(address), held: None }).await
}

async fn asks_again(house: &House, wait: Token) -> Answer {
    house.post("/join/wait", &serde_json::json!({ "wait": wait })).await
}

async fn sits(house: &House, token: Token) -> Device {
    let mut device = house.socket(Codec::Json, &[]).await;
    device.hello_seat(token).await;
    assert!(matches!(device.hear().await, Ok(ToClient::Welcome(Welcome::Seat { .. }))));
    device
}

/// The board has noticed that a device of this child is here, or that none is.
async fn seen(house: &House, lesson: LessonId, pupil: PupilIndex, here: bool) {
    let mut board = house.hub.board(ME, lesson).await.unwrap();
    let noticed = board.wait_for(|board| {
        let mut seats = board.tables.iter().flat_map(|table| &table.seats);
        seats.any(|seat| seat.pupil == Some(pupil) && seat.here == here)
    });
    drop(noticed.await.unwrap());
}

#[tokio::test]
async fn a_printed_card_leads_to_the_own_place_until_it_is_revoked() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let printed = cards(&house, lesson).await;
    assert_eq!(printed.len(), 4);
    assert!(printed.iter().all(|address| address.contains("/p#")), "{printed:?}");
    assert_eq!(cards(&house, lesson).await, printed, "printed again, the same cards");

    let ada = by_code(&house, &printed[0]).await;
    assert_eq!(ada.status, 200);
    let ada: Joined = ada.json();
    assert_eq!(ada.name, "Ada");
    let _plays = sits(&house, ada.token).await;

    // Revoked: the card refuses, whoever sits plays on, the others' cards are good.
    wish(&house, lesson, DoorSays::Revoke(Some(ADA))).await;
    let refused = by_code(&house, &printed[0]).await;
    assert_eq!(refused.status, 410);
    assert!(refused.refusal().message.contains("Your place is safe"), "{:?}", refused.refusal());
    drop(sits(&house, ada.token).await);
    assert_eq!(by_code(&house, &printed[1]).await.json::<Joined>().name, "Bo");
    let again = cards(&house, lesson).await;
    assert_ne!(again[0], printed[0]);
    assert_eq!(again[1..], printed[1..]);

    wish(&house, lesson, DoorSays::Revoke(None)).await;
    for address in again.iter().chain(&printed) {
        assert_eq!(by_code(&house, address).await.status, 410);
    }
    assert_ne!(cards(&house, lesson).await[1], again[1]);
    house.close().await;
}

/// The index of cards and tablets is made anew from the store.
#[tokio::test]
async fn cards_and_tablets_lead_on_after_a_restart_and_revoked_ones_do_not() {
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    let house = House::over(store.clone(), 1).await;
    let lesson = house.make_lesson(LIST).await;
    let printed = cards(&house, lesson).await;
    let tablet = Token([5; 16]);
    ask(&house, lesson, BO, Some(tablet)).await.json::<Joined>();
    wish(&house, lesson, DoorSays::KeepTablet(BO)).await;
    wish(&house, lesson, DoorSays::Revoke(Some(ADA))).await;
    house.close().await;

    let house = House::over(store, 2).await;
    assert_eq!(by_code(&house, &printed[0]).await.status, 410);
    assert_eq!(by_code(&house, &printed[3]).await.json::<Joined>().name, "Dora");
    let whose = DoorTablet { tablet, sit: false, held: None };
    assert_eq!(house.post("/join/tablet", &whose).await.json::<TabletTold>().name, "Bo");
    let forged = DoorCard { code: Token([0; 16]), held: None };
    let forged = house.post("/join/card", &forged).await;
    assert_eq!(
        (forged.status, forged.refusal().message.contains("Ask for a new card")),
        (410, true)
    );
    house.close().await;
}

#[tokio::test]
async fn another_teachers_cookie_opens_nothing_of_the_door() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let foreign = "Cookie: handround_session=0123456789abcdef0123456789abcdef";
    for line in [
        format!("GET /lessons/{lesson}/door"),
        format!("POST /lessons/{lesson}/door"),
        format!("POST /lessons/{lesson}/home"),
        format!("POST /lessons/{lesson}/shared"),
        format!("GET /lessons/{lesson}/place-cards.pdf"),
    ] {
        let answer = house.ask(&line, &[foreign], b"").await;
        assert_eq!(answer.status, 401, "{line}");
        assert!(answer.refusal().message.contains("teacher's address"), "{line}");
    }
    let none = LessonId([9; 16]);
    let nowhere = house.ask_as_teacher(&format!("GET /lessons/{none}/door"), b"").await;
    assert_eq!(nowhere.status, 404);
    house.close().await;
}

#[tokio::test]
async fn the_teacher_lets_in_whom_she_wants_to_see_first() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    assert_eq!(door(&house, lesson).await.admit, Admit::FromHome);
    assert_eq!(ask(&house, lesson, BO, None).await.status, 200, "in the room she sees who sits");

    // From home she is asked first; the answer names one child and no other.
    let home = house.ask_as_teacher(&format!("POST /lessons/{lesson}/home"), b"").await;
    let home: DoorView = home.json();
    let link = home.children[0].home_url.clone().unwrap();
    let at_home = by_code(&house, &link).await;
    assert_eq!(at_home.status, 202);
    let told = String::from_utf8_lossy(&at_home.body).into_owned();
    for other in ["Bo", "Cl\u{e9}o", "Dora"] {
        assert!(!told.contains(other), "{told}");
    }
    let DoorWait { wait, .. } = at_home.json();
    assert_eq!(asks_again(&house, wait).await.status, 202);
    let waiting = door(&house, lesson).await.waiting;
    assert_eq!((waiting.len(), waiting[0].way, waiting[0].second), (1, Way::Home, false));
    wish(&house, lesson, DoorSays::Answer { number: waiting[0].number, admit: true }).await;
    let joined: Joined = asks_again(&house, wait).await.json();
    assert_eq!(joined.name, "Ada");
    drop(sits(&house, joined.token).await);
    let twice = says(&house, lesson, DoorSays::Answer { number: waiting[0].number, admit: true });
    assert_eq!(twice.await.status, 409);

    // Everybody: a refusal is friendly, and programs that cannot wait are told.
    wish(&house, lesson, DoorSays::Admit(Admit::Everybody)).await;
    let dora = PupilIndex(3);
    let DoorWait { wait, .. } = ask(&house, lesson, dora, None).await.json();
    let number = door(&house, lesson).await.waiting[0].number;
    wish(&house, lesson, DoorSays::Answer { number, admit: false }).await;
    let no = asks_again(&house, wait).await;
    assert_eq!((no.status, no.refusal().message.starts_with("Not now")), (409, true));
    assert_eq!(house.join(lesson, 3).await.status, 409);
    wish(&house, lesson, DoorSays::Admit(Admit::Nobody)).await;
    assert_eq!(house.join(lesson, 3).await.status, 200);
    house.close().await;
}

#[tokio::test]
async fn a_closed_room_lets_nobody_in_and_nobody_out() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let printed = cards(&house, lesson).await;
    let JoinPlaces { ticket, .. } = house.places(lesson).await.json();
    let ada: Joined = by_code(&house, &printed[0]).await.json();
    house.hub.board_says(ME, lesson, BoardSays::Open { open: false }).await.unwrap();
    let refused = [
        by_code(&house, &printed[1]).await,
        house.post("/join/ask", &DoorPick { ticket, pupil: BO, tablet: None }).await,
        house.post("/join/place", &JoinPick { ticket, pupil: BO }).await,
    ];
    for answer in refused {
        assert_eq!(answer.status, 409);
        assert_eq!(answer.refusal().message, "The room is closed. Ask your teacher.");
    }
    // A reload brings the saved secret: in, without a question.
    drop(sits(&house, ada.token).await);
    drop(sits(&house, ada.token).await);
    // So does its card, opened once more on this very device.
    let held = DoorCard { code: code(&printed[0]), held: Some(ada.token) };
    assert_eq!(house.post("/join/card", &held).await.json::<Joined>().token, ada.token);
    assert!(door(&house, lesson).await.waiting.is_empty());
    house.close().await;
}

#[tokio::test]
async fn a_second_device_waits_and_the_first_plays_on_until_the_answer() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let printed = cards(&house, lesson).await;
    let first: Joined = ask(&house, lesson, ADA, None).await.json();
    let mut plays = sits(&house, first.token).await;
    seen(&house, lesson, ADA, true).await;
    let by_picture = ask(&house, lesson, ADA, None).await;
    let by_card = by_code(&house, &printed[0]).await;
    assert_eq!((by_picture.status, by_card.status), (202, 202));
    let waiting = door(&house, lesson).await.waiting;
    assert_eq!(waiting.iter().map(|one| one.second).collect::<Vec<_>>(), [true, true]);
    assert!(matches!(plays.hear().await, Ok(ToClient::Seat { .. })), "the first one plays on");
    wish(&house, lesson, DoorSays::Answer { number: waiting[0].number, admit: false }).await;
    wish(&house, lesson, DoorSays::Answer { number: waiting[1].number, admit: true }).await;
    let no = asks_again(&house, by_picture.json::<DoorWait>().wait).await;
    assert_eq!(no.status, 409);
    let second: Joined = asks_again(&house, by_card.json::<DoorWait>().wait).await.json();
    let (closed, _) = plays.closed().await;
    assert_eq!(closed, Close::UnknownCredential.code());
    let mut second_plays = sits(&house, second.token).await;
    let mut old = house.socket(Codec::Json, &[]).await;
    old.hello_seat(first.token).await;
    assert_eq!(old.closed().await.0, Close::UnknownCredential.code(), "the old secret is void");
    assert!(matches!(second_plays.hear().await, Ok(ToClient::Seat { .. })));
    house.close().await;
}

#[test]
fn a_wrong_tap_is_undone_within_ten_seconds_and_the_own_card_takes_over_an_empty_place() {
    quick_clock::run(async {
        let house = House::open().await;
        let lesson = house.make_lesson(LIST).await;
        let wrong: Joined = ask(&house, lesson, ADA, None).await.json();
        let mut tapped = sits(&house, wrong.token).await;
        let undo = house.post("/join/undo", &DoorUndo { token: wrong.token }).await;
        assert_eq!(undo.status, 200);
        assert_eq!(tapped.closed().await.0, Close::UnknownCredential.code());
        let again = house.post("/join/undo", &DoorUndo { token: wrong.token }).await;
        assert_eq!(
            (again.status, again.refusal().message.as_str()),
            (409, "This place is free already.")
        );

        // Free for Ada, who finds after a while that it was right.
        let ada: Joined = ask(&house, lesson, ADA, None).await.json();
        assert!(door(&house, lesson).await.children[0].fresh);
        tokio::time::sleep(Duration::from_micros(UNDO_FOR.0)).await;
        let late = house.post("/join/undo", &DoorUndo { token: ada.token }).await;
        assert_eq!(late.status, 409);
        assert!(
            late.refusal().message.contains("Your teacher can free the place"),
            "{:?}",
            late.refusal()
        );
        assert!(!door(&house, lesson).await.children[0].fresh);
        // No device holds the place just now, so the child's own card needs no answer; a picture does.
        let printed = cards(&house, lesson).await;
        assert_eq!(ask(&house, lesson, ADA, None).await.status, 202);
        assert_eq!(by_code(&house, &printed[0]).await.status, 200);
        // The teacher undoes it whenever she likes.
        wish(&house, lesson, DoorSays::Free(ADA)).await;
        assert!(!door(&house, lesson).await.children[0].taken);
        house.close().await;
    });
}

#[tokio::test]
async fn a_tablet_of_the_cart_is_tied_once_and_joins_with_one_tap_in_later_lessons() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let tablet = Token([5; 16]);
    let whose = async |house: &House| -> TabletTold {
        house.post("/join/tablet", &DoorTablet { tablet, sit: false, held: None }).await.json()
    };
    let sit = async |house: &House| {
        house.post("/join/tablet", &DoorTablet { tablet, sit: true, held: None }).await
    };
    assert_eq!(whose(&house).await.number, 0);
    assert_eq!(sit(&house).await.status, 410, "nobody's yet");
    let nobody = says(&house, lesson, DoorSays::KeepTablet(ADA)).await;
    assert_eq!(nobody.status, 409);
    ask(&house, lesson, ADA, Some(tablet)).await.json::<Joined>();
    assert!(door(&house, lesson).await.children[0].tablet_here);
    let kept = wish(&house, lesson, DoorSays::KeepTablet(ADA)).await;
    assert_eq!(kept.children[0].tablet, Some(1));

    house.hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
    let told = whose(&house).await;
    assert_eq!((told.number, told.name.as_str()), (1, "Ada"));
    let early = sit(&house).await;
    assert_eq!((early.status, early.refusal().message.contains("not begun")), (409, true));
    // The same list under the same name is the same class.
    let next = house.make_lesson(LIST).await;
    assert_eq!(sit(&house).await.json::<Joined>().name, "Ada");

    house.hub.board_says(ME, next, BoardSays::EndLesson).await.unwrap();

    // Another class shares the cart: in its lesson the tablet is its child's.
    let other = house.make_lesson("nickname,picture\nZoe,lamp\nYan,boot\nXia,tent\n").await;
    ask(&house, other, ADA, Some(tablet)).await.json::<Joined>();
    wish(&house, other, DoorSays::KeepTablet(ADA)).await;
    assert_eq!(whose(&house).await.name, "Zoe");
    assert_eq!(sit(&house).await.json::<DoorWait>().name, "Zoe", "the first device sits there");
    house.hub.board_says(ME, other, BoardSays::EndLesson).await.unwrap();
    let next = house.make_lesson(LIST).await;
    assert_eq!(whose(&house).await.name, "Ada");
    house.hub.board_says(ME, next, BoardSays::EndLesson).await.unwrap();

    for class in house.hub.classes(ME).await.unwrap() {
        house.hub.delete_class(ME, class.class).await.unwrap();
    }
    assert_eq!(whose(&house).await.number, 0, "forgotten with the classes");
    house.close().await;
}

#[tokio::test]
async fn hands_on_one_screen_are_marked_in_the_record() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let share = async |pupils: &[PupilIndex]| {
        let body = serde_json::to_vec(&SharedAsked { pupils: pupils.to_vec() }).unwrap();
        house.ask_as_teacher(&format!("POST /lessons/{lesson}/shared"), &body).await
    };
    let five = [ADA, BO, PupilIndex(2), PupilIndex(3), PupilIndex(4)];
    assert_eq!(share(&five).await.status, 409);
    assert_eq!(share(&[]).await.status, 409);
    let own: Joined = ask(&house, lesson, PupilIndex(3), None).await.json();
    let _own = sits(&house, own.token).await;
    let taken = share(&[ADA, PupilIndex(3)]).await;
    assert_eq!((taken.status, taken.refusal().message.starts_with("Dora sits")), (409, true));

    let places: Vec<Joined> = share(&[ADA, BO]).await.json();
    assert_eq!(places.iter().map(|one| one.name.as_str()).collect::<Vec<_>>(), ["Ada", "Bo"]);
    // Opened again, as after a reload of her page.
    assert_eq!(share(&[ADA, BO]).await.status, 200);
    let mut board = house.hub.board(ME, lesson).await.unwrap();
    let table: TableId =
        board.wait_for(|board| !board.tables.is_empty()).await.unwrap().tables[0].table;
    let entries = journal(&*house.store, table).await;
    let marked: Vec<u8> = entries
        .iter()
        .filter_map(|entry| match &entry.event {
            Event::PlaysFrom { seat, by: By::SharedDevice } => Some(seat.0),
            _ => None,
        })
        .collect();
    assert_eq!(marked, [0, 1], "Ada and Bo, in the order of the list");
    // An own device again: the mark goes.
    wish(&house, lesson, DoorSays::Free(ADA)).await;
    ask(&house, lesson, ADA, None).await.json::<Joined>();
    assert!(!door(&house, lesson).await.children[0].shared);
    house.close().await;
}

#[tokio::test]
async fn a_late_comer_gets_a_card_of_its_own_that_is_good_for_this_lesson() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let before = cards(&house, lesson).await;
    let mut board = house.hub.board(ME, lesson).await.unwrap();
    let table = board.wait_for(|board| !board.tables.is_empty()).await.unwrap().tables[0].table;
    let late = BoardSays::AddPupil { name: "Noor".to_owned(), table };
    house.hub.board_says(ME, lesson, late).await.unwrap();
    let noor = PupilIndex(4);
    seen(&house, lesson, noor, false).await;

    let own = printed(&house, lesson, "&pupil=4", &["Noor"]).await;
    assert_eq!(own.len(), 1, "one card alone");
    let all = printed(&house, lesson, "", &["Ada", "Noor"]).await;
    assert_eq!((&all[..4], &all[4..]), (&before[..], &own[..]), "the others' cards stay good");
    assert_eq!(printed(&house, lesson, "&pupil=1", &["Bo"]).await, before[1..2]);
    let nobody = house
        .ask_as_teacher(&format!("GET /lessons/{lesson}/place-cards.pdf?paper=a4&pupil=9"), b"")
        .await;
    assert_eq!((nobody.status, nobody.refusal().message.as_str()), (409, "Nobody has that place."));

    let joined: Joined = by_code(&house, &own[0]).await.json();
    assert_eq!(joined.name, "Noor");
    drop(sits(&house, joined.token).await);
    wish(&house, lesson, DoorSays::Revoke(Some(noor))).await;
    assert_eq!(by_code(&house, &own[0]).await.status, 410);
    let again = printed(&house, lesson, "&pupil=4", &["Noor"]).await;
    wish(&house, lesson, DoorSays::Free(noor)).await;
    assert_eq!(by_code(&house, &again[0]).await.json::<Joined>().name, "Noor");

    // The next lesson does not know the child, until it stands on the list.
    house.hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
    house.make_lesson(LIST).await;
    assert_eq!(by_code(&house, &again[0]).await.status, 410);
    let class = house.hub.classes(ME).await.unwrap()[0].class;
    let longer = format!("{LIST}Noor\n");
    house.hub.change_class(ME, class, longer.as_bytes()).await.unwrap();
    assert_eq!(by_code(&house, &again[0]).await.status, 409, "known, but not in today's lesson");
    house.close().await;
}
