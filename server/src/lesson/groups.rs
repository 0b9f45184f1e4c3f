//! Who sits together: tables of three and four for every size of class. Pure; children sit in the
//! order of the list.

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
    /// The tables, larger ones first, each in the order of play.
    pub tables: Vec<Vec<Sitter>>,
    /// The same in one plain sentence.
    pub sentence: String,
}

/// The usual table; three are the least for which a missing token can be noticed.
const SEATS_FOUR: u16 = 4;
const SEATS_THREE: u16 = 3;

/// Seats a class. Only 1, 2 and 5 cannot be split into threes and fours (5 is their Frobenius
/// number): one or two children get practice partners, five share a table.
pub fn seat_class(pupils: u16) -> Seating {
    let sizes = table_sizes(pupils);
    let mut everybody = (0..pupils).map(PupilIndex);
    let mut sit = |seats: &u16| {
        (0..*seats).map(|_| everybody.next().map_or(Sitter::Partner, Sitter::Pupil)).collect()
    };
    Seating { tables: sizes.iter().map(&mut sit).collect(), sentence: sentence(pupils) }
}

/// Threes and fours for a class that can be split so.
fn threes_and_fours(pupils: u16) -> Option<(u16, u16)> {
    let threes = (SEATS_FOUR - pupils % SEATS_FOUR) % SEATS_FOUR;
    let rest = pupils.checked_sub(threes * SEATS_THREE)?;
    Some((threes, rest / SEATS_FOUR))
}

fn table_sizes(pupils: u16) -> Vec<u16> {
    match (pupils, threes_and_fours(pupils)) {
        (_, Some((threes, fours))) => {
            let fours = std::iter::repeat_n(SEATS_FOUR, usize::from(fours));
            fours.chain(std::iter::repeat_n(SEATS_THREE, usize::from(threes))).collect()
        }
        (..SEATS_THREE, None) => vec![SEATS_THREE],
        (_, None) => vec![pupils],
    }
}

fn sentence(pupils: u16) -> String {
    let tables = |count: u16, seats: &str| match count {
        1 => format!("one table of {seats}"),
        _ => format!("{count} tables of {seats}"),
    };
    match (pupils, threes_and_fours(pupils)) {
        (0, _) => "Nobody is on the list.".to_owned(),
        (1, _) => "1 child sits with two practice partners at one table of three.".to_owned(),
        (2, _) => "2 children sit with one practice partner at one table of three.".to_owned(),
        (_, None) => format!("{pupils} children sit at one table of five."),
        (_, Some((0, fours))) => format!("{pupils} children sit at {}.", tables(fours, "four")),
        (_, Some((threes, 0))) => format!("{pupils} children sit at {}.", tables(threes, "three")),
        (_, Some((threes, fours))) => format!(
            "{pupils} children sit at {} and {}.",
            tables(fours, "four"),
            tables(threes, "three")
        ),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_child_of_every_class_sits_once_at_a_table_of_three_or_four() {
        for pupils in 1..=60 {
            let seating = seat_class(pupils);
            let sizes: Vec<usize> = seating.tables.iter().map(Vec::len).collect();
            match pupils {
                5 => assert_eq!(sizes, [5]),
                _ => {
                    assert!(sizes.iter().all(|size| (3..=4).contains(size)), "{pupils}: {sizes:?}")
                }
            }
            let sitters = seating.tables.iter().flatten();
            let children: Vec<u16> = sitters
                .clone()
                .filter_map(|sitter| match sitter {
                    Sitter::Pupil(pupil) => Some(pupil.0),
                    Sitter::Partner => None,
                })
                .collect();
            assert_eq!(children, (0..pupils).collect::<Vec<_>>());
            let partners = sitters.filter(|sitter| **sitter == Sitter::Partner).count();
            assert_eq!(partners, usize::from(3_u16.saturating_sub(pupils)));
            assert!(seating.sentence.starts_with(&pupils.to_string()), "{}", seating.sentence);
        }
    }

    /// Threes and fours as computed outside this project, `content.md` section 8.
    #[test]
    fn the_split_is_the_one_with_the_fewest_tables() {
        let table = "3:1,0 4:0,1 6:2,0 7:1,1 8:0,2 9:3,0 10:2,1 11:1,2 13:3,1 17:3,2 19:1,4 \
                     21:3,3 22:2,4 23:1,5 25:3,4 27:1,6 30:2,6";
        for row in table.split_whitespace() {
            let numbers: Vec<u16> =
                row.split([':', ',']).map(|number| number.parse().unwrap()).collect();
            assert_eq!(threes_and_fours(numbers[0]), Some((numbers[1], numbers[2])), "{row}");
        }
        for pupils in [1, 2, 5] {
            assert_eq!(threes_and_fours(pupils), None);
        }
    }

    #[test]
    fn one_sentence_says_how_the_class_sits() {
        let says = |pupils| seat_class(pupils).sentence;
        assert_eq!(says(11), "11 children sit at 2 tables of four and one table of three.");
        assert_eq!(says(12), "12 children sit at 3 tables of four.");
        assert_eq!(says(5), "5 children sit at one table of five.");
        assert_eq!(says(1), "1 child sits with two practice partners at one table of three.");
    }
}
