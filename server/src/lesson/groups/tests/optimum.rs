//! No seating of a small class is better than the one that is chosen, by measures written anew
//! here, as fractions instead of scaled whole numbers.

use super::*;
use proptest::prelude::*;

/// What the ways want, by definition: pairs together; then, mixed: the spread of the tables'
/// means, then of each readiness's share; similar: the spread within the tables;
/// from play: how unlike the children of a table are.
fn naive(class: Class<'_>, way: Way, tables: &[Vec<PupilIndex>]) -> [f64; 3] {
    let step = |pupil: &PupilIndex| {
        class.readiness[usize::from(pupil.0)].map_or(2.0, |readiness| f64::from(readiness.0))
    };
    let mean = |all: &[f64]| all.iter().sum::<f64>() / all.len() as f64;
    let steps = |children: &[PupilIndex]| children.iter().map(step).collect::<Vec<f64>>();
    let share = |all: &[f64], of: f64| {
        mean(&all.iter().map(|one| f64::from(u8::from(*one == of))).collect::<Vec<_>>())
    };
    let whole = steps(class.here);
    let broken = class
        .apart
        .iter()
        .filter(|pair| tables.iter().any(|table| pair.both().iter().all(|one| table.contains(one))))
        .count();
    let over = |measure: &dyn Fn(&[f64]) -> f64| -> f64 {
        tables.iter().map(|table| measure(&steps(table))).sum()
    };
    let squared = |number: f64| number * number;
    let weighed = |all: &[f64], off: f64| all.len() as f64 * squared(off);
    match way {
        Way::Random => [broken as f64, 0.0, 0.0],
        Way::Mixed => [
            broken as f64,
            over(&|all| weighed(all, mean(all) - mean(&whole))),
            over(&|all| {
                [1.0, 2.0, 3.0]
                    .iter()
                    .map(|of| weighed(all, share(all, *of) - share(&whole, *of)))
                    .sum()
            }),
        ],
        Way::FromPlay => {
            let part = |part: usize| -> f64 {
                let pairs = |table: &Vec<PupilIndex>| -> f64 {
                    let at = |pupil: &PupilIndex| usize::from(pupil.0);
                    let unlike = |one, other| f64::from(class.unlike[at(one)][at(other)][part]);
                    let all =
                        table.iter().flat_map(|one| table.iter().map(move |other| (one, other)));
                    // Each pair twice, each child with itself for nothing.
                    all.map(|(one, other)| unlike(one, other)).sum::<f64>() / 2.0
                };
                tables.iter().map(|table| pairs(table) / table.len() as f64).sum()
            };
            [broken as f64, part(0), part(1)]
        }
        Way::Similar => {
            [broken as f64, over(&|all| all.iter().map(|one| squared(one - mean(all))).sum()), 0.0]
        }
    }
}

/// Equal but for the last bits of a fraction.
fn less(one: [f64; 3], other: [f64; 3]) -> bool {
    let different = one.iter().zip(other).find(|(one, other)| (*one - other).abs() > 1e-9);
    different.is_some_and(|(one, other)| *one < other)
}

fn is_the_optimum(class: Class<'_>, way: Way, draw: Draw) {
    let groups = group(class, way, draw);
    let own = naive(class, way, &groups.tables);
    let sizes: Vec<usize> = groups.tables.iter().map(Vec::len).collect();
    let all = every_seating(class.here, &sizes);
    for other in &all {
        assert!(
            !less(naive(class, way, other), own),
            "{way:?} {} against {}",
            text(&groups.tables),
            text(other)
        );
    }
    let possible = all.iter().any(|tables| naive(class, way, tables)[0] == 0.0);
    match &groups.kept {
        Kept::All => assert!(possible && own[0] == 0.0),
        Kept::Impossible(pairs) => {
            assert!(!possible);
            assert_eq!(pairs.len() as f64, own[0]);
        }
        Kept::NotFound(_) => panic!("a small class is searched to the end"),
    }
}

fn small_class(
    children: impl Strategy<Value = usize>,
) -> impl Strategy<Value = (Vec<Option<Readiness>>, Vec<Apart>)> {
    children.prop_flat_map(|children| {
        let step = prop_oneof![Just(None), (1..=3_u8).prop_map(|step| Some(Readiness(step)))];
        let one = 0..u16::try_from(children).unwrap();
        let pairs = proptest::collection::btree_set((one.clone(), one), 0..=children + 2);
        (proptest::collection::vec(step, children), pairs).prop_map(|(readiness, pairs)| {
            let pairs: BTreeSet<Apart> = pairs
                .into_iter()
                .filter_map(|(one, other)| Apart::new(PupilIndex(one), PupilIndex(other)))
                .collect();
            (readiness, pairs.into_iter().collect())
        })
    })
}

const WAYS: [Way; 4] = [Way::Mixed, Way::Similar, Way::Random, Way::FromPlay];

/// How unlike children are who need some of six things: those that only one of the two needs. Sets
/// drawn from a number, so that a failing class is told by it.
fn unlike(children: usize, draw: u32) -> Vec<Vec<[u32; 2]>> {
    let needs = |child: usize| {
        let bits = draw.rotate_left(5 * child as u32).wrapping_mul(2_654_435_761) >> 20;
        [bits & 3, bits >> 2 & 63]
    };
    let both = |one: usize, other: usize| {
        let ([a, b], [c, d]) = (needs(one), needs(other));
        [(a ^ c).count_ones(), (b ^ d).count_ones()]
    };
    (0..children).map(|one| (0..children).map(|other| both(one, other)).collect()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn up_to_eight_children_sit_as_well_as_any_seating((readiness, apart) in small_class(1..=8_usize), draw in any::<u32>()) {
        let here = everybody(readiness.len());
        let unlike = unlike(readiness.len(), draw);
        for way in WAYS {
            is_the_optimum(Class { here: &here, readiness: &readiness, apart: &apart, unlike: &unlike }, way, Draw(draw));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn so_do_nine_to_twelve((readiness, apart) in small_class(9..=12_usize), draw in any::<u32>()) {
        let here = everybody(readiness.len());
        let unlike = unlike(readiness.len(), draw);
        for way in WAYS {
            is_the_optimum(Class { here: &here, readiness: &readiness, apart: &apart, unlike: &unlike }, way, Draw(draw));
        }
    }
}

#[test]
fn the_model_counts_every_seating_once() {
    // n! / (sizes! x orders of like tables), a textbook formula, from memory.
    for (children, sizes, count) in
        [(6, vec![3, 3], 10), (7, vec![4, 3], 35), (8, vec![4, 4], 35), (9, vec![3, 3, 3], 280)]
    {
        assert_eq!(every_seating(&everybody(children), &sizes).len(), count);
    }
}
