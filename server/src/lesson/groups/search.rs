//! Looks for good groups. Of a small class every seating is looked at; in a larger one, from several
//! seatings drawn by chance, children of different tables change places for as long as that helps.
//! `tests/optimum.rs` holds it to the true optimum.

use super::apart::{Kept, Pairs, Proof, prove, together};
use super::exact;
use super::spread::{Burden, Scale, plus};
use super::{Class, Draw, PupilIndex, Way};
use crate::game::shuffle::shuffle;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;

/// Beginnings that are tried for a class too large for `exact`.
const BEGINNINGS: usize = 40;

/// Three children go round for this many tables at the most: with 8 there are some 7,000 ways to do it, which
/// are looked through in a few milliseconds for each beginning; with 15 there would be eight times as many.
const ROUND_TABLES_MAX: usize = 8;

/// The best tables that were found, and what they say of the pairs.
pub fn search(
    class: Class<'_>,
    sizes: &[usize],
    way: Way,
    draw: Draw,
) -> (Vec<Vec<PupilIndex>>, Kept) {
    let scale = Scale::new(class, way);
    let mut dice = ChaCha20Rng::seed_from_u64(u64::from(draw.0));
    let tables = if class.here.len() <= exact::CHILDREN_MAX {
        exact::best(&scale, sizes, &shuffled(class.here, &mut dice))
    } else {
        climb(&scale, sizes, class.here, &mut dice)
    };
    let pairs = together(&tables, class.apart);
    if pairs.is_empty() {
        return (tables, Kept::All);
    }
    match prove(class.here, sizes, &Pairs::new(class.apart.iter().copied())) {
        Proof::Impossible => (tables, Kept::Impossible(pairs)),
        Proof::Unknown => (tables, Kept::NotFound(pairs)),
        Proof::Possible(begun) => {
            let seated = |child: &PupilIndex| begun.iter().flatten().any(|other| other == child);
            let rest: Vec<PupilIndex> =
                class.here.iter().copied().filter(|child| !seated(child)).collect();
            let rest = shuffled(&rest, &mut dice);
            (improve(&scale, fill(begun, sizes, rest)).1, Kept::All)
        }
    }
}

/// The best that several beginnings lead to.
fn climb(
    scale: &Scale<'_>,
    sizes: &[usize],
    here: &[PupilIndex],
    dice: &mut ChaCha20Rng,
) -> Vec<Vec<PupilIndex>> {
    let mut best: Option<(Burden, Vec<Vec<PupilIndex>>)> = None;
    for _ in 0..BEGINNINGS {
        let begun = fill(vec![Vec::new(); sizes.len()], sizes, shuffled(here, dice));
        let found = improve(scale, begun);
        if best.as_ref().is_none_or(|(burden, _)| found.0 < *burden) {
            best = Some(found);
        }
        // Nothing can be better than nothing; so groups by chance are the first ones drawn.
        if best.as_ref().is_some_and(|(burden, _)| *burden == [0; 3]) {
            break;
        }
    }
    best.map(|(_, tables)| tables).unwrap_or_default()
}

fn shuffled(children: &[PupilIndex], dice: &mut ChaCha20Rng) -> Vec<PupilIndex> {
    let mut children = children.to_vec();
    shuffle(&mut children, dice);
    children
}

/// Seats children in the order given wherever there is room.
fn fill(
    mut tables: Vec<Vec<PupilIndex>>,
    sizes: &[usize],
    children: Vec<PupilIndex>,
) -> Vec<Vec<PupilIndex>> {
    let mut children = children.into_iter();
    for (table, size) in tables.iter_mut().zip(sizes) {
        let room = size.saturating_sub(table.len());
        table.extend(children.by_ref().take(room));
    }
    tables
}

/// Changes places for as long as it makes the burden smaller. The burden falls with every change
/// and is a whole number, so this ends.
fn improve(scale: &Scale<'_>, mut tables: Vec<Vec<PupilIndex>>) -> (Burden, Vec<Vec<PupilIndex>>) {
    let mut better = true;
    while better {
        better = false;
        for one in 0..tables.len() {
            for other in one + 1..tables.len() {
                better |= improve_two(scale, &mut tables, one, other);
            }
        }
        // Where pairs to be kept apart stand in the way of every change of two, three may go round.
        better = better || tables.len() <= ROUND_TABLES_MAX && improve_three(scale, &mut tables);
    }
    (scale.all(&tables), tables)
}

/// The first three children of three tables that do better one table on; either way round.
fn improve_three(scale: &Scale<'_>, tables: &mut [Vec<PupilIndex>]) -> bool {
    let count = tables.len();
    for (one, two) in (0..count).flat_map(|one| (one + 1..count).map(move |two| (one, two))) {
        for three in (one + 1..count).filter(|three| *three != two) {
            let weigh = |tables: &[Vec<PupilIndex>]| {
                plus(
                    plus(scale.table(&tables[one]), scale.table(&tables[two])),
                    scale.table(&tables[three]),
                )
            };
            let before = weigh(tables);
            for first in 0..tables[one].len() {
                for second in 0..tables[two].len() {
                    for third in 0..tables[three].len() {
                        let sat = (tables[one][first], tables[two][second], tables[three][third]);
                        (tables[two][second], tables[three][third], tables[one][first]) = sat;
                        if weigh(tables) < before {
                            return true;
                        }
                        (tables[one][first], tables[two][second], tables[three][third]) = sat;
                    }
                }
            }
        }
    }
    false
}

fn improve_two(
    scale: &Scale<'_>,
    tables: &mut [Vec<PupilIndex>],
    one: usize,
    other: usize,
) -> bool {
    let (left, right) = tables.split_at_mut(other);
    let (one, other) = (&mut left[one], &mut right[0]);
    let mut better = false;
    let mut least = plus(scale.table(one), scale.table(other));
    for place in 0..one.len() {
        for partner in 0..other.len() {
            std::mem::swap(&mut one[place], &mut other[partner]);
            let burden = plus(scale.table(one), scale.table(other));
            if burden < least {
                least = burden;
                better = true;
            } else {
                std::mem::swap(&mut one[place], &mut other[partner]);
            }
        }
    }
    better
}
