//! How quickly and how surely children play, as a teacher states it, and what a hard deck adds to it.
//! The weights are this project's own guess until play has told better; their one promise is that of
//! two decks with equally many groups the harder one is never the quicker.

use crate::deck::Deck;
use crate::deck::difficulty::difficulty;
use handround_protocol::house::AgeBand;
use handround_protocol::partner::Temper;
use handround_protocol::time::Micros;
use serde::Serialize;

/// A deck makes children slower by so much, in a thousand, for each point of difficulty a group.
const SLOWER_PER_MILLE: u64 = 50;
/// And so many more decisions in a thousand are mistakes.
const MISTAKEN_PER_MILLE: u64 = 10;
/// More points a group than this add nothing: a deck of confusable pairs alone has about ten.
const POINTS_A_GROUP_MAX: u64 = 12;
/// Half of all decisions at whim: more is no game.
pub const MISTAKES_PER_MILLE_MAX: u16 = 500;
/// The quickest and the slowest pace that can be stated, in milliseconds a card. A sure adult needs
/// about half a second; beyond half a minute cards go round the child (design, section 3, rule 10).
pub const CARD_MS_RANGE: std::ops::RangeInclusive<u64> = 500..=30_000;

/// How children play.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Pace {
    /// Time over one card before it is kept or passed on, in the middle, in milliseconds.
    pub card_ms: u64,
    /// Cards kept at whim or by mistake, in a thousand: 0 to 500.
    pub mistakes_per_mille: u16,
}

impl Pace {
    /// The usual pace of these ages over an easy deck.
    pub fn for_ages(ages: AgeBand) -> Pace {
        let temper = Temper::for_ages(ages);
        Pace { card_ms: middle_ms(temper), mistakes_per_mille: temper.slips_per_mille }
    }

    /// The pace over this deck: slower, and with more mistakes, the harder it is for its number of
    /// groups. How many groups there are is left out, since the simulated rounds show that themselves.
    pub fn over(self, deck: &Deck) -> Pace {
        let found = difficulty(deck);
        let groups = found.groups.max(1) as u64;
        let beyond = (found.score() as u64).saturating_sub(2 * groups);
        // In thousandths of a point.
        let points = (1_000 * beyond / groups).min(1_000 * POINTS_A_GROUP_MAX);
        let slower = 1_000 + SLOWER_PER_MILLE * points / 1_000;
        let mistakes = u64::from(self.mistakes_per_mille) + MISTAKEN_PER_MILLE * points / 1_000;
        Pace {
            card_ms: self.card_ms * slower / 1_000,
            mistakes_per_mille: u16::try_from(mistakes)
                .map_or(MISTAKES_PER_MILLE_MAX, |mistakes| mistakes.min(MISTAKES_PER_MILLE_MAX)),
        }
    }

    /// A brain of these ages at this pace; all its spans stretch with the time over a card.
    pub fn temper(self, ages: AgeBand) -> Temper {
        let usual = Temper::for_ages(ages);
        let stretch = |span: Micros| Micros(span.0 * self.card_ms / middle_ms(usual).max(1));
        let both = |(least, most): (Micros, Micros)| (stretch(least), stretch(most));
        Temper {
            decide: both(usual.decide),
            react: both(usual.react),
            notice: both(usual.notice),
            starts_races: true,
            slips_per_mille: self.mistakes_per_mille,
        }
    }
}

fn middle_ms(temper: Temper) -> u64 {
    let (least, most) = temper.decide;
    least.plus(most).ms() / 2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_pace_is_the_usual_temper() {
        for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
            let temper = Pace::for_ages(ages).temper(ages);
            assert_eq!(temper, Temper { starts_races: true, ..Temper::for_ages(ages) });
        }
    }

    #[test]
    fn twice_the_time_over_a_card_doubles_every_span() {
        let usual = Pace::for_ages(AgeBand::SevenToEight);
        let slow = Pace { card_ms: 2 * usual.card_ms, ..usual }.temper(AgeBand::SevenToEight);
        let temper = Temper::for_ages(AgeBand::SevenToEight);
        assert_eq!(slow.decide.1, Micros(2 * temper.decide.1.0));
        assert_eq!(slow.notice.0, Micros(2 * temper.notice.0.0));
    }
}
