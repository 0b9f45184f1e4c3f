//! How far groups are from what was wished, as whole numbers to be made small.
//!
//! By the law of total variance the squared differences between the tables' means and within the
//! tables add up to the same sum for every seating of a class. So one measure serves both wishes:
//! mixed groups make the differences between tables small, similar groups those within tables.

use super::apart::Pairs;
use super::{Class, PupilIndex, Unlike, Way};
use crate::lesson::class_list::Readiness;

/// To be made small, the first part before the second: pairs that share a table, then what the way
/// of grouping wants, then what it wants besides.
pub type Burden = [u64; 3];

/// Divisible by every number of children at a table, so that all measures are whole.
const SCALE: i64 = 12;

/// What a class of this kind weighs at a table.
pub struct Scale<'a> {
    readiness: Vec<i64>,
    apart: Pairs,
    unlike: &'a Unlike,
    way: Way,
    /// Children here; of each readiness; the sum of their readiness.
    here: i64,
    of_step: [i64; 3],
    sum: i64,
}

impl<'a> Scale<'a> {
    /// For the children who are here.
    pub fn new(class: Class<'a>, way: Way) -> Scale<'a> {
        let middle = Readiness::MIDDLE;
        let readiness: Vec<i64> =
            class.readiness.iter().map(|step| i64::from(step.unwrap_or(middle).0)).collect();
        let mut scale = Scale {
            readiness,
            apart: Pairs::new(class.apart.iter().copied()),
            unlike: class.unlike,
            way,
            here: 0,
            of_step: [0; 3],
            sum: 0,
        };
        (scale.here, scale.of_step, scale.sum) = scale.count(class.here);
        scale
    }

    fn count(&self, children: &[PupilIndex]) -> (i64, [i64; 3], i64) {
        let (mut count, mut of_step, mut sum) = (0, [0; 3], 0);
        for child in children {
            let step = self.readiness.get(usize::from(child.0)).copied().unwrap_or(2);
            count += 1;
            sum += step;
            if let Some(of_step) = usize::try_from(step - 1).ok().and_then(|at| of_step.get_mut(at))
            {
                *of_step += 1;
            }
        }
        (count, of_step, sum)
    }

    /// One table's part of the burden; a seating's is the sum over its tables.
    pub fn table(&self, children: &[PupilIndex]) -> Burden {
        let broken = self.apart.at(children) as u64;
        let (count, of_step, sum) = self.count(children);
        if count == 0 {
            return [broken, 0, 0];
        }
        // Scaled square of how far a table's share of something is from the class's.
        let off = |part: i64, whole: i64| {
            let difference = self.here * part - count * whole;
            (difference * difference * SCALE / count).unsigned_abs()
        };
        match self.way {
            Way::Random => [broken, 0, 0],
            Way::Mixed => {
                let steps = of_step.iter().zip(self.of_step).map(|(part, whole)| off(*part, whole));
                [broken, off(sum, self.sum), steps.sum()]
            }
            Way::Similar => {
                let squares: i64 = (1..).zip(of_step).map(|(step, many)| step * step * many).sum();
                [broken, ((count * squares - sum * sum) * SCALE / count).unsigned_abs(), 0]
            }
            // The same measure once more: squared differences within a table are the sum over its
            // pairs, divided by its children.
            Way::FromPlay => {
                let per_child = |sum: u64| sum * SCALE.unsigned_abs() / count.unsigned_abs();
                let [first, second] = self.unlike(children).map(per_child);
                [broken, first, second]
            }
        }
    }

    /// How unlike the children of a table are, over all its pairs.
    fn unlike(&self, children: &[PupilIndex]) -> [u64; 2] {
        let at = |pupil: &PupilIndex| usize::from(pupil.0);
        let mut sums = [0; 2];
        for (place, one) in children.iter().enumerate() {
            for other in &children[..place] {
                let found = self.unlike.get(at(one)).and_then(|row| row.get(at(other)));
                let parts = found.copied().unwrap_or_default();
                sums.iter_mut().zip(parts).for_each(|(sum, part)| *sum += u64::from(part));
            }
        }
        sums
    }

    /// The whole burden of a seating.
    pub fn all(&self, tables: &[Vec<PupilIndex>]) -> Burden {
        tables.iter().map(|table| self.table(table)).fold([0; 3], plus)
    }
}

/// Part by part.
pub fn plus(one: Burden, other: Burden) -> Burden {
    std::array::from_fn(|part| one[part] + other[part])
}
