//! The best groups of a small class: every seating is looked at. It knows nothing of what makes one better.

use super::PupilIndex;
use super::spread::{Burden, Scale};

/// Up to so many children every seating is looked at. Three tables of four have 5,775, four of three 15,400:
/// some milliseconds. With one child more there would be 200,200.
pub const CHILDREN_MAX: usize = 12;

/// The best of all seatings, the first of several that are as good in the order in which the children come.
pub fn best(scale: &Scale<'_>, sizes: &[usize], children: &[PupilIndex]) -> Vec<Vec<PupilIndex>> {
    let mut search = Search { scale, sizes, best: None };
    search.seat(&mut vec![Vec::new(); sizes.len()], children);
    search.best.map(|(_, tables)| tables).unwrap_or_default()
}

struct Search<'a> {
    scale: &'a Scale<'a>,
    sizes: &'a [usize],
    best: Option<(Burden, Vec<Vec<PupilIndex>>)>,
}

impl Search<'_> {
    /// Seats whoever has no seat yet in every way.
    fn seat(&mut self, tables: &mut Vec<Vec<PupilIndex>>, rest: &[PupilIndex]) {
        let Some((child, rest)) = rest.split_first() else {
            let burden = self.scale.all(tables);
            if self.best.as_ref().is_none_or(|(least, _)| burden < *least) {
                self.best = Some((burden, tables.clone()));
            }
            return;
        };
        for table in 0..tables.len() {
            // Of empty tables of one size the first stands for all.
            let stood_for = tables[table].is_empty()
                && (0..table)
                    .any(|one| tables[one].is_empty() && self.sizes[one] == self.sizes[table]);
            // Nothing can be better than nothing; so groups by chance are the first ones drawn.
            let done = self.best.as_ref().is_some_and(|(least, _)| *least == [0; 3]);
            if tables[table].len() < self.sizes[table] && !stood_for && !done {
                tables[table].push(*child);
                self.seat(tables, rest);
                tables[table].pop();
            }
        }
    }
}
