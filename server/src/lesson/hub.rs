//! The door between `web` and the lessons: everything that the edge may ask, and nothing else.

use super::connection::{FromSeat, Outbox};
use crate::journal::Store;
use handround_protocol::close::Close;
use handround_protocol::id::{DeckId, LessonId, PupilIndex, SeatNumber, Token};
use handround_protocol::join::{
    HttpRefusal, JoinPlaces, Joined, LessonLine, LessonMade, PartnerSeat,
};
use handround_protocol::message::{BoardSays, Welcome};
use handround_protocol::picture::Picture;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardView, LessonPlan, WallView};
use std::sync::Arc;
use tokio::sync::watch;

/// All lessons of this server. Cheap to clone.
#[derive(Clone)]
pub struct Hub {
    store: Arc<dyn Store>,
}

/// A seat's connection; dropping it tells the table that the link is down.
pub struct SeatLink {}

impl SeatLink {
    /// Reports to the table; waits while its inbox is full, which holds back this socket alone.
    ///
    /// # Errors
    /// The close code, once the table has stopped or a newer device has the seat.
    pub async fn report(&self, _report: FromSeat) -> Result<(), Close> {
        todo!()
    }
}

impl Hub {
    /// Brings every lesson and table back from the journal. `public_url` is the address that
    /// children's devices reach, such as `http://192.0.2.7:8787`.
    ///
    /// # Errors
    /// A store that cannot be read.
    pub async fn restore(store: Arc<dyn Store>, _public_url: String) -> anyhow::Result<Hub> {
        Ok(Hub { store })
    }

    /// The server's clock: microseconds since the Unix epoch that never run backwards, not even
    /// over a restart.
    pub fn now(&self) -> Micros {
        let _ = &self.store;
        todo!()
    }

    /// Makes a lesson from a class list file, seats the class and lays the tables.
    ///
    /// # Errors
    /// One plain sentence, with the line it is about.
    pub async fn make_lesson(
        &self,
        _name: &str,
        _class_list: &[u8],
        _plan: LessonPlan,
    ) -> Result<LessonMade, HttpRefusal> {
        todo!()
    }

    /// The lessons that are not over.
    pub async fn lessons(&self) -> Vec<LessonLine> {
        todo!()
    }

    /// The places of the lesson whose row of pictures this is.
    ///
    /// # Errors
    /// One plain sentence: no such row, or the room is closed.
    pub async fn places_by_row(&self, _row: &[Picture]) -> Result<JoinPlaces, HttpRefusal> {
        todo!()
    }

    /// The places of the lesson whose QR link this is.
    ///
    /// # Errors
    /// One plain sentence: no such link, or the room is closed.
    pub async fn places_by_link(&self, _code: Token) -> Result<JoinPlaces, HttpRefusal> {
        todo!()
    }

    /// Gives a pupil's place to the device that holds the ticket.
    ///
    /// # Errors
    /// One plain sentence: the ticket is old, or the place is taken.
    pub async fn take_place(
        &self,
        _ticket: Token,
        _pupil: PupilIndex,
    ) -> Result<Joined, HttpRefusal> {
        todo!()
    }

    /// Connects a device to its seat; the newest device wins and the older one is closed.
    ///
    /// # Errors
    /// `UnknownCredential` or `LessonOver`.
    pub async fn connect_seat(
        &self,
        _token: Token,
        _resume: Option<SeatNumber>,
        _outbox: Outbox,
    ) -> Result<(SeatLink, Welcome), Close> {
        todo!()
    }

    /// The teacher's board of a lesson, whole and always the newest.
    pub async fn board(&self, _lesson: LessonId) -> Option<watch::Receiver<Arc<BoardView>>> {
        todo!()
    }

    /// A teacher's wish.
    ///
    /// # Errors
    /// The friendly no, for her page.
    pub async fn board_says(&self, _lesson: LessonId, _says: BoardSays) -> Result<(), Refusal> {
        todo!()
    }

    /// The wall display that this secret opens.
    pub async fn wall(&self, _token: Token) -> Option<watch::Receiver<Arc<WallView>>> {
        todo!()
    }

    /// A deck's face sheet as JSON, ready to send.
    pub async fn face_sheet(&self, _deck: DeckId) -> Option<Arc<str>> {
        todo!()
    }

    /// Secrets for the seats that practice partners hold, for partners from outside.
    ///
    /// # Errors
    /// One plain sentence: no such lesson.
    pub async fn partner_seats(&self, _lesson: LessonId) -> Result<Vec<PartnerSeat>, HttpRefusal> {
        todo!()
    }
}
