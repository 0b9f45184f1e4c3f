//! How many children sit at each table, and how that sounds in one sentence.

use super::Sitter;
use std::collections::BTreeMap;

/// The usual table.
pub const SEATS_FOUR: usize = 4;
/// The least for which a missing token can be noticed; smaller tables get practice partners.
pub const SEATS_THREE: usize = 3;

/// How many children sit at each table, larger tables first. Only 1, 2 and 5 cannot be split into
/// threes and fours (5 is their Frobenius number): one or two children share a table with practice
/// partners, five sit as three and two, so that nobody waits for four others.
pub fn children_at_tables(children: usize) -> Vec<usize> {
    if let Some((threes, fours)) = threes_and_fours(children) {
        let fours = std::iter::repeat_n(SEATS_FOUR, fours);
        return fours.chain(std::iter::repeat_n(SEATS_THREE, threes)).collect();
    }
    match children {
        5 => vec![3, 2],
        few => vec![few],
    }
}

/// Threes and fours for a class that can be split so, with the fewest tables.
pub fn threes_and_fours(children: usize) -> Option<(usize, usize)> {
    let threes = (SEATS_FOUR - children % SEATS_FOUR) % SEATS_FOUR;
    let rest = children.checked_sub(threes * SEATS_THREE)?;
    Some((threes, rest / SEATS_FOUR))
}

/// Practice partners at a table of so many children; none at an empty one.
pub fn partners_beside(children: usize) -> usize {
    if children == 0 { 0 } else { SEATS_THREE.saturating_sub(children) }
}

/// Such as `11 children sit at 2 tables of four and one table of three.`
pub fn sentence(tables: &[Vec<Sitter>]) -> String {
    let sitters = || tables.iter().flatten();
    let partners = sitters().filter(|sitter| **sitter == Sitter::Partner).count();
    let who = match sitters().count() - partners {
        0 => return "Nobody is here.".to_owned(),
        1 => "1 child sits".to_owned(),
        children => format!("{children} children sit"),
    };
    let mut by_seats: BTreeMap<usize, usize> = BTreeMap::new();
    tables.iter().for_each(|table| *by_seats.entry(table.len()).or_default() += 1);
    let kinds: Vec<String> = by_seats
        .into_iter()
        .rev()
        .map(|(seats, count)| match count {
            1 => format!("one table of {}", number(seats)),
            _ => format!("{count} tables of {}", number(seats)),
        })
        .collect();
    let with = match partners {
        0 => String::new(),
        1 => " with one practice partner".to_owned(),
        _ => format!(" with {} practice partners", number(partners)),
    };
    format!("{who} at {}{with}.", listed(&kinds))
}

/// `a`, `a and b`, `a, b and c`.
fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn number(count: usize) -> String {
    let words = ["no", "one", "two", "three", "four", "five", "six"];
    words.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}
