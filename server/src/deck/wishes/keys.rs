//! Short names of groups and cards, as plans and deck files hold them, and what a group is called for
//! a teacher. A released name never changes; the tests hold each family to names that tell its groups
//! and cards apart.

use crate::deck::clash::Card;
use crate::deck::family::MatchGroup;
use crate::deck::likeness::Meaning;
use crate::deck::phrase::cent_sign;
use crate::deck::shown::{Shown, Whole};
use handround_protocol::face::FaceKind;
use handround_protocol::limits::DECK_KEY_BYTES_MAX;
use handround_protocol::wishes::{CardKey, GroupKey};

/// A group's name: `7`, `cat`, `10:30`.
pub fn group_key(meaning: &Meaning) -> GroupKey {
    GroupKey(match meaning {
        Meaning::Number(number) => number.to_string(),
        Meaning::Partner(small) => format!("{small}+{}", 10_u16.saturating_sub(*small)),
        Meaning::Letter(letter) => letter.to_string(),
        Meaning::Word(word) => word.clone(),
        Meaning::Ending(ending, sound) => format!("-{ending} {sound}"),
        Meaning::Rime(sound) => sound.clone(),
        Meaning::FirstSound(sound) => (*sound).to_owned(),
        Meaning::Time(time) => format!("{}:{:02}", time.hour, time.minute),
        Meaning::Amount(cents) => format!("{cents}c"),
        Meaning::Outline(outline) => outline.name().to_owned(),
        Meaning::Share(shaded, all) => format!("{shaded}/{all}"),
        // All that its cards say tells a group of the teacher's from the others; the beginning is enough.
        Meaning::Own(said) => {
            let said = said.join("/");
            let end = said.floor_char_boundary(DECK_KEY_BYTES_MAX);
            said[..end].to_owned()
        }
        Meaning::FinalSound(sound) => (*sound).to_owned(),
        Meaning::MiddleVowel(vowel) => vowel.to_string(),
        Meaning::Team(letters, _) => (*letters).to_owned(),
        Meaning::Syllables(count) => count.to_string(),
        Meaning::ShortForm(form) => (*form).to_owned(),
        Meaning::Compound(first, second) => format!("{first}{second}"),
        Meaning::Solid(solid) => solid.name().to_owned(),
    })
}

/// A card's name: its kind and what it shows.
pub fn card_key(card: &Card) -> CardKey {
    let (kind, shown) = card;
    let shows = match shown {
        Shown::Count(value) => value.to_string(),
        Shown::Parts(one, other) => format!("{one} {other}"),
        Shown::Bond { whole, parts: (one, other) } => {
            format!("{one} {other}{}", if *whole { " whole" } else { "" })
        }
        Shown::Rows { rows, each } => format!("{rows}x{each}"),
        Shown::Print(text) => text.clone(),
        Shown::Thing(name) => name.clone(),
        Shown::Time(time) => format!("{}:{:02}", time.hour, time.minute),
        Shown::Coins(coins) => {
            coins.iter().map(|coin| coin.cents().to_string()).collect::<Vec<_>>().join(" ")
        }
        Shown::Outline { outline, look } => format!("{} {look}", outline.name()),
        Shown::Things(first, second) => format!("{first} {second}"),
        Shown::Solid { solid, look } => format!("{} {look}", solid.name()),
        Shown::ValuedCoins(coins) => {
            let values: Vec<String> = coins.iter().map(|coin| coin.cents().to_string()).collect();
            format!("{} with values", values.join(" "))
        }
        Shown::Shares { whole, shares, shaded } => {
            let whole = match whole {
                Whole::Circle => "circle",
                Whole::Rectangle => "rectangle",
                Whole::Bar => "bar",
            };
            format!("{whole} {shaded}/{shares}")
        }
        Shown::Own(picture) => format!("own {}", picture.word),
    };
    CardKey(format!("{kind:?} {shows}"))
}

/// What a teacher reads over a group.
pub fn title(group: &MatchGroup) -> String {
    let example = || {
        let named = group.cards().find_map(|(kind, shown)| match (kind, shown) {
            (FaceKind::Picture | FaceKind::Emoji | FaceKind::OtherPicture, Shown::Thing(name)) => {
                Some(name.as_str())
            }
            (FaceKind::Word, Shown::Print(word)) => Some(word.as_str()),
            _ => None,
        });
        named.unwrap_or("?").to_owned()
    };
    match &group.meaning {
        Meaning::Partner(small) => format!("{small} and {}", 10_u16.saturating_sub(*small)),
        Meaning::Letter(letter) => format!("{}{letter}", letter.to_ascii_uppercase()),
        Meaning::Ending(ending, _) => format!("-{ending} as in {}", example()),
        Meaning::Rime(_) => format!("rhymes with {}", example()),
        Meaning::FirstSound(_) => format!("begins like {}", example()),
        Meaning::FinalSound(_) => format!("ends like {}", example()),
        Meaning::MiddleVowel(vowel) => format!("{vowel} as in {}", example()),
        Meaning::Team(letters, _) => format!("{letters} as in {}", example()),
        Meaning::Syllables(1) => "1 clap".to_owned(),
        Meaning::Syllables(count) => format!("{count} claps"),
        Meaning::Amount(cents) => cent_sign(*cents),
        Meaning::Share(shaded, all) => format!("{shaded} of {all} equal shares"),
        Meaning::Own(_) => match group.cards().next().map(|card| &card.1) {
            Some(Shown::Print(text) | Shown::Thing(text)) => text.clone(),
            Some(Shown::Own(picture)) => picture.word.clone(),
            Some(Shown::Count(number)) => number.to_string(),
            _ => group_key(&group.meaning).0,
        },
        plain => group_key(plain).0,
    }
}
