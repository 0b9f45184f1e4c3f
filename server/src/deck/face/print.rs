//! Everything in print: numerals, number names, sums, letters, words, times and amounts in signs
//! and words. A kind of face has one style; a text is broken into the lines that let it be largest.

use super::paper::{BERRY, CENTRE_X, CENTRE_Y, INK, LINE, WIDTH};
use crate::deck::alphabet::{BASE, DESCENDER, Hand, Line, TOP, writing_lines};
use crate::deck::svg::{Drawing, Paint};
use handround_protocol::face::FaceKind;

/// How a kind of face is printed.
struct Style {
    hand: Hand,
    /// On writing lines.
    lined: bool,
    /// Width that a line may take up.
    width: f64,
    /// Pencil width in grid units.
    pen: f64,
    /// Letters of a deck should look alike, so that short words are not blown up beyond this.
    scale_max: f64,
    breaks: Breaks,
}

/// Where a text may be broken into lines.
#[derive(Clone, Copy)]
enum Breaks {
    Never,
    /// Behind a space or a hyphen.
    Words,
    /// Between two pairs of words: 3 tens, 4 ones.
    Pairs,
    /// Before a plus.
    Plus,
    /// Before a plus, if there is more than one.
    LongSum,
}

const WRITTEN: Style = Style {
    hand: Hand::Manuscript,
    lined: true,
    width: WIDTH,
    pen: 11.0,
    scale_max: 0.9,
    breaks: Breaks::Words,
};

/// A little closer than running text, so that `seventeen` can be larger.
const SPACING: f64 = 0.8;
/// Length of the writing lines on the card.
const LINES: f64 = 222.0;
/// Descenders end above this; half a pencil's width below it they are still clear of the foot mark,
/// which begins at 309.
const FLOOR: f64 = 301.0;
/// Height that a text may take up.
const HEIGHT: f64 = 262.0;
/// A text has one line more only where that makes it so much larger.
const LINE_WORTH: f64 = 0.08;
/// Room from one line's descenders to the next line's top, in grid units.
const LINE_GAP: f64 = 20.0;
/// Most places where one text may be broken; number names have the most.
const BREAKS_MAX: usize = 8;

/// The style of a kind; `None` if it is no print.
fn style(kind: FaceKind) -> Option<Style> {
    use FaceKind::{
        Addition, BookCapital, BookLetter, Capital, CentSign, DollarSign, ExpandedForm, LetterTeam,
        LongForm, LongFormCapitals, MoneyWords, MoreOrLess, NumberWord, PlaceNames, RowWords,
        ShapeName, ShareWords, ShortForm, ShortFormCapitals, SmallLetter, SolidName, Subtraction,
        TimeWords, Word, WordBook, WordCapitals, WordFirstCapital, WordParts,
    };
    let plain = Style { lined: false, width: 202.0, ..WRITTEN };
    Some(match kind {
        NumberWord | Word | WordCapitals | WordFirstCapital | ShapeName | SolidName | LongForm
        | LongFormCapitals => WRITTEN,
        ShortForm | ShortFormCapitals => Style { breaks: Breaks::Never, ..WRITTEN },
        LetterTeam => Style { scale_max: 1.2, ..WRITTEN },
        Capital | SmallLetter => Style { scale_max: 1.4, breaks: Breaks::Never, ..WRITTEN },
        BookLetter | BookCapital => {
            Style { hand: Hand::Book, pen: 9.0, scale_max: 1.4, breaks: Breaks::Never, ..plain }
        }
        WordBook => Style { hand: Hand::Book, pen: 9.0, ..plain },
        Addition | Subtraction => Style { breaks: Breaks::LongSum, ..plain },
        ExpandedForm | WordParts => Style { breaks: Breaks::Plus, ..plain },
        CentSign | DollarSign => Style { breaks: Breaks::Never, scale_max: 1.2, ..plain },
        PlaceNames => Style { breaks: Breaks::Pairs, ..plain },
        MoreOrLess | RowWords | TimeWords | MoneyWords | ShareWords => plain,
        _ => return None,
    })
}

/// What a helper changes about a text.
#[derive(Clone, Copy, Default)]
pub(super) struct Change {
    /// Units of the card by which it stands higher.
    pub lift: f64,
    /// The first so many letters stand out, by colour and by a bar under them.
    pub marked: usize,
    /// As large as the card can bear.
    pub larger: bool,
}

/// Room that larger print may take up, and how much more it may grow.
const LARGER_WIDTH: f64 = 226.0;
const LARGER_TIMES: f64 = 1.5;
/// Larger print has a broader pencil too, in grid units.
const LARGER_PEN: f64 = 13.0;
/// Larger print that gains less than this is none.
const LARGER_WORTH: f64 = 1.1;
/// The bar under marked letters lies so far under the base line, in grid units.
const BAR: f64 = 22.0;

/// Draws a text; `None` if the kind is no print or the alphabet lacks a character.
pub(super) fn draw(to: &mut Drawing, kind: FaceKind, text: &str) -> Option<()> {
    draw_changed(to, kind, text, Change::default())
}

/// How many lines a text takes up.
pub(super) fn lines(kind: FaceKind, text: &str) -> Option<usize> {
    Some(best_lines(text, &style(kind)?)?.1.len())
}

/// Draws a text with a helper's change; `None` also if larger print would gain nothing.
pub(super) fn draw_changed(
    to: &mut Drawing,
    kind: FaceKind,
    text: &str,
    change: Change,
) -> Option<()> {
    let mut style = style(kind)?;
    if change.larger {
        let (usual, _) = best_lines(text, &style)?;
        style.width = LARGER_WIDTH;
        style.scale_max *= LARGER_TIMES;
        style.pen = LARGER_PEN;
        let (larger, _) = best_lines(text, &style)?;
        if larger < usual * LARGER_WORTH {
            return None;
        }
    }
    let (scale, lines) = best_lines(text, &style)?;
    let above = above(&lines);
    let pitch = (above + DESCENDER - TOP + LINE_GAP) * scale;
    // A single letter keeps its place between the lines, so that C and c differ in more than size.
    let foot = if kind_is_letter(kind) { DESCENDER } else { BASE };
    let height = pitch * (lines.len() - 1) as f64 + (foot - TOP) * scale;
    let tall = pitch * (lines.len() - 1) as f64 + (DESCENDER - TOP) * scale;
    // Marks above capitals take their room, half of it from below.
    let mut top = (CENTRE_Y + (above * scale - height) / 2.0).min(FLOOR - tall) - change.lift;
    let mut to_mark = change.marked;
    let (left, right) = (CENTRE_X - LINES / 2.0, CENTRE_X + LINES / 2.0);
    for line in &lines {
        if style.lined {
            writing_lines(to, (left, right), top, scale, Paint::line(LINE, 1.5));
        }
        line.draw(to, CENTRE_X, top, scale, Paint::line(INK, style.pen));
        if let Some(reach) = line.reach(to_mark) {
            let pencil = Paint::line(BERRY, style.pen + 3.0);
            line.beginning(to_mark).draw(to, CENTRE_X, top, scale, pencil);
            // An l or i is a line without width; its bar is as wide as a small letter nevertheless.
            let (reach, over) = (reach * scale, if reach < 20.0 { 9.0 } else { 0.0 });
            let (left, y) = (CENTRE_X - line.width * scale / 2.0, top + (BASE + BAR) * scale);
            let (from, until) = ((left - over, y), (left + reach + over, y));
            to.line("", from, until, Paint::line(BERRY, 7.0));
            to_mark = 0;
        }
        top += pitch;
    }
    Some(())
}

fn kind_is_letter(kind: FaceKind) -> bool {
    use FaceKind::{BookCapital, BookLetter, Capital, SmallLetter};
    matches!(kind, Capital | SmallLetter | BookLetter | BookCapital)
}

/// The breaking that lets the text be largest; a little size is given up for fewer lines, and of
/// equally good ones the fuller first lines win.
fn best_lines(text: &str, style: &Style) -> Option<(f64, Vec<Line>)> {
    let pieces = pieces(text, style.breaks);
    let places = pieces.len().saturating_sub(1).min(BREAKS_MAX);
    let mut best: Option<(f64, Vec<Line>)> = None;
    for chosen in 0..1_u32 << places {
        let mut texts = vec![String::new()];
        for (index, piece) in pieces.iter().enumerate() {
            if index > 0 && chosen >> (index - 1) & 1 == 1 {
                texts.push(String::new());
            }
            texts.last_mut()?.push_str(piece);
        }
        let lines: Vec<Line> = texts
            .iter()
            .map(|text| Line::set(style.hand, text.trim(), SPACING))
            .collect::<Option<_>>()?;
        let one = above(&lines) + DESCENDER - TOP;
        let grid = (one + LINE_GAP) * (lines.len() - 1) as f64 + one;
        // Rounded down to whole hundredths, since that is what the drawing writes.
        let tall = (HEIGHT / grid * 100.0).floor() / 100.0;
        let wide = |line: &Line| line.scale_to_fit(style.width, style.pen, style.scale_max);
        let scale = lines.iter().map(wide).fold(style.scale_max.min(tall), f64::min);
        let worth =
            |scale: f64, lines: &[Line]| scale * (1.0 - LINE_WORTH * (lines.len() - 1) as f64);
        let better = best
            .as_ref()
            .is_none_or(|(largest, found)| worth(scale, &lines) >= worth(*largest, found));
        if better {
            best = Some((scale, lines));
        }
    }
    best
}

/// How far the tallest mark of all lines reaches above its top line, in grid units.
fn above(lines: &[Line]) -> f64 {
    lines.iter().map(Line::above).fold(0.0, f64::max)
}

/// The pieces between which a line may end.
fn pieces(text: &str, breaks: Breaks) -> Vec<&str> {
    match breaks {
        Breaks::Never => vec![text],
        Breaks::LongSum if text.matches('+').count() < 2 => vec![text],
        Breaks::Words => text.split_inclusive([' ', '-']).collect(),
        Breaks::Pairs => {
            let spaces = text.match_indices(' ').map(|(at, _)| at + 1);
            pieces_at(text, spaces.skip(1).step_by(2))
        }
        Breaks::Plus | Breaks::LongSum => {
            pieces_at(text, text.match_indices('+').map(|(at, _)| at))
        }
    }
}

/// A text cut at these places.
fn pieces_at(text: &str, places: impl Iterator<Item = usize>) -> Vec<&str> {
    let mut ends: Vec<usize> = std::iter::once(0).chain(places).collect();
    ends.push(text.len());
    ends.windows(2).map(|ends| &text[ends[0]..ends[1]]).collect()
}

/// Draws a short text centred at a place, `height` units of the card tall, for labels on pictures.
pub(super) fn label(
    to: &mut Drawing,
    text: &str,
    (x, y): (f64, f64),
    height: f64,
    colour: &'static str,
) -> Option<()> {
    let line = Line::set(Hand::Manuscript, text, 1.0)?;
    let scale = height / (BASE - TOP);
    line.draw(to, x, y - height / 2.0, scale, Paint::line(colour, 11.0));
    Some(())
}
