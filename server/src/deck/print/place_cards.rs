//! Place cards, nine to a sheet: a child's picture, nickname, and the QR code of the address that leads
//! to the own place. It takes finished drawings and addresses, and knows of a child only what is
//! printed.

use super::book::{Book, ours};
use super::lettering::Pencil;
use super::names::is_printed;
use super::page::{INK, Letterings, Page, Words};
use super::paper::{CARD_WIDTH, Paper, Place, SHEET_CARDS, cut_line, cut_marks};
use super::{PrintError, margin};
use fast_qr::convert::{Builder as _, Shape, svg::SvgBuilder};
use fast_qr::{ECL, QRBuilder};
use krilla::graphic::Graphic;

/// Side of the code with its light border, in mm: modules of about 1 mm, which a tablet reads from
/// 30 cm (ten times the side is common practice, no source).
const CODE: f64 = 42.0;
/// Top of the code on its card.
const CODE_TOP: f64 = 43.0;
/// Side of the picture.
const PICTURE: f64 = 27.0;
/// Top of the picture.
const PICTURE_TOP: f64 = 5.5;
/// Base line of the name below the card's top.
const NAME_BASE: f64 = 40.5;
/// Width that a name may take.
const NAME_WIDTH: f64 = 55.0;
/// A name that our letters lack is written by hand on this line: so far below the card's top, thus long and
/// broad.
const BY_HAND: (f64, f64, f64) = (NAME_BASE + 0.5, 50.0, 0.5);
/// Size of a short name in points; longer ones are set smaller.
const NAME_SIZE: f64 = 20.0;

/// One child's card.
#[derive(Clone, Debug)]
pub struct PlaceCard {
    /// The nickname.
    pub name: String,
    /// The picture's drawing.
    pub picture_svg: String,
    /// Where the code leads.
    pub address: String,
}

/// The PDF of place cards.
///
/// # Errors
/// No cards at all, an address too long for a code, or a drawing that is broken.
pub fn place_cards_pdf(
    title: &str,
    cards: &[PlaceCard],
    paper: Paper,
) -> Result<Vec<u8>, PrintError> {
    if cards.is_empty() {
        return Err(PrintError::NoTables);
    }
    let letterings = Letterings::draw()?;
    let sheets = cards.len().div_ceil(SHEET_CARDS);
    let mut silent = |_, _| {};
    let mut book = Book::open(title.to_owned(), (paper, false), sheets, &letterings, &mut silent);
    for (sheet, number) in cards.chunks(SHEET_CARDS).zip(1..) {
        let foot = format!("{title}, sheet {number} of {sheets}  \u{2022}  keep like a key");
        book.page(|page| {
            cut_marks(page, paper);
            for (place, card) in sheet.iter().enumerate() {
                draw(page, paper.front(place), card)?;
            }
            margin::draw(page, paper, &foot);
            Ok(())
        })?;
    }
    book.close()
}

fn draw(page: &mut Page<'_>, place: Place, card: &PlaceCard) -> Result<(), PrintError> {
    // Quartile error correction: cards get crumpled and sticky.
    let code = QRBuilder::new(card.address.as_str()).ecl(ECL::Q).build();
    let code = code.map_err(|error| PrintError::Pdf(error.to_string()))?;
    let code = SvgBuilder::default().shape(Shape::Square).to_str(&code);
    let middle = |side: f64| place.left + (CARD_WIDTH - side) / 2.0;
    for (svg, side, top) in [(&card.picture_svg, PICTURE, PICTURE_TOP), (&code, CODE, CODE_TOP)] {
        let (drawing, width) = keep(page, svg)?;
        page.place(&drawing, (middle(side), place.top + top), side / width);
    }
    name(page, place, &card.name);
    cut_line(page, place);
    Ok(())
}

/// The name, or a line to write it on where it is in another script.
fn name(page: &mut Page<'_>, place: Place, name: &str) {
    if !is_printed(name) {
        let (down, long, broad) = BY_HAND;
        let (left, y) = (place.left + (CARD_WIDTH - long) / 2.0, place.top + down);
        page.line((left, y), (left + long, y), broad, INK);
        return;
    }
    let full = page.letterings().width(name, Pencil::Broad, NAME_SIZE);
    let size = NAME_SIZE * (NAME_WIDTH / full).min(1.0);
    let width = page.letterings().width(name, Pencil::Broad, size);
    let words = Words { pencil: Pencil::Broad, size };
    let left = place.left + (CARD_WIDTH - width) / 2.0;
    page.words(name, (left, place.top + NAME_BASE), words);
}

/// A drawing and its width in its own units.
fn keep(page: &mut Page<'_>, svg: &str) -> Result<(Graphic, f64), PrintError> {
    let drawing = page.keep(svg).map_err(ours)?;
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default());
    let tree = tree.map_err(|_| PrintError::Pdf("a drawing is no SVG".to_owned()))?;
    Ok((drawing, f64::from(tree.size().width())))
}
