//! Reads coins by their size against the Mint's diameters; colour, edge and motif must agree.

use super::scan::Shape;
use super::{NEAR, parts, print};
use crate::deck::alphabet::Hand;
use crate::deck::face::COIN_SCALE;
use crate::deck::shown::{Coin, Shown};

/// How far a drawn diameter may be off, in millimetres: far less than between any two coins.
const OFF_MM: f64 = 0.1;

pub(super) fn coins(shapes: &[Shape]) -> Result<Shown, &'static str> {
    let glyphs = parts(shapes, "glyph");
    let mut printed = 0;
    let drawn = parts(shapes, "coin");
    let (reeds, motifs) = (parts(shapes, "reed"), parts(shapes, "motif"));
    let mut read = Vec::new();
    for (index, shape) in drawn.iter().enumerate() {
        let touches = |other: &&Shape| {
            (shape.x - other.x).hypot(shape.y - other.y) < shape.r + other.r + NEAR
        };
        if drawn[..index].iter().any(touches) {
            return Err("coins lie on each other");
        }
        let diameter_mm = 2.0 * shape.r / COIN_SCALE;
        let coin = Coin::ALL
            .into_iter()
            .find(|coin| (coin.diameter_mm() - diameter_mm).abs() < OFF_MM)
            .ok_or("a coin has the size of none")?;
        let on = |marks: &[&Shape]| -> Vec<usize> {
            marks
                .iter()
                .filter(|mark| start(mark).is_some_and(|at| shape.rings(at)))
                .map(|mark| mark.paths.iter().map(|path| path.matches('L').count()).sum())
                .collect()
        };
        let copper = drawn.iter().filter(|other| other.fill == shape.fill).count();
        let pennies = drawn.iter().filter(|other| same_size(shape, other)).count();
        if coin == Coin::Penny && copper != pennies {
            return Err("a penny has a colour of its own");
        }
        if on(&reeds).len() != usize::from(coin.reeded()) {
            return Err("the edge is that of another coin");
        }
        if on(&motifs) != [motif_strokes(coin)] {
            return Err("the motif is that of another coin");
        }
        if !glyphs.is_empty() {
            let inside = |glyph: &&&Shape| print::centre(glyph).is_some_and(|at| shape.rings(at));
            let own: Vec<&Shape> = glyphs.iter().filter(inside).copied().collect();
            printed += own.len();
            if print::text_of(Hand::Manuscript, &own)? != coin.cents().to_string() {
                return Err("a coin shows the value of another");
            }
        }
        read.push(coin);
    }
    if reeds.len() > drawn.len() || motifs.len() != drawn.len() {
        return Err("a mark lies on no coin");
    }
    if printed != glyphs.len() {
        return Err("a value stands on no coin");
    }
    Ok(if glyphs.is_empty() { Shown::Coins(read) } else { Shown::ValuedCoins(read) })
}

fn same_size(one: &Shape, other: &Shape) -> bool {
    (one.r - other.r).abs() < NEAR
}

/// Straight strokes of each motif.
fn motif_strokes(coin: Coin) -> usize {
    match coin {
        Coin::Penny => 7,
        Coin::Nickel => 4,
        Coin::Dime => 8,
        Coin::Quarter => 9,
    }
}

fn start(path: &Shape) -> Option<(f64, f64)> {
    let first = path.paths.first()?.split(['M', 'L']).nth(1)?;
    let (x, y) = first.split_once(' ')?;
    Some((x.parse().ok()?, y.parse().ok()?))
}
