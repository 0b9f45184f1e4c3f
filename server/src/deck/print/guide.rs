//! A page of words, such as the guide: set in the largest print that fits one page. The words are in
//! `guide_text` and `pack_text`.

use super::PrintError;
use super::guide_text::Section;
use super::lettering::Pencil;
use super::margin;
use super::page::{INK, Letterings, POINTS, Page, Words};
use super::paper::Paper;

/// Sizes of the running text that are tried, in points. Small letters of the alphabet are half as
/// tall as capitals, so 12 points read like 9 of most fonts; nothing smaller than 10.5 is printed.
const SIZES: [f64; 6] = [13.0, 12.5, 12.0, 11.5, 11.0, 10.5];
/// Blank on the left and right, and at top and foot, in mm.
const SIDE: f64 = 15.0;
const EDGE: f64 = 10.0;
/// From the left edge of a section to its items' words, in mm.
const INDENT: f64 = 5.0;

/// Distances for one size of the running text, in mm.
struct Spacing {
    text: f64,
    line: f64,
    item: f64,
    section: f64,
}

impl Spacing {
    fn of(size: f64) -> Spacing {
        let em = size / POINTS;
        Spacing { text: size, line: 1.22 * em, item: 0.1 * em, section: 0.75 * em }
    }

    fn heading(&self) -> Words {
        Words { pencil: Pencil::Broad, size: self.text * 1.15 }
    }

    fn words(&self) -> Words {
        Words { pencil: Pencil::Fine, size: self.text }
    }
}

/// One line of words with its place.
struct Placed {
    text: String,
    x: f64,
    y: f64,
    words: Words,
}

/// Draws a page of words under this title; `foot` stands in the margin.
pub(super) fn draw(
    page: &mut Page<'_>,
    paper: Paper,
    title: &str,
    sections: &[Section],
    foot: &str,
) -> Result<(), PrintError> {
    let room = paper.size().1 - EDGE;
    let set = |size| lay_out(page.letterings(), paper, title, sections, size);
    let lines = SIZES
        .into_iter()
        .map(set)
        .find(|lines| lines.last().is_some_and(|last| last.y <= room))
        .ok_or(PrintError::GuideTooLong)?;
    for line in &lines {
        page.words(&line.text, (line.x, line.y), line.words);
    }
    let rule = lines.first().map_or(EDGE, |title| title.y + 3.2);
    page.line((SIDE, rule), (paper.size().0 - SIDE, rule), 0.35, INK);
    margin::draw(page, paper, foot);
    Ok(())
}

/// All lines from the title to the end.
fn lay_out(
    letterings: &Letterings,
    paper: Paper,
    heading: &str,
    sections: &[Section],
    size: f64,
) -> Vec<Placed> {
    let spacing = Spacing::of(size);
    let width = paper.size().0 - 2.0 * SIDE;
    let title = Words { pencil: Pencil::Broad, size: size * 1.6 };
    let mut y = EDGE + 0.7 * title.size / POINTS;
    let mut lines = Vec::new();
    for text in wrap(letterings, heading, width, title) {
        lines.push(Placed { text, x: SIDE, y, words: title });
        y += spacing.line * 1.6;
    }
    y += 1.0;
    for section in sections {
        y += spacing.section;
        let words = spacing.heading();
        lines.push(Placed { text: section.heading.clone(), x: SIDE, y, words });
        y += spacing.line * 1.08;
        for (sign, item) in &section.items {
            let words = spacing.words();
            let mut first = true;
            for text in wrap(letterings, item, width - INDENT, words) {
                if first {
                    lines.push(Placed { text: sign.clone(), x: SIDE, y, words });
                }
                first = false;
                lines.push(Placed { text, x: SIDE + INDENT, y, words });
                y += spacing.line;
            }
            y += spacing.item;
        }
    }
    lines
}

/// Breaks a text at its spaces into lines of at most this width; a word longer than a line stands
/// alone.
pub(super) fn wrap(letterings: &Letterings, text: &str, width: f64, words: Words) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match longer {
            Some(longer) if letterings.width(&longer, words.pencil, words.size) <= width => {
                if let Some(last) = lines.last_mut() {
                    *last = longer;
                }
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
