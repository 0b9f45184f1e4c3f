//! What happened at a table: outcomes only, so that replay never decides. Variants are only
//! appended, and a stored journal of each released format is replayed in the tests for ever.

use super::command::{By, Seed};
use super::rules::{GameDeck, Rules};
use crate::race::{Observation, Record, Ruling};
use handround_protocol::cheer::CheerPicture;
use handround_protocol::id::{
    CardId, FaceIndex, GameNumber, Nonce, PupilIndex, RoundNumber, SeatIndex,
};
use handround_protocol::picture::Picture;
use handround_protocol::support::Support;
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, RoundEnd, SeatKind};
use serde::{Deserialize, Serialize};

/// One line of a table's journal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// When, on the server's clock.
    pub at: Micros,
    /// What.
    pub event: Event,
}

/// A card of the deck in play, by its position; also its face's position on the sheet.
pub type Card = FaceIndex;

/// Who holds a seat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeatPlan {
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// A pupil or a practice partner.
    pub kind: SeatKind,
    /// The line in the class list, for a pupil.
    pub pupil: Option<PupilIndex>,
    /// How this child plays: `Child`, `SharedDevice` or `Home`; `Partner` for a partner.
    pub by: By,
}

/// Where a card taken up came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Source {
    /// The draw pile.
    Pile,
    /// The own tray.
    Tray,
}

/// What evidence needs to judge a decision by what could be seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Marks {
    /// Who decided.
    pub by: By,
    /// A hint was showing.
    pub hinted: bool,
    /// A helper was on at least one of the cards seen.
    pub helped: bool,
    /// The first decision after a pause, a break of the link or a stand-in.
    pub after_pause: bool,
    /// From the moment the choice could be made to the decision, by the server's clock.
    pub taken: Micros,
    /// The hand before the decision.
    pub hand: Vec<Card>,
    /// The card under consideration, if there was one.
    pub incoming: Option<Card>,
    /// The helper that this move used rightly. Journals of before helpers lack it.
    #[serde(default)]
    pub right_use: Option<Helper>,
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Event {
    /// The table was set with these seats.
    Seated {
        /// In the order of play.
        seats: Vec<SeatPlan>,
    },
    /// A game began, everybody back.
    GameStarted {
        /// Counted from 1.
        game: GameNumber,
        /// How it is played.
        rules: Rules,
        /// The cards.
        deck: GameDeck,
    },
    /// All cards were gathered, shuffled and dealt.
    Dealt {
        /// Counted from 1, never reused.
        round: RoundNumber,
        /// The dealer.
        dealer: SeatIndex,
        /// What the shuffle started from; recorded beside its outcome.
        seed: Seed,
        /// The whole deck, top card first: four to each seat from the dealer on, one by one, then
        /// one into each tray if cards come by themselves, then the draw pile.
        order: Vec<Card>,
        /// The id of each card in this deal, by its position in the deck.
        ids: Vec<CardId>,
        /// The draw that decides ties in this round's race: one rank a seat, all different.
        ranks: Vec<u8>,
    },
    /// A seat's device shows the deal.
    DealShown {
        /// The seat.
        seat: SeatIndex,
    },
    /// Tokens can be taken, by all at once.
    TokensLive,
    /// A seat took up its next card; a place in the next tray is reserved.
    TakenUp {
        /// The seat.
        seat: SeatIndex,
        /// The card.
        card: Card,
        /// From where.
        source: Source,
    },
    /// A seat kept its card and gave another away, or passed it on.
    Moved {
        /// The seat.
        seat: SeatIndex,
        /// The card it had taken up.
        card: Card,
        /// The card that left: the same for a pass.
        left: Card,
        /// The seat whose tray it went to, or `None` for the discard pile.
        to: Option<SeatIndex>,
        /// For evidence.
        marks: Marks,
    },
    /// A seat took its last move back.
    Undone {
        /// The seat.
        seat: SeatIndex,
    },
    /// The discard pile became the draw pile.
    Reshuffled {
        /// Top card first.
        order: Vec<Card>,
    },
    /// A true grab: with four alike, on a cue, or in answer to the room.
    Grabbed {
        /// The seat.
        seat: SeatIndex,
        /// What was seen of it.
        observation: Observation,
        /// For evidence.
        marks: Marks,
    },
    /// Cues were made for these seats; each nonce is one seat's alone.
    CuesMade {
        /// In the order of play.
        cues: Vec<(SeatIndex, Nonce)>,
    },
    /// A cue's bytes went to the kernel.
    CueSent {
        /// The seat.
        seat: SeatIndex,
        /// When.
        sent: Micros,
        /// The link as measured by then.
        link: super::command::LinkBounds,
    },
    /// The pong of the cue's own ping was read.
    CuePinged {
        /// The seat.
        seat: SeatIndex,
        /// When.
        arrived: Micros,
    },
    /// The device said that the cue was on its screen.
    CueShown {
        /// The seat.
        seat: SeatIndex,
        /// The device's clock.
        shown: Micros,
        /// When it was read.
        arrived: Micros,
    },
    /// A tap without four alike and without a cue.
    FalseGrab {
        /// The seat.
        seat: SeatIndex,
        /// Many taps, or before the hand was seen: never a mistaken match.
        excited: bool,
        /// Until when such taps are not heard.
        wait_until: Micros,
        /// What was seen of it; needed if it proves to be an answer to the room.
        observation: Observation,
        /// For evidence.
        marks: Marks,
    },
    /// A reaction faster than anybody's.
    TooSoon {
        /// The seat.
        seat: SeatIndex,
        /// Until when taps are not heard.
        wait_until: Micros,
        /// What was seen of it.
        observation: Observation,
    },
    /// A missed own four glows on its own seat's screen.
    Hinted {
        /// The seat.
        seat: SeatIndex,
    },
    /// A seat that has not answered its cue is nudged, privately.
    Nudged {
        /// The seat.
        seat: SeatIndex,
    },
    /// A seat that lets a card wait is reminded, privately.
    Reminded {
        /// The seat.
        seat: SeatIndex,
    },
    /// Cards go round this seat until it acts. Those in its tray move on.
    PassedBy {
        /// The seat.
        seat: SeatIndex,
    },
    /// An idle seat acts again.
    JoinedIn {
        /// The seat.
        seat: SeatIndex,
    },
    /// A device connected.
    LinkUp {
        /// The seat.
        seat: SeatIndex,
    },
    /// A device is gone.
    LinkDown {
        /// The seat.
        seat: SeatIndex,
    },
    /// The page came into view or was hidden.
    InView {
        /// The seat.
        seat: SeatIndex,
        /// Whether it can be seen.
        visible: bool,
    },
    /// A practice partner keeps the seat warm.
    StandInTook {
        /// The seat.
        seat: SeatIndex,
    },
    /// The child has the seat back.
    StandInLeft {
        /// The seat.
        seat: SeatIndex,
    },
    /// Four alike lie open, in the calm game.
    LaidDown {
        /// The seat.
        seat: SeatIndex,
        /// The four.
        four: Vec<Card>,
        /// For evidence.
        marks: Marks,
    },
    /// The round ended.
    RoundEnded {
        /// How.
        end: RoundEnd,
        /// The four cards that started the race, or that were laid down last; may be empty.
        four: Vec<Card>,
        /// The whole race, if there was one.
        race: Option<(Record, Ruling)>,
    },
    /// The game ended.
    GameEnded {
        /// The seats still in play; empty if it was stopped.
        winners: Vec<SeatIndex>,
    },
    /// The teacher wished to stop or go on; a stop waits for an open race.
    PauseWished {
        /// Stop, or go on.
        pause: bool,
    },
    /// The table stands still.
    Paused,
    /// The table goes on; all that was under way is later by as much as it stood still.
    Resumed,
    /// The teacher wished to end the game; it waits for an open race.
    EndWished,
    /// A ping of the race that left at this time was answered by a seat that has not grabbed. Only
    /// the first one after a cue and those that shorten the hold are recorded.
    RacePinged {
        /// The seat.
        seat: SeatIndex,
        /// When the ping's bytes went to the kernel.
        sent: Micros,
    },
    /// A child raised its hand or took it down, or the teacher came.
    HelpWished {
        /// The seat.
        seat: SeatIndex,
        /// Whether help is wanted.
        wanted: bool,
    },
    /// A child began or ended a break.
    BreakWished {
        /// The seat.
        seat: SeatIndex,
        /// Whether it is on a break now.
        wanted: bool,
    },
    /// The teacher gave a seat to a practice partner, or back to its child.
    HandedOver {
        /// The seat.
        seat: SeatIndex,
        /// Whether the partner plays.
        partner: bool,
    },
    /// Somebody else holds this seat from now on, or a new seat was added behind the last one. A new
    /// seat watches until the next deal that has cards for it.
    Reseated {
        /// The seat; the number of seats for a new one.
        seat: SeatIndex,
        /// Who holds it.
        plan: SeatPlan,
    },
    /// The bell for the end of the slot rang, or was taken back.
    BellRang {
        /// Whether it rings.
        ring: bool,
    },
    /// What the next game's deck offers beside its cards.
    Offered {
        /// The helpers that each card's face has, by its position in the deck.
        helpers: Vec<Vec<Helper>>,
        /// It has pictures, and the teacher wants them named before the first deal.
        naming: bool,
    },
    /// The teacher gave one child support; it takes effect with the next deal.
    SupportGiven {
        /// The seat.
        seat: SeatIndex,
        /// The whole of it, with the uses counted so far.
        support: Support,
    },
    /// The deal waits until the pictures are named.
    NamingBegan,
    /// A child has seen all pictures, or passed them over.
    Named {
        /// The seat.
        seat: SeatIndex,
    },
    /// A child who watches sent the table a kind picture.
    Cheered {
        /// The seat.
        seat: SeatIndex,
        /// Which.
        picture: CheerPicture,
    },
    /// The same child's moves are marked so from now on: it plays at home, at a shared device, or at an
    /// own device in the room.
    PlaysFrom {
        /// The seat.
        seat: SeatIndex,
        /// How.
        by: By,
    },
    /// The cover of a shared device was laid over a hand, or taken off.
    Covered {
        /// The seat.
        seat: SeatIndex,
        /// Whether it lies there.
        covered: bool,
    },
}
