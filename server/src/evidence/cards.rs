//! What evidence needs to know of a deck: which item each card shows, and by which kind of face.
//! It knows no drawings. Whoever asks fills this in from the deck as it was made.

use crate::deck::family::MatchGroup;
use crate::deck::wishes::{card_key, group_key, title};
use crate::deck::{DeckError, Material, family_with, from_plan_with};
use handround_protocol::face::{Face, FaceKind, FaceSheet};
use handround_protocol::id::{DeckId, FaceIndex, GroupIndex};
use handround_protocol::view::LessonPlan;
use handround_protocol::wishes::DeckPlan;

/// What one card shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardFace {
    /// The match group by its stored name, the same in every deck of the skill.
    pub item: String,
    /// What a teacher calls it.
    pub title: String,
    /// Such as `6 to 10` for numbers; the skill's or deck's name for anything else.
    pub range: String,
    /// How it is shown.
    pub kind: FaceKind,
    /// The card by its stored name; empty where the deck cannot be made again.
    pub card: String,
}

/// A deck as evidence reads it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeckFaces {
    /// The deck that journals name.
    pub id: DeckId,
    /// Its name on screen.
    pub name: String,
    /// What it was made from; the next deck is suggested from the same.
    pub plan: DeckPlan,
    /// By the card's position.
    pub cards: Vec<CardFace>,
}

impl DeckFaces {
    /// The deck of a plan and seed, made again. Its groups must be those that were played with.
    ///
    /// # Errors
    /// Why it cannot be made again: its material is gone, or it would come out otherwise today.
    pub fn made_again(
        plan: &LessonPlan,
        material: Material<'_>,
        id: DeckId,
        seed: [u8; 32],
        groups: &[GroupIndex],
    ) -> Result<DeckFaces, DeckError> {
        let deck = from_plan_with(plan, material, id, seed)?;
        let family = family_with(plan, material)?;
        if deck.groups() != groups {
            return Err(DeckError::NoGroups);
        }
        // That which has most of the cards: a deck of few numbers may show one in a way that the family
        // of the whole range leaves out.
        let of = |group: GroupIndex| {
            let cards = deck.cards.iter().filter(move |card| card.group == group);
            let cards: Vec<_> = cards.map(|card| (card.face, card.shown.clone())).collect();
            let has = |own: &MatchGroup| {
                cards.iter().filter(|card| own.cards().any(|one| one == *card)).count()
            };
            let first = family.groups.iter().rev().max_by_key(|own| has(own));
            first.filter(|own| has(own) > 0)
        };
        let face = |card: &crate::deck::DeckCard| {
            let group = of(card.group);
            let item =
                group.map_or_else(|| card.group.0.to_string(), |group| group_key(&group.meaning).0);
            let title = group.map_or_else(|| item.clone(), title);
            let key = card_key(&(card.face, card.shown.clone())).0;
            CardFace { card: key, ..CardFace::new(&item, &title, card.face, &deck.name) }
        };
        let cards = deck.cards.iter().map(face).collect();
        Ok(DeckFaces { id, name: deck.name.clone(), plan: plan.deck(), cards })
    }

    /// A deck that cannot be made again, as its kept sheet tells it: items by what is said of a face.
    pub fn of_sheet(sheet: &FaceSheet, plan: &LessonPlan) -> DeckFaces {
        let said = |group: GroupIndex| {
            let face = sheet.faces.iter().find(|face| face.group == group)?;
            Some(face.label_after.split_once(", ")?.1.to_owned())
        };
        let face = |face: &Face| {
            let item = said(face.group).unwrap_or_else(|| face.group.0.to_string());
            CardFace::new(&item, &item, face.kind, &sheet.name)
        };
        let cards = sheet.faces.iter().map(face).collect();
        DeckFaces { id: sheet.deck, name: sheet.name.clone(), plan: plan.deck(), cards }
    }

    /// The skill as its plan names it: the same for every deck of it, whatever that is called.
    pub(super) fn skill_name(&self) -> String {
        format!("{:?}", self.plan.skill)
    }

    /// A card of the deck; `None` beyond its end.
    pub fn card(&self, card: FaceIndex) -> Option<&CardFace> {
        self.cards.get(usize::from(card.0))
    }
}

/// The range that an item rolls up to while single items rest on too little: numbers by the ranges
/// that teachers use, which is common practice, no source.
pub(crate) fn range_of(item: &str, otherwise: &str) -> String {
    let words = match item.parse::<u16>() {
        Ok(0..=5) => "0 to 5",
        Ok(6..=10) => "6 to 10",
        Ok(11..=20) => "11 to 20",
        Ok(21..=120) => "21 to 120",
        Ok(_) => "above 120",
        Err(_) => otherwise,
    };
    words.to_owned()
}

impl CardFace {
    /// A card that shows an item of a deck of this name.
    pub fn new(item: &str, title: &str, kind: FaceKind, deck: &str) -> CardFace {
        CardFace {
            item: item.to_owned(),
            title: title.to_owned(),
            range: range_of(item, deck),
            kind,
            card: String::new(),
        }
    }
}
