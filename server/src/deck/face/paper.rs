//! Paper, ink and the foot mark that all cards share, and the colours with their contrast.
//!
//! Five light grounds, each with a dark outline; every other colour has a contrast of at least
//! 3:1 with all of them
//! (WCAG 2.2, success criterion 1.4.11, for parts needed to understand a picture; tested). Colour
//! tells kinds of thing apart for the eye's pleasure and never carries meaning alone.

use crate::deck::svg::{Drawing, Paint};

/// The card's ground.
pub(super) const PAPER: &str = "#fbf6ea";
/// Wooden blocks: a ground with an ink outline.
pub(super) const WOOD: &str = "#ebcb93";
/// Letters, outlines, strokes.
pub(super) const INK: &str = "#2b2a33";
/// Garden gloves: a ground with an ink outline.
pub(super) const GLOVE: &str = "#f3d9a4";
/// Pennies, buttons, honey: a ground with an ink outline.
pub(super) const COPPER: &str = "#efc6a8";
/// The other coins, glass and tin: a ground with an ink outline.
pub(super) const SILVER: &str = "#d6dbe0";
/// The colours that others lie on.
pub const GROUNDS: [&str; 5] = [PAPER, GLOVE, WOOD, COPPER, SILVER];
/// Border and frames of things that hold counted parts.
pub(super) const SOFT_INK: &str = "#6a6670";
/// Dots, cuffs, the sprout.
pub(super) const LEAF: &str = "#2f7247";
/// Counters.
pub(super) const BERRY: &str = "#a03248";
/// Writing lines.
pub(super) const LINE: &str = "#4d7083";

/// The area for the picture: all drawings are centred in it. Below it stands the foot mark.
pub(super) const CENTRE_X: f64 = 125.0;
pub(super) const CENTRE_Y: f64 = 163.0;
/// Width that a picture may take up.
pub(super) const WIDTH: f64 = 212.0;

/// An empty card with its foot mark: a sprout on a short piece of ground. A card lying upside down
/// would have its garden in the sky, which tells 6 from 9 on a real table.
pub(super) fn card() -> Drawing {
    let mut drawing = Drawing::default();
    let border = Paint { fill: PAPER, stroke: SOFT_INK, width: 2.0 };
    drawing.rect("", (2.0, 2.0), (246.0, 346.0), 18.0, border);
    drawing.line("", (105.0, 332.0), (145.0, 332.0), Paint::line(SOFT_INK, 2.5));
    drawing.path("", "M125 332L125 319", Paint::line(LEAF, 2.5));
    let leaves = "M125 322C119 323 114 319 113 312C120 311 125 315 125 322Z\
                  M125 319C131 320 136 316 137 309C130 308 125 312 125 319Z";
    drawing.path("", leaves, Paint::fill(LEAF));
    drawing
}

/// Contrast of two colours `#rrggbb` by WCAG 2.2: 1 to 21. `None` for anything else.
pub fn contrast(one: &str, other: &str) -> Option<f64> {
    let (one, other) = (luminance(one)?, luminance(other)?);
    Some((one.max(other) + 0.05) / (one.min(other) + 0.05))
}

/// Relative luminance by WCAG 2.2.
fn luminance(colour: &str) -> Option<f64> {
    let digits = colour.strip_prefix('#').filter(|d| d.len() == 6 && d.is_ascii())?;
    let mut sum = 0.0;
    for (index, weight) in [0.2126, 0.7152, 0.0722].into_iter().enumerate() {
        let byte = u8::from_str_radix(&digits[2 * index..2 * index + 2], 16).ok()?;
        let part = f64::from(byte) / 255.0;
        let linear =
            if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) };
        sum += weight * linear;
    }
    Some(sum)
}
