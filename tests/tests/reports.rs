//! Reports over HTTP, after a lesson played over real sockets: hers alone, honest in their words,
//! gone with the class, and nothing of any child in the logs.
#![allow(clippy::unwrap_used)]

use handround_protocol::classes::{ClassLine, GroupsTold};
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::join::LessonMade;
use handround_protocol::message::BoardSays;
use handround_protocol::partner::Temper;
use handround_protocol::wishes::DeckPlan;
use handround_tests::class::{Class, plan};
use handround_tests::disk;
use handround_tests::house::{House, ME};
use handround_tests::paper::Pdf;
use handround_tests::player::{Player, is_over};
use handround_tests::quick_clock;
use handround_tests::traces::holds;
use std::io::Write;
use std::path::Path;
use std::sync::{Arc, Mutex};

const LIST: &str =
    "nickname,picture,readiness\nFernquill,kite,1\nMosswort,drum,1\nTwigbeam,pear,3\n";
const NAMES: [&str; 3] = ["Fernquill", "Mosswort", "Twigbeam"];

/// What no page may say of a child.
const NEVER: [&str; 7] =
    ["mastered", " met ", "below grade", "score", "rank", "percentile", "fail"];

/// Everything that is logged, as text.
#[derive(Clone, Default)]
struct Logged(Arc<Mutex<Vec<u8>>>);

impl Write for Logged {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// A lesson of the class, played to its end at the pace of seven-year-olds.
async fn play(house: &House, seed: u64, rounds: u8) -> Class {
    let rule = HouseRule::Stay { rounds };
    let mut class = Class::make(**house, LIST, plan(rule, 3)).await;
    let players = class.players(3, &[Codec::Json, Codec::Bincode], seed).await;
    let paced = (seed..).zip(players);
    let mut players: Vec<Player> =
        paced.map(|(seed, player)| player.with_temper(Temper::SEVEN_TO_EIGHT, seed)).collect();
    class.start().await;
    let all = players.iter_mut().map(|player| player.play_until(is_over));
    for ended in futures_util::future::join_all(all).await {
        ended.unwrap();
    }
    class
}

/// Both papers, read by poppler: the same cautions, questions and names as on screen, and nothing of a
/// child where files are listed. `HANDROUND_KEEP_PDF` names a folder to look at them in.
async fn on_paper(house: &House, class: &str, pages: &[String; 3]) {
    for (paper, size) in [("a4", "595.276 x 841.89"), ("letter", "612 x 792")] {
        for (which, rest) in ["report.pdf", "report/0/pdf"].into_iter().enumerate() {
            let path = format!("GET {class}/{rest}?paper={paper}&east=60");
            assert_eq!(house.ask(&path, &[], b"").await.status, 401, "{path}");
            let answer = house.ask_as_teacher(&path, b"").await;
            assert_eq!(answer.status, 200, "{path}");
            assert_eq!(answer.header("content-type"), Some("application/pdf"));
            let name = answer.header("content-disposition").unwrap().to_owned();
            assert_eq!(name, "attachment; filename=\"practice.pdf\"");
            if let Some(folder) = std::env::var_os("HANDROUND_KEEP_PDF") {
                let file = Path::new(&folder).join(format!("report-{which}-{paper}.pdf"));
                std::fs::write(file, &answer.body).unwrap();
            }
            let pdf = Pdf::of(&answer.body).unwrap();
            let info = pdf.info().unwrap();
            assert!(info.contains(size), "{info}");
            assert!(info.contains("Title:           Practice report\n"), "{info}");
            let all: Vec<String> =
                (1..=pdf.pages().unwrap()).map(|page| pdf.words(page).unwrap()).collect();
            for text in &all {
                let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                assert!(text.contains("Not for grades, referral or placement."), "{text}");
            }
            let text = all.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
            let headings = pages[which].split("<h2>").skip(1);
            let headings = headings.map(|rest| rest.split("</h2>").next().unwrap());
            let must = ["Look with your own eyes first", "wo things to ask", NAMES[0]];
            for must in headings.chain(must) {
                assert!(text.contains(must), "{path}: {must}: {text}");
            }
            for never in NEVER {
                assert!(!text.to_lowercase().contains(never), "{never}");
            }
        }
    }
    let odd = format!("GET {class}/report.pdf?paper=napkin");
    assert_eq!(house.ask_as_teacher(&odd, b"").await.status, 400);
    assert_eq!(house.ask_as_teacher(&format!("GET {class}/report/99/pdf"), b"").await.status, 404);
}

#[test]
fn a_lesson_is_reported_to_its_teacher_alone_and_gone_with_the_class() {
    let logged = Logged::default();
    let writer = logged.clone();
    tracing_subscriber::fmt()
        .with_max_level(tracing_subscriber::filter::LevelFilter::DEBUG)
        .with_writer(move || writer.clone())
        .init();
    let directory = tempfile::tempdir().unwrap();
    let path = directory.path().to_owned();
    quick_clock::run(async move {
        let house = House::over(disk::open(&path).await, 11).await;
        let earlier = play(&house, 11, 2).await;
        house.hub.board_says(ME, earlier.lesson, BoardSays::EndLesson).await.unwrap();
        let class = play(&house, 12, 2).await;
        let classes: Vec<ClassLine> = house.ask_as_teacher("GET /classes", b"").await.json();
        let kept = classes[0].class;
        let ask = async |rest: &str| {
            let path = format!("GET /classes/{kept}/{rest}");
            let stranger = house.ask(&path, &[], b"").await;
            assert_eq!(stranger.status, 401, "{rest}");
            let answer = house.ask_as_teacher(&path, b"").await;
            assert_eq!(answer.status, 200, "{rest}: {}", String::from_utf8_lossy(&answer.body));
            assert_eq!(answer.header("cache-control"), Some("no-store"), "{rest}");
            String::from_utf8(answer.body).unwrap()
        };
        let pages = [
            ask("report?east=60").await,
            ask("report/0?east=60").await,
            ask("report/2?east=60").await,
        ];
        for page in &pages {
            for must in ["Not for grades, referral or placement", "Look with your own eyes first"] {
                assert!(page.contains(must), "{must}");
            }
            assert!(!page.contains("style=") && !page.contains("<script"), "the strict policy");
        }
        assert!(NAMES.iter().all(|name| pages[0].contains(name)));
        assert!(pages[1].contains("Two things to ask") && pages[1].contains("Fernquill"));
        // Lesson by lesson: both have a line with their day, for the class and for a child.
        assert!(pages[0].contains("The class lesson by lesson"));
        assert!(pages[1].contains("Lesson by lesson"));
        for lesson in [earlier.lesson, class.lesson] {
            let line = format!("/classes/{kept}/report?lesson={lesson}&amp;east=60\">");
            let (_, day) = pages[0].split_once(&line).unwrap();
            let day = day.split('<').next().unwrap();
            // With the time of day, unless midnight was between them.
            let parts = day.split(' ').count();
            assert!(parts == 4 && day.contains(':') || parts == 3, "{day}");
        }
        assert!(pages[1].contains("Telling cards apart") && pages[1].contains("Ways of showing"));
        let csv = ask("report.csv").await;
        assert!(csv.starts_with("child,deck,item"), "{csv}");
        let json = ask("report.json").await;
        let report: serde_json::Value = serde_json::from_str(&json).unwrap();
        let decisions = report["children"][0]["decisions"].as_u64().unwrap();
        let left = report["children"][0]["excluded"].as_array().unwrap().len();
        println!(
            "{decisions} decisions of the first child count; {left} reasons to leave some out"
        );
        // At a child's pace nearly every move counts.
        assert!(decisions >= 8, "{json}");
        assert_eq!(report["trend"].as_array().unwrap().len(), 2);
        assert_eq!(report["children"][0]["trend"].as_array().unwrap().len(), 2);
        on_paper(&house, &format!("/classes/{kept}"), &pages).await;
        for item in report["children"][0]["items"].as_array().unwrap() {
            let shown = !item["kept"].is_null();
            assert_eq!(shown, item["chances"].as_u64().unwrap() >= 8, "{item}");
        }
        let next = ask("next").await;
        assert!(next.contains("\"why\""), "{next}");
        for text in pages.iter().chain([&csv, &next]) {
            let text = text.to_lowercase();
            NEVER.iter().for_each(|word| assert!(!text.contains(word), "{word}"));
        }
        // A suggested deck goes straight into the workshop.
        let groups: serde_json::Value = serde_json::from_str(&next).unwrap();
        assert!(pages[0].contains(&format!("/teacher#suggested-{kept}-0")));
        let look =
            serde_json::json!({ "deck": groups["groups"][0]["deck"], "draw": 1, "swap": null });
        let body = serde_json::to_vec(&look).unwrap();
        let preview = house.ask_as_teacher("POST /workshop/preview", &body).await;
        assert_eq!(preview.status, 200, "{}", String::from_utf8_lossy(&preview.body));
        // On the groups page each table has the deck with its reasons, by play or by hand, and the lesson
        // lays those that the teacher wants.
        let post = async |rest: &str, body: serde_json::Value| {
            let path = format!("POST /classes/{kept}/{rest}");
            house.ask_as_teacher(&path, &serde_json::to_vec(&body).unwrap()).await
        };
        let everybody = serde_json::json!([0, 1, 2]);
        let choose = serde_json::json!({ "here": everybody, "way": "FromPlay", "draw": 0 });
        let told = post("groups", serde_json::json!({ "Choose": choose })).await;
        let told: GroupsTold = told.json();
        let suggested = told.tables[0].deck.clone().unwrap();
        assert!(!suggested.why.is_empty() && suggested.name.starts_with("Numbers"));
        let two = serde_json::json!([[0], [], [1, 2]]);
        let by_hand = async |with_decks: bool| -> Vec<bool> {
            let asked = serde_json::json!({ "tables": two, "with_decks": with_decks });
            let told = post("groups", serde_json::json!({ "ByHand": asked })).await;
            told.json::<GroupsTold>().tables.iter().map(|table| table.deck.is_some()).collect()
        };
        assert_eq!((by_hand(true).await, by_hand(false).await), (vec![true; 2], vec![false; 2]));
        let asked = |decks: [Option<&DeckPlan>; 3]| {
            let (ages, name) = ("SevenToEight", "After lunch");
            serde_json::json!({ "name": name, "ages": ages, "tables": two, "decks": decks })
        };
        let small = DeckPlan { groups: 4, ..suggested.deck.clone() };
        let refused = post("lessons", asked([Some(&small), None, None])).await;
        assert_eq!(refused.status, 400, "{}", String::from_utf8_lossy(&refused.body));
        assert_eq!(house.hub.lessons(ME).await.len(), 1, "no lesson is made without its decks");
        let made = post("lessons", asked([None, None, Some(&suggested.deck)])).await;
        let later = made.json::<LessonMade>().lesson;
        let mut board = house.hub.board(ME, later).await.unwrap();
        let board = board.wait_for(|board| !board.table_decks.is_empty()).await.unwrap().clone();
        let laid: Vec<_> = board.table_decks.iter().map(|own| (own.table, &own.name)).collect();
        assert_eq!(laid, [(board.tables[1].table, &suggested.name)]);
        house.hub.board_says(ME, later, BoardSays::EndLesson).await.unwrap();

        // One lesson alone, and one that is not this class's.
        let one = ask(&format!("report?lesson={}", class.lesson)).await;
        assert!(one.contains("From one lesson"));
        let path_of_none = format!("GET /classes/{kept}/report?lesson={}", "0".repeat(32));
        assert_eq!(house.ask_as_teacher(&path_of_none, b"").await.status, 404);

        assert!(one.contains("See all lessons") && !one.contains("class lesson by lesson"));
        let mut traces: Vec<String> = NAMES.iter().map(|name| (*name).to_owned()).collect();
        traces.extend([class.lesson.to_string(), class.table().to_string()]);
        traces.iter().for_each(|trace| assert!(holds(&path, trace), "{trace}"));
        // Started again, the server tells the same of the same journals.
        let whole = async |house: &House| {
            let mut told = Vec::new();
            for rest in ["report", "report/0", "report.json", "report.csv", "next"] {
                let answer =
                    house.ask_as_teacher(&format!("GET /classes/{kept}/{rest}"), b"").await;
                told.push(String::from_utf8(answer.body).unwrap());
            }
            told
        };
        let before = whole(&house).await;
        house.close().await;
        let house = House::over(disk::open(&path).await, 13).await;
        assert_eq!(whole(&house).await, before);
        house.hub.board_says(ME, class.lesson, BoardSays::EndLesson).await.unwrap();
        let deleted = house.ask_as_teacher(&format!("DELETE /classes/{kept}"), b"").await;
        assert_eq!(deleted.status, 200);
        let gone = house.ask_as_teacher(&format!("GET /classes/{kept}/report"), b"").await;
        assert_eq!(gone.status, 404);
        traces.iter().for_each(|trace| assert!(!holds(&path, trace), "{trace}"));
        house.close().await;
        traces.iter().for_each(|trace| assert!(!holds(&path, trace), "{trace}, closed"));
    });
    let logged = String::from_utf8(logged.0.lock().unwrap().clone()).unwrap();
    println!("{} lines were logged", logged.lines().count());
    assert!(!logged.is_empty());
    for name in NAMES {
        assert!(!logged.contains(name), "a log names a child: {name}");
    }
}
