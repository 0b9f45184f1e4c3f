//! Groups against a naive model that tries every seating, against figures from outside, and
//! properties of random classes.

#![allow(clippy::unwrap_used)]

mod optimum;
mod properties;
mod reseating;
mod stories;

use super::*;
use std::collections::BTreeSet;

/// `ab cde`: a child a letter, in the order of the alphabet; tables stand between spaces, and `-`
/// is an empty one.
fn tables(text: &str) -> Vec<Vec<PupilIndex>> {
    text.split(' ')
        .map(|table| table.chars().filter(|sign| *sign != '-').map(child).collect())
        .collect()
}

fn child(letter: char) -> PupilIndex {
    PupilIndex(u16::try_from(u32::from(letter) - u32::from('a')).unwrap())
}

/// The way back.
fn text(tables: &[Vec<PupilIndex>]) -> String {
    let letter = |pupil: &PupilIndex| char::from(b'a' + u8::try_from(pupil.0).unwrap());
    let table = |table: &Vec<PupilIndex>| match table.len() {
        0 => "-".to_owned(),
        _ => table.iter().map(letter).collect(),
    };
    tables.iter().map(table).collect::<Vec<_>>().join(" ")
}

/// `ab cd`: a and b apart, c and d apart.
fn apart(text: &str) -> Vec<Apart> {
    let pair = |pair: &str| {
        let both: Vec<char> = pair.chars().collect();
        Apart::new(child(both[0]), child(both[1])).unwrap()
    };
    text.split_whitespace().map(pair).collect()
}

/// `132`: a has readiness 1, b 3, c 2; `-` is none.
fn readiness(text: &str) -> Vec<Option<Readiness>> {
    text.chars()
        .map(|sign| sign.to_digit(10).map(|step| Readiness(u8::try_from(step).unwrap())))
        .collect()
}

fn everybody(children: usize) -> Vec<PupilIndex> {
    (0..u16::try_from(children).unwrap()).map(PupilIndex).collect()
}

/// Every way of seating these children at tables of these sizes, each once.
fn every_seating(here: &[PupilIndex], sizes: &[usize]) -> BTreeSet<Vec<Vec<PupilIndex>>> {
    fn go(
        rest: &[PupilIndex],
        tables: &mut Vec<Vec<PupilIndex>>,
        sizes: &[usize],
        all: &mut BTreeSet<Vec<Vec<PupilIndex>>>,
    ) {
        let Some((first, rest)) = rest.split_first() else {
            let mut seating = tables.clone();
            seating.sort();
            all.insert(seating);
            return;
        };
        for table in 0..sizes.len() {
            if tables[table].len() < sizes[table] {
                tables[table].push(*first);
                go(rest, tables, sizes, all);
                tables[table].pop();
            }
        }
    }
    let mut all = BTreeSet::new();
    go(here, &mut vec![Vec::new(); sizes.len()], sizes, &mut all);
    all
}
