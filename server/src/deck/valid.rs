//! Whether a face sheet is fit for play. Values are read back from the drawings, so this checks
//! what children will see and not what was meant.

use super::parse_back::{Misread, read};
use handround_protocol::face::{FaceKind, FaceSheet};
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
    /// Two faces of one group show different numbers.
    #[error("face {face} does not match its group")]
    MixedGroup {
        /// The face.
        face: usize,
    },
    /// Two groups show the same number, so a card would belong to both.
    #[error("match groups {one} and {other} show the same number")]
    SharedValue {
        /// A group.
        one: GroupIndex,
        /// The other.
        other: GroupIndex,
    },
    /// Two faces of one group are the same drawing.
    #[error("face {face} is the same drawing as another of its group")]
    Repeated {
        /// The face.
        face: usize,
    },
    /// Faces of different groups that a child would take for each other.
    #[error("faces {one} and {other} look alike but do not match")]
    LookAlike {
        /// A face.
        one: usize,
        /// The other.
        other: usize,
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

/// Whether two faces of different numbers can be taken for each other: tally marks without a
/// fifth stroke are a row of ones, so two strokes beside the numeral 11 is no fair card.
pub fn look_alike(one: (FaceKind, u16), other: (FaceKind, u16)) -> bool {
    const ROWS_OF_ONES: [(u16, u16); 3] = [(1, 1), (2, 11), (3, 111)];
    let is = |(tally, tally_value): (FaceKind, u16), (numeral, value): (FaceKind, u16)| {
        tally == FaceKind::Tally
            && numeral == FaceKind::Numeral
            && ROWS_OF_ONES.contains(&(tally_value, value))
    };
    is(one, other) || is(other, one)
}

/// Checks a whole sheet.
///
/// # Errors
/// The first fault.
pub fn check(sheet: &FaceSheet) -> Result<(), DeckFault> {
    let mut groups: BTreeMap<GroupIndex, (u16, BTreeSet<&str>)> = BTreeMap::new();
    let mut group_of: BTreeMap<u16, GroupIndex> = BTreeMap::new();
    let mut seen: Vec<(FaceKind, u16)> = Vec::new();
    for (index, face) in sheet.faces.iter().enumerate() {
        let (kind, value) =
            read(&face.svg).map_err(|why| DeckFault::Unreadable { face: index, why })?;
        if kind != face.kind {
            return Err(DeckFault::WrongKind { face: index });
        }
        let (group_value, drawings) =
            groups.entry(face.group).or_insert_with(|| (value, BTreeSet::new()));
        if *group_value != value {
            return Err(DeckFault::MixedGroup { face: index });
        }
        let other = *group_of.entry(value).or_insert(face.group);
        if other != face.group {
            return Err(DeckFault::SharedValue { one: other, other: face.group });
        }
        if !drawings.insert(&face.svg) {
            return Err(DeckFault::Repeated { face: index });
        }
        let twin = seen
            .iter()
            .position(|earlier| earlier.1 != value && look_alike(*earlier, (kind, value)));
        if let Some(one) = twin {
            return Err(DeckFault::LookAlike { one, other: index });
        }
        seen.push((kind, value));
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
