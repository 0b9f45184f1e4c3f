//! Two teachers on one server, over real sockets: each reaches the own lessons, classes, decks and reports
//! alone, by every address that there is; and how they sign in, are kept out, and are gone again.
#![allow(clippy::unwrap_used)]

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use handround_protocol::classes::{
    ClassLine, ClassTold, GroupsAsked, HomeAsked, LessonAsked, PictureAsked,
};
use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::door::{Admit, DoorSays, SharedAsked};
use handround_protocol::house::AgeBand;
use handround_protocol::id::{Ask, ClassId, KeptDeckId, LessonId, OwnDeckId, PupilIndex, TableId};
use handround_protocol::join::{LessonLine, LessonMade};
use handround_protocol::message::{BoardSays, ToClient, ToServer, Welcome};
use handround_protocol::picture::Picture;
use handround_protocol::refusal::Refusal;
use handround_protocol::skill::Skill;
use handround_protocol::substitute::SubstituteDay;
use handround_protocol::time::Micros;
use handround_protocol::view::LessonPlan;
use handround_protocol::wishes::DeckPlan;
use handround_protocol::workshop::{
    KeptDeck, LengthAsk, NamedDeck, OwnDeckLine, OwnDeckSent, PreviewAsk, PrintAsk, SentFile,
    SlotAsked, UseDeck,
};
use handround_server::account::{self, Account, PasswordHash};
use handround_server::journal::{MemoryStore, Store, StreamName};
use handround_server::limits::account::PASSWORD_CHARS_MAX;
use handround_server::limits::web::{SESSION_AGE_MAX, SIGN_IN_BYTES_MAX, SIGN_INS_BURST};
use handround_server::teacher::TeacherId;
use handround_tests::disk;
use handround_tests::house::{Answer, Device, House, ME};
use handround_tests::program::handround;
use handround_tests::quick_clock;
use serde::Serialize;
use std::collections::BTreeSet;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::Duration;
use std::time::{SystemTime, UNIX_EPOCH};

const FERN: TeacherId = ME;
const LIST: &str = "nickname\nAda\nBo\nCleo\nDora\nEmil\nFinn\nGus\n";
const OWN: &str = "ant,ant,ANT,Ant,it digs\nbee,bee,BEE,Bee,it hums\nwren,wren,WREN,Wren,it sings\n\
                   toad,toad,TOAD,Toad,it hops\nname:,Garden words\n";

/// Fern has taken over what the key made; Moss is new here.
fn moss() -> TeacherId {
    TeacherId::new([2; 16])
}

async fn enrol(store: &dyn Store, teacher: TeacherId, name: &str, password: &str) {
    let password = PasswordHash::of(&password.parse().unwrap(), [7; 16]).unwrap();
    let account = Account { teacher, name: name.parse().unwrap(), password };
    account::keep(store, &account).await.unwrap();
}

async fn school() -> House {
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    enrol(&*store, FERN, "Ms Fern", "leaf pebble cart").await;
    enrol(&*store, moss(), "Moss", "drum kite & pear=50%").await;
    House::over(store, 1).await
}

/// As a browser sends a form (URL standard, `application/x-www-form-urlencoded`).
fn form(name: &str, password: &str) -> Vec<u8> {
    serde_urlencoded::to_string([("name", name), ("password", password)]).unwrap().into_bytes()
}

async fn try_from(house: &House, name: &str, password: &str, headers: &[&str]) -> Answer {
    house.ask("POST /sign-in", headers, &form(name, password)).await
}

async fn try_in(house: &House, name: &str, password: &str) -> Answer {
    try_from(house, name, password, &[]).await
}

/// The header with which the browser comes again.
fn cookie_of(answer: &Answer) -> String {
    let cookie = answer.header("set-cookie").unwrap().split(';').next().unwrap();
    format!("Cookie: {cookie}")
}

async fn sign_in(house: &House, name: &str, password: &str) -> String {
    let answer = try_in(house, name, password).await;
    assert_eq!((answer.status, answer.header("location")), (303, Some("/teacher")));
    cookie_of(&answer)
}

async fn both(house: &House) -> [String; 2] {
    let fern = sign_in(house, "Ms Fern", "leaf pebble cart").await;
    [fern, sign_in(house, "Moss", "drum kite & pear=50%").await]
}

fn json(body: &impl Serialize) -> String {
    serde_json::to_string(body).unwrap()
}

async fn board_of(house: &House, cookie: &str, lesson: LessonId) -> Device {
    let cookie = cookie.strip_prefix("Cookie: ").unwrap();
    let mut device = house.socket(Codec::Json, &[("cookie", cookie)]).await;
    device.hello_board(lesson).await;
    device
}

async fn table_of(house: &House, teacher: TeacherId, lesson: LessonId) -> TableId {
    let mut board = house.hub.board(teacher, lesson).await.unwrap();
    board.wait_for(|board| !board.tables.is_empty()).await.unwrap().tables[0].table
}

/// Whatever a teacher can have.
struct Things {
    class: ClassId,
    lesson: LessonId,
    table: TableId,
    kept: KeptDeckId,
    own: OwnDeckId,
}

/// Ids of things that nobody has.
const NOTHING: Things = Things {
    class: ClassId([9; 16]),
    lesson: LessonId([8; 16]),
    table: TableId([7; 16]),
    kept: KeptDeckId([6; 16]),
    own: OwnDeckId([5; 16]),
};

fn deck(skill: Skill) -> DeckPlan {
    LessonPlan { skill, groups: 4, ..LessonPlan::for_ages(AgeBand::FiveToSix) }.deck()
}

fn own_deck_file() -> String {
    let file = SentFile { name: "garden.csv".to_owned(), base64: STANDARD.encode(OWN) };
    json(&OwnDeckSent { deck: file, pictures: Vec::new() })
}

impl Things {
    /// A teacher makes one of each, and a game begins.
    async fn made_by(house: &House, teacher: TeacherId, cookie: &str) -> Things {
        let ask = async |line: &str, body: &str| {
            let answer = house.ask(line, &[cookie], body.as_bytes()).await;
            assert_eq!(answer.status, 201, "{line}: {}", String::from_utf8_lossy(&answer.body));
            answer
        };
        let lesson = ask("POST /lessons?name=Oak", LIST).await.json::<LessonMade>().lesson;
        let classes = house.hub.classes(teacher).await.unwrap();
        let named = NamedDeck { name: "Letters".to_owned(), deck: deck(Skill::Letters) };
        let kept: KeptDeck = ask("POST /workshop/decks", &json(&named)).await.json();
        let own: OwnDeckLine = ask("POST /workshop/own", &own_deck_file()).await.json();
        let table = table_of(house, teacher, lesson).await;
        house.hub.board_says(teacher, lesson, BoardSays::Start { table: None }).await.unwrap();
        Things { class: classes[0].class, lesson, table, kept: kept.id, own: own.id }
    }

    /// An address with these in the places of the route's names; and a body likewise.
    fn fill(&self, route: &str, body: &str) -> (String, Vec<u8>) {
        let deck =
            if route.contains("/own/") { self.own.to_string() } else { self.kept.to_string() };
        let line = route
            .replace("{class}", &self.class.to_string())
            .replace("{lesson}", &self.lesson.to_string())
            .replace("{table}", &self.table.to_string())
            .replace("{deck}", &deck)
            .replace("{seat}", "0")
            .replace("{child}", "0");
        let body = body.replace(&NOTHING.lesson.to_string(), &self.lesson.to_string()).replace(
            &format!("{{\"deck\":\"{}\"}}", NOTHING.own),
            &format!("{{\"deck\":\"{}\"}}", self.own),
        );
        (line, body.into_bytes())
    }
}

/// Every route of a teacher that names one of her things, in its address or in a body that here names
/// `NOTHING`, and what its owner gets. In this order they all can be done.
fn by_id() -> Vec<(&'static str, String, u16)> {
    let pupils = vec![(0..4).map(PupilIndex).collect::<Vec<_>>()];
    let our_class = deck(Skill::OurClass);
    let own = deck(Skill::OwnDeck { deck: NOTHING.own });
    let lesson = Some(NOTHING.lesson);
    let look = |deck: &DeckPlan| {
        json(&PreviewAsk { deck: deck.clone(), draw: 1, swap: None, lesson, helpers: [].into() })
    };
    let length = LengthAsk { deck: our_class.clone(), draw: 1, lesson, slot_minutes: None };
    let print = PrintAsk {
        deck: our_class.clone(),
        draw: 1,
        a4: true,
        backs: false,
        letters: None,
        seats: 2,
        lesson,
    };
    let asked = LessonAsked {
        name: "Monday".into(),
        ages: AgeBand::FiveToSix,
        tables: pupils.clone(),
        decks: Vec::new(),
    };
    let picture = PictureAsked { pupil: PupilIndex(0), picture: Picture::Pear };
    let named = NamedDeck { name: "Garden".into(), deck: own.clone() };
    let use_own = UseDeck { table: None, deck: Some(own.clone()) };
    let shared = SharedAsked { pupils: vec![PupilIndex(0)] };
    // The server's clock is the system's.
    let now_s = SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs();
    let (from, until) = (Micros::from_s(now_s), Micros::from_s(now_s + 3_600));
    let none = String::new;
    vec![
        ("GET /classes/{class}", none(), 200),
        ("PUT /classes/{class}", LIST.to_owned(), 200),
        ("GET /classes/{class}/list.csv", none(), 200),
        ("POST /classes/{class}/picture", json(&picture), 200),
        (
            "POST /classes/{class}/home",
            json(&HomeAsked { pupil: PupilIndex(0), at_home: true }),
            200,
        ),
        (
            "POST /classes/{class}/groups",
            json(&GroupsAsked::ByHand { tables: pupils, with_decks: true }),
            200,
        ),
        ("POST /classes/{class}/lessons", json(&asked), 201),
        ("GET /classes/{class}/report", none(), 200),
        ("GET /classes/{class}/report.json", none(), 200),
        ("GET /classes/{class}/report.csv", none(), 200),
        ("GET /classes/{class}/report/{child}", none(), 200),
        ("GET /classes/{class}/report.pdf", none(), 200),
        ("GET /classes/{class}/report/{child}/pdf", none(), 200),
        ("GET /classes/{class}/next", none(), 200),
        ("POST /lessons/{lesson}/partners", none(), 200),
        // There was no race yet, and the owner is told that.
        ("GET /lessons/{lesson}/tables/{table}/race", none(), 404),
        ("GET /lessons/{lesson}/tables/{table}/seats/{seat}/hand", none(), 200),
        ("POST /lessons/{lesson}/freeze", none(), 200),
        ("GET /lessons/{lesson}/slot", none(), 200),
        ("POST /lessons/{lesson}/slot", json(&SlotAsked { minutes: None }), 200),
        ("GET /lessons/{lesson}/planning", none(), 200),
        ("GET /lessons/{lesson}/family-letter", none(), 200),
        ("GET /lessons/{lesson}/pack.pdf", none(), 200),
        ("GET /lessons/{lesson}/door", none(), 200),
        ("POST /lessons/{lesson}/door", json(&DoorSays::Admit(Admit::Everybody)), 200),
        ("POST /lessons/{lesson}/home", none(), 200),
        ("POST /lessons/{lesson}/shared", json(&shared), 200),
        ("GET /lessons/{lesson}/place-cards.pdf", none(), 200),
        ("POST /lessons/{lesson}/substitute", json(&SubstituteDay { from, until }), 200),
        ("GET /lessons/{lesson}/substitute", none(), 200),
        ("DELETE /lessons/{lesson}/substitute", none(), 200),
        ("POST /workshop/preview", look(&our_class), 200),
        ("POST /workshop/preview", look(&own), 200),
        ("POST /workshop/length", json(&length), 200),
        ("POST /workshop/print", json(&print), 200),
        ("POST /workshop/decks", json(&named), 201),
        ("POST /lessons/{lesson}/plan", json(&LessonPlan::for_ages(AgeBand::SixToSeven)), 200),
        ("POST /lessons/{lesson}/deck", json(&use_own), 409),
        ("GET /workshop/decks/{deck}/file", none(), 200),
        ("DELETE /workshop/decks/{deck}", none(), 200),
        ("GET /workshop/own/{deck}/file", none(), 200),
        ("DELETE /workshop/own/{deck}", none(), 200),
        // Its lesson still goes on, and the owner is told that.
        ("DELETE /classes/{class}", none(), 409),
    ]
}

/// A teacher's other routes: they begin something or list her own.
const TEACHERS: [&str; 13] = [
    "GET /account",
    "GET /account/password",
    "GET /classes",
    "GET /lessons",
    "GET /workshop/decks",
    "GET /workshop/own",
    "GET /workshop/skills",
    "POST /account/password",
    "POST /classes",
    "POST /lessons",
    "POST /workshop/decks",
    "POST /workshop/file",
    "POST /workshop/own",
];

/// Routes that need no teacher.
const ANYBODYS: [&str; 28] = [
    "GET /",
    "GET /decks/{deck}/faces",
    "GET /h",
    "GET /hand",
    "GET /health",
    "GET /home",
    "GET /j/{code}",
    "GET /p",
    "GET /pages/{*path}",
    "GET /shared",
    "GET /sign-in",
    "GET /substitute",
    "GET /tablet",
    "GET /teacher",
    "GET /wall/{token}",
    "GET /ws",
    "POST /join/ask",
    "POST /join/card",
    "POST /join/link",
    "POST /join/place",
    "POST /join/row",
    "POST /join/tablet",
    "POST /join/undo",
    "POST /join/wait",
    "POST /sign-in",
    "POST /sign-out",
    "POST /substitute/door",
    "POST /substitute/slot",
];

/// What the router serves, read out of its source: axum does not tell.
fn routes() -> BTreeSet<String> {
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/../server/src/web/mod.rs");
    let source = std::fs::read_to_string(source).unwrap();
    let mut routes = BTreeSet::new();
    for part in source.split(".route(").skip(1) {
        let part = part.split(".layer(").next().unwrap().split(".fallback(").next().unwrap();
        let path = part.split('"').nth(1).unwrap();
        for method in ["get", "post", "put", "delete"] {
            let called = |before: &str| part.contains(&format!("{before}{method}("));
            if called(" ") || called(".") {
                routes.insert(format!("{} {path}", method.to_uppercase()));
            }
        }
    }
    routes
}

#[test]
fn every_route_is_a_teachers_or_is_known_to_be_anybodys() {
    let known: BTreeSet<String> = by_id()
        .iter()
        .map(|(route, ..)| *route)
        .chain(TEACHERS)
        .chain(ANYBODYS)
        .map(str::to_owned)
        .collect();
    let served = routes();
    assert!(served.len() > 60, "the router's source was not understood: {served:?}");
    assert_eq!(known, served);
}

#[tokio::test]
async fn whoever_is_not_signed_in_is_refused_on_every_route_of_a_teacher() {
    let house = school().await;
    let [fern, _] = both(&house).await;
    let things = Things::made_by(&house, FERN, &fern).await;
    let forged = "Cookie: handround_session=0123456789abcdef0123456789abcdef";
    let elsewhere = [fern.as_str(), "Origin: http://other.example"];
    let more = TEACHERS.map(|route| (route, String::new(), 0));
    for (route, body, _) in by_id().into_iter().chain(more) {
        let (line, body) = things.fill(route, &body);
        for (headers, status) in [(&[][..], 401), (&[forged], 401), (&elsewhere, 403)] {
            let answer = house.ask(&line, headers, &body).await;
            assert_eq!(answer.status, status, "{line} with {headers:?}");
        }
    }
    house.close().await;
}

#[tokio::test]
async fn another_teachers_things_are_answered_like_things_that_do_not_exist() {
    let house = school().await;
    let [fern, moss] = both(&house).await;
    let hers = Things::made_by(&house, FERN, &fern).await;
    let told = async |cookie: &str, things: &Things, route: &str, body: &str| {
        let (line, body) = things.fill(route, body);
        let answer = house.ask(&line, &[cookie], &body).await;
        (answer.status, String::from_utf8_lossy(&answer.body).into_owned())
    };
    // All of it is tried before its owner does anything, so that a success would show.
    let mut refused = Vec::new();
    for (route, body, _) in by_id() {
        let others = told(&moss, &hers, route, &body).await;
        assert_eq!(others, told(&moss, &NOTHING, route, &body).await, "{route}");
        refused.push(others);
    }
    for ((route, body, status), others) in by_id().into_iter().zip(refused) {
        let own = told(&fern, &hers, route, &body).await;
        assert_eq!(own.0, status, "{route}: {}", own.1);
        assert_ne!(own, others, "{route}");
    }
    house.close().await;
}

#[tokio::test]
async fn each_teacher_is_shown_the_own_things_and_no_others() {
    let house = school().await;
    let [fern, moss_in] = both(&house).await;
    let hers = Things::made_by(&house, FERN, &fern).await;
    let get = async |cookie: &str, line: &str| house.ask(line, &[cookie], b"").await;
    for line in ["GET /lessons", "GET /classes", "GET /workshop/decks", "GET /workshop/own"] {
        assert_eq!(get(&moss_in, line).await.body, b"[]", "{line}");
        assert_eq!(get(&fern, line).await.json::<Vec<serde_json::Value>>().len(), 1, "{line}");
    }
    // The same list and names: a class, a lesson and decks of Moss's own.
    let his = Things::made_by(&house, moss(), &moss_in).await;
    assert!(his.class != hers.class && his.kept != hers.kept && his.own != hers.own);
    for (cookie, things) in [(&fern, &hers), (&moss_in, &his)] {
        let classes: Vec<ClassLine> = get(cookie, "GET /classes").await.json();
        assert_eq!(classes.iter().map(|one| one.class).collect::<Vec<_>>(), [things.class]);
        let lessons: Vec<LessonLine> = get(cookie, "GET /lessons").await.json();
        assert_eq!(lessons.iter().map(|one| one.lesson).collect::<Vec<_>>(), [things.lesson]);
        let kept: Vec<KeptDeck> = get(cookie, "GET /workshop/decks").await.json();
        assert_eq!(kept.iter().map(|one| one.id).collect::<Vec<_>>(), [things.kept]);
        let own: Vec<OwnDeckLine> = get(cookie, "GET /workshop/own").await.json();
        assert_eq!(own.iter().map(|one| one.id).collect::<Vec<_>>(), [things.own]);
    }
    // Her things do not come in by the side: her lesson in his report, her deck in his lesson.
    let report = |lesson| format!("GET /classes/{}/report.json?lesson={lesson}", his.class);
    assert_eq!(get(&moss_in, &report(hers.lesson)).await.status, 404);
    assert_eq!(get(&moss_in, &report(his.lesson)).await.status, 200);
    let plan = |own| {
        let deck = deck(Skill::OwnDeck { deck: own });
        LessonPlan::for_ages(AgeBand::FiveToSix).with_deck(DeckPlan { groups: 4, ..deck })
    };
    let line = format!("POST /lessons/{}/plan", his.lesson);
    for (own, there) in [(hers.own, false), (NOTHING.own, false), (his.own, true)] {
        let answer = house.ask(&line, &[&moss_in], json(&plan(own)).as_bytes()).await;
        let said = String::from_utf8_lossy(&answer.body).into_owned();
        // Four groups are too few for his table, which shows that his own deck was found.
        assert_eq!(said.contains("not kept here any more"), !there, "{said}");
        let says = BoardSays::Plan(plan(own));
        let refusal = house.hub.board_says(moss(), his.lesson, says).await.unwrap_err();
        assert_eq!(refusal == Refusal::DeckNotPossible, !there, "{refusal:?}");
    }
    // What one deletes the other keeps.
    house.hub.board_says(moss(), his.lesson, BoardSays::EndLesson).await.unwrap();
    let deleted = house.ask(&format!("DELETE /classes/{}", his.class), &[&moss_in], b"").await;
    assert_eq!(deleted.status, 200);
    let told: ClassTold = get(&fern, &format!("GET /classes/{}", hers.class)).await.json();
    assert_eq!(told.pupils.len(), 7);
    house.close().await;
}

#[tokio::test]
async fn a_board_shows_and_moves_the_own_lesson_alone() {
    let house = school().await;
    let [fern, moss_in] = both(&house).await;
    let hers = Things::made_by(&house, FERN, &fern).await;
    let his = Things::made_by(&house, moss(), &moss_in).await;
    for (cookie, lesson) in
        [(&moss_in, hers.lesson), (&moss_in, NOTHING.lesson), (&fern, his.lesson)]
    {
        let closed = board_of(&house, cookie, lesson).await.closed().await;
        assert_eq!(closed.0, Close::UnknownCredential.code());
    }
    let mut own = board_of(&house, &moss_in, his.lesson).await;
    assert!(matches!(own.hear().await, Ok(ToClient::Welcome(Welcome::Board))));
    for table in [hers.table, NOTHING.table] {
        let says = BoardSays::Pause { table: Some(table) };
        own.say(&ToServer::Board { ask: Ask(1), says }).await;
        let refusal = loop {
            match own.hear().await.unwrap() {
                ToClient::Refused { refusal, .. } => break refusal,
                _ => continue,
            }
        };
        assert_eq!(refusal, Refusal::NoSuchTable);
    }
    // Everything of his stands still, and nothing of hers.
    let frozen = house.ask(&format!("POST /lessons/{}/freeze", his.lesson), &[&moss_in], b"").await;
    assert!(frozen.json::<bool>());
    let paused = async |teacher, lesson| {
        let board = house.hub.board(teacher, lesson).await.unwrap();
        let board = board.borrow().clone();
        board.tables.iter().any(|table| table.view.paused)
    };
    let mut board = house.hub.board(moss(), his.lesson).await.unwrap();
    board.wait_for(|board| board.tables.iter().all(|table| table.view.paused)).await.unwrap();
    assert!(!paused(FERN, hers.lesson).await);
    house.close().await;
}

/// Attributes by RFC 6265 section 5.2, and `SameSite` by its successor's draft (RFC 6265bis).
#[tokio::test]
async fn the_cookie_is_for_this_server_and_for_no_script() {
    let house = school().await;
    for (header, secure) in [("X-Nothing: at all", false), ("X-Forwarded-Proto: https", true)] {
        let answer = try_from(&house, " ms fern ", "leaf pebble cart", &[header]).await;
        let cookie = answer.header("set-cookie").unwrap();
        let mut parts = cookie.split("; ");
        let (name, secret) = parts.next().unwrap().split_once('=').unwrap();
        assert_eq!((name, secret.len()), ("handround_session", 32));
        let age = format!("Max-Age={}", SESSION_AGE_MAX.as_secs());
        let mut expected = BTreeSet::from(["HttpOnly", "SameSite=Strict", "Path=/", age.as_str()]);
        expected.extend(secure.then_some("Secure"));
        assert_eq!(parts.collect::<BTreeSet<_>>(), expected, "{header}");
        let name = house.ask("GET /account", &[&cookie_of(&answer)], b"").await;
        assert_eq!(name.json::<Option<String>>().as_deref(), Some("Ms Fern"));
    }
    house.close().await;
}

#[tokio::test]
async fn a_wrong_password_and_an_unknown_name_are_told_alike() {
    let house = school().await;
    let tries = [
        ("Ms Fern", "leaf pebble carT"),
        ("Ms Fern", ""),
        ("Ms Fern", "drum kite & pear=50%"),
        ("Nobody", "leaf pebble cart"),
        ("", "leaf pebble cart"),
        ("<script>\"'&", "leaf pebble cart"),
    ];
    let mut pages = BTreeSet::new();
    for (name, password) in tries {
        let answer = try_in(&house, name, password).await;
        assert_eq!((answer.status, answer.header("set-cookie")), (403, None), "{name}");
        let page = String::from_utf8(answer.body).unwrap();
        assert!(!page.contains("<script") && !page.contains(password) || password.is_empty());
        let (before, after) = page.split_once(" value=\"").unwrap();
        pages.insert(format!("{before}{}", after.split_once('"').unwrap().1));
    }
    assert_eq!(pages.len(), 1, "{pages:?}");
    assert!(pages.first().unwrap().contains("do not belong together"));

    let right = form("Moss", "drum kite & pear=50%");
    for origin in ["Origin: http://other.example", "Origin: null"] {
        assert_eq!(house.ask("POST /sign-in", &[origin], &right).await.status, 403, "{origin}");
    }
    let own = format!("Origin: http://{}", house.address);
    assert_eq!(house.ask("POST /sign-in", &[&own], &right).await.status, 303);
    for (body, status) in
        [(&b"name=Moss"[..], 400), (b"{}", 400), (&[b'a'; SIGN_IN_BYTES_MAX + 1], 413)]
    {
        assert_eq!(house.ask("POST /sign-in", &[], body).await.status, status);
    }
    house.close().await;
}

/// On a clock that stands still: a password takes long to hash on a busy machine, and nobody may try once
/// more for that.
#[test]
fn whoever_hammers_waits_and_keeps_nobody_else_out() {
    quick_clock::run_in_steps(Duration::ZERO, hammers());
}

async fn hammers() {
    let house = school().await;
    let from = async |address: &str, name: &str, password: &str| {
        // The test speaks as a proxy on this machine does.
        try_from(&house, name, password, &[&format!("X-Forwarded-For: {address}")]).await
    };
    let mut statuses = Vec::new();
    for number in 0..SIGN_INS_BURST.get() + 10 {
        let answer = from("192.0.2.7", "Moss", &format!("guess number {number}")).await;
        if answer.status == 429 {
            assert_eq!(answer.header("retry-after"), Some("60"));
            assert!(String::from_utf8_lossy(&answer.body).contains("Wait a minute"));
        }
        statuses.push(answer.status);
    }
    let (tried, refused) = statuses.split_at(SIGN_INS_BURST.get() as usize);
    assert!(tried.iter().all(|status| *status == 403), "{statuses:?}");
    assert!(refused.iter().all(|status| *status == 429), "{statuses:?}");
    assert_eq!(from("192.0.2.7", "Ms Fern", "leaf pebble cart").await.status, 429);
    assert_eq!(from("198.51.100.1", "Moss", "drum kite & pear=50%").await.status, 303);
    house.close().await;
}

/// Asks until the server has looked for changed accounts.
async fn until_out(house: &House, cookie: &str) {
    for _ in 0..600 {
        if house.ask("GET /lessons", &[cookie], b"").await.status == 401 {
            return;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    panic!("still signed in");
}

/// Tries, slowly enough for the rates, until the server has looked for new accounts.
async fn until_in(house: &House, name: &str, password: &str) -> String {
    for _ in 0..25 {
        let answer = try_in(house, name, password).await;
        if answer.status == 303 {
            return cookie_of(&answer);
        }
        tokio::time::sleep(Duration::from_secs(2)).await;
    }
    panic!("still not known");
}

#[tokio::test]
async fn signing_out_a_new_password_and_a_removed_account_end_sign_ins_and_boards() {
    let house = school().await;
    let [fern, moss_in] = both(&house).await;
    let hers = Things::made_by(&house, FERN, &fern).await;
    let his = Things::made_by(&house, moss(), &moss_in).await;

    // One browser signs out: its board closes, the other one goes on.
    let second = sign_in(&house, "ms fern", "leaf pebble cart").await;
    // Somebody else signs in at her browser: she is out there.
    let hers_too = sign_in(&house, "ms fern", "leaf pebble cart").await;
    let his_now = try_from(&house, "Moss", "drum kite & pear=50%", &[&hers_too]).await;
    assert_eq!(his_now.status, 303);
    assert_eq!(house.ask("GET /lessons", &[&hers_too], b"").await.status, 401);
    // She signs in again herself: what she had open goes on.
    let again = try_from(&house, "Ms Fern", "leaf pebble cart", &[&second]).await;
    assert_eq!(again.status, 303);
    let mut board = board_of(&house, &second, hers.lesson).await;
    let mut stays = board_of(&house, &fern, hers.lesson).await;
    assert_eq!(house.ask("POST /sign-out", &[&second, "Origin: null"], b"").await.status, 403);
    let out = house.ask("POST /sign-out", &[&second], b"").await;
    assert!(out.header("set-cookie").unwrap().starts_with("handround_session=; HttpOnly; "));
    assert!(out.header("set-cookie").unwrap().contains("Max-Age=0"));
    assert_eq!(board.closed().await.0, Close::UnknownCredential.code());
    assert_eq!(house.ask("GET /lessons", &[&second], b"").await.status, 401);
    assert_eq!(house.ask("GET /lessons", &[&fern], b"").await.status, 200);

    // A new password ends what was begun with the old one.
    enrol(&*house.store, FERN, "Ms Fern", "another leaf cart").await;
    until_out(&house, &fern).await;
    assert_eq!(stays.closed().await.0, Close::UnknownCredential.code());
    assert_eq!(try_in(&house, "Ms Fern", "leaf pebble cart").await.status, 403);
    let fern = sign_in(&house, "Ms Fern", "another leaf cart").await;

    // A removed account: nobody is in, and what was there goes too, although a lesson goes on.
    let mut board = board_of(&house, &moss_in, his.lesson).await;
    account::forget(&*house.store, moss()).await.unwrap();
    until_out(&house, &moss_in).await;
    board.closed().await;
    assert_eq!(try_in(&house, "Moss", "drum kite & pear=50%").await.status, 403);
    let streams = async |id: String| {
        let all = house.store.streams("").await.unwrap();
        all.into_iter().filter(|name| name.0.contains(&id)).collect::<Vec<StreamName>>()
    };
    let ids =
        [his.class.to_string(), his.lesson.to_string(), his.kept.to_string(), his.own.to_string()];
    for id in ids.into_iter().chain([his.table.to_string()]) {
        for _ in 0..600 {
            if streams(id.clone()).await.is_empty() {
                break;
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        assert_eq!(streams(id).await, [], "of a removed account");
    }
    assert_eq!(streams(hers.lesson.to_string()).await.len(), 1);
    let lessons: Vec<LessonLine> = house.ask("GET /lessons", &[&fern], b"").await.json();
    assert_eq!(lessons[0].lesson, hers.lesson);
    house.close().await;
}

async fn change(house: &House, cookie: &str, fields: [&str; 3]) -> Answer {
    let fields = ["now", "new", "again"].into_iter().zip(fields);
    let body = serde_urlencoded::to_string(fields.collect::<Vec<_>>()).unwrap();
    house.ask("POST /account/password", &[cookie], body.as_bytes()).await
}

#[tokio::test]
async fn a_teacher_changes_her_password_and_her_other_browsers_are_out() {
    let house = school().await;
    let [fern, moss_in] = both(&house).await;
    let lesson: LessonMade =
        house.ask("POST /lessons?name=Oak", &[&fern], LIST.as_bytes()).await.json();
    let other = sign_in(&house, "Ms Fern", "leaf pebble cart").await;
    let mut board = board_of(&house, &other, lesson.lesson).await;
    let page = house.ask("GET /account/password", &[&fern], b"").await;
    assert_eq!((page.status, page.header("referrer-policy")), (200, Some("same-origin")));
    let page = String::from_utf8(page.body).unwrap();
    assert!(page.contains("value=\"Ms Fern\"") && !page.contains("<script"));
    assert_eq!(page.matches("autocomplete=\"new-password\"").count(), 2);

    let (old, new) = ("leaf pebble cart", "boats on a pond 7");
    let refused = [
        // Hers is nobody else's: Moss at his browser, and whoever found hers open.
        (&moss_in, [old, new, new], 403, "not your password of now"),
        (&fern, ["drum kite & pear=50%", new, new], 403, "not your password of now"),
        (&fern, ["", new, new], 403, "not your password of now"),
        (&fern, [old, new, "boats on a pond 8"], 400, "two different ways"),
        (&fern, [old, old, old], 400, "your password already"),
        (&fern, [old, "short", "short"], 400, "at least 12"),
        (&fern, [old, "12345678", "12345678"], 400, "at least 12"),
        (&fern, [old, "123456789012", "123456789012"], 400, "more than a name"),
        (&fern, [old, "aaaaaaaaaaaa", "aaaaaaaaaaaa"], 400, "more than a name"),
        (&fern, [old, "Ms Fern ms fern 1", "Ms Fern ms fern 1"], 400, "more than a name"),
        (&fern, [old, "a pond\nof boats", "a pond\nof boats"], 400, "one line"),
    ];
    for (cookie, fields, status, words) in refused {
        let answer = change(&house, cookie, fields).await;
        let page = String::from_utf8(answer.body.clone()).unwrap();
        assert_eq!((answer.status, answer.header("set-cookie")), (status, None), "{fields:?}");
        assert!(page.contains(words), "{fields:?}: {page}");
        assert!(!fields.iter().any(|typed| typed.len() > 5 && page.contains(typed)), "{page}");
    }
    for (body, status) in [(&b"now=a"[..], 400), (&[b'a'; SIGN_IN_BYTES_MAX + 1], 413)] {
        let answer = house.ask("POST /account/password", &[&fern], body).await;
        assert_eq!(answer.status, status);
    }
    let tool = house.ask_as_teacher("GET /account/password", b"").await;
    assert_eq!((tool.status, tool.refusal().message.contains("no password")), (409, true));
    // Nothing was lost by all that: both browsers are still in.
    for cookie in [&fern, &other, &moss_in] {
        assert_eq!(house.ask("GET /lessons", &[cookie], b"").await.status, 200);
    }

    let changed = change(&house, &fern, [old, new, new]).await;
    assert_eq!(changed.status, 200, "{}", String::from_utf8_lossy(&changed.body));
    let now_in = cookie_of(&changed);
    assert_eq!(board.closed().await.0, Close::UnknownCredential.code());
    for (cookie, status) in [(&now_in, 200), (&fern, 401), (&other, 401), (&moss_in, 200)] {
        assert_eq!(house.ask("GET /lessons", &[cookie], b"").await.status, status);
    }
    assert_eq!(try_in(&house, "Ms Fern", old).await.status, 403);
    sign_in(&house, "ms fern", new).await;
    let kept = account::read_all(&*house.store).await.unwrap();
    let fern_now = account::find(&kept, "Ms Fern").unwrap();
    assert!(fern_now.teacher == FERN && fern_now.password.is_of(new));
    let stored = house.store.read(StreamName(format!("account/{FERN}"))).await.unwrap();
    assert!(stored.len() == 1 && stored[0].contains("$argon2id$") && !stored[0].contains(new));
    house.close().await;
}

/// Tries are counted with those of signing in, by the same name and address.
#[tokio::test]
async fn whoever_guesses_at_an_open_browser_waits_as_at_the_door() {
    let house = school().await;
    let fern = sign_in(&house, "Ms Fern", "leaf pebble cart").await;
    // Longer than any password, so that no try costs a hash and the allowance does not fill up meanwhile.
    let guess = "x".repeat(PASSWORD_CHARS_MAX + 1);
    let mut tries = 0;
    let waits = loop {
        let answer =
            change(&house, &fern, [&guess, "boats on a pond 7", "boats on a pond 7"]).await;
        if answer.status == 429 {
            break answer;
        }
        assert_eq!(answer.status, 403);
        tries += 1;
        assert!(tries < 1_000, "no end of tries");
    };
    assert!(tries + 1 >= SIGN_INS_BURST.get(), "{tries} tries and one sign-in");
    assert_eq!(waits.header("retry-after"), Some("60"));
    assert!(String::from_utf8_lossy(&waits.body).contains("Wait a minute"));
    assert_eq!(house.ask("GET /lessons", &[&fern], b"").await.status, 200, "she stays in");
    house.close().await;
}

#[tokio::test]
async fn whoever_came_with_the_key_is_out_once_accounts_take_over_and_is_told_so() {
    let house = House::open().await;
    let opened = house.ask(&format!("GET /teacher?key={}", house.one_time_key), &[], b"").await;
    assert_eq!(opened.status, 303);
    let key = cookie_of(&opened);
    let lesson: LessonMade =
        house.ask("POST /lessons?name=Oak", &[&key], LIST.as_bytes()).await.json();
    let mut board = board_of(&house, &key, lesson.lesson).await;
    let none = house.ask("GET /account/password", &[&key], b"").await;
    assert_eq!((none.status, none.refusal().message.contains("with a key")), (409, true));

    enrol(&*house.store, moss(), "Moss", "drum kite & pear=50%").await;
    until_out(&house, &key).await;
    assert_eq!(board.closed().await.0, Close::UnknownCredential.code());
    let told = house.ask("GET /lessons", &[&key], b"").await;
    assert!(told.refusal().message.contains("accounts here: sign in"), "{:?}", told.refusal());
    let page = house.ask("GET /teacher", &[&key], b"").await;
    assert_eq!((page.status, page.header("location")), (303, Some("/sign-in")));
    let page = house.ask("GET /sign-in", &[&key], b"").await;
    assert!(String::from_utf8(page.body).unwrap().contains("key that the program printed"));
    // Her lesson is not lost: it waits for an account that takes over.
    enrol(&*house.store, FERN, "Ms Fern", "leaf pebble cart").await;
    let fern = until_in(&house, "Ms Fern", "leaf pebble cart").await;
    let lessons: Vec<LessonLine> = house.ask("GET /lessons", &[&fern], b"").await.json();
    assert_eq!(lessons[0].lesson, lesson.lesson);
    house.close().await;
}

#[tokio::test]
async fn with_an_account_the_key_is_off_and_the_page_to_sign_in_comes_first() {
    let house = school().await;
    let with_key = house.ask(&format!("GET /teacher?key={}", house.one_time_key), &[], b"").await;
    assert_eq!((with_key.status, with_key.header("set-cookie")), (403, None));
    assert!(String::from_utf8_lossy(&with_key.body).contains("the key is off"));
    let stranger = house.ask("GET /teacher", &[], b"").await;
    assert_eq!((stranger.status, stranger.header("location")), (303, Some("/sign-in")));
    let cookie = sign_in(&house, "Moss", "drum kite & pear=50%").await;
    assert_eq!(house.ask("GET /teacher", &[&cookie], b"").await.status, 200);
    // The fixed key of whoever started the server is for tools; it has no name.
    let tool = house.ask_as_teacher("GET /account", b"").await;
    assert_eq!(tool.json::<Option<String>>(), None);

    let page = house.ask("GET /sign-in", &[], b"").await;
    assert_eq!((page.status, page.header("referrer-policy")), (200, Some("same-origin")));
    assert_eq!(page.header("cache-control"), Some("no-store"));
    let page = String::from_utf8(page.body).unwrap();
    for part in
        ["autocomplete=\"username\"", "autocomplete=\"current-password\"", "method=\"post\""]
    {
        assert!(page.contains(part), "{part}");
    }
    house.close().await;
    let alone = House::open().await;
    let page = alone.ask("GET /sign-in", &[], b"").await;
    assert!(String::from_utf8(page.body).unwrap().contains("the key that the program printed"));
    assert_eq!(try_in(&alone, "Moss", "drum kite & pear=50%").await.status, 403);
    alone.close().await;
}

/// Documents of a version without owners belong to whoever comes with the key, and to an account that took
/// over from her.
#[tokio::test]
async fn what_was_stored_before_there_were_accounts_is_this_machines_teachers() {
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    let house = House::over(store.clone(), 1).await;
    let key = format!("Authorization: Bearer {}", handround_tests::house::TEACHER_KEY);
    let before = Things::made_by(&house, ME, &key).await;
    house.close().await;
    let owner = format!("\"owner\":\"{}\"", serde_json::to_value(ME).unwrap().as_str().unwrap());
    let mut changed = 0;
    for stream in store.streams("").await.unwrap() {
        let lines = store.read(stream.clone()).await.unwrap();
        let old: Vec<String> = lines
            .iter()
            .map(|line| line.replace(&format!(",{owner}"), "").replace(&format!("{owner},"), ""))
            .collect();
        changed += usize::from(old != lines);
        store.replace(stream, old).await.unwrap();
    }
    assert_eq!(changed, 4, "a class, a lesson and two decks");
    enrol(&*store, FERN, "Ms Fern", "leaf pebble cart").await;
    enrol(&*store, moss(), "Moss", "drum kite & pear=50%").await;
    let house = House::over(store, 2).await;
    let [fern, moss] = both(&house).await;
    for (cookie, count) in [(&key, 1), (&fern, 1), (&moss, 0)] {
        for line in ["GET /lessons", "GET /classes", "GET /workshop/decks", "GET /workshop/own"] {
            let all: Vec<serde_json::Value> = house.ask(line, &[cookie], b"").await.json();
            assert_eq!(all.len(), count, "{line}");
        }
    }
    let door = format!("GET /lessons/{}/door", before.lesson);
    assert_eq!(house.ask(&door, &[&fern], b"").await.status, 200);
    house.close().await;
}

/// Whose account has this name in a data directory.
fn account_of(directory: &Path, name: &str) -> TeacherId {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let store = disk::open(directory).await;
        let accounts = account::read_all(&*store).await.unwrap();
        account::find(&accounts, name).unwrap().teacher
    })
}

#[test]
fn accounts_are_made_listed_changed_and_removed_on_the_command_line() {
    let directory = tempfile::tempdir().unwrap();
    let run = |words: &[&str], typed: &str| {
        let mut child = Command::new(handround())
            .args(["accounts", "--data"])
            .arg(directory.path())
            .args(words)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A command that needs no password may be gone already.
        let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
        let output = child.wait_with_output().unwrap();
        let [said, no] =
            [output.stdout, output.stderr].map(|bytes| String::from_utf8(bytes).unwrap());
        assert!(!said.contains("pebble") && !no.contains("pebble"), "{said}{no}");
        (output.status.success(), said + &no)
    };
    let done = |words: &[&str], typed: &str, part: &str| {
        let (done, said) = run(words, typed);
        assert!(done && said.contains(part), "{words:?}: {said}");
    };
    let refused = |words: &[&str], typed: &str, part: &str| {
        let (done, said) = run(words, typed);
        assert!(!done && said.contains(part), "{words:?}: {said}");
    };
    done(&["list"], "", "no accounts");
    refused(&["add", "Ms Fern"], "pebble\n", "at least 12");
    refused(&["add", "Ms Fern"], "", "at least 12");
    refused(&["add", "Ms Fern"], "ms fern ms fern\n", "more than a name");
    refused(&["add", "Ms Fern"], "123456789012\n", "more than a name");
    refused(&["add", "   "], "leaf pebble cart\n", "1 to 60");
    done(&["add", "Ms Fern", "--takes-over"], "leaf pebble cart\r\n", "the one-time key is off");
    refused(&["add", "ms fern"], "leaf pebble cart\n", "already");
    refused(&["add", "Moss", "--takes-over"], "leaf pebble cart\n", "has taken over");
    done(&["add", "Moss"], "leaf pebble cart\n", "Moss can sign in.");
    done(&["list"], "", "Moss\nMs Fern\n");
    done(&["password", "moss"], "another pebble cart\n", "Moss has a new password.");
    refused(&["password", "Twig"], "another pebble cart\n", "no account for Twig");
    // A server makes a lesson, and has so many classes in the end.
    let house = |teacher: TeacherId, seed: u64, classes: usize| {
        let runtime = tokio::runtime::Runtime::new().unwrap();
        runtime.block_on(async {
            let store = disk::open(directory.path()).await;
            let plan = LessonPlan::for_ages(AgeBand::FiveToSix);
            let house = House::over(store, seed).await;
            let made = house.hub.make_lesson(teacher, "Oak", LIST.as_bytes(), plan).await;
            assert!(made.is_ok());
            for _ in 0..600 {
                if house.store.streams("class/").await.unwrap().len() == classes {
                    break;
                }
                tokio::time::sleep(Duration::from_millis(100)).await;
            }
            assert_eq!(house.store.streams("class/").await.unwrap().len(), classes);
            house.close().await;
        });
    };
    let moss = account_of(directory.path(), "Moss");
    house(moss, 3, 1);
    // Nothing is deleted by mistake.
    refused(&["remove", "Moss"], "", "classes: 1, lessons: 1, decks: 0");
    done(&["list"], "", "Moss\nMs Fern\n");
    done(&["remove", "MOSS", "--with-lessons"], "", "Moss can no longer sign in.");
    // A server that starts deletes what was there, and not what is made now.
    house(FERN, 4, 1);
    refused(&["remove", "Moss"], "", "no account for Moss");
    done(&["list"], "", "Ms Fern\n");
}
