//! What pages say: of a simulated class over two lessons, and of a child whose speed is nobody's
//! business.

use super::recovery::{Child, Lesson, lesson};
use crate::date::MinutesEast;
use crate::evidence::telling::{About, child_page, class_page};
use crate::evidence::{
    ClassReport, Lesson as Held, LessonPlayed, Played, read, report, suggest, together_why,
};
use crate::telling::{Block, Leads, Row, Telling};
use handround_protocol::id::LessonId;
use handround_protocol::time::Micros;

const CHILDREN: [&str; 3] = ["Ada", "Bo", "Cleo"];
const CLASS: &str = "Acorn class";
const DAY: u64 = 24 * 60 * 60;

/// Two lessons a week apart; the second child is unhurried in the second one.
fn class() -> ClassReport {
    let played = |number: u64| {
        let table = [Child::Plain, Child::Plain, Child::Grabby];
        // The same deck in both, since the deck follows from the seed's rest by 200.
        played(number, &lesson(&table, 40, 1 + 200 * number))
    };
    report(&[played(0), played(1)])
}

fn played(number: u64, lesson: &Lesson) -> LessonPlayed {
    let of = |(place, name): (usize, &&str)| Played {
        name: (*name).to_owned(),
        unhurried: place == 1 && number == 1,
        decisions: read(&lesson.journal)
            .into_iter()
            .filter(|one| usize::from(one.seat.0) == place)
            .map(|one| (one, lesson.faces.clone()))
            .collect(),
    };
    LessonPlayed {
        lesson: Held {
            lesson: LessonId([number as u8; 16]),
            name: CLASS.to_owned(),
            at: Micros::from_s(20_783 * DAY + number * 7 * DAY),
        },
        children: CHILDREN.iter().enumerate().map(of).collect(),
    }
}

fn about() -> About<'static> {
    About { class: CLASS, only: None, lessons: 2, east: MinutesEast::default() }
}

/// The rows under a heading, and all words of a page.
fn rows<'a>(told: &'a Telling, heading: &str) -> Vec<&'a Row> {
    let at = told.blocks.iter().position(|one| *one == Block::Heading(heading.to_owned()));
    let rest = told.blocks.iter().skip(at.unwrap_or_else(|| panic!("no {heading}")) + 1);
    let own = rest.take_while(|one| !matches!(one, Block::Heading(_)));
    own.filter_map(|one| if let Block::Rows(rows) = one { Some(rows) } else { None })
        .flatten()
        .collect()
}

#[test]
fn a_trend_has_a_bar_and_a_day_for_each_lesson_and_no_ranking() {
    let found = class();
    let days = ["26 November 2026", "3 December 2026"];
    let class = class_page(&about(), &found, None);
    for told in [
        (&class, "The class lesson by lesson"),
        (&child_page(&about(), &found.children[0]), "Lesson by lesson"),
    ] {
        let rows = rows(told.0, told.1);
        let about: Vec<&str> = rows.iter().map(|row| row.about.as_str()).collect();
        assert_eq!(about, days);
        assert!(rows.iter().all(|row| row.bar.is_some()), "{rows:?}");
        let first = Some(Leads::Lesson(LessonId([0; 16])));
        assert_eq!(rows[0].leads, first);
    }
    // The class's children stand in the order of the list.
    let names: Vec<&str> =
        rows(&class, "Children: matches recognised").iter().map(|row| row.about.as_str()).collect();
    assert_eq!(names, CHILDREN);
    // What is said of a lesson is what a report of it alone says.
    let one = found.children[0].trend[0].skills[0].recognition.chances;
    let both = found.children[0].skills[0].recognition.chances;
    assert!(one > 0 && one < both);
}

/// Everything that is told, and what comes next, follows from the journal's lines alone.
#[test]
fn replayed_journals_tell_the_same_pages_trend_and_suggestions() {
    let table = [Child::Confuses, Child::Plain, Child::Grabby];
    let lessons = [lesson(&table, 30, 1), lesson(&table, 30, 201)];
    let told = |lessons: &[Lesson]| {
        let all: Vec<LessonPlayed> = (0..).zip(lessons).map(|(at, own)| played(at, own)).collect();
        let found = report(&all);
        let group: Vec<_> = found.children.iter().collect();
        let latest = found.children[0].latest.as_ref().map(|(_, deck)| &**deck);
        let next = suggest(&group, latest, |_| Some(()));
        let pages: Vec<Telling> =
            found.children.iter().map(|one| child_page(&about(), one)).collect();
        let class = class_page(&about(), &found, None);
        (serde_json::to_string(&found).unwrap(), class, pages, next, together_why(&group))
    };
    let again = |own: &Lesson| {
        let lines = own.journal.iter().map(|entry| serde_json::to_string(entry).unwrap());
        let journal = lines.map(|line| serde_json::from_str(&line).unwrap()).collect();
        Lesson { faces: own.faces.clone(), journal, reports: Vec::new() }
    };
    let replayed: Vec<Lesson> = lessons.iter().map(again).collect();
    let (first, second) = (told(&lessons), told(&replayed));
    assert_eq!(first, second);
    assert!(first.0.contains("\"trend\"") && first.3.0.is_some());
}

#[test]
fn two_lessons_of_one_day_differ_in_time_and_name() {
    let table = [Child::Plain, Child::Plain, Child::Plain];
    let own = lesson(&table, 20, 1);
    let at = |minutes: u64, name: &str| {
        let mut one = played(0, &own);
        one.lesson.at = Micros::from_s(20_783 * DAY + minutes * 60);
        one.lesson.name = name.to_owned();
        one
    };
    let found = report(&[at(545, CLASS), at(785, "After lunch"), at(24 * 60, CLASS)]);
    let names: Vec<_> = found.trend.iter().map(|look| look.lesson.name.as_str()).collect();
    assert_eq!(names, [CLASS, "After lunch", CLASS]);
    for told in [class_page(&about(), &found, None), child_page(&about(), &found.children[0])] {
        let heading = |block: &Block| match block {
            Block::Heading(text) if text.to_lowercase().contains("lesson by lesson") => {
                Some(text.clone())
            }
            _ => None,
        };
        let heading = told.blocks.iter().find_map(heading).unwrap();
        let rows = rows(&told, &heading);
        let said: Vec<_> = rows.iter().map(|row| (row.about.as_str(), row.of.as_str())).collect();
        assert_eq!(
            said,
            [
                ("26 November 2026, 9:05", ""),
                ("26 November 2026, 13:05", "After lunch"),
                ("27 November 2026", "")
            ]
        );
    }
}

#[test]
fn a_lesson_with_too_little_says_so() {
    let table = [Child::Plain, Child::Plain, Child::Plain];
    let found = report(&[played(0, &lesson(&table, 40, 1)), played(1, &lesson(&table, 2, 201))]);
    let told = child_page(&about(), &found.children[0]);
    let rows = rows(&told, "Lesson by lesson");
    let last = rows.last().unwrap();
    assert_eq!((last.bar, last.words.as_str()), (None, "too little to say"));
    // How much there was, and nothing of how it went.
    assert!(last.count.ends_with(" so far") && !last.count.contains(" of "), "{}", last.count);
    // Nor is it taken for a finding that nothing stands out.
    assert!(format!("{told:?}").contains("That says little yet"));
}

#[test]
fn speed_is_told_of_nobody_who_has_a_support_of_pace_in_any_lesson() {
    let found = class();
    let speaks = |child: usize| {
        let text = format!("{:?}", child_page(&about(), &found.children[child]));
        ["decided in ", "Noticed after", "What do you see first?"].map(|words| text.contains(words))
    };
    assert!(speaks(0).contains(&true));
    assert_eq!(speaks(1), [false; 3]);
    let json = serde_json::to_value(&found).unwrap();
    let child = &json["children"][1];
    assert!(child["fours"]["seconds"].is_null() && child["slowest_kind"].is_null());
    assert!(child["kinds"].as_array().unwrap().iter().all(|kind| kind["seconds"].is_null()));
}

#[test]
fn a_childs_page_tells_of_recognition_tracing_and_pairs_of_faces() {
    let told = child_page(&about(), &class().children[0]);
    let text = format!("{told:?}");
    for must in [
        "Tells matching from not matching cards well.",
        "lately recognised",
        "One way of showing matched with another",
        "Two things to ask",
        "Four alike",
    ] {
        assert!(text.contains(must), "{must}: {text}");
    }
    // Below eight chances by number alone.
    assert!(text.contains("too little to say, fewer than 8 chances each"), "{text}");
    let pairs = rows(&told, "One way of showing matched with another");
    assert!(pairs.iter().all(|row| row.bar.is_some() && row.about.contains(" with ")));
}
