//! What stands in the margins of every sheet: which sheet it is, a line to measure, and whom to thank
//! for the emoji on it.

use super::lettering::Pencil;
use super::page::{INK, Page, Words};
use super::paper::Paper;
use crate::deck::face::CREDIT;

/// Small print at the edge, in points: capitals 2 mm tall.
const WORDS: Words = Words { pencil: Pencil::Fine, size: 8.0 };
/// From the edge of the paper to the base line, in mm. Letters reach 2 mm outwards, to 4.4 mm, which
/// office printers can print (common practice, no source), and 1 mm inwards, short of the cut marks.
const FROM_EDGE: f64 = 6.4;
/// Length of the line to measure, in mm.
pub const RULER_LENGTH: f64 = 50.0;
/// From the edge of the paper to that line, in mm.
pub const RULER_FROM_EDGE: f64 = 5.4;

/// Writes upwards along the left edge what the sheet is, and along the right edge a line of 50 mm.
pub(super) fn draw(page: &mut Page<'_>, paper: Paper, what: &str) {
    let (width, height) = paper.size();
    let text = format!("{what}  \u{2022}  print at actual size (100 %)");
    let length = page.letterings().width(&text, WORDS.pencil, WORDS.size);
    page.words_turned(&text, (FROM_EDGE, (height + length) / 2.0), WORDS, -90.0);

    let x = width - RULER_FROM_EDGE;
    let (top, bottom) = ((height - RULER_LENGTH) / 2.0, (height + RULER_LENGTH) / 2.0);
    page.line((x, top), (x, bottom), 0.25, INK);
    for y in [top, bottom] {
        page.line((x - 1.0, y), (x + 1.0, y), 0.25, INK);
    }
    let base = (width - FROM_EDGE, bottom + 3.0);
    page.words_turned("this line is 50 mm long", base, WORDS, 90.0);
}

/// Blank above and below the credit, in mm.
const CREDIT_GAP: f64 = 7.0;

/// Names whoever drew the emoji of this sheet, along the right edge above the line to measure: a sheet
/// may be copied without its guide. Set as large as the room allows.
pub(super) fn credit(page: &mut Page<'_>, paper: Paper) {
    let (width, height) = paper.size();
    let end = (height - RULER_LENGTH) / 2.0 - CREDIT_GAP;
    let length = page.letterings().width(CREDIT, WORDS.pencil, WORDS.size);
    let size = WORDS.size.min(WORDS.size * (end - CREDIT_GAP) / length);
    let words = Words { size, ..WORDS };
    let length = length * size / WORDS.size;
    page.words_turned(CREDIT, (width - FROM_EDGE, end - length), words, 90.0);
}
