//! Classes kept from lesson to lesson, over HTTP as a teacher's page asks: kept and used again,
//! exported as it was, deleted to the last byte in the data directory, forgotten at its date, and
//! never told to a child's device or the wall: neither how ready a child is nor who is kept apart.
#![allow(clippy::unwrap_used)]

use handround_protocol::classes::{
    ClassLine, ClassTold, GroupWay, GroupsAsked, GroupsTold, HomeAsked, LessonAsked, PictureAsked,
};
use handround_protocol::codec::Codec;
use handround_protocol::door::{DoorCard, DoorPick, DoorSays, DoorView, DoorWait};
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{ClassId, LessonId, PupilIndex, Token};
use handround_protocol::join::{JoinPlaces, Joined, LessonMade};
use handround_protocol::message::BoardSays;
use handround_protocol::picture::Picture;
use handround_protocol::skill::Skill;
use handround_protocol::substitute::{SubstituteDay, SubstituteLink};
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardView, Helper, LessonPlan};
use handround_server::journal::{MemoryStore, StreamName};
use handround_server::lesson::class_list;
use handround_server::limits::lesson::CLASS_KEPT_FOR;
use handround_tests::class::{Class, plan, watch_wall};
use handround_tests::disk;
use handround_tests::door::Answer;
use handround_tests::house::{House, ME};
use handround_tests::player::{Player, is_over};
use handround_tests::quick_clock;
use handround_tests::recorder::Tape;
use handround_tests::traces::{self, Files, holds};
use std::collections::BTreeSet;
use std::sync::Arc;

/// Seven invented children. Fern and Moss are kept apart, and Fern and Twig.
const LIST: &str = "nickname,picture,readiness,apart,apart\nFernquill,pear,1,Mosswort,Twigbeam\n\
                    Mosswort,,3\nTwigbeam,,2\nPuddle,,1\nAcorn,,3\nBreeze,,2\nSprout,,1\n";

async fn keep(house: &House) -> ClassTold {
    let kept = house.ask_as_teacher("POST /classes?name=Oak%20class", LIST.as_bytes()).await;
    assert_eq!(kept.status, 201, "{}", String::from_utf8_lossy(&kept.body));
    kept.json()
}

async fn post(house: &House, path: &str, body: &impl serde::Serialize) -> Answer {
    house.ask_as_teacher(&format!("POST {path}"), &serde_json::to_vec(body).unwrap()).await
}

async fn groups(house: &House, class: ClassId, asked: &GroupsAsked) -> GroupsTold {
    let told = post(house, &format!("/classes/{class}/groups"), asked).await;
    assert_eq!(told.status, 200, "{}", String::from_utf8_lossy(&told.body));
    told.json()
}

async fn lesson_of(house: &House, class: ClassId, tables: Vec<Vec<PupilIndex>>) -> LessonId {
    let asked = LessonAsked {
        name: "Monday".to_owned(),
        ages: AgeBand::SixToSeven,
        tables,
        decks: Vec::new(),
    };
    let made = post(house, &format!("/classes/{class}/lessons"), &asked).await;
    assert_eq!(made.status, 201, "{}", String::from_utf8_lossy(&made.body));
    made.json::<LessonMade>().lesson
}

fn tables_of(told: &GroupsTold) -> Vec<Vec<PupilIndex>> {
    told.tables.iter().map(|table| table.pupils.clone()).collect()
}

async fn end(house: &House, lesson: LessonId) {
    house.hub.board_says(ME, lesson, BoardSays::EndLesson).await.unwrap();
}

async fn board(house: &House, lesson: LessonId) -> BoardView {
    let mut board = house.hub.board(ME, lesson).await.unwrap();
    (**board.wait_for(|board| !board.tables.is_empty()).await.unwrap()).clone()
}

#[tokio::test]
async fn a_kept_class_is_used_again_with_the_tables_that_the_teacher_saw() {
    let house = House::open().await;
    let kept = keep(&house).await;
    assert_eq!((kept.pupils.len(), kept.with_readiness, kept.pairs_apart), (7, 7, 2));
    // The same children under the same name are the same class, with the new list.
    assert_eq!(keep(&house).await.class, kept.class);

    // Sprout is not here today.
    let here: Vec<PupilIndex> = (0..6).map(PupilIndex).collect();
    let asked = GroupsAsked::Choose { here, way: GroupWay::Mixed, draw: 5 };
    let told = groups(&house, kept.class, &asked).await;
    assert_eq!(told, groups(&house, kept.class, &asked).await, "one draw, the same groups");
    assert_eq!(
        (told.seating.as_str(), told.apart.as_ref()),
        ("6 children sit at 2 tables of three.", None)
    );
    let lesson = lesson_of(&house, kept.class, tables_of(&told)).await;
    let seated = board(&house, lesson).await;
    let names = |pupils: &[PupilIndex]| -> Vec<String> {
        pupils.iter().map(|pupil| kept.pupils[usize::from(pupil.0)].name.clone()).collect()
    };
    for (table, group) in seated.tables.iter().zip(&told.tables) {
        let sits: Vec<String> = table.view.seats.iter().map(|seat| seat.name.clone()).collect();
        assert_eq!(sits, names(&group.pupils));
    }
    let places: JoinPlaces = house.places(lesson).await.json();
    assert_eq!(places.places.len(), 6, "whoever is not here today is not shown to the children");

    let nowhere = house.ask_as_teacher(&format!("GET /classes/{}", "0".repeat(32)), b"").await;
    assert_eq!(nowhere.status, 404);
    let stranger = house.ask(&format!("GET /classes/{}", kept.class), &[], b"").await;
    assert_eq!(stranger.status, 401);
    house.close().await;
}

#[tokio::test]
async fn a_picture_is_changed_and_the_one_who_had_it_gets_the_old_one() {
    let house = House::open().await;
    let kept = keep(&house).await;
    let old = kept.pupils[1].picture;
    let asked = PictureAsked { pupil: PupilIndex(1), picture: Picture::Pear };
    let path = format!("/classes/{}/picture", kept.class);
    let told: ClassTold = post(&house, &path, &asked).await.json();
    assert_eq!((told.pupils[1].picture, told.pupils[0].picture), (Picture::Pear, old));
    let nobody = PictureAsked { pupil: PupilIndex(7), picture: Picture::Pear };
    assert_eq!(post(&house, &path, &nobody).await.status, 400);
    house.close().await;
}

#[tokio::test]
async fn an_exported_list_is_the_list_and_says_that_it_is_a_file() {
    let house = House::open().await;
    let class = keep(&house).await.class;
    let file = house.ask_as_teacher(&format!("GET /classes/{class}/list.csv"), b"").await;
    assert_eq!(class_list::read(&file.body).unwrap(), class_list::read(LIST.as_bytes()).unwrap());
    assert_eq!(file.header("cache-control"), Some("no-store"));
    assert!(file.header("content-disposition").unwrap().starts_with("attachment"));
    let changed = house.ask_as_teacher(&format!("PUT /classes/{class}"), &file.body).await;
    assert_eq!(changed.json::<ClassTold>().class, class);
    house.close().await;
}

/// The name of every document and journal that is kept.
async fn streams(house: &House) -> BTreeSet<String> {
    let all = house.store.streams("").await.unwrap();
    all.into_iter().map(|stream| stream.0).collect()
}

/// Every line of these streams.
async fn lines(house: &House, of: impl IntoIterator<Item = &String>) -> Vec<String> {
    let mut all = Vec::new();
    for stream in of {
        all.extend(house.store.read(StreamName(stream.clone())).await.unwrap());
    }
    all
}

/// The first child comes by its home link, which the teacher answers, the second with a tablet of the cart
/// that she ties to it, the others by the row of pictures. Gives the seats' secrets and the home links'.
async fn everybody_joins(
    house: &House,
    class: &mut Class,
    tablet: Token,
) -> (Vec<Token>, Vec<Token>) {
    let lesson = class.lesson;
    let home = post(house, &format!("/lessons/{lesson}/home"), &()).await;
    let links = home.json::<DoorView>().children.into_iter().map(|child| {
        let url = child.home_url.unwrap();
        url.split_once('#').and_then(|(_, code)| Token::from_hex(code)).unwrap()
    });
    let links: Vec<Token> = links.collect();
    let opened = house.post("/join/card", &DoorCard { code: links[0], held: None }).await;
    let DoorWait { wait, .. } = opened.json();
    let door = format!("/lessons/{lesson}/door");
    let asked: DoorView = house.ask_as_teacher(&format!("GET {door}"), b"").await.json();
    let number = asked.waiting[0].number;
    let says = async |says: DoorSays| -> DoorView { post(house, &door, &says).await.json() };
    says(DoorSays::Answer { number, admit: true }).await;
    let answer = house.post("/join/wait", &serde_json::json!({ "wait": wait })).await;
    let mut seats = vec![answer.json::<Joined>().token];

    let JoinPlaces { ticket, .. } = house.places(lesson).await.json();
    let pick = DoorPick { ticket, pupil: PupilIndex(1), tablet: Some(tablet) };
    seats.push(house.post("/join/ask", &pick).await.json::<Joined>().token);
    let kept = says(DoorSays::KeepTablet(PupilIndex(1))).await;
    assert_eq!(kept.children[1].tablet, Some(1));
    for pupil in 2..7 {
        seats.push(class.join(pupil).await);
    }
    (seats, links)
}

/// Seven children whose nicknames and pictures make cards of their class: no picture begins as a nickname.
const NAMED: &str = "nickname,picture\nFernquill,kite\nMosswort,drum\nTwigbeam,hat\nPuddle,lamp\n\
                     Acorn,egg\nBreeze,clock\nSprout,glove\n";

/// Everything that a server writes of a class: its list, a lesson with the cards of its own names played to
/// the end, cards and links that lead to its places, a tied tablet, a substitute's link.
#[test]
fn deleting_a_class_leaves_no_byte_of_it_in_any_file() {
    quick_clock::run(async {
        let directory = tempfile::tempdir().unwrap();
        let files = directory.path();
        let house = House::over(disk::open(files).await, 5).await;
        let other = house.make_lesson("Hedgerow\nBramble\nNettle\n").await;
        let before = streams(&house).await;

        let names = plan(HouseRule::Stay { rounds: 1 }, 4);
        let names = LessonPlan { skill: Skill::OurClass, ..names };
        let mut class = Class::make(*house, NAMED, names).await;
        let lesson = class.lesson;
        let kept: Vec<ClassLine> = house.ask_as_teacher("GET /classes", b"").await.json();
        let kept = kept.into_iter().find(|line| line.pupils == 7).unwrap().class;
        let tablet = Token([0xa7; 16]);
        let (seats, links) = everybody_joins(&house, &mut class, tablet).await;
        let cards = format!("GET /lessons/{lesson}/place-cards.pdf?paper=a4");
        assert_eq!(house.ask_as_teacher(&cards, b"").await.status, 200);
        let now = house.hub.now();
        let day = SubstituteDay { from: now, until: now.plus(Micros::from_s(3_600)) };
        let link = post(&house, &format!("/lessons/{lesson}/substitute"), &day).await;
        assert_eq!(link.status, 200, "{}", String::from_utf8_lossy(&link.body));
        let link = link.json::<SubstituteLink>().url;
        let link = link.split_once('#').and_then(|(_, code)| Token::from_hex(code)).unwrap();
        let mut players = Vec::new();
        for (seed, (token, codec)) in
            (50..).zip(seats.iter().zip([Codec::Json, Codec::Bincode].iter().cycle()))
        {
            let mut player = Player::new(*house, *codec, *token, seed);
            player.connect().await.unwrap();
            players.push(player);
        }
        class.start().await;
        let all = players.iter_mut().map(|player| player.play_until(is_over));
        for ended in futures_util::future::join_all(all).await {
            ended.unwrap();
        }

        // Whatever the server wrote of it, in whatever document, and what somebody would look for first.
        let after = streams(&house).await;
        let own = lines(&house, after.difference(&before)).await;
        let pieces = traces::pieces(&own, &lines(&house, &before).await);
        let pupils = class_list::read(NAMED.as_bytes()).unwrap().pupils;
        let on_cards = |name: &&String| {
            let mut sheets = own.iter().filter(|line| line.contains("\"faces\":"));
            sheets.any(|sheet| sheet.contains(&name.to_uppercase()))
        };
        let names = || pupils.iter().map(|pupil| &pupil.name);
        // The deck has six of the seven children.
        assert_eq!(names().filter(on_cards).count(), 6);
        let mut traces = vec![kept.to_string(), lesson.to_string(), class.wall().to_string()];
        traces.extend(names().cloned());
        for table in &class.board.tables {
            traces.extend([table.table.to_string(), table.deck.to_string()]);
        }
        traces.extend(own.iter().filter_map(|line| {
            let document: serde_json::Value = serde_json::from_str(line).ok()?;
            Some(document["ways"]["secret"].as_str()?.to_owned())
        }));
        assert_eq!(traces.len(), 3 + 7 + 2 * 2 + 1, "and what home links follow from");
        let written = Files::of(files);
        traces.iter().for_each(|trace| assert!(written.hold(trace), "{trace}"));
        let found = written.left(&pieces).len();
        println!("{found} of {} pieces stand in the files", pieces.len());
        assert!(
            10 * found > 9 * pieces.len(),
            "nearly every piece is found as long as it is there"
        );
        // What opens a place stands in no file at any time: of some the server keeps a digest.
        let opens: Vec<Token> = seats.into_iter().chain(links).chain([tablet, link]).collect();
        let nothing_opens = |files: &Files| {
            for secret in &opens {
                assert!(!files.hold(secret.to_string()) && !files.hold(secret.0), "{secret}");
            }
        };
        nothing_opens(&written);

        let path = format!("DELETE /classes/{kept}");
        let refused = house.ask_as_teacher(&path, b"").await;
        assert_eq!(refused.status, 409);
        assert!(refused.refusal().message.contains("still goes on"));
        end(&house, lesson).await;
        assert_eq!(house.ask(&path, &[], b"").await.status, 401);
        assert_eq!(house.ask_as_teacher(&path, b"").await.status, 200);
        let nothing_left = |when: &str| {
            let files = Files::of(files);
            traces.iter().for_each(|trace| assert!(!files.hold(trace), "{trace}, {when}"));
            assert_eq!(files.left(&pieces), BTreeSet::new(), "{when}");
            nothing_opens(&files);
        };
        nothing_left("deleted");
        // Whatever kind of document a later version writes for a class: none of any kind is left.
        assert_eq!(streams(&house).await, before);
        assert!(holds(files, "Bramble") && house.hub.board(ME, other).await.is_some());
        assert_eq!(house.ask_as_teacher(&path, b"").await.status, 409);
        house.close().await;
        nothing_left("closed");
    });
}

#[tokio::test(start_paused = true)]
async fn a_class_is_forgotten_at_the_date_that_was_shown() {
    let house = House::over(Arc::new(MemoryStore::new()), 6).await;
    let kept = house.hub.keep_class(ME, "Oak class", LIST.as_bytes()).await.unwrap();
    assert!(kept.kept_until.since(house.hub.now()) <= CLASS_KEPT_FOR);
    let week = CLASS_KEPT_FOR.0 / 13;
    let pass = async |micros: u64| {
        tokio::time::advance(std::time::Duration::from_micros(micros)).await;
        house.hub.forget_those_over().await;
        house.hub.classes(ME).await.unwrap()
    };
    let lines: Vec<ClassLine> = pass(12 * week).await;
    assert_eq!(lines[0].kept_until, kept.kept_until);
    // A lesson made from it moves the date on, and while it goes on nothing is forgotten.
    let tables = vec![(0..3).map(PupilIndex).collect()];
    let asked = LessonAsked {
        name: "Monday".to_owned(),
        ages: AgeBand::FiveToSix,
        tables,
        decks: Vec::new(),
    };
    let lesson = house.hub.make_lesson_of(ME, kept.class, &asked).await.unwrap().lesson;
    assert!(pass(12 * week).await[0].kept_until > kept.kept_until);
    assert_eq!(pass(2 * week).await.len(), 1);
    end(&house, lesson).await;
    assert_eq!(pass(0).await, []);
    assert_eq!(house.store.streams("").await.unwrap(), []);
}

#[test]
fn nothing_of_readiness_or_keeping_apart_is_in_any_byte_that_leaves_for_children() {
    quick_clock::run(async {
        // Two classes that differ in readiness and pairs alone, seated alike.
        let lists = [
            "nickname,picture,readiness,apart\nAda,kite,1,Cleo\nBo,drum,1\nCleo,pear,3\n",
            "nickname,picture,readiness,apart\nAda,kite,3,\nBo,drum,,Ada\nCleo,pear,1\n",
        ];
        let mut sent = Vec::new();
        for list in lists {
            let house = House::open_on_disk(9).await;
            let mut class = Class::make(*house, list, plan(HouseRule::Stay { rounds: 1 }, 3)).await;
            let wall_tape = Tape::default();
            let wall = watch_wall(*house, class.wall(), Codec::Json, wall_tape.clone());
            let wall = tokio::spawn(wall);
            let mut players = class.players(3, &[Codec::Json, Codec::Bincode], 9).await;
            class.start().await;
            for ended in futures_util::future::join_all(
                players.iter_mut().map(|player| player.play_until(is_over)),
            )
            .await
            {
                ended.unwrap();
            }
            house.close().await;
            wall.await.unwrap();
            let mut bytes: Vec<Vec<u8>> =
                players.iter().map(|player| player.tape.bytes()).collect();
            bytes.push(wall_tape.bytes());
            let answers: Vec<Vec<u8>> =
                class.answers.iter().map(|answer| answer.body.clone()).collect();
            for tape in bytes.iter().chain(&answers) {
                let text = String::from_utf8_lossy(tape).to_lowercase();
                assert!(tape.len() > 50, "something was sent");
                for word in ["readiness", "apart", "kept_until"] {
                    assert!(!text.contains(word), "{word}");
                }
            }
            sent.push(answers);
        }
        // What children get before they play does not depend on either, byte for byte.
        assert_eq!(sent[0], sent[1]);
    });
}

/// Support stays with the child, whatever its seat, until its teacher takes it away; another class knows
/// nothing of it.
#[tokio::test]
async fn support_stays_with_a_child_from_lesson_to_lesson() {
    let house = House::open().await;
    let class = keep(&house).await.class;
    let pupil = PupilIndex(1);
    let given = HelperGiven { helper: Helper::DotsUnder, held: true, right_uses: 0 };
    let support =
        Support { helpers: vec![given], unhurried: true, missed_four: None, head_start: true };
    let has = |board: &BoardView| {
        let seats = board.tables.iter().flat_map(|table| &table.seats);
        seats
            .filter(|seat| seat.support.as_ref().is_some_and(|own| *own != Support::default()))
            .map(|seat| (seat.pupil, seat.support.clone()))
            .collect::<Vec<_>>()
    };
    let orders: [Vec<u16>; 3] = [vec![0, 1, 2, 3], vec![3, 2, 1, 0], vec![1, 3, 5]];
    let tables = |order: &Vec<u16>| vec![order.iter().copied().map(PupilIndex).collect()];
    let first = lesson_of(&house, class, tables(&orders[0])).await;
    assert_eq!(has(&board(&house, first).await), []);
    let says = BoardSays::Support { pupil, support: support.clone() };
    house.hub.board_says(ME, first, says).await.unwrap();
    end(&house, first).await;
    let second = lesson_of(&house, class, tables(&orders[1])).await;
    let mut watched = house.hub.board(ME, second).await.unwrap();
    let shown = watched.wait_for(|board| !has(board).is_empty()).await.unwrap().clone();
    assert_eq!(has(&shown), [(Some(pupil), Some(support))]);
    let none = BoardSays::Support { pupil, support: Support::default() };
    house.hub.board_says(ME, second, none).await.unwrap();
    end(&house, second).await;
    let third = lesson_of(&house, class, tables(&orders[2])).await;
    assert_eq!(has(&board(&house, third).await), []);
    let other = house.make_lesson("Mosswort\nAcorn\nNettle\n").await;
    assert_eq!(has(&board(&house, other).await), []);
    house.close().await;
}

#[tokio::test]
async fn who_plays_at_home_is_kept_with_the_class_and_told_to_the_teacher_alone() {
    let house = House::open().await;
    let kept = keep(&house).await;
    let path = format!("/classes/{}/home", kept.class);
    let asked = HomeAsked { pupil: PupilIndex(3), at_home: true };
    let told: ClassTold = post(&house, &path, &asked).await.json();
    let home: Vec<bool> = told.pupils.iter().map(|pupil| pupil.at_home).collect();
    assert_eq!(home, [false, false, false, true, false, false, false]);
    // The same list again, which has no column for it, takes no mark away.
    assert!(keep(&house).await.pupils[3].at_home);
    let file = house.ask_as_teacher(&format!("GET /classes/{}/list.csv", kept.class), b"").await;
    assert!(class_list::read(&file.body).unwrap().pupils[3].at_home);
    let nobody = HomeAsked { pupil: PupilIndex(7), at_home: true };
    assert_eq!(post(&house, &path, &nobody).await.status, 400);
    let foreign = house.ask(&format!("POST {path}"), &[], b"{}").await;
    assert_eq!(foreign.status, 401);

    // By hand a child at home sits alone: the word about it, and what children's devices get of it.
    let tables = vec![vec![PupilIndex(3)], (0..3).map(PupilIndex).collect()];
    let told = groups(
        &house,
        kept.class,
        &GroupsAsked::ByHand { tables: tables.clone(), with_decks: false },
    )
    .await;
    assert!(told.alone.unwrap().starts_with("Puddle plays at home"));
    let lesson = lesson_of(&house, kept.class, tables).await;
    let places = house.places(lesson).await;
    let joined = house.join(lesson, 0).await;
    let mut child = house.socket(Codec::Json, &[]).await;
    child.hello_seat(joined.json::<Joined>().token).await;
    let mut heard = vec![places.body.clone(), joined.body.clone()];
    for _ in 0..2 {
        heard.push(serde_json::to_vec(&child.hear().await.unwrap()).unwrap());
    }
    let wall = board(&house, lesson).await.wall_url;
    let wall = Token::from_hex(wall.rsplit('/').next().unwrap()).unwrap();
    let shown = house.hub.wall(wall).await.unwrap().borrow().clone();
    heard.push(serde_json::to_vec(&*shown).unwrap());
    for bytes in heard {
        let text = String::from_utf8(bytes).unwrap();
        assert!(!text.to_lowercase().contains("home"), "{text}");
    }
    house.close().await;
}
