//! Joining without typing, and setting up a lesson: the small JSON bodies that travel over HTTP,
//! before a device has a socket.

use crate::id::{LessonId, PupilIndex, TableId, Token};
use crate::picture::Picture;
use crate::time::Micros;
use crate::view::SeatKind;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A child tapped the row of pictures that the teacher shows: `POST /join/row`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct JoinRow {
    /// The pictures in the order tapped.
    pub row: Vec<Picture>,
}

/// The lesson's places, in answer to the row or to the QR link (`POST /join/link`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct JoinPlaces {
    /// Lets this device choose a place for a few minutes.
    pub ticket: Token,
    /// The lesson's name.
    pub lesson: String,
    /// One line a pupil.
    pub places: Vec<JoinPlace>,
}

/// One pupil's place as a child sees it when joining.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct JoinPlace {
    /// The line in the class list.
    pub pupil: PupilIndex,
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// A device holds this place already.
    pub taken: bool,
}

/// The QR link's code: `POST /join/link`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct JoinLink {
    /// The code in the link.
    pub code: Token,
}

/// A child tapped the own name and picture: `POST /join/place`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct JoinPick {
    /// From `JoinPlaces`.
    pub ticket: Token,
    /// The own line.
    pub pupil: PupilIndex,
}

/// The place is this device's now.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Joined {
    /// The seat's secret, for `Hello`; kept on the device until the lesson ends.
    pub token: Token,
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
}

/// A friendly no over HTTP, with a status of 4xx.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct HttpRefusal {
    /// One plain sentence for the person at the screen.
    pub message: String,
    /// The line of a class list it is about, counted from 1; `None` if it is about no line.
    pub line: Option<u32>,
}

/// A lesson was made from a class list: answer to `POST /lessons`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct LessonMade {
    /// The lesson.
    pub lesson: LessonId,
    /// How the class was seated, in one plain sentence.
    pub seating: String,
}

/// A teacher's lessons: `GET /lessons`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct LessonLine {
    /// The lesson.
    pub lesson: LessonId,
    /// Its name.
    pub name: String,
    /// When it was made, in microseconds since the Unix epoch: lessons may share a name and a day.
    pub made_at: Micros,
    /// Pupils on its list.
    pub pupils: u16,
    /// Its tables.
    pub tables: u16,
}

/// Seats for practice partners from outside and for load tests: `POST /lessons/{id}/partners`,
/// teacher only. Each seat that a built-in partner holds gets a secret of its own, and the
/// built-in partner leaves it alone while a device is connected with that secret.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct PartnerSeat {
    /// The table.
    pub table: TableId,
    /// For `Hello`.
    pub token: Token,
    /// What it is: only practice partners' seats are handed out.
    pub kind: SeatKind,
}

/// The last race of a table, told: `GET /lessons/{id}/tables/{table}/race`, teacher only.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct RaceTold {
    /// All of it in one plain sentence, with names.
    pub sentence: String,
    /// What the picture shows, in words: one line a seat, fastest first.
    pub lines: Vec<String>,
    /// Bars of reaction with their intervals, as one `<svg>` element.
    pub picture_svg: String,
    /// Whether the wall display can replay it: a race that does not count is not shown.
    pub can_replay: bool,
}
