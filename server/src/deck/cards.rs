//! A deck ready for play: cards in match groups and their face sheet.

use super::face;
use super::likeness::Likeness;
use super::shown::Shown;
use handround_protocol::face::{Face, FaceKind, FaceSheet, HelpedFace, NamedPicture};
use handround_protocol::id::{DeckId, FaceIndex, GroupIndex};
use handround_protocol::limits::{HAND_CARDS, SEATS_MAX, SEATS_MIN};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One card: the match group it belongs to and what it shows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeckCard {
    /// Its match group.
    pub group: GroupIndex,
    /// The kind of picture.
    pub face: FaceKind,
    /// What the picture shows.
    pub shown: Shown,
}

/// A deck. A card's position is its face's position on the sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Deck {
    /// Its id; what it names never changes.
    pub id: DeckId,
    /// Its name on screen, such as `Numbers 1 to 8`.
    pub name: String,
    /// What makes its cards match.
    pub likeness: Likeness,
    /// The cards, in an order that tells nothing of their groups.
    pub cards: Vec<DeckCard>,
}

impl Deck {
    /// All faces, drawn. A card that cannot be drawn comes out blank, which `valid::check`
    /// refuses; the families never make one.
    pub fn sheet(&self) -> FaceSheet {
        let face = |card: &DeckCard| Face {
            kind: card.face,
            group: card.group,
            svg: face::draw(card.face, &card.shown).unwrap_or_else(face::blank),
            label: face::label(card.face),
            label_after: face::label_after(card.face, &card.shown),
        };
        FaceSheet {
            deck: self.id,
            name: self.name.clone(),
            faces: self.cards.iter().map(face).collect(),
            with_helper: self.with_helper(),
            naming: self.naming(),
        }
    }

    /// Every face with every helper that it has.
    fn with_helper(&self) -> Vec<HelpedFace> {
        let cards = (0..).map(FaceIndex).zip(&self.cards);
        let drawn = cards.flat_map(|(face, card)| {
            face::HELPERS.into_iter().filter_map(move |helper| {
                let svg = face::draw_helped(helper, card.face, &card.shown)?;
                Some(HelpedFace { face, helper, svg })
            })
        });
        drawn.collect()
    }

    /// Every picture of a thing, once, in the order of the alphabet: it tells nothing of
    /// which of them match.
    fn naming(&self) -> Vec<NamedPicture> {
        let cards = (0..).map(FaceIndex).zip(&self.cards);
        let things = cards.filter_map(|(face, card)| match &card.shown {
            Shown::Thing(word) => Some(((word, card.face), face)),
            _ => None,
        });
        // Of faces with the same picture any one does.
        let things: BTreeMap<_, _> = things.collect();
        let named = |((word, kind), face): ((&String, FaceKind), FaceIndex)| {
            let svg = face::draw_named(kind, word)?;
            Some(NamedPicture { face, word: word.clone(), svg })
        };
        things.into_iter().filter_map(named).collect()
    }

    /// The match group of each card, by its position.
    pub fn groups(&self) -> Vec<GroupIndex> {
        self.cards.iter().map(|card| card.group).collect()
    }

    /// The most seats this deck serves: a table needs (seats + 2) x 4 cards. 0 if it serves none.
    pub fn largest_table(&self) -> u8 {
        let seats = (self.cards.len() / HAND_CARDS).saturating_sub(2).min(SEATS_MAX);
        if seats < SEATS_MIN { 0 } else { u8::try_from(seats).unwrap_or(u8::MAX) }
    }
}
