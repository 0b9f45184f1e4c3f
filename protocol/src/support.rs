//! What a teacher gives one child beside the cards, so that children of mixed readiness share one
//! fair table. Only the teacher's board shows it; other seats' views and the wall have nothing of it.
//! It never changes which cards match.

use crate::house::MissedFour;
use crate::view::Helper;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One child's support.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Support {
    /// Helpers, each at most once. A card shows the first of them that its face has.
    pub helpers: Vec<HelperGiven>,
    /// The soft reminder, and cards that go round the seat, come after twice the usual time.
    pub unhurried: bool,
    /// A missed own four; `None` is as the lesson has it.
    pub missed_four: Option<MissedFour>,
    /// The child begins each round with two cards that match, where the deal allows it.
    #[serde(default)]
    pub head_start: bool,
}

/// A helper that the teacher has given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct HelperGiven {
    /// Which.
    pub helper: Helper,
    /// The teacher holds it: it does not fade.
    pub held: bool,
    /// How often the child has used it rightly: kept a card that matches, by a card that showed
    /// the helper. The server counts; in a teacher's wish it is not read.
    pub right_uses: u16,
}

impl Support {
    /// Whether this child's speed is nobody's business: it has a support of pace or movement.
    pub fn hides_speed(&self) -> bool {
        self.unhurried
    }

    /// Whether a teacher can give this: each helper once, and a hint in the lesson's own range.
    pub fn is_possible(&self) -> bool {
        let once = |(place, given): (usize, &HelperGiven)| {
            self.helpers[..place].iter().all(|other| other.helper != given.helper)
        };
        let hint_in_range = match self.missed_four {
            Some(MissedFour::HintAfter { seconds }) => (3..=60).contains(&seconds),
            Some(MissedFour::FindItYourself | MissedFour::Tell) | None => true,
        };
        self.helpers.iter().enumerate().all(once) && hint_in_range
    }

    /// The wish of a teacher over what the child had: a helper that stays goes on fading from where
    /// it is, a new one begins.
    pub fn after(&self, had: &Support) -> Support {
        let counted = |given: &HelperGiven| {
            let before = had.helpers.iter().find(|old| old.helper == given.helper);
            HelperGiven { right_uses: before.map_or(0, |old| old.right_uses), ..*given }
        };
        Support { helpers: self.helpers.iter().map(counted).collect(), ..self.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(right_uses: u16, held: bool) -> HelperGiven {
        HelperGiven { helper: Helper::DotsUnder, held, right_uses }
    }

    #[test]
    fn a_helper_that_stays_keeps_its_count_and_a_new_one_begins() {
        let had = Support { helpers: vec![given(7, false)], ..Support::default() };
        let other = HelperGiven { helper: Helper::LargerPrint, held: false, right_uses: 99 };
        let wish = Support { helpers: vec![other, given(0, true)], ..Support::default() };
        let uses: Vec<u16> = wish.after(&had).helpers.iter().map(|one| one.right_uses).collect();
        assert_eq!(uses, [0, 7]);
        assert!(!Support { helpers: vec![given(0, true), given(1, false)], ..had }.is_possible());
    }
}
