//! Decks on paper: a PDF with a guide, the match groups, the cards nine to a sheet with cut lines,
//! letter cards, tokens, and backs if asked for. Pure: the same sheet and options give the same
//! bytes. It takes finished drawings and does not know which family a deck comes from.

mod book;
mod card;
mod groups;
mod guide;
mod guide_text;
mod lettering;
mod margin;
mod mark;
mod names;
mod one_deck;
mod pack;
mod pack_text;
mod page;
mod paper;
mod place_cards;
mod signs;
mod telling_pages;
mod tokens;

use crate::limits::print::{CARDS_MAX, NAME_CHARS_MAX, PACK_CARDS_MAX};
use handround_protocol::face::FaceSheet;
use handround_protocol::id::GroupIndex;
use handround_protocol::limits::{
    HAND_CARDS, SEATS_MAX, SEATS_MIN, WORD_LETTERS_MAX, WORD_LETTERS_MIN,
};
use std::collections::BTreeMap;

pub use margin::{RULER_FROM_EDGE, RULER_LENGTH};
pub use mark::{MARKS, SetMark};
pub use names::{is_printed, on_paper, told_on_paper, written_by_hand};
pub use pack::{Pack, PackTable, pack_pdf};
pub use paper::{CARD_HEIGHT, CARD_WIDTH, COLUMNS, CORNER_RADIUS, MARK_LENGTH, Paper, ROWS};
pub use place_cards::{PlaceCard, place_cards_pdf};
pub use telling_pages::telling_pdf;
pub use tokens::TOKENS;

/// What to print beside the cards, and on what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PrintOptions {
    /// The paper, upright.
    pub paper: Paper,
    /// Backs for paper that is turned along its long edge; every front is followed by its back.
    pub backs: bool,
    /// The deck's mark; `None` takes the one that its drawings give.
    pub mark: Option<SetMark>,
    /// A word of 3 to 6 letters whose letter cards are printed, one set for each player.
    pub letters: Option<String>,
    /// Players at the table, 2 to 6.
    pub seats: u8,
    /// Whom to thank for pictures, printed in the guide.
    pub credit: Option<String>,
}

impl PrintOptions {
    /// Cards for four players on this paper, without backs or letters.
    pub fn on(paper: Paper) -> PrintOptions {
        PrintOptions { paper, backs: false, mark: None, letters: None, seats: 4, credit: None }
    }
}

/// Why a deck cannot be printed; each is a sentence for the teacher.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PrintError {
    /// The table has too few or too many players.
    #[error("A table has 2 to 6 players, not {0}.")]
    Seats(u8),
    /// The deck is too small for the table.
    #[error("{cards} cards are too few for {seats} players: they need {needed}.")]
    TooFewCards {
        /// Cards of the deck.
        cards: usize,
        /// Players.
        seats: u8,
        /// The fewest cards that serve them.
        needed: usize,
    },
    /// The deck is larger than any deck.
    #[error("{0} cards are too many: at most {CARDS_MAX} can be printed at once.")]
    TooManyCards(usize),
    /// The deck's name does not fit the margin.
    #[error("The deck's name is too long to print: at most {NAME_CHARS_MAX} characters fit.")]
    NameTooLong,
    /// The word of the letter cards has too few or too many letters.
    #[error("\"{0}\" cannot be a word of letter cards: it needs 3 to 6 letters.")]
    WordLength(String),
    /// A letter that the alphabet lacks.
    #[error("The letter \"{0}\" cannot be printed yet; the alphabet has a to z and A to Z.")]
    Letter(char),
    /// A card's drawing cannot be printed.
    #[error("Card {card} cannot be printed: {why}.")]
    Drawing {
        /// The card's position on the face sheet, from 1.
        card: usize,
        /// What is wrong.
        why: &'static str,
    },
    /// The guide does not fit one page even in the smallest print.
    #[error("The guide does not fit one page; a shorter credit line would help.")]
    GuideTooLong,
    /// A whole lesson's pack is larger than any class.
    #[error(
        "{0} cards are too many for one pack: at most {PACK_CARDS_MAX}. Print the decks one by one."
    )]
    PackTooLarge(usize),
    /// A lesson without tables.
    #[error("Nobody sits at a table yet, so there is nothing to print.")]
    NoTables,
    /// Our own font is broken.
    #[error("The letters of the guide could not be made: {0}.")]
    Font(String),
    /// The PDF library refused.
    #[error("The PDF could not be made: {0}.")]
    Pdf(String),
}

/// A deck and what to print of it, checked.
struct Sheets<'a> {
    sheet: &'a FaceSheet,
    options: &'a PrintOptions,
    mark: SetMark,
    /// Positions of each match group's cards on the face sheet.
    groups: Vec<Vec<usize>>,
    word: Vec<char>,
}

/// The PDF of a deck.
///
/// # Errors
/// The first thing that makes it impossible, as a sentence for the teacher.
pub fn sheet_pdf(sheet: &FaceSheet, options: &PrintOptions) -> Result<Vec<u8>, PrintError> {
    sheet_pdf_telling(sheet, options, &mut |_, _| {})
}

/// The same, telling after every page how many are done and how many there will be.
///
/// # Errors
/// As `sheet_pdf`.
pub fn sheet_pdf_telling(
    sheet: &FaceSheet,
    options: &PrintOptions,
    tell: &mut dyn FnMut(usize, usize),
) -> Result<Vec<u8>, PrintError> {
    one_deck::print(&Sheets::check(sheet, options)?, tell)
}

/// Positions of each match group's cards on the face sheet.
fn match_groups(sheet: &FaceSheet) -> Vec<Vec<usize>> {
    let mut groups = BTreeMap::<GroupIndex, Vec<usize>>::new();
    for (index, face) in sheet.faces.iter().enumerate() {
        groups.entry(face.group).or_default().push(index);
    }
    groups.into_values().collect()
}

impl<'a> Sheets<'a> {
    fn check(sheet: &'a FaceSheet, options: &'a PrintOptions) -> Result<Sheets<'a>, PrintError> {
        let (cards, seats) = (sheet.faces.len(), options.seats);
        if !(SEATS_MIN..=SEATS_MAX).contains(&usize::from(seats)) {
            return Err(PrintError::Seats(seats));
        }
        let needed = (usize::from(seats) + 2) * HAND_CARDS;
        if cards < needed {
            return Err(PrintError::TooFewCards { cards, seats, needed });
        }
        if cards > CARDS_MAX {
            return Err(PrintError::TooManyCards(cards));
        }
        if sheet.name.chars().count() > NAME_CHARS_MAX {
            return Err(PrintError::NameTooLong);
        }
        let word: Vec<char> = options.letters.iter().flat_map(|word| word.chars()).collect();
        if let Some(text) = &options.letters
            && !(WORD_LETTERS_MIN..=WORD_LETTERS_MAX).contains(&word.len())
        {
            return Err(PrintError::WordLength(text.clone()));
        }
        if let Some(letter) = word.iter().find(|letter| !letter.is_ascii_alphabetic()) {
            return Err(PrintError::Letter(*letter));
        }
        let mark = options.mark.unwrap_or_else(|| SetMark::of(sheet));
        Ok(Sheets { sheet, options, mark, groups: match_groups(sheet), word })
    }

    fn cards(&self) -> usize {
        self.sheet.faces.len()
    }

    /// The most players that the deck serves.
    fn largest_table(&self) -> usize {
        (self.cards() / HAND_CARDS).saturating_sub(2).min(SEATS_MAX)
    }

    /// Letter cards: one set of the word for each player, player by player.
    fn letter_cards(&self) -> usize {
        self.word.len() * usize::from(self.options.seats)
    }
}
