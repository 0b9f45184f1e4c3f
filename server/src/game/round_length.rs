//! What a journal tells of its rounds: how long they took, how many cards the dealer drew before
//! somebody held four alike, and whether the discard pile was used again. Simulations read the
//! defaults off it; it decides nothing.

use super::event::{Entry, Event, Source};
use handround_protocol::time::Micros;
use handround_protocol::view::RoundEnd;

/// One round that ended with somebody last or with all laid down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RoundLength {
    /// From the deal to the ruling.
    pub length: Micros,
    /// Cards drawn from the draw pile until the race began.
    pub draws: u32,
    /// The discard pile became the draw pile at least once.
    pub reused: bool,
}

/// The rounds of a journal that counted, in order.
pub fn round_lengths(journal: &[Entry]) -> Vec<RoundLength> {
    let mut rounds = Vec::new();
    let mut dealt = Micros(0);
    let mut current = RoundLength { length: Micros(0), draws: 0, reused: false };
    let mut racing = false;
    for entry in journal {
        match &entry.event {
            Event::Dealt { .. } => {
                dealt = entry.at;
                current = RoundLength { length: Micros(0), draws: 0, reused: false };
                racing = false;
            }
            Event::TakenUp { source: Source::Pile, .. } if !racing => current.draws += 1,
            Event::Reshuffled { .. } => current.reused = true,
            Event::Grabbed { .. } => racing = true,
            Event::RoundEnded { end: RoundEnd::Last { .. } | RoundEnd::AllLaidDown, .. } => {
                rounds.push(RoundLength { length: entry.at.since(dealt), ..current });
            }
            _ => {}
        }
    }
    rounds
}

/// The value that this share of the values, in hundredths, does not exceed; `None` without values.
pub fn percentile<T: Copy + Ord>(values: &[T], hundredths: usize) -> Option<T> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable();
    let place = (sorted.len() * hundredths).div_ceil(100).max(1) - 1;
    sorted.get(place).copied()
}
