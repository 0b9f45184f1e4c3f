//! What the print sheets add to the drawings of the screen: a deck's mark on every face, the backs,
//! and the letter cards of the `letters` rule.

use super::mark::SetMark;
use crate::deck::alphabet::{BASE, Hand, Line, TOP, writing_lines};
use crate::deck::face;
use crate::deck::svg::{Drawing, Paint};
use std::fmt::Write as _;

const INK: &str = "#2b2a33";
const LINE: &str = "#4d7083";
const WAITING: &str = "#8d8a92";

/// The deck's mark alone, to lie on a face: in the lower left corner, beside the foot mark and outside
/// the picture, 4.5 mm wide.
pub(super) fn mark_on_face(mark: SetMark) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 250 350">{}</svg>"#,
        mark.group((22.0, 327.0), 18.0, 0)
    )
}

/// The back of a deck's cards. It looks the same both ways up, so it tells nothing of how a card
/// lies; 5 mm of bare paper around it hide what a printer is off by. The backs of letter cards
/// have no pebbles, since they must not get into the deck.
pub(super) fn back(mark: SetMark, pebbles: bool) -> String {
    let shapes = if pebbles { pebble_rows() } else { String::new() };
    let plate = r##"<rect x="72" y="62" width="106" height="226" rx="53" fill="#ffffff" stroke="#6a6670" stroke-width="2"/>"##;
    format!(
        r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 250 350"><rect x="20" y="20" width="210" height="310" rx="14" fill="#eef2e6" stroke="#6a6670" stroke-width="2"/><g fill="#ffffff" stroke="#a9b8a2" stroke-width="1.5">{shapes}</g>{plate}{}{}</svg>"##,
        mark.group((125.0, 119.0), 74.0, 0),
        mark.group((125.0, 231.0), 74.0, 180)
    )
}

/// Pebbles in rows, every second row shifted by half a step; point-symmetric about the middle.
fn pebble_rows() -> String {
    let mut shapes = String::new();
    for row in -5_i32..=5 {
        let shift = if row % 2 == 0 { 0.0 } else { 0.5 };
        for step in -4_i32..=4 {
            let x = 125.0 + (f64::from(step) + shift) * 27.0;
            let y = 175.0 + f64::from(row) * 26.0;
            let turn = if row % 2 == 0 { 20 } else { -20 };
            if (40.0..=210.0).contains(&x) {
                let _ = write!(
                    shapes,
                    r##"<ellipse cx="{x}" cy="{y}" rx="9" ry="6.5" transform="rotate({turn} {x} {y})"/>"##
                );
            }
        }
    }
    shapes
}

/// One letter card: the letter on writing lines, and below it the whole word with this letter
/// dark. `None` if the alphabet lacks one of the letters.
pub(super) fn letter(word: &[char], place: usize) -> Option<String> {
    let mut drawing = Drawing::default();
    let top = 90.0;
    let scale = 1.2;
    writing_lines(&mut drawing, (14.0, 236.0), top, scale, Paint::line(LINE, 1.5));
    let one =
        |character: char| Line::set(Hand::Manuscript, character.encode_utf8(&mut [0; 4]), 1.0);
    let letter = *word.get(place)?;
    one(letter)?.draw(&mut drawing, 125.0, top, scale, Paint::line(INK, 11.5));
    for (index, character) in word.iter().enumerate() {
        let x = 125.0 + (index as f64 - (word.len() - 1) as f64 / 2.0) * 31.0;
        let colour = if index == place { INK } else { WAITING };
        let small = 0.26;
        one(*character)?.draw(
            &mut drawing,
            x,
            258.0 - (BASE - TOP) * small,
            small,
            Paint::line(colour, 12.0),
        );
        if index == place {
            drawing.line("", (x - 11.0, 276.0), (x + 11.0, 276.0), Paint::line(INK, 2.5));
        }
    }
    let blank = face::blank();
    let open = blank.strip_suffix("</svg>")?;
    Some(format!("{open}{}</svg>", drawing.into_text()))
}
