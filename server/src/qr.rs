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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// What a camera sees of the drawing on a terminal whose blocks are light: four pixels a module.
    fn photograph(drawing: &str) -> (usize, Vec<Vec<bool>>) {
        let mut dark = Vec::new();
        for line in drawing.lines() {
            let blocks: Vec<char> =
                line.replace("\x1b[97;40m", "").replace("\x1b[0m", "").chars().collect();
            dark.push(blocks.iter().map(|block| matches!(block, ' ' | '\u{2584}')).collect());
            dark.push(blocks.iter().map(|block| matches!(block, ' ' | '\u{2580}')).collect());
        }
        let dark: Vec<Vec<bool>> = dark;
        (dark[0].len(), dark)
    }

    /// Read back by rqrr, a reader that is not ours.
    #[test]
    fn a_reader_finds_the_address_in_the_drawing() {
        let long = "https://cards.school.example/j/00112233445566778899aabbccddeeff";
        for address in ["http://192.0.2.7:8787/", "http://127.0.0.1:8787/j/abc", long] {
            for colour in [true, false] {
                let (side, dark) = photograph(&draw(address, colour).unwrap());
                let mut image =
                    rqrr::PreparedImage::prepare_from_bitmap(4 * side, 4 * dark.len(), |x, y| {
                        dark[y / 4][x / 4]
                    });
                let grids = image.detect_grids();
                assert_eq!(grids.len(), 1, "{address}");
                assert_eq!(grids[0].decode().unwrap().1, address);
            }
        }
    }

    #[test]
    fn the_border_is_light_all_round() {
        let (side, dark) = photograph(&draw("http://192.0.2.7:8787/", false).unwrap());
        for (y, row) in dark.iter().enumerate() {
            for (x, module) in row.iter().enumerate() {
                let inside = QUIET_ZONE..side - QUIET_ZONE;
                assert!(!module || inside.contains(&x) && inside.contains(&y), "{x} {y}");
            }
        }
    }
}
