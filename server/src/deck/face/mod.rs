//! The drawings of number faces, one file for each kind. All share a card of 250 by 350 units, the
//! shape of a playing card of 63 by 88 mm, with paper, border and a 'this way up' mark at its foot.
//! Parts that a child counts carry `data-part`; no attribute ever holds the value.

mod dots;
mod fingers;
mod numeral;
mod paper;
mod tally;
mod ten_and_ones;
mod ten_frame;
mod word;

use super::number_word::{NAMED_MAX, number_word};
use super::svg::Drawing;
use handround_protocol::face::FaceKind;
use std::ops::RangeInclusive;

pub use paper::{GROUNDS, contrast};

/// Every kind, in the order of the protocol.
pub const KINDS: [FaceKind; 7] = [
    FaceKind::Numeral,
    FaceKind::NumberWord,
    FaceKind::TenFrame,
    FaceKind::Tally,
    FaceKind::Dots,
    FaceKind::Fingers,
    FaceKind::TenAndOnes,
];

/// The values that a kind can show. Tally has no zero, fingers end with two hands, and ten and
/// ones shows the teen numbers alone (K.NBT.A.1).
pub fn values(kind: FaceKind) -> RangeInclusive<u16> {
    match kind {
        FaceKind::Numeral | FaceKind::NumberWord => 0..=NAMED_MAX,
        FaceKind::TenFrame | FaceKind::Dots => 0..=20,
        FaceKind::Tally => 1..=20,
        FaceKind::Fingers => 0..=10,
        FaceKind::TenAndOnes => 11..=19,
        _ => RangeInclusive::new(1, 0),
    }
}

/// Draws a value; `None` if the kind cannot show it.
pub fn draw(kind: FaceKind, value: u16) -> Option<String> {
    if !values(kind).contains(&value) {
        return None;
    }
    let mut drawing = paper::card();
    match kind {
        FaceKind::Numeral => numeral::draw(&mut drawing, value)?,
        FaceKind::NumberWord => word::draw(&mut drawing, value)?,
        FaceKind::TenFrame => ten_frame::draw(&mut drawing, value),
        FaceKind::Tally => tally::draw(&mut drawing, value),
        FaceKind::Dots => dots::draw(&mut drawing, value),
        FaceKind::Fingers => fingers::draw(&mut drawing, value),
        FaceKind::TenAndOnes => ten_and_ones::draw(&mut drawing, value),
        _ => return None,
    }
    Some(wrap(drawing))
}

/// A card that shows nothing. It belongs to no valid deck.
pub fn blank() -> String {
    wrap(paper::card())
}

fn wrap(drawing: Drawing) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 250 350">{}</svg>"#,
        drawing.into_text()
    )
}

/// What a kind is called, in words that a teacher uses with children.
fn kind_name(kind: FaceKind) -> &'static str {
    match kind {
        FaceKind::Numeral => "numeral",
        FaceKind::NumberWord => "number word",
        FaceKind::TenFrame => "ten frame",
        FaceKind::Tally => "tally",
        FaceKind::Dots => "dots",
        FaceKind::Fingers => "fingers",
        FaceKind::TenAndOnes => "ten and ones",
        _ => "card",
    }
}

/// What a screen reader says during play: the kind, never the value.
pub fn label(kind: FaceKind) -> String {
    format!("{} card", kind_name(kind))
}

/// What is said after the round: the kind and the value.
pub fn label_after(kind: FaceKind, value: u16) -> String {
    let value = number_word(value).unwrap_or_else(|| value.to_string());
    format!("{}, {value}", kind_name(kind))
}
