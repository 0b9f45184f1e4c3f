//! One child on one page.

use super::{About, HOW_TO_READ, HOW_TO_READ_LESSONS, bar, capital, item, lesson_row, page, row};
use crate::evidence::bounds::{CHANCES_MIN, DECISIONS_FOR_NINE_OF_TEN};
use crate::evidence::recognition::Steadiness;
use crate::evidence::report::{ChildReport, Fours, ItemLine, KindLine};
use crate::evidence::trend::Lesson;
use crate::evidence::words::{counted, lately, questions};
use crate::telling::{Block, Row, Telling};
use std::collections::BTreeMap;

/// A child.
pub fn child_page(about: &About<'_>, child: &ChildReport) -> Telling {
    let mut told = page(&child.name);
    let out = &mut told.blocks;
    out.push(Block::Heading("Two things to ask".to_owned()));
    out.push(Block::Items(questions(child).map(|ask| item("", ask)).into()));
    let decisions = counted(child.decisions, "decision");
    out.push(Block::Text(format!(
        "{} It rests on {decisions} of the child’s own.",
        about.rests_on()
    )));
    out.push(Block::Text(HOW_TO_READ.to_owned()));
    items(child, out);
    confusions(child, out);
    trend(about, child, out);
    matching(child, out);
    out.push(Block::Heading("Ways of showing".to_owned()));
    out.push(Block::Rows(child.kinds.iter().map(kind_row).collect()));
    pairs(child, out);
    out.push(Block::Heading("Four alike".to_owned()));
    out.push(Block::Text(fours(&child.fours)));
    if !child.excluded.is_empty() {
        out.push(Block::Heading(
            "Left out, since it may not show what the child can do".to_owned(),
        ));
        let left = child.excluded.iter();
        let left = left.map(|left| item("", format!("{} {}", left.count, left.words)));
        out.push(Block::Items(left.collect()));
    }
    if child.speed_hidden {
        let why = "Speed is not shown: this child has a support of pace or movement.";
        out.push(Block::Text(why.to_owned()));
    }
    told
}

fn fours(own: &Fours) -> String {
    let seen = own.noticed + own.missed;
    if seen + own.broken == 0 {
        return "None came up.".to_owned();
    }
    let mut says = format!("Noticed without help {} of {}.", own.noticed, counted(seen, "time"));
    if let Some([_, middle, _]) = own.seconds {
        says += &format!(" Noticed after about {middle:.0} s.");
    }
    if own.broken > 0 {
        says += &format!(" Broken up {}.", counted(own.broken, "time"));
    }
    says
}

/// The items by what is said of them.
fn items(child: &ChildReport, out: &mut Vec<Block>) {
    for says in
        [Steadiness::Often, Steadiness::NotYetSteady, Steadiness::TooLittle, Steadiness::NotSeen]
    {
        let mut own: Vec<&ItemLine> = child.items.iter().filter(|item| item.says == says).collect();
        // Numbers in their order, then words in theirs.
        own.sort_by_key(|item| (item.title.parse().unwrap_or(u32::MAX), &item.title));
        if own.is_empty() {
            continue;
        }
        out.push(Block::Heading(capital(says.words())));
        out.push(Block::Text(says.rests_on()));
        out.push(if own.iter().any(|item| item.interval.is_some()) {
            Block::Rows(own.into_iter().map(|item| item_row(item, child)).collect())
        } else {
            Block::Names(own.into_iter().map(|item| item.title.clone()).collect())
        });
    }
}

/// An item that is recognised where it is met may still be taken for another.
fn item_row(item: &ItemLine, child: &ChildReport) -> Row {
    let kept = item.kept.unwrap_or(0);
    let other = child.confusions.iter().find_map(|found| match &found.items {
        (one, other) if *one == item.title => Some(other),
        (one, other) if *other == item.title => Some(one),
        _ => None,
    });
    Row {
        about: item.title.clone(),
        leads: None,
        of: other.map_or_else(String::new, |other| format!("taken for {other} at times")),
        bar: bar(kept, item.chances, item.interval),
        words: item.known.map_or("", lately).to_owned(),
        count: item.kept.map_or_else(String::new, |kept| format!("{kept} of {}", item.chances)),
    }
}

fn confusions(child: &ChildReport, out: &mut Vec<Block>) {
    out.push(Block::Heading("Taken for each other".to_owned()));
    if child.confusions.is_empty() {
        let few = child.decisions < DECISIONS_FOR_NINE_OF_TEN;
        let but = format!(
            " That says little yet: it takes some {DECISIONS_FOR_NINE_OF_TEN} decisions, which is weeks of \
             lessons, until most of what is there has shown."
        );
        let but = if few { but.as_str() } else { "" };
        out.push(Block::Text(format!("Nothing stood out so far.{but}")));
        return;
    }
    let rare =
        "Each was seen on different cards, and so often that chance alone hardly explains it.";
    out.push(Block::Text(rare.to_owned()));
    let found = child.confusions.iter().map(|found| {
        let (one, other) = &found.items;
        let times = found.grabs + found.pairs_broken;
        let of = counted(found.of, "decision");
        let says = format!("{} at {of} where it could show", counted(times, "time"));
        item(&format!("{one} and {other}"), says)
    });
    out.push(Block::Items(found.collect()));
}

fn trend(about: &About<'_>, child: &ChildReport, out: &mut Vec<Block>) {
    if child.trend.len() < 2 {
        return;
    }
    let mut by_skill: BTreeMap<&str, Vec<Row>> = BTreeMap::new();
    let all: Vec<&Lesson> = child.trend.iter().map(|look| &look.lesson).collect();
    for look in &child.trend {
        for own in &look.skills {
            let row = lesson_row(&look.lesson, &all, about, row("", &own.recognition));
            by_skill.entry(&own.skill).or_default().push(row);
        }
    }
    out.push(Block::Heading("Lesson by lesson".to_owned()));
    out.push(Block::Text(HOW_TO_READ_LESSONS.to_owned()));
    for (skill, rows) in by_skill {
        out.push(Block::Under(skill.to_owned()));
        out.push(Block::Rows(rows));
    }
}

/// Telling cards apart, and what the child tends to do.
fn matching(child: &ChildReport, out: &mut Vec<Block>) {
    if child.skills.is_empty() {
        return;
    }
    out.push(Block::Heading("Telling cards apart".to_owned()));
    let told = |line: &crate::evidence::SkillLine| item(&line.skill, line.recognition.told());
    out.push(Block::Items(child.skills.iter().map(told).collect()));
}

fn kind_row(kind: &KindLine) -> Row {
    let mut row = row(&kind.name, &kind.recognition);
    if let Some([low, middle, high]) = kind.seconds {
        let comma = if row.count.is_empty() { "" } else { ", " };
        row.count += &format!("{comma}decided in {middle:.0} s ({low:.0} to {high:.0})");
    }
    row
}

/// Matches by pair of faces and range, which say something before single items do.
fn pairs(child: &ChildReport, out: &mut Vec<Block>) {
    if child.pairs.is_empty() {
        return;
    }
    out.push(Block::Heading("One way of showing matched with another".to_owned()));
    let (shown, few): (Vec<_>, Vec<_>) =
        child.pairs.iter().partition(|pair| pair.interval.is_some());
    let name = |pair: &crate::evidence::RollUp| {
        format!("{} with {}, {}", pair.kinds.0, pair.kinds.1, pair.range)
    };
    let row = |pair: &&crate::evidence::RollUp| Row {
        about: name(pair),
        leads: None,
        of: String::new(),
        bar: bar(pair.kept, pair.chances, pair.interval),
        words: String::new(),
        count: format!("{} of {}", pair.kept, pair.chances),
    };
    if !shown.is_empty() {
        out.push(Block::Rows(shown.iter().map(row).collect()));
    }
    if !few.is_empty() {
        let other = if shown.is_empty() { "" } else { "other " };
        let pairs = counted(few.len(), &format!("{other}pair"));
        let few =
            format!("{pairs} of ways: too little to say, fewer than {CHANCES_MIN} chances each.");
        out.push(Block::Text(few));
    }
}
