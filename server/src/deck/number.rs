//! The family of number decks: every match group is one number, shown in four different ways.

use super::cards::{Deck, DeckCard};
use super::clash::{Clash, clash};
use super::error::DeckError;
use super::face;
use super::family::{DECK_GROUPS_MAX, Family, MatchGroup, Standard};
use super::likeness::{Likeness, Meaning};
use super::shown::Shown;
use super::shuffle::Choices;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::GROUP_CARDS_MIN;
use handround_protocol::skill::Accent;

/// What decks of numbers serve.
pub const STANDARDS: &[Standard] = &[
    Standard { code: "K.CC.A.3", asks: "a numeral from 0 to 20 stands for a number of objects" },
    Standard { code: "K.CC.B.4", asks: "the last number said tells how many, however they lie" },
    Standard { code: "K.CC.B.5", asks: "how many: up to 20 arranged, up to 10 scattered" },
    Standard { code: "1.NBT.A.1", asks: "read and write numerals to 120" },
];

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

    /// The same numbers as a family among others, for what is said about it and for decks that avoid or
    /// seek confusable numbers. Fewer kinds than four leave a number out.
    pub fn family(&self) -> Family {
        let numbers: Vec<u16> = (self.min..=self.max).collect();
        let group = |number: &u16| {
            let kinds: Vec<FaceKind> = self.possible(*number, &numbers).collect();
            let card = |kind: FaceKind| (kind, Shown::Count(*number));
            // A place for each kind that the age sees first, and one for all that fill up.
            let (first, more): (Vec<FaceKind>, Vec<FaceKind>) =
                kinds.iter().partition(|kind| self.kinds.contains(kind));
            let mut places: Vec<_> = first.into_iter().map(|kind| vec![card(kind)]).collect();
            places.push(more.into_iter().map(card).collect());
            (kinds.len() >= GROUP_CARDS_MIN)
                .then_some(MatchGroup { meaning: Meaning::Number(*number), places })
        };
        Family {
            name: self.name(),
            standards: STANDARDS,
            ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
            likeness: Likeness::Value,
            accent: Accent::ANY,
            groups: numbers.iter().filter_map(group).collect(),
            starts: Vec::new(),
        }
    }

    fn name(&self) -> String {
        format!("Numbers {} to {}", self.min, self.max)
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
                cards.push(DeckCard { group, face, shown: Shown::Count(*number) });
            }
        }
        choices.shuffle(&mut cards);
        Ok(Deck { id, name: self.name(), likeness: Likeness::Value, cards })
    }

    /// Whether every number of the range can be shown in four ways. A range is refused whole, whichever
    /// of its numbers a seed would have chosen.
    ///
    /// # Errors
    /// The first number that cannot, or that there is none.
    pub fn check_range(&self) -> Result<(), DeckError> {
        let (min, max) = (self.min, self.max);
        if min > max {
            return Err(DeckError::RangeEmpty { min, max });
        }
        for number in min..=max {
            let kinds = self.possible(number, &[]).count();
            if kinds < GROUP_CARDS_MIN {
                return Err(DeckError::TooFewKinds { number, kinds });
            }
        }
        Ok(())
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
        let at_most = count.min(DECK_GROUPS_MAX);
        if groups > at_most {
            return Err(DeckError::TooManyGroups { groups, at_most });
        }
        self.check_range()?;
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
            let card = |kind, number| (kind, Shown::Count(number));
            others.all(|other| {
                let numeral = card(FaceKind::Numeral, *other);
                clash(Likeness::Value, &card(*kind, number), &numeral) != Some(Clash::RowOfOnes)
            })
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
