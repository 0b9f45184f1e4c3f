//! The arbiter tried: races told as text tables, values from outside the project, and properties
//! over random races beside a naive model.
#![allow(clippy::unwrap_used)]

mod acknowledged;
mod check_values;
mod properties;
mod stories;

use super::{Cue, Kind, Observation, Record, Runner};
use crate::game::LinkBounds;
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::time::Micros;

const START: u64 = 1_000_000_000;

fn ms(ms: u64) -> Micros {
    Micros::from_ms(ms)
}

fn at(offset_ms: u64) -> Micros {
    Micros(START + offset_ms * 1_000)
}

/// A link whose round trips lie between these; the mean deviation is a quarter of their span.
fn link(least_ms: u64, greatest_ms: u64) -> LinkBounds {
    LinkBounds {
        least: ms(least_ms),
        smoothed: ms((least_ms + greatest_ms) / 2),
        greatest: ms(greatest_ms),
        clock_step: Micros(100),
        variation: ms((greatest_ms - least_ms) / 4),
        ..LinkBounds::NONE
    }
}

/// Reads a race, a line a seat:
/// `who kind sent ping shown least..greatest claim arrived [unanswered answered]`, times in ms from the first
/// grab, `-` for what never came. The seat's number is its line and its drawn rank; `twice` behind a
/// name means that this seat has caused two void rounds already.
fn race(text: &str) -> Record {
    let runners: Vec<Runner> = text.trim().lines().enumerate().map(runner).collect();
    Record { tokens: runners.len() as u8 - 1, started: at(0), runners }
}

fn runner((index, line): (usize, &str)) -> Runner {
    let words: Vec<&str> = line.split_whitespace().collect();
    let number = |word: usize| words.get(word).and_then(|word| word.parse::<u64>().ok());
    let (least, greatest) = words[5].split_once("..").unwrap();
    let link = link(least.parse().unwrap(), greatest.parse().unwrap());
    let cue = number(2).map(|sent| Cue {
        nonce: Nonce([index as u8; 16]),
        made: at(0),
        sent: Some(at(sent)),
        pinged: number(3).map(at),
        shown_arrived: number(4).map(at),
        shown: number(4).map(|_| Micros(50_000)),
        link,
        answered: number(9).map(at),
    });
    let unanswered = number(8).map_or(Micros(0), ms);
    let kind = match words[1] {
        "own" => Some(Kind::OwnFour),
        "cued" => Some(Kind::Cued),
        "room" => Some(Kind::Room),
        "-" => None,
        other => panic!("no such kind: {other}"),
    };
    let grab = kind.map(|kind| Observation {
        shown: number(6).map(|_| Micros(50_000)),
        ..Observation::plain(
            kind,
            Micros(50_000 + number(6).unwrap_or(0) * 1_000),
            at(number(7).unwrap()),
            LinkBounds { unanswered, ..link },
        )
    });
    let voids_left = if words[0].ends_with("twice") { 0 } else { 2 };
    Runner { seat: SeatIndex(index as u8), rank: index as u8, cue, grab, voids_left }
}
