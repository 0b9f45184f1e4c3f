//! Reads the value back out of a finished drawing, by what is drawn: counters in cells, dots,
//! strokes, raised fingers, cubes, letters by their strokes. It shares no code with the drawings
//! and trusts no attribute for a value, so a drawing that shows a wrong number is found out.

mod scan;

use super::alphabet::character_of;
use super::number_word::number_of_word;
use handround_protocol::face::FaceKind;
use scan::{Shape, shapes};

/// Why a drawing could not be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Misread {
    /// It is not one of our drawings, or broken.
    #[error("the drawing is not well formed: {0}")]
    Broken(&'static str),
    /// It has no countable parts, or those of two kinds.
    #[error("the drawing shows no known kind of picture")]
    UnknownKind,
    /// The parts are there but do not make a picture of that kind.
    #[error("the drawing of a {kind:?} is wrong: {why}")]
    Wrong {
        /// The kind.
        kind: FaceKind,
        /// What is wrong.
        why: &'static str,
    },
}

/// The kind and the value that a drawing shows.
///
/// # Errors
/// `Misread` names the first thing that is wrong.
pub fn read(svg: &str) -> Result<(FaceKind, u16), Misread> {
    let shapes = shapes(svg)?;
    let kind = kind_of(&shapes)?;
    let wrong = |why| Misread::Wrong { kind, why };
    let value = match kind {
        FaceKind::TenFrame => ten_frame(&shapes),
        FaceKind::Tally => tally(&shapes),
        FaceKind::Dots => dots(&shapes),
        FaceKind::Fingers => fingers(&shapes),
        FaceKind::TenAndOnes => ten_and_ones(&shapes),
        FaceKind::Numeral => text(&shapes)
            .and_then(|text| text.parse().map_err(|_| "these digits are no number in range")),
        FaceKind::NumberWord => text(&shapes)
            .and_then(|text| number_of_word(&text).ok_or("these letters are no number word")),
        _ => return Err(Misread::UnknownKind),
    };
    Ok((kind, value.map_err(wrong)?))
}

/// Which kind the marked parts belong to; parts of two kinds are an error.
fn kind_of(shapes: &[Shape]) -> Result<FaceKind, Misread> {
    let mut found = None;
    for shape in shapes {
        let kind = match shape.part.as_str() {
            "cell" | "counter" => FaceKind::TenFrame,
            "stroke" => FaceKind::Tally,
            "tile" | "dot" => FaceKind::Dots,
            "palm" | "finger" | "folded" => FaceKind::Fingers,
            "rod-cell" | "cube" => FaceKind::TenAndOnes,
            "glyph" if is_digit(shape) => FaceKind::Numeral,
            "glyph" => FaceKind::NumberWord,
            _ => continue,
        };
        if found.is_some_and(|other| other != kind) {
            return Err(Misread::UnknownKind);
        }
        found = Some(kind);
    }
    found.ok_or(Misread::UnknownKind)
}

fn is_digit(glyph: &Shape) -> bool {
    character(glyph).is_some_and(|character| character.is_ascii_digit())
}

fn character(glyph: &Shape) -> Option<char> {
    character_of(&glyph.paths.iter().map(String::as_str).collect::<Vec<_>>())
}

/// The shapes with this mark.
fn parts<'a>(shapes: &'a [Shape], part: &str) -> Vec<&'a Shape> {
    shapes.iter().filter(|shape| shape.part == part).collect()
}

/// A count as a value; no drawing has thousands of parts.
fn count(parts: usize) -> Result<u16, &'static str> {
    u16::try_from(parts).map_err(|_| "there are too many parts")
}

/// Lengths closer than this, in units of the card, are equal: drawings are rounded to hundredths.
const NEAR: f64 = 0.05;

/// Ten or twenty cells, and each counter wholly inside a cell of its own.
fn ten_frame(shapes: &[Shape]) -> Result<u16, &'static str> {
    let (cells, counters) = (parts(shapes, "cell"), parts(shapes, "counter"));
    if ![10, 20].contains(&cells.len()) {
        return Err("a frame has ten cells");
    }
    let mut taken = vec![false; cells.len()];
    for counter in &counters {
        let home =
            cells.iter().position(|cell| cell.holds(counter)).ok_or("a counter has no cell")?;
        if std::mem::replace(&mut taken[home], true) {
            return Err("two counters share a cell");
        }
    }
    count(counters.len())
}

/// Upright strokes, and slanted ones that each cross exactly four uprights of their own.
fn tally(shapes: &[Shape]) -> Result<u16, &'static str> {
    let strokes = parts(shapes, "stroke");
    let (upright, slanted): (Vec<&Shape>, Vec<&Shape>) =
        strokes.iter().partition(|stroke| (stroke.x - stroke.x2).abs() < NEAR);
    let mut crossed = vec![false; upright.len()];
    for slant in &slanted {
        let mut four = 0;
        for (index, stroke) in upright.iter().enumerate() {
            if slant.crosses_upright(stroke) {
                four += 1;
                if std::mem::replace(&mut crossed[index], true) {
                    return Err("a stroke is crossed twice");
                }
            }
        }
        if four != 4 {
            return Err("the fifth stroke does not cross exactly four");
        }
    }
    if crossed.iter().filter(|crossed| !**crossed).count() > 4 {
        return Err("more than four strokes stand without a fifth across them");
    }
    count(strokes.len())
}

/// Dots of one size with room between them, all on a tile.
fn dots(shapes: &[Shape]) -> Result<u16, &'static str> {
    let (tiles, dots) = (parts(shapes, "tile"), parts(shapes, "dot"));
    for (index, dot) in dots.iter().enumerate() {
        if !tiles.iter().any(|tile| tile.holds(dot)) {
            return Err("a dot lies off its tile");
        }
        for other in &dots[..index] {
            let gap = (dot.x - other.x).hypot(dot.y - other.y) - dot.r - other.r;
            if (dot.r - other.r).abs() > NEAR || gap < dot.r - NEAR {
                return Err("dots differ in size or stand closer than half a dot");
            }
        }
    }
    if tiles.is_empty() { Err("dots lie on a tile") } else { count(dots.len()) }
}

/// Fingers whose tips stand well out of the palm; folded ones must end inside it, and every hand
/// has five.
fn fingers(shapes: &[Shape]) -> Result<u16, &'static str> {
    let palms = parts(shapes, "palm");
    let (raised, folded) = (parts(shapes, "finger"), parts(shapes, "folded"));
    let out = |finger: &&Shape| {
        palms.iter().all(|palm| palm.distance_outside((finger.x2, finger.y2)) > finger.pen / 2.0)
    };
    if !raised.iter().all(out) {
        return Err("a raised finger does not stand out");
    }
    if folded
        .iter()
        .any(|finger| palms.iter().all(|p| p.distance_outside((finger.x2, finger.y2)) > 0.0))
    {
        return Err("a folded finger stands out");
    }
    if raised.len() + folded.len() != 5 * palms.len() {
        return Err("a hand has five fingers");
    }
    count(raised.len())
}

/// One unbroken rod of ten square cells, and single cubes of the same size that touch nothing.
fn ten_and_ones(shapes: &[Shape]) -> Result<u16, &'static str> {
    let (cells, cubes) = (parts(shapes, "rod-cell"), parts(shapes, "cube"));
    let first = cells.first().ok_or("there is no rod")?;
    let side = first.width;
    let same =
        |shape: &&Shape| (shape.width - side).abs() < NEAR && (shape.height - side).abs() < NEAR;
    if !cells.iter().chain(&cubes).all(same) {
        return Err("cells and cubes differ in size");
    }
    let mut heights: Vec<f64> = cells.iter().map(|cell| cell.y).collect();
    heights.sort_by(f64::total_cmp);
    let joined = heights.windows(2).all(|pair| (pair[1] - pair[0] - side).abs() < NEAR);
    if cells.len() != 10 || !joined || cells.iter().any(|cell| (cell.x - first.x).abs() > NEAR) {
        return Err("the rod is not ten cells in a row");
    }
    for (index, cube) in cubes.iter().enumerate() {
        let mut others = cells.iter().chain(&cubes[..index]);
        if others.any(|other| (cube.x - other.x).abs().max((cube.y - other.y).abs()) < side + NEAR)
        {
            return Err("a cube touches another");
        }
    }
    count(cells.len() + cubes.len())
}

/// The characters in reading order. Lines are told apart by their height, and within a line a gap
/// that is wider than any between letters is a space.
fn text(shapes: &[Shape]) -> Result<String, &'static str> {
    let mut glyphs = parts(shapes, "glyph");
    glyphs.sort_by(|one, other| one.y.total_cmp(&other.y).then(one.x.total_cmp(&other.x)));
    let mut text = String::new();
    let mut before: Option<&Shape> = None;
    for glyph in glyphs {
        let character = character(glyph).ok_or("strokes that are no letter")?;
        if let Some(before) = before {
            if (before.scale - glyph.scale).abs() > 0.001 {
                return Err("letters of two sizes");
            }
            // Two straight sides leave at most 30 grid units and a space adds at least 26. Digits
            // are equally wide, so that a gap between them says nothing.
            let gap = (glyph.x - before.x) / glyph.scale - before.glyph_width();
            if before.y < glyph.y - NEAR && !text.ends_with('-')
                || gap > 45.0 && !character.is_ascii_digit()
            {
                text.push(' ');
            }
        }
        text.push(character);
        before = Some(glyph);
    }
    Ok(text)
}
