//! How the lab imagines a device's kernel: which of the server's pings it acknowledges, and when the
//! acknowledgements reach the server. What the program sends carries one; a quiet program's kernel sends its
//! own, at once or after a while.
//!
//! Queues keep the order of what passes; a segment that meets a spike of its own, as one that was lost and
//! is sent again, is overtaken by later ones, acknowledgements among them.

use super::network::unit;
use rand_chacha::ChaCha8Rng;

/// Acknowledgements that a kernel sends at once: Linux does for the first segments of a connection and
/// after a pause (quick acknowledgements; from memory). How many of all is an assumption.
const AT_ONCE_SHARE: f64 = 0.25;
/// The others wait for something to ride on, so long at the most: Linux 40 to 200 ms (from memory;
/// RFC 1122, 4.2.3.2, allows 500 ms).
const DELAYED_US: (f64, f64) = (40_000.0, 200_000.0);

/// One segment of the device's, as it leaves its kernel.
#[derive(Clone, Copy, Debug)]
pub struct Segment {
    /// When.
    pub sent: f64,
    /// How many of the pings it acknowledges.
    pub pings: usize,
    /// Which of the program's messages it carries, if any.
    pub carries: Option<usize>,
}

/// What the kernel sends, given when it received each ping and when the program sends each message, both
/// in order.
pub fn segments(received: &[f64], messages: &[f64], dice: &mut ChaCha8Rng) -> Vec<Segment> {
    let mut all = Vec::new();
    let (mut ping, mut message, mut due) = (0, 0, f64::INFINITY);
    loop {
        let next = received.get(ping).copied().unwrap_or(f64::INFINITY);
        let says = messages.get(message).copied().unwrap_or(f64::INFINITY);
        let sent = next.min(says).min(due);
        if sent == f64::INFINITY {
            return all;
        }
        if next == sent {
            ping += 1;
            if unit(dice) < AT_ONCE_SHARE {
                due = sent;
            } else if due == f64::INFINITY {
                due = sent + DELAYED_US.0 + (DELAYED_US.1 - DELAYED_US.0) * unit(dice);
            }
        } else {
            let carries = (due > sent).then_some(message);
            message += usize::from(carries.is_some());
            all.push(Segment { sent, pings: ping, carries });
            due = f64::INFINITY;
        }
    }
}

/// How many segments with messages reached the server before an earlier one, by then.
pub fn out_of_order(arrived: &[f64], by: f64) -> u32 {
    let mut latest = f64::NEG_INFINITY;
    let mut early = 0;
    for at in arrived {
        early += u32::from(*at < latest && *at <= by);
        latest = latest.max(*at);
    }
    early
}
