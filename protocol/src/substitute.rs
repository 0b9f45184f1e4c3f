//! A substitute's page: the prepared lesson for one day, run by somebody who is no teacher of the class.
//! Closed lists: what it may say is less than a board's, and what it sees of a table is what every
//! child there sees, and who needs somebody. No hand, no support, no count of mistakes, no seating words.

use crate::door::DoorWaiting;
use crate::id::{SeatIndex, TableId, Token};
use crate::picture::Picture;
use crate::time::Micros;
use crate::view::{Attention, CareView, LessonPlan, TableView};
use crate::workshop::SlotAsked;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What a substitute can do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum SubstituteSays {
    /// Start a game as the teacher planned it, or a rematch.
    Start {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// Freeze: eyes on me.
    Freeze {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// Go on.
    GoOn {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// Ring the bell for the end of the slot, or take it back.
    Bell {
        /// One table, or all.
        table: Option<TableId>,
        /// Whether it rings.
        ring: bool,
    },
    /// Take down a child's raised hand.
    HelpGiven {
        /// The table.
        table: TableId,
        /// The seat.
        seat: SeatIndex,
    },
    /// Give a child's seat to a practice partner, or back.
    HandOver {
        /// The table.
        table: TableId,
        /// The seat.
        seat: SeatIndex,
        /// Whether the partner plays.
        partner: bool,
    },
    /// Let children join, or close the room.
    Open {
        /// Whether children may join.
        open: bool,
    },
}

/// The whole of a substitute's page, newest only.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteView {
    /// The lesson's name.
    pub name: String,
    /// Whether children may join now.
    pub open: bool,
    /// The row of pictures to tap. This and the addresses below are the link's own and end with it.
    pub row: Vec<Picture>,
    /// The children's address.
    pub join_url: String,
    /// The QR code of that address as one `<svg>` element.
    pub join_qr_svg: String,
    /// The wall display's address.
    pub wall_url: String,
    /// How the next game is played.
    pub plan: LessonPlan,
    /// What its deck is called.
    pub next_deck: String,
    /// The tables.
    pub tables: Vec<SubstituteTable>,
}

/// One table of a substitute's page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteTable {
    /// The table.
    pub table: TableId,
    /// Such as `Table 1`.
    pub name: String,
    /// The public part, as every child at the table sees it.
    pub view: TableView,
    /// Each seat, in the order of play.
    pub seats: Vec<SubstituteSeat>,
    /// The bell has rung: the game ends with this round.
    pub bell: bool,
    /// Who needs somebody, most urgent first; false grabs are not told here.
    pub attention: Vec<Attention>,
}

/// What a substitute sees of a seat beside its public part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteSeat {
    /// A device is connected and its page is in view.
    pub here: bool,
    /// A practice partner plays the hand until the child is back.
    pub stand_in: bool,
    /// What the child asked for, and who plays its cards by word of the grown-up.
    pub care: CareView,
}

/// The day of a substitute's link: `POST /lessons/{id}/substitute`, from the teacher's page, which
/// knows when the day begins and ends where she is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteDay {
    /// The day's beginning on the server's clock (microseconds since the Unix epoch).
    pub from: Micros,
    /// Its end; a day has at most 25 hours, where clocks are put back.
    pub until: Micros,
}

/// A link that was made just now. The server keeps only its digest, so that it is shown this once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteLink {
    /// The address.
    pub url: String,
    /// Its day.
    pub day: SubstituteDay,
}

/// The substitute's page asks what waits at the door, and may answer: `POST /substitute/door`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteAsk {
    /// The code behind the address's `#`.
    pub code: Token,
    /// An answer to one who waits.
    #[serde(default)]
    pub answer: Option<SubstituteAnswer>,
}

/// The substitute's page asks for the slot for playing, and may begin it or take it back:
/// `POST /substitute/slot`, answered with `SlotTold`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteSlotAsk {
    /// The code behind the address's `#`.
    pub code: Token,
    /// What is chosen, if anything is.
    #[serde(default)]
    pub choose: Option<SlotAsked>,
}

/// In or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteAnswer {
    /// Which device, by `DoorWaiting::number`.
    pub number: u32,
    /// Whether it comes in.
    pub admit: bool,
}

/// The door as a substitute sees it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SubstituteDoor {
    /// The link's day.
    pub day: SubstituteDay,
    /// Who waits for an answer, oldest first.
    pub waiting: Vec<DoorWaiting>,
}
