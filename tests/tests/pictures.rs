//! The words of our pictures against Unicode CLDR's English emoji names and keywords (npm
//! cldr-annotations-full 48.2.0, run by `tests/outside/picture_names.mjs`).
#![allow(clippy::unwrap_used)]

use handround_server::deck::face::{EMOJI, OTHER_THINGS, THINGS, emoji, thing};
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

/// Words for an emoji that CLDR does not have, with the reason why they may stay.
const OTHERWISE_NAMED: [(&str, &str); 2] = [
    ("hen", "CLDR says chicken, as our other names do, and a hen is a grown female one"),
    ("tub", "CLDR says bathtub, a tub to bathe in"),
];

/// Our own drawings of things that no emoji is named after, so that CLDR cannot judge them.
const NO_EMOJI: [&str; 14] = [
    "bib",
    "caterpillar",
    "fin",
    "gate",
    "hen",
    "hop",
    "lid",
    "mole",
    "mop",
    "plum",
    "rake",
    "rug",
    "sock",
    "wig",
];

/// Every emoji with its name and keywords, and the single words of both.
fn annotations() -> BTreeMap<String, BTreeSet<String>> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/outside/picture_names.mjs");
    let run = Command::new("node").arg(script).output();
    let run = run.expect("node cannot be started; the words of pictures cannot be checked");
    let trouble = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.success(), "run `npm ci --prefix tests/outside` first: {trouble}");
    let read = |line: &str| {
        let (emoji, names) = line.split_once('\t').unwrap();
        let whole = names.split('|').map(str::to_owned);
        let parts = names.split(['|', ' ']).map(str::to_owned);
        (emoji.to_owned(), whole.chain(parts).collect())
    };
    String::from_utf8(run.stdout).unwrap().lines().map(read).collect()
}

#[test]
fn every_emoji_has_a_word_of_unicode() {
    let annotations = annotations();
    for emoji in EMOJI {
        let characters = emoji.characters().replace('\u{FE0F}', "");
        let names = &annotations[&characters];
        let excused = OTHERWISE_NAMED.iter().any(|(word, _)| *word == emoji.name);
        // An excuse that is no longer needed goes.
        assert!(names.contains(emoji.name) != excused, "{characters} {}: {names:?}", emoji.name);
    }
    println!("{} emoji checked with CLDR, {} of them excused", EMOJI.len(), OTHERWISE_NAMED.len());
}

/// A second drawing is one of a thing that has a first, unlike it, and no emoji serves instead.
#[test]
fn second_drawings_are_unlike_the_first_and_needed() {
    for other in OTHER_THINGS {
        let first = thing(other.name).unwrap_or_else(|| panic!("{} has no first", other.name));
        let (first, second) = (first.shapes().unwrap(), other.shapes().unwrap());
        let colours = |shapes: &str| -> BTreeSet<String> {
            shapes.split("fill=\"#").skip(1).map(|rest| rest[..6].to_owned()).collect()
        };
        let shared = first.lines().filter(|line| second.lines().any(|other| other == *line));
        // The ink of outlines and the tags around them are common to all of ours.
        assert!(shared.filter(|line| line.contains("<path")).count() == 0, "{}", other.name);
        assert_ne!(colours(first), colours(second), "{}", other.name);
        assert!(emoji(other.name).is_none(), "{}", other.name);
    }
    println!("{} second drawings", OTHER_THINGS.len());
}

#[test]
fn every_drawing_is_of_something_that_unicode_names() {
    let annotations = annotations();
    for thing in THINGS {
        let named = annotations.values().any(|names| names.contains(thing.name));
        assert!(named != NO_EMOJI.contains(&thing.name), "{}: in CLDR is {named}", thing.name);
    }
    println!("{} drawings, {} without any emoji of that name", THINGS.len(), NO_EMOJI.len());
}
