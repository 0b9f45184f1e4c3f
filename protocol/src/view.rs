//! What one seat, an onlooker, a wall display or the teacher's board may see. A view holds nothing
//! else: no other hand, no tray's faces, no order of a pile, no other pupil's readiness or support.
//!
//! A seat's view has six parts, and news replaces a whole part, so that applying news twice or
//! after a gap can never leave a device with a picture that the server does not have.

use crate::cheer::Cheer;
use crate::face::FaceSheet;
use crate::house::{AgeBand, HouseRule, MissedFour, Timing};
use crate::id::{
    CardId, DeckId, FaceIndex, GameNumber, LessonId, Nonce, PupilIndex, RoundNumber, SeatIndex,
    TableId,
};
use crate::message::SeatNews;
use crate::picture::Picture;
use crate::skill::{Accent, Confusables, Skill, Switches};
use crate::support::Support;
use crate::wall::WallShows;
use crate::wishes::DeckWishes;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Everything one seat's device may know of its table. An onlooker has no hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SeatView {
    /// The table as everybody sees it.
    pub table: TableView,
    /// The own seat.
    pub you: SeatIndex,
    /// The own cards; `None` while the seat is out of the game or no round was dealt.
    pub hand: Option<HandView>,
    /// The own part in the race.
    pub grab: GrabView,
    /// How the last round ended; `None` once the next is dealt.
    pub ruling: Option<RulingView>,
    /// For a seat that is out and watches: faces discarded in the round before, to sort on its own
    /// screen. They tell nothing of the round being played. Empty for everybody else.
    pub sorting: Vec<FaceIndex>,
    /// What this child asked for, and who plays its cards by the teacher's word.
    pub care: CareView,
}

/// The quiet side of a seat: between this child and the teacher alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct CareView {
    /// The child has raised a hand; only the teacher's board shows it.
    pub help_asked: bool,
    /// The child takes a break; a practice partner plays until it comes back.
    pub on_break: bool,
    /// The teacher gave the seat to a practice partner, until she gives it back.
    pub partner_holds: bool,
}

impl SeatView {
    /// Replaces the part that the news carries.
    pub fn apply(&mut self, news: &SeatNews) {
        match news {
            SeatNews::Snapshot(view) => *self = view.clone(),
            SeatNews::Table(table) => self.table = table.clone(),
            SeatNews::Hand(hand) => self.hand = hand.clone(),
            SeatNews::Grab(grab) => self.grab = grab.clone(),
            SeatNews::Ruling(ruling) => self.ruling = ruling.clone(),
            SeatNews::Sorting(sorting) => self.sorting = sorting.clone(),
            SeatNews::Care(care) => self.care = *care,
        }
    }
}

/// Where the table stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Phase {
    /// No game has begun.
    Waiting,
    /// Cards are dealt; tokens lie there once every connected seat has seen them.
    Dealt,
    /// Cards go round, tokens are live. A race going on looks the same.
    Playing,
    /// The round has ended; its four cards are shown.
    RoundOver,
    /// The game has ended.
    GameOver,
    /// Before the first deal of a deck with pictures: each child sees and hears their words.
    Naming,
}

/// The public part: the same for every seat and onlooker of a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct TableView {
    /// The game, counted from 1; 0 before the first.
    pub game: GameNumber,
    /// The round, counted from 1; 0 before the first.
    pub round: RoundNumber,
    /// Where the table stands.
    pub phase: Phase,
    /// The teacher stopped the table.
    pub paused: bool,
    /// The house rule of this game.
    pub house: HouseRule,
    /// The dealer of this round.
    pub dealer: SeatIndex,
    /// Tokens laid out for this round: one fewer than the seats in play. It does not change during
    /// a race; a missing token is shown by the seat's own cue.
    pub tokens: u8,
    /// Cards on the draw pile.
    pub draw_pile: u16,
    /// Cards on the discard pile.
    pub discard_pile: u16,
    /// The seats in the order of play.
    pub seats: Vec<SeatPublic>,
    /// Kind pictures since the round ended, oldest first; `None` where cheering is not switched on.
    pub cheers: Option<Vec<Cheer>>,
}

/// Who sits there, as others see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum SeatKind {
    /// A pupil.
    Pupil,
    /// A practice partner, drawn as a garden helper.
    Partner,
}

/// What everybody at the table sees of a seat.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SeatPublic {
    /// The nickname.
    pub name: String,
    /// The picture by which others know the seat.
    pub picture: Picture,
    /// A pupil or a practice partner.
    pub kind: SeatKind,
    /// Whether it plays this game; otherwise it watches.
    pub in_play: bool,
    /// Cards waiting in its tray.
    pub waiting: u8,
    /// Whether it is looking at a card.
    pub considering: bool,
    /// Cards go round this seat until it acts: others see only 'cards on their way'.
    pub cards_pass_by: bool,
    /// Letters collected under the `letters` rule.
    pub letters: u8,
    /// It was last in the round before and cannot be put out in this one.
    pub shielded: bool,
    /// The four alike that it laid down open in the calm game, else empty.
    pub laid_down: Vec<FaceIndex>,
}

/// A card that this seat may see, with its id of this deal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct CardView {
    /// Names the card in moves.
    pub id: CardId,
    /// What it shows.
    pub face: FaceIndex,
    /// Support for this seat's child alone; never part of the card.
    pub helper: Option<Helper>,
}

/// Private support that one seat's view adds to a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Helper {
    /// As many dots under the numeral.
    DotsUnder,
    /// The first sound of the word marked.
    FirstSound,
    /// A picture beside the word.
    PictureBeside,
    /// Larger print.
    LargerPrint,
    /// The word in Spanish under the English one.
    SpanishWord,
}

/// Whether the next card can be taken up, and if not, what the seat is waiting for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum TakeUp {
    /// Yes, from the draw pile.
    FromPile,
    /// Yes, the oldest card of the own tray.
    FromTray,
    /// A card is under consideration already.
    DecideFirst,
    /// Nothing waits in the tray.
    TrayEmpty,
    /// The next seat's tray is full.
    NextTrayFull,
    /// Both piles are empty; a discard will come.
    PilesEmpty,
    /// The seat has laid down its four and passes all on.
    LaidDown,
    /// No round is being played, or the table is paused.
    NotNow,
}

/// The own cards.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct HandView {
    /// The hand, in a stable order; a kept card takes the place of the one given away.
    pub cards: Vec<CardView>,
    /// The card to keep or pass.
    pub considering: Option<CardView>,
    /// Whether the next card can be taken up.
    pub take_up: TakeUp,
    /// Whether the last move can be taken back at this moment. It ends when the neighbour opens
    /// the card; a device also ends it by itself three seconds after its move.
    pub can_undo: bool,
    /// Cards that match and glow steadily, after a missed own four; else empty.
    pub hint: Vec<CardId>,
    /// A card has been waiting for long: a soft private reminder.
    pub reminded: bool,
    /// A practice partner plays this hand until the child is back.
    pub stand_in: bool,
}

/// The own part in the race, and nothing of the others'.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GrabView {
    /// Whether tokens can be taken; with the deal shown to everybody, for all at once.
    pub live: bool,
    /// This seat's cue, once one was made: exactly one token shows as missing.
    pub cue: Option<Nonce>,
    /// A gentle sound may go with the cue, the teacher's choice for all alike.
    pub cue_sound: bool,
    /// What came of the own last tap.
    pub tap: Tap,
    /// How many times the own tap was answered in this round, so that a second false grab is
    /// news although it reads like the first.
    pub taps: u16,
    /// The race has been waiting for this seat for ten seconds: a private nudge.
    pub nudged: bool,
}

/// What came of the own last tap on a token.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Tap {
    /// No tap yet.
    #[default]
    None,
    /// A token lies with this seat; the ruling decides.
    Taken,
    /// Without four alike and without a cue: look again, after a short wait.
    FalseGrab {
        /// How long taps without a cue are not heard, in milliseconds.
        wait_ms: u32,
    },
    /// Many taps in a row, or before the cards were seen: slow down, nothing more.
    Excited {
        /// How long taps without a cue are not heard, in milliseconds.
        wait_ms: u32,
    },
    /// Faster than anybody can react: tap again after the wait.
    TooSoon {
        /// In milliseconds.
        wait_ms: u32,
    },
}

/// How a round ended, shown to the whole table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct RulingView {
    /// The round.
    pub round: RoundNumber,
    /// What was decided.
    pub end: RoundEnd,
    /// The four cards that started the race, large, never saying whose; empty if there were none.
    pub four: Vec<FaceIndex>,
    /// Who won the game, if it has ended: the seats still in play.
    pub winners: Vec<SeatIndex>,
    /// Milliseconds until the next deal comes by itself; 0 if the game has ended.
    pub next_deal_ms: u32,
}

/// How a round can end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum RoundEnd {
    /// One seat has no token.
    Last {
        /// That seat.
        seat: SeatIndex,
        /// The letters it has now; 0 under another rule.
        letters: u8,
        /// It is out of the game now.
        out: bool,
        /// Being last did not count, since the shield held.
        shielded: bool,
    },
    /// All have laid down their four, in the calm game.
    AllLaidDown,
    /// Dealt again without anybody being last.
    Void {
        /// Why.
        reason: VoidReason,
    },
}

/// Why a round does not count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum VoidReason {
    /// The only seat without a token had no working link.
    LinkLost,
    /// The server stopped in the middle of a race.
    Restarted,
    /// Nobody was watching and the pile went round too often.
    Unattended,
    /// The teacher ended it, or seats changed.
    Stopped,
    /// The teacher stopped the table while a race stayed open.
    Frozen,
}

/// The wall display: the way in, and who sits where. Never who is out, hands, pace or deck level.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallView {
    /// The lesson's name.
    pub name: String,
    /// Whether children may join now.
    pub open: bool,
    /// The row of pictures to tap.
    pub row: Vec<Picture>,
    /// The address that the QR code holds.
    pub join_url: String,
    /// The QR code as one `<svg>` element.
    pub join_qr_svg: String,
    /// The tables, each with the names and pictures of its seats.
    pub tables: Vec<WallTable>,
    /// A race that the teacher shows, for as long as a calm replay takes.
    #[serde(default)]
    pub race: Option<WallRace>,
    /// Four cards or a model table that the teacher shows.
    #[serde(default)]
    pub shows: WallShows,
}

/// A race to replay calmly: who took a token, and nothing of times or of who took none.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallRace {
    /// Counts what the teacher shows, so that one is played once.
    pub number: u32,
    /// The table's name.
    pub table: String,
    /// Everybody at the table, in the order of play.
    pub seats: Vec<WallSeat>,
    /// The seats whose tokens go at each moment, first to last.
    pub moments: Vec<Vec<SeatIndex>>,
}

/// A table on the wall.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallTable {
    /// Such as `Table 1`.
    pub name: String,
    /// Who sits there.
    pub seats: Vec<WallSeat>,
}

/// A seat on the wall.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct WallSeat {
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// A pupil or a practice partner.
    pub kind: SeatKind,
    /// Whether the child has arrived; partners always have.
    pub here: bool,
}

/// The teacher's board: every table at a glance. Sent whole, a few times a second at the most.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct BoardView {
    /// The lesson.
    pub lesson: LessonId,
    /// Its name.
    pub name: String,
    /// Whether children may join now.
    pub open: bool,
    /// The row of pictures to tap.
    pub row: Vec<Picture>,
    /// The children's address.
    pub join_url: String,
    /// The QR code of that address as one `<svg>` element.
    pub join_qr_svg: String,
    /// The wall display's address.
    pub wall_url: String,
    /// How the next game will be played.
    pub plan: LessonPlan,
    /// What the deck of the next game is called.
    pub next_deck: String,
    /// Tables that play their next game with a deck of their own.
    pub table_decks: Vec<TableDeck>,
    /// One plain sentence on how the class was seated.
    pub seating: String,
    /// The tables, in the lesson's order.
    pub tables: Vec<BoardTable>,
    /// The same tables, the one that needs the teacher most first.
    pub by_need: Vec<TableId>,
    /// Children who sit nowhere: they left, or have not been given a place.
    pub unseated: Vec<PupilLine>,
    /// Children who change their table as soon as it is between rounds.
    pub moving: Vec<PupilMoving>,
    /// Children who sit with practice partners alone, while another table has room.
    pub alone: Vec<PupilLine>,
    /// Where a late-comer would disturb least; `None` if no table has room.
    pub late_table: Option<TableId>,
    /// What the wall shows at her wish.
    #[serde(default)]
    pub wall_shows: WallShows,
}

/// A pupil as the board names it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct PupilLine {
    /// The pupil.
    pub pupil: PupilIndex,
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// The other table where this child would disturb least; `None` if none has room.
    pub best: Option<TableId>,
}

/// A pupil on the way to another table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct PupilMoving {
    /// The pupil.
    pub pupil: PupilIndex,
    /// Where to; `None` for a child that leaves.
    pub table: Option<TableId>,
}

/// The teacher's choices for the next game of every table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct LessonPlan {
    /// Ages that the defaults were chosen for.
    pub ages: AgeBand,
    /// The house rule.
    pub house: HouseRule,
    /// Smallest number of a deck of numbers.
    pub number_min: u16,
    /// Largest number of a deck of numbers.
    pub number_max: u16,
    /// Match groups in play.
    pub groups: u8,
    /// A missed own four.
    pub missed_four: MissedFour,
    /// A gentle sound with the cue, for all alike.
    pub cue_sound: bool,
    /// One card lies in every tray at the start and the dealer's next card comes by itself.
    pub cards_come_by_themselves: bool,
    /// Cards that wait in one tray at the most.
    pub tray_limit: u8,
    /// What the deck practises; stored plans of before this choice mean numbers.
    #[serde(default)]
    pub skill: Skill,
    /// What the deck does with pairs that children take for each other.
    #[serde(default)]
    pub confusables: Confusables,
    /// What else the teacher wishes of the deck.
    #[serde(default)]
    pub wishes: DeckWishes,
    /// The words of a deck's pictures are shown and said before its first deal.
    #[serde(default)]
    pub naming_walk: bool,
    /// Sounds that are one for some of the class.
    #[serde(default)]
    pub accent: Accent,
    /// Switches of single skills.
    #[serde(default)]
    pub switches: Switches,
    /// Times that the teacher may change.
    #[serde(default)]
    pub timing: Timing,
    /// Children who watch may send kind pictures between rounds.
    #[serde(default)]
    pub cheering: bool,
}

/// The deck that one table plays its next game with, instead of the lesson's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct TableDeck {
    /// The table.
    pub table: TableId,
    /// The deck's name.
    pub name: String,
}

/// One table on the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct BoardTable {
    /// The table.
    pub table: TableId,
    /// Such as `Table 1`.
    pub name: String,
    /// The deck in play.
    pub deck: DeckId,
    /// Its name.
    pub deck_name: String,
    /// The public part.
    pub view: TableView,
    /// What only the teacher sees of each seat, in the order of play.
    pub seats: Vec<BoardSeat>,
    /// Tokens still in the middle, also during a race.
    pub tokens_left: u8,
    /// The last race in one plain sentence; empty before the first.
    pub last_race: String,
    /// Winners of the game that has just ended, else empty.
    pub winners: Vec<SeatIndex>,
    /// The bell has rung: the game ends with this round.
    pub bell: bool,
    /// Decisions about cards a minute, over the last two minutes.
    pub moves_a_minute: u16,
    /// What the teacher should look at, most urgent first; empty if the table needs nothing.
    pub attention: Vec<Attention>,
    /// The first of these holds a child up just now.
    pub urgent: bool,
}

/// Why a table needs the teacher.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Attention {
    /// A child has raised a hand.
    HelpAsked {
        /// Who.
        seat: SeatIndex,
        /// For how many seconds.
        seconds: u16,
    },
    /// The table waits for one child.
    WaitsFor {
        /// For whom.
        seat: SeatIndex,
        /// For how many seconds.
        seconds: u16,
    },
    /// A child's device is gone in the middle of a game.
    LinkLost {
        /// Whose.
        seat: SeatIndex,
    },
    /// Many false grabs in this game, excited taps left out.
    FalseGrabs {
        /// Whose.
        seat: SeatIndex,
        /// How many.
        count: u16,
    },
    /// A child is on a break.
    OnBreak {
        /// Who.
        seat: SeatIndex,
    },
}

/// How well a device is reached, in words for a teacher.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum LinkQuality {
    /// Answers come as quickly as anybody would notice.
    Good,
    /// Slow; the race is still fair.
    Slow,
    /// So slow or uneven that the child sees late what others do.
    Poor,
    /// No device is connected.
    Gone,
}

/// One seat's cards, opened deliberately by the teacher for a few seconds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct HandTold {
    /// Whose.
    pub name: String,
    /// The deck whose faces these are.
    pub deck: DeckId,
    /// The hand; empty while no round is dealt.
    pub cards: Vec<FaceIndex>,
    /// The card to keep or pass.
    pub considering: Option<FaceIndex>,
}

/// What only the teacher sees of a seat. Hands are not part of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct BoardSeat {
    /// The pupil, or `None` for a practice partner.
    pub pupil: Option<PupilIndex>,
    /// A device is connected and its page is in view.
    pub here: bool,
    /// A practice partner plays the hand until the child is back.
    pub stand_in: bool,
    /// Seconds that a card has been waiting for this seat; 0 if none.
    pub waiting_s: u16,
    /// False grabs in this game, excited taps left out.
    pub false_grabs: u16,
    /// How well its device is reached; `None` for a practice partner.
    pub link: Option<LinkQuality>,
    /// What the child asked for, and who plays its cards by the teacher's word.
    pub care: CareView,
    /// Seconds since the child raised its hand; 0 if it has not.
    pub help_s: u16,
    /// What the teacher gave this child; `None` for a practice partner. Nobody else sees it.
    pub support: Option<Support>,
}

/// Checks that every face a view shows stands on the sheet; for devices, before they draw.
pub fn faces_known(view: &SeatView, sheet: &FaceSheet) -> bool {
    let known = |face: FaceIndex| usize::from(face.0) < sheet.faces.len();
    let hand = view.hand.as_ref();
    hand.is_none_or(|hand| hand.cards.iter().chain(&hand.considering).all(|card| known(card.face)))
        && view.ruling.as_ref().is_none_or(|ruling| ruling.four.iter().copied().all(known))
}
