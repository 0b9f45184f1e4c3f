//! The plan a lesson starts with, from the ages of the class; the teacher changes it on her board.

use crate::house::{AgeBand, HouseRule, MissedFour, Timing};
use crate::skill::{Accent, Confusables, Skill, Switches};
use crate::view::LessonPlan;
use crate::wishes::DeckWishes;

/// Cards that wait in one tray at the most (design, section 3, rule 2).
pub const TRAY_LIMIT: u8 = 3;

impl LessonPlan {
    /// Defaults for an age band. Younger children get fewer match groups, so that a round is short,
    /// more help and no going out; all of it is common practice, no source, but for the numbers:
    /// to 10 in kindergarten and to 20 after it, as in the Common Core State Standards (2010),
    /// K.CC.B.5 and 1.OA.C.6, from memory.
    ///
    /// The number of groups follows from simulation (`cargo run --release --example round_lengths`,
    /// 200 rounds a row, seed 1): the median round of four should take 90 to 150 s. Ages 5 to 6
    /// with 7 groups: 98 s; 6 to 7 with 9 groups: 102 s; 7 to 8 with 13 groups, the most that a deck
    /// has: 84 s, a little short of it.
    pub fn for_ages(ages: AgeBand) -> LessonPlan {
        let plan = LessonPlan {
            ages,
            house: HouseRule::Stay { rounds: 4 },
            number_min: 1,
            number_max: 10,
            groups: 7,
            missed_four: MissedFour::HintAfter { seconds: 10 },
            cue_sound: false,
            cards_come_by_themselves: true,
            tray_limit: TRAY_LIMIT,
            skill: Skill::Numbers,
            confusables: Confusables::Allow,
            wishes: DeckWishes::default(),
            naming_walk: true,
            accent: Accent::ANY,
            switches: Switches::default(),
            timing: Timing::default(),
            cheering: false,
        };
        match ages {
            AgeBand::FiveToSix => plan,
            AgeBand::SixToSeven => LessonPlan {
                house: HouseRule::Letters { word: "LEAF".into() },
                number_max: 20,
                groups: 9,
                missed_four: MissedFour::HintAfter { seconds: 20 },
                cards_come_by_themselves: false,
                ..plan
            },
            AgeBand::SevenToEight => LessonPlan {
                house: HouseRule::Out { shield: true },
                number_max: 20,
                groups: 13,
                missed_four: MissedFour::FindItYourself,
                cards_come_by_themselves: false,
                ..plan
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::{GROUP_CARDS_MIN, HAND_CARDS};

    #[test]
    fn every_default_can_be_played_by_a_table_of_four_and_asks_for_no_more_numbers_than_it_has() {
        for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
            let plan = LessonPlan::for_ages(ages);
            assert_eq!(plan.ages, ages);
            assert!(plan.house.is_playable());
            assert!(u16::from(plan.groups) <= plan.number_max - plan.number_min + 1);
            // Design, section 3, rule 1: a deck needs at least (seats + 2) x 4 cards.
            let cards = usize::from(plan.groups) * GROUP_CARDS_MIN;
            assert!(cards >= (4 + 2) * HAND_CARDS, "{ages:?} has {cards} cards");
        }
    }
}
