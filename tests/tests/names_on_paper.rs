//! Children's names in print: every letter of the Latin blocks against Unicode's data (Python's unicodedata,
//! run by `tests/outside/latin_letters.py`), read back from its drawing and by poppler from paper; and the
//! line to write on where a name is in another script.
#![allow(clippy::unwrap_used)]

use handround_protocol::classes::ClassLine;
use handround_protocol::door::DoorView;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::picture::THINGS;
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::LessonPlan;
use handround_server::deck::alphabet::{Hand, glyph, glyph_of};
use handround_server::deck::families::{Classmate, Material, family_with, left_out};
use handround_server::deck::print::{
    CARD_WIDTH, Paper, PlaceCard, is_printed, on_paper, place_cards_pdf, telling_pdf, told_on_paper,
};
use handround_server::deck::shown::Shown;
use handround_server::deck::valid::check;
use handround_server::telling::{Block, Row, Telling};
use handround_tests::house::House;
use handround_tests::paper::Pdf;
use std::process::Command;

/// Names of many languages, invented for no child in particular.
const NAMES: [&str; 18] = [
    "José",
    "Zoë",
    "Françoise",
    "Åse",
    "Søren",
    "Łukasz",
    "Đorđe",
    "Þórunn",
    "Strauß",
    "Ștefan",
    "Şerife",
    "Ķērsta",
    "Nguyễn Ánh",
    "Ọláyẹmí",
    "Ğülçin",
    "O’Neil",
    "Anne-Łucja",
    "Gœtz",
];
/// In scripts that our letters do not write.
const BY_HAND: [&str; 5] = ["Аня", "名前", "مريم", "Ελένη", "अनु"];

struct Letter {
    block: String,
    character: char,
    category: String,
    apart: Vec<char>,
}

fn unicode() -> Vec<Letter> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/outside/latin_letters.py");
    let run = Command::new("python3").arg(script).output();
    let run = run.expect("python3 cannot be started; the letters cannot be checked");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let point = |hex: &str| char::from_u32(u32::from_str_radix(hex, 16).unwrap()).unwrap();
    let read = |line: &str| {
        let [block, character, category, apart] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        Letter {
            block: block.to_owned(),
            character: point(character),
            category: category.to_owned(),
            apart: apart.split(' ').map(point).collect(),
        }
    };
    String::from_utf8(run.stdout).unwrap().lines().map(read).collect()
}

#[test]
fn every_character_of_the_latin_blocks_is_printed() {
    let letters = unicode();
    for letter in &letters {
        let text = letter.character.to_string();
        assert!(is_printed(&text), "{} of {}", letter.character, letter.block);
        let apart: String = letter.apart.iter().collect();
        assert!(is_printed(&apart), "{} with its marks apart", letter.character);
    }
    for block in ["Latin-1 Supplement", "Latin Extended-A", "Vietnamese", "Romanian"] {
        let of = letters.iter().filter(|letter| letter.block == block);
        println!("{block}: {} characters printed", of.count());
    }
    assert_eq!(letters.len(), 96 + 128 + 94 + 4);
    for name in BY_HAND {
        assert!(!is_printed(name), "{name}");
    }
}

/// A drawing is one letter's alone, so that what a card shows can be read back; and a letter has the marks
/// that Unicode says: as many strokes more as marks have, upon the plain letter's own.
#[test]
fn every_letter_reads_back_and_stands_on_its_plain_letter() {
    let mut marked = 0;
    for letter in unicode().iter().filter(|letter| letter.category.starts_with('L')) {
        let own = glyph(Hand::Manuscript, letter.character);
        let own = own.unwrap_or_else(|| panic!("no card has {}", letter.character));
        assert_eq!(glyph_of(own.strokes), Some((Hand::Manuscript, own)), "{}", letter.character);
        if let [first, marks @ ..] = &letter.apart[..]
            && !marks.is_empty()
        {
            marked += 1;
            let plain = glyph(Hand::Manuscript, *first).unwrap();
            // The dot of an i may give way.
            let kept = plain.strokes.iter().filter(|stroke| own.strokes.contains(stroke)).count();
            assert!(kept + usize::from("ij".contains(*first)) >= plain.strokes.len());
            assert!(own.strokes.len() >= kept + marks.len(), "{}", letter.character);
            assert_eq!(own.width, plain.width);
        }
    }
    println!("{marked} letters with marks");
    assert!(marked > 250);
    // Book print too, for names that are typed in capitals.
    for letter in ['É', 'Ł', 'Ș', 'Ö', 'Ñ', 'Ø', 'Đ'] {
        let own = glyph(Hand::Book, letter).unwrap();
        assert_eq!(glyph_of(own.strokes), Some((Hand::Book, own)));
    }
}

/// The first thing that stands in nobody's way: a leaf-green dot.
const PICTURE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 100 100\"><circle cx=\"50\" \
                       cy=\"50\" r=\"30\" fill=\"#7a9b6d\"/></svg>";

fn place_cards(names: &[&str]) -> Pdf {
    let card = |name: &&str| PlaceCard {
        name: (*name).to_owned(),
        picture_svg: PICTURE.to_owned(),
        address: "http://127.0.0.1/p#0".to_owned(),
    };
    let cards: Vec<PlaceCard> = names.iter().map(card).collect();
    let bytes = place_cards_pdf("Acorn class", &cards, Paper::A4).unwrap();
    if let Some(folder) = std::env::var_os("HANDROUND_KEEP_PDF") {
        let file = format!("names-{}.pdf", names.len());
        std::fs::write(std::path::Path::new(&folder).join(file), &bytes).unwrap();
    }
    Pdf::of(&bytes).unwrap()
}

#[test]
fn place_cards_spell_every_name_and_keep_it_on_its_card() {
    let pdf = place_cards(&NAMES);
    let mut read = String::new();
    for page in 1..=pdf.pages().unwrap() {
        read += &pdf.words(page).unwrap();
        for (word, [left, _, right, _]) in pdf.boxes(page).unwrap() {
            let wide = (right - left) * 25.4 / 72.0;
            assert!(wide < CARD_WIDTH || word.len() > 30, "{word} is {wide} mm wide");
        }
    }
    for name in NAMES {
        assert!(read.contains(name), "{name} in {read}");
    }
}

/// Where a name of our letters stands, another script has one line across and nothing else.
#[test]
fn a_name_in_another_script_is_a_line_to_write_on() {
    let here = place_cards(&["olo"]);
    let (_, [left, top, right, bottom]) =
        here.boxes(1).unwrap().into_iter().find(|(word, _)| word == "olo").unwrap();
    let mm = |points: f64| points * 25.4 / 72.0;
    let (middle, from, to) = (mm((left + right) / 2.0), mm(top) - 1.0, mm(bottom) + 1.0);
    let usual = here.picture(1, 200).unwrap();
    assert!(usual.lines_across((from + to) / 2.0, (mm(left) - 2.0, mm(right) + 2.0)).len() > 1);
    for name in BY_HAND {
        let pdf = place_cards(&[name]);
        let picture = pdf.picture(1, 200).unwrap();
        for x in [-20.0, -8.0, 0.0, 8.0, 20.0] {
            let lines = picture.lines_down(middle + x, (from, to));
            assert_eq!(lines.len(), 1, "{name} at {x} mm: {lines:?}");
        }
        // Beyond it the card is free, and above it a hand can write.
        assert_eq!(picture.inked((middle - 30.0, from), (3.0, to - from)), 0.0, "{name}");
        assert_eq!(picture.inked((middle - 24.0, from), (48.0, 5.0)), 0.0, "{name}");
    }
}

#[test]
fn a_report_has_a_line_and_the_pictures_word_and_its_text_stays_the_name() {
    let row = |about: &str| Row {
        about: about.to_owned(),
        leads: None,
        of: String::new(),
        bar: None,
        words: "steady".to_owned(),
        count: String::new(),
    };
    let told = Telling {
        title: "Acorn class".to_owned(),
        cautions: vec!["Look with your own eyes first.".to_owned()],
        blocks: vec![
            Block::Rows(BY_HAND.iter().chain(&NAMES).map(|name| row(name)).collect()),
            Block::Text("名前 and José may practise together.".to_owned()),
        ],
    };
    let children: Vec<(String, String)> = BY_HAND
        .iter()
        .chain(&NAMES)
        .zip(THINGS)
        .map(|(name, picture)| ((*name).to_owned(), picture.name()))
        .collect();
    let pdf = telling_pdf(&told_on_paper(&told, &children), "Report", "foot", Paper::A4).unwrap();
    if let Some(folder) = std::env::var_os("HANDROUND_KEEP_PDF") {
        std::fs::write(std::path::Path::new(&folder).join("names-report.pdf"), &pdf).unwrap();
    }
    let words = Pdf::of(&pdf).unwrap().words(1).unwrap();
    for (name, picture) in &children {
        let by_hand = BY_HAND.contains(&name.as_str());
        // Poppler turns text of right to left around, and where it stands among other words.
        let turned: String = name.chars().rev().collect();
        assert!(
            [name, &turned].iter().any(|name| words.contains(name.as_str())),
            "{name}: {words}"
        );
        assert_eq!(words.contains(picture.as_str()), by_hand, "{name}");
        assert_eq!(on_paper(name, picture) == *name, !by_hand);
    }
    assert!(words.contains("名前 (ball) and José may"), "{words}");
}

/// The cards of a class's own deck spell every such name, its initial and its capitals; who is left out is
/// told.
#[test]
fn a_deck_of_the_class_has_names_with_marks() {
    let class: Vec<Classmate> = NAMES
        .iter()
        .chain(&BY_HAND)
        .zip(THINGS)
        .map(|(name, picture)| Classmate { nickname: (*name).to_owned(), picture })
        .collect();
    assert_eq!(left_out(&class), BY_HAND);
    let plan = LessonPlan { skill: Skill::OurClass, ..LessonPlan::for_ages(AgeBand::FiveToSix) };
    let family = family_with(&plan, Material { class: &class, own: None }).unwrap();
    assert_eq!(family.groups.len(), NAMES.len());
    for seed in 0..6 {
        let deck = family.deck(8, Confusables::Allow, DeckId([1; 16]), [seed; 32]).unwrap();
        assert_eq!(check(&deck.sheet(), deck.likeness), Ok(()), "seed {seed}");
        for card in deck.cards.iter().filter(|card| card.face == FaceKind::WordCapitals) {
            let Shown::Print(text) = &card.shown else { panic!("{card:?}") };
            // Source: Unicode's case mapping, as Rust's standard library has it.
            assert!(NAMES.iter().any(|name| name.to_uppercase() == *text), "{text}");
        }
    }
}

/// From the class list to every page and sheet: marks that came apart are whole, and for whom paper has a
/// line is said before it is printed, to the teacher alone.
#[tokio::test]
async fn pages_say_for_whom_paper_has_a_line() {
    const LIST: &str = "nickname,picture\nZoe\u{301},kite\nАня,drum\nBo,pear\nCleo,boot\n";
    let house = House::open().await;
    let lesson = house.make_lesson(LIST).await;
    let ask = async |path: &str| {
        let answer = house.ask_as_teacher(&format!("GET {path}"), b"").await;
        assert_eq!(answer.status, 200, "{path}: {}", String::from_utf8_lossy(&answer.body));
        answer
    };
    let door: DoorView = ask(&format!("/lessons/{lesson}/door")).await.json();
    let names: Vec<&str> = door.children.iter().map(|child| child.name.as_str()).collect();
    assert_eq!(names, ["Zoé", "Аня", "Bo", "Cleo"]);
    assert!(door.by_hand.is_some_and(|said| said.ends_with("for: Аня.")));

    let pack = Pdf::of(&ask(&format!("/lessons/{lesson}/pack.pdf?paper=a4")).await.body).unwrap();
    let words = pack.words(1).unwrap();
    for word in ["Zoé", "Аня (drum)", "Names to write"] {
        assert!(words.contains(word), "{word} in {words}");
    }

    let classes: Vec<ClassLine> = ask("/classes").await.json();
    let report = format!("/classes/{}/report", classes[0].class);
    for (child, line) in [(0, false), (1, true)] {
        let page = ask(&format!("{report}/{child}")).await;
        let page = String::from_utf8(page.body.clone()).unwrap();
        assert_eq!(page.contains("write the name by hand, for: Аня."), line, "{page}");
    }

    let latin = house.make_lesson("nickname\nŁucja\nBo\nCleo\n").await;
    let door: DoorView = ask(&format!("/lessons/{latin}/door")).await.json();
    assert_eq!(door.by_hand, None);
}
