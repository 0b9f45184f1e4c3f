//! The document of one deck: which pages there are, in which order.

use super::book::{Book, KeptFace, Marks, Tell, keep_faces, keep_letters, ours};
use super::guide_text::sections;
use super::page::Letterings;
use super::paper::SHEET_CARDS;
use super::tokens::Pebbles;
use super::{PrintError, Sheets, groups, guide};

/// Makes the document. Guide and groups come first: in a print on both sides they share one piece
/// of paper, and every front behind them begins on a new one.
pub(super) fn print(sheets: &Sheets<'_>, tell: Tell<'_>) -> Result<Vec<u8>, PrintError> {
    let letterings = Letterings::draw()?;
    let (name, options) = (&sheets.sheet.name, sheets.options);
    let sheets_of = |cards: usize| cards.div_ceil(SHEET_CARDS);
    // Cards, letter cards, and one sheet of tokens.
    let fronts = sheets_of(sheets.cards()) + sheets_of(sheets.letter_cards()) + 1;
    let total = 2 + fronts * if options.backs { 2 } else { 1 };
    let paper = (options.paper, options.backs);
    let title = format!("{name}: cards to print");
    let mut book = Book::open(title, paper, total, &letterings, tell);
    let (faces, letters, marks, pebbles) = book.page(|page| {
        let (title, foot) = (format!("How to play: {name}"), format!("{name}  \u{2022}  guide"));
        guide::draw(page, options.paper, &title, &sections(sheets), &foot)?;
        Ok((
            keep_faces(page, sheets.sheet)?,
            keep_letters(page, &sheets.word)?,
            Marks::keep(page, sheets.mark)?,
            Pebbles::keep(page).map_err(ours)?,
        ))
    })?;
    let of = |group: &Vec<usize>| group.iter().map(|card| &faces[*card]).collect();
    let cards: Vec<Vec<&KeptFace>> = sheets.groups.iter().map(of).collect();
    book.page(|page| {
        groups::draw(page, options.paper, name, &cards, &marks.on_face);
        Ok(())
    })?;
    let head = format!("{name}  \u{2022}  mark: {}", sheets.mark.name());
    book.deck(&head, &cards, (&letters, options.seats.into()), &marks)?;
    book.tokens(&pebbles)?;
    book.close()
}
