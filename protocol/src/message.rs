//! The messages, named from the device's side. Enums are externally tagged, hold no recursion and
//! no items of zero size, so that bincode and JSON carry the very same types; variants are only
//! appended.

use crate::cheer::CheerPicture;
use crate::id::{
    Ask, CardId, DeckId, FaceIndex, LessonId, Nonce, PupilIndex, RoundNumber, SeatIndex,
    SeatNumber, TableId, Token,
};
use crate::refusal::Refusal;
use crate::substitute::{SubstituteSays, SubstituteView};
use crate::support::Support;
use crate::time::Micros;
use crate::view::{
    BoardView, CareView, GrabView, HandView, LessonPlan, RulingView, SeatView, TableView, WallView,
};
use crate::wall::WallSays;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What a device sends.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum ToServer {
    /// The first message of every connection, and only the first.
    Hello(Hello),
    /// A seat's move, from a pupil's device or an outside practice partner.
    Seat {
        /// The device's own number for this, echoed in a refusal.
        ask: Ask,
        /// The move.
        says: SeatSays,
    },
    /// A teacher's wish, from her board.
    Board {
        /// The page's own number for this, echoed in a refusal.
        ask: Ask,
        /// The wish.
        says: BoardSays,
    },
    /// Asks for the server's clock.
    ClockAsk {
        /// The device's clock when it asked.
        device: Micros,
    },
    /// The answer to `TellClock`, at once.
    ClockTold {
        /// Which question.
        nonce: Nonce,
        /// The device's clock when the question was read.
        received: Micros,
        /// The device's clock when the answer was written.
        answered: Micros,
    },
    /// A substitute's wish, from its page.
    Substitute {
        /// The page's own number for this, echoed in a refusal.
        ask: Ask,
        /// The wish.
        says: SubstituteSays,
    },
}

/// Who is there, and where it left off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Hello {
    /// What lets the device in.
    pub credential: Credential,
    /// The last numbered message it has, after a break; `None` for a fresh start.
    pub resume: Option<SeatNumber>,
    /// The coarsest step of the device's clock in microseconds, reported once.
    pub clock_step: Micros,
}

/// What lets a device in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Credential {
    /// A seat's secret, from joining.
    Seat(Token),
    /// The teacher's board of one lesson; her sign-in came as a cookie or header of the upgrade.
    Board(LessonId),
    /// A wall display's secret.
    Wall(Token),
    /// The code of a substitute's link, good for one day.
    Substitute(Token),
}

/// What a seat can do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum SeatSays {
    /// The deal is on the screen, all faces loaded.
    DealShown {
        /// Which deal.
        round: RoundNumber,
    },
    /// Look at the next card: the dealer from the draw pile, the others from the tray.
    TakeUp,
    /// Keep the card under consideration and give one of the hand away.
    Keep {
        /// The card under consideration, so that a late double tap hits nothing.
        card: CardId,
        /// The card of the hand that goes to the next seat.
        give: CardId,
    },
    /// Hand the card under consideration on.
    Pass {
        /// The card under consideration.
        card: CardId,
    },
    /// Take the last move back.
    Undo,
    /// Take a token.
    Grab(Grab),
    /// The cue is on the screen.
    CueShown {
        /// Which cue.
        cue: Nonce,
        /// The device's clock at the animation frame after the one that changed the page.
        shown: Micros,
    },
    /// Lay down four alike, in the calm game.
    LayDown,
    /// The page came into view or was hidden.
    InView {
        /// Whether the child can see it.
        visible: bool,
    },
    /// Raise a quiet hand, or take it down. It goes to the teacher's list and stops nothing.
    Help {
        /// Whether help is wanted.
        wanted: bool,
    },
    /// Take a break, or come back. A practice partner plays meanwhile.
    Break {
        /// Whether a break is wanted.
        wanted: bool,
    },
    /// The child has seen the words of all pictures, or passed them over.
    PicturesNamed,
    /// A child who watches sends the table a kind picture, between rounds.
    Cheer {
        /// Which.
        picture: CheerPicture,
    },
    /// A hand on a shared device: its cover was laid on, or taken off by the child whose hand it is.
    Covered {
        /// Whether the cover lies there.
        covered: bool,
    },
}

/// A tap on a token, with the device's own times. A claim, never taken at its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Grab {
    /// The cue on this screen, if there was one.
    pub cue: Option<GrabCue>,
    /// The device's clock at the tap: `event.timeStamp` of the pointer or key.
    pub tap: Micros,
    /// Which token was tapped, counted from 0; for the record only, all tokens are alike.
    pub token: u8,
}

/// The cue that a grab answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GrabCue {
    /// The cue's number.
    pub nonce: Nonce,
    /// The device's clock when it showed the cue.
    pub shown: Micros,
}

/// What a teacher can do from her board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum BoardSays {
    /// Start a game, or a rematch with everybody back.
    Start {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// Stop the table as it is.
    Pause {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// Go on.
    Resume {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// End the game; a race that is open is decided first.
    End {
        /// One table, or all.
        table: Option<TableId>,
    },
    /// How the next game is to be played; takes effect when it starts.
    Plan(LessonPlan),
    /// Let children join, or close the room.
    Open {
        /// Whether children may join.
        open: bool,
    },
    /// Free a pupil's place, so that another device can take it.
    FreePlace {
        /// The pupil.
        pupil: PupilIndex,
    },
    /// End the lesson for good.
    EndLesson,
    /// Remind a child softly, on its own screen alone.
    Nudge {
        /// The table.
        table: TableId,
        /// The seat.
        seat: SeatIndex,
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
    /// Ring the bell for the end of the slot, or take it back: rounds finish, no new one is dealt.
    Bell {
        /// One table, or all.
        table: Option<TableId>,
        /// Whether it rings.
        ring: bool,
    },
    /// Show the last race of a table on the wall display, calmly.
    ShowRace {
        /// The table.
        table: TableId,
    },
    /// What one child gets beside the cards; takes effect with the next deal.
    Support {
        /// The pupil.
        pupil: PupilIndex,
        /// The whole of it.
        support: Support,
    },
    /// Let a child sit at another table, or leave, as soon as its table is between rounds. A practice
    /// partner follows on the old seat.
    MovePupil {
        /// The pupil.
        pupil: PupilIndex,
        /// Where to; `None` for a child that leaves.
        table: Option<TableId>,
    },
    /// A child comes late that the class list does not name.
    AddPupil {
        /// The nickname.
        name: String,
        /// Where the child sits.
        table: TableId,
    },
    /// What the wall display shows beside the way in.
    Wall(WallSays),
}

/// What reaches a device.
// The largest variant is the one that is sent most, so that a box would cost more than it saves.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum ToClient {
    /// The answer to `Hello`.
    Welcome(Welcome),
    /// A numbered message of this seat.
    Seat {
        /// This seat's own count, without gaps.
        number: SeatNumber,
        /// What is new.
        news: SeatNews,
    },
    /// A token is missing. Unnumbered, since it overtakes everything in the queue; a device that
    /// has it already ignores it. The same nonce also stands in the grab part of the view.
    Cue {
        /// The round it belongs to.
        round: RoundNumber,
        /// Unguessable, this seat's alone.
        nonce: Nonce,
    },
    /// A friendly no.
    Refused {
        /// What was asked.
        ask: Ask,
        /// Why not.
        refusal: Refusal,
    },
    /// The answer to `ClockAsk`.
    Clock {
        /// The device's clock, echoed.
        device: Micros,
        /// The server's clock when the question was read.
        received: Micros,
        /// The server's clock when the answer was written.
        sent: Micros,
    },
    /// The teacher's board, whole.
    Board(BoardView),
    /// The wall display, whole.
    Wall(WallView),
    /// Asks for the device's clock, for taps that have no cue.
    TellClock {
        /// Names the question; unguessable, so that no answer comes before it.
        nonce: Nonce,
    },
    /// A substitute's page, whole.
    Substitute(SubstituteView),
}

/// What a connection is, and what it should load first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Welcome {
    /// A seat at a table.
    Seat {
        /// The table.
        table: TableId,
        /// The own seat.
        seat: SeatIndex,
        /// The deck whose faces to load before the first deal.
        deck: DeckId,
    },
    /// The teacher's board.
    Board,
    /// The wall display.
    Wall,
    /// A substitute's page.
    Substitute,
}

/// A numbered piece of news: a whole part of the seat's view, or all of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum SeatNews {
    /// All of it: at the start, or after a break that the history does not bridge.
    Snapshot(SeatView),
    /// The public part.
    Table(TableView),
    /// The own cards.
    Hand(Option<HandView>),
    /// The own part in the race.
    Grab(GrabView),
    /// How the round ended.
    Ruling(Option<RulingView>),
    /// What an onlooker can sort.
    Sorting(Vec<FaceIndex>),
    /// What this child asked for, and who plays its cards by the teacher's word.
    Care(CareView),
}
