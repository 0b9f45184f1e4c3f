//! Reads the value back out of a finished drawing, by what is drawn: counters in cells, dots,
//! strokes, raised fingers, cubes, hands, outlines, letters by their strokes. It shares no code with the drawings
//! and trusts no attribute for a value, so a drawing that shows a wrong number is found out.

mod clock;
mod coins;
mod outline;
mod print;
mod quantity;
mod scan;
mod shares;
mod solid;

use super::alphabet::Hand;
use super::face::{EMOJI, Emoji, KINDS, OTHER_THINGS, THINGS, Thing};
use super::number_word::number_of_word;
use super::own::OwnPicture;
use super::shown::Shown;
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

/// The kind and the value of a drawing that shows one number.
///
/// # Errors
/// `Misread` names the first thing that is wrong.
pub fn read(svg: &str) -> Result<(FaceKind, u16), Misread> {
    let shapes = shapes(svg)?;
    let fits = |kind: &FaceKind| {
        let digits = *kind != FaceKind::NumberWord;
        marked_as(*kind, &shapes)
            && parts(&shapes, "glyph").iter().all(|glyph| is_digit(glyph) == digits)
    };
    let kind = KINDS.into_iter().find(fits).ok_or(Misread::UnknownKind)?;
    match read_as(kind, svg)? {
        Shown::Count(value) => Ok((kind, value)),
        _ => Err(Misread::UnknownKind),
    }
}

/// What a drawing shows, if it is one of this kind. A kind cannot be told from the drawing alone:
/// `two` is a number name as well as a frequent word.
///
/// # Errors
/// `Misread` names the first thing that is wrong.
pub fn read_as(kind: FaceKind, svg: &str) -> Result<Shown, Misread> {
    let wrong = |why| Misread::Wrong { kind, why };
    if kind == FaceKind::Picture {
        let thing = thing_of(THINGS, svg).map(|name| Shown::Thing(name.to_owned()));
        return thing.or_else(|| own_picture(svg).map(Shown::Own)).ok_or(Misread::UnknownKind);
    }
    if kind == FaceKind::OtherPicture {
        let other = thing_of(OTHER_THINGS, svg).map(|name| Shown::Thing(name.to_owned()));
        return other.ok_or(Misread::UnknownKind);
    }
    if kind == FaceKind::Emoji {
        let emoji = emoji_of(svg).map(|name| Shown::Thing(name.to_owned()));
        return emoji.ok_or(Misread::UnknownKind);
    }
    if kind == FaceKind::PictureParts {
        let (first, second) = two_things_of(svg).ok_or(Misread::UnknownKind)?;
        return Ok(Shown::Things(first.to_owned(), second.to_owned()));
    }
    let shapes = shapes(svg)?;
    if !marked_as(kind, &shapes) {
        return Err(Misread::UnknownKind);
    }
    let shown = match kind {
        FaceKind::TenFrame => ten_frame(&shapes).map(Shown::Count),
        FaceKind::Tally => tally(&shapes).map(Shown::Count),
        FaceKind::Dots => dots(&shapes).map(Shown::Count),
        FaceKind::Fingers => fingers(&shapes).map(Shown::Count),
        FaceKind::TenAndOnes => ten_and_ones(&shapes).map(Shown::Count),
        FaceKind::Blocks => quantity::blocks(&shapes).map(Shown::Count),
        FaceKind::NumberPath => quantity::path(&shapes).map(Shown::Count),
        FaceKind::DotParts => quantity::domino(&shapes),
        FaceKind::NumberBond => quantity::bond(&shapes),
        FaceKind::FrameParts => quantity::frame(&shapes),
        FaceKind::Array => quantity::array(&shapes),
        FaceKind::EqualGroups => quantity::groups(&shapes),
        FaceKind::ClockRound | FaceKind::ClockSquare => clock::hands(&shapes).map(Shown::Time),
        FaceKind::DigitalTime => print::time(&shapes).map(Shown::Time),
        FaceKind::Coins => coins::coins(&shapes),
        FaceKind::Claps => claps(&shapes).map(Shown::Count),
        FaceKind::Solid | FaceKind::SolidThing => {
            solid::solid(&shapes).map(|solid| Shown::Solid { solid, look: 0 })
        }
        FaceKind::Shape | FaceKind::ShapeThing => {
            outline::outline(&shapes).map(|outline| Shown::Outline { outline, look: 0 })
        }
        FaceKind::Shares => shares::shares(&shapes),
        FaceKind::SoundBoxes => print::boxes(&shapes).map(Shown::Print),
        FaceKind::Numeral => print::number(&shapes).map(Shown::Count),
        FaceKind::NumberWord => print::text(Hand::Manuscript, &shapes)
            .and_then(|text| number_of_word(&text).ok_or("these letters are no number word"))
            .map(Shown::Count),
        FaceKind::BookLetter | FaceKind::BookCapital | FaceKind::WordBook => {
            print::text(Hand::Book, &shapes).map(Shown::Print)
        }
        _ => print::text(Hand::Manuscript, &shapes).map(Shown::Print),
    };
    shown.map_err(wrong)
}

/// The marks that belong to a kind; the first must be there.
fn marks(kind: FaceKind) -> &'static [&'static str] {
    match kind {
        FaceKind::TenFrame => &["cell", "counter"],
        FaceKind::FrameParts => &["cell", "counter", "open"],
        FaceKind::Tally => &["stroke"],
        FaceKind::Dots | FaceKind::DotParts => &["tile", "dot"],
        FaceKind::Fingers => &["palm", "finger", "folded"],
        FaceKind::TenAndOnes => &["rod-cell", "cube"],
        FaceKind::Blocks => &["block", "cuts"],
        FaceKind::NumberPath => &["stone", "glyph"],
        FaceKind::NumberBond => &["ring", "glyph"],
        FaceKind::Array => &["dot"],
        FaceKind::EqualGroups => &["ring", "dot"],
        FaceKind::SoundBoxes => &["box", "glyph"],
        FaceKind::ClockRound | FaceKind::ClockSquare => &["hand", "glyph"],
        FaceKind::Coins => &["coin", "reed", "motif", "glyph"],
        FaceKind::Claps => &["clap"],
        FaceKind::Solid | FaceKind::SolidThing => &["face", "body", "cap", "ball"],
        FaceKind::Shape | FaceKind::ShapeThing => &["shape"],
        FaceKind::Shares => &["share"],
        FaceKind::Picture | FaceKind::Emoji | FaceKind::OtherPicture => &["picture"],
        _ => &["glyph"],
    }
}

fn marked_as(kind: FaceKind, shapes: &[Shape]) -> bool {
    let marks = marks(kind);
    shapes.iter().all(|shape| marks.contains(&shape.part.as_str()))
        && shapes.iter().any(|shape| match kind {
            // A ball shows no flat face.
            FaceKind::Solid | FaceKind::SolidThing => true,
            _ => marks.first() == Some(&shape.part.as_str()),
        })
}

fn is_digit(glyph: &Shape) -> bool {
    print::glyph(glyph).is_some_and(|(_, glyph)| glyph.character.is_ascii_digit())
}

/// The shapes of the one picture on a card.
fn picture_of(svg: &str) -> Option<&str> {
    let (_, picture) = svg.split_once(r#"<g data-part="picture" "#)?;
    picture.split_once('>')?.1.strip_suffix("</g></svg>")
}

/// An emoji is read by being one of those, shape for shape.
fn emoji_of(svg: &str) -> Option<&'static str> {
    let drawn = picture_of(svg)?;
    EMOJI.iter().find(|emoji: &&Emoji| emoji.shapes() == Some(drawn)).map(|emoji| emoji.name)
}

/// A picture is read by being one of ours, shape for shape.
fn thing_of(things: &'static [Thing], svg: &str) -> Option<&'static str> {
    let drawn = picture_of(svg)?;
    let same =
        |thing: &&Thing| thing.shapes().is_some_and(|shapes| shapes.replace('\n', "") == drawn);
    things.iter().find(same).map(|thing| thing.name)
}

/// A teacher's own picture: its pixels are its own, and what it shows no program can read, so that the
/// word stays empty.
fn own_picture(svg: &str) -> Option<OwnPicture> {
    let (_, image) = svg.split_once(r#"<image data-part="picture" "#)?;
    let (_, png) = image.split_once(r#"href="data:image/png;base64,"#)?;
    let png = png.strip_suffix(r#""/></svg>"#)?.to_owned();
    let picture = OwnPicture { word: String::new(), width: 0, height: 0, png };
    // The sides stand in the file itself, big-endian behind signature and the first chunk's head (PNG
    // specification, 11.2.1).
    let file = picture.bytes().filter(|_| picture.is_plain())?;
    let side = |at: usize| {
        let bytes = file.get(at..at + 4)?.try_into().ok()?;
        u16::try_from(u32::from_be_bytes(bytes)).ok()
    };
    Some(OwnPicture { width: side(16)?, height: side(20)?, ..picture })
}

/// Two pictures, the upper one first.
fn two_things_of(svg: &str) -> Option<(&'static str, &'static str)> {
    let mut pictures = svg.split(r#"<g data-part="picture" "#).skip(1);
    let (upper, lower) = (pictures.next()?, pictures.next()?);
    if pictures.next().is_some() {
        return None;
    }
    let place = |picture: &str| -> Option<f64> {
        picture.split_once("translate(")?.1.split_once(')')?.0.split_once(' ')?.1.parse().ok()
    };
    let name = |picture: &str| {
        let (_, drawn) = picture.split_once('>')?;
        let same = |thing: &&Thing| {
            let shapes = thing.shapes().map(|shapes| shapes.replace('\n', ""));
            shapes.is_some_and(|shapes| {
                drawn.strip_prefix(shapes.as_str()).is_some_and(|rest| rest.starts_with("</g>"))
            })
        };
        THINGS.iter().find(same).map(|thing| thing.name)
    };
    (place(upper)? < place(lower)?).then_some((name(upper)?, name(lower)?))
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

/// Pairs of hands that do not touch each other.
fn claps(shapes: &[Shape]) -> Result<u16, &'static str> {
    let claps = parts(shapes, "clap");
    for (index, one) in claps.iter().enumerate() {
        let near = |other: &&Shape| (one.x - other.x).hypot(one.y - other.y) < 80.0;
        if claps[..index].iter().any(near) {
            return Err("two pairs of hands touch");
        }
    }
    count(claps.len())
}
