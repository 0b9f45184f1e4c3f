//! What holds for every class: everybody once, right sizes, the same again by the same draw.

use super::*;
use proptest::prelude::*;

fn class() -> impl Strategy<Value = (Vec<Option<Readiness>>, Vec<Apart>, Vec<PupilIndex>)> {
    (1..=60_usize).prop_flat_map(|children| {
        let step = prop_oneof![Just(None), (1..=3_u8).prop_map(|step| Some(Readiness(step)))];
        let one = 0..u16::try_from(children).unwrap();
        let pairs = proptest::collection::vec((one.clone(), one), 0..children);
        let here = proptest::sample::subsequence(everybody(children), 1..=children);
        (proptest::collection::vec(step, children), pairs, here).prop_map(
            |(readiness, pairs, here)| {
                let pair = |(one, other)| Apart::new(PupilIndex(one), PupilIndex(other));
                (readiness, pairs.into_iter().filter_map(pair).collect(), here)
            },
        )
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn everybody_sits_once_at_a_table_of_the_right_size((readiness, apart, here) in class(), way in prop_oneof![Just(Way::Mixed), Just(Way::Similar), Just(Way::Random), Just(Way::FromPlay)], draw in any::<u32>()) {
        let class = Class { here: &here, readiness: &readiness, apart: &apart, unlike: &[] };
        let groups = group(class, way, Draw(draw));
        let mut seated: Vec<PupilIndex> = groups.tables.iter().flatten().copied().collect();
        seated.sort_unstable();
        prop_assert_eq!(&seated, &here);

        let sizes: Vec<usize> = groups.tables.iter().map(Vec::len).collect();
        match here.len() {
            1 | 2 => prop_assert_eq!(sizes, vec![here.len()]),
            5 => prop_assert_eq!(sizes, vec![3, 2]),
            _ => prop_assert!(sizes.iter().all(|size| (3..=4).contains(size)), "{:?}", sizes),
        }
        // A child at home is seated like any other, hence beside at least one child wherever there is one.
        prop_assert!(here.len() == 1 || groups.tables.iter().all(|table| table.len() >= 2));
        let seats = seat(&groups.tables).tables;
        prop_assert!(seats.iter().all(|table| (3..=4).contains(&table.len())));

        // Kept apart or named, and nobody is named who is kept apart.
        let mut broken: Vec<Apart> = apart.iter().copied().filter(|pair| {
            let [one, other] = pair.both();
            groups.tables.iter().any(|table| table.contains(&one) && table.contains(&other))
        }).collect();
        broken.sort_unstable();
        broken.dedup();
        match &groups.kept {
            Kept::All => prop_assert!(broken.is_empty()),
            Kept::Impossible(pairs) | Kept::NotFound(pairs) => {
                prop_assert!(!broken.is_empty());
                prop_assert_eq!(pairs, &broken);
            }
        }
        prop_assert_eq!(group(class, way, Draw(draw)), groups);
    }
}

/// Six who are all to be apart from each other need six tables, and there are just six.
#[test]
fn a_class_that_can_be_kept_apart_is() {
    let six = "ab ac ad ae af bc bd be bf cd ce cf de df ef";
    let pairs = apart(&format!("{six} gh hi ij jk kl lg ag bh ci dj ek fl"));
    let here = everybody(24);
    let readiness = readiness("123123123123123123123123");
    for draw in 0..20 {
        for way in [Way::Mixed, Way::Similar, Way::Random] {
            let class = Class { here: &here, readiness: &readiness, apart: &pairs, unlike: &[] };
            assert_eq!(group(class, way, Draw(draw)).kept, Kept::All, "{way:?} {draw}");
        }
    }
}

#[test]
fn a_full_class_of_pairs_that_hardly_fits_is_found_by_the_exact_search() {
    // Twelve children at three tables of four who allow each other at exactly these tables.
    let wanted = tables("aeik bfjl cgdh");
    let here = everybody(12);
    let mut pairs = Vec::new();
    for one in &here {
        for other in &here {
            let pair =
                Apart::new(*one, *other).filter(|pair| !wanted.iter().any(|t| pair.together_at(t)));
            pairs.extend(pair);
        }
    }
    let class =
        Class { here: &here, readiness: &readiness("123123123123"), apart: &pairs, unlike: &[] };
    let groups = group(class, Way::Mixed, Draw(1));
    assert_eq!((text(&groups.tables).as_str(), groups.kept), ("aeik bfjl cdgh", Kept::All));
    assert!(matches!(
        apart::prove(&here, &[4, 4, 4], &apart::Pairs::new(pairs)),
        apart::Proof::Possible(_)
    ));
}

#[test]
fn the_next_draw_gives_other_groups_that_are_as_good() {
    let here = everybody(25);
    let readiness = readiness("1232132312132312321232132");
    for way in [Way::Mixed, Way::Similar, Way::Random] {
        let class = Class { here: &here, readiness: &readiness, apart: &[], unlike: &[] };
        let all: BTreeSet<String> =
            (0..10).map(|draw| text(&group(class, way, Draw(draw)).tables)).collect();
        assert!(all.len() >= 9, "{way:?}: {} of 10 draws differ", all.len());
    }
}

/// A child meets each of the 11 others equally often: in 3 of 11 draws, since three sit beside it.
/// Six standard errors either side (binomial distribution).
#[test]
fn chance_favours_nobody() {
    let here = everybody(12);
    let readiness = vec![None; 12];
    let class = Class { here: &here, readiness: &readiness, apart: &[], unlike: &[] };
    let draws = 2_000_u32;
    let mut met = [0_u32; 12];
    for draw in 0..draws {
        let tables = group(class, Way::Random, Draw(draw)).tables;
        let own = tables.into_iter().find(|table| table.contains(&PupilIndex(0))).unwrap();
        own.iter().for_each(|other| met[usize::from(other.0)] += 1);
    }
    let share = 3.0 / 11.0;
    let expected = f64::from(draws) * share;
    let six_errors = 6.0 * (expected * (1.0 - share)).sqrt();
    for times in &met[1..] {
        assert!((f64::from(*times) - expected).abs() < six_errors, "{met:?}");
    }
}

/// The numbers of the tables must not tell who is how sure.
#[test]
fn a_tables_number_tells_nothing_of_readiness() {
    let here = everybody(12);
    let sure_last = readiness("111122223333");
    let sure_first = readiness("333322221111");
    let order = |readiness: &[Option<Readiness>]| {
        text(
            &group(
                Class { here: &here, readiness, apart: &[], unlike: &[] },
                Way::Similar,
                Draw(3),
            )
            .tables,
        )
    };
    assert_eq!(order(&sure_last), "abcd efgh ijkl");
    assert_eq!(order(&sure_first), order(&sure_last));
}
