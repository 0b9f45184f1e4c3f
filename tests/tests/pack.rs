//! A whole lesson on paper, read with poppler: who is named, which rule is told, how much lies in it, and
//! who may have it.
#![allow(clippy::unwrap_used)]

use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::DeckId;
use handround_protocol::view::LessonPlan;
use handround_server::deck::NumberDeck;
use handround_server::deck::print::{Pack, PackTable, Paper, PrintError, TOKENS, pack_pdf};
use handround_tests::house::{House, ME};
use handround_tests::paper::Pdf;

/// The readiness stands in the list and may not reach the paper.
const CLASS: &str = "nickname,readiness\nAda,1\nBen,3\nCl\u{e9}o,2\nDora,3\nEmil,1\nFinn,2\n";

fn words(pdf: &Pdf, page: usize) -> String {
    pdf.words(page).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn all_words(pdf: &Pdf) -> String {
    (1..=pdf.pages().unwrap()).map(|page| words(pdf, page) + " ").collect()
}

#[tokio::test]
async fn the_pack_is_the_teachers_and_has_names_rule_and_cards() {
    let house = House::open().await;
    let lesson = house.make_lesson(CLASS).await;
    let line = format!("GET /lessons/{lesson}/pack.pdf?paper=a4");
    let foreign = "Cookie: handround_session=0123456789abcdef0123456789abcdef";
    for headers in [&["X-Nothing: at all"][..], &[foreign]] {
        let answer = house.ask(&line, headers, b"").await;
        assert_eq!(answer.status, 401);
        assert!(!answer.body.starts_with(b"%PDF"));
    }
    let bad = house.ask_as_teacher(&line.replace("a4", "a5"), b"").await;
    assert_eq!((bad.status, bad.refusal().message.as_str()), (400, "the paper is a4 or letter"));
    let none = format!("GET /lessons/{}/pack.pdf", handround_protocol::id::LessonId([9; 16]));
    assert_eq!(house.ask_as_teacher(&none, b"").await.status, 404);

    // A word of letter cards, so that those are in the pack too.
    let mut plan = LessonPlan::for_ages(AgeBand::FiveToSix);
    plan.house = HouseRule::Letters { word: "PLUM".to_owned() };
    house.hub.change_plan(ME, lesson, plan).await.unwrap();

    let answer = house.ask_as_teacher(&line, b"").await;
    assert_eq!(answer.status, 200);
    assert_eq!(answer.header("content-type"), Some("application/pdf"));
    assert_eq!(answer.header("cache-control"), Some("no-store"));
    let pdf = Pdf::of(&answer.body).unwrap();
    let first = words(&pdf, 1);
    for said in ["Ada", "Ben", "Cl\u{e9}o", "Dora", "Emil", "Finn", "Table 1", "Table 2"] {
        assert!(first.contains(said), "'{said}' is missing: {first}");
    }
    assert!(first.contains("The rule of this lesson: Letters"), "{first}");
    assert!(first.contains("next letter card of the word PLUM"), "{first}");
    let guide = words(&pdf, 2);
    for said in ["wider than 45 mm", "No diving", "16 CFR 1501", "magnets", "four cards that match"]
    {
        assert!(guide.contains(said), "'{said}' is missing: {guide}");
    }
    let all = all_words(&pdf);
    // Letters and numbers of the class list's other column are nowhere beside a name.
    for never in ["readiness", "Readiness", "apart", "Ada,1", "Ada 1", "level"] {
        assert!(!all.contains(never), "the pack says '{never}'");
    }
    for said in ["Table 1 \u{2022}", "letter cards, sheet 1", "mark: leaf", "mark: snail", "Tokens"]
    {
        assert!(all.contains(said), "'{said}' is missing");
    }
    // The board names the deck that lies on the tables.
    let board = house.hub.board(ME, lesson).await.unwrap();
    let deck = board.borrow().next_deck.clone();
    assert!(first.contains(&format!("Deck: {deck}")), "{deck}: {first}");
    // US Letter, 612 by 792 points, unless asked otherwise.
    let letter = house.ask_as_teacher(&line.replace("?paper=a4", ""), b"").await;
    assert!(Pdf::of(&letter.body).unwrap().info().unwrap().contains("612 x 792"));
    house.close().await;
}

fn pack(tables: usize, players: usize, house: HouseRule) -> Pack {
    let deck = DeckId([4; 16]);
    let sheet = NumberDeck::for_ages(AgeBand::FiveToSix, 1, 10, 10).build(deck, [3; 32]).unwrap();
    let name = |table: usize| move |seat: usize| format!("Leaf{table}-{seat}");
    let table = |number: usize| PackTable {
        name: format!("Table {number}"),
        players: (1..=players).map(name(number)).collect(),
        partners: 0,
        deck,
    };
    Pack {
        name: "Oak".to_owned(),
        house,
        tables: (1..=tables).map(table).collect(),
        decks: vec![sheet.sheet()],
    }
}

fn print(pack: &Pack) -> Result<Pdf, PrintError> {
    pack_pdf(pack, Paper::A4, &mut |_, _| {}).map(|bytes| Pdf::of(&bytes).unwrap())
}

/// Every rule says its own name and no other one; Calm has no tokens.
#[test]
fn the_rule_in_play_is_the_one_that_is_told() {
    let rules = [
        (HouseRule::Stay { rounds: 6 }, "Stay", "Play 6 rounds"),
        (HouseRule::Letters { word: "pea".into() }, "Letters", "of the word pea"),
        (HouseRule::Out { shield: true }, "Out", "The first time is a warning"),
        (HouseRule::Calm { rounds: 1 }, "Calm", "Play one round without tokens"),
    ];
    for (house, name, said) in rules {
        let tokens = house.has_tokens();
        let letters = matches!(house, HouseRule::Letters { .. });
        let pdf = print(&pack(2, 4, house)).unwrap();
        for page in [1, 2] {
            let text = words(&pdf, page);
            assert!(text.contains(&format!("The rule of this lesson: {name}")), "{text}");
            assert!(text.contains(said), "{text}");
            assert_eq!(text.matches("The rule of this lesson").count(), 1);
        }
        let all = all_words(&pdf);
        assert_eq!(all.contains("Tokens \u{2022}"), tokens, "{name}");
        assert_eq!(all.contains("letter cards, sheet"), letters, "{name}");
    }
}

/// Pages counted by hand: 40 cards are 5 sheets, 4 x 4 letters 2 sheets, each table has a page of
/// groups; one fewer tokens than players at each table.
#[test]
fn a_pack_has_what_every_table_needs() {
    for (tables, players) in [(1, 2), (2, 4), (15, 4)] {
        let one = pack(tables, players, HouseRule::Letters { word: "PLUM".into() });
        let mut told = Vec::new();
        let bytes = pack_pdf(&one, Paper::Letter, &mut |done, of| told.push((done, of))).unwrap();
        let pdf = Pdf::of(&bytes).unwrap();
        let letters = (4 * players).div_ceil(9);
        let tokens = (tables * (players - 1)).div_ceil(TOKENS);
        let pages = tables.div_ceil(12) + 1 + tables * (1 + 5 + letters) + tokens;
        assert_eq!(pdf.pages().unwrap(), pages, "{tables} tables of {players}");
        assert_eq!(told, (1..=pages).map(|done| (done, pages)).collect::<Vec<_>>());
        let names: String = (1..=tables.div_ceil(12)).map(|page| words(&pdf, page) + " ").collect();
        for table in &one.tables {
            assert!(table.players.iter().all(|name| names.contains(name)), "{names}");
        }
        // The drawings are stored once, however many tables have the deck.
        println!("{tables} tables of {players}: {pages} pages, {} KB", bytes.len() / 1024);
        assert!(bytes.len() < 3_000_000);
    }
}

#[test]
fn an_impossible_pack_is_refused_in_a_sentence() {
    let stay = || HouseRule::Stay { rounds: 5 };
    assert_eq!(print(&pack(0, 4, stay())).err(), Some(PrintError::NoTables));
    assert_eq!(print(&pack(51, 4, stay())).err(), Some(PrintError::PackTooLarge(51 * 40)));
    let few = PrintError::TooFewCards { cards: 40, seats: 9, needed: 44 };
    assert_eq!(print(&pack(1, 9, stay())).err(), Some(few));
    let mut lost = pack(1, 2, stay());
    lost.decks.clear();
    assert!(matches!(print(&lost).err(), Some(PrintError::TooFewCards { cards: 0, .. })));
    // A child alone at a table plays with an adult; a word in other letters is written by hand.
    let mut alone = pack(1, 1, HouseRule::Letters { word: "\u{fc}ber".into() });
    alone.tables[0].partners = 2;
    let text = words(&print(&alone).unwrap(), 1);
    assert!(text.contains("An adult plays along") && text.contains("slips of paper"), "{text}");
}
