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
    /// Pictures that end with the same sound.
    FinalSounds,
    /// Pictures with the same short vowel in the middle.
    MiddleVowels,
    /// Two letters for one sound: sh, ch, th, wh, ph, ck, ng.
    Digraphs,
    /// Two consonants at the beginning: st, fl, gr.
    Blends,
    /// Endings with a silent e, beside the same without: -ake, -ate, -at.
    SilentE,
    /// Two letters for one vowel: ai, ee, oa.
    VowelTeams,
    /// Vowels that a following r changes: ar, or, er.
    RVowels,
    /// Pictures and claps.
    Syllables,
    /// I’m and I am.
    Contractions,
    /// Words made of two words.
    Compounds,
    /// Just before, just after, between.
    BeforeAfter {
        /// Largest number: 8 to 120.
        max: u16,
    },
    /// Solid shapes.
    Solids,
}

/// Sounds that are one for some children of the class, so that no deck asks to tell them apart. By
/// default whatever some accent of the United States hears as one is kept out of one deck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Accent {
    /// `pin` and `pen` sound alike: short e before m and n is short i (southern United States).
    pub pin_is_pen: bool,
    /// `cot` and `caught` sound alike (western United States, nearly all of Canada).
    pub cot_is_caught: bool,
}

impl Accent {
    /// Nothing merged: as a dictionary has it.
    pub const DICTIONARY: Accent = Accent { pin_is_pen: false, cot_is_caught: false };
    /// Everything that some child may hear as one.
    pub const ANY: Accent = Accent { pin_is_pen: true, cot_is_caught: true };
}

impl Default for Accent {
    fn default() -> Accent {
        Accent::ANY
    }
}

/// Switches of single skills; a skill that a switch does not concern ignores it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[serde(default)]
#[ts(export)]
pub struct Switches {
    /// Shapes go by their most exact names, so that squares may stand beside rectangles.
    pub exact_names: bool,
    /// Quarters of an hour are said as quarter past and quarter to, and not by their digits.
    pub quarter_words: bool,
    /// Each coin shows its value in print.
    pub coin_values: bool,
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
