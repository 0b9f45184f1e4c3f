//! Paper sizes and where nine cards lie on a sheet. Lengths are mm.

use super::page::{At, CUT, Page};

/// A card on paper: the size of an ordinary playing card (common practice, no source). The drawing
/// of 250 by 350 units is 62.86 by 88 mm when it is as tall as the card, so 0.07 mm of bare paper
/// stay on its left and right.
pub const CARD_WIDTH: f64 = 63.0;
/// Height of a card.
pub const CARD_HEIGHT: f64 = 88.0;
/// Radius of a card's corners; the drawn border runs alongside.
pub const CORNER_RADIUS: f64 = 5.0;
/// Width and height of a card's drawing in its own units.
pub(super) const DRAWING: At = (250.0, 350.0);
/// mm to one unit of a card's drawing.
pub(super) const CARD_SCALE: f64 = CARD_HEIGHT / DRAWING.1;

/// Columns and rows of cards on a sheet.
pub const COLUMNS: usize = 3;
/// Rows of cards on a sheet.
pub const ROWS: usize = 3;
/// Cards on a sheet.
pub const SHEET_CARDS: usize = COLUMNS * ROWS;

/// Length of the cut marks outside the cards. Letter leaves 7.7 mm above the cards, and office
/// printers leave about 4 mm blank (common practice, no source).
pub const MARK_LENGTH: f64 = 3.0;
/// Width of cut marks and lines.
const CUT_WIDTH: f64 = 0.12;

/// The size of the paper, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    A4,
    /// 8.5 by 11 in, 215.9 by 279.4 mm (ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// Width and height.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        }
    }

    /// The upper left corner of the nine cards, which lie in the middle of the paper.
    fn origin(self) -> At {
        let (width, height) = self.size();
        let cards = (COLUMNS as f64 * CARD_WIDTH, ROWS as f64 * CARD_HEIGHT);
        ((width - cards.0) / 2.0, (height - cards.1) / 2.0)
    }

    /// The place of a card by its number on the sheet, row by row from the upper left.
    pub(super) fn front(self, number: usize) -> Place {
        let (left, top) = self.origin();
        let (column, row) = (number % COLUMNS, number / COLUMNS);
        Place { left: left + column as f64 * CARD_WIDTH, top: top + row as f64 * CARD_HEIGHT }
    }

    /// The place of its back, for paper turned over along its long edge: columns run the other
    /// way, rows stay.
    pub(super) fn back(self, number: usize) -> Place {
        let column = number % COLUMNS;
        self.front(number - column + (COLUMNS - 1 - column))
    }
}

impl std::str::FromStr for Paper {
    type Err = String;

    fn from_str(text: &str) -> Result<Paper, String> {
        match text.to_ascii_lowercase().as_str() {
            "a4" => Ok(Paper::A4),
            "letter" => Ok(Paper::Letter),
            _ => Err("the paper is a4 or letter".to_owned()),
        }
    }
}

/// Where a card lies, by its upper left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    pub left: f64,
    pub top: f64,
}

impl Place {
    /// The upper left corner of the card's drawing.
    pub(super) fn drawing(self) -> At {
        (self.left + (CARD_WIDTH - DRAWING.0 * CARD_SCALE) / 2.0, self.top)
    }

    fn right(self) -> f64 {
        self.left + CARD_WIDTH
    }

    fn bottom(self) -> f64 {
        self.top + CARD_HEIGHT
    }
}

/// The line along which a card is cut, with its rounded corners. The straight parts run on into
/// the corners, so that a paper cutter can follow them through the sheet.
pub(super) fn cut_line(page: &mut Page<'_>, place: Place) {
    let (left, top, right, bottom) = (place.left, place.top, place.right(), place.bottom());
    page.line((left, top), (right, top), CUT_WIDTH, CUT);
    page.line((left, bottom), (right, bottom), CUT_WIDTH, CUT);
    page.line((left, top), (left, bottom), CUT_WIDTH, CUT);
    page.line((right, top), (right, bottom), CUT_WIDTH, CUT);
    let r = CORNER_RADIUS;
    for (x, towards_x) in [(left + r, -1.0), (right - r, 1.0)] {
        for (y, towards_y) in [(top + r, -1.0), (bottom - r, 1.0)] {
            page.quarter((x, y), r, (towards_x, towards_y), CUT_WIDTH, CUT);
        }
    }
}

/// Cut marks outside all nine cards. They lie in the same places on a front and on its back, so
/// holding the sheet to the light shows whether both sides meet.
pub(super) fn cut_marks(page: &mut Page<'_>, paper: Paper) {
    let (first, last) = (paper.front(0), paper.front(SHEET_CARDS - 1));
    for column in 0..=COLUMNS {
        let x = first.left + column as f64 * CARD_WIDTH;
        page.line((x, first.top - MARK_LENGTH), (x, first.top), CUT_WIDTH, CUT);
        page.line((x, last.bottom()), (x, last.bottom() + MARK_LENGTH), CUT_WIDTH, CUT);
    }
    for row in 0..=ROWS {
        let y = first.top + row as f64 * CARD_HEIGHT;
        page.line((first.left - MARK_LENGTH, y), (first.left, y), CUT_WIDTH, CUT);
        page.line((last.right(), y), (last.right() + MARK_LENGTH, y), CUT_WIDTH, CUT);
    }
}
