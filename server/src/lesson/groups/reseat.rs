//! A child comes late or leaves early: the tables change as little as they can.
//!
//! What counts, in this order: nobody who is to be kept apart comes together anew; no child sits
//! with practice partners alone; the fewest children change their table; the fewest practice
//! partners; then tables of like size. Tables keep their places, since children sit at them.

use super::apart::Pairs;
use super::sizes::{SEATS_FOUR, partners_beside};
use super::{Apart, PupilIndex};

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// A child who sits nowhere yet.
    Comes(PupilIndex),
    /// A child who gets up for good.
    Leaves(PupilIndex),
}

/// The tables afterwards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reseated {
    /// In their old places; an empty table is given up, one behind the others is new.
    pub tables: Vec<Vec<PupilIndex>>,
    /// Who has to change the table, in the order of the list. The newcomer is not among them.
    pub moved: Vec<PupilIndex>,
}

/// Children who may have to change tables for one who comes or leaves. Two open a new table beside
/// the newcomer; more would disturb more children than a practice partner does.
const MOVED_MAX: usize = 2;

/// Seats everybody anew. A child who comes and sits already, or leaves and sits nowhere, changes
/// nothing.
pub fn reseat(tables: &[Vec<PupilIndex>], change: Change, apart: &[Apart]) -> Reseated {
    reseat_moving(tables, change, apart, MOVED_MAX)
}

/// The same with at most so many children who change their table for it.
pub fn reseat_moving(
    tables: &[Vec<PupilIndex>],
    change: Change,
    apart: &[Apart],
    moved_max: usize,
) -> Reseated {
    let anew = |pair: &Apart| !tables.iter().any(|table| pair.together_at(table));
    let before = Before { tables, anew: Pairs::new(apart.iter().copied().filter(anew)) };
    let seated = |pupil: PupilIndex| tables.iter().any(|table| table.contains(&pupil));
    let mut tables = tables.to_vec();
    let mut begun = match change {
        Change::Comes(pupil) if !seated(pupil) => {
            tables.push(Vec::new());
            (0..tables.len()).map(|table| with(&tables, table, pupil)).collect()
        }
        Change::Leaves(pupil) if seated(pupil) => {
            tables.iter_mut().for_each(|table| table.retain(|other| *other != pupil));
            tables.push(Vec::new());
            vec![tables]
        }
        _ => return Reseated { tables, moved: Vec::new() },
    };
    let mut best = None;
    for moves in 0..=moved_max {
        begun.iter_mut().for_each(|tables| before.explore(tables, 0, moves, &mut best));
        // Whoever moves more children cannot do better than a seating without fault.
        if best.as_ref().is_some_and(|(burden, _)| burden[..2] == [0, 0]) {
            break;
        }
    }
    let mut tables = best.map_or_else(|| before.tables.to_vec(), |(_, tables)| tables);
    while tables.len() > before.tables.len() && tables.last().is_some_and(Vec::is_empty) {
        tables.pop();
    }
    let moved = before.moved(&tables);
    Reseated { tables, moved }
}

type Burden = [usize; 5];
type Best = Option<(Burden, Vec<Vec<PupilIndex>>)>;

struct Before<'a> {
    tables: &'a [Vec<PupilIndex>],
    /// Pairs that do not share a table yet.
    anew: Pairs,
}

impl Before<'_> {
    /// Tries every seating that is `moves` further moves away. Each move has to touch a table with
    /// a fault: of the moves that mend one, some do, and those can come first.
    fn explore(&self, tables: &mut [Vec<PupilIndex>], moved: usize, moves: usize, best: &mut Best) {
        if moved == moves {
            let Some(burden) = self.burden(tables, moved) else { return };
            if best.as_ref().is_none_or(|(least, _)| burden < *least) {
                *best = Some((burden, tables.to_vec()));
            }
            return;
        }
        let faulty: Vec<bool> = (0..tables.len())
            .map(|place| {
                let [apart, alone] = self.faults(&tables[place]);
                apart + alone > 0 || tables[place].len() > self.room(place)
            })
            .collect();
        for from in 0..tables.len() {
            for to in (0..tables.len()).filter(|to| *to != from && (faulty[from] || faulty[*to])) {
                for place in 0..tables[from].len() {
                    let pupil = tables[from].remove(place);
                    tables[to].push(pupil);
                    self.explore(tables, moved + 1, moves, best);
                    tables[to].pop();
                    tables[from].insert(place, pupil);
                }
            }
        }
    }

    /// Four, or what the table was if the teacher had made it larger.
    fn room(&self, place: usize) -> usize {
        self.tables.get(place).map_or(SEATS_FOUR, |table| table.len().max(SEATS_FOUR))
    }

    /// Pairs that come together anew, and children alone.
    fn faults(&self, table: &[PupilIndex]) -> [usize; 2] {
        [self.anew.at(table), usize::from(table.len() == 1)]
    }

    /// `None` where a table would be too large.
    fn burden(&self, tables: &[Vec<PupilIndex>], moved: usize) -> Option<Burden> {
        let mut burden = [0, 0, moved, 0, 0];
        for (place, table) in tables.iter().enumerate() {
            if table.len() > self.room(place) {
                return None;
            }
            let [apart, alone] = self.faults(table);
            burden[0] += apart;
            burden[1] += alone;
            burden[3] += partners_beside(table.len());
            burden[4] += table.len() * table.len();
        }
        Some(burden)
    }

    fn moved(&self, tables: &[Vec<PupilIndex>]) -> Vec<PupilIndex> {
        let sat = |pupil: &PupilIndex| self.tables.iter().position(|table| table.contains(pupil));
        let mut moved: Vec<PupilIndex> = Vec::new();
        for (place, table) in tables.iter().enumerate() {
            moved.extend(table.iter().filter(|pupil| sat(pupil).is_some_and(|old| old != place)));
        }
        moved.sort_unstable();
        moved
    }
}

fn with(tables: &[Vec<PupilIndex>], table: usize, pupil: PupilIndex) -> Vec<Vec<PupilIndex>> {
    let mut tables = tables.to_vec();
    tables[table].push(pupil);
    tables
}
