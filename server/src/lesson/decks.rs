//! The decks of one lesson, as its tables need them, and the seam to `crate::deck`.

use super::class_list::Pupil;
use super::lesson_log::DeckMade;
use crate::deck::own::OwnDeck;
use crate::deck::{self, Classmate, DeckError, Material};
use crate::game::rules::GameDeck;
use handround_protocol::face::FaceSheet;
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::view::{Helper, LessonPlan};
use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock};

/// What decks are made of beside their plan, held: the names of a class and an own deck.
#[derive(Debug, Default)]
pub struct HeldMaterial {
    class: Vec<Classmate>,
    own: Option<OwnDeck>,
}

impl HeldMaterial {
    /// A class and the own deck that the plan names.
    pub fn new(class: &[Pupil], own: Option<OwnDeck>) -> HeldMaterial {
        let mate =
            |pupil: &Pupil| Classmate { nickname: pupil.name.clone(), picture: pupil.picture };
        HeldMaterial { class: class.iter().map(mate).collect(), own }
    }

    /// As the deck maker takes it.
    pub fn lend(&self) -> Material<'_> {
        Material { class: &self.class, own: self.own.as_ref() }
    }
}

/// Makes the deck that a plan asks for.
///
/// # Errors
/// Why no deck can follow the plan, as a sentence for the teacher.
pub fn make(
    plan: &LessonPlan,
    material: Material<'_>,
    deck: DeckId,
    seed: [u8; 32],
) -> Result<(DeckMade, FaceSheet), DeckError> {
    let drawn = deck::from_plan_with(plan, material, deck, seed)?;
    let sheet = drawn.sheet();
    let made = DeckMade {
        deck,
        seed,
        plan: plan.clone(),
        name: drawn.name.clone(),
        groups: drawn.groups(),
        helpers: helpers(&sheet),
        pictures: !sheet.naming.is_empty(),
    };
    Ok((made, sheet))
}

/// The helpers that each face has.
fn helpers(sheet: &FaceSheet) -> Vec<Vec<Helper>> {
    let mut helpers = vec![Vec::new(); sheet.faces.len()];
    for helped in &sheet.with_helper {
        if let Some(own) = helpers.get_mut(usize::from(helped.face.0)) {
            own.push(helped.helper);
        }
    }
    helpers
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
    /// The helpers that each card's face has.
    pub helpers: Vec<Vec<Helper>>,
    /// It has pictures to name.
    pub pictures: bool,
}

impl From<&DeckMade> for DeckNote {
    fn from(made: &DeckMade) -> DeckNote {
        DeckNote {
            cards: GameDeck { id: made.deck, groups: made.groups.clone() },
            name: made.name.clone(),
            ages: made.plan.ages,
            helpers: made.helpers.clone(),
            pictures: made.pictures,
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
