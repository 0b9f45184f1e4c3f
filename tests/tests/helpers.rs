//! Helpers on faces and naming pictures: drawings against what they help with, Spanish words against
//! outside lists, and whole games in which nobody but the supported child is told anything of it.
#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::codec::Codec;
use handround_protocol::face::{FaceKind, FaceSheet};
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{DeckId, FaceIndex, PupilIndex};
use handround_protocol::message::{BoardSays, SeatNews, ToClient};
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::view::{BoardView, Helper, LessonPlan, Phase};
use handround_server::deck::shown::Shown;
use handround_server::deck::{face, family_of, words};
use handround_server::game::{Event, Table};
use handround_tests::class::{Class, class_list, journal, plan, watch_wall};
use handround_tests::house::House;
use handround_tests::player::is_over;
use handround_tests::quick_clock;
use handround_tests::recorder::Tape;
use std::collections::BTreeSet;

/// Skills whose faces have helpers or pictures.
const SKILLS: [Skill; 7] = [
    Skill::Numbers,
    Skill::ShortVowelWords,
    Skill::WordFamilies,
    Skill::Rhymes,
    Skill::FirstSounds,
    Skill::SightWords,
    Skill::Shapes,
];

fn sheet(skill: Skill, seed: u8) -> FaceSheet {
    let plan = LessonPlan { skill, number_max: 20, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
    let family = family_of(&plan).unwrap();
    let groups = family.groups_max(Confusables::Allow);
    family.deck(groups, Confusables::Allow, DeckId([1; 16]), [seed; 32]).unwrap().sheet()
}

/// The strokes of all letters and digits, in the order in which they are drawn.
fn strokes(svg: &str) -> Vec<String> {
    let mut found = Vec::new();
    for group in svg.split(r#"<g data-part="glyph""#).skip(1) {
        let group = group.split("</g>").next().unwrap();
        found.extend(
            group.split(r#" d=""#).skip(1).map(|d| d.split('"').next().unwrap().to_owned()),
        );
    }
    found
}

#[test]
fn a_helper_adds_to_the_card_and_takes_nothing_away() {
    let mut seen = BTreeSet::new();
    for (skill, seed) in SKILLS.into_iter().flat_map(|skill| (0..3).map(move |seed| (skill, seed)))
    {
        let sheet = sheet(skill, seed);
        for helped in &sheet.with_helper {
            let face = &sheet.faces[usize::from(helped.face.0)];
            let (plain, with) = (strokes(&face.svg), strokes(&helped.svg));
            let what =
                format!("{skill:?} seed {seed}: {:?} on {}", helped.helper, face.label_after);
            assert!(!plain.is_empty() && with.starts_with(&plain), "{what}");
            assert_ne!(helped.svg, face.svg, "{what}");
            let xml = roxmltree::Document::parse(&helped.svg).unwrap();
            assert_eq!(xml.root_element().attribute("viewBox"), Some("0 0 250 350"));
            // The card is upright by the same mark, which no helper covers.
            assert!(helped.svg.contains("M125 332L125 319"), "{what}");
            seen.insert(format!("{:?}", helped.helper));
        }
    }
    assert_eq!(seen.len(), face::HELPERS.len(), "{seen:?}");
}

#[test]
fn the_dots_under_a_numeral_are_as_many_as_it_says() {
    for value in 1..=20 {
        let svg = face::draw_helped(Helper::DotsUnder, FaceKind::Numeral, &Shown::Count(value));
        assert_eq!(svg.unwrap().matches(r#"data-part="helper""#).count(), usize::from(value));
    }
    let none = |kind, value| face::draw_helped(Helper::DotsUnder, kind, &Shown::Count(value));
    assert!(none(FaceKind::Numeral, 0).is_none() && none(FaceKind::Numeral, 21).is_none());
    assert!(none(FaceKind::TenFrame, 5).is_none(), "it has its dots already");
}

/// Which letters spell the first sound: common practice, no source.
#[test]
fn the_letters_of_the_first_sound_are_marked_and_odd_spellings_are_left_alone() {
    let table = "ship 2|chin 2|thin 2|the 2|when 2|who 2|knock 2|write 2|cat 1|kite 1|apple 1|egg 1|\
                 sun 1|jump 1|yes 1|one -|give 1|eight -|our -|use -|unicorn -";
    for row in table.split('|') {
        let (word, marked) = row.split_once(' ').unwrap();
        let found = words::first_sound_letters(word);
        let expected = marked.parse().ok();
        // A word that we have no sounds for has no mark either.
        let unknown = words::pronunciations(word).is_empty();
        assert!(found == expected || unknown && found.is_none(), "{word}: {found:?}");
    }
}

/// Source: Unicode CLDR's Spanish emoji names through PyPI emoji 2.16.0, and PyPI num2words 0.5.14, run
/// by `tests/outside/spanish_words.py`. Words marked `memory` stand in neither.
#[test]
fn spanish_words_are_those_of_outside_lists() {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/outside/spanish_words.py");
    let run = std::process::Command::new("python3").arg(script).output();
    let run = run.expect("python3 cannot be started; the Spanish words cannot be checked");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let lines = String::from_utf8(run.stdout).unwrap();
    let lists: Vec<(&str, &str)> = lines.lines().filter_map(|l| l.split_once('\t')).collect();
    let has = |name: &str, word: &str| name.split(' ').any(|part| part == word);
    let (mut checked, mut memory) = (0, 0);
    for (english, spanish, source) in words::spanish_words() {
        match source {
            "memory" => memory += 1,
            "CLDR" | "num2words" => {
                let named = |(en, es): &&(&str, &str)| has(en, english) && has(es, spanish);
                assert!(lists.iter().any(|both| named(&both)), "{english}: {spanish}");
                checked += 1;
            }
            other => panic!("{english} has the source {other}"),
        }
        let drawn = Shown::Print(english.to_owned());
        let svg = face::draw_helped(Helper::SpanishWord, FaceKind::Word, &drawn);
        assert!(svg.is_some(), "the alphabet cannot write {spanish}");
    }
    println!("Spanish words: {checked} checked, {memory} from memory");
    assert!(checked >= 60 && memory <= checked / 2);
}

#[test]
fn every_picture_is_named_once_and_the_order_tells_nothing_of_matches() {
    for skill in SKILLS {
        let sheet = sheet(skill, 4);
        let words: Vec<&str> = sheet.naming.iter().map(|named| named.word.as_str()).collect();
        assert!(words.is_sorted(), "by the alphabet: {words:?}");
        // A word with two pictures is named under both.
        let drawn: BTreeSet<&str> = sheet.naming.iter().map(|named| named.svg.as_str()).collect();
        assert_eq!(drawn.len(), words.len());
        let pictures = [FaceKind::Picture, FaceKind::Emoji, FaceKind::OtherPicture];
        let pictured = sheet.faces.iter().filter(|face| pictures.contains(&face.kind));
        let pictured: BTreeSet<&str> = pictured.map(|face| face.label_after.as_str()).collect();
        assert_eq!(drawn.len(), pictured.len(), "{skill:?}");
        let said = pictured.iter().map(|label| label.split_once(", ").unwrap().1);
        assert_eq!(words.iter().copied().collect::<BTreeSet<_>>(), said.collect(), "{skill:?}");
        for named in &sheet.naming {
            let face = &sheet.faces[usize::from(named.face.0)];
            assert!(face.label_after.ends_with(&named.word));
            assert!(!face.label.contains(&named.word), "not during play");
            assert!(!strokes(&named.svg).is_empty(), "{} is written", named.word);
        }
    }
}

// --- Whole games --------------------------------------------------------------------------------

fn support() -> Support {
    let given = |helper| HelperGiven { helper, held: true, right_uses: 0 };
    Support {
        helpers: vec![given(Helper::DotsUnder), given(Helper::LargerPrint)],
        unhurried: true,
        head_start: true,
        missed_four: None,
    }
}

/// The helpers in one message to a seat.
fn helpers(message: &ToClient) -> Vec<Helper> {
    let hand = match message {
        ToClient::Seat { news: SeatNews::Hand(Some(hand)), .. } => hand,
        ToClient::Seat { news: SeatNews::Snapshot(view), .. } => match &view.hand {
            Some(hand) => hand,
            None => return Vec::new(),
        },
        _ => return Vec::new(),
    };
    hand.cards.iter().chain(&hand.considering).filter_map(|card| card.helper).collect()
}

#[test]
fn in_a_whole_game_only_the_supported_child_sees_helpers_and_only_its_moves_are_marked() {
    quick_clock::run(async {
        let house = House::open_on_disk(51).await;
        let mut class =
            Class::make(*house, &class_list(4), plan(HouseRule::Stay { rounds: 2 }, 4)).await;
        let mut players = class.players(4, &[Codec::Json], 51).await;
        let wall_tape = Tape::default();
        let wall = tokio::spawn(watch_wall(*house, class.wall(), Codec::Json, wall_tape.clone()));
        let given = |board: &BoardView| supported(board) == 1;
        let pupil = PupilIndex(2);
        class.wish(BoardSays::Support { pupil, support: support() }, given).await;
        let board = class.look(|_| true).await;
        let seats = &board.tables[0].seats;
        let place = seats.iter().position(|seat| seat.pupil == Some(pupil)).unwrap();
        assert_eq!(seats[place].support, Some(support()));
        class.start().await;
        join_all(players.iter_mut().map(|player| player.play_until(is_over))).await;
        let entries = journal(&*house.store, class.table()).await;
        house.close().await;
        wall.await.unwrap();

        for (number, player) in players.iter().enumerate() {
            let shown = player.heard.iter().flat_map(|heard| helpers(&heard.message)).count();
            assert_eq!(shown > 0, number == 2, "pupil {number} saw {shown} helpers");
            if number != 2 {
                let text = String::from_utf8_lossy(&player.tape.bytes()).into_owned();
                for word in
                    ["DotsUnder", "LargerPrint", "unhurried", "head_start", "right_uses", "support"]
                {
                    assert!(!text.contains(word), "pupil {number} was told of {word}");
                }
            }
        }
        let text = String::from_utf8_lossy(&wall_tape.bytes()).into_owned();
        assert!(text.contains("Table 1") && !text.contains("support") && !text.contains("Dots"));

        let mut helped = [0_usize; 4];
        for entry in &entries {
            if let Event::Moved { seat, marks, .. } = &entry.event {
                helped[usize::from(seat.0)] += usize::from(marks.helped);
            }
        }
        for (seat, helped) in helped.into_iter().enumerate() {
            assert_eq!(helped > 0, seat == place, "seat {seat}: {helped} moves marked");
        }
        // The journal alone gives the state back, the uses counted so far among it.
        let mut replayed = Table::empty();
        entries.iter().for_each(|entry| replayed.apply(entry));
        let seat = handround_protocol::id::SeatIndex(place as u8);
        let uses = replayed.support(seat).unwrap().helpers[0].right_uses;
        let counted = entries.iter().filter(|entry| {
            matches!(&entry.event, Event::Moved { seat: own, marks, .. }
                if *own == seat && marks.right_use == Some(Helper::DotsUnder))
        });
        let taken_back =
            entries.iter().filter(|entry| matches!(entry.event, Event::Undone { .. })).count();
        assert_eq!(taken_back, 0);
        assert_eq!(usize::from(uses), counted.count());
    });
}

#[test]
fn support_survives_a_restart() {
    quick_clock::run(async {
        let store: std::sync::Arc<dyn handround_server::journal::Store> =
            std::sync::Arc::new(handround_server::journal::MemoryStore::new());
        let house = House::over(store.clone(), 52).await;
        let class =
            Class::make(*house, &class_list(3), plan(HouseRule::Stay { rounds: 1 }, 3)).await;
        let pupil = PupilIndex(1);
        let wish = BoardSays::Support { pupil, support: support() };
        class.wish(wish, |board| supported(board) == 1).await;
        house.close().await;
        let house = House::over(store, 53).await;
        let class = Class { door: *house, ..class };
        let board = class.look(|board| !board.tables.is_empty()).await;
        let own = board.tables[0].seats.iter().find(|seat| seat.pupil == Some(pupil)).unwrap();
        assert_eq!(own.support, Some(support()));
        house.close().await;
    });
}

#[test]
fn pictures_are_named_before_the_first_deal_alone_and_a_child_who_dawdles_holds_up_for_a_minute() {
    quick_clock::run(async {
        let house = House::open_on_disk(54).await;
        let first = plan(HouseRule::Stay { rounds: 1 }, 3);
        let mut class = Class::make(*house, &class_list(3), first.clone()).await;
        let rhymes = LessonPlan { skill: Skill::Rhymes, groups: 5, ..first };
        let deck = class.board.tables[0].deck;
        let wish = BoardSays::Plan(rhymes);
        class.board = class.wish(wish, |board| board.tables[0].deck != deck).await;
        let mut players = class.players(3, &[Codec::Json], 54).await;
        class.start().await;
        let began = tokio::time::Instant::now();
        // Two pass the pictures over, as brains do; one does nothing at all.
        let mut idle = players.pop().unwrap();
        let playing = players
            .iter_mut()
            .map(|player| player.play_until(|view| view.table.phase == Phase::Playing));
        let (dealt, ()) = tokio::join!(join_all(playing), async {
            while idle.view.as_ref().is_none_or(|view| view.hand.is_none()) {
                idle.next().await.unwrap();
            }
        });
        assert!(dealt.into_iter().all(|one| one.is_ok()));
        let waited = began.elapsed();
        assert!((58..70).contains(&waited.as_secs()), "the deal came after {waited:?}");
        players.push(idle);
        join_all(players.iter_mut().map(|player| player.play_until(is_over))).await;
        class.start().await;
        let entries = journal(&*house.store, class.table()).await;
        let count = |wanted: &dyn Fn(&Event) -> bool| {
            entries.iter().filter(|entry| wanted(&entry.event)).count()
        };
        assert_eq!(count(&|event| matches!(event, Event::NamingBegan)), 1);
        assert_eq!(count(&|event| matches!(event, Event::Named { .. })), 2);
        assert_eq!(count(&|event| matches!(event, Event::GameStarted { .. })), 2);
        house.close().await;
    });
}

/// How many seats of the first table have helpers.
fn supported(board: &BoardView) -> usize {
    let seats = board.tables[0].seats.iter().filter_map(|seat| seat.support.as_ref());
    seats.filter(|support| !support.helpers.is_empty()).count()
}

/// Faces that the sheet gives helpers to, by the index that views use.
#[test]
fn helped_faces_stand_on_the_sheet() {
    for skill in SKILLS {
        let sheet = sheet(skill, 9);
        let last = FaceIndex(u16::try_from(sheet.faces.len() - 1).unwrap());
        assert!(sheet.with_helper.iter().all(|helped| helped.face <= last));
        let mut pairs: Vec<_> = sheet
            .with_helper
            .iter()
            .map(|helped| (helped.face, format!("{:?}", helped.helper)))
            .collect();
        let all = pairs.len();
        pairs.dedup();
        assert_eq!(pairs.len(), all, "each helper once a face");
    }
}
