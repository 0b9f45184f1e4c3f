//! How quickly a table plays: decisions about cards a minute, over the last two minutes.

use handround_protocol::time::Micros;
use std::collections::VecDeque;

/// The span that the pace is taken over: long enough for a slow table to show a few moves.
const SPAN: Micros = Micros::from_s(120);
/// Six seats that each decide once a second make 720 moves in the span; what lies beyond says no more.
const MOVES_KEPT_MAX: usize = 720;

/// The last moves of a table.
#[derive(Clone, Debug, Default)]
pub struct Pace {
    moves: VecDeque<Micros>,
}

impl Pace {
    /// A card was kept or passed.
    pub fn note(&mut self, at: Micros) {
        if self.moves.len() == MOVES_KEPT_MAX {
            self.moves.pop_front();
        }
        self.moves.push_back(at);
    }

    /// Moves a minute up to now.
    pub fn a_minute(&self, now: Micros) -> u16 {
        let recent = self.moves.iter().filter(|at| now.since(**at) <= SPAN).count();
        u16::try_from(recent.div_ceil(2)).unwrap_or(u16::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_of_one_move_in_ten_seconds_makes_six_a_minute_and_a_silent_one_none() {
        let mut pace = Pace::default();
        for move_number in 1..=30 {
            pace.note(Micros::from_s(10 * move_number));
        }
        assert_eq!(pace.a_minute(Micros::from_s(304)), 6);
        assert_eq!(pace.a_minute(Micros::from_s(420)), 1);
        assert_eq!(pace.a_minute(Micros::from_s(421)), 0);
    }
}
