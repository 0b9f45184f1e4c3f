//! A QR code in a terminal: two rows of modules a line, as half blocks.

use anyhow::Context;
use fast_qr::qr::QRBuilder;

/// Modules of light border that a reader needs: ISO/IEC 18004 asks for four.
const QUIET_ZONE: usize = 4;

/// Draws the text. With `colour` both shades are set by ANSI sequences, so that the code is dark
/// on light whatever the terminal's own colours are; without it light modules are drawn as blocks,
/// which suits light text on a dark ground.
///
/// # Errors
/// A text too long for a QR code.
pub fn draw(text: &str, colour: bool) -> anyhow::Result<String> {
    let code = QRBuilder::new(text).build().context("the address does not fit a QR code")?;
    let side = code.size + 2 * QUIET_ZONE;
    let dark = |row: usize, column: usize| {
        let inside = QUIET_ZONE..QUIET_ZONE + code.size;
        inside.contains(&row)
            && inside.contains(&column)
            && code[row - QUIET_ZONE][column - QUIET_ZONE].value()
    };
    let mut drawing = String::new();
    for row in (0..side).step_by(2) {
        // Light modules are drawn in the foreground, here bright white on black.
        drawing.push_str(if colour { "\x1b[97;40m" } else { "" });
        for column in 0..side {
            // The side is odd: below the last row lies nothing, drawn as light.
            drawing.push(match (dark(row, column), row + 1 < side && dark(row + 1, column)) {
                (false, false) => '\u{2588}',
                (false, true) => '\u{2580}',
                (true, false) => '\u{2584}',
                (true, true) => ' ',
            });
        }
        drawing.push_str(if colour { "\x1b[0m\n" } else { "\n" });
    }
    Ok(drawing)
}
