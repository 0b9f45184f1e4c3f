//! How well an order agrees with the truth, over many races.

use super::profiles::Profile;

/// Counts of one rule over one row's races.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Score {
    pairs: u64,
    pairs_right: u64,
    judged: u64,
    loser_right: u64,
    ruled: u64,
    last: Vec<u64>,
}

impl Score {
    /// Takes one race in. `order` is first to last; `drawn` says which seats the draw placed: two such
    /// count as a tie, and ties as wrong.
    pub fn take(
        &mut self,
        order: &[usize],
        truth: &[Option<f64>],
        dropped: &[bool],
        drawn: &[bool],
    ) {
        self.last.resize(truth.len(), 0);
        let Some(last) = order.last() else { return };
        self.ruled += 1;
        self.last[*last] += 1;
        for (place, quicker) in order.iter().enumerate() {
            for slower in &order[place + 1..] {
                let (Some(a), Some(b)) = (truth[*quicker], truth[*slower]) else { continue };
                if dropped[*quicker] || dropped[*slower] {
                    continue;
                }
                self.pairs += 1;
                let tie = drawn[*quicker] && drawn[*slower];
                self.pairs_right += u64::from(a < b && !tie);
            }
        }
        if !dropped.contains(&true) {
            self.judged += 1;
            let slowest = truth.iter().flatten().copied().fold(0.0, f64::max);
            self.loser_right += u64::from(truth[*last] == Some(slowest));
        }
    }

    /// Adds another part of the same row.
    pub fn add(&mut self, other: &Score) {
        self.pairs += other.pairs;
        self.pairs_right += other.pairs_right;
        self.judged += other.judged;
        self.loser_right += other.loser_right;
        self.ruled += other.ruled;
        self.last.resize(other.last.len().max(self.last.len()), 0);
        self.last.iter_mut().zip(&other.last).for_each(|(sum, part)| *sum += part);
    }

    /// Share of pairs in true order: the response-time fairness of delivery-based ordering
    /// (SIGCOMM 2023).
    pub fn pairs(&self) -> f64 {
        share(self.pairs_right, self.pairs)
    }

    /// Share of races whose loser is truly the slowest.
    pub fn loser(&self) -> f64 {
        share(self.loser_right, self.judged)
    }

    /// Each seat's share of last places over ruled races.
    pub fn shares(&self) -> Vec<f64> {
        self.last.iter().map(|last| share(*last, self.ruled)).collect()
    }

    /// Races that were ruled.
    pub fn ruled(&self) -> u64 {
        self.ruled
    }
}

fn share(part: u64, whole: u64) -> f64 {
    if whole == 0 { f64::NAN } else { part as f64 / whole as f64 }
}

/// One row of the table.
#[derive(Clone, Debug)]
pub struct Row {
    /// What was played.
    pub profile: Profile,
    /// Races simulated.
    pub races: u64,
    /// Our own rule.
    pub ours: Score,
    /// The rivals, in the order of `Rival::ALL`.
    pub rivals: [Score; 4],
    /// Races that were void.
    pub void: u64,
    /// Holds in ms, ascending.
    pub holds_ms: Vec<f32>,
    /// Hold minus the greatest plausible round trip at the table, in ms, ascending.
    pub over_ms: Vec<f32>,
}

impl Row {
    /// A row without races.
    pub fn new(profile: &Profile) -> Row {
        Row {
            profile: profile.clone(),
            races: 0,
            ours: Score::default(),
            rivals: Default::default(),
            void: 0,
            holds_ms: Vec::new(),
            over_ms: Vec::new(),
        }
    }

    /// Adds another part of the same row.
    pub fn add(&mut self, other: Row) {
        self.races += other.races;
        self.ours.add(&other.ours);
        self.rivals.iter_mut().zip(&other.rivals).for_each(|(sum, part)| sum.add(part));
        self.void += other.void;
        self.holds_ms.extend(other.holds_ms);
        self.over_ms.extend(other.over_ms);
        self.holds_ms.sort_unstable_by(f32::total_cmp);
        self.over_ms.sort_unstable_by(f32::total_cmp);
    }

    /// Share of void races.
    pub fn void(&self) -> f64 {
        share(self.void, self.races)
    }

    /// Mean, median and 99th percentile of the hold in ms.
    pub fn hold_ms(&self) -> (f32, f32, f32) {
        let sum: f32 = self.holds_ms.iter().sum();
        let mean = sum / self.holds_ms.len().max(1) as f32;
        (mean, percentile(&self.holds_ms, 0.5), percentile(&self.holds_ms, 0.99))
    }

    /// 99th percentile of what the hold takes beyond the greatest plausible round trip, in ms.
    pub fn over_p99_ms(&self) -> f32 {
        percentile(&self.over_ms, 0.99)
    }

    /// The same for people; where there are no cues, there is no trip to compare with.
    pub fn over_p99_text(&self) -> String {
        let over = self.over_p99_ms();
        if over.is_nan() { "-".to_owned() } else { format!("{over:.0} ms") }
    }

    /// How far the shares of last places lie from an equal one at the most; on the others' mean where
    /// one seat is odd.
    pub fn share_miss(&self) -> f64 {
        let shares = self.ours.shares();
        let judged: Vec<f64> = shares
            .iter()
            .enumerate()
            .filter(|(seat, _)| Some(*seat) != self.profile.odd)
            .map(|(_, share)| *share)
            .collect();
        let equal = judged.iter().sum::<f64>() / judged.len().max(1) as f64;
        judged.iter().map(|share| (share - equal).abs()).fold(0.0, f64::max)
    }

    /// How much of last places seat 2 is spared beyond its equal share.
    pub fn spared(&self) -> f64 {
        let shares = self.ours.shares();
        let equal = 1.0 / shares.len().max(1) as f64;
        equal - shares.get(1).copied().unwrap_or(f64::NAN)
    }

    /// What the row misses, a phrase each; empty where all targets are met.
    pub fn misses(&self) -> Vec<String> {
        let target = self.profile.target;
        let mut misses = Vec::new();
        let mut at_least = |name: &str, asked: Option<f64>, got: f64| {
            if let Some(asked) = asked.filter(|asked| got < *asked) {
                misses.push(format!("{name} {got:.4} is {:.4} under {asked}", asked - got));
            }
        };
        at_least("pairs", target.pairs, self.ours.pairs());
        at_least("loser", target.loser, self.ours.loser());
        let mut at_most = |name: &str, asked: Option<f64>, got: f64| {
            if let Some(asked) = asked.filter(|asked| got > *asked) {
                misses.push(format!("{name} {got:.4} is {:.4} over {asked}", got - asked));
            }
        };
        at_most("unequal share", target.share, self.share_miss());
        at_most("spared", target.spared, self.spared());
        if target.hold && self.over_p99_ms() > 50.0 {
            let over = self.over_p99_ms();
            misses.push(format!("hold is {over:.0} ms beyond the greatest trip instead of 50"));
        }
        misses
    }
}

/// A percentile of ascending values.
fn percentile(values: &[f32], share: f64) -> f32 {
    let place = (values.len() as f64 * share) as usize;
    values.get(place.min(values.len().saturating_sub(1))).copied().unwrap_or(f32::NAN)
}
