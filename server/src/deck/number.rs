//! The family of number decks: every match group is one number, shown in four different ways.

use super::cards::{Deck, DeckCard};
use super::face;
use super::shuffle::Choices;
use super::valid::look_alike;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::GROUP_CARDS_MIN;
use handround_protocol::view::LessonPlan;

/// Most groups of a number deck: 13 groups of four are the 52 cards of an ordinary deck.
pub const NUMBER_GROUPS_MAX: u8 = 13;

/// Why a number deck cannot be made; each is a sentence for the teacher.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DeckError {
    /// The smallest number is above the largest.
    #[error("There is no number from {min} to {max}: the first must not be the larger one.")]
    RangeEmpty {
        /// Smallest number asked for.
        min: u16,
        /// Largest number asked for.
        max: u16,
    },
    /// A number has fewer than four kinds of picture.
    #[error(
        "There are not enough ways to show {number}: it has {kinds} and a match group needs 4."
    )]
    TooFewKinds {
        /// The number.
        number: u16,
        /// Kinds that can show it.
        kinds: usize,
    },
    /// Nothing to play with.
    #[error("A deck needs at least one match group.")]
    NoGroups,
    /// More groups than numbers, or than a deck holds.
    #[error("{groups} match groups are too many: there can be at most {at_most}.")]
    TooManyGroups {
        /// Groups asked for.
        groups: u8,
        /// Groups that are possible.
        at_most: u8,
    },
}

/// What a number deck should be like.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NumberDeck {
    /// Smallest number; 0 only if the teacher chose it.
    pub min: u16,
    /// Largest number, itself included.
    pub max: u16,
    /// Match groups in play; if the range has more numbers, the seed chooses among them.
    pub groups: u8,
    /// Kinds that every group shows as far as its number can be shown so; the first four count.
    pub kinds: Vec<FaceKind>,
    /// Kinds that fill a group up to four; the seed chooses among them, group by group.
    pub more_kinds: Vec<FaceKind>,
}

impl NumberDeck {
    /// The default for ages 5 to 6: 1 to 10 as numeral, ten frame, dots and fingers.
    pub fn kindergarten() -> NumberDeck {
        NumberDeck::for_ages(AgeBand::FiveToSix, 1, 10, 10)
    }

    /// The kinds that suit an age. Number words come with grade 1; fingers show up to 10, ten and
    /// ones the teen numbers, and in kindergarten tally only steps in where a fourth kind lacks.
    pub fn for_ages(ages: AgeBand, min: u16, max: u16, groups: u8) -> NumberDeck {
        use FaceKind::{Dots, Fingers, NumberWord, Numeral, Tally, TenAndOnes, TenFrame};
        let (kinds, more_kinds) = match ages {
            AgeBand::FiveToSix => (vec![Numeral, TenFrame, TenAndOnes, Dots, Fingers], vec![Tally]),
            AgeBand::SixToSeven | AgeBand::SevenToEight => {
                (vec![Numeral, NumberWord, TenAndOnes], vec![TenFrame, Tally, Dots, Fingers])
            }
        };
        NumberDeck { min, max, groups, kinds, more_kinds }
    }

    /// Makes the deck.
    ///
    /// # Errors
    /// The first thing that makes it impossible.
    pub fn build(&self, id: DeckId, seed: [u8; 32]) -> Result<Deck, DeckError> {
        let mut choices = Choices::from_seed(seed);
        let numbers = self.numbers(&mut choices)?;
        let mut cards = Vec::new();
        for (group, number) in (0..).map(GroupIndex).zip(&numbers) {
            for face in self.kinds_of(*number, &numbers, &mut choices)? {
                cards.push(DeckCard { group, face, value: *number });
            }
        }
        choices.shuffle(&mut cards);
        let name = format!("Numbers {} to {}", self.min, self.max);
        Ok(Deck { id, name, cards })
    }

    /// The numbers in play, in rising order.
    fn numbers(&self, choices: &mut Choices) -> Result<Vec<u16>, DeckError> {
        let (min, max, groups) = (self.min, self.max, self.groups);
        if min > max {
            return Err(DeckError::RangeEmpty { min, max });
        }
        if groups == 0 {
            return Err(DeckError::NoGroups);
        }
        let count = u8::try_from(max - min).unwrap_or(u8::MAX).saturating_add(1);
        let at_most = count.min(NUMBER_GROUPS_MAX);
        if groups > at_most {
            return Err(DeckError::TooManyGroups { groups, at_most });
        }
        // A range is refused whole, whichever of its numbers this seed would have chosen.
        for number in min..=max {
            let kinds = self.possible(number, &[]).count();
            if kinds < GROUP_CARDS_MIN {
                return Err(DeckError::TooFewKinds { number, kinds });
            }
        }
        let mut numbers: Vec<u16> = (min..=max).collect();
        choices.shuffle(&mut numbers);
        numbers.truncate(usize::from(groups));
        numbers.sort_unstable();
        Ok(numbers)
    }

    /// The kinds that can show a number and look like no numeral of another group in play.
    fn possible<'a>(
        &'a self,
        number: u16,
        in_play: &'a [u16],
    ) -> impl Iterator<Item = FaceKind> + 'a {
        let clear = move |kind: &FaceKind| {
            let mut others = in_play.iter().filter(|other| **other != number);
            others.all(|other| !look_alike((*kind, number), (FaceKind::Numeral, *other)))
        };
        let offered = self.kinds.iter().chain(&self.more_kinds).enumerate();
        let once = offered.filter(|(place, kind)| {
            !self.kinds.iter().chain(&self.more_kinds).take(*place).any(|earlier| earlier == *kind)
        });
        once.map(|(_, kind)| *kind)
            .filter(move |kind| face::values(*kind).contains(&number))
            .filter(clear)
    }

    /// Four different kinds for a number.
    fn kinds_of(
        &self,
        number: u16,
        in_play: &[u16],
        choices: &mut Choices,
    ) -> Result<Vec<FaceKind>, DeckError> {
        let (mut kinds, mut more): (Vec<FaceKind>, Vec<FaceKind>) =
            self.possible(number, in_play).partition(|kind| self.kinds.contains(kind));
        choices.shuffle(&mut more);
        kinds.extend(more);
        if kinds.len() < GROUP_CARDS_MIN {
            return Err(DeckError::TooFewKinds { number, kinds: kinds.len() });
        }
        kinds.truncate(GROUP_CARDS_MIN);
        Ok(kinds)
    }
}

/// The number deck that a teacher's plan asks for.
///
/// # Errors
/// The first thing that makes it impossible, as a sentence for her.
pub fn from_plan(plan: &LessonPlan, id: DeckId, seed: [u8; 32]) -> Result<Deck, DeckError> {
    NumberDeck::for_ages(plan.ages, plan.number_min, plan.number_max, plan.groups).build(id, seed)
}
