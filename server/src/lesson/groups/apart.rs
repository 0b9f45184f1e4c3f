//! Children who are kept apart. Whether it can be done at all is colouring a graph with colours
//! that run out (each table is a colour with so many places), so it is searched exactly, within a
//! bound: nobody is told 'impossible' for want of luck.

use super::PupilIndex;
use handround_protocol::limits::PUPILS_MAX;
use serde::{Deserialize, Serialize};

/// Two children who should not sit at one table: the one whose line comes first is named first.
/// Sensitive like a readiness: it stays on the server and in the teacher's own pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Apart(PupilIndex, PupilIndex);

impl Apart {
    /// `None` for a child and itself.
    pub fn new(one: PupilIndex, other: PupilIndex) -> Option<Apart> {
        (one != other).then(|| Apart(one.min(other), one.max(other)))
    }

    /// Both, in the order of the list.
    pub fn both(self) -> [PupilIndex; 2] {
        [self.0, self.1]
    }

    /// Whether both sit here.
    pub fn together_at(self, table: &[PupilIndex]) -> bool {
        table.contains(&self.0) && table.contains(&self.1)
    }
}

/// The pairs that share a table, in their own order.
pub fn together(tables: &[Vec<PupilIndex>], apart: &[Apart]) -> Vec<Apart> {
    let mut pairs: Vec<Apart> = apart
        .iter()
        .copied()
        .filter(|pair| tables.iter().any(|table| pair.together_at(table)))
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}

/// Pairs for quick questions: for each child a bit for every other one.
pub struct Pairs([u64; PUPILS_MAX]);

const _: () = assert!(PUPILS_MAX <= 64, "a child is one bit");

impl Pairs {
    /// Of these; a pair may stand in the list twice.
    pub fn new(pairs: impl IntoIterator<Item = Apart>) -> Pairs {
        let mut bits = [0; PUPILS_MAX];
        for Apart(one, other) in pairs {
            for (one, other) in [(one, other), (other, one)] {
                if let Some(bits) = bits.get_mut(usize::from(one.0)) {
                    *bits |= bit(other);
                }
            }
        }
        Pairs(bits)
    }

    /// From how many of these children one is to be kept apart.
    pub fn apart_from(&self, pupil: PupilIndex, others: &[PupilIndex]) -> usize {
        let others = others.iter().fold(0, |bits, other| bits | bit(*other));
        self.0.get(usize::from(pupil.0)).map_or(0, |bits| (bits & others).count_ones() as usize)
    }

    /// Pairs among these children.
    pub fn at(&self, table: &[PupilIndex]) -> usize {
        table.iter().map(|pupil| self.apart_from(*pupil, table)).sum::<usize>() / 2
    }
}

fn bit(pupil: PupilIndex) -> u64 {
    1_u64.checked_shl(u32::from(pupil.0)).unwrap_or(0)
}

/// Whether everybody is kept apart who should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kept {
    /// They are.
    All,
    /// These pairs share a table, and no groups of these sizes keep every pair apart.
    Impossible(Vec<Apart>),
    /// These pairs share a table, and no better groups were found within the search's bound.
    NotFound(Vec<Apart>),
}

/// What the exact search says.
#[derive(Debug, PartialEq, Eq)]
pub enum Proof {
    /// Tables that keep every pair apart. Children of no pair are not seated yet.
    Possible(Vec<Vec<PupilIndex>>),
    /// There are none.
    Impossible,
    /// The bound was reached first.
    Unknown,
}

/// Steps of the exact search. A class with a handful of pairs needs a few dozen; the bound is for
/// lists that keep nearly everybody apart, so that a teacher never waits for seconds.
const STEPS_MAX: u32 = 200_000;

struct Search<'a> {
    sizes: &'a [usize],
    pairs: &'a Pairs,
    /// Children of at least one pair, those of the most pairs first.
    waiting: Vec<PupilIndex>,
    tables: Vec<Vec<PupilIndex>>,
    steps: u32,
}

/// Looks for tables of these sizes that keep every pair apart. A child of no pair fits anywhere,
/// so only the others are tried out.
pub fn prove(here: &[PupilIndex], sizes: &[usize], pairs: &Pairs) -> Proof {
    let of_child = |child: &PupilIndex| pairs.apart_from(*child, here);
    let mut waiting: Vec<PupilIndex> =
        here.iter().copied().filter(|child| of_child(child) > 0).collect();
    waiting.sort_by_key(|child| std::cmp::Reverse(of_child(child)));
    let tables = vec![Vec::new(); sizes.len()];
    let mut search = Search { sizes, pairs, waiting, tables, steps: 0 };
    match search.seat_from(0) {
        Some(true) => Proof::Possible(search.tables),
        Some(false) => Proof::Impossible,
        None => Proof::Unknown,
    }
}

impl Search<'_> {
    /// Whether everybody from this place on can be seated; `None` when the bound is reached.
    fn seat_from(&mut self, place: usize) -> Option<bool> {
        let Some(child) = self.waiting.get(place).copied() else { return Some(true) };
        let mut empty_sizes = Vec::new();
        for table in 0..self.sizes.len() {
            let seated = &self.tables[table];
            // Empty tables of one size are alike: one of them stands for all.
            let repeated = seated.is_empty() && empty_sizes.contains(&self.sizes[table]);
            let full = seated.len() == self.sizes[table];
            if repeated || full || self.pairs.apart_from(child, seated) > 0 {
                continue;
            }
            if seated.is_empty() {
                empty_sizes.push(self.sizes[table]);
            }
            self.steps += 1;
            if self.steps > STEPS_MAX {
                return None;
            }
            self.tables[table].push(child);
            if self.seat_from(place + 1)? {
                return Some(true);
            }
            self.tables[table].pop();
        }
        Some(false)
    }
}
