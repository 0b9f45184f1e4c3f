//! What a load run measured: pure sums and percentiles.

use handround_protocol::id::RoundNumber;
use handround_protocol::time::Micros;
use std::collections::BTreeMap;
use std::fmt;

/// One seat's count, or all together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// From saying `Keep` or `Pass` to the own hand's news.
    pub move_waits: Vec<Micros>,
    /// Refusals, by their sentence.
    pub refusals: BTreeMap<String, u64>,
    /// Links that broke and came back.
    pub breaks: u64,
    /// Seats that did not come back.
    pub lost: u64,
    /// Rounds that this seat saw end.
    pub rounds: u64,
    last_round: RoundNumber,
}

impl Tally {
    /// Counts a round once when it has ended.
    pub fn see_round(&mut self, round: RoundNumber, over: bool) {
        if over && round != self.last_round {
            self.last_round = round;
            self.rounds += 1;
        }
    }

    /// Takes another seat's count in.
    pub fn add(&mut self, other: Tally) {
        self.move_waits.extend(other.move_waits);
        for (refusal, times) in other.refusals {
            *self.refusals.entry(refusal).or_default() += times;
        }
        self.breaks += other.breaks;
        self.lost += other.lost;
        self.rounds += other.rounds;
    }
}

/// The value that this share of the sorted values does not exceed (nearest rank); `None` if there
/// are none. `per_mille` is 1 to 1000.
pub fn percentile(sorted: &[Micros], per_mille: usize) -> Option<Micros> {
    let rank = (sorted.len() * per_mille).div_ceil(1_000).max(1);
    sorted.get(rank - 1).copied()
}

/// A load run's result, for printing.
pub struct Report {
    /// All seats' counts.
    pub tally: Tally,
    /// Tables and seats that played.
    pub tables: usize,
    /// Seats that played.
    pub seats: usize,
    /// How long was measured.
    pub seconds: f64,
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut waits = self.tally.move_waits.clone();
        waits.sort_unstable();
        let moves = waits.len();
        let ms = |per_mille| match percentile(&waits, per_mille) {
            Some(Micros(us)) => format!("{:.1} ms", us as f64 / 1e3),
            None => "nothing measured".into(),
        };
        writeln!(f, "{} tables, {} seats, {:.1} s", self.tables, self.seats, self.seconds)?;
        writeln!(f, "passes a second: {:.1} ({moves} moves)", moves as f64 / self.seconds)?;
        writeln!(
            f,
            "from move to own news: p50 {}, p95 {}, p99 {}, longest {}",
            ms(500),
            ms(950),
            ms(990),
            ms(1_000)
        )?;
        // Every seat of a table sees its rounds end.
        let rounds = self.tally.rounds as f64 * self.tables as f64 / self.seats.max(1) as f64;
        writeln!(f, "rounds ended: {rounds:.0}")?;
        writeln!(f, "links broken: {}, seats lost: {}", self.tally.breaks, self.tally.lost)?;
        let refused: u64 = self.tally.refusals.values().sum();
        write!(f, "refused: {refused}")?;
        for (refusal, times) in &self.tally.refusals {
            write!(f, "\n  {times} x {refusal}")?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of the nearest-rank method in Wikipedia's article 'Percentile' (from memory):
    /// 15, 20, 35, 40, 50.
    #[test]
    fn percentiles_are_nearest_rank() {
        let values = [15, 20, 35, 40, 50].map(Micros);
        for (per_mille, expected) in [(50, 15), (300, 20), (400, 20), (500, 35), (1_000, 50)] {
            assert_eq!(percentile(&values, per_mille), Some(Micros(expected)), "{per_mille}");
        }
        assert_eq!(percentile(&[], 500), None);
    }

    #[test]
    fn sums_take_every_seat_in() {
        let mut one = Tally { move_waits: vec![Micros(3)], breaks: 1, ..Tally::default() };
        one.refusals.insert("wait".into(), 2);
        one.see_round(RoundNumber(1), true);
        one.see_round(RoundNumber(1), true);
        one.see_round(RoundNumber(2), false);
        let mut all = one.clone();
        all.add(one);
        assert_eq!((all.move_waits.len(), all.breaks, all.rounds), (2, 2, 2));
        assert_eq!(all.refusals["wait"], 4);
    }
}
