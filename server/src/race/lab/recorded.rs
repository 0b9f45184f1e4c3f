//! Races that were played, from a table's journal: ruled again by today's code, beside what was
//! ruled then.

use crate::game::{Entry, Event};
use crate::race::picture::named;
use crate::race::{Record, Ruling, ruling};
use std::fmt::Write as _;

/// What a table's journal holds of races.
#[derive(Clone, Debug)]
pub struct Recorded {
    /// The names at the table, by seat.
    pub names: Vec<String>,
    /// Each race with what was ruled then, oldest first.
    pub races: Vec<(Record, Ruling)>,
}

/// The races in a table's journal.
///
/// # Errors
/// The first line that is no entry of a table's journal.
pub fn records(lines: &[String]) -> Result<Recorded, serde_json::Error> {
    let (mut names, mut races) = (Vec::new(), Vec::new());
    for line in lines {
        let entry: Entry = serde_json::from_str(line)?;
        match entry.event {
            Event::Seated { seats } => names = seats.into_iter().map(|plan| plan.name).collect(),
            Event::RoundEnded { race: Some(race), .. } => races.push(race),
            _ => {}
        }
    }
    Ok(Recorded { names, races })
}

/// Each race in one sentence, and what today's code would say where it says something else.
pub fn tell(recorded: &Recorded) -> String {
    let races = &recorded.races;
    let names: Vec<&str> = recorded.names.iter().map(String::as_str).collect();
    let mut out = String::new();
    let mut others = 0;
    for (number, (record, then)) in races.iter().enumerate() {
        let _ = writeln!(out, "{:>4}  {}", number + 1, named(&then.sentence, &names));
        let now = ruling::rule(record);
        let seats = |ruling: &Ruling| {
            let seats: Vec<u8> = ruling.order.iter().map(|placed| placed.seat.0).collect();
            (seats, ruling.void)
        };
        if seats(&now) != seats(then) {
            others += 1;
            let _ = writeln!(out, "      today: {}", named(&now.sentence, &names));
        }
    }
    let _ =
        writeln!(out, "{} races, {others} of them ruled otherwise by today's code", races.len());
    out
}
