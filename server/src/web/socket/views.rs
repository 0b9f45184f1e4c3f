//! Whole views for boards and wall displays: always the newest, never more often than four times a
//! second. One that was not read in time is replaced, not queued.

use crate::lesson::connection::Outbox;
use crate::lesson::hub::{LentShown, Term, substitute_view};
use crate::limits::web::VIEW_GAP;
use handround_protocol::close::Close;
use handround_protocol::message::ToClient;
use handround_protocol::view::{BoardView, WallView};
use std::sync::Arc;
use tokio::sync::watch;
use tokio::time::{Instant, sleep_until};

/// The views of one connection; seats have none.
pub enum Views {
    None,
    Board(Whole<BoardView>),
    Wall(Whole<WallView>),
    Substitute { board: Whole<BoardView>, lent: LentShown, term: Term },
    LentWall { wall: Whole<WallView>, lent: LentShown, term: Term },
}

/// A watched view and when it may go out next. It holds the ordinary lane's sending end, since a
/// lane without one counts as a table that stopped.
pub struct Whole<T> {
    newest: watch::Receiver<Arc<T>>,
    due: Instant,
    _outbox: Outbox,
}

impl Views {
    pub fn board(newest: watch::Receiver<Arc<BoardView>>, outbox: Outbox) -> Views {
        Views::Board(Whole::new(newest, outbox))
    }

    pub fn wall(newest: watch::Receiver<Arc<WallView>>, outbox: Outbox) -> Views {
        Views::Wall(Whole::new(newest, outbox))
    }

    pub fn substitute(
        newest: watch::Receiver<Arc<BoardView>>,
        (lent, term): (LentShown, Term),
        outbox: Outbox,
    ) -> Views {
        Views::Substitute { board: Whole::new(newest, outbox), lent, term }
    }

    pub fn lent_wall(
        newest: watch::Receiver<Arc<WallView>>,
        (lent, term): (LentShown, Term),
        outbox: Outbox,
    ) -> Views {
        Views::LentWall { wall: Whole::new(newest, outbox), lent, term }
    }

    /// The next view that is to go out. May be dropped and asked again at any time.
    ///
    /// # Errors
    /// `LessonOver`, once nothing will come any more; `UnknownCredential` where a link has ended.
    pub async fn next(&mut self) -> Result<ToClient, Close> {
        match self {
            Views::None => std::future::pending().await,
            Views::Board(board) => board.next().await.map(ToClient::Board),
            Views::Wall(wall) => wall.next().await.map(ToClient::Wall),
            Views::Substitute { board, lent, term } => tokio::select! {
                biased;
                () = term.is_over() => Err(Close::UnknownCredential),
                board = board.next() => {
                    board.map(|board| ToClient::Substitute(substitute_view(&board, lent)))
                }
            },
            Views::LentWall { wall, lent, term } => tokio::select! {
                biased;
                () = term.is_over() => Err(Close::UnknownCredential),
                wall = wall.next() => wall.map(|wall| ToClient::Wall(lent.on_wall(wall))),
            },
        }
    }
}

impl<T: Clone> Whole<T> {
    fn new(mut newest: watch::Receiver<Arc<T>>, outbox: Outbox) -> Whole<T> {
        newest.mark_changed();
        Whole { newest, due: Instant::now(), _outbox: outbox }
    }

    async fn next(&mut self) -> Result<T, Close> {
        sleep_until(self.due).await;
        self.newest.changed().await.map_err(|_| Close::LessonOver)?;
        self.due = Instant::now() + VIEW_GAP;
        Ok(T::clone(&self.newest.borrow_and_update()))
    }
}
