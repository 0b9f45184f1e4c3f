//! Rows and equal groups up to five by five (2.OA.C.4), matched by how many there are in all: one way
//! of cutting each number, since 2 rows of 6 and 3 rows of 4 would match. 10 groups.

use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::Shown;
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] =
    &[Standard { code: "2.OA.C.4", asks: "rows up to 5 by 5 as a sum of equal numbers" }];

pub(super) fn family() -> Family {
    let mut groups: Vec<MatchGroup> = Vec::new();
    for rows in 2..=5_u16 {
        for each in rows..=5 {
            let total = rows * each;
            let ways = [(rows, each), (each, rows)];
            let per_way = |card: &dyn Fn(u16, u16) -> (FaceKind, Shown)| {
                let mut cards: Vec<_> = ways.iter().map(|(r, e)| card(*r, *e)).collect();
                cards.dedup();
                cards
            };
            let terms =
                |rows: u16, each: u16| vec![each.to_string(); usize::from(rows)].join(" + ");
            let places = vec![
                per_way(&|rows, each| (FaceKind::Array, Shown::Rows { rows, each })),
                per_way(&|rows, each| (FaceKind::EqualGroups, Shown::Rows { rows, each })),
                per_way(&|rows, each| {
                    (FaceKind::RowWords, Shown::Print(format!("{rows} rows of {each}")))
                }),
                per_way(&|rows, each| (FaceKind::Addition, Shown::Print(terms(rows, each)))),
            ];
            groups.push(MatchGroup { meaning: Meaning::Number(total), places });
        }
    }
    Family {
        name: "Rows and equal groups".to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::SevenToEight, AgeBand::SevenToEight),
        likeness: Likeness::Value,
        accent: Accent::ANY,
        groups,
        starts: Vec::new(),
    }
}
