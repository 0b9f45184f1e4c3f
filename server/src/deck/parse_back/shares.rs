//! Reads equal shares: sectors by their angles, strips by their sizes; a share is shaded when it has
//! another colour than the card.

use super::scan::Shape;
use super::{NEAR, parts};
use crate::deck::shown::{Shown, Whole};

/// The card's own colour, by which an empty share is known.
const EMPTY: &str = "#fbf6ea";

pub(super) fn shares(shapes: &[Shape]) -> Result<Shown, &'static str> {
    let drawn = parts(shapes, "share");
    let whole = if drawn.iter().all(|share| !share.paths.is_empty()) {
        sectors(&drawn)?;
        Whole::Circle
    } else {
        strips(&drawn)?
    };
    let shaded = drawn.iter().filter(|share| share.fill != EMPTY).count();
    let small = |count: usize| u8::try_from(count).map_err(|_| "there are too many shares");
    Ok(Shown::Shares { whole, shares: small(drawn.len())?, shaded: small(shaded)? })
}

/// Sectors from one centre that are equally wide and follow each other all the way round.
fn sectors(drawn: &[&Shape]) -> Result<(), &'static str> {
    let mut ends = Vec::new();
    for share in drawn {
        let path = share.paths.first().map(String::as_str).unwrap_or_default();
        let numbers: Vec<f64> =
            path.split(['M', 'L', 'A', 'Z', ' ']).filter_map(|text| text.parse().ok()).collect();
        let [cx, cy, x, y, rx, ry, _, _, _, x2, y2] = numbers[..] else {
            return Err("a sector is broken");
        };
        let on = |x: f64, y: f64| ((x - cx).hypot(y - cy) - rx).abs() < NEAR;
        if (rx - ry).abs() > NEAR || !on(x, y) || !on(x2, y2) {
            return Err("a sector is not part of a circle");
        }
        let turn = |x: f64, y: f64| (x - cx).atan2(cy - y).rem_euclid(std::f64::consts::TAU);
        ends.push((turn(x, y), turn(x2, y2)));
    }
    let each = std::f64::consts::TAU / ends.len() as f64;
    let near = |one: f64, other: f64| {
        let apart = (one - other).rem_euclid(std::f64::consts::TAU);
        apart.min(std::f64::consts::TAU - apart) < 0.01
    };
    let equal = ends.iter().all(|(from, end)| near(end - from, each % std::f64::consts::TAU));
    let follow = ends.windows(2).all(|pair| near(pair[0].1, pair[1].0));
    if equal && follow { Ok(()) } else { Err("the sectors are not equal") }
}

/// Strips of one size, side by side or one under the other.
fn strips(drawn: &[&Shape]) -> Result<Whole, &'static str> {
    let first = drawn.first().ok_or("there are no shares")?;
    let same = |share: &&Shape| {
        (share.width - first.width).abs() < NEAR && (share.height - first.height).abs() < NEAR
    };
    if !drawn.iter().all(same) {
        return Err("the strips are not equal");
    }
    let down = drawn.windows(2).all(|pair| {
        (pair[1].y - pair[0].y - first.height).abs() < NEAR && (pair[1].x - pair[0].x).abs() < NEAR
    });
    let across = drawn.windows(2).all(|pair| {
        (pair[1].x - pair[0].x - first.width).abs() < NEAR && (pair[1].y - pair[0].y).abs() < NEAR
    });
    match (down, across) {
        (true, false) => Ok(Whole::Rectangle),
        (false, true) => Ok(Whole::Bar),
        _ => Err("the strips do not lie side by side"),
    }
}
