//! Late-comers and early leavers: told in a line each, and against every seating there is.

use super::*;
use proptest::prelude::*;

/// A capital letter comes, a small one leaves.
fn told(before: &str, who: char, pairs: &str) -> String {
    let pupil = child(who.to_ascii_lowercase());
    let change = if who.is_uppercase() { Change::Comes(pupil) } else { Change::Leaves(pupil) };
    let Reseated { tables, moved } = reseat(&tables(before), change, &apart(pairs));
    if moved.is_empty() { text(&tables) } else { format!("{}; {}", text(&tables), text(&[moved])) }
}

#[test]
fn the_tables_change_as_little_as_they_can() {
    let table = [
        // Takes a partner's place before a fourth seat, and the smaller table before the larger.
        ("abc de", 'F', "", "abc def"),
        ("abcd efg", 'H', "", "abcd efgh"),
        ("abc defg", 'H', "", "abch defg"),
        // Not beside somebody from whom the child is kept apart.
        ("abc def", 'G', "ag", "abc defg"),
        // All tables are full: one child opens a new table with the newcomer and a partner.
        ("abcd efgh", 'I', "", "bcd efgh ia; a"),
        // That child is not one from whom the newcomer is kept apart.
        ("abcd efgh", 'I', "ai bi", "abd efgh ic; c"),
        // A table of four loses one child: nobody moves. Of three: a practice partner comes.
        ("abcd efg", 'd', "", "abc efg"),
        ("abcd efg", 'g', "", "abcd ef"),
        // Nobody is left with partners alone.
        ("abcd ef", 'e', "", "bcd fa; a"),
        ("abc de", 'd', "", "abce -; e"),
        ("abc de", 'd', "ae", "ac eb; b"),
        ("abcd efg", 'H', "eh", "bcdh efga; a"),
        ("ab", 'a', "", "b"),
        ("a", 'a', "", "-"),
        ("a", 'B', "", "ab"),
        // A table that the teacher made larger stays so and does not grow further.
        ("abcde fgh", 'I', "", "abcde fghi"),
        // A pair that shares a table already is no reason to move anybody.
        ("abcd efg", 'H', "ab", "abcd efgh"),
        // Who sits already cannot come, who does not cannot leave.
        ("abc def", 'A', "", "abc def"),
        ("abc def", 'g', "", "abc def"),
    ];
    for (before, who, pairs, after) in table {
        assert_eq!(told(before, who, pairs), after, "{before}, {who}, {pairs}");
    }
}

/// Faults as the module's first lines put them: pairs anew, children alone, children moved, partners.
fn naive(before: &[Vec<PupilIndex>], after: &[Vec<PupilIndex>], apart: &[Apart]) -> [usize; 4] {
    let both = |pair: &Apart, tables: &[Vec<PupilIndex>]| {
        tables.iter().any(|table| pair.both().iter().all(|one| table.contains(one)))
    };
    let sat = |pupil: &PupilIndex| before.iter().position(|table| table.contains(pupil));
    let moved = after.iter().enumerate().flat_map(|(place, table)| {
        table.iter().filter(move |pupil| sat(pupil).is_some_and(|old| old != place))
    });
    [
        apart.iter().filter(|pair| both(pair, after) && !both(pair, before)).count(),
        after.iter().filter(|table| table.len() == 1).count(),
        moved.count(),
        after
            .iter()
            .map(|table| match table.len() {
                1 => 2,
                2 => 1,
                _ => 0,
            })
            .sum(),
    ]
}

/// Every child at every table, empty ones and one new one among them, up to four at each.
fn every_placement(children: &[PupilIndex], count: usize) -> Vec<Vec<Vec<PupilIndex>>> {
    let mut all = vec![vec![Vec::new(); count]];
    for pupil in children {
        let seat = |tables: &Vec<Vec<PupilIndex>>| {
            (0..count)
                .filter(|table| tables[*table].len() < 4)
                .map(|table| {
                    let mut tables = tables.clone();
                    tables[table].push(*pupil);
                    tables
                })
                .collect::<Vec<_>>()
        };
        all = all.iter().flat_map(seat).collect();
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn no_seating_of_a_small_class_disturbs_less(
        sizes in proptest::sample::select(vec![vec![1], vec![2], vec![3], vec![4], vec![3, 2], vec![3, 3], vec![2, 2], vec![4, 3], vec![4, 4], vec![2, 2, 2]]),
        pairs in proptest::collection::btree_set((0..9_u16, 0..9_u16), 0..6),
        leaves in any::<bool>(),
        who in 0..8_usize,
    ) {
        let children: usize = sizes.iter().sum();
        let mut everybody_here = everybody(children).into_iter();
        let before: Vec<Vec<PupilIndex>> = sizes.iter().map(|size| everybody_here.by_ref().take(*size).collect()).collect();
        let apart: BTreeSet<Apart> = pairs.into_iter().filter_map(|(one, other)| Apart::new(PupilIndex(one), PupilIndex(other))).collect();
        let apart: Vec<Apart> = apart.into_iter().collect();
        let pupil = everybody(children + 1)[if leaves { who % children } else { children }];
        let change = if leaves { Change::Leaves(pupil) } else { Change::Comes(pupil) };
        let after = reseat(&before, change, &apart);
        let here: Vec<PupilIndex> = everybody(children + 1).into_iter().filter(|one| !leaves || usize::from(one.0) < children && *one != pupil).collect();

        let mut seated: Vec<PupilIndex> = after.tables.iter().flatten().copied().collect();
        seated.sort_unstable();
        prop_assert_eq!(&seated, &here);
        prop_assert!(after.tables.iter().all(|table| table.len() <= 4));
        let own = naive(&before, &after.tables, &apart);
        prop_assert_eq!(own[2], after.moved.len());
        let best = every_placement(&here, before.len() + 1).iter().map(|other| naive(&before, other, &apart)).filter(|other| other[2] <= 2).min();
        prop_assert_eq!(Some(own), best, "{} -> {}", text(&before), text(&after.tables));
    }
}
