//! Tally marks: upright strokes, the fifth laid across its four from lower left to upper right,
//! with a gap behind every bundle of five. Two bundles fit on a line.

use super::paper::{CENTRE_X, CENTRE_Y, INK};
use crate::deck::svg::{Drawing, Paint};

const BUNDLE: u16 = 5;
const LINE_BUNDLES: u16 = 2;

/// Lengths of one size of tally, in units of the card.
struct Size {
    height: f64,
    /// From stroke to stroke.
    pitch: f64,
    /// From the last stroke of a bundle to the first of the next.
    bundle_gap: f64,
    line_gap: f64,
    pen: f64,
    /// How far the fifth stroke reaches beyond its four, on both sides.
    reach: f64,
}

/// A single bundle may be large; more have to share the card.
const ONE_BUNDLE: Size =
    Size { height: 176.0, pitch: 40.0, bundle_gap: 0.0, line_gap: 0.0, pen: 12.0, reach: 24.0 };
const ONE_LINE: Size =
    Size { height: 140.0, pitch: 20.5, bundle_gap: 48.0, line_gap: 0.0, pen: 9.0, reach: 14.0 };
const TWO_LINES: Size =
    Size { height: 104.0, pitch: 20.5, bundle_gap: 48.0, line_gap: 44.0, pen: 8.5, reach: 14.0 };

pub(super) fn draw(to: &mut Drawing, value: u16) {
    let size = match value.div_ceil(BUNDLE) {
        0 | 1 => ONE_BUNDLE,
        2 => ONE_LINE,
        _ => TWO_LINES,
    };
    let bundles = value.div_ceil(BUNDLE);
    let lines = bundles.div_ceil(LINE_BUNDLES);
    let height = f64::from(lines) * size.height + f64::from(lines - 1) * size.line_gap;
    let bundle_width = 3.0 * size.pitch;
    // A single bundle is centred by its own strokes; lines of two start at one left edge.
    let width = match value {
        0..=3 => f64::from(value.saturating_sub(1)) * size.pitch,
        4 | 5 => bundle_width,
        _ => 2.0 * bundle_width + size.bundle_gap,
    };
    let paint = Paint::line(INK, size.pen);
    for bundle in 0..bundles {
        let (line, place) = (bundle / LINE_BUNDLES, bundle % LINE_BUNDLES);
        let x = CENTRE_X - width / 2.0 + f64::from(place) * (bundle_width + size.bundle_gap);
        let top = CENTRE_Y - height / 2.0 + f64::from(line) * (size.height + size.line_gap);
        let strokes = (value - bundle * BUNDLE).min(BUNDLE);
        for stroke in 0..strokes.min(BUNDLE - 1) {
            let x = x + f64::from(stroke) * size.pitch;
            to.line("stroke", (x, top), (x, top + size.height), paint);
        }
        if strokes == BUNDLE {
            let from = (x - size.reach, top + size.height * 0.7);
            let across = (x + bundle_width + size.reach, top + size.height * 0.3);
            to.line("stroke", from, across, paint);
        }
    }
}
