//! Small classes told in a line each, sizes and sentences.

use super::*;
use crate::lesson::groups::sizes::{children_at_tables, threes_and_fours};

/// Threes and fours as computed outside this project, `content.md` section 8.
#[test]
fn the_split_is_the_one_with_the_fewest_tables() {
    let table = "3:1,0 4:0,1 6:2,0 7:1,1 8:0,2 9:3,0 10:2,1 11:1,2 13:3,1 17:3,2 19:1,4 \
                 21:3,3 22:2,4 23:1,5 25:3,4 27:1,6 30:2,6";
    for row in table.split_whitespace() {
        let numbers: Vec<usize> =
            row.split([':', ',']).map(|number| number.parse().unwrap()).collect();
        assert_eq!(threes_and_fours(numbers[0]), Some((numbers[1], numbers[2])), "{row}");
    }
    for pupils in [1, 2, 5] {
        assert_eq!(threes_and_fours(pupils), None);
    }
    for pupils in (1..=60).filter(|pupils| ![1, 2, 5].contains(pupils)) {
        let sizes = children_at_tables(pupils);
        assert_eq!(sizes.iter().sum::<usize>(), pupils);
        // With tables of up to four there cannot be fewer than a quarter of the children.
        assert_eq!(sizes.len(), pupils.div_ceil(4));
        assert!(sizes.is_sorted_by(|one, next| one >= next), "larger tables first: {sizes:?}");
    }
}

#[test]
fn one_sentence_says_how_the_class_sits() {
    let says = |pupils| in_list_order(pupils).sentence;
    assert_eq!(says(0), "Nobody is here.");
    assert_eq!(says(1), "1 child sits at one table of three with two practice partners.");
    assert_eq!(says(2), "2 children sit at one table of three with one practice partner.");
    assert_eq!(says(5), "5 children sit at 2 tables of three with one practice partner.");
    assert_eq!(says(11), "11 children sit at 2 tables of four and one table of three.");
    assert_eq!(says(12), "12 children sit at 3 tables of four.");
    let by_hand = seat(&tables("abcdef ghijk lm n")).sentence;
    assert_eq!(
        by_hand,
        "14 children sit at one table of six, one table of five and 2 tables of three with three practice partners."
    );
}

#[test]
fn children_sit_in_the_order_of_the_list_and_partners_behind_them() {
    let seating = in_list_order(5);
    let child = |index| Sitter::Pupil(PupilIndex(index));
    assert_eq!(
        seating.tables,
        [vec![child(0), child(1), child(2)], vec![child(3), child(4), Sitter::Partner]]
    );
}

/// Readiness, pairs, way, and the one seating (or, where several are as good, what is true of each).
#[test]
fn small_classes_sit_as_a_teacher_would_seat_them() {
    let at = |steps: &str, pairs: &str, way| {
        let (here, readiness, apart) = (everybody(steps.len()), readiness(steps), apart(pairs));
        group(
            Class { here: &here, readiness: &readiness, apart: &apart, unlike: &[] },
            way,
            Draw(7),
        )
    };
    let similar = at("13131313", "", Way::Similar);
    assert_eq!(text(&similar.tables), "aceg bdfh");
    // Nobody knows b and d: the middle, so they sit with the middle ones.
    assert_eq!(text(&at("3-2-2333", "", Way::Similar).tables), "afgh bcde");
    let mixed = at("111133331111", "", Way::Mixed);
    for table in &mixed.tables {
        let sure = table.iter().filter(|pupil| (4..8).contains(&pupil.0)).count();
        assert!((1..=2).contains(&sure), "{}", text(&mixed.tables));
    }
    // Means alone would let four middle ones sit beside two beginning and two sure ones.
    let steps = at("22221133", "", Way::Mixed);
    for table in &steps.tables {
        assert_eq!(table.iter().filter(|pupil| pupil.0 < 4).count(), 2, "{}", text(&steps.tables));
    }
    // Two sure ones who quarrel sit apart, even where like should sit with like.
    let quarrel = at("33331111", "ab", Way::Similar);
    assert_eq!(quarrel.kept, Kept::All);
    // Seven children have two tables: three of them cannot all sit apart (`content.md` section 8).
    let three = at("2222222", "ab bc ac", Way::Mixed);
    let Kept::Impossible(pairs) = &three.kept else { panic!("{three:?}") };
    assert_eq!(pairs.len(), 1);
    assert!(apart("ab bc ac").contains(&pairs[0]));
}

#[test]
fn a_pair_of_which_one_is_away_binds_nobody() {
    let here: Vec<PupilIndex> = everybody(4).into_iter().filter(|pupil| pupil.0 != 1).collect();
    let readiness = readiness("2222");
    let class = |apart| Class { here: &here, readiness: &readiness, apart, unlike: &[] };
    let (away, both_here) = (apart("ab"), apart("ac"));
    assert_eq!(group(class(&away), Way::Mixed, Draw(0)).kept, Kept::All);
    assert_eq!(
        group(class(&both_here), Way::Mixed, Draw(0)).kept,
        Kept::Impossible(both_here.clone())
    );
}

#[test]
fn groups_by_hand_hold_everybody_once_at_tables_of_up_to_six() {
    let here = everybody(8);
    let hand = |text: &str| by_hand(&here, &tables(text));
    assert_eq!(hand("h bcdefg - a").map(|tables| text(&tables)).unwrap(), "h bcdefg a");
    let pupil = |letter| child(letter);
    assert_eq!(hand("abcd efg"), Err(ByHandError::Missing { pupil: pupil('h') }));
    assert_eq!(hand("abcd efgha"), Err(ByHandError::Twice { pupil: pupil('a') }));
    assert_eq!(hand("abcd efghi"), Err(ByHandError::NotHere));
    assert_eq!(hand("a bcdefgh"), Err(ByHandError::TooMany { table: 1 }));
    let words = ByHandError::Missing { pupil: pupil('c') }.to_string();
    assert_eq!(words, "The child on line 3 of the list has no place yet.");
}

#[test]
fn a_pair_is_the_same_from_either_side_and_never_one_child() {
    let [a, b] = [child('a'), child('b')];
    assert_eq!(Apart::new(a, b), Apart::new(b, a));
    assert_eq!(Apart::new(b, a).unwrap().both(), [a, b]);
    assert_eq!(Apart::new(a, a), None);
}
