//! The deck workshop over HTTP: who may, what comes back, what is kept, and what hostile bodies get.

#![allow(clippy::unwrap_used)]

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use handround_protocol::face::FaceSheet;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{KeptDeckId, LessonId, TableId};
use handround_protocol::message::BoardSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::{BoardView, LessonPlan};
use handround_protocol::wishes::{CardKey, DeckPlan, GroupKey};
use handround_protocol::workshop::{
    DeckLength, DeckPreview, KeptDeck, LengthAsk, NamedDeck, OwnDeckLine, OwnDeckSent, PreviewAsk,
    PrintAsk, SentFile, SkillOffer, SlotAsked, SlotTold, Swap, UseDeck,
};
use handround_server::journal::{StreamName, Urgency};
use handround_server::limits::workshop::KEPT_DECKS_EACH_MAX;
use handround_tests::house::{Answer, House, ME};
use serde::Serialize;
use std::collections::BTreeSet;

fn letters() -> DeckPlan {
    let plan = LessonPlan::for_ages(AgeBand::FiveToSix);
    LessonPlan { skill: Skill::Letters, ..plan }.deck()
}

async fn post(house: &House, path: &str, body: &impl Serialize) -> Answer {
    house.ask_as_teacher(&format!("POST {path}"), &serde_json::to_vec(body).unwrap()).await
}

async fn preview(house: &House, deck: &DeckPlan, swap: Option<Swap>) -> DeckPreview {
    let answer = post(
        house,
        "/workshop/preview",
        &PreviewAsk { deck: deck.clone(), draw: 4, swap, lesson: None, helpers: [].into() },
    )
    .await;
    assert_eq!(answer.status, 200, "{:?}", answer.refusal());
    answer.json()
}

fn labels(preview: &DeckPreview) -> BTreeSet<String> {
    preview.groups.iter().flat_map(|group| &group.cards).map(|card| card.svg.clone()).collect()
}

/// What the next game's devices load.
async fn faces(house: &House, lesson: LessonId, table: usize) -> FaceSheet {
    let board = house.hub.board(ME, lesson).await.unwrap();
    let deck = board.borrow().tables[table].deck;
    house.ask(&format!("GET /decks/{deck}/faces"), &[], b"").await.json()
}

/// Waits until the board shows it.
async fn until(
    house: &House,
    lesson: LessonId,
    test: impl Fn(&handround_protocol::view::BoardView) -> bool,
) {
    let mut board = house.hub.board(ME, lesson).await.unwrap();
    board.wait_for(|view| test(view)).await.unwrap();
}

#[tokio::test]
async fn only_teachers_of_this_server_come_in_and_only_from_its_own_pages() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\n").await;
    let ask = serde_json::to_vec(&PreviewAsk {
        deck: letters(),
        draw: 0,
        swap: None,
        lesson: None,
        helpers: [].into(),
    })
    .unwrap();
    let deck = KeptDeckId([1; 16]);
    let lines = [
        "GET /workshop/skills".to_owned(),
        "POST /workshop/preview".to_owned(),
        "POST /workshop/print".to_owned(),
        "POST /workshop/length".to_owned(),
        "GET /workshop/decks".to_owned(),
        "POST /workshop/decks".to_owned(),
        format!("DELETE /workshop/decks/{deck}"),
        format!("GET /workshop/decks/{deck}/file"),
        "POST /workshop/file".to_owned(),
        "GET /workshop/own".to_owned(),
        "POST /workshop/own".to_owned(),
        format!("DELETE /workshop/own/{deck}"),
        format!("GET /workshop/own/{deck}/file"),
        format!("POST /lessons/{lesson}/plan"),
        format!("POST /lessons/{lesson}/deck"),
    ];
    // A cookie of another server, such as a colleague's on the next laptop.
    let foreign = "Cookie: handround_session=0123456789abcdef0123456789abcdef";
    for line in &lines {
        for headers in [&["X-Nothing: at all"][..], &[foreign]] {
            let answer = house.ask(line, headers, &ask).await;
            assert_eq!(answer.status, 401, "{line} with {headers:?}");
        }
    }
    let with_key = format!("GET /teacher?key={}", house.one_time_key);
    let signed = house.ask(&with_key, &[], b"").await;
    let cookie = signed.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
    let cookie = format!("Cookie: {cookie}");
    for line in &lines {
        let elsewhere = [cookie.as_str(), "Origin: http://other.example"];
        assert_eq!(house.ask(line, &elsewhere, &ask).await.status, 403, "{line}");
    }
    let own = format!("Origin: http://{}", house.address);
    let looked = house.ask("POST /workshop/preview", &[&cookie, &own], &ask).await;
    assert_eq!(looked.status, 200);
}

#[tokio::test]
async fn every_skill_on_offer_can_be_looked_at() {
    let house = House::open().await;
    let offers: Vec<SkillOffer> = house.ask_as_teacher("GET /workshop/skills", b"").await.json();
    let mut skills = 0;
    for offer in &offers {
        assert!(!offer.standards.is_empty() && !offer.settings.is_empty(), "{}", offer.name);
        for setting in &offer.settings {
            let deck = DeckPlan { skill: setting.skill, groups: 6, ..letters() };
            let shown = preview(&house, &deck, None).await;
            assert!(
                !shown.groups.is_empty() && shown.groups.len() <= usize::from(shown.groups_max)
            );
            assert!(shown.notes.iter().any(|note| note.starts_with("Difficulty ")), "{shown:?}");
            skills += 1;
        }
    }
    assert!(skills >= 18, "{skills} skills");
}

/// From the look to the table: what the teacher sees is what the devices load.
#[tokio::test]
async fn the_deck_that_was_looked_at_is_the_deck_of_the_next_game() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\nDot\nEli\nFay\nGus\nHan\n").await;
    let shown = preview(&house, &letters(), None).await;
    let swapped =
        preview(&house, &shown.deck, Some(Swap::Group(shown.groups[2].key.clone()))).await;
    assert_ne!(labels(&shown), labels(&swapped));

    let wish = UseDeck { table: None, deck: Some(swapped.deck.clone()) };
    let used = post(&house, &format!("/lessons/{lesson}/deck"), &wish).await;
    assert_eq!(used.status, 200, "{:?}", used.refusal());
    until(&house, lesson, |board| board.next_deck == "Letters").await;
    house.hub.board_says(ME, lesson, BoardSays::Start { table: None }).await.unwrap();
    until(&house, lesson, |board| board.tables.iter().all(|table| table.deck_name == "Letters"))
        .await;
    let sheet = faces(&house, lesson, 0).await;
    let dealt: BTreeSet<String> = sheet.faces.iter().map(|face| face.svg.clone()).collect();
    assert_eq!(dealt, labels(&swapped));
}

#[tokio::test]
async fn one_table_may_have_a_deck_of_its_own_and_keeps_it_over_a_restart() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\nDot\nEli\nFay\nGus\nHan\n").await;
    let board = house.hub.board(ME, lesson).await.unwrap();
    let tables: Vec<TableId> = board.borrow().tables.iter().map(|table| table.table).collect();
    drop(board);
    let path = format!("/lessons/{lesson}/deck");
    let own = UseDeck { table: Some(tables[1]), deck: Some(letters()) };
    assert_eq!(post(&house, &path, &own).await.status, 200);
    until(&house, lesson, |board| board.table_decks.len() == 1).await;
    let store = house.store.clone();
    house.close().await;

    let house = House::over(store, 2).await;
    until(&house, lesson, |board| {
        board.table_decks.iter().any(|own| own.table == tables[1] && own.name == "Letters")
            && board.next_deck.starts_with("Numbers")
    })
    .await;
    house.hub.board_says(ME, lesson, BoardSays::Start { table: None }).await.unwrap();
    until(&house, lesson, |board| {
        board.tables[0].deck_name.starts_with("Numbers") && board.tables[1].deck_name == "Letters"
    })
    .await;
    // Other rules for all leave the table its deck; another deck for all does not.
    let plan = LessonPlan { tray_limit: 2, ..LessonPlan::for_ages(AgeBand::FiveToSix) };
    assert_eq!(post(&house, &format!("/lessons/{lesson}/plan"), &plan).await.status, 200);
    until(&house, lesson, |board| board.plan.tray_limit == 2 && board.table_decks.len() == 1).await;
    let shapes = DeckPlan { skill: Skill::Shapes, ..letters() };
    let all = UseDeck { table: None, deck: Some(shapes) };
    assert_eq!(post(&house, &path, &all).await.status, 200);
    until(&house, lesson, |board| board.table_decks.is_empty() && board.next_deck == "Shapes")
        .await;
    let back = UseDeck { table: Some(tables[0]), deck: None };
    assert_eq!(post(&house, &path, &back).await.status, 200);
    let nobody = UseDeck { table: Some(TableId([9; 16])), deck: Some(letters()) };
    let no = post(&house, &path, &nobody).await;
    assert_eq!((no.status, no.refusal().message), (409, "There is no such table.".to_owned()));
}

#[tokio::test]
async fn a_plan_that_cannot_be_is_refused_with_its_reason_and_changes_nothing() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\nDot\n").await;
    let plan = LessonPlan::for_ages(AgeBand::FiveToSix);
    let table = [
        (LessonPlan { groups: 14, ..plan.clone() }, "14 match groups are too many"),
        (LessonPlan { groups: 5, ..plan.clone() }, "serves up to 3 seats. Use more groups"),
        (LessonPlan { tray_limit: 9, ..plan.clone() }, "1 to 5 cards wait in a tray"),
        (LessonPlan { skill: Skill::Coins { cents_max: 7 }, ..plan.clone() }, "25 to 100, not 7"),
        (
            LessonPlan {
                skill: Skill::PartnersOfTen,
                groups: 6,
                confusables: Confusables::Avoid,
                ..plan.clone()
            },
            "too many",
        ),
    ];
    for (plan, expected) in table {
        let no = post(&house, &format!("/lessons/{lesson}/plan"), &plan).await;
        assert_eq!(no.status, 409);
        let words = no.refusal().message;
        assert!(words.contains(expected) && words.ends_with('.'), "{words}");
    }
    let mut wished = plan.clone();
    wished.wishes.groups_in = vec![GroupKey("77".into())];
    let told = house.hub.board_says(ME, lesson, BoardSays::Plan(wished)).await;
    assert_eq!(told, Err(Refusal::DeckNotPossible), "on the wire the reason is a word");
    assert_eq!(house.hub.board(ME, lesson).await.unwrap().borrow().plan, plan);
    let none = post(&house, &format!("/lessons/{}/plan", LessonId([8; 16])), &plan).await;
    assert_eq!((none.status, none.refusal().message), (409, "There is no such lesson.".to_owned()));
}

#[tokio::test]
async fn decks_are_kept_whole_replaced_by_name_shared_as_files_and_forgotten() {
    let house = House::open_on_disk(3).await;
    let shown = preview(&house, &letters(), None).await;
    let named = NamedDeck { name: "  Monday's letters ".into(), deck: shown.deck.clone() };
    let kept = post(&house, "/workshop/decks", &named).await;
    assert_eq!(kept.status, 201, "{:?}", kept.refusal());
    let kept: KeptDeck = kept.json();
    assert_eq!(kept.kept.name, "Monday's letters");
    let again: KeptDeck = post(&house, "/workshop/decks", &named).await.json();
    let list =
        async || -> Vec<KeptDeck> { house.ask_as_teacher("GET /workshop/decks", b"").await.json() };
    assert_eq!(list().await, vec![again.clone()], "the same name is one deck");

    let file = house.ask_as_teacher(&format!("GET /workshop/decks/{}/file", again.id), b"").await;
    assert_eq!(file.status, 200);
    assert_eq!(
        file.header("content-disposition"),
        Some("attachment; filename=\"deck-Monday-s-letters.json\"")
    );
    assert!(String::from_utf8_lossy(&file.body).contains("\"handround_deck\": 1"));
    // A colleague loads it; here it stands beside the first one.
    let loaded = house.ask_as_teacher("POST /workshop/file", &file.body).await;
    assert_eq!(loaded.status, 201, "{:?}", loaded.refusal());
    let loaded: KeptDeck = loaded.json();
    assert_eq!((loaded.kept.name.as_str(), &loaded.kept.deck), ("Monday's letters 2", &shown.deck));
    assert_eq!(labels(&preview(&house, &loaded.kept.deck, None).await), labels(&shown));

    let old = format!("DELETE /workshop/decks/{}", kept.id);
    assert_eq!(house.ask_as_teacher(&old, b"").await.status, 404, "it was replaced");
    let gone = format!("DELETE /workshop/decks/{}", again.id);
    assert_eq!(house.ask_as_teacher(&gone, b"").await.status, 200);
    assert_eq!(list().await, vec![loaded]);
    for (name, expected) in
        [("", "a name"), ("a\nb", "on one line"), (&"x".repeat(61), "shorter name")]
    {
        let no = post(&house, "/workshop/decks", &NamedDeck { name: name.into(), deck: letters() })
            .await;
        assert_eq!(no.status, 400);
        assert!(no.refusal().message.contains(expected), "{:?}", no.refusal());
    }
    assert_eq!(list().await.len(), 1);
}

#[tokio::test]
async fn hostile_files_and_bodies_get_a_sentence_and_nothing_is_kept() {
    let house = House::open().await;
    let file = |deck: &str| format!("{{\"handround_deck\":1,\"name\":\"x\",\"deck\":{deck}}}");
    let plain = serde_json::to_string(&letters()).unwrap();
    let with = |from: &str, to: &str| file(&plain.replace(from, to));
    let deep = format!("{}{}", "[".repeat(20_000), "]".repeat(20_000));
    let mut many = letters();
    many.wishes.cards_out = vec![CardKey("x".repeat(40)); 1_000];
    let table: Vec<(Vec<u8>, u16, &str)> = vec![
        (b"".to_vec(), 400, "no deck file"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec(), 400, "no deck file"),
        (b"PK\x03\x04 a zipped document".to_vec(), 400, "no deck file"),
        (deep.into_bytes(), 400, "no deck file"),
        (vec![b' '; 8_000_000], 413, "too large"),
        (with("\"Letters\"", "\"Chess\"").into_bytes(), 400, "no deck file"),
        (with("\"groups\":7", "\"groups\":-7").into_bytes(), 400, "no deck file"),
        (with("\"groups\":7", "\"groups\":200").into_bytes(), 400, "at most 13"),
        (with("\"groups\":7", "\"groups\":0").into_bytes(), 400, "at least one"),
        (
            with("\"groups_in\":[]", "\"groups_in\":[\"<script>alert(1)</script>\"]").into_bytes(),
            400,
            "no group called",
        ),
        (file(&serde_json::to_string(&many).unwrap()).into_bytes(), 400, "more wishes"),
        (file(&plain).replace(":1,", ":2,").into_bytes(), 400, "version 2"),
        (
            file(&plain).replace("\"name\":\"x\"", "\"name\":\"x\",\"run\":\"me\"").into_bytes(),
            400,
            "`run`",
        ),
        (
            file(&plain).replace("\"name\":\"x\"", "\"name\":\"\\u0007\"").into_bytes(),
            400,
            "one line",
        ),
    ];
    for (body, status, expected) in table {
        let answer = house.ask_as_teacher("POST /workshop/file", &body).await;
        let start = String::from_utf8_lossy(&body[..body.len().min(80)]).into_owned();
        assert_eq!(answer.status, status, "{start}: {:?}", answer.refusal());
        let no = answer.refusal();
        assert!(no.message.contains(expected) && no.message.len() < 400, "{start}: {no:?}");
    }
    let broken =
        house.ask_as_teacher("POST /workshop/file", b"{\n\"handround_deck\": 1,\n oh").await;
    assert_eq!(broken.refusal().line, Some(3));
    for line in ["POST /workshop/preview", "POST /workshop/print", "POST /workshop/decks"] {
        assert_eq!(house.ask_as_teacher(line, b"{}").await.status, 400, "{line}");
        assert_eq!(house.ask_as_teacher(line, &vec![b'a'; 1_000_000]).await.status, 413, "{line}");
    }
    let kept: Vec<KeptDeck> = house.ask_as_teacher("GET /workshop/decks", b"").await.json();
    assert_eq!(kept, []);
}

#[tokio::test]
async fn a_deck_comes_out_on_paper() {
    let house = House::open().await;
    let ask = PrintAsk {
        deck: letters(),
        draw: 4,
        a4: true,
        backs: true,
        letters: Some("leaf".into()),
        seats: 4,
        lesson: None,
    };
    let pdf = post(&house, "/workshop/print", &ask).await;
    assert_eq!((pdf.status, pdf.header("content-type")), (200, Some("application/pdf")));
    assert!(pdf.body.starts_with(b"%PDF-"), "{:?}", &pdf.body[..8]);
    let no =
        post(&house, "/workshop/print", &PrintAsk { letters: Some("l3af".into()), ..ask.clone() })
            .await;
    assert!(
        no.status == 400 && no.refusal().message.contains("cannot be printed"),
        "{:?}",
        no.refusal()
    );
    let no = post(&house, "/workshop/print", &PrintAsk { seats: 9, ..ask }).await;
    assert_eq!(
        (no.status, no.refusal().message.as_str()),
        (400, "A table has 2 to 6 players, not 9.")
    );
}

/// Drawing takes a core; a script that asks without end waits, and so do no others for long.
#[tokio::test]
async fn whoever_draws_without_end_waits() {
    let house = House::open().await;
    let with_key = format!("GET /teacher?key={}", house.one_time_key);
    let signed = house.ask(&with_key, &[], b"").await;
    let cookie =
        format!("Cookie: {}", signed.header("set-cookie").unwrap().split(';').next().unwrap());
    // All at once, so that however slow the machine is, they come faster than the allowance grows.
    let headers = [cookie.as_str()];
    let asks = (0..400).map(|_| house.ask("GET /workshop/skills", &headers, b""));
    let answers = futures_util::future::join_all(asks).await;
    let count = |status| answers.iter().filter(|answer| answer.status == status).count();
    assert!(count(200) >= 60, "a teacher who tries settings is served: {}", count(200));
    assert!(count(429) > 0, "a script waits");
    assert_eq!(count(200) + count(429), 400);
}

fn sent(name: &str, bytes: &[u8]) -> SentFile {
    SentFile { name: name.into(), base64: STANDARD.encode(bytes) }
}

/// Twenty words in five groups, as a spreadsheet saves them.
const WORDS: &str = "name:,Garden words\n\
    meaning,face,face,face,face\n\
    roots,beet,carrot,radish,turnip\n\
    leaves,cabbage,lettuce,spinach,kale\n\
    fruits,apple,pear,plum,cherry\n\
    tools,spade,rake,hoe,shears\n\
    insects,bee,ant,moth,wasp\n";

#[tokio::test]
async fn own_decks_are_kept_looked_at_played_shared_and_forgotten() {
    let house = House::open_on_disk(5).await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\n").await;
    let send = OwnDeckSent { deck: sent("garden.csv", WORDS.as_bytes()), pictures: vec![] };
    let kept = post(&house, "/workshop/own", &send).await;
    assert_eq!(kept.status, 201, "{:?}", kept.refusal());
    let kept: OwnDeckLine = kept.json();
    assert_eq!((kept.name.as_str(), kept.groups), ("Garden words", 5));
    let list = async || -> Vec<OwnDeckLine> {
        house.ask_as_teacher("GET /workshop/own", b"").await.json()
    };
    assert_eq!(list().await, vec![kept.clone()]);

    let deck = DeckPlan { skill: Skill::OwnDeck { deck: kept.id }, groups: 5, ..letters() };
    let shown = preview(&house, &deck, None).await;
    assert_eq!((shown.name.as_str(), shown.groups.len()), ("Garden words", 5));
    let wish = UseDeck { table: None, deck: Some(shown.deck.clone()) };
    let used = post(&house, &format!("/lessons/{lesson}/deck"), &wish).await;
    assert_eq!(used.status, 200, "{:?}", used.refusal());
    until(&house, lesson, |board| board.next_deck == "Garden words").await;

    let file = format!("GET /workshop/own/{}/file", kept.id);
    let file = house.ask_as_teacher(&file, b"").await;
    assert_eq!(
        file.header("content-disposition"),
        Some("attachment; filename=\"deck-own-Garden-words.json\"")
    );
    let back = OwnDeckSent { deck: sent("shared.json", &file.body), pictures: vec![] };
    let again: OwnDeckLine = post(&house, "/workshop/own", &back).await.json();
    for id in [kept.id, again.id] {
        let gone = house.ask_as_teacher(&format!("DELETE /workshop/own/{id}"), b"").await;
        assert_eq!(gone.status, 200);
    }
    assert_eq!(list().await, []);
    let no = post(
        &house,
        "/workshop/preview",
        &PreviewAsk { deck, draw: 0, swap: None, lesson: None, helpers: [].into() },
    )
    .await;
    assert!(no.refusal().message.contains("not kept here any more"), "{:?}", no.refusal());
    // The lesson has its own copy of the cards.
    house.hub.board_says(ME, lesson, BoardSays::Start { table: None }).await.unwrap();
    until(&house, lesson, |board| board.tables[0].deck_name == "Garden words").await;
}

#[tokio::test]
async fn hostile_own_decks_name_the_reason_and_leave_nothing() {
    let house = House::open().await;
    let picture = |bytes: &[u8]| OwnDeckSent {
        deck: sent("garden.csv", WORDS.replace("ant", "ant.png").as_bytes()),
        pictures: vec![sent("ant.png", bytes)],
    };
    let file = |name: &str, bytes: &[u8]| OwnDeckSent { deck: sent(name, bytes), pictures: vec![] };
    let one_group = "name:,Words\nmeaning,face,face,face,face\nroots,beet,carrot,radish,turnip\n";
    let table = [
        (file("garden.exe", WORDS.as_bytes()), "ends in .toml, .csv or .json"),
        (file("garden.csv", one_group.as_bytes()), "4"),
        (file("garden.csv", b"\xff\xfe\x00"), ""),
        (file("garden.csv", WORDS.replace("hoe", "rake").as_bytes()), "Line 6"),
        (file("shared.json", b"{\"name\":\"x\"}"), "no deck that Handround has saved"),
        (picture(b"<svg onload=alert(1)>"), "ant.png"),
        (picture(&[0x89, b'P', b'N', b'G', 0, 0, 0]), "ant.png"),
    ];
    for (send, expected) in table {
        let no = post(&house, "/workshop/own", &send).await;
        assert_eq!(no.status, 400, "{}", send.deck.name);
        assert!(no.refusal().message.contains(expected), "{expected}: {:?}", no.refusal());
    }
    let large = house.ask_as_teacher("POST /workshop/own", &vec![b'a'; 17 * 1024 * 1024]).await;
    assert_eq!(large.status, 413);
    let kept: Vec<OwnDeckLine> = house.ask_as_teacher("GET /workshop/own", b"").await.json();
    assert_eq!(kept, []);
}

/// A picture of three colours; nothing of it is lost when it is drawn anew.
fn painted() -> Vec<u8> {
    let stripe = |x: u32, _| match x {
        0..8 => image::Rgb([200, 40, 40]),
        8..16 => image::Rgb([40, 160, 60]),
        _ => image::Rgb([40, 60, 200]),
    };
    let mut png = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_fn(24, 24, stripe).write_to(&mut png, image::ImageFormat::Png).unwrap();
    png.into_inner()
}

/// A teacher's own cards, kept as a deck under a name, as they stand in its file.
async fn own_deck_file(house: &House) -> (DeckPreview, Vec<u8>) {
    let send = OwnDeckSent {
        deck: sent("garden.csv", WORDS.replace("ant,", "ant.png,").as_bytes()),
        pictures: vec![sent("ant.png", &painted())],
    };
    let own = post(house, "/workshop/own", &send).await;
    assert_eq!(own.status, 201, "{:?}", own.refusal());
    let own: OwnDeckLine = own.json();
    let deck = DeckPlan { skill: Skill::OwnDeck { deck: own.id }, groups: 5, ..letters() };
    let shown = preview(house, &deck, None).await;
    let named = NamedDeck { name: "Monday's garden".into(), deck: shown.deck.clone() };
    let kept: KeptDeck = post(house, "/workshop/decks", &named).await.json();
    let file = house.ask_as_teacher(&format!("GET /workshop/decks/{}/file", kept.id), b"").await;
    assert_eq!(file.status, 200, "{:?}", file.refusal());
    (shown, file.body)
}

/// What a server keeps: names of kept decks and of own decks.
async fn all_kept(house: &House) -> (Vec<String>, Vec<String>) {
    let decks: Vec<KeptDeck> = house.ask_as_teacher("GET /workshop/decks", b"").await.json();
    let own: Vec<OwnDeckLine> = house.ask_as_teacher("GET /workshop/own", b"").await.json();
    let names = decks.into_iter().map(|deck| deck.kept.name).collect();
    (names, own.into_iter().map(|deck| deck.name).collect())
}

/// From one school to another: the file alone brings the cards, pictures inside, and they are played.
#[tokio::test]
async fn a_shared_file_brings_a_teacher_s_own_cards_to_another_server() {
    let (shown, file) = own_deck_file(&House::open().await).await;
    let there = House::open_on_disk(7).await;
    let opened = there.ask_as_teacher("POST /workshop/file", &file).await;
    assert_eq!(opened.status, 201, "{:?}", opened.refusal());
    let opened: KeptDeck = opened.json();
    assert_ne!(opened.kept.deck.skill, shown.deck.skill, "the cards have an id of this server");
    let seen = preview(&there, &opened.kept.deck, None).await;
    assert_eq!((labels(&seen), seen.groups.len()), (labels(&shown), 5));
    assert!(labels(&seen).iter().any(|svg| svg.contains("data:image/png")), "the picture came too");

    let lesson = there.make_lesson("Ada\nBen\nCleo\n").await;
    let wish = UseDeck { table: None, deck: Some(seen.deck.clone()) };
    assert_eq!(post(&there, &format!("/lessons/{lesson}/deck"), &wish).await.status, 200);
    there.hub.board_says(ME, lesson, BoardSays::Start { table: None }).await.unwrap();
    until(&there, lesson, |board| board.tables[0].deck_name == "Garden words").await;
    let dealt = faces(&there, lesson, 0).await;
    let dealt: BTreeSet<String> = dealt.faces.iter().map(|face| face.svg.clone()).collect();
    assert_eq!(dealt, labels(&shown));

    // Opened again, the choices stand beside the first ones and the cards are kept once.
    let again = there.ask_as_teacher("POST /workshop/file", &file).await;
    assert_eq!(again.status, 201);
    let names = ["Monday's garden", "Monday's garden 2"].map(str::to_owned);
    assert_eq!(all_kept(&there).await, (names.to_vec(), vec!["Garden words".to_owned()]));
    // A deck whose cards are deleted cannot be shared, and says so.
    let Skill::OwnDeck { deck } = opened.kept.deck.skill else { panic!("{opened:?}") };
    there.ask_as_teacher(&format!("DELETE /workshop/own/{deck}"), b"").await;
    let no = there.ask_as_teacher(&format!("GET /workshop/decks/{}/file", opened.id), b"").await;
    assert_eq!((no.status, no.refusal().message.contains("not kept here any more")), (404, true));
}

#[tokio::test]
async fn hostile_own_cards_in_a_shared_file_name_the_reason_and_leave_nothing() {
    let (_, file) = own_deck_file(&House::open().await).await;
    let text = String::from_utf8(file).unwrap();
    let written: serde_json::Value = serde_json::from_str(&text).unwrap();
    let png = written["own"]["groups"][4]["faces"][1]["Picture"]["png"].as_str().unwrap();
    let script = STANDARD.encode("<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>");
    let bomb = STANDARD.encode([&painted()[..16], &[0, 0, 0x7f, 0xff, 0, 0, 0x7f, 0xff]].concat());
    let changed = |change: &dyn Fn(&mut serde_json::Value)| {
        let mut value = written.clone();
        change(&mut value);
        value.to_string()
    };
    let there = House::open().await;
    for (what, body, reason) in [
        ("a script for a picture", text.replace(png, &script), "holds `script`"),
        ("markup for a picture", text.replace(png, "\\\"/><script>"), "no deck that Handround"),
        ("a picture too large to read", text.replace(png, &bomb), "cannot be used"),
        ("a word in two groups", text.replace("\"hoe\"", "\"kale\""), "they match"),
        ("a rude word", text.replace("\"hoe\"", "\"shit\""), "rude"),
        ("a sign that turns text around", text.replace("Garden words", "Gar\u{202e}den"), "sign"),
        ("one group", changed(&|file| file["own"]["groups"] = serde_json::json!([])), "at least 4"),
        (
            "600 groups",
            changed(&|file| {
                let group = file["own"]["groups"][0].clone();
                file["own"]["groups"] = vec![group; 600].into();
            }),
            "600 groups",
        ),
        (
            "three faces",
            changed(&|file| {
                let faces = file["own"]["groups"][0]["faces"].as_array_mut().unwrap();
                faces.pop();
            }),
            "has 3 faces",
        ),
        ("a field of its own", text.replace("\"local_codes\"", "\"run\""), "`run`"),
        (
            "cards that the deck does not use",
            changed(&|file| file["deck"]["skill"] = "Letters".into()),
            "does not use",
        ),
        (
            "cards that were left out",
            changed(&|file| file["own"] = serde_json::Value::Null),
            "not kept here any more",
        ),
        (
            "wishes for cards that are not there",
            changed(&|file| file["deck"]["wishes"]["groups_in"][0] = "nothing".into()),
            "no group called",
        ),
        ("no name", text.replace("Monday's garden", " "), "a name"),
    ] {
        assert_ne!(body, text, "{what} changed nothing");
        let no = there.ask_as_teacher("POST /workshop/file", body.as_bytes()).await;
        assert_eq!(no.status, 400, "{what}");
        let told = no.refusal().message;
        assert!(told.contains(reason) && told.len() < 400, "{what}: {told}");
        assert_eq!(all_kept(&there).await, (vec![], vec![]), "{what}");
    }
}

/// The cards are written first; where there is no room for the deck, they go again.
#[tokio::test]
async fn a_shared_file_that_finds_no_room_leaves_no_cards() {
    let (_, file) = own_deck_file(&House::open().await).await;
    let there = House::open().await;
    for number in 0..KEPT_DECKS_EACH_MAX {
        // Straight into the store: to make each of them first would take a minute.
        let id = KeptDeckId((number as u128).to_be_bytes());
        let kept = KeptDeck { id, kept: NamedDeck { name: format!("{number}"), deck: letters() } };
        let line = serde_json::to_string(&kept).unwrap();
        let stream = StreamName(format!("kept-deck/{id}"));
        there.store.append(stream, 0, vec![line], Urgency::Group).await.unwrap();
    }
    let no = there.ask_as_teacher("POST /workshop/file", &file).await;
    assert_eq!(no.status, 400);
    assert!(no.refusal().message.contains("as there is room for"), "{:?}", no.refusal());
    let (decks, own) = all_kept(&there).await;
    assert_eq!((decks.len(), own), (KEPT_DECKS_EACH_MAX, vec![]));
}

/// Names stay in the lesson that they came from.
#[tokio::test]
async fn the_class_s_names_make_a_deck_in_their_lesson_alone() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\nDot\nElif\nFinn\nGus\nHana\n").await;
    let deck = DeckPlan { skill: Skill::OurClass, groups: 6, ..letters() };
    let ask =
        |lesson| PreviewAsk { deck: deck.clone(), draw: 1, swap: None, lesson, helpers: [].into() };
    let shown = post(&house, "/workshop/preview", &ask(Some(lesson))).await;
    assert_eq!(shown.status, 200, "{:?}", shown.refusal());
    let shown: DeckPreview = shown.json();
    assert_eq!(shown.groups.len(), 6);
    assert!(shown.choices.iter().any(|choice| choice.title == "Hana"), "{:?}", shown.choices);
    let wish = UseDeck { table: None, deck: Some(shown.deck.clone()) };
    assert_eq!(post(&house, &format!("/lessons/{lesson}/deck"), &wish).await.status, 200);
    let elsewhere = post(&house, "/workshop/preview", &ask(None)).await;
    assert!(elsewhere.refusal().message.contains("needs the class list"));
    let named = NamedDeck { name: "Our class".into(), deck: shown.deck };
    let no = post(&house, "/workshop/decks", &named).await;
    assert!(no.status == 400 && no.refusal().message.contains("stays in its lesson"));
}

/// The sentence is that of the simulation; more groups are proposed where rounds are too short.
#[tokio::test]
async fn a_deck_says_how_long_its_rounds_will_be() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\nDot\n").await;
    let ask = |deck, lesson| LengthAsk { deck, draw: 4, lesson, slot_minutes: Some(20) };
    let shown = preview(&house, &letters(), None).await;
    for lesson in [None, Some(lesson)] {
        let told = post(&house, "/workshop/length", &ask(shown.deck.clone(), lesson)).await;
        assert_eq!(told.status, 200, "{:?}", told.refusal());
        let told: DeckLength = told.json();
        println!("{told:?}");
        assert!(told.sentences[0].starts_with("With 4 players a round takes about"), "{told:?}");
        assert!(told.sentences[1].starts_with("In 20 minutes "), "{told:?}");
    }
    let small = preview(&house, &DeckPlan { groups: 3, ..letters() }, None).await;
    for slot_minutes in [Some(0), Some(4), Some(121), Some(u16::MAX)] {
        let asked = LengthAsk { slot_minutes, ..ask(shown.deck.clone(), None) };
        let no = post(&house, "/workshop/length", &asked).await;
        assert_eq!(
            (no.status, no.refusal().message.as_str()),
            (400, "A slot has 5 to 120 minutes.")
        );
    }
    let no = post(&house, "/workshop/length", &ask(small.deck, None)).await;
    assert!(no.status == 400 && no.refusal().message.ends_with('.'), "{:?}", no.refusal());
}

/// The slot on the board: told as it runs, kept over a restart of the page, refused out of range.
#[tokio::test]
async fn a_slot_says_what_still_fits_and_when_to_ring_the_bell() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBo\nCleo\nDora\n").await;
    let slot = async |minutes: Option<u16>| {
        let body = serde_json::to_vec(&SlotAsked { minutes }).unwrap();
        house.ask_as_teacher(&format!("POST /lessons/{lesson}/slot"), &body).await
    };
    let look = async || -> SlotTold {
        house.ask_as_teacher(&format!("GET /lessons/{lesson}/slot"), b"").await.json()
    };
    assert_eq!(look().await.minutes_left, None);
    for minutes in [0, 4, 121, u16::MAX] {
        let refused = slot(Some(minutes)).await;
        assert_eq!(
            (refused.status, refused.refusal().message.as_str()),
            (400, "A slot has 5 to 120 minutes.")
        );
    }
    let told: SlotTold = slot(Some(30)).await.json();
    println!("before a game: {}", told.sentence);
    assert_eq!((told.minutes_left, told.ring_now), (Some(30), false));
    assert!(told.sentence.contains("more rounds") && !told.sentence.contains("bell"), "{told:?}");
    house.hub.board_says(ME, lesson, BoardSays::Start { table: None }).await.unwrap();
    let mut board = house.hub.board(ME, lesson).await.unwrap();
    let plays = |board: &BoardView| board.tables.iter().any(|table| table.view.game.0 == 1);
    drop(board.wait_for(|board| plays(board)).await.unwrap());
    let told = look().await;
    println!("in a game: {}", told.sentence);
    assert!(told.sentence.contains("Ring the bell in "), "{told:?}");
    assert_eq!(slot(None).await.json::<SlotTold>().minutes_left, None);
    let stranger = house.ask(&format!("GET /lessons/{lesson}/slot"), &[], b"").await;
    assert_eq!(stranger.status, 401);
    house.close().await;
}
