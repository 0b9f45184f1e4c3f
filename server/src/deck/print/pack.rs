//! A whole lesson on paper, for the day when the tablets stay dark: who sits where, the rule of the
//! day, and for every table its cards, letter cards and tokens. It knows names as they were typed and
//! nothing else of a child: not how ready, not who is kept apart.

use super::book::{Book, KeptFace, Marks, Tell, keep_faces, keep_letters, ours};
use super::mark::{MARKS, SetMark};
use super::pack_text;
use super::page::Letterings;
use super::paper::{Paper, SHEET_CARDS};
use super::tokens::{Pebbles, TOKENS};
use super::{PrintError, groups, guide, match_groups};
use crate::limits::print::PACK_CARDS_MAX;
use handround_protocol::face::FaceSheet;
use handround_protocol::house::HouseRule;
use handround_protocol::id::DeckId;
use handround_protocol::limits::HAND_CARDS;
use std::collections::BTreeMap;

/// A lesson as it is printed.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Its name.
    pub name: String,
    /// The house rule in play.
    pub house: HouseRule,
    /// The tables, in order.
    pub tables: Vec<PackTable>,
    /// Every deck that a table names.
    pub decks: Vec<FaceSheet>,
}

/// A table as it is printed.
#[derive(Clone, Debug)]
pub struct PackTable {
    /// Such as `Table 1`.
    pub name: String,
    /// The children's names, as they were typed (`on_paper` beside a name in another script).
    pub players: Vec<String>,
    /// Seats of practice partners: adults sit there or nobody.
    pub partners: usize,
    /// Its deck.
    pub deck: DeckId,
}

impl PackTable {
    /// Who plays on paper: the children, and at least two people.
    pub(super) fn seats(&self) -> usize {
        self.players.len().max(2)
    }
}

impl Pack {
    pub(super) fn deck(&self, table: &PackTable) -> Option<&FaceSheet> {
        self.decks.iter().find(|sheet| sheet.deck == table.deck)
    }

    /// The mark of a table's cards, so that decks of the same cards can be sorted back to their
    /// tables. A ninth table has the first one's mark again.
    pub(super) fn mark(number: usize) -> SetMark {
        MARKS[number % MARKS.len()]
    }

    fn word(&self) -> Vec<char> {
        match &self.house {
            HouseRule::Letters { word } => word.chars().collect(),
            _ => Vec::new(),
        }
    }

    /// Tokens in the middle of all tables together: one fewer than players at each.
    pub(super) fn tokens(&self) -> usize {
        let all = self.tables.iter().map(|table| table.seats() - 1).sum();
        if self.house.has_tokens() { all } else { 0 }
    }

    /// Everything that makes the pack impossible.
    fn check(&self) -> Result<(), PrintError> {
        if self.tables.is_empty() {
            return Err(PrintError::NoTables);
        }
        let mut all = 0;
        for table in &self.tables {
            let cards = self.deck(table).map_or(0, |sheet| sheet.faces.len());
            let needed = (table.seats() + 2) * HAND_CARDS;
            if cards < needed {
                let seats = u8::try_from(table.seats()).unwrap_or(u8::MAX);
                return Err(PrintError::TooFewCards { cards, seats, needed });
            }
            all += cards;
        }
        if all > PACK_CARDS_MAX {
            return Err(PrintError::PackTooLarge(all));
        }
        // Letters that the alphabet lacks are played with letters written by hand.
        Ok(())
    }
}

/// The PDF of a lesson, without backs. It tells after every page how many are done.
///
/// # Errors
/// The first thing that makes it impossible, as a sentence for the teacher.
pub fn pack_pdf(pack: &Pack, paper: Paper, tell: Tell<'_>) -> Result<Vec<u8>, PrintError> {
    pack.check()?;
    let letterings = Letterings::draw()?;
    let word = pack.word();
    // A word in another alphabet is written by hand; the page of rules says so.
    let word = if word.iter().all(char::is_ascii_alphabetic) { word } else { Vec::new() };
    let seatings = pack_text::seatings(pack);
    let sheets = |cards: usize| cards.div_ceil(SHEET_CARDS);
    let of_table = |table: &PackTable| {
        let cards = pack.deck(table).map_or(0, |sheet| sheet.faces.len());
        1 + sheets(cards) + sheets(word.len() * table.seats())
    };
    let token_sheets = pack.tokens().div_ceil(TOKENS);
    let total = seatings.len() + 1 + pack.tables.iter().map(of_table).sum::<usize>() + token_sheets;
    let title = format!("{}: a lesson on paper", pack.name);
    let mut book = Book::open(title, (paper, false), total, &letterings, tell);
    for (number, sections) in (1..).zip(&seatings) {
        let foot = format!("{}  \u{2022}  tables, page {number} of {}", pack.name, seatings.len());
        let title = format!("On paper: {}", pack.name);
        book.page(|page| guide::draw(page, paper, &title, sections, &foot))?;
    }
    let (decks, letters, pebbles) = book.page(|page| {
        let foot = format!("{}  \u{2022}  guide", pack.name);
        guide::draw(page, paper, "How to play, for every table", &pack_text::guide(pack), &foot)?;
        let mut decks = BTreeMap::<DeckId, Vec<KeptFace>>::new();
        for sheet in &pack.decks {
            decks.insert(sheet.deck, keep_faces(page, sheet)?);
        }
        Ok((decks, keep_letters(page, &word)?, Pebbles::keep(page).map_err(ours)?))
    })?;
    for (number, table) in pack.tables.iter().enumerate() {
        let (Some(sheet), Some(faces)) = (pack.deck(table), decks.get(&table.deck)) else {
            continue;
        };
        let mark = Pack::mark(number);
        let of = |group: Vec<usize>| group.into_iter().map(|card| &faces[card]).collect();
        let cards: Vec<Vec<&KeptFace>> = match_groups(sheet).into_iter().map(of).collect();
        let name = format!("{}  \u{2022}  {}", table.name, sheet.name);
        let marks = book.page(|page| {
            let marks = Marks::keep(page, mark)?;
            groups::draw(page, paper, &name, &cards, &marks.on_face);
            Ok(marks)
        })?;
        let head = format!("{name}  \u{2022}  mark: {}", mark.name());
        book.deck(&head, &cards, (&letters, table.seats()), &marks)?;
    }
    for _ in 0..token_sheets {
        book.tokens(&pebbles)?;
    }
    book.close()
}
