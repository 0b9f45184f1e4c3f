//! A page in plain blocks, written once: `web` shows it on screen, `deck::print` on paper, so that both
//! say the same. It knows words, bars and where a line leads, not what they are about.

use handround_protocol::id::LessonId;

/// A page.
#[derive(Clone, Debug, PartialEq)]
pub struct Telling {
    /// Its heading.
    pub title: String,
    /// How to read it; stands in a frame.
    pub cautions: Vec<String>,
    /// What it says.
    pub blocks: Vec<Block>,
}

/// A part of a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A smaller heading.
    Under(String),
    /// A paragraph.
    Text(String),
    /// Items, each in a line or more.
    Items(Vec<Item>),
    /// Lines with a bar each.
    Rows(Vec<Row>),
    /// Short names, one behind the other.
    Names(Vec<String>),
}

/// Where a line leads on screen. Paper leads nowhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leads {
    /// To a child's own page, by its line in the class list.
    Child(usize),
    /// To the same page about one lesson.
    Lesson(LessonId),
    /// To a group's deck in the workshop.
    Deck(usize),
    /// To the groups page.
    Groups,
    /// To the same page about all lessons.
    AllLessons,
}

/// An item of a list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Item {
    /// What it is about, in bold; may be empty.
    pub about: String,
    /// What is said of it.
    pub says: String,
    /// Words to tap, and where they lead.
    pub leads: Option<(String, Leads)>,
}

/// A line with a bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is about.
    pub about: String,
    /// Where its name leads.
    pub leads: Option<Leads>,
    /// Of what, such as a deck's name; may be empty.
    pub of: String,
    /// The bar; missing where too little is known.
    pub bar: Option<Bar>,
    /// In words.
    pub words: String,
    /// The numbers behind it; may be empty.
    pub count: String,
}

/// A share from 0 to 1: the least and the greatest that are plausible, and what was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bar {
    /// Least plausible.
    pub least: f64,
    /// Seen.
    pub seen: f64,
    /// Greatest plausible.
    pub greatest: f64,
}

impl Telling {
    /// Whether any of its texts is so.
    pub fn says(&self, so: impl Fn(&str) -> bool) -> bool {
        let found = std::cell::Cell::new(false);
        let _ = self.reworded(&|text| {
            found.set(found.get() || so(text));
            String::new()
        });
        found.get()
    }

    /// The same page with every text put another way.
    #[must_use]
    pub fn reworded(&self, put: &dyn Fn(&str) -> String) -> Telling {
        let all = |texts: &[String]| texts.iter().map(|text| put(text)).collect();
        let block = |block: &Block| match block {
            Block::Heading(text) => Block::Heading(put(text)),
            Block::Under(text) => Block::Under(put(text)),
            Block::Text(text) => Block::Text(put(text)),
            Block::Names(names) => Block::Names(all(names)),
            Block::Items(items) => Block::Items(
                items
                    .iter()
                    .map(|item| Item {
                        about: put(&item.about),
                        says: put(&item.says),
                        leads: item.leads.clone(),
                    })
                    .collect(),
            ),
            Block::Rows(rows) => Block::Rows(
                rows.iter()
                    .map(|row| Row {
                        about: put(&row.about),
                        of: put(&row.of),
                        words: put(&row.words),
                        count: put(&row.count),
                        ..row.clone()
                    })
                    .collect(),
            ),
        };
        Telling {
            title: put(&self.title),
            cautions: all(&self.cautions),
            blocks: self.blocks.iter().map(block).collect(),
        }
    }
}
