//! Reports in a teacher's words: pictures before numbers, cautions on every page, dates and no ranking.
//! Pages on screen and on paper both come from here.

mod child_page;
mod class_page;

pub use child_page::child_page;
pub use class_page::class_page;

use super::recognition::{Recognition, Steadiness};
use super::stats::Interval;
use super::trend::Lesson;
use super::words::{CAUTIONS, counted};
use crate::date::{MinutesEast, day, time};
use crate::telling::{Bar, Item, Leads, Row, Telling};
use handround_protocol::time::Micros;

/// Which lessons a report is about.
pub struct About<'a> {
    /// The class's name.
    pub class: &'a str,
    /// One lesson by its name and beginning, if only that was asked for.
    pub only: Option<(&'a str, Micros)>,
    /// How many lessons it rests on.
    pub lessons: usize,
    /// Where the teacher is, for the dates.
    pub east: MinutesEast,
}

impl About<'_> {
    fn rests_on(&self) -> String {
        match (self.only, self.lessons) {
            (Some((name, at)), _) => {
                format!("From one lesson: {name}, {}, {}.", day(at, self.east), time(at, self.east))
            }
            (None, 0) => "No lesson of this class is kept.".to_owned(),
            (None, 1) => "From one lesson.".to_owned(),
            (None, more) => format!("From {more} lessons."),
        }
    }
}

fn page(title: &str) -> Telling {
    let cautions = CAUTIONS.iter().map(|line| (*line).to_owned()).collect();
    Telling { title: title.to_owned(), cautions, blocks: Vec::new() }
}

fn bar(kept: usize, chances: usize, interval: Option<Interval>) -> Option<Bar> {
    let Interval { least, greatest } = interval?;
    Some(Bar { least, seen: kept as f64 / chances.max(1) as f64, greatest })
}

/// A line about a child, a skill or a kind of face.
fn row(about: &str, own: &Recognition) -> Row {
    let shown = own.interval.is_some();
    Row {
        about: about.to_owned(),
        leads: None,
        of: String::new(),
        bar: bar(own.kept, own.chances, own.interval),
        words: own.says.unwrap_or(Steadiness::NotSeen).words().to_owned(),
        count: match own.chances {
            0 => String::new(),
            of if shown => format!("{} of {of}", own.kept),
            few => format!("{} so far", counted(few, "chance")),
        },
    }
}

/// A lesson's line in a trend: its day, the time where another lesson has the same day, and its name
/// where that is more than the class's.
fn lesson_row(lesson: &Lesson, all: &[&Lesson], about: &About<'_>, row: Row) -> Row {
    let of = |lesson: &Lesson| day(lesson.at, about.east);
    let (own, mut when) = (of(lesson), of(lesson));
    if all.iter().filter(|other| of(other) == own).count() > 1 {
        when += &format!(", {}", time(lesson.at, about.east));
    }
    let name = if lesson.name == about.class { String::new() } else { lesson.name.clone() };
    Row { about: when, of: name, leads: Some(Leads::Lesson(lesson.lesson)), ..row }
}

fn item(about: &str, says: String) -> Item {
    Item { about: about.to_owned(), says, leads: None }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|letter| letter.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

/// How a bar is read.
const HOW_TO_READ: &str = "Each bar is about how often a matching card was kept, from never on the left to \
    always on the right. The dark mark is what was seen; the green part is what is plausible, so a long one \
    means: too few cards to be sure.";
/// What a trend does not say.
const HOW_TO_READ_LESSONS: &str = "Bars that overlap may well be the same. Other cards, other \
    neighbours or a tired day change them too.";
