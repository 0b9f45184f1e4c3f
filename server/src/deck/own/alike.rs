//! When two cards of different groups of an own deck are no fair pair, and what is easily mistaken.
//! The groups are the teacher's, so only what no teacher can mean is a clash: the same word, number,
//! picture or sound in two groups, or a letter beside a word that begins with it.

use super::is_word;
use crate::deck::clash::{Card, Clash};
use crate::deck::confusable;
use crate::deck::likeness::Meaning;
use crate::deck::number_word::number_of_word;
use crate::deck::phrase;
use crate::deck::shown::Shown;
use crate::deck::words::{self, Accent};
use handround_protocol::face::FaceKind;
use std::collections::BTreeSet;

/// All that a group's cards say, which is as much as can be known of what they mean.
pub fn own_meaning<'a>(cards: impl IntoIterator<Item = &'a Card>) -> Meaning {
    let texts: BTreeSet<String> = cards.into_iter().filter_map(text).collect();
    Meaning::Own(texts.into_iter().collect())
}

/// What a card says in small letters; nothing for what cannot be said.
fn text(card: &Card) -> Option<String> {
    match &card.1 {
        Shown::Print(text) | Shown::Thing(text) => Some(text.to_lowercase()),
        Shown::Own(picture) => Some(picture.word.to_lowercase()),
        Shown::Count(number) => Some(number.to_string()),
        _ => None,
    }
    .filter(|text| !text.is_empty())
}

/// The number that a card shows in digits, in words or as a sum.
fn number(card: &Card) -> Option<u16> {
    let text = text(card)?;
    let by_sum = |kind| phrase::number(kind, &text).ok();
    text.parse()
        .ok()
        .or_else(|| number_of_word(&text))
        .or_else(|| by_sum(FaceKind::Addition))
        .or_else(|| by_sum(FaceKind::Subtraction))
}

/// Why two cards of different groups clash, if they do.
pub(in crate::deck) fn own_clash(one: &Card, other: &Card, accent: Accent) -> Option<Clash> {
    let (said, other_said) = (text(one), text(other));
    let picture = |card: &Card| matches!(card.1, Shown::Thing(_) | Shown::Own(_));
    let same_picture = match (&one.1, &other.1) {
        (Shown::Own(one), Shown::Own(other)) => one.is_drawn_like(other),
        _ => false,
    };
    let same_number = number(one).is_some() && number(one) == number(other);
    if same_picture || same_number || said.is_some() && said == other_said {
        return Some(Clash::SameMeaning);
    }
    let (said, other_said) = (said?, other_said?);
    if looks(one).is_some_and(|look| Some(look) == looks(other)) {
        return Some(Clash::LooksAlike);
    }
    let called = |card: &Card, name: &str| match &card.1 {
        Shown::Thing(thing) => words::other_names(thing).any(|other| other == name),
        _ => false,
    };
    if called(one, &other_said) || called(other, &said) {
        return Some(Clash::OtherName);
    }
    let begins = |letter: &str, word: &str| {
        letter.len() == 1
            && word.len() > 1
            && letter.bytes().all(|l| l.is_ascii_alphabetic())
            && word.starts_with(letter)
            && word.split(' ').next().is_some_and(is_word)
    };
    if begins(&said, &other_said) || begins(&other_said, &said) {
        return Some(Clash::BeginsWith);
    }
    // In print `sun` and `son` differ; only a picture is known by its sound alone.
    let sounds = |word: &str| words::sounds(word, accent);
    if (picture(one) || picture(other)) && !sounds(&said).is_disjoint(&sounds(&other_said)) {
        return Some(Clash::SoundsAlike);
    }
    None
}

/// What print of circles and strokes alone looks like: O is 0, and l and I are 1.
fn looks(card: &Card) -> Option<String> {
    let print = match &card.1 {
        Shown::Print(text) => text.clone(),
        Shown::Count(number) => number.to_string(),
        _ => return None,
    };
    let look = |sign| match sign {
        'O' | 'o' | '0' => Some('0'),
        'I' | 'l' | '1' => Some('1'),
        _ => None,
    };
    print.chars().map(look).collect()
}

/// Whether children often take two groups for each other by any of their words or numbers.
pub(in crate::deck) fn own_confusable(one: &[String], other: &[String]) -> bool {
    let number = |text: &str| text.parse::<u16>().ok().or_else(|| number_of_word(text));
    let meaning = |text: &str| match number(text) {
        Some(number) => Meaning::Number(number),
        None => Meaning::Word(text.to_owned()),
    };
    one.iter()
        .any(|one| other.iter().any(|other| confusable::confusable(&meaning(one), &meaning(other))))
}
