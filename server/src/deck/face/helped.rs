//! Faces with a helper drawn in: private support that one child's view asks for. The card stays the
//! same card; every helper adds to it or enlarges it and takes nothing away.

use super::paper::{CENTRE_X, INK, LEAF, LINE, WIDTH};
use super::print::{Change, draw_changed, lines};
use super::{emoji, numeral, paper, picture, thing, wrap};
use crate::deck::alphabet::{Hand, Line, writing_lines};
use crate::deck::number_word::number_word;
use crate::deck::shown::Shown;
use crate::deck::svg::{Drawing, Paint};
use crate::deck::words;
use handround_protocol::face::FaceKind;
use handround_protocol::view::Helper;

/// Every helper, in the order of the protocol.
pub const HELPERS: [Helper; 5] = [
    Helper::DotsUnder,
    Helper::FirstSound,
    Helper::PictureBeside,
    Helper::LargerPrint,
    Helper::SpanishWord,
];

/// Draws a face with a helper; `None` if that face has no such helper.
pub fn draw_helped(helper: Helper, kind: FaceKind, shown: &Shown) -> Option<String> {
    let mut drawing = paper::card();
    let to = &mut drawing;
    match helper {
        Helper::DotsUnder => dots_under(to, kind, shown)?,
        Helper::FirstSound => {
            let (text, word) = printed(kind, shown)?;
            let marked = words::first_sound_letters(&word)?;
            draw_changed(to, kind, &text, Change { marked, ..Change::default() })?;
        }
        Helper::PictureBeside => {
            let (text, word) = printed(kind, shown)?;
            picture_beside(to, kind, &text, &word)?;
        }
        Helper::LargerPrint => {
            let text = match shown {
                Shown::Print(text) if kind != FaceKind::SoundBoxes => text.clone(),
                Shown::Count(value) if kind == FaceKind::NumberWord => number_word(*value)?,
                _ => return None,
            };
            draw_changed(to, kind, &text, Change { larger: true, ..Change::default() })?;
        }
        Helper::SpanishWord => {
            let (text, word) = printed(kind, shown)?;
            let spanish = words::spanish(&word)?;
            spanish_word(to, kind, &text, spanish)?;
        }
    }
    Some(wrap(drawing))
}

/// A thing over its word, for naming pictures before play: not a card of any deck. A word that the
/// alphabet cannot write leaves the picture alone.
pub fn draw_named(kind: FaceKind, word: &str) -> Option<String> {
    const PICTURE_SCALE: f64 = 1.7;
    const WORD_TOP: f64 = 196.0;
    const WORD_SCALE_MAX: f64 = 0.66;
    let mut drawing = paper::card();
    let to = &mut drawing;
    put_picture(to, kind, word, PICTURE_SCALE)?;
    if let Some(line) = Line::set(Hand::Manuscript, word, 1.0) {
        let scale = line.scale_to_fit(WIDTH, 11.0, WORD_SCALE_MAX);
        let ends = (CENTRE_X - WIDTH / 2.0, CENTRE_X + WIDTH / 2.0);
        writing_lines(to, ends, WORD_TOP, scale, Paint::line(LINE, 1.5));
        line.draw(to, CENTRE_X, WORD_TOP, scale, Paint::line(INK, 11.0));
    }
    Some(wrap(drawing))
}

/// The text on a card that shows one word, and that word in small letters.
fn printed(kind: FaceKind, shown: &Shown) -> Option<(String, String)> {
    use FaceKind::{NumberWord, ShapeName, Word, WordBook, WordCapitals, WordFirstCapital};
    let text = match shown {
        Shown::Count(value) if kind == NumberWord => number_word(*value)?,
        Shown::Print(text) => text.clone(),
        _ => return None,
    };
    let is_word =
        matches!(kind, NumberWord | ShapeName | Word | WordBook | WordCapitals | WordFirstCapital);
    let word = text.to_lowercase();
    is_word.then_some((text, word))
}

/// A numeral stands so much higher when dots lie under it, in units of the card.
const NUMERAL_LIFT: f64 = 18.0;
/// From dot to dot, in units of the card.
const DOT_STEP: f64 = 22.0;
const DOT_RADIUS: f64 = 9.0;
/// A little more room behind five, so that the dots can be seen as five and some.
const FIVE_GAP: f64 = 9.0;

/// As many dots under the numeral, ten in a row as on a ten frame's two fives.
fn dots_under(to: &mut Drawing, kind: FaceKind, shown: &Shown) -> Option<()> {
    let Shown::Count(value @ 1..=20) = *shown else { return None };
    if kind != FaceKind::Numeral {
        return None;
    }
    numeral::draw_lifted(to, value, NUMERAL_LIFT)?;
    let rows = value.div_ceil(10);
    for dot in 0..value {
        let (row, place) = (dot / 10, f64::from(dot % 10));
        let across = f64::from(value.min(10));
        let gaps = |dots: f64| if dots > 5.0 { FIVE_GAP } else { 0.0 };
        let width = (across - 1.0) * DOT_STEP + gaps(across);
        let x = CENTRE_X - width / 2.0 + place * DOT_STEP + gaps(place + 1.0);
        let y = if rows == 1 { 276.0 } else { 266.0 + f64::from(row) * DOT_STEP };
        to.circle("helper", (x, y), DOT_RADIUS, Paint::fill(LEAF));
    }
    Some(())
}

/// The picture stands above a word of one line, as large as the room there.
const PICTURE_TOP: f64 = 12.0;
const WORD_DROP: f64 = 34.0;

fn picture_beside(to: &mut Drawing, kind: FaceKind, text: &str, word: &str) -> Option<()> {
    if lines(kind, text)? > 1 {
        return None;
    }
    let (pictured, _) = picture(word)?;
    draw_changed(to, kind, text, Change { lift: -WORD_DROP, ..Change::default() })?;
    let scale = 1.25;
    put_picture(to, pictured, word, scale)
}

/// A picture at the top of the card, so many times as large as the pages' own size of 100.
fn put_picture(to: &mut Drawing, kind: FaceKind, word: &str, scale: f64) -> Option<()> {
    let at = (CENTRE_X - 50.0 * scale, PICTURE_TOP);
    match kind {
        FaceKind::Emoji => emoji::put(to, word, at, 100.0 * scale),
        FaceKind::OtherPicture => thing::put_other(to, word, at, scale),
        _ => thing::put(to, word, at, scale),
    }
}

/// The English word stands so much higher when the Spanish one lies under it.
const WORD_LIFT: f64 = 50.0;
/// The Spanish word's top line, and its largest scale: clearly smaller than the word itself.
const SPANISH_TOP: f64 = 222.0;
const SPANISH_SCALE_MAX: f64 = 0.46;

fn spanish_word(to: &mut Drawing, kind: FaceKind, text: &str, spanish: &str) -> Option<()> {
    if lines(kind, text)? > 1 {
        return None;
    }
    draw_changed(to, kind, text, Change { lift: WORD_LIFT, ..Change::default() })?;
    let line = Line::set(Hand::Manuscript, spanish, 1.0)?;
    let scale = line.scale_to_fit(WIDTH, 11.0, SPANISH_SCALE_MAX);
    line.draw(to, CENTRE_X, SPANISH_TOP, scale, Paint::line(LINE, 11.0));
    Some(())
}
