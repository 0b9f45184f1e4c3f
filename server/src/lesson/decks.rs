//! The decks of one lesson, as its tables need them, and the seam to `crate::deck`.

use super::class_list::Pupil;
use super::lesson_log::DeckMade;
use crate::deck::{self, Classmate, DeckError, Material};
use crate::game::rules::GameDeck;
use handround_protocol::face::FaceSheet;
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::view::LessonPlan;
use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock};

/// Makes the deck that a plan asks for. `pupils` are the lesson's own, for a deck of their names: it
/// stays in the lesson that the names came from.
///
/// # Errors
/// Why no deck can follow the plan, as a sentence for the teacher.
pub fn make(
    plan: &LessonPlan,
    pupils: &[Pupil],
    deck: DeckId,
    seed: [u8; 32],
) -> Result<(DeckMade, FaceSheet), DeckError> {
    let classmate =
        |pupil: &Pupil| Classmate { nickname: pupil.name.clone(), picture: pupil.picture };
    let class: Vec<Classmate> = pupils.iter().map(classmate).collect();
    let material = Material { class: &class, ..Material::default() };
    let drawn = deck::from_plan_with(plan, material, deck, seed)?;
    let made = DeckMade {
        deck,
        seed,
        plan: plan.clone(),
        name: drawn.name.clone(),
        groups: drawn.groups(),
    };
    Ok((made, drawn.sheet()))
}

/// Whether a deck made for one plan serves the other, so that devices need no new faces.
pub fn same_deck(one: &LessonPlan, other: &LessonPlan) -> bool {
    one.deck() == other.deck()
}

/// What a table knows of a deck beside its rules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeckNote {
    /// The cards.
    pub cards: GameDeck,
    /// Its name on screen.
    pub name: String,
    /// The ages it was made for, which set the partners' temper.
    pub ages: AgeBand,
}

impl From<&DeckMade> for DeckNote {
    fn from(made: &DeckMade) -> DeckNote {
        DeckNote {
            cards: GameDeck { id: made.deck, groups: made.groups.clone() },
            name: made.name.clone(),
            ages: made.plan.ages,
        }
    }
}

/// All decks of a lesson, shared with its tables. Decks never change, so reading here is no way
/// for anything to touch a table's state.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    decks: Arc<RwLock<BTreeMap<DeckId, Arc<DeckNote>>>>,
}

impl Shelf {
    /// Puts a deck on the shelf.
    pub fn put(&self, made: &DeckMade) {
        let mut decks = self.decks.write().unwrap_or_else(PoisonError::into_inner);
        decks.insert(made.deck, Arc::new(made.into()));
    }

    /// A deck of this lesson.
    pub fn get(&self, deck: DeckId) -> Option<Arc<DeckNote>> {
        self.decks.read().unwrap_or_else(PoisonError::into_inner).get(&deck).cloned()
    }
}
