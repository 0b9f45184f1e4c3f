//! Bad input over real sockets, as issue 2 lists it: each gets a clear message or close code, and no
//! table, score or list changes.

#![allow(clippy::unwrap_used)]

use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{
    Ask, CardId, LessonId, Nonce, PupilIndex, RoundNumber, TableId, Token,
};
use handround_protocol::join::{JoinPick, JoinPlaces, Joined};
use handround_protocol::limits::{NICKNAME_CHARS_MAX, PUPILS_MAX, TO_SERVER_BYTES_MAX};
use handround_protocol::message::{
    BoardSays, Credential, Grab, GrabCue, SeatNews, SeatSays, ToClient, ToServer,
};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{LessonPlan, Phase, SeatView, Tap};
use handround_protocol::wall::WallShows;
use handround_tests::house::{Device, House, ME};
use tokio_tungstenite::tungstenite::Message;

/// Every line that the store holds.
async fn journal(house: &House) -> Vec<(String, Vec<String>)> {
    let mut journal = Vec::new();
    for stream in house.store.streams("").await.unwrap() {
        journal.push((stream.0.clone(), house.store.read(stream).await.unwrap()));
    }
    journal
}

#[tokio::test]
async fn a_class_list_that_cannot_be_used_is_refused_with_its_line_and_nothing_is_kept() {
    let house = House::open().await;
    let many: String = (0..=PUPILS_MAX).map(|number| format!("Pupil {number}\n")).collect();
    let long = "x".repeat(NICKNAME_CHARS_MAX + 1);
    let table: [(&str, &[u8], Option<u32>); 10] = [
        ("empty", b"", None),
        ("only blank lines", b"\n \r\n\n", None),
        ("only a head", b"nickname,picture\n", None),
        ("a name twice", b"Ada\nBen\nAda\n", Some(3)),
        ("a picture twice", b"Ada,apple\nBen,apple\n", Some(2)),
        ("a picture that nobody drew", b"Ada,unicorn\n", Some(1)),
        ("broken UTF-8", b"Ada\nB\xff\xfeen\n", Some(2)),
        ("a spreadsheet, not a list", b"PK\x03\x04\x14\x00\x06\x00\xa3\xb1\n", Some(1)),
        ("too many names", many.as_bytes(), Some(PUPILS_MAX as u32 + 1)),
        ("a long name", long.as_bytes(), Some(1)),
    ];
    for (case, file, line) in table {
        let answer = house.ask_as_teacher("POST /lessons?name=Oak", file).await;
        assert_eq!(answer.status, 400, "{case}");
        let refusal = answer.refusal();
        assert_eq!(refusal.line, line, "{case}: {}", refusal.message);
        assert!(refusal.message.ends_with('.'), "{case}: {}", refusal.message);
    }
    for query in ["ages=Grownups", "ages=", "name=%00", &format!("name={}", "n".repeat(61))] {
        let answer = house.ask_as_teacher(&format!("POST /lessons?{query}"), b"Ada\nBen\n").await;
        assert_eq!(answer.status, 400, "{query}");
        assert!(!answer.refusal().message.is_empty(), "{query}");
    }
    assert_eq!(house.hub.lessons(ME).await, []);
    assert_eq!(journal(&house).await, []);
}

#[tokio::test]
async fn a_place_is_given_once_and_to_nobody_without_a_ticket() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\nDan\n").await;
    assert_eq!(house.join(lesson, 0).await.status, 200);
    let JoinPlaces { ticket, places, .. } = house.places(lesson).await.json();
    let taken: Vec<bool> = places.iter().map(|place| place.taken).collect();
    assert_eq!(taken, [true, false, false, false]);
    let before = journal(&house).await;

    let pick = |ticket, pupil| JoinPick { ticket, pupil: PupilIndex(pupil) };
    let table = [
        ("a place that is taken", pick(ticket, 0), "sits there already"),
        ("a place beyond the list", pick(ticket, 4), "Nobody"),
        ("a ticket that nobody gave", pick(Token([3; 16]), 1), "pictures again"),
    ];
    for (case, pick, says) in table {
        let answer = house.post("/join/place", &pick).await;
        assert_eq!(answer.status, 409, "{case}");
        assert!(answer.refusal().message.contains(says), "{case}: {}", answer.refusal().message);
    }
    assert_eq!(journal(&house).await, before);

    // Once everybody is there the table is full, and whoever comes last is told so.
    for pupil in 1..4 {
        assert_eq!(house.join(lesson, pupil).await.status, 200);
    }
    let before = journal(&house).await;
    for pupil in 0..4 {
        assert_eq!(house.join(lesson, pupil).await.status, 409);
    }
    house.hub.board_says(ME, lesson, BoardSays::Open { open: false }).await.unwrap();
    let closed = house.places(lesson).await;
    assert_eq!((closed.status, closed.refusal().message.contains("closed")), (404, true));
    assert_eq!(journal(&house).await.len(), before.len());
}

/// Four children at one table in the middle of a round.
struct Class {
    house: House,
    lesson: LessonId,
    tokens: Vec<Token>,
    devices: Vec<Device>,
}

impl Class {
    async fn playing() -> Class {
        let house = House::open().await;
        let lesson = house.make_lesson("Ada\nBen\nCleo\nDan\n").await;
        let mut class = Class { house, lesson, tokens: Vec::new(), devices: Vec::new() };
        for pupil in 0..4 {
            class.tokens.push(class.house.join(lesson, pupil).await.json::<Joined>().token);
            class.come(usize::from(pupil)).await;
        }
        class.house.hub.board_says(ME, lesson, BoardSays::Start { table: None }).await.unwrap();
        for device in &mut class.devices {
            let dealt = until(device, |view| view.table.phase == Phase::Dealt).await;
            device.say(&seat(SeatSays::DealShown { round: dealt.table.round })).await;
        }
        for device in &mut class.devices {
            // The public part comes last, so that nothing is under way behind it.
            until(device, |view| view.table.phase == Phase::Playing).await;
        }
        class
    }

    /// A child's device connects, for the first time or again; answers with what it sees.
    async fn come(&mut self, seat: usize) -> SeatView {
        let mut device = self.house.socket(Codec::Json, &[]).await;
        device.hello_seat(self.tokens[seat]).await;
        assert!(matches!(device.hear().await, Ok(ToClient::Welcome(_))));
        let view = until(&mut device, |_| true).await;
        if seat == self.devices.len() {
            self.devices.push(device);
        } else {
            self.devices[seat] = device;
        }
        view
    }
}

fn seat(says: SeatSays) -> ToServer {
    ToServer::Seat { ask: Ask(7), says }
}

/// Applies news until the view is as wished. The first news must be a snapshot.
async fn until(device: &mut Device, wished: impl Fn(&SeatView) -> bool) -> SeatView {
    let mut view = device.view.take();
    loop {
        if let Some(view) = view.as_ref().filter(|view| wished(view)) {
            device.view = Some(view.clone());
            return view.clone();
        }
        if let ToClient::Seat { news, .. } = device.hear().await.unwrap() {
            match (&mut view, news) {
                (Some(view), news) => view.apply(&news),
                (None, SeatNews::Snapshot(first)) => view = Some(first),
                (None, news) => panic!("the first news is {news:?}"),
            }
        }
    }
}

/// Whether nothing is on its way to a device: it asks for the clock and hears nothing else.
async fn hears_nothing(device: &mut Device) -> bool {
    device.say(&ToServer::ClockAsk { device: Micros(1) }).await;
    matches!(device.hear().await, Ok(ToClient::Clock { .. }))
}

#[tokio::test]
async fn a_seated_device_that_breaks_the_protocol_is_closed_and_the_table_stays_as_it_is() {
    let mut class = Class::playing().await;
    let before = class.come(0).await;
    let text = |text: &str| Message::text(text.to_owned());
    let hello = "{\"Hello\":{\"credential\":{\"Seat\":\"00000000000000000000000000000000\"},\"resume\":null,\"clock_step\":1}}";
    let long = format!(
        "{{\"Seat\":{{\"ask\":1,\"says\":\"TakeUp\"}}}}{}",
        " ".repeat(TO_SERVER_BYTES_MAX)
    );
    let late = format!(
        "{{\"Seat\":{{\"ask\":1,\"says\":{{\"Grab\":{{\"cue\":null,\"tap\":{},\"token\":0}}}}}}}}",
        u64::MAX
    );
    let table = [
        ("an unknown command", text("{\"Seat\":{\"ask\":1,\"says\":\"Peek\"}}"), Close::Malformed),
        ("no ask", text("{\"Seat\":{\"says\":\"TakeUp\"}}"), Close::Malformed),
        ("a hand of another", text("{\"Seat\":{\"ask\":1,\"seat\":2}}"), Close::Malformed),
        ("a time that JavaScript cannot hold", text(&late), Close::Malformed),
        ("too large", text(&long), Close::TooLarge),
        ("the other kind", Message::binary(vec![1, 1, 1]), Close::WrongFrameKind),
        (
            "a teacher's wish",
            text("{\"Board\":{\"ask\":1,\"says\":\"EndLesson\"}}"),
            Close::NotAllowed,
        ),
        (
            "a wish for the wall",
            text("{\"Board\":{\"ask\":1,\"says\":{\"Wall\":\"ModelOpen\"}}}"),
            Close::NotAllowed,
        ),
        ("a second hello", text(hello), Close::NotAllowed),
    ];
    for (case, frame, close) in table {
        class.devices[0].send(frame).await;
        assert_eq!(
            class.devices[0].closed().await,
            (close.code(), close.reason().into()),
            "{case}"
        );
        assert_eq!(class.come(0).await, before, "{case}");
    }
    let board = class.house.hub.board(ME, class.lesson).await.unwrap().borrow().clone();
    assert_eq!(board.wall_shows, WallShows::default(), "nothing reached the wall");
    for _ in 0..2_000 {
        class.devices[0].say(&seat(SeatSays::Undo)).await;
    }
    assert_eq!(class.devices[0].closed().await.0, Close::TooFrequent.code());
    assert_eq!(class.come(0).await, before, "too frequent");
    for device in &mut class.devices[1..] {
        assert!(hears_nothing(device).await, "the others noticed");
    }
}

#[tokio::test]
async fn a_move_that_the_rules_refuse_is_answered_to_its_own_seat_alone() {
    let mut class = Class::playing().await;
    let before = class.come(1).await;
    let lines = journal(&class.house).await;
    let card = CardId([9; 8]);
    let grab = |cue| SeatSays::Grab(Grab { cue, tap: Micros(5), token: 0 });
    let foreign = GrabCue { nonce: Nonce([4; 16]), shown: Micros(1) };
    let own = before.hand.as_ref().unwrap().cards[0].id;
    let table = [
        (SeatSays::Keep { card, give: card }, Refusal::NothingConsidered),
        (SeatSays::Pass { card: own }, Refusal::NothingConsidered),
        (SeatSays::Undo, Refusal::TooLateToUndo),
        (SeatSays::LayDown, Refusal::NoFourAlike),
        (grab(Some(foreign)), Refusal::NotYourCue),
    ];
    for (says, refusal) in table {
        class.devices[1].say(&seat(says.clone())).await;
        let answer = class.devices[1].hear().await;
        assert_eq!(answer, Ok(ToClient::Refused { ask: Ask(7), refusal }), "{says:?}");
    }
    // Words that need no answer and mean nothing here: an old deal, a cue that was never sent.
    let cue = Nonce([4; 16]);
    for says in [
        SeatSays::DealShown { round: RoundNumber(99) },
        SeatSays::CueShown { cue, shown: Micros(3) },
    ] {
        class.devices[1].say(&seat(says)).await;
    }
    assert_eq!(journal(&class.house).await, lines, "nothing was written down");
    assert_eq!(class.come(1).await, before);
    for seat in [0, 2, 3] {
        assert!(hears_nothing(&mut class.devices[seat]).await, "seat {seat} noticed");
    }
}

/// Ten fingers on the glass, held back by the Wi-Fi and delivered at once, are no offence.
#[tokio::test]
async fn a_child_who_drums_on_the_screen_is_answered_and_stays() {
    let mut class = Class::playing().await;
    let before = class.come(0).await;
    for _ in 0..200 {
        class.devices[0].say(&seat(SeatSays::Undo)).await;
    }
    for _ in 0..200 {
        let refusal = Refusal::TooLateToUndo;
        let answer = class.devices[0].hear().await;
        assert_eq!(answer, Ok(ToClient::Refused { ask: Ask(7), refusal }));
    }
    assert_eq!(class.come(0).await, before);
}

/// A grab without a nonce and without four alike is no offence: a child tapped too soon.
#[tokio::test]
async fn a_grab_without_a_cue_and_without_four_alike_is_answered_to_its_own_seat_alone() {
    let mut class = Class::playing().await;
    let before = class.come(2).await;
    let grab = Grab { cue: None, tap: Micros(5), token: 0 };
    class.devices[2].say(&seat(SeatSays::Grab(grab))).await;
    let after = until(&mut class.devices[2], |view| view.grab.tap != Tap::None).await;
    assert!(matches!(after.grab.tap, Tap::FalseGrab { .. } | Tap::Excited { .. }), "{after:?}");
    assert_eq!((after.grab.cue, after.grab.taps), (None, 1));
    assert_eq!((&after.table, &after.hand), (&before.table, &before.hand));
    for seat in [0, 1, 3] {
        assert!(hears_nothing(&mut class.devices[seat]).await, "seat {seat} noticed");
    }
}

#[tokio::test]
async fn the_newest_device_has_the_seat_and_a_withdrawn_secret_opens_nothing() {
    let mut class = Class::playing().await;
    let newer = class.come(3).await;
    assert_eq!(newer.table.phase, Phase::Playing);
    let mut older = {
        let mut device = class.house.socket(Codec::Bincode, &[]).await;
        device.hello_seat(class.tokens[3]).await;
        assert!(matches!(device.hear().await, Ok(ToClient::Welcome(_))));
        std::mem::replace(&mut class.devices[3], device)
    };
    assert_eq!(older.closed().await.0, Close::NewerDevice.code());

    let freed = BoardSays::FreePlace { pupil: PupilIndex(3) };
    class.house.hub.board_says(ME, class.lesson, freed).await.unwrap();
    let code = Close::UnknownCredential.code();
    assert_eq!(class.devices[3].closed().await.0, code, "the device that had it");
    let mut stranger = class.house.socket(Codec::Json, &[]).await;
    stranger.hello_seat(class.tokens[3]).await;
    assert_eq!(stranger.closed().await.0, code, "the secret that was withdrawn");
    assert_eq!(class.house.join(class.lesson, 3).await.status, 200, "the place is free");
}

#[tokio::test]
async fn a_board_hears_a_friendly_no_and_may_not_move_for_a_child() {
    let class = Class::playing().await;
    let mut board = class.house.teacher_socket(Codec::Bincode).await;
    board.hello_board(class.lesson).await;
    let table = Some(TableId([1; 16]));
    let easy = LessonPlan::for_ages(AgeBand::FiveToSix);
    let word = HouseRule::Letters { word: "no".into() };
    let cases = [
        (BoardSays::Start { table: None }, Refusal::GameRunning),
        (BoardSays::Pause { table }, Refusal::NoSuchTable),
        (BoardSays::Plan(LessonPlan { house: word, ..easy.clone() }), Refusal::RuleNotPlayable),
        // Four groups of four serve two seats: (2 + 2) x 4 cards.
        (BoardSays::Plan(LessonPlan { groups: 4, ..easy }), Refusal::DeckTooSmall { serves: 2 }),
        (BoardSays::FreePlace { pupil: PupilIndex(4) }, Refusal::NoSuchSeat),
    ];
    for (says, refusal) in cases {
        board.say(&ToServer::Board { ask: Ask(3), says: says.clone() }).await;
        let answer = loop {
            match board.hear().await.unwrap() {
                ToClient::Refused { ask, refusal } => break (ask, refusal),
                ToClient::Welcome(_) | ToClient::Board(_) => {}
                other => panic!("a board hears {other:?}"),
            }
        };
        assert_eq!(answer, (Ask(3), refusal), "{says:?}");
    }
    board.say(&seat(SeatSays::TakeUp)).await;
    assert_eq!(board.closed().await.0, Close::NotAllowed.code());

    // Without a teacher's key the lesson's number opens no board.
    let mut stranger = class.house.socket(Codec::Json, &[]).await;
    stranger.hello(Credential::Board(class.lesson)).await;
    assert_eq!(stranger.closed().await.0, Close::UnknownCredential.code());
}

#[tokio::test]
async fn when_the_lesson_is_over_every_device_is_told() {
    let mut class = Class::playing().await;
    let mut board = class.house.teacher_socket(Codec::Json).await;
    board.hello_board(class.lesson).await;
    let watched = class.house.hub.board(ME, class.lesson).await.unwrap();
    let wall_url = watched.borrow().wall_url.clone();
    drop(watched);
    let secret = wall_url.rsplit('/').next().and_then(Token::from_hex).unwrap();
    let mut wall = class.house.socket(Codec::Json, &[]).await;
    wall.hello(Credential::Wall(secret)).await;
    for device in [&mut board, &mut wall] {
        assert!(matches!(device.hear().await, Ok(ToClient::Welcome(_))));
    }
    board.say(&ToServer::Board { ask: Ask(1), says: BoardSays::EndLesson }).await;
    class.devices.extend([board, wall]);
    for (place, device) in class.devices.iter_mut().enumerate() {
        assert_eq!(device.closed().await.0, Close::LessonOver.code(), "device {place}");
    }
}
