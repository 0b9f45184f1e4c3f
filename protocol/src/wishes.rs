//! What a teacher wishes of a deck beyond its skill and size: groups and cards that she keeps, and what
//! she leaves out. It names groups and cards by short texts and does not know what they mean.

use crate::face::FaceKind;
use crate::house::AgeBand;
use crate::limits::{DECK_KEY_BYTES_MAX, WISHED_CARDS_MAX, WISHED_GROUPS_MAX};
use crate::skill::{Accent, Confusables, Skill, Switches};
use crate::view::LessonPlan;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Names a match group within its skill: `7`, `cat`, `10:30`. Stored plans and shared files hold such
/// names, so a released one never changes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GroupKey(pub String);

/// Names a card within its skill: `TenFrame 7`, `Picture cat`. Stored like a group's name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct CardKey(pub String);

/// A teacher's wishes; without any, the deck comes as chance has it.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(default)]
#[ts(export)]
pub struct DeckWishes {
    /// Kinds of face that no card shows.
    pub kinds_out: Vec<FaceKind>,
    /// Groups that the deck has in any case.
    pub groups_in: Vec<GroupKey>,
    /// Groups that it does not have.
    pub groups_out: Vec<GroupKey>,
    /// Cards that their groups show in any case.
    pub cards_in: Vec<CardKey>,
    /// Cards that they do not show.
    pub cards_out: Vec<CardKey>,
}

impl DeckWishes {
    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        *self == DeckWishes::default()
    }

    /// Whether they keep to the bounds of `limits`, so that a plan stays small enough to send.
    pub fn within_bounds(&self) -> bool {
        let groups = self.groups_in.iter().chain(&self.groups_out).map(|key| &key.0);
        let cards = self.cards_in.iter().chain(&self.cards_out).map(|key| &key.0);
        let lists = [self.groups_in.len(), self.groups_out.len(), self.kinds_out.len()];
        lists.iter().all(|length| *length <= WISHED_GROUPS_MAX)
            && self.cards_in.len().max(self.cards_out.len()) <= WISHED_CARDS_MAX
            && groups.chain(cards).all(|key| key.len() <= DECK_KEY_BYTES_MAX)
    }
}

/// What a deck should be like: the part of a lesson's plan that makes its cards, and all that is kept
/// of a deck under its name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DeckPlan {
    /// Ages, which decide how numbers are shown.
    pub ages: AgeBand,
    /// What it practises.
    pub skill: Skill,
    /// What it does with pairs that children take for each other.
    pub confusables: Confusables,
    /// Smallest number of a deck of numbers.
    pub number_min: u16,
    /// Largest number of a deck of numbers.
    pub number_max: u16,
    /// Match groups in play.
    pub groups: u8,
    /// Wishes beyond that.
    #[serde(default)]
    pub wishes: DeckWishes,
    /// Sounds that are one for some of the class.
    #[serde(default)]
    pub accent: Accent,
    /// Switches of single skills.
    #[serde(default)]
    pub switches: Switches,
}

impl LessonPlan {
    /// The part that makes the deck.
    pub fn deck(&self) -> DeckPlan {
        DeckPlan {
            ages: self.ages,
            skill: self.skill,
            confusables: self.confusables,
            number_min: self.number_min,
            number_max: self.number_max,
            groups: self.groups,
            wishes: self.wishes.clone(),
            accent: self.accent,
            switches: self.switches,
        }
    }

    /// The same plan with another deck. Its ages come with it, since they decide how numbers are shown;
    /// the house rule stays.
    pub fn with_deck(self, deck: DeckPlan) -> LessonPlan {
        LessonPlan {
            ages: deck.ages,
            skill: deck.skill,
            confusables: deck.confusables,
            number_min: deck.number_min,
            number_max: deck.number_max,
            groups: deck.groups,
            wishes: deck.wishes,
            accent: deck.accent,
            switches: deck.switches,
            ..self
        }
    }
}
