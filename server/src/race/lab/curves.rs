//! The curves from which two constants of the arbiter are chosen. Who plays their rows is not its
//! business.

use super::profiles::{Device, Profile};
use super::score::{Row, Score};
use crate::race::measure::CreditRule;
use handround_protocol::time::Micros;

/// One point of the curve from which the cap is chosen.
#[derive(Clone, Debug)]
pub struct CurvePoint {
    /// The cap.
    pub cap_ms: u64,
    /// Pairs and losers right among honest seats on Wi-Fi-like links, with all evidence.
    pub honest: Score,
    /// The same without pings in the race.
    pub honest_plain: Score,
    /// Spared of last places by claiming 200 ms less, on a Wi-Fi-like link of 60 ms.
    pub spared: f64,
    /// The same on a steady link.
    pub spared_steady: f64,
    /// The same by answering pings late on a Wi-Fi-like link through a proxy.
    pub spared_late: f64,
}

/// Last places and right orders against the cap; `play` plays a row.
pub fn curve(play: &dyn Fn(&Profile) -> Row) -> Vec<CurvePoint> {
    let at = |cap_ms: u64, name: &str, device: Device, direct: bool| {
        let Some(mut row) = super::by_name(name) else { unreachable!("the profiles have {name}") };
        row.credit = CreditRule { most: Micros::from_ms(cap_ms), ..row.credit };
        row.seats[1].device = device;
        row.seats.iter_mut().for_each(|seat| seat.direct = direct);
        play(&row)
    };
    [0, 5, 10, 15, 20, 30, 40, 60, 100, 200]
        .into_iter()
        .map(|cap_ms| CurvePoint {
            cap_ms,
            honest: at(cap_ms, "wifi", Device::Honest, true).ours,
            honest_plain: at(cap_ms, "wifi-plain", Device::Honest, true).ours,
            spared: at(cap_ms, "wifi-near", Device::ClaimsLess, true).spared().share,
            spared_steady: at(cap_ms, "equal", Device::ClaimsLess, true).spared().share,
            spared_late: at(cap_ms, "wifi-near", Device::PongsLate, false).spared().share,
        })
        .collect()
}

/// One point of the curve from which `HoldRule::unheard` is chosen.
#[derive(Clone, Debug)]
pub struct HoldPoint {
    /// What `unheard` would be.
    pub unheard_ms: u64,
    /// The rows that are hardest to be fair in without waiting long.
    pub rows: [Row; 2],
}

/// The rows of that curve.
pub const HOLD_ROWS: [&str; 2] = ["wifi-near", "cue-spike"];

/// Right orders and long holds against how long a link may have been unheard; `play` plays a row.
pub fn hold_curve(play: &dyn Fn(&Profile) -> Row) -> Vec<HoldPoint> {
    let at = |unheard_ms: u64, name: &str| {
        let Some(mut row) = super::by_name(name) else { unreachable!("the profiles have {name}") };
        row.hold.unheard = Micros::from_ms(unheard_ms);
        play(&row)
    };
    [0, 50, 100, 130, 165, 200, 300, 1_000]
        .into_iter()
        .map(|unheard_ms| HoldPoint {
            unheard_ms,
            rows: HOLD_ROWS.map(|name| at(unheard_ms, name)),
        })
        .collect()
}
