//! A rule's friendly no: the move was understood and is not possible now. The player sees it;
//! nothing changes; the connection stays.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Why a move or a teacher's wish was refused. Only appended to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, thiserror::Error)]
#[ts(export)]
pub enum Refusal {
    /// No round is being played.
    #[error("the round has not begun or is over")]
    NoRound,
    /// The teacher stopped the table.
    #[error("the table is paused")]
    Paused,
    /// The seat is out of the game and watches.
    #[error("this seat is watching this game")]
    NotInPlay,
    /// A card is under consideration already.
    #[error("decide on the card in front of you first")]
    AlreadyConsidering,
    /// No card is under consideration.
    #[error("there is no card in front of you")]
    NothingConsidered,
    /// That card is not, or no longer, this seat's.
    #[error("that card is not yours any more")]
    NotYourCard,
    /// Nothing waits in the tray.
    #[error("no card is waiting for you yet")]
    TrayEmpty,
    /// Both piles are empty; a discard will come.
    #[error("the pile is empty; wait for a card to come round")]
    PilesEmpty,
    /// The next seat's tray has no free place.
    #[error("your neighbour's tray is full; wait a moment")]
    NextTrayFull,
    /// The neighbour opened the card, three seconds passed, or there was no move.
    #[error("that move can no longer be taken back")]
    TooLateToUndo,
    /// Not everybody has seen the deal.
    #[error("the tokens are not there yet")]
    TokensNotLive,
    /// This seat holds a token already.
    #[error("you have a token already")]
    HasToken,
    /// The short wait after a false grab or a tap too soon.
    #[error("wait a moment, then look again")]
    Wait,
    /// The house rule has no tokens.
    #[error("there are no tokens in this game")]
    NoTokens,
    /// Laying down needs four alike, in the calm game only.
    #[error("you need four that match")]
    NoFourAlike,
    /// The seat has laid down its four and passes all on.
    #[error("you have laid down your four")]
    HasLaidDown,
    /// A stand-in never takes the first token.
    #[error("a stand-in never takes the first token")]
    StandInNeverFirst,
    /// The grab names a cue that was not this seat's.
    #[error("that was not your cue")]
    NotYourCue,
    /// The game is running already.
    #[error("a game is being played")]
    GameRunning,
    /// No game is running.
    #[error("no game is being played")]
    NoGame,
    /// A rule setting is out of range.
    #[error("that rule cannot be played")]
    RuleNotPlayable,
    /// The deck has too few cards: it needs (seats + 2) x 4.
    #[error("the deck is too small: it serves tables of up to {serves} seats")]
    DeckTooSmall {
        /// The largest table this deck serves; 0 or 1 if none.
        serves: u8,
    },
    /// Fewer than two or more than six seats.
    #[error("a table has two to six seats")]
    SeatCount,
    /// No such table in this lesson.
    #[error("there is no such table")]
    NoSuchTable,
    /// No such seat at this table.
    #[error("there is no such seat")]
    NoSuchSeat,
    /// The server could not do it just now; nothing has changed.
    #[error("that did not work; try again in a moment")]
    ServerTrouble,
    /// The teacher gave this seat to a practice partner.
    #[error("a helper plays your cards for now")]
    PartnerHolds,
    /// A reminder to a child that has nothing to do just now.
    #[error("there is nothing that this child could do just now")]
    NothingToDo,
    /// No deck can follow the plan; over HTTP the reason comes as a sentence.
    #[error("no deck can follow these wishes")]
    DeckNotPossible,
    /// There was no race at that table, or it does not count.
    #[error("there is no race to show")]
    NoRace,
    /// Seats change hands between rounds only.
    #[error("wait for the end of the round")]
    RoundRunning,
    /// A late-comer's nickname is too long, cannot be shown, or is taken.
    #[error("give another nickname: a short one that nobody in the class has")]
    NameNotPossible,
    /// The child sits there already.
    #[error("this child sits there already")]
    SitsThere,
    /// The class is as large as a lesson can hold.
    #[error("this lesson holds no more children")]
    ClassFull,
    /// No round has ended with four alike yet, or the wall shows nothing that could change.
    #[error("there is nothing to show")]
    NothingToShow,
    /// Cheering is a house rule that is off in this game.
    #[error("there is no cheering in this game")]
    CheeringOff,
    /// Pictures go between rounds only: while tokens lie there a race may be open. It is said of the
    /// whole round, so that it never tells whether one is.
    #[error("cheer when the round is over")]
    CheeringNotNow,
    /// This seat has sent as many as it may until the next round.
    #[error("that was kind; more after the next round")]
    CheeringEnough,
    /// Only children who watch cheer.
    #[error("those who watch cheer")]
    OnlyWatching,
}
