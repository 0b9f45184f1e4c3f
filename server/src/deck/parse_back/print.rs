//! Reads print: letters by their strokes, in the order of reading.

use super::scan::Shape;
use super::{NEAR, parts};
use crate::deck::alphabet::{BASE, Glyph, Hand, TOP, glyph_of};
use crate::deck::shown::Time;

/// The letter that a shape draws.
pub(super) fn glyph(shape: &Shape) -> Option<(Hand, &'static Glyph)> {
    glyph_of(&shape.paths.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Where a letter's middle stands on the card.
pub(super) fn centre(shape: &Shape) -> Option<(f64, f64)> {
    let (_, glyph) = glyph(shape)?;
    let height = (BASE + TOP) / 2.0;
    Some((shape.x + glyph.width * shape.scale / 2.0, shape.y + height * shape.scale))
}

/// The characters of some letters of one hand. Lines are told apart by their height, and within a
/// line a gap wider than two letters leave between them is a space.
pub(super) fn text_of(hand: Hand, glyphs: &[&Shape]) -> Result<String, &'static str> {
    let mut glyphs = glyphs.to_vec();
    glyphs.sort_by(|one, other| one.y.total_cmp(&other.y).then(one.x.total_cmp(&other.x)));
    let mut text = String::new();
    let mut before: Option<(&Shape, &Glyph)> = None;
    for shape in glyphs {
        let (own, glyph) = glyph(shape).ok_or("strokes that are no letter")?;
        if own != hand {
            return Err("a letter of the other alphabet");
        }
        if let Some((last, last_glyph)) = before {
            if (last.scale - shape.scale).abs() > 0.001 {
                return Err("letters of two sizes");
            }
            // Letters are set at 0.8 to 1 of their own room, and a space adds at least 32 to it.
            let gap = (shape.x - last.x) / shape.scale - last_glyph.width;
            let room = (last_glyph.right + glyph.left) * 0.8 + 17.0;
            if last.y < shape.y - NEAR && !text.ends_with('-')
                || (last.y - shape.y).abs() < NEAR && gap > room
            {
                text.push(' ');
            }
        }
        text.push(glyph.character);
        before = Some((shape, glyph));
    }
    Ok(text)
}

/// All letters of the drawing.
pub(super) fn text(hand: Hand, shapes: &[Shape]) -> Result<String, &'static str> {
    text_of(hand, &parts(shapes, "glyph"))
}

pub(super) fn number(shapes: &[Shape]) -> Result<u16, &'static str> {
    let text = text(Hand::Manuscript, shapes)?;
    text.parse().map_err(|_| "these digits are no number in range")
}

/// A time in digits, the minutes with two of them.
pub(super) fn time(shapes: &[Shape]) -> Result<Time, &'static str> {
    let text = text(Hand::Manuscript, shapes)?;
    let (hour, minute) = text.split_once(':').ok_or("a time has a colon")?;
    let number = |text: &str| text.parse::<u8>().ok();
    match (number(hour), number(minute)) {
        (Some(hour @ 1..=12), Some(minute @ 0..=59)) if text.len() - hour_digits(hour) == 3 => {
            Ok(Time { hour, minute })
        }
        _ => Err("these digits are no time"),
    }
}

fn hour_digits(hour: u8) -> usize {
    if hour > 9 { 2 } else { 1 }
}

/// Boxes in one row that touch each other, one letter in each.
pub(super) fn boxes(shapes: &[Shape]) -> Result<String, &'static str> {
    let (mut boxes, glyphs) = (parts(shapes, "box"), parts(shapes, "glyph"));
    boxes.sort_by(|one, other| one.x.total_cmp(&other.x));
    if boxes.windows(2).any(|pair| (pair[1].x - pair[0].x - pair[0].width).abs() > NEAR) {
        return Err("the boxes are not side by side");
    }
    let mut word = String::new();
    for sound in &boxes {
        let inside = |glyph: &&&Shape| {
            centre(glyph).is_some_and(|centre| sound.distance_outside(centre) == 0.0)
        };
        let here: Vec<&Shape> = glyphs.iter().filter(inside).copied().collect();
        if here.len() != 1 {
            return Err("a box holds one letter");
        }
        word.push_str(&text_of(Hand::Manuscript, &here)?);
    }
    if boxes.len() == glyphs.len() { Ok(word) } else { Err("a letter stands in no box") }
}
