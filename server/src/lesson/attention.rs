//! What a teacher should look at first. Pure: a table's board in, reasons out; and the tables in the order
//! of their need. The only place that knows which need is greater. It knows nothing of hands,
//! readiness or how the page words it.

use handround_protocol::id::{SeatIndex, TableId};
use handround_protocol::time::Micros;
use handround_protocol::view::{Attention, BoardSeat, BoardTable, LinkQuality, Phase, TableView};

/// A table that waits this long for one child needs a look: a little before cards go round it.
/// Common practice, no source.
const WAITS_S: u16 = 30;
/// This many false grabs in one game are more than a slip. The issue names three.
const FALSE_GRABS: u16 = 3;
/// Smoothed round trips up to this feel immediate to most people (Nielsen, "Response Times: The 3
/// Important Limits", 1993: 0.1 s, from memory).
const GOOD_UP_TO: Micros = Micros::from_ms(100);
/// Beyond this a child sees clearly later than its neighbours what goes on.
const SLOW_UP_TO: Micros = Micros::from_ms(400);

/// How well a device is reached.
pub fn link_quality(connected: bool, smoothed: Option<Micros>) -> LinkQuality {
    match smoothed {
        _ if !connected => LinkQuality::Gone,
        Some(span) if span > SLOW_UP_TO => LinkQuality::Poor,
        Some(span) if span > GOOD_UP_TO => LinkQuality::Slow,
        _ => LinkQuality::Good,
    }
}

/// Why this table needs the teacher, most urgent first: a raised hand, a table that waits, a lost
/// link, false grabs, a break; among equals the one that has lasted longest.
pub fn attention(view: &TableView, seats: &[BoardSeat]) -> Vec<Attention> {
    let running = matches!(view.phase, Phase::Dealt | Phase::Playing | Phase::RoundOver);
    let moving = running && !view.paused;
    let mut found = Vec::new();
    for ((index, seat), public) in (0..).map(SeatIndex).zip(seats).zip(&view.seats) {
        if seat.pupil.is_none() {
            continue;
        }
        if seat.help_s > 0 {
            found.push(Attention::HelpAsked { seat: index, seconds: seat.help_s });
        }
        if moving && public.in_play && !seat.stand_in && seat.waiting_s >= WAITS_S {
            found.push(Attention::WaitsFor { seat: index, seconds: seat.waiting_s });
        }
        if running && !seat.here && !seat.care.partner_holds {
            found.push(Attention::LinkLost { seat: index });
        }
        if running && seat.false_grabs >= FALSE_GRABS {
            found.push(Attention::FalseGrabs { seat: index, count: seat.false_grabs });
        }
        if seat.care.on_break {
            found.push(Attention::OnBreak { seat: index });
        }
    }
    found.sort_by_key(|reason| std::cmp::Reverse((need(reason), extent(reason))));
    found
}

/// Whether the first of a table's reasons holds a child up just now.
pub fn is_urgent(reasons: &[Attention]) -> bool {
    reasons.first().is_some_and(|reason| need(reason) >= Need::Link)
}

/// The tables, the one that needs the teacher most first. Tables of like need stay in the lesson's
/// order: by seconds they would change places on her screen again and again.
pub fn by_need(tables: &[BoardTable]) -> Vec<TableId> {
    let mut order: Vec<&BoardTable> = tables.iter().collect();
    order.sort_by_key(|table| std::cmp::Reverse(table.attention.first().map(need)));
    order.into_iter().map(|table| table.table).collect()
}

/// Kinds of need, the least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Need {
    Break,
    Taps,
    Link,
    Wait,
    Help,
}

fn need(reason: &Attention) -> Need {
    match reason {
        Attention::HelpAsked { .. } => Need::Help,
        Attention::WaitsFor { .. } => Need::Wait,
        Attention::LinkLost { .. } => Need::Link,
        Attention::FalseGrabs { .. } => Need::Taps,
        Attention::OnBreak { .. } => Need::Break,
    }
}

/// How long or how often.
fn extent(reason: &Attention) -> u16 {
    match *reason {
        Attention::HelpAsked { seconds, .. } | Attention::WaitsFor { seconds, .. } => seconds,
        Attention::FalseGrabs { count, .. } => count,
        Attention::LinkLost { .. } | Attention::OnBreak { .. } => 0,
    }
}

#[cfg(test)]
#[path = "attention_tests.rs"]
mod tests;
