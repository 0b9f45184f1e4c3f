//! The settings of one game, fixed from its start to its end.

use handround_protocol::house::{FalseGrabCost, HouseRule, MissedFour, Pace};
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::{
    GROUP_CARDS_MAX, GROUP_CARDS_MIN, GROUPS_MAX, HAND_CARDS, SEATS_MAX, SEATS_MIN,
};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::LessonPlan;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How one game is played.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rules {
    /// The house rule.
    pub house: HouseRule,
    /// A missed own four.
    pub missed_four: MissedFour,
    /// A gentle sound with the cue, for all alike.
    pub cue_sound: bool,
    /// One card lies in every tray at the start and the dealer's next card comes by itself.
    pub cards_come_by_themselves: bool,
    /// Cards in one tray at the most, waiting or reserved; 1 to 5, usually 3.
    pub tray_limit: u8,
    /// A card waiting this long earns a soft private reminder. Design: 25 s.
    pub remind_after: Micros,
    /// After this long cards go round the seat. Design: 45 s.
    pub pass_by_after: Micros,
    /// How long the four cards are shown before the next deal comes by itself.
    pub next_deal_after: Micros,
    /// After a false grab the next tap counts again when this is over. Games of before the choice
    /// keep the wait that they had.
    #[serde(default = "short_wait")]
    pub false_grab_wait: Micros,
    /// How quickly practice partners play.
    #[serde(default)]
    pub partner_pace: Pace,
    /// Children who watch may send kind pictures between rounds.
    #[serde(default)]
    pub cheering: bool,
}

/// The short wait after a false grab.
fn short_wait() -> Micros {
    Micros::from_ms(1_500)
}

/// A waiting card's soft reminder, and when cards go round. The design gives the usual ones and
/// leaves them to the teacher; the others are common practice, no source.
fn idle_times(pace: Pace) -> (Micros, Micros) {
    let (remind_s, pass_by_s) = match pace {
        Pace::Unhurried => (40, 75),
        Pace::Usual => (25, 45),
        Pace::Brisk => (15, 30),
    };
    (Micros::from_s(remind_s), Micros::from_s(pass_by_s))
}

impl Rules {
    /// The rules that follow from a teacher's plan.
    pub fn from_plan(plan: &LessonPlan) -> Rules {
        let (remind_after, pass_by_after) = idle_times(plan.timing.pace);
        Rules {
            house: plan.house.clone(),
            missed_four: plan.missed_four,
            cue_sound: plan.cue_sound,
            cards_come_by_themselves: plan.cards_come_by_themselves,
            tray_limit: plan.tray_limit,
            remind_after,
            pass_by_after,
            next_deal_after: Micros::from_s(10),
            false_grab_wait: match plan.timing.false_grab {
                FalseGrabCost::ShortWait => short_wait(),
                FalseGrabCost::LongWait => Micros::from_s(4),
            },
            partner_pace: plan.timing.partners,
            cheering: plan.cheering,
        }
    }

    /// # Errors
    /// `RuleNotPlayable` if a value is out of its range.
    pub fn check(&self) -> Result<(), Refusal> {
        let hint_in_range = match self.missed_four {
            MissedFour::HintAfter { seconds } => (3..=60).contains(&seconds),
            MissedFour::FindItYourself | MissedFour::Tell => true,
        };
        let playable = self.house.is_playable()
            && (1..=5).contains(&self.tray_limit)
            && hint_in_range
            && self.remind_after < self.pass_by_after;
        if playable { Ok(()) } else { Err(Refusal::RuleNotPlayable) }
    }
}

/// A deck as the rules know it: which card belongs to which match group, and nothing of its
/// pictures. A card's position is also its face's position on the sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GameDeck {
    /// The deck's id, for the face sheet.
    pub id: DeckId,
    /// The match group of each card.
    pub groups: Vec<GroupIndex>,
}

impl GameDeck {
    /// Checks the groups' sizes and that the deck serves a table of this many seats.
    ///
    /// # Errors
    /// `SeatCount`, `DeckTooSmall` with the largest table it serves, or `RuleNotPlayable` for
    /// groups of fewer than 4 or more than 12 cards.
    pub fn check(&self, seats: usize) -> Result<(), Refusal> {
        if !(SEATS_MIN..=SEATS_MAX).contains(&seats) {
            return Err(Refusal::SeatCount);
        }
        let mut sizes: BTreeMap<GroupIndex, usize> = BTreeMap::new();
        for group in &self.groups {
            *sizes.entry(*group).or_default() += 1;
        }
        let sizes_right = sizes.values().all(|n| (GROUP_CARDS_MIN..=GROUP_CARDS_MAX).contains(n));
        if !sizes_right || sizes.len() > GROUPS_MAX {
            return Err(Refusal::RuleNotPlayable);
        }
        let serves = (self.groups.len() / HAND_CARDS).saturating_sub(2).min(SEATS_MAX);
        if serves < seats {
            let serves = u8::try_from(serves).unwrap_or(u8::MAX);
            return Err(Refusal::DeckTooSmall { serves });
        }
        Ok(())
    }
}
