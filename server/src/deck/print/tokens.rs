//! The sheet of tokens: pebbles to glue onto felt or craft foam. Every pebble is at least 50 mm
//! wide in every direction, more than the 44.4 mm of a small ball and the 31.7 mm of a small part
//! (CPSC fact sheet 282 and 16 CFR 1501.4).

use super::margin;
use super::page::{At, Broken, Page};
use super::paper::Paper;
use krilla::graphic::Graphic;

/// Tokens on a sheet.
pub const TOKENS: usize = COLUMNS * ROWS;
const COLUMNS: usize = 3;
const ROWS: usize = 4;
/// Distance of the pebbles' middles, in mm.
const PITCH: At = (62.0, 64.0);
/// Size of a pebble's square drawing of 100 units, in mm.
const SIZE: f64 = 60.0;

/// Three pebbles in a square of 100 units, outline and decoration. The narrowest is 88 units or 52.8 mm wide.
const PEBBLES: [(&str, &str, &str); 3] = [
    (
        "#e6e2d6",
        "M50 4C78 3 97 22 97 49C97 78 78 96 51 96C23 97 3 78 4 50C4 22 22 5 50 4Z",
        "M50 74L50 50M50 60C40 62 31 56 29 44C41 42 49 49 50 60ZM50 54C60 55 69 48 71 36C59 35 51 42 50 54Z",
    ),
    (
        "#dbe5e8",
        "M46 5C74 2 95 19 97 46C98 74 80 95 53 96C26 97 5 80 4 54C3 28 20 8 46 5Z",
        "M50 52C54 46 62 52 58 60C52 69 37 63 37 50C38 35 57 30 67 42C77 58 66 76 49 76",
    ),
    (
        "#efe0d0",
        "M54 5C80 8 97 28 96 53C95 79 75 97 48 96C21 95 3 74 4 47C5 20 28 3 54 5Z",
        "M26 40C34 32 42 32 50 40C58 48 66 48 74 40M26 60C34 52 42 52 50 60C58 68 66 68 74 60",
    ),
];

/// The pebbles' drawings, and the same seen from behind, so that a token cut from one sheet looks
/// right on both sides.
pub(super) struct Pebbles {
    fronts: Vec<Graphic>,
    backs: Vec<Graphic>,
}

impl Pebbles {
    pub(super) fn keep(page: &mut Page<'_>) -> Result<Pebbles, Broken> {
        let mut pebbles = Pebbles { fronts: Vec::new(), backs: Vec::new() };
        for pebble in PEBBLES {
            pebbles.fronts.push(page.keep(&drawing(pebble, ""))?);
            let mirrored = r#" transform="translate(100 0) scale(-1 1)""#;
            pebbles.backs.push(page.keep(&drawing(pebble, mirrored))?);
        }
        Ok(pebbles)
    }

    /// Draws the sheet, or its back for paper turned over along its long edge.
    pub(super) fn draw(&self, page: &mut Page<'_>, paper: Paper, back: bool) {
        let (width, height) = paper.size();
        let pebbles = if back { &self.backs } else { &self.fronts };
        for number in 0..TOKENS {
            let (column, row) = (number % COLUMNS, number / COLUMNS);
            let column = if back { COLUMNS - 1 - column } else { column };
            let middle = |index: usize, count: usize| index as f64 - (count - 1) as f64 / 2.0;
            let x = width / 2.0 + middle(column, COLUMNS) * PITCH.0;
            let y = height / 2.0 + middle(row, ROWS) * PITCH.1;
            // Neighbours differ, in a row and below each other.
            let form = &pebbles[(number + row) % pebbles.len()];
            page.place(form, (x - SIZE / 2.0, y - SIZE / 2.0), SIZE / 100.0);
        }
        let side = if back { "back" } else { "glue onto felt or craft foam, then cut round" };
        margin::draw(page, paper, &format!("Tokens  \u{2022}  {side}"));
    }
}

fn drawing((fill, outline, lines): (&str, &str, &str), mirrored: &str) -> String {
    format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><g{mirrored} stroke="#6a6670" stroke-linecap="round" stroke-linejoin="round"><path fill="{fill}" stroke-width="0.7" d="{outline}"/><path fill="none" stroke-width="2.6" d="{lines}"/></g></svg>"##
    )
}
