//! The door of a lesson: cards, links and tablets that lead to one child's place, devices that wait
//! for the teacher's answer, and places taken back. Small JSON bodies over HTTP; who only taps the
//! row of pictures needs no more than `join`.

use crate::id::{PupilIndex, Token};
use crate::picture::Picture;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Whom the teacher lets in herself.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Admit {
    /// Nobody: whoever knows the way sits down.
    Nobody,
    /// Whoever comes by a home link. The default: in the room she sees who sits down, at home she
    /// does not.
    #[default]
    FromHome,
    /// Everybody.
    Everybody,
}

/// How a device came to the door.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Way {
    /// The child tapped the own picture.
    Picture,
    /// The child's place card.
    Card,
    /// The child's home link.
    Home,
    /// A tablet that is kept for the child.
    Tablet,
}

/// A child tapped the own picture, on a page that can wait: `POST /join/ask`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorPick {
    /// From `JoinPlaces`.
    pub ticket: Token,
    /// The own line.
    pub pupil: PupilIndex,
    /// The secret of this tablet, if it is one of the cart's.
    #[serde(default)]
    pub tablet: Option<Token>,
}

/// A place card or a home link was opened: `POST /join/card`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorCard {
    /// The code behind the address's `#`, which browsers send to nobody by themselves.
    pub code: Token,
    /// The secret of the place that this device holds already, if any: it is never asked about.
    #[serde(default)]
    pub held: Option<Token>,
}

/// A tablet of the cart asks whose it is, or sits down: `POST /join/tablet`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorTablet {
    /// The secret of this tablet.
    pub tablet: Token,
    /// Takes the place; otherwise it is only asked for.
    pub sit: bool,
    /// The secret of the place that this device holds already, if any: it is never asked about.
    #[serde(default)]
    pub held: Option<Token>,
}

/// Whose a tablet is: the answer of `POST /join/tablet` without `sit`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct TabletTold {
    /// The number on its back, from 1; 0 for one that is nobody's yet.
    pub number: u16,
    /// The nickname; empty for one that is nobody's yet.
    pub name: String,
    /// The picture.
    pub picture: Option<Picture>,
}

/// The teacher answers first, with status 202: ask for it with `POST /join/wait`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorWait {
    /// Names the one who waits; also the whole body of `POST /join/wait`.
    pub wait: Token,
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Option<Picture>,
}

/// It was the wrong picture: `POST /join/undo`, within 10 s.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorUndo {
    /// The seat's secret.
    pub token: Token,
}

/// What a teacher sees of the door: `GET /lessons/{id}/door`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorView {
    /// Whom she lets in herself.
    pub admit: Admit,
    /// Who waits for her answer, oldest first.
    pub waiting: Vec<DoorWaiting>,
    /// All children of the lesson that have a seat.
    pub children: Vec<DoorChild>,
    /// The lesson's class is kept, so that cards, links and tablets are possible.
    pub kept: bool,
    /// Whose names paper leaves a line for, in a sentence; `None` if it shows all of them.
    pub by_hand: Option<String>,
}

/// A device that waits.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorWaiting {
    /// Names it in her answer.
    pub number: u32,
    /// The child whose place it wants.
    pub pupil: PupilIndex,
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// How it came.
    pub way: Way,
    /// Another device holds the place.
    pub second: bool,
}

/// A child, and the ways to its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct DoorChild {
    /// The line in the class list.
    pub pupil: PupilIndex,
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// A device holds the place.
    pub taken: bool,
    /// It sat down moments ago, so that a wrong tap can still be undone by the child.
    pub fresh: bool,
    /// It plays on a shared device.
    pub shared: bool,
    /// The number of the tablet that is kept for it.
    pub tablet: Option<u16>,
    /// It sits at a tablet of the cart that could be kept for it.
    pub tablet_here: bool,
    /// The link for a child at home; `None` before links were made. A late-comer's leads there for as
    /// long as this lesson goes on.
    pub home_url: Option<String>,
    /// The class list says that it plays at home.
    pub at_home: bool,
}

/// What a teacher wishes of the door: `POST /lessons/{id}/door`; answered with the new `DoorView`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum DoorSays {
    /// Whom she lets in herself.
    Admit(Admit),
    /// Her answer to one who waits.
    Answer {
        /// Which.
        number: u32,
        /// In or not.
        admit: bool,
    },
    /// A place was taken by the wrong child, or another device is to have it.
    Free(PupilIndex),
    /// Keep the tablet at which this child sits for it, for later lessons too.
    KeepTablet(PupilIndex),
    /// The tablet is nobody's again.
    ForgetTablet(u16),
    /// Cards, links and tablets lead nowhere any more: one child's, or everybody's. Whoever sits plays
    /// on.
    Revoke(Option<PupilIndex>),
}

/// Children who play at the teacher's own tablet: `POST /lessons/{id}/shared`; answered with one
/// `Joined` each.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SharedAsked {
    /// Two to four of them.
    pub pupils: Vec<PupilIndex>,
}
