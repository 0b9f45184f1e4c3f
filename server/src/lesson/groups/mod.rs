//! Who sits together: tables of three and four for every size of class, by readiness, by likeness, by
//! chance or by the teacher's hand, with children kept apart who should be. Pure: the same class, wish and
//! seed always give the same groups. It knows neither names nor pictures, and nothing of play.

mod apart;
mod by_hand;
mod exact;
mod reseat;
mod search;
mod sizes;
mod spread;
#[cfg(test)]
mod tests;

pub use apart::{Apart, Kept, together};
pub use by_hand::{ByHandError, by_hand};
pub use reseat::{Change, Reseated, reseat, reseat_moving};

pub use handround_protocol::classes::GroupWay as Way;

use super::class_list::Readiness;
use handround_protocol::id::PupilIndex;

/// Who takes a seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sitter {
    /// A pupil of the list.
    Pupil(PupilIndex),
    /// A practice partner, where there are too few children for a table.
    Partner,
}

/// How a class sits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seating {
    /// The tables, each in the order of play, practice partners last.
    pub tables: Vec<Vec<Sitter>>,
    /// The same in one plain sentence.
    pub sentence: String,
}

/// Which of the groups that are equally good; the next number gives others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draw(pub u32);

/// What the groups are made from.
#[derive(Clone, Copy, Debug)]
pub struct Class<'a> {
    /// The children who are here, in the order of the list, each once.
    pub here: &'a [PupilIndex],
    /// The readiness of every child of the list. A child without one counts as the middle.
    pub readiness: &'a [Option<Readiness>],
    /// Who should not sit together.
    pub apart: &'a [Apart],
    /// How unlike two children of the list are, for `Way::FromPlay`; empty where that is not known.
    pub unlike: &'a Unlike,
}

/// For every two children how unlike they are in two respects, the first before the second. Both
/// halves are there: `[one][other]` is `[other][one]`, and nobody is unlike itself.
pub type Unlike = [Vec<[u32; 2]>];

/// Groups as they were chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Groups {
    /// The children of each table, in the order of the list; larger tables first, then by their
    /// first child, so that a table's number tells nothing of readiness.
    pub tables: Vec<Vec<PupilIndex>>,
    /// Whether everybody is kept apart who should be.
    pub kept: Kept,
}

/// Chooses groups.
pub fn group(class: Class<'_>, way: Way, draw: Draw) -> Groups {
    let sizes = sizes::children_at_tables(class.here.len());
    let (tables, kept) = search::search(class, &sizes, way, draw);
    Groups { tables: in_order(tables), kept }
}

/// Seats children in the order of the list.
pub fn in_list_order(pupils: u16) -> Seating {
    let mut everybody = (0..pupils).map(PupilIndex);
    let sizes = sizes::children_at_tables(usize::from(pupils));
    let tables: Vec<Vec<PupilIndex>> =
        sizes.iter().map(|size| everybody.by_ref().take(*size).collect()).collect();
    seat(&tables)
}

/// Gives every table with too few children its practice partners.
pub fn seat(tables: &[Vec<PupilIndex>]) -> Seating {
    let sit = |children: &Vec<PupilIndex>| {
        let partners = sizes::partners_beside(children.len());
        let partners = std::iter::repeat_n(Sitter::Partner, partners);
        children.iter().copied().map(Sitter::Pupil).chain(partners).collect()
    };
    let tables: Vec<Vec<Sitter>> =
        tables.iter().filter(|children| !children.is_empty()).map(sit).collect();
    let sentence = sizes::sentence(&tables);
    Seating { tables, sentence }
}

fn in_order(mut tables: Vec<Vec<PupilIndex>>) -> Vec<Vec<PupilIndex>> {
    tables.iter_mut().for_each(|table| table.sort_unstable());
    tables.sort_by_key(|table| (std::cmp::Reverse(table.len()), table.first().copied()));
    tables
}
