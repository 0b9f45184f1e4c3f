//! The document in the making: its pages, one after the other, and the sheets of nine cards that a
//! deck's document and a lesson's pack both have.

use super::card;
use super::mark::SetMark;
use super::page::{Broken, Letterings, Page, points};
use super::paper::{CARD_SCALE, Paper, SHEET_CARDS, cut_line, cut_marks};
use super::tokens::Pebbles;
use super::{PrintError, margin};
use handround_protocol::face::{Face, FaceKind, FaceSheet};
use krilla::Document;
use krilla::graphic::Graphic;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;

/// What a teacher is told while a long document is made: pages done, pages in all.
pub(super) type Tell<'a> = &'a mut dyn FnMut(usize, usize);

/// A document that is being made.
pub(super) struct Book<'a> {
    document: Document,
    paper: Paper,
    backs: bool,
    letterings: &'a Letterings,
    tell: Tell<'a>,
    done: usize,
    total: usize,
}

/// A deck's mark as it lies on faces and backs; each drawing is stored once, wherever it is placed.
pub(super) struct Marks {
    pub on_face: Graphic,
    pub back: Graphic,
    /// Letter cards must not get into the deck, so their backs differ.
    pub letter_back: Graphic,
}

impl Marks {
    pub(super) fn keep(page: &mut Page<'_>, mark: SetMark) -> Result<Marks, PrintError> {
        let mut keep = |svg: &str| page.keep(svg).map_err(ours);
        Ok(Marks {
            on_face: keep(&card::mark_on_face(mark))?,
            back: keep(&card::back(mark, true))?,
            letter_back: keep(&card::back(mark, false))?,
        })
    }
}

/// A face as it is printed, and whether whoever drew its emoji must be named beside it.
pub(super) struct KeptFace {
    pub drawing: Graphic,
    pub has_emoji: bool,
}

/// The drawings of a deck's faces, by position on the face sheet.
pub(super) fn keep_faces(
    page: &mut Page<'_>,
    sheet: &FaceSheet,
) -> Result<Vec<KeptFace>, PrintError> {
    let keep = |(card, face): (usize, &Face)| {
        let drawing = page.keep(&face.svg);
        let drawing = drawing.map_err(|Broken(why)| PrintError::Drawing { card, why })?;
        Ok(KeptFace { drawing, has_emoji: face.kind == FaceKind::Emoji })
    };
    (1..).zip(&sheet.faces).map(keep).collect()
}

/// The letter cards of a word, letter by letter.
pub(super) fn keep_letters(
    page: &mut Page<'_>,
    word: &[char],
) -> Result<Vec<KeptFace>, PrintError> {
    let mut letters = Vec::new();
    for (place, letter) in word.iter().enumerate() {
        let svg = card::letter(word, place).ok_or(PrintError::Letter(*letter))?;
        letters.push(KeptFace { drawing: page.keep(&svg).map_err(ours)?, has_emoji: false });
    }
    Ok(letters)
}

/// A drawing of our own that is broken is our fault, not the deck's.
pub(super) fn ours(Broken(why): Broken) -> PrintError {
    PrintError::Pdf(why.to_owned())
}

/// Cards that are laid nine to a sheet.
struct Cards<'a> {
    /// What stands before `sheet 1 of 3` in the margin.
    head: String,
    faces: Vec<&'a KeptFace>,
    mark: &'a Graphic,
    back: &'a Graphic,
}

impl<'a> Book<'a> {
    pub(super) fn open(
        title: String,
        (paper, backs): (Paper, bool),
        total: usize,
        letterings: &'a Letterings,
        tell: Tell<'a>,
    ) -> Book<'a> {
        let mut document = Document::new();
        // No date: the same deck gives the same bytes.
        document.set_metadata(
            Metadata::new()
                .title(title)
                .language("en-US".to_owned())
                .creator("Handround".to_owned()),
        );
        Book { document, paper, backs, letterings, tell, done: 0, total }
    }

    /// One page.
    pub(super) fn page<T>(
        &mut self,
        draw: impl FnOnce(&mut Page<'_>) -> Result<T, PrintError>,
    ) -> Result<T, PrintError> {
        let (width, height) = self.paper.size();
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

    /// A deck's cards, in the order of its groups, so that an adult can check them and leave whole
    /// groups out (the guide says to shuffle); then the letter cards, one set for each player.
    pub(super) fn deck(
        &mut self,
        head: &str,
        cards: &[Vec<&KeptFace>],
        (letters, players): (&[KeptFace], usize),
        marks: &Marks,
    ) -> Result<(), PrintError> {
        self.cards(&Cards {
            head: format!("{head}  \u{2022}  cards"),
            faces: cards.concat(),
            mark: &marks.on_face,
            back: &marks.back,
        })?;
        self.cards(&Cards {
            head: format!("{head}  \u{2022}  letter cards"),
            faces: (0..players).flat_map(|_| letters).collect(),
            mark: &marks.on_face,
            back: &marks.letter_back,
        })
    }

    /// Cards nine to a sheet, each sheet followed by its backs if they are wanted.
    fn cards(&mut self, cards: &Cards<'_>) -> Result<(), PrintError> {
        let paper = self.paper;
        let count = cards.faces.len().div_ceil(SHEET_CARDS);
        for (sheet, number) in cards.faces.chunks(SHEET_CARDS).zip(1..) {
            let title = format!("{}, sheet {number} of {count}", cards.head);
            self.page(|page| {
                cut_marks(page, paper);
                for (place, card) in sheet.iter().enumerate() {
                    let place = paper.front(place);
                    page.place(&card.drawing, place.drawing(), CARD_SCALE);
                    page.place(cards.mark, place.drawing(), CARD_SCALE);
                    cut_line(page, place);
                }
                margin::draw(page, paper, &title);
                if sheet.iter().any(|card| card.has_emoji) {
                    margin::credit(page, paper);
                }
                Ok(())
            })?;
            if self.backs {
                self.page(|page| {
                    cut_marks(page, paper);
                    for place in 0..sheet.len() {
                        page.place(cards.back, paper.back(place).drawing(), CARD_SCALE);
                    }
                    margin::draw(page, paper, &format!("{title}, backs"));
                    Ok(())
                })?;
            }
        }
        Ok(())
    }

    /// One sheet of tokens, with its back if backs are wanted.
    pub(super) fn tokens(&mut self, pebbles: &Pebbles) -> Result<(), PrintError> {
        let paper = self.paper;
        let sides: &[bool] = if self.backs { &[false, true] } else { &[false] };
        for back in sides {
            self.page(|page| {
                pebbles.draw(page, paper, *back);
                Ok(())
            })?;
        }
        Ok(())
    }

    pub(super) fn close(self) -> Result<Vec<u8>, PrintError> {
        self.document.finish().map_err(|error| PrintError::Pdf(error.to_string()))
    }
}
