//! A telling on paper: its blocks one below the other, over as many pages as they need. It knows words
//! and bars, not what they are about.

use super::PrintError;
use super::book::Book;
use super::guide::wrap;
use super::lettering::Pencil;
use super::page::{At, INK, Letterings, POINTS, Page, Words};
use super::paper::Paper;
use crate::telling::{Bar, Block, Item, Row, Telling};

/// Blank at the left and right, and at top and foot, in mm: room for two holes (common practice, no
/// source).
const SIDE: f64 = 20.0;
const EDGE: f64 = 15.0;
/// The foot line lies in the lower blank, this far from the paper's edge, in mm.
const FOOT: f64 = 8.0;
/// Running text, in points; as large as the print sheets' guide usually is.
const TEXT: Words = Words { pencil: Pencil::Fine, size: 11.0 };
const STRONG: Words = Words { pencil: Pencil::Broad, size: 11.0 };
const UNDER: Words = Words { pencil: Pencil::Broad, size: 11.5 };
const HEADING: Words = Words { pencil: Pencil::Broad, size: 13.5 };
const TITLE: Words = Words { pencil: Pencil::Broad, size: 18.0 };
const SMALL: Words = Words { pencil: Pencil::Fine, size: 9.0 };
/// A line is this many times as tall as its letters' size.
const LINE: f64 = 1.3;
/// From the left edge to an item's words, in mm.
const INDENT: f64 = 5.0;
/// Where a row's bar begins, how long it is, and where its words begin, in mm from the left edge.
const BAR_LEFT: f64 = 52.0;
const BAR_LENGTH: f64 = 45.0;
const WORDS_LEFT: f64 = BAR_LEFT + BAR_LENGTH + 4.0;
/// The bar's parts in mm and colours: as on screen, but with a stroke for a mark, which a copier keeps.
const GROUND: (f64, &str) = (1.4, "#d9cdb8");
const SPAN: (f64, &str) = (3.0, "#7a9b6d");
const MARK: (f64, f64) = (1.0, 4.4);

/// One thing on a page, with the place of its base line.
enum Mark {
    Words(String, At, Words),
    Bar(Bar, At),
    Rule(f64),
}

/// The pages being laid out.
struct Layout<'a> {
    letterings: &'a Letterings,
    paper: Paper,
    pages: Vec<Vec<Mark>>,
    /// Where the next line's top is, in mm from the paper's upper edge.
    y: f64,
}

/// The PDF of a telling. `title` is the document's own and names no child; `foot` stands below every page.
///
/// # Errors
/// Our own font is broken, or the PDF library refuses.
pub fn telling_pdf(
    told: &Telling,
    title: &str,
    foot: &str,
    paper: Paper,
) -> Result<Vec<u8>, PrintError> {
    let letterings = Letterings::draw()?;
    let mut layout = Layout { letterings: &letterings, paper, pages: vec![Vec::new()], y: EDGE };
    layout.all(told);
    let total = layout.pages.len();
    let mut silent = |_, _| {};
    let mut book = Book::open(title.to_owned(), (paper, false), total, &letterings, &mut silent);
    for (marks, number) in layout.pages.iter().zip(1..) {
        book.page(|page| {
            marks.iter().for_each(|mark| draw(page, paper, mark));
            let foot = format!("{foot}  \u{2022}  page {number} of {total}");
            let width = page.letterings().width(&foot, SMALL.pencil, SMALL.size);
            let (across, down) = paper.size();
            page.words(&foot, ((across - width) / 2.0, down - FOOT), SMALL);
            Ok(())
        })?;
    }
    book.close()
}

fn draw(page: &mut Page<'_>, paper: Paper, mark: &Mark) {
    match mark {
        Mark::Words(text, at, words) => page.words(text, *at, *words),
        Mark::Rule(y) => page.line((SIDE, *y), (paper.size().0 - SIDE, *y), 0.35, INK),
        Mark::Bar(bar, (left, base)) => {
            // The middle of small letters.
            let y = base - 1.3;
            let at = |share: f64| left + share.clamp(0.0, 1.0) * BAR_LENGTH;
            page.line((at(0.0), y), (at(1.0), y), GROUND.0, GROUND.1);
            page.line((at(bar.least), y), (at(bar.greatest), y), SPAN.0, SPAN.1);
            let seen = at(bar.seen);
            page.line((seen, y - MARK.1 / 2.0), (seen, y + MARK.1 / 2.0), MARK.0, INK);
        }
    }
}

fn height(words: Words) -> f64 {
    LINE * words.size / POINTS
}

impl Layout<'_> {
    fn width(&self) -> f64 {
        self.paper.size().0 - 2.0 * SIDE
    }

    fn put(&mut self, mark: Mark) {
        if let Some(page) = self.pages.last_mut() {
            page.push(mark);
        }
    }

    /// Begins a new page unless so much room is left, in mm.
    fn room(&mut self, needed: f64) {
        if self.y + needed > self.paper.size().1 - EDGE && self.y > EDGE {
            self.pages.push(Vec::new());
            self.y = EDGE;
        }
    }

    /// Wrapped words from `indent` on; a line at a time, so that long text runs over pages.
    fn words(&mut self, text: &str, indent: f64, words: Words) {
        for line in wrap(self.letterings, text, self.width() - indent, words) {
            self.room(height(words));
            self.y += height(words);
            self.put(Mark::Words(line, (SIDE + indent, self.y), words));
        }
    }

    fn all(&mut self, told: &Telling) {
        self.words(&told.title, 0.0, TITLE);
        self.y += 2.0;
        self.put(Mark::Rule(self.y));
        self.y += 1.5;
        told.cautions.iter().for_each(|line| self.words(line, 0.0, STRONG));
        self.y += 1.5;
        self.put(Mark::Rule(self.y));
        self.y += 1.0;
        told.blocks.iter().for_each(|block| self.block(block));
    }

    fn block(&mut self, block: &Block) {
        match block {
            // A heading is never the last line of a page.
            Block::Heading(text) => {
                self.y += 3.5;
                self.room(height(HEADING) + 3.0 * height(TEXT));
                self.words(text, 0.0, HEADING);
            }
            Block::Under(text) => {
                self.y += 1.5;
                self.room(height(UNDER) + 2.0 * height(TEXT));
                self.words(text, 0.0, UNDER);
            }
            Block::Text(text) => {
                self.y += 1.0;
                self.words(text, 0.0, TEXT);
            }
            Block::Items(items) => items.iter().for_each(|item| self.item(item)),
            Block::Rows(rows) => rows.iter().for_each(|row| self.row(row)),
            Block::Names(names) => {
                self.y += 1.0;
                self.words(&names.join("  \u{2022}  "), 0.0, TEXT);
            }
        }
    }

    fn item(&mut self, item: &Item) {
        let text = match (item.about.as_str(), item.says.as_str()) {
            // Only a way to somewhere, which paper does not have.
            ("", "") => return,
            ("", says) => says.to_owned(),
            (about, "") => about.to_owned(),
            (about, says) => format!("{about}: {says}"),
        };
        self.y += 0.8;
        self.room(height(TEXT));
        let dot = (SIDE + 1.0, self.y + height(TEXT));
        self.put(Mark::Words("\u{2022}".to_owned(), dot, TEXT));
        self.words(&text, INDENT, TEXT);
    }

    /// Its name and what it is of on the left, the bar beside them, words and numbers on the right.
    fn row(&mut self, row: &Row) {
        let says: Vec<&str> = [row.words.as_str(), row.count.as_str()]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect();
        let columns = [
            (wrap(self.letterings, &row.about, BAR_LEFT - 3.0, STRONG), 0.0, STRONG),
            (
                wrap(self.letterings, &says.join("  \u{2022}  "), self.width() - WORDS_LEFT, TEXT),
                WORDS_LEFT,
                TEXT,
            ),
        ];
        let of = wrap(self.letterings, &row.of, BAR_LEFT - 3.0, SMALL);
        let (line, small) = (height(TEXT), height(SMALL));
        let left = columns[0].0.len() as f64 * line + of.len() as f64 * small;
        let tall = left.max(columns[1].0.len() as f64 * line).max(line);
        self.y += 1.0;
        self.room(tall);
        let first = self.y + line;
        if let Some(bar) = row.bar {
            self.put(Mark::Bar(bar, (SIDE + BAR_LEFT, first)));
        }
        let below = first + columns[0].0.len().saturating_sub(1) as f64 * line;
        for (lines, indent, words) in columns {
            for (text, place) in lines.into_iter().zip(0_u8..) {
                let at = (SIDE + indent, first + f64::from(place) * line);
                self.put(Mark::Words(text, at, words));
            }
        }
        for (text, place) in of.into_iter().zip(1_u8..) {
            let at = (SIDE, below + f64::from(place) * small);
            self.put(Mark::Words(text, at, SMALL));
        }
        self.y += tall;
    }
}
