//! Letters that go together: digraphs, blends, vowel teams, vowels with r. A group has a card of the
//! letters, pictures where we have them, and printed words. Two spellings of one sound (ai and ay) are
//! never in one deck, since a picture could belong to either.
//!
//! Digraphs make 7 groups, blends 17, vowel teams 8 of 13 at a time, vowels with r 5: too few
//! for a table of four, so that such a deck serves three seats.

use crate::deck::clash::Card;
use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use crate::deck::words;
use crate::deck::words::patterns::{self, Team};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::limits::GROUP_CARDS_MIN;
use handround_protocol::skill::Accent;
use std::collections::BTreeMap;

const DIGRAPHS: &[Standard] = &[
    Standard { code: "RF.1.3.A", asks: "common digraphs: two letters for one consonant" },
    Standard { code: "RF.1.3.B", asks: "read regularly spelled words of one syllable" },
];

const BLENDS: &[Standard] = &[
    Standard { code: "RF.1.2.B", asks: "blend sounds to words, also groups of consonants" },
    Standard { code: "RF.1.3.B", asks: "read regularly spelled words of one syllable" },
];

const VOWEL_TEAMS: &[Standard] = &[
    Standard { code: "RF.1.3.C", asks: "final -e and vowel teams for long vowels" },
    Standard { code: "RF.2.3.B", asks: "further vowel teams" },
];

const R_VOWELS: &[Standard] = &[
    Standard { code: "RF.1.3.B", asks: "read regularly spelled words of one syllable" },
    Standard { code: "RF.2.3.B", asks: "further vowel teams" },
];

type Pattern = fn(&str) -> Option<&'static Team>;

pub(super) fn digraphs() -> Family {
    let ages = (AgeBand::FiveToSix, AgeBand::SevenToEight);
    family("Two letters, one sound", DIGRAPHS, ages, Likeness::Digraph, patterns::digraph)
}

pub(super) fn blends() -> Family {
    let ages = (AgeBand::SixToSeven, AgeBand::SevenToEight);
    family("Two consonants at the beginning", BLENDS, ages, Likeness::Blend, patterns::blend)
}

pub(super) fn vowel_teams() -> Family {
    let ages = (AgeBand::SixToSeven, AgeBand::SevenToEight);
    family("Vowel teams", VOWEL_TEAMS, ages, Likeness::VowelTeam, patterns::vowel_team)
}

pub(super) fn r_vowels() -> Family {
    let ages = (AgeBand::SixToSeven, AgeBand::SevenToEight);
    family("Vowels with r", R_VOWELS, ages, Likeness::RVowel, patterns::r_vowel)
}

fn family(
    name: &str,
    standards: &'static [Standard],
    ages: (AgeBand, AgeBand),
    likeness: Likeness,
    pattern: Pattern,
) -> Family {
    let mut teams: BTreeMap<&'static Team, (Vec<Card>, Vec<Card>)> = BTreeMap::new();
    for word in words::spelled() {
        let Some(team) = pattern(word) else { continue };
        let (pictures, print) = teams.entry(team).or_default();
        match face::picture(word) {
            // Other names must be no example of other letters.
            Some(picture)
                if words::other_names(word)
                    .all(|other| pattern(other).is_none_or(|same| same == team)) =>
            {
                pictures.push(picture);
            }
            _ => print.push((FaceKind::Word, Shown::Print(word.to_owned()))),
        }
    }
    let group = |(team, (pictures, print)): (&Team, (Vec<Card>, Vec<Card>))| {
        let letters = (FaceKind::LetterTeam, Shown::Print(team.0.to_owned()));
        let cards = 1 + pictures.len() + print.len();
        // Two places for pictures and print each take turns: a picture, a word, another of either.
        let (mut first, mut second) = (pictures, print);
        let third = if first.len() > 1 {
            first.split_off(first.len() / 2)
        } else {
            second.split_off(second.len() / 2)
        };
        let mut places = vec![vec![letters], first, second, third];
        places.retain(|place| !place.is_empty());
        (cards >= GROUP_CARDS_MIN)
            .then_some(MatchGroup { meaning: Meaning::Team(team.0, team.1), places })
    };
    Family {
        name: name.to_owned(),
        standards,
        ages,
        likeness,
        accent: Accent::ANY,
        groups: teams.into_iter().filter_map(group).collect(),
        starts: Vec::new(),
    }
}
