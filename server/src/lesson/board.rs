//! The teacher's board and the wall display, painted from what the lesson and its tables put out.
//! It reads; it changes nothing.

use super::attention::by_need;
use super::lesson_log::Record;
use super::walks::Walks;
use crate::limits::lesson::BOARD_PAUSE;
use fast_qr::convert::{Builder as _, Shape, svg::SvgBuilder};
use fast_qr::{ECL, QRBuilder};
use futures_util::future::{pending, select_all};
use handround_protocol::id::{LessonId, TableId, Token};
use handround_protocol::picture::Picture;
use handround_protocol::view::{
    BoardSeat, BoardTable, BoardView, LessonPlan, SeatKind, SeatPublic, TableDeck, WallRace,
    WallSeat, WallTable, WallView,
};
use handround_protocol::wall::WallShows;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::watch;

/// A table's part of the board; `None` until its journal was replayed.
pub type TableBoard = Option<Arc<BoardTable>>;

/// What others call a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableFace {
    /// Its id.
    pub table: TableId,
    /// Such as `Table 1`.
    pub name: String,
}

/// What the lesson itself adds to the board and the wall.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LessonFace {
    /// Its id.
    pub lesson: LessonId,
    /// Its name.
    pub name: String,
    /// Whether children may join.
    pub open: bool,
    /// The row of pictures.
    pub row: Vec<Picture>,
    /// The children's address.
    pub join: Address,
    /// The wall display's address.
    pub wall_url: String,
    /// How the next game is played.
    pub plan: LessonPlan,
    /// What the next decks are called.
    pub deck_names: DeckNames,
    /// How the class sits.
    pub seating: String,
    /// Who sits nowhere, and who is about to sit elsewhere.
    pub walks: Walks,
}

/// What the decks of the next games are called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeckNames {
    /// The lesson's.
    pub all: String,
    /// Those of tables with a deck of their own.
    pub own: Vec<TableDeck>,
}

impl DeckNames {
    /// As a lesson's record has them.
    pub fn of(record: &Record) -> DeckNames {
        let own = record.table_decks.iter();
        let own =
            own.map(|(table, deck)| TableDeck { table: *table, name: record.deck_name(*deck) });
        DeckNames {
            all: record.next_deck().map(|deck| record.deck_name(deck)).unwrap_or_default(),
            own: own.collect(),
        }
    }
}

/// An address and its QR code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Address {
    /// The address.
    pub url: String,
    /// One `<svg>` element; empty if the address is too long for a code.
    pub qr_svg: String,
}

impl Address {
    /// The address by which children join.
    pub fn to_join(public_url: &str, code: Token) -> Address {
        let url = format!("{public_url}/j/{code}");
        // Medium error correction: a projected code is seen at an angle and through fingers.
        let qr_svg = match QRBuilder::new(url.as_str()).ecl(ECL::M).build() {
            Ok(code) => SvgBuilder::default().shape(Shape::Square).to_str(&code),
            Err(error) => {
                tracing::warn!(%error, "no QR code for the children's address");
                String::new()
            }
        };
        Address { url, qr_svg }
    }
}

/// The wall display's address.
pub fn wall_url(public_url: &str, token: Token) -> String {
    format!("{public_url}/wall/{token}")
}

/// The teacher's board.
pub fn board_view(face: &LessonFace, tables: &[TableBoard], shows: &WallShows) -> BoardView {
    let tables: Vec<BoardTable> = tables.iter().flatten().map(|table| (**table).clone()).collect();
    BoardView {
        lesson: face.lesson,
        name: face.name.clone(),
        open: face.open,
        row: face.row.clone(),
        join_url: face.join.url.clone(),
        join_qr_svg: face.join.qr_svg.clone(),
        wall_url: face.wall_url.clone(),
        plan: face.plan.clone(),
        next_deck: face.deck_names.all.clone(),
        table_decks: face.deck_names.own.clone(),
        seating: face.seating.clone(),
        by_need: by_need(&tables),
        tables,
        unseated: face.walks.unseated.clone(),
        moving: face.walks.moving.clone(),
        alone: face.walks.alone.clone(),
        late_table: face.walks.late_table,
        wall_shows: shows.clone(),
    }
}

/// The wall display: of each table only who sits there and who has arrived.
pub fn wall_view(
    face: &LessonFace,
    tables: &[TableBoard],
    race: Option<&WallRace>,
    shows: &WallShows,
) -> WallView {
    let wall_table =
        |table: &Arc<BoardTable>| WallTable { name: table.name.clone(), seats: wall_seats(table) };
    WallView {
        name: face.name.clone(),
        open: face.open,
        row: face.row.clone(),
        join_url: face.join.url.clone(),
        join_qr_svg: face.join.qr_svg.clone(),
        tables: tables.iter().flatten().map(wall_table).collect(),
        race: race.cloned(),
        shows: shows.clone(),
    }
}

/// Everybody at a table, all alike.
pub fn wall_seats(table: &BoardTable) -> Vec<WallSeat> {
    let seats = table.view.seats.iter().zip(&table.seats);
    let seat = |(seat, board): (&SeatPublic, &BoardSeat)| WallSeat {
        name: seat.name.clone(),
        picture: seat.picture,
        kind: seat.kind,
        here: board.here || seat.kind == SeatKind::Partner,
    };
    seats.map(seat).collect()
}

/// What the painter looks at and where it paints.
pub struct Easel {
    /// The lesson's own part.
    pub lesson: watch::Receiver<Arc<LessonFace>>,
    /// The tables' parts.
    pub tables: Vec<watch::Receiver<TableBoard>>,
    /// The race that the teacher shows on the wall.
    pub race: watch::Receiver<Option<WallRace>>,
    /// What else she shows there.
    pub shows: watch::Receiver<WallShows>,
    /// The board.
    pub board: watch::Sender<Arc<BoardView>>,
    /// The wall display.
    pub wall: watch::Sender<Arc<WallView>>,
}

/// Paints after every change, at most four times a second, for as long as the lesson lives.
pub async fn paint(mut easel: Easel) {
    loop {
        let face = easel.lesson.borrow_and_update().clone();
        let tables: Vec<TableBoard> =
            easel.tables.iter_mut().map(|table| table.borrow_and_update().clone()).collect();
        let race = easel.race.borrow_and_update().clone();
        let shows = easel.shows.borrow_and_update().clone();
        easel
            .board
            .send_if_modified(|board| replace_if_new(board, board_view(&face, &tables, &shows)));
        easel.wall.send_if_modified(|wall| {
            replace_if_new(wall, wall_view(&face, &tables, race.as_ref(), &shows))
        });
        tokio::time::sleep(Duration::from_micros(BOARD_PAUSE.0)).await;
        let tables = select_all(easel.tables.iter_mut().map(|table| Box::pin(changed(table))));
        tokio::select! {
            lesson = easel.lesson.changed() => if lesson.is_err() { return },
            // Its sender lives as long as the lesson's.
            race = easel.race.changed() => if race.is_err() { return },
            shows = easel.shows.changed() => if shows.is_err() { return },
            _ = tables => {}
        }
    }
}

/// Waits for a change; a table that has stopped changes no more.
async fn changed(table: &mut watch::Receiver<TableBoard>) {
    if table.changed().await.is_err() {
        pending::<()>().await;
    }
}

fn replace_if_new<T: PartialEq>(shown: &mut Arc<T>, view: T) -> bool {
    let new = **shown != view;
    if new {
        *shown = Arc::new(view);
    }
    new
}
