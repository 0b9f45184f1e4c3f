//! The families of decks, one file for each, and the family that a plan asks for.

mod arrays;
mod by_sound;
mod clock_times;
mod coins;
mod compounds;
mod equal_shares;
mod first_sounds;
mod letter_teams;
mod letters;
mod more_or_less;
mod offer;
mod our_class;
mod partners;
mod place_value;
mod rhymes;
mod shapes;
mod short_forms;
mod sight_words;
mod solids;
mod sums;
mod teens;
mod words;

pub use offer::skills_on_offer;
pub use our_class::{Classmate, left_out};
pub use shapes::with_exact_names;

use super::cards::Deck;
use super::error::DeckError;
use super::family::Family;
use super::number::NumberDeck;
use super::own::OwnDeck;
use handround_protocol::id::DeckId;
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::LessonPlan;

/// What decks of some skills are made of and no plan holds.
#[derive(Clone, Copy, Debug, Default)]
pub struct Material<'a> {
    /// The children of the lesson.
    pub class: &'a [Classmate],
    /// The teacher's own deck that the plan names.
    pub own: Option<&'a OwnDeck>,
}

/// The family that a plan asks for, with its settings made.
///
/// # Errors
/// A setting out of range, as a sentence for the teacher.
pub fn family_of(plan: &LessonPlan) -> Result<Family, DeckError> {
    family_with(plan, Material::default())
}

/// The same with material at hand.
///
/// # Errors
/// The same, and that material is missing.
pub fn family_with(plan: &LessonPlan, material: Material<'_>) -> Result<Family, DeckError> {
    let family = unaccented(plan, material)?;
    // A teacher's own deck says itself how its words are heard.
    let accent =
        if matches!(plan.skill, Skill::OwnDeck { .. }) { family.accent } else { plan.accent };
    Ok(Family { accent, ..family })
}

fn unaccented(plan: &LessonPlan, material: Material<'_>) -> Result<Family, DeckError> {
    let switches = plan.switches;
    match plan.skill {
        Skill::Numbers => {
            let deck = numbers(plan);
            deck.check_range()?;
            Ok(deck.family())
        }
        Skill::TeenNumbers => Ok(teens::family()),
        Skill::SumsWithin { max } => sums::family(max, plan.ages),
        Skill::PartnersOfTen => Ok(partners::family()),
        Skill::OneMore { max } => more_or_less::one_more(max),
        Skill::TenMore => Ok(more_or_less::ten_more()),
        Skill::Arrays => Ok(arrays::family()),
        Skill::PlaceValue { max } => place_value::family(max),
        Skill::Letters => Ok(letters::family()),
        Skill::FirstSounds => Ok(first_sounds::family()),
        Skill::ShortVowelWords => Ok(words::short_vowels()),
        Skill::WordFamilies => Ok(words::families()),
        Skill::Rhymes => Ok(rhymes::family()),
        Skill::SightWords => Ok(sight_words::family()),
        Skill::ClockTimes { step_minutes } => {
            clock_times::family(step_minutes, switches.quarter_words)
        }
        Skill::Coins { cents_max } => coins::family(cents_max, switches.coin_values),
        Skill::Shapes if switches.exact_names => Ok(shapes::with_exact_names()),
        Skill::Shapes => Ok(shapes::family()),
        Skill::EqualShares => Ok(equal_shares::family()),
        Skill::OurClass => our_class::family(material.class),
        Skill::OwnDeck { .. } => material.own.map(OwnDeck::family).ok_or(DeckError::NoOwnDeck),
        Skill::FinalSounds => Ok(by_sound::final_sounds()),
        Skill::MiddleVowels => Ok(by_sound::middle_vowels(plan.accent)),
        Skill::Digraphs => Ok(letter_teams::digraphs()),
        Skill::Blends => Ok(letter_teams::blends()),
        Skill::SilentE => Ok(words::silent_e()),
        Skill::VowelTeams => Ok(letter_teams::vowel_teams()),
        Skill::RVowels => Ok(letter_teams::r_vowels()),
        Skill::Syllables => Ok(by_sound::syllables()),
        Skill::Contractions => Ok(short_forms::family()),
        Skill::Compounds => Ok(compounds::family()),
        Skill::BeforeAfter { max } => more_or_less::before_after(max),
        Skill::Solids => Ok(solids::family(switches.exact_names)),
    }
}

fn numbers(plan: &LessonPlan) -> NumberDeck {
    NumberDeck::for_ages(plan.ages, plan.number_min, plan.number_max, plan.groups)
}

/// The deck that a teacher's plan asks for.
///
/// # Errors
/// The first thing that makes it impossible, as a sentence for her.
pub fn from_plan(plan: &LessonPlan, id: DeckId, seed: [u8; 32]) -> Result<Deck, DeckError> {
    from_plan_with(plan, Material::default(), id, seed)
}

/// The same with material at hand.
///
/// # Errors
/// The same, and that material is missing.
pub fn from_plan_with(
    plan: &LessonPlan,
    material: Material<'_>,
    id: DeckId,
    seed: [u8; 32],
) -> Result<Deck, DeckError> {
    match (plan.skill, plan.confusables) {
        // Plain number decks keep the way they were made from the first release on.
        (Skill::Numbers, Confusables::Allow) if plan.wishes.is_empty() => {
            numbers(plan).build(id, seed)
        }
        _ if !plan.wishes.is_empty() => {
            let (groups, confusables) = (plan.groups, plan.confusables);
            family_with(plan, material)?.wished(groups, confusables, &plan.wishes, id, seed)
        }
        _ => family_with(plan, material)?.deck(plan.groups, plan.confusables, id, seed),
    }
}
