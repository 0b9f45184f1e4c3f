//! The class on one page.

use super::{About, HOW_TO_READ, HOW_TO_READ_LESSONS, bar, item, lesson_row, page, row};
use crate::evidence::recognition::Steadiness;
use crate::evidence::report::ClassReport;
use crate::evidence::trend::{ClassSkill, Lesson};
use crate::evidence::words::{QUESTIONS, counted};
use crate::telling::{Block, Item, Leads, Row, Telling};
use handround_protocol::classes::NextTold;
use std::collections::BTreeMap;

/// The class; `next` is what could come next, which rests on all lessons.
pub fn class_page(about: &About<'_>, found: &ClassReport, next: Option<&NextTold>) -> Telling {
    let mut told = page(about.class);
    let out = &mut told.blocks;
    let asks = QUESTIONS.map(|line| format!("“{line}”")).join(" ");
    out.push(Block::Text(format!("Two things to ask any child: {asks}")));
    out.push(Block::Text(about.rests_on()));
    out.push(Block::Text(HOW_TO_READ.to_owned()));
    out.push(Block::Heading("Children: matches recognised".to_owned()));
    let mut rows = Vec::new();
    for (place, child) in found.children.iter().enumerate() {
        let leads = Some(Leads::Child(place));
        if child.skills.is_empty() {
            rows.push(Row { leads: leads.clone(), ..row(&child.name, &Default::default()) });
        }
        for skill in &child.skills {
            let (leads, of) = (leads.clone(), skill.skill.clone());
            rows.push(Row { leads, of, ..row(&child.name, &skill.recognition) });
        }
    }
    out.push(Block::Rows(rows));
    trend(about, found, out);
    out.push(Block::Heading("Taken for each other by several".to_owned()));
    let shared = found.shared.iter().map(|shared| {
        let (one, other) = &shared.items;
        item(&format!("{one} and {other}"), shared.children.join(", "))
    });
    let shared: Vec<Item> = shared.collect();
    out.push(if shared.is_empty() {
        Block::Text("Nothing that two children or more share.".to_owned())
    } else {
        Block::Items(shared)
    });
    out.push(Block::Heading("What could come next".to_owned()));
    match next {
        Some(next) => suggestions(next, out),
        None => out.push(Block::Items(vec![Item {
            about: String::new(),
            says: "Suggestions rest on all lessons.".to_owned(),
            leads: Some(("See all lessons".to_owned(), Leads::AllLessons)),
        }])),
    }
    told
}

/// The class lesson by lesson, deck by deck.
fn trend(about: &About<'_>, found: &ClassReport, out: &mut Vec<Block>) {
    if found.trend.len() < 2 {
        return;
    }
    let mut by_skill: BTreeMap<&str, Vec<Row>> = BTreeMap::new();
    let all: Vec<&Lesson> = found.trend.iter().map(|look| &look.lesson).collect();
    for look in &found.trend {
        for own in &look.skills {
            let row = lesson_row(&look.lesson, &all, about, class_row(own));
            by_skill.entry(&own.skill).or_default().push(row);
        }
    }
    out.push(Block::Heading("The class lesson by lesson".to_owned()));
    out.push(Block::Text(HOW_TO_READ_LESSONS.to_owned()));
    for (skill, rows) in by_skill {
        out.push(Block::Under(skill.to_owned()));
        out.push(Block::Rows(rows));
    }
}

fn class_row(own: &ClassSkill) -> Row {
    let children = match own.children {
        1 => "one child".to_owned(),
        more => format!("{more} children"),
    };
    let shown = own.interval.is_some();
    let words = if shown { "matches recognised" } else { Steadiness::TooLittle.words() };
    Row {
        about: String::new(),
        leads: None,
        of: String::new(),
        bar: bar(own.kept, own.chances, own.interval),
        words: words.to_owned(),
        count: if shown {
            format!("{} of {}, {children}", own.kept, own.chances)
        } else {
            format!("{} so far, {children}", counted(own.chances, "chance"))
        },
    }
}

fn suggestions(next: &NextTold, out: &mut Vec<Block>) {
    out.push(Block::Text("Suggestions only; you decide.".to_owned()));
    if let Some(apart) = &next.apart {
        out.push(Block::Text(apart.clone()));
    }
    let group = |(place, group): (usize, &handround_protocol::classes::NextGroup)| {
        let words = "See the deck in the workshop".to_owned();
        Item {
            about: group.names.join(", "),
            says: group.why.join(" "),
            leads: group.deck.is_some().then_some((words, Leads::Deck(place))),
        }
    };
    let mut items: Vec<Item> = next.groups.iter().enumerate().map(group).collect();
    items.push(Item {
        leads: Some(("Take these groups to the groups page".to_owned(), Leads::Groups)),
        ..Item::default()
    });
    out.push(Block::Items(items));
}
