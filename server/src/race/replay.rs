//! A race as the wall display replays it: who took a token, moment by moment. Whoever took none is not
//! in it, and no time is: the wall compares nobody.

use super::Ruling;
use handround_protocol::id::SeatIndex;

/// The seats whose tokens go at each moment, first to last; seats that the draw placed next to each
/// other go together. `None` for a race that does not count.
pub fn moments(ruling: &Ruling, tokens: u8) -> Option<Vec<Vec<SeatIndex>>> {
    let mut moments: Vec<(bool, Vec<SeatIndex>)> = Vec::new();
    for placed in ruling.order.iter().take(usize::from(tokens)) {
        match moments.last_mut() {
            Some((true, together)) if placed.drawn => together.push(placed.seat),
            _ => moments.push((placed.drawn, vec![placed.seat])),
        }
    }
    (!ruling.void).then(|| moments.into_iter().map(|(_, seats)| seats).collect())
}
