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
    /// How often each seat was truly the slowest and not last, and last without being the slowest; over
    /// races in which every tap came.
    spared: Vec<u64>,
    blamed: Vec<u64>,
}

/// A share with its standard error, by chance alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The share.
    pub share: f64,
    /// One standard error.
    pub error: f64,
}

/// The hold that the issue asks for beyond the greatest plausible round trip, in ms.
pub const HELD_BEYOND_MAX_MS: f32 = 50.0;

/// What ended a hold that was longer than asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// The tap that was waited for, which had been stuck on its way, as its link's pings show.
    StuckTap,
    /// A tap that nothing had held up.
    Tap,
    /// An answer that showed that there was none.
    Answer,
    /// The longest hold there is.
    Time,
}

/// How many holds were longer than asked, by what ended them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct HeldCounts([u64; 4]);

impl HeldCounts {
    /// One more.
    pub fn count(&mut self, held: Held) {
        self.0[held as usize] += 1;
    }

    /// How many ended so.
    pub fn of(&self, held: Held) -> u64 {
        self.0[held as usize]
    }
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
        for counts in [&mut self.last, &mut self.spared, &mut self.blamed] {
            counts.resize(truth.len(), 0);
        }
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
            let slow = truth.iter().position(|truth| *truth == Some(slowest));
            if let Some(slow) = slow.filter(|slow| slow != last) {
                self.spared[slow] += 1;
                self.blamed[*last] += 1;
            }
        }
    }

    /// Adds another part of the same row.
    pub fn add(&mut self, other: &Score) {
        self.pairs += other.pairs;
        self.pairs_right += other.pairs_right;
        self.judged += other.judged;
        self.loser_right += other.loser_right;
        self.ruled += other.ruled;
        for (sums, parts) in [
            (&mut self.last, &other.last),
            (&mut self.spared, &other.spared),
            (&mut self.blamed, &other.blamed),
        ] {
            sums.resize(parts.len().max(sums.len()), 0);
            sums.iter_mut().zip(parts).for_each(|(sum, part)| *sum += part);
        }
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

    /// How much of last places a seat is spared: the share of races in which it was the slowest and not
    /// last, minus the share in which it was last and not the slowest. It expects what an equal share
    /// minus the seat's own expects, and leaves out by how much chance made it slow.
    pub fn spared(&self, seat: usize) -> Estimate {
        let [spared, blamed] =
            [&self.spared, &self.blamed].map(|counts| counts.get(seat).copied().unwrap_or(0));
        let races = self.judged as f64;
        let share = (spared as f64 - blamed as f64) / races;
        // Each race counts 1, -1 or 0.
        let error = (((spared + blamed) as f64 / races - share * share) / races).sqrt();
        Estimate { share, error }
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
    /// What ended the holds that were longer than asked.
    pub held: HeldCounts,
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
            held: HeldCounts::default(),
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
        self.held.0.iter_mut().zip(other.held.0).for_each(|(sum, part)| *sum += part);
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

    /// Whether the hold is as short as asked; `None` where nothing is asked of it, or there are no cues
    /// and so no trip to compare with.
    pub fn hold_hit(&self) -> Option<bool> {
        let over = self.over_p99_ms();
        (self.profile.target.hold && !over.is_nan()).then_some(over <= HELD_BEYOND_MAX_MS)
    }

    /// Share of holds longer than asked.
    pub fn held_beyond(&self) -> f64 {
        share(self.held.0.iter().sum(), self.over_ms.len() as u64)
    }

    /// Why they were so long, as measured; empty where none was.
    pub fn held_cause(&self) -> String {
        let parts = [
            (Held::StuckTap, "till a stuck tap came"),
            (Held::Tap, "till a tap came that was not stuck"),
            (Held::Answer, "till an answer showed that there was no tap"),
            (Held::Time, "till time was up"),
        ];
        let parts = parts.map(|(held, what)| (self.held.of(held), what));
        let told = parts.iter().filter(|(count, _)| *count > 0);
        let told: Vec<String> = told.map(|(count, what)| format!("{count} {what}")).collect();
        if told.is_empty() {
            return String::new();
        }
        format!("a silent seat was waited for: {}", told.join("; "))
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

    /// How much of last places seat 2 is spared beyond its fair share.
    pub fn spared(&self) -> Estimate {
        self.ours.spared(1)
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
        at_most("spared", target.spared, self.spared().share);
        if self.hold_hit() == Some(false) {
            let over = self.over_p99_ms();
            misses.push(format!(
                "hold is {over:.0} ms beyond the greatest trip instead of {HELD_BEYOND_MAX_MS}"
            ));
        }
        misses
    }
}

/// A percentile of ascending values.
fn percentile(values: &[f32], share: f64) -> f32 {
    let place = (values.len() as f64 * share) as usize;
    values.get(place.min(values.len().saturating_sub(1))).copied().unwrap_or(f32::NAN)
}
