//! Coins of the United States, all cards to one scale of the Mint's diameters, told apart by size,
//! colour, edge and a plain garden motif of our own: leaf, gate, star, flower. The largest come
//! first, three to a row.

use super::paper::{CENTRE_X, CENTRE_Y, COPPER, INK, SILVER};
use super::print;
use crate::deck::shown::Coin;
use crate::deck::svg::{Drawing, Paint, number};

/// Units of the card for a millimetre of a coin.
pub(super) const SCALE: f64 = 2.6;
/// More would be counted one by one and not seen.
pub(super) const COINS_MAX: usize = 8;
const ROW: usize = 3;
const PITCH: f64 = 72.0;

/// With their values, each coin has its number below a smaller motif.
pub(super) fn draw(to: &mut Drawing, coins: &[Coin], values: bool) -> Option<()> {
    if coins.is_empty() || coins.len() > COINS_MAX {
        return None;
    }
    // Four lie two by two, which is seen at once.
    let row = if coins.len() == 4 { 2 } else { ROW };
    let rows = coins.len().div_ceil(row);
    for (place, coin) in coins.iter().enumerate() {
        let here = (coins.len() - place / row * row).min(row);
        let x = CENTRE_X + ((place % row) as f64 - (here - 1) as f64 / 2.0) * PITCH;
        let y = CENTRE_Y + ((place / row) as f64 - (rows - 1) as f64 / 2.0) * PITCH;
        one(to, *coin, (x, y), values)?;
    }
    Some(())
}

fn one(to: &mut Drawing, coin: Coin, (x, y): (f64, f64), values: bool) -> Option<()> {
    let radius = coin.diameter_mm() * SCALE / 2.0;
    let fill = if coin == Coin::Penny { COPPER } else { SILVER };
    to.circle("coin", (x, y), radius, Paint { fill, stroke: INK, width: 2.0 });
    if coin.reeded() {
        // Notches just inside the edge; 40 of them stand for the many of a real one.
        let mut notches = String::new();
        for notch in 0..40 {
            let (sin, cos) = (f64::from(notch) * 9.0_f64.to_radians()).sin_cos();
            for (command, reach) in [("M", radius - 4.0), ("L", radius - 1.2)] {
                notches.push_str(command);
                notches.push_str(&number(x + sin * reach));
                notches.push(' ');
                notches.push_str(&number(y + cos * reach));
            }
        }
        to.path("reed", &notches, Paint::line(INK, 1.0));
    } else {
        to.circle("", (x, y), radius - 3.4, Paint::line(INK, 1.0));
    }
    let (lift, half, pen) = if values { (0.42, 0.26, 1.6) } else { (0.0, 0.5, 2.2) };
    let motif = motif(coin, (x, y - radius * lift), radius * half);
    to.path("motif", &motif, Paint { fill: "none", stroke: INK, width: pen });
    if values {
        print::label(to, &coin.cents().to_string(), (x, y + radius * 0.3), radius * 0.7, INK)?;
    }
    Some(())
}

/// The motif's path, `half` units from its centre to its edge.
fn motif(coin: Coin, (x, y): (f64, f64), half: f64) -> String {
    let shape: &[&[(f64, f64)]] = match coin {
        // A leaf with its rib.
        Coin::Penny => &[
            &[
                (-0.8, 0.9),
                (-0.7, -0.1),
                (0.0, -0.8),
                (0.9, -0.9),
                (0.8, 0.0),
                (0.1, 0.7),
                (-0.8, 0.9),
            ],
            &[(-0.8, 0.9), (0.4, -0.4)],
        ],
        // A gate of two posts and two bars.
        Coin::Nickel => &[
            &[(-0.8, -0.8), (-0.8, 0.9)],
            &[(0.8, -0.8), (0.8, 0.9)],
            &[(-0.8, -0.4), (0.8, -0.4)],
            &[(-0.8, 0.4), (0.8, 0.4)],
        ],
        // A star of four rays.
        Coin::Dime => &[&[
            (0.0, -1.0),
            (0.25, -0.25),
            (1.0, 0.0),
            (0.25, 0.25),
            (0.0, 1.0),
            (-0.25, 0.25),
            (-1.0, 0.0),
            (-0.25, -0.25),
            (0.0, -1.0),
        ]],
        // A flower on its stalk.
        Coin::Quarter => &[
            &[
                (0.0, -1.0),
                (0.5, -0.8),
                (0.6, -0.3),
                (0.0, 0.0),
                (-0.6, -0.3),
                (-0.5, -0.8),
                (0.0, -1.0),
            ],
            &[(0.0, 0.0), (0.0, 1.0)],
            &[(0.0, 0.8), (0.6, 0.4)],
            &[(0.0, 0.8), (-0.6, 0.4)],
        ],
    };
    let mut path = String::new();
    for line in shape {
        for (index, (dx, dy)) in line.iter().enumerate() {
            path.push(if index == 0 { 'M' } else { 'L' });
            path.push_str(&format!("{} {}", number(x + dx * half), number(y + dy * half)));
        }
    }
    path
}
