//! The deck workshop over HTTP: what a teacher's page asks when she looks for a deck, changes it and
//! keeps it. All of it is hers alone; children's devices load face sheets and nothing from here.

use crate::face::FaceKind;
use crate::house::AgeBand;
use crate::id::{KeptDeckId, LessonId, OwnDeckId, TableId};
use crate::skill::Skill;
use crate::view::Helper;
use crate::wishes::{CardKey, DeckPlan, GroupKey};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use ts_rs::TS;

/// A skill as the workshop offers it: `GET /workshop/skills`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SkillOffer {
    /// Such as `Addition and subtraction`.
    pub name: String,
    /// What belongs together in the list: `Numbers`, `Reading`, `Measuring and shapes`.
    pub subject: String,
    /// The settings to choose from, the easiest first; one alone needs no choice.
    pub settings: Vec<SkillSetting>,
    /// The youngest and the oldest it suits.
    pub ages: (AgeBand, AgeBand),
    /// Standards that it serves.
    pub standards: Vec<StandardLine>,
    /// Whether the teacher sets the smallest and the largest number.
    pub takes_numbers: bool,
}

/// One setting of a skill.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SkillSetting {
    /// As a plan names it.
    pub skill: Skill,
    /// In words: `to 10`.
    pub words: String,
}

/// A standard that a skill serves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct StandardLine {
    /// Its code, such as `K.CC.B.5`.
    pub code: String,
    /// What it asks, in our words.
    pub asks: String,
}

/// Asks how a deck would look: `POST /workshop/preview`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct PreviewAsk {
    /// The deck.
    pub deck: DeckPlan,
    /// Chooses where the wishes leave a choice; the same number gives the same deck.
    pub draw: u32,
    /// Take another group or another card instead of one that the deck has.
    pub swap: Option<Swap>,
    /// The lesson it is for, whose class may give its names.
    #[serde(default)]
    pub lesson: Option<LessonId>,
    /// The cards are drawn as a child with these helpers, none of them faded, sees them.
    #[serde(default)]
    pub helpers: BTreeSet<Helper>,
}

/// What is to be exchanged for another of its kind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Swap {
    /// A whole group.
    Group(GroupKey),
    /// One card of a group.
    Card(CardKey),
}

/// How a deck would look.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DeckPreview {
    /// Its name on screen.
    pub name: String,
    /// The deck with everything kept that is shown, so that it comes out the same again.
    pub deck: DeckPlan,
    /// Its match groups.
    pub groups: Vec<GroupPreview>,
    /// Every group that could be in such a deck.
    pub choices: Vec<GroupChoice>,
    /// Most groups that such a deck can have.
    pub groups_max: u8,
    /// Every kind of face that such a deck could show, those left out among them.
    pub kinds: Vec<KindChoice>,
    /// Largest table that the deck serves; 0 if none.
    pub largest_table: u8,
    /// How hard it is, and what to know about it, in sentences.
    pub notes: Vec<String>,
}

/// A match group of a deck.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GroupPreview {
    /// The group.
    pub key: GroupKey,
    /// What it is called for the teacher.
    pub title: String,
    /// Its cards.
    pub cards: Vec<CardPreview>,
    /// Whether it has other cards to show instead.
    pub has_more_cards: bool,
}

/// A card of a deck.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct CardPreview {
    /// The card.
    pub key: CardKey,
    /// Its drawing: one `<svg>` element as on a face sheet.
    pub svg: String,
    /// What it shows, in words.
    pub label: String,
    /// The helper that is drawn in: of those asked for, the first that the card has.
    pub helper: Option<Helper>,
}

/// A group that a deck could have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GroupChoice {
    /// The group.
    pub key: GroupKey,
    /// What it is called for the teacher.
    pub title: String,
    /// Whether the deck has it.
    pub chosen: bool,
}

/// A kind of face that a deck could show.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct KindChoice {
    /// The kind.
    pub kind: FaceKind,
    /// What it is called.
    pub name: String,
    /// Whether it may be shown.
    pub chosen: bool,
}

/// Another deck for the next games: `POST /lessons/{lesson}/deck`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct UseDeck {
    /// For one table alone; `None` for all.
    pub table: Option<TableId>,
    /// The deck; `None` brings a table back to the lesson's.
    pub deck: Option<DeckPlan>,
}

/// Asks for a deck on paper: `POST /workshop/print`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct PrintAsk {
    /// The deck.
    pub deck: DeckPlan,
    /// As in the preview.
    pub draw: u32,
    /// A4 instead of Letter.
    pub a4: bool,
    /// Backs, for paper that is turned along its long edge.
    pub backs: bool,
    /// A word whose letter cards are printed too.
    pub letters: Option<String>,
    /// Players at the table.
    pub seats: u8,
    /// As in the preview.
    #[serde(default)]
    pub lesson: Option<LessonId>,
}

/// A deck under a name: what `POST /workshop/decks` keeps, and the whole of a deck file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
#[ts(export)]
pub struct NamedDeck {
    /// Its name.
    pub name: String,
    /// The deck.
    pub deck: DeckPlan,
}

/// A deck that is kept: one line of `GET /workshop/decks`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct KeptDeck {
    /// Which.
    pub id: KeptDeckId,
    /// Its name and what it is.
    pub kept: NamedDeck,
}

/// A deck that a teacher made herself: one line of `GET /workshop/own`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct OwnDeckLine {
    /// Which; a plan's skill names it.
    pub id: OwnDeckId,
    /// Its name.
    pub name: String,
    /// Its match groups.
    pub groups: u16,
    /// What its teacher should know although nothing is wrong, in sentences.
    pub notes: Vec<String>,
}

/// A deck of her own as a teacher's page sends it: `POST /workshop/own`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct OwnDeckSent {
    /// The deck: TOML, CSV, or a file that a Handround saved.
    pub deck: SentFile,
    /// The pictures that it names.
    pub pictures: Vec<SentFile>,
}

/// A file inside a request.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SentFile {
    /// Its name, whose ending says what it is.
    pub name: String,
    /// Its bytes in base64 (RFC 4648 section 4).
    pub base64: String,
}

/// Asks how long rounds and games with a deck will be: `POST /workshop/length`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct LengthAsk {
    /// The deck.
    pub deck: DeckPlan,
    /// As in the preview.
    pub draw: u32,
    /// The lesson whose house rules count; `None` for those of the ages.
    #[serde(default)]
    pub lesson: Option<LessonId>,
    /// Minutes of the slot, 5 to 120, to be told how many games fit.
    #[serde(default)]
    pub slot_minutes: Option<u16>,
}

/// How long rounds and games will be, by simulation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DeckLength {
    /// What to expect, at which pace, in sentences.
    pub sentences: Vec<String>,
    /// The number of groups that would make a better round; `None` if this one is good.
    pub groups: Option<u8>,
}

/// The teacher begins a slot for playing, or takes it back: `POST /lessons/{id}/slot`; answered like
/// `GET /lessons/{id}/slot`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SlotAsked {
    /// Minutes from now on, 5 to 120; `None` to take it back.
    pub minutes: Option<u16>,
}

/// A slot for playing as it runs, by simulation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SlotTold {
    /// Minutes left, begun ones whole; `None` while no slot runs.
    pub minutes_left: Option<u16>,
    /// What fits and when to ring the bell, in one line; empty while no slot runs.
    pub sentence: String,
    /// Now is the time for the bell.
    pub ring_now: bool,
}
