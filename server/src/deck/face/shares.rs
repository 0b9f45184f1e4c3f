//! A whole cut into equal shares: a circle from its centre, a tall rectangle into rows, a long bar
//! into columns.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, INK, PAPER};
use crate::deck::shown::Whole;
use crate::deck::svg::{Drawing, Paint, number};

/// Most shares (2.G.A.3 ends with fourths).
pub(super) const SHARES_MAX: u8 = 4;

pub(super) fn draw(to: &mut Drawing, whole: Whole, shares: u8, shaded: u8) -> Option<()> {
    if !(2..=SHARES_MAX).contains(&shares) || shaded > shares {
        return None;
    }
    for share in 0..shares {
        let fill = if share < shaded { BERRY } else { PAPER };
        let paint = Paint { fill, stroke: INK, width: 4.0 };
        let (part, whole_part) = (f64::from(share), f64::from(shares));
        let block = |size: (f64, f64), across: bool| {
            let corner = (CENTRE_X - size.0 / 2.0, CENTRE_Y - size.1 / 2.0);
            if across {
                let width = size.0 / whole_part;
                ((corner.0 + part * width, corner.1), (width, size.1))
            } else {
                let height = size.1 / whole_part;
                ((corner.0, corner.1 + part * height), (size.0, height))
            }
        };
        match whole {
            Whole::Circle => {
                to.path("share", &sector(part / whole_part, (part + 1.0) / whole_part), paint);
            }
            Whole::Rectangle => {
                let (at, size) = block((140.0, 216.0), false);
                to.rect("share", at, size, 0.0, paint);
            }
            Whole::Bar => {
                let (at, size) = block((212.0, 84.0), true);
                to.rect("share", at, size, 0.0, paint);
            }
        }
    }
    Some(())
}

/// A sector of the circle between two shares of a turn, clockwise from the top.
fn sector(from: f64, end: f64) -> String {
    const RADIUS: f64 = 104.0;
    let point = |turn: f64| {
        let (sin, cos) = (turn * std::f64::consts::TAU).sin_cos();
        format!("{} {}", number(CENTRE_X + RADIUS * sin), number(CENTRE_Y - RADIUS * cos))
    };
    format!(
        "M{} {}L{}A{RADIUS} {RADIUS} 0 0 1 {}Z",
        number(CENTRE_X),
        number(CENTRE_Y),
        point(from),
        point(end)
    )
}
