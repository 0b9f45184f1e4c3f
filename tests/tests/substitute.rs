//! A substitute's link over real sockets: it runs the lesson on its day, says no more than its list, and
//! shows nothing that is the teacher's own.
#![allow(clippy::unwrap_used)]

use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::id::{Ask, LessonId, PupilIndex, SeatIndex, Token};
use handround_protocol::join::{JoinLink, JoinPick, JoinPlaces, JoinRow, Joined};
use handround_protocol::message::{BoardSays, Credential, ToClient, ToServer, Welcome};
use handround_protocol::picture::Picture;
use handround_protocol::substitute::{
    SubstituteAnswer, SubstituteAsk, SubstituteDay, SubstituteDoor, SubstituteLink, SubstituteSays,
    SubstituteSlotAsk, SubstituteView,
};
use handround_protocol::support::Support;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, WallView};
use handround_protocol::workshop::{SlotAsked, SlotTold};
use handround_server::journal::{MemoryStore, Store, StreamName};
use handround_server::teacher::TeacherId;
use handround_tests::door::{Answer, Device};
use handround_tests::house::{House, ME};
use handround_tests::quick_clock;
use std::sync::Arc;
use std::time::Duration;

const LIST: &str =
    "nickname,picture,readiness,apart\nAda,kite,1,\nBo,drum,3,\nCleo,pear,2,Ada\nDora,mug,2,\n";

/// Seconds from now: a day that may be shorter than one.
fn day(house: &House, from_s: i64, until_s: i64) -> SubstituteDay {
    let now = house.hub.now().0;
    let at = |s: i64| Micros(now.saturating_add_signed(s * 1_000_000));
    SubstituteDay { from: at(from_s), until: at(until_s) }
}

async fn asked(house: &House, lesson: LessonId, day: SubstituteDay) -> Answer {
    let body = serde_json::to_vec(&day).unwrap();
    house.ask_as_teacher(&format!("POST /lessons/{lesson}/substitute"), &body).await
}

async fn given(house: &House, lesson: LessonId, day: SubstituteDay) -> Token {
    let link: SubstituteLink = asked(house, lesson, day).await.json();
    link.url.split_once("/substitute#").and_then(|(_, code)| Token::from_hex(code)).unwrap()
}

async fn door(house: &House, code: Token, answer: Option<SubstituteAnswer>) -> Answer {
    house.post("/substitute/door", &SubstituteAsk { code, answer }).await
}

async fn page(house: &House, code: Token) -> Device {
    let mut page = house.socket(Codec::Json, &[]).await;
    page.hello(Credential::Substitute(code)).await;
    page
}

async fn says(page: &mut Device, says: SubstituteSays) {
    page.say(&ToServer::Substitute { ask: Ask(1), says }).await;
}

/// Reads until the page shows what is wanted.
async fn shows(page: &mut Device, wanted: impl Fn(&SubstituteView) -> bool) -> SubstituteView {
    loop {
        if let ToClient::Substitute(view) = page.hear().await.unwrap()
            && wanted(&view)
        {
            return view;
        }
    }
}

/// Every key of a JSON value, however deep.
fn keys(value: &serde_json::Value, found: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(map) => map.iter().for_each(|(key, value)| {
            found.push(key.clone());
            keys(value, found);
        }),
        serde_json::Value::Array(all) => all.iter().for_each(|value| keys(value, found)),
        _ => {}
    }
}

#[tokio::test]
async fn it_runs_the_lesson_and_shows_nothing_of_the_teachers_own() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let support = Support { unhurried: true, ..Support::default() };
    let gives = BoardSays::Support { pupil: PupilIndex(0), support };
    house.hub.board_says(TeacherId::THIS_MACHINE, lesson, gives).await.unwrap();
    let _ada: Joined = house.join(lesson, 0).await.json();
    let code = given(&house, lesson, day(&house, -60, 3_600)).await;

    let mut page = page(&house, code).await;
    assert!(matches!(page.hear().await, Ok(ToClient::Welcome(Welcome::Substitute))));
    let view = shows(&mut page, |view| !view.tables.is_empty()).await;
    let table = view.tables[0].table;
    let all = None;
    for (wish, reached) in [
        (SubstituteSays::Open { open: false }, "closed"),
        (SubstituteSays::Start { table: all }, "Dealt"),
        (SubstituteSays::Freeze { table: Some(table) }, "frozen"),
        (SubstituteSays::GoOn { table: all }, "goes on"),
        (SubstituteSays::Bell { table: all, ring: true }, "bell"),
        (SubstituteSays::HandOver { table, seat: SeatIndex(0), partner: true }, "partner"),
    ] {
        says(&mut page, wish).await;
        shows(&mut page, |view| {
            let one = &view.tables[0];
            match reached {
                "closed" => !view.open,
                "Dealt" => matches!(one.view.phase, Phase::Dealt | Phase::Playing | Phase::Naming),
                "frozen" => one.view.paused,
                "goes on" => !one.view.paused,
                "bell" => one.bell,
                _ => one.seats.iter().any(|seat| seat.care.partner_holds),
            }
        })
        .await;
    }

    // The board has all of these, so that the list below can fail.
    let board = serde_json::to_value(
        &**house.hub.board(TeacherId::THIS_MACHINE, lesson).await.unwrap().borrow(),
    )
    .unwrap();
    let shown = serde_json::to_value(&view).unwrap();
    let (mut of_board, mut of_page) = (Vec::new(), Vec::new());
    keys(&board, &mut of_board);
    keys(&shown, &mut of_page);
    for own in ["support", "seating", "false_grabs", "last_race", "moves_a_minute", "unhurried"] {
        assert!(of_board.iter().any(|key| key == own), "{own} is a word of the board");
        assert!(!of_page.iter().any(|key| key == own), "{own} is told to a substitute");
    }
    for own in ["readiness", "apart", "hand", "pupil"] {
        assert!(!of_page.iter().any(|key| key == own), "{own} is told to a substitute");
    }
    // What the teacher alone may open over HTTP stays shut for whoever has only the link.
    for path in [
        format!("/lessons/{lesson}/door"),
        format!("/lessons/{lesson}/planning"),
        format!("/lessons/{lesson}/tables/{table}/seats/0/hand"),
        format!("/lessons/{lesson}/substitute"),
        "/classes".to_owned(),
    ] {
        assert_eq!(house.ask(&format!("GET {path}"), &[], b"").await.status, 401, "{path}");
    }
}

/// The four pictures, the join link's code and the wall's secret that a page shows.
struct Shown {
    row: Vec<Picture>,
    link: Token,
    wall: Token,
}

impl Shown {
    fn of(row: &[Picture], join_url: &str, wall_url: &str) -> Shown {
        let secret = |url: &str| url.rsplit('/').next().and_then(Token::from_hex).unwrap();
        Shown { row: row.to_vec(), link: secret(join_url), wall: secret(wall_url) }
    }

    async fn of_board(house: &House, lesson: LessonId) -> Shown {
        let board = house.hub.board(ME, lesson).await.unwrap().borrow().clone();
        Shown::of(&board.row, &board.join_url, &board.wall_url)
    }

    /// Status and sentence for its row, then for its link.
    async fn leads(&self, house: &House) -> [Answer; 2] {
        let row = house.post("/join/row", &JoinRow { row: self.row.clone() }).await;
        [row, house.post("/join/link", &JoinLink { code: self.link }).await]
    }

    async fn open_wall(&self, house: &House) -> Device {
        let mut wall = house.socket(Codec::Json, &[]).await;
        wall.hello(Credential::Wall(self.wall)).await;
        wall
    }
}

async fn wall_shows(wall: &mut Device) -> WallView {
    loop {
        if let ToClient::Wall(view) = wall.hear().await.unwrap() {
            return view;
        }
    }
}

/// Whichever way the teacher ends a link, what its page showed leads nowhere any more, and nothing else changes.
#[tokio::test]
async fn the_ways_in_that_it_shows_end_with_it_and_the_teachers_stay() {
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    let mut house = House::over(store.clone(), 1).await;
    let lesson = house.make_lesson(LIST).await;
    let own = Shown::of_board(&house, lesson).await;
    for (number, ends) in ["withdrawn", "another one"].into_iter().enumerate() {
        let code = given(&house, lesson, day(&house, -60, 3_600)).await;
        let mut page = page(&house, code).await;
        let view = shows(&mut page, |_| true).await;
        let lent = Shown::of(&view.row, &view.join_url, &view.wall_url);
        assert!(lent.row != own.row && lent.link != own.link && lent.wall != own.wall);
        let mut wall = lent.open_wall(&house).await;
        let on_wall = wall_shows(&mut wall).await;
        assert_eq!((&on_wall.row, &on_wall.join_url), (&lent.row, &view.join_url));
        let told = format!("{on_wall:?}{view:?}");
        for secret in [own.link, own.wall] {
            assert!(!told.contains(&secret.to_string()), "the teacher's own is told");
        }
        assert_eq!(on_wall.join_qr_svg, view.join_qr_svg);

        // A child comes in by the lent pictures; a ticket is left over.
        let [by_row, by_link] = lent.leads(&house).await;
        let ticket = by_row.json::<JoinPlaces>().ticket;
        let left_over = by_link.json::<JoinPlaces>().ticket;
        let pick = JoinPick { ticket, pupil: PupilIndex(number as u16) };
        let child: Joined = house.post("/join/place", &pick).await.json();

        match ends {
            "withdrawn" => {
                let line = format!("DELETE /lessons/{lesson}/substitute");
                assert_eq!(house.ask_as_teacher(&line, b"").await.status, 200);
            }
            _ => drop(given(&house, lesson, day(&house, -60, 3_600)).await),
        }
        // Both are read meanwhile: one that left pings unanswered would be closed for that.
        let (wall, page) = tokio::join!(wall.closed(), page.closed());
        assert_eq!([wall.0, page.0], [Close::UnknownCredential.code(); 2], "{ends}");
        for answer in lent.leads(&house).await {
            assert_eq!(answer.status, 404, "{ends}");
            assert!(!answer.refusal().message.is_empty());
        }
        let mut again = lent.open_wall(&house).await;
        assert_eq!(again.closed().await.0, Close::UnknownCredential.code(), "{ends}");
        let late = JoinPick { ticket: left_over, pupil: PupilIndex(3) };
        assert_eq!(house.post("/join/place", &late).await.status, 409, "{ends}: an old ticket");

        // Who sits stays, and what is the teacher's stays good.
        let mut seat = house.socket(Codec::Json, &[]).await;
        seat.hello_seat(child.token).await;
        assert!(matches!(seat.hear().await, Ok(ToClient::Welcome(Welcome::Seat { .. }))));
        assert!(own.leads(&house).await.iter().all(|answer| answer.status == 200), "{ends}");
        assert_eq!(wall_shows(&mut own.open_wall(&house).await).await.row, own.row);
        house.close().await;
        house = House::over(store.clone(), 2).await;
        assert_eq!(lent.leads(&house).await[0].status, 404, "nor after a restart");
    }
    house.close().await;
}

/// Writes a lesson's journal anew; something must change.
async fn edit(store: &dyn Store, lesson: LessonId, change: impl Fn(&str) -> String) {
    let stream = StreamName(format!("lesson/{lesson}"));
    let lines = store.read(stream.clone()).await.unwrap();
    let changed: Vec<String> = lines.iter().map(|line| change(line)).collect();
    assert_ne!(changed, lines);
    store.replace(stream, changed).await.unwrap();
}

/// A link that was given by a version whose links lent the teacher's own ways in.
#[tokio::test]
async fn a_link_of_before_opens_nothing_and_says_whom_to_ask() {
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    let house = House::over(store.clone(), 1).await;
    let lesson = house.make_lesson(LIST).await;
    let code = given(&house, lesson, day(&house, -60, 3_600)).await;
    house.close().await;
    edit(&*store, lesson, |line| match line.split_once(",\"lends\":") {
        Some((before, _)) => format!("{before}}}}}}}}}"),
        None => line.to_owned(),
    })
    .await;
    let house = House::over(store, 2).await;
    assert_eq!(page(&house, code).await.closed().await.0, Close::UnknownCredential.code());
    let gone = door(&house, code, None).await;
    assert_eq!((gone.status, gone.refusal().message.contains("Ask at the school")), (410, true));
    house.places(lesson).await.json::<JoinPlaces>();
    house.close().await;
}

/// Minutes do not pass while the machine simulates.
#[test]
fn it_has_the_slot_of_the_board() {
    quick_clock::run_in_steps(Duration::ZERO, slot_of_the_board());
}

async fn slot_of_the_board() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let code = given(&house, lesson, day(&house, -60, 3_600)).await;
    let ask = async |code, minutes: Option<Option<u16>>| {
        let choose = minutes.map(|minutes| SlotAsked { minutes });
        house.post("/substitute/slot", &SubstituteSlotAsk { code, choose }).await
    };
    let told = async |minutes| ask(code, minutes).await.json::<SlotTold>();
    assert_eq!(told(None).await.minutes_left, None);
    let begun = told(Some(Some(30))).await;
    assert_eq!(begun.minutes_left, Some(30));
    assert!(begun.sentence.starts_with("30 minutes left: time for about"), "{}", begun.sentence);
    let boards = house.ask_as_teacher(&format!("GET /lessons/{lesson}/slot"), b"").await;
    assert_eq!(
        boards.json::<SlotTold>().sentence,
        told(None).await.sentence,
        "one slot, told alike"
    );
    for minutes in [0, 4, 121, u16::MAX] {
        let refused = ask(code, Some(Some(minutes))).await;
        assert_eq!((refused.status, refused.refusal().message.contains("5 to 120")), (400, true));
    }
    assert!(told(None).await.minutes_left.is_some(), "a refusal changes nothing");
    assert_eq!(told(Some(None)).await.minutes_left, None);
    assert_eq!(ask(Token([9; 16]), None).await.status, 410, "a forged code");
    house.ask_as_teacher(&format!("DELETE /lessons/{lesson}/substitute"), b"").await;
    assert_eq!(ask(code, Some(Some(30))).await.status, 410);
    let slot = house.ask_as_teacher(&format!("GET /lessons/{lesson}/slot"), b"").await;
    assert_eq!(slot.json::<SlotTold>().minutes_left, None, "nothing was begun");
    house.close().await;
}

#[tokio::test]
async fn a_board_s_wish_closes_it() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let code = given(&house, lesson, day(&house, -60, 3_600)).await;
    let wishes = [
        ToServer::Board { ask: Ask(1), says: BoardSays::EndLesson },
        ToServer::Board { ask: Ask(1), says: BoardSays::Pause { table: None } },
    ];
    for wish in wishes {
        let mut page = page(&house, code).await;
        page.say(&wish).await;
        assert_eq!(page.closed().await.0, Close::NotAllowed.code());
    }
    // And a child's device has no substitute's wishes.
    let ada: Joined = house.join(lesson, 0).await.json();
    let mut child = house.socket(Codec::Json, &[]).await;
    child.hello_seat(ada.token).await;
    says(&mut child, SubstituteSays::Freeze { table: None }).await;
    assert_eq!(child.closed().await.0, Close::NotAllowed.code());
}

#[tokio::test]
async fn it_ends_when_it_is_withdrawn_and_lasts_over_a_restart_until_then() {
    let store = Arc::new(MemoryStore::new());
    let house = House::over(store.clone(), 1).await;
    let lesson = house.make_lesson(LIST).await;
    let first = given(&house, lesson, day(&house, -60, 3_600)).await;
    let mut old = page(&house, first).await;
    shows(&mut old, |_| true).await;
    let second = given(&house, lesson, day(&house, -60, 3_600)).await;
    assert_eq!(old.closed().await.0, Close::UnknownCredential.code(), "a new one ends the old");
    assert_eq!(door(&house, first, None).await.status, 410);
    house.close().await;

    let house = House::over(store, 2).await;
    let mut page_now = page(&house, second).await;
    shows(&mut page_now, |_| true).await;
    let stands = house.ask_as_teacher(&format!("GET /lessons/{lesson}/substitute"), b"").await;
    assert!(stands.json::<Option<SubstituteDay>>().is_some());
    let ends = house.ask_as_teacher(&format!("DELETE /lessons/{lesson}/substitute"), b"").await;
    assert_eq!(ends.status, 200);
    assert_eq!(page_now.closed().await.0, Close::UnknownCredential.code());
    assert_eq!(page(&house, second).await.closed().await.0, Close::UnknownCredential.code());
    let gone = door(&house, second, None).await;
    assert_eq!(gone.status, 410);
    assert!(gone.refusal().message.contains("not used any more"), "{:?}", gone.refusal());
}

#[test]
fn it_is_good_on_its_day_alone() {
    quick_clock::run(good_on_its_day());
}

async fn good_on_its_day() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let (hour_s, day_s) = (3_600, 86_400);
    for (from_s, until_s, status) in [
        (day_s, 2 * day_s, 200),
        (-2 * day_s, -day_s, 409),
        (0, 2 * day_s, 409),
        (40 * day_s, 41 * day_s, 409),
    ] {
        let day = day(&house, from_s, until_s);
        assert_eq!(asked(&house, lesson, day).await.status, status, "{from_s} to {until_s} s");
    }
    let tomorrow = given(&house, lesson, day(&house, hour_s, hour_s + day_s)).await;
    let early = door(&house, tomorrow, None).await;
    assert_eq!((early.status, early.refusal().message.contains("another day")), (409, true));
    assert_eq!(page(&house, tomorrow).await.closed().await.0, Close::UnknownCredential.code());

    house.close().await;
}

/// That an open page closes as the day ends is told in paused time, in the lesson's own tests.
#[tokio::test]
async fn after_its_day_it_says_so() {
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    let house = House::over(store.clone(), 1).await;
    let lesson = house.make_lesson(LIST).await;
    let today = day(&house, -60, 3_600);
    let code = given(&house, lesson, today).await;
    house.close().await;
    let (until, over) = (format!("\"until\":{}", today.until.0), today.from.plus(Micros(1)).0);
    edit(&*store, lesson, |line| line.replace(&until, &format!("\"until\":{over}"))).await;
    let house = House::over(store, 2).await;
    assert_eq!(page(&house, code).await.closed().await.0, Close::UnknownCredential.code());
    let over = door(&house, code, None).await;
    assert_eq!((over.status, over.refusal().message.contains("is over")), (410, true));
    house.close().await;
}

#[tokio::test]
async fn it_answers_the_door() {
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    house
        .ask_as_teacher(&format!("POST /lessons/{lesson}/door"), br#"{"Admit":"Everybody"}"#)
        .await;
    let code = given(&house, lesson, day(&house, -60, 3_600)).await;
    let places: handround_protocol::join::JoinPlaces = house.places(lesson).await.json();
    let pick = handround_protocol::door::DoorPick {
        ticket: places.ticket,
        pupil: PupilIndex(1),
        tablet: None,
    };
    let waits = house.post("/join/ask", &pick).await;
    assert_eq!(waits.status, 202);
    let wait: handround_protocol::door::DoorWait = waits.json();
    let SubstituteDoor { waiting, .. } = door(&house, code, None).await.json();
    assert_eq!(waiting.len(), 1);
    assert_eq!(waiting[0].name, "Bo");
    let answer = SubstituteAnswer { number: waiting[0].number, admit: true };
    let SubstituteDoor { waiting, .. } = door(&house, code, Some(answer)).await.json();
    assert!(waiting.is_empty());
    let told = house.post("/join/wait", &serde_json::json!({ "wait": wait.wait })).await;
    assert_eq!(told.json::<Joined>().name, "Bo");
    assert_eq!(door(&house, code, Some(answer)).await.status, 409, "nobody waits there any more");
}
