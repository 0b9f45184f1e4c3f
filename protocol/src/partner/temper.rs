//! How partners play: paces and habits. Spans are this project's estimates for tablets in a
//! classroom (from experience with the trade, no source); simulations of round lengths use them.

use crate::house::{AgeBand, Pace};
use crate::time::Micros;

/// How a partner plays. Spans are drawn evenly between their two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Temper {
    /// Time to look at a card before keeping or passing it.
    pub decide: (Micros, Micros),
    /// Time from a cue on the screen to the tap.
    pub react: (Micros, Micros),
    /// Time to notice the own four alike.
    pub notice: (Micros, Micros),
    /// Whether it ever takes the first token.
    pub starts_races: bool,
    /// Keeps that are random instead of sensible, in a thousand.
    pub slips_per_mille: u16,
}

/// A span between two numbers of milliseconds.
const fn ms(least: u64, most: u64) -> (Micros, Micros) {
    (Micros::from_ms(least), Micros::from_ms(most))
}

impl Temper {
    /// Like a child of five or six, who counts the dots of most cards one by one, keeps one card
    /// in five by whim, and looks at the neighbour rather than at the tokens.
    pub const FIVE_TO_SIX: Temper = Temper {
        decide: ms(3_500, 8_000),
        react: ms(900, 3_000),
        notice: ms(2_000, 9_000),
        starts_races: true,
        slips_per_mille: 200,
    };

    /// Like a child of six or seven, who knows most small numbers at a glance.
    pub const SIX_TO_SEVEN: Temper = Temper {
        decide: ms(2_500, 5_500),
        react: ms(700, 2_200),
        notice: ms(1_500, 6_000),
        starts_races: true,
        slips_per_mille: 120,
    };

    /// Like a child of seven or eight, fluent and eager.
    pub const SEVEN_TO_EIGHT: Temper = Temper {
        decide: ms(1_500, 3_500),
        react: ms(550, 1_600),
        notice: ms(1_000, 4_000),
        starts_races: true,
        slips_per_mille: 60,
    };

    /// Keeps an away child's seat warm: slow enough that no neighbour is hurried and no race is won
    /// for the child, never first to a token, and without a slip, so that the child finds the hand
    /// no worse.
    pub const STAND_IN: Temper = Temper {
        decide: ms(5_000, 8_000),
        react: ms(2_500, 4_500),
        notice: ms(4_000, 8_000),
        starts_races: false,
        slips_per_mille: 0,
    };

    /// A tool's pace, for load tests: as fast as the server's rate limits allow a device to speak,
    /// and above the 0.1 s that count as too soon.
    pub const QUICK: Temper = Temper {
        decide: ms(150, 350),
        react: ms(200, 600),
        notice: ms(100, 400),
        starts_races: true,
        slips_per_mille: 20,
    };

    /// The same temper with more or less time to decide, react and notice: half as much again, or
    /// two thirds. It never reacts sooner than 0.5 s, which no child does reliably (assumption).
    #[must_use]
    pub fn at(self, pace: Pace) -> Temper {
        let span = |(least, most): (Micros, Micros)| {
            let one = |time: Micros| match pace {
                Pace::Unhurried => Micros(time.0 * 3 / 2),
                Pace::Usual => time,
                Pace::Brisk => Micros(time.0 * 2 / 3),
            };
            (one(least), one(most))
        };
        let (least, most) = span(self.react);
        let react = (least.max(Micros::from_ms(500)), most.max(Micros::from_ms(500)));
        Temper { decide: span(self.decide), react, notice: span(self.notice), ..self }
    }

    /// The childlike temper for a class of these ages.
    pub const fn for_ages(ages: AgeBand) -> Temper {
        match ages {
            AgeBand::FiveToSix => Temper::FIVE_TO_SIX,
            AgeBand::SixToSeven => Temper::SIX_TO_SEVEN,
            AgeBand::SevenToEight => Temper::SEVEN_TO_EIGHT,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pace_orders_tempers_and_leaves_spans_whole() {
        for temper in [Temper::FIVE_TO_SIX, Temper::SIX_TO_SEVEN, Temper::SEVEN_TO_EIGHT] {
            assert_eq!(temper.at(Pace::Usual), temper);
            let (slow, quick) = (temper.at(Pace::Unhurried), temper.at(Pace::Brisk));
            let spans: [fn(Temper) -> (Micros, Micros); 3] =
                [|one| one.decide, |one| one.react, |one| one.notice];
            for span in spans {
                assert!(span(quick).0 <= span(temper).0 && span(temper).1 < span(slow).1);
                assert!(span(quick).0 < span(quick).1 && span(slow).0 < span(slow).1);
            }
        }
    }
}
