//! What a class practises, as far as a teacher chooses it: the skill a deck is made for and how its
//! confusable pairs are treated. It knows nothing of how a deck shows the skill.

use crate::id::OwnDeckId;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The skill that a deck practises. Only appended to, since stored plans name skills.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Skill {
    /// Numerals and quantities from the plan's `number_min` to `number_max`.
    #[default]
    Numbers,
    /// 11 to 19 as ten and some more ones.
    TeenNumbers,
    /// Addition and subtraction facts with equal results.
    SumsWithin {
        /// Largest number in any fact: 5 to 20.
        max: u16,
    },
    /// Two numbers that make ten together.
    PartnersOfTen,
    /// One more and one less, just before and just after.
    OneMore {
        /// Largest number: 8 to 120.
        max: u16,
    },
    /// Ten more and ten less than two-digit numbers.
    TenMore,
    /// Rows and equal groups.
    Arrays,
    /// Numeral, number name, expanded form, tens and ones, blocks.
    PlaceValue {
        /// Largest number: 99 or 999.
        max: u16,
    },
    /// Capital, small letter, book print, a picture that begins with it.
    Letters,
    /// Pictures that begin with the same sound.
    FirstSounds,
    /// Words of consonant, short vowel, consonant.
    ShortVowelWords,
    /// Printed words with the same ending.
    WordFamilies,
    /// Words that rhyme, whatever their spelling.
    Rhymes,
    /// Frequent words in four forms of print.
    SightWords,
    /// Clock times.
    ClockTimes {
        /// Minutes between the times in use: 60, 30, 15 or 5.
        step_minutes: u8,
    },
    /// Coins of the United States.
    Coins {
        /// Largest amount in cents: 25 to 100.
        cents_max: u16,
    },
    /// Flat shapes.
    Shapes,
    /// Halves, thirds and fourths.
    EqualShares,
    /// The class's own names: nickname, initial, picture, nickname in capitals.
    OurClass,
    /// A deck that the teacher made herself.
    OwnDeck {
        /// Which of those that the server keeps.
        deck: OwnDeckId,
    },
}

/// What a deck does with pairs that children take for each other, such as b and d or 12 and 21.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Confusables {
    /// No two groups of the deck are such a pair.
    Avoid,
    /// They come as chance has it.
    #[default]
    Allow,
    /// As many groups as can be stand beside their confusable partner, one pair at least.
    Target,
}
