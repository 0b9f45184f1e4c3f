//! 'Our class': each child as the own nickname, its initial, the child's picture and the nickname in
//! capitals. The names are an argument, so that they stay in the lesson that they came from: no plan,
//! no setting and no family knows them.
//!
//! Two children with one initial never meet in a deck, nor does a picture meet the initial that it begins
//! with: Daisy's flower beside the F of Fern.

use crate::deck::clash::Card;
use crate::deck::error::DeckError;
use crate::deck::face;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::Likeness;
use crate::deck::own::own_meaning;
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::limits::GROUP_CARDS_MIN;
use handround_protocol::picture::Picture;
use handround_protocol::skill::Accent;
use unicode_normalization::UnicodeNormalization as _;

const STANDARDS: &[Standard] = &[
    Standard { code: "RF.K.1.D", asks: "recognise and name capital and small letters" },
    Standard { code: "RF.K.3.C", asks: "read frequent words by sight, here the class's own names" },
];

/// A child as the others know it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Classmate {
    /// The nickname.
    pub nickname: String,
    /// The picture by which the child finds the own place.
    pub picture: Picture,
}

/// The family of a class, and the nicknames that no card can show.
pub(super) fn family(class: &[Classmate]) -> Result<Family, DeckError> {
    if class.is_empty() {
        return Err(DeckError::NoClass);
    }
    Ok(Family {
        name: "Our class".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SixToSeven),
        likeness: Likeness::Own,
        accent: Accent::ANY,
        groups: class.iter().filter_map(group).collect(),
        starts: Vec::new(),
    })
}

/// A child's four cards; `None` if the alphabet lacks a sign of the nickname, or if it is too short for
/// four cards that differ. The initial keeps its mark: Élodie's is É.
fn group(child: &Classmate) -> Option<MatchGroup> {
    let name: String = child.nickname.replace(['\'', '\u{2018}', '\u{2bc}'], "’").nfc().collect();
    // The sign before Hawaiian names is no letter to look for.
    let first = name.trim_start_matches(['’', '\u{2bb}']).chars().next()?;
    let initial = first.is_alphabetic().then(|| first.to_uppercase().to_string())?;
    let print = |kind, text: &str| (kind, Shown::Print(text.to_owned()));
    let capitals = name.to_uppercase();
    // TJ is its own capitals; in book print it still looks another way.
    let own = if name == capitals { FaceKind::WordBook } else { FaceKind::Word };
    let cards: [Card; GROUP_CARDS_MIN] = [
        print(own, &name),
        print(FaceKind::Capital, &initial),
        (FaceKind::Picture, Shown::Thing(child.picture.name())),
        print(FaceKind::WordCapitals, &capitals),
    ];
    let drawn = cards.iter().all(|card| face::draw(card.0, &card.1).is_some());
    (drawn && name.chars().count() > 1).then(|| MatchGroup {
        meaning: own_meaning(&cards),
        places: cards.map(|card| vec![card]).into(),
    })
}

/// The children that the family leaves out, since their nicknames cannot be drawn or have one letter.
pub fn left_out(class: &[Classmate]) -> Vec<&str> {
    let out = class.iter().filter(|child| group(child).is_none());
    out.map(|child| child.nickname.as_str()).collect()
}
