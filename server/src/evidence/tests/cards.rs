//! The items of a deck that is made again.

use crate::deck::shown::Shown;
use crate::deck::{Material, from_plan};
use crate::evidence::DeckFaces;
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::view::LessonPlan;

/// Which numbers stand beside each other changes how one can be shown, and never what it is.
#[test]
fn every_card_of_a_number_deck_is_known_by_its_number() {
    for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
        for seed in 0..=255 {
            let ours = LessonPlan { number_max: 20, groups: 10, ..LessonPlan::for_ages(ages) };
            let plan = if ages == AgeBand::FiveToSix { LessonPlan::for_ages(ages) } else { ours };
            let (id, seed) = (DeckId([seed; 16]), [seed; 32]);
            let deck = from_plan(&plan, id, seed).unwrap();
            let again = DeckFaces::made_again(&plan, Material::default(), id, seed, &deck.groups())
                .unwrap();
            for (card, face) in deck.cards.iter().zip(&again.cards) {
                let Shown::Count(number) = card.shown else { panic!("{card:?}") };
                assert_eq!(face.item, number.to_string(), "{ages:?}, seed {}", seed[0]);
            }
        }
    }
}
