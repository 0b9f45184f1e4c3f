//! Whether a face sheet is fit for play. Meanings are read back from the drawings, so this checks
//! what children will see and not what was meant.

use super::clash::{Card, Clash, clash_beyond_meaning};
use super::likeness::{Likeness, Meaning, meaning};
use super::own::{OwnPicture, own_meaning};
use super::parse_back::{Misread, read, read_as};
use super::shown::Shown;
use super::words::{self, Accent};
use handround_protocol::face::{Face, FaceSheet};
use handround_protocol::id::GroupIndex;
use handround_protocol::limits::{GROUP_CARDS_MAX, GROUP_CARDS_MIN, GROUPS_MAX};
use std::collections::{BTreeMap, BTreeSet};

/// What is wrong with a deck. Faces are named by their position on the sheet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DeckFault {
    /// A drawing shows nothing that can be read.
    #[error("face {face} cannot be read: {why}")]
    Unreadable {
        /// The face.
        face: usize,
        /// Why.
        why: Misread,
    },
    /// A drawing is of another kind than its face says.
    #[error("face {face} is labelled as another kind than it is drawn")]
    WrongKind {
        /// The face.
        face: usize,
    },
    /// Two faces of one group mean different things.
    #[error("face {face} does not match its group")]
    MixedGroup {
        /// The face.
        face: usize,
    },
    /// A drawing means nothing in this deck.
    #[error("face {face} means nothing here: {why}")]
    NoMeaning {
        /// The face.
        face: usize,
        /// Why.
        why: &'static str,
    },
    /// Two faces of different groups match, so that a card would belong to both.
    #[error("faces {one} and {other} of different groups match")]
    SharedMeaning {
        /// A face.
        one: usize,
        /// The other.
        other: usize,
    },
    /// Two faces of one group are the same drawing, or the same word to the ear.
    #[error("face {face} is the same as another of its group")]
    Repeated {
        /// The face.
        face: usize,
    },
    /// Faces of different groups that a child would take for each other.
    #[error("faces {one} and {other} do not match, but {clash}")]
    LookAlike {
        /// A face.
        one: usize,
        /// The other.
        other: usize,
        /// In which way.
        clash: Clash,
    },
    /// A group has fewer than 4 or more than 12 cards.
    #[error("match group {group} has {cards} cards")]
    GroupSize {
        /// The group.
        group: GroupIndex,
        /// Its cards.
        cards: usize,
    },
    /// No groups, or more than a sheet may have.
    #[error("the deck has {groups} match groups")]
    GroupCount {
        /// Groups.
        groups: usize,
    },
}

impl DeckFault {
    /// The two faces that clash, if it is a matter of two.
    pub fn pair(&self) -> Option<(usize, usize)> {
        match self {
            DeckFault::LookAlike { one, other, .. } | DeckFault::SharedMeaning { one, other } => {
                Some((*one, *other))
            }
            _ => None,
        }
    }

    /// What a teacher reads: the cards by what they show, what is wrong and what to do.
    pub fn sentence(&self, sheet: &FaceSheet) -> String {
        let named = |face: usize| {
            sheet.faces.get(face).map_or("a card", |face| face.label_after.as_str()).to_owned()
        };
        let (wrong, advice) = match self {
            DeckFault::LookAlike { one, other, clash } => (
                format!(
                    "`{}` and `{}` are in different groups, but {clash}.",
                    named(*one),
                    named(*other)
                ),
                clash.suggestion(),
            ),
            DeckFault::SharedMeaning { one, other } => (
                format!(
                    "`{}` and `{}` are in different groups, but match.",
                    named(*one),
                    named(*other)
                ),
                Clash::SameMeaning.suggestion(),
            ),
            DeckFault::MixedGroup { face } => (
                format!("`{}` does not match the others of its group.", named(*face)),
                "Move it to another group, or leave it out.",
            ),
            DeckFault::Repeated { face } => (
                format!("`{}` is twice in its group.", named(*face)),
                "Show it in another way, or leave one of the two out.",
            ),
            DeckFault::NoMeaning { face, why } => {
                (format!("`{}` cannot be played: {why}.", named(*face)), "Leave it out.")
            }
            DeckFault::GroupSize { .. } => (format!("{self}."), "A group has 4 to 12 cards."),
            DeckFault::GroupCount { .. } => (format!("{self}."), "A deck has 1 to 40 groups."),
            DeckFault::Unreadable { .. } | DeckFault::WrongKind { .. } => {
                (format!("{self}."), "Make the deck again.")
            }
        };
        format!("{wrong} {advice}")
    }
}

/// Checks a whole sheet whose cards are to match by this, for children of any accent.
///
/// # Errors
/// The first fault.
pub fn check(sheet: &FaceSheet, likeness: Likeness) -> Result<(), DeckFault> {
    check_for(sheet, likeness, Accent::ANY)
}

/// The same for the accents of one class.
///
/// # Errors
/// The first fault.
pub fn check_for(sheet: &FaceSheet, likeness: Likeness, accent: Accent) -> Result<(), DeckFault> {
    let mut groups: BTreeMap<GroupIndex, (Meaning, BTreeSet<&str>)> = BTreeMap::new();
    let mut first_of: BTreeMap<Meaning, (usize, GroupIndex)> = BTreeMap::new();
    let mut seen: Vec<(Card, Meaning, GroupIndex)> = Vec::new();
    let cards = sheet.faces.iter().enumerate().map(|(index, face)| read_card(index, face));
    let cards = cards.collect::<Result<Vec<Card>, _>>()?;
    for (index, face) in sheet.faces.iter().enumerate() {
        let shown = cards[index].1.clone();
        let meaning = match likeness {
            Likeness::Own => own_group(sheet, &cards, face.group),
            _ => meaning(likeness, face.kind, &shown)
                .map_err(|why| DeckFault::NoMeaning { face: index, why })?,
        };
        let (group_meaning, drawings) =
            groups.entry(face.group).or_insert_with(|| (meaning.clone(), BTreeSet::new()));
        if *group_meaning != meaning {
            return Err(DeckFault::MixedGroup { face: index });
        }
        let (one, group) = *first_of.entry(meaning.clone()).or_insert((index, face.group));
        if group != face.group {
            return Err(DeckFault::SharedMeaning { one, other: index });
        }
        if !drawings.insert(&face.svg) {
            return Err(DeckFault::Repeated { face: index });
        }
        let card = (face.kind, shown);
        for (one, (other, other_meaning, group)) in seen.iter().enumerate() {
            if *group == face.group {
                if same_sound(likeness, other, &card) {
                    return Err(DeckFault::Repeated { face: index });
                }
                continue;
            }
            let (mine, others) = ((&card, &meaning), (other, other_meaning));
            let found = clash_beyond_meaning(likeness, accent, others, mine);
            if let Some(clash) = found {
                return Err(DeckFault::LookAlike { one, other: index, clash });
            }
        }
        seen.push((card, meaning, face.group));
    }
    if groups.is_empty() || groups.len() > GROUPS_MAX {
        return Err(DeckFault::GroupCount { groups: groups.len() });
    }
    for (group, (_, drawings)) in &groups {
        if !(GROUP_CARDS_MIN..=GROUP_CARDS_MAX).contains(&drawings.len()) {
            return Err(DeckFault::GroupSize { group: *group, cards: drawings.len() });
        }
    }
    Ok(())
}

/// What a face shows, read back from its drawing.
fn read_card(index: usize, face: &Face) -> Result<Card, DeckFault> {
    match read_as(face.kind, &face.svg) {
        // No program knows what a teacher's picture shows, so its label is believed.
        Ok(Shown::Own(picture)) => {
            let word = face.label_after.split_once(", ").map_or("", |(_, word)| word).to_owned();
            Ok((face.kind, Shown::Own(OwnPicture { word, ..picture })))
        }
        Ok(shown) => Ok((face.kind, shown)),
        // A drawing of another kind of number is well made, but not what its label says.
        Err(_) if read(&face.svg).is_ok_and(|(kind, _)| kind != face.kind) => {
            Err(DeckFault::WrongKind { face: index })
        }
        Err(why) => Err(DeckFault::Unreadable { face: index, why }),
    }
}

/// What a group of an own deck means: all that its cards say.
fn own_group(sheet: &FaceSheet, cards: &[Card], group: GroupIndex) -> Meaning {
    let faces = sheet.faces.iter().zip(cards);
    own_meaning(faces.filter(|(face, _)| face.group == group).map(|(_, card)| card))
}

/// Whether two cards of one group of rhymes are the same word to the ear.
fn same_sound(likeness: Likeness, one: &Card, other: &Card) -> bool {
    let sounds = |card: &Card| match &card.1 {
        Shown::Print(text) | Shown::Thing(text) => words::sounds(text, Accent::DICTIONARY),
        _ => BTreeSet::new(),
    };
    matches!(likeness, Likeness::Rime | Likeness::Ending)
        && !sounds(one).is_disjoint(&sounds(other))
}
