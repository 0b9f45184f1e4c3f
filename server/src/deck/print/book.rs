//! The document: which pages there are, in which order, and what lies on them.

use super::page::{Broken, Letterings, Page, points};
use super::paper::{CARD_SCALE, Paper, SHEET_CARDS, cut_line, cut_marks};
use super::tokens::Pebbles;
use super::{PrintError, Sheets, card, groups, guide, margin};
use krilla::Document;
use krilla::graphic::Graphic;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;

/// Makes the document. Guide and groups come first: in a print on both sides they share one piece
/// of paper, and every front behind them begins on a new one.
pub(super) fn print(
    sheets: &Sheets<'_>,
    tell: &mut dyn FnMut(usize, usize),
) -> Result<Vec<u8>, PrintError> {
    let letterings = Letterings::draw()?;
    let mut book = Book::open(sheets, &letterings, tell);
    let name = &sheets.sheet.name;
    let stock = book.page(|page| {
        guide::draw(page, sheets)?;
        Stock::keep(page, sheets)
    })?;
    book.page(|page| {
        let of = |group: &Vec<usize>| group.iter().map(|card| &stock.faces[*card]).collect();
        let cards: Vec<Vec<&Graphic>> = sheets.groups.iter().map(of).collect();
        groups::draw(page, sheets.options.paper, name, &cards);
        Ok(())
    })?;
    // Cards lie in the order of their groups, so that an adult can check them and leave whole
    // groups out; the guide says to shuffle.
    let faces: Vec<&Graphic> =
        sheets.groups.iter().flatten().map(|card| &stock.faces[*card]).collect();
    book.cards(&faces, &stock.back, "cards")?;
    // One set of the word for each player.
    let letters: Vec<&Graphic> = (0..sheets.options.seats).flat_map(|_| &stock.letters).collect();
    book.cards(&letters, &stock.letter_back, "letter cards")?;
    book.tokens(&stock)?;
    book.close()
}

/// Every drawing of the document; each is stored once, wherever and however often it is placed.
struct Stock {
    /// By position on the face sheet.
    faces: Vec<Graphic>,
    /// By position in the word.
    letters: Vec<Graphic>,
    back: Graphic,
    letter_back: Graphic,
    pebbles: Pebbles,
}

impl Stock {
    fn keep(page: &mut Page<'_>, sheets: &Sheets<'_>) -> Result<Stock, PrintError> {
        let ours = |Broken(why): Broken| PrintError::Pdf(why.to_owned());
        let mut faces = Vec::new();
        for (face, number) in sheets.sheet.faces.iter().zip(1..) {
            let bad = |why| PrintError::Drawing { card: number, why };
            let svg = card::marked(&face.svg, sheets.mark).ok_or(bad("its drawing is no SVG"))?;
            faces.push(page.keep(&svg).map_err(|Broken(why)| bad(why))?);
        }
        let mut letters = Vec::new();
        for (place, letter) in sheets.word.iter().enumerate() {
            let svg = card::letter(&sheets.word, place)
                .and_then(|svg| card::marked(&svg, sheets.mark))
                .ok_or(PrintError::Letter(*letter))?;
            letters.push(page.keep(&svg).map_err(ours)?);
        }
        let back = page.keep(&card::back(sheets.mark, true)).map_err(ours)?;
        let letter_back = page.keep(&card::back(sheets.mark, false)).map_err(ours)?;
        let pebbles = Pebbles::keep(page).map_err(ours)?;
        Ok(Stock { faces, letters, back, letter_back, pebbles })
    }
}

/// The document in the making.
struct Book<'a> {
    document: Document,
    sheets: &'a Sheets<'a>,
    letterings: &'a Letterings,
    tell: &'a mut dyn FnMut(usize, usize),
    done: usize,
    total: usize,
}

impl<'a> Book<'a> {
    fn open(
        sheets: &'a Sheets<'a>,
        letterings: &'a Letterings,
        tell: &'a mut dyn FnMut(usize, usize),
    ) -> Book<'a> {
        let letters = sheets.letter_cards();
        // Cards, letter cards, and one sheet of tokens.
        let fronts = sheets.cards().div_ceil(SHEET_CARDS) + letters.div_ceil(SHEET_CARDS) + 1;
        let sides = if sheets.options.backs { 2 } else { 1 };
        let mut document = Document::new();
        // No date: the same deck gives the same bytes.
        document.set_metadata(
            Metadata::new()
                .title(format!("{}: cards to print", sheets.sheet.name))
                .language("en-US".to_owned())
                .creator("Handround".to_owned()),
        );
        Book { document, sheets, letterings, tell, done: 0, total: 2 + fronts * sides }
    }

    fn paper(&self) -> Paper {
        self.sheets.options.paper
    }

    /// One page.
    fn page<T>(
        &mut self,
        draw: impl FnOnce(&mut Page<'_>) -> Result<T, PrintError>,
    ) -> Result<T, PrintError> {
        let (width, height) = self.paper().size();
        let settings = PageSettings::from_wh(points(width), points(height))
            .ok_or_else(|| PrintError::Pdf("the paper has no size".to_owned()))?;
        let mut krilla_page = self.document.start_page_with(settings);
        let mut page = Page::new(krilla_page.surface(), self.letterings);
        let drawn = draw(&mut page);
        drop(page);
        krilla_page.finish();
        self.done += 1;
        (self.tell)(self.done, self.total);
        drawn
    }

    /// Cards nine to a sheet, each sheet followed by its backs if they are wanted.
    fn cards(&mut self, cards: &[&Graphic], back: &Graphic, what: &str) -> Result<(), PrintError> {
        let paper = self.paper();
        let head =
            format!("{}  \u{2022}  mark: {}", self.sheets.sheet.name, self.sheets.mark.name());
        let count = cards.len().div_ceil(SHEET_CARDS);
        for (sheet, number) in cards.chunks(SHEET_CARDS).zip(1..) {
            let title = format!("{head}  \u{2022}  {what}, sheet {number} of {count}");
            self.page(|page| {
                cut_marks(page, paper);
                for (place, card) in sheet.iter().enumerate() {
                    let place = paper.front(place);
                    page.place(card, place.drawing(), CARD_SCALE);
                    cut_line(page, place);
                }
                margin::draw(page, paper, &title);
                Ok(())
            })?;
            if self.sheets.options.backs {
                self.page(|page| {
                    cut_marks(page, paper);
                    for place in 0..sheet.len() {
                        page.place(back, paper.back(place).drawing(), CARD_SCALE);
                    }
                    margin::draw(page, paper, &format!("{title}, backs"));
                    Ok(())
                })?;
            }
        }
        Ok(())
    }

    fn tokens(&mut self, stock: &Stock) -> Result<(), PrintError> {
        let paper = self.paper();
        let sides: &[bool] = if self.sheets.options.backs { &[false, true] } else { &[false] };
        for back in sides {
            self.page(|page| {
                stock.pebbles.draw(page, paper, *back);
                Ok(())
            })?;
        }
        Ok(())
    }

    fn close(self) -> Result<Vec<u8>, PrintError> {
        self.document.finish().map_err(|error| PrintError::Pdf(error.to_string()))
    }
}
