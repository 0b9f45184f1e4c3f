//! What a table does when it is awake: decide, make durable, apply, check, show. Its task alone
//! calls this.

mod outside;

pub use outside::LastRace;

use super::board::{TableBoard, TableFace};
use super::clock::Clock;
use super::connection::FromSeat;
use super::decks::Shelf;
use super::lesson_log::{read_line, table_stream, write_line};
use super::pace::Pace;
use super::partners::{Act, PartnerMove, Partners, Scene};
use super::randomness::Randomness;
use super::seat_feed::SeatFeed;
use super::table_task::{GameStart, Inbox};
use crate::game::rules::GameDeck;
use crate::game::{Command, Entry, Event, LinkBounds, Table};
use crate::journal::{Store, StoreError, StreamName, Urgency};
use crate::limits::lesson::{IDLE_TICK_PAUSE, PARTNER_MOVES_PER_WAKE_MAX};
use handround_protocol::close::Close;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, FaceIndex, GroupIndex, SeatIndex};
use handround_protocol::limits::HAND_CARDS;
use handround_protocol::message::ToClient;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{SeatView, VoidReason};
use std::sync::Arc;
use tokio::sync::watch;

/// What a table lives in.
#[derive(Clone)]
pub struct Surroundings {
    /// Where its journal is kept.
    pub store: Arc<dyn Store>,
    /// The server's clock.
    pub clock: Clock,
    /// Where its seeds come from.
    pub randomness: Arc<dyn Randomness>,
    /// The decks of its lesson.
    pub shelf: Shelf,
}

/// Why a table stopped.
#[derive(Debug, thiserror::Error)]
pub enum Stop {
    /// Its journal could not be written or read.
    #[error("{0}")]
    Store(#[from] StoreError),
    /// Something that must always hold does not.
    #[error("a broken invariant: {0}")]
    Broken(String),
}

/// One table, awake.
pub struct LiveTable {
    surroundings: Surroundings,
    face: TableFace,
    stream: StreamName,
    held: u64,
    table: Table,
    feeds: Vec<SeatFeed>,
    partners: Partners,
    in_play: Option<GameDeck>,
    /// The four of the last round that had any; read off the journal, so that a restart keeps it.
    last_four: Option<(DeckId, Vec<FaceIndex>)>,
    winners: Vec<SeatIndex>,
    next_deck: DeckId,
    announced: DeckId,
    pace: Pace,
    /// Each seat's smoothed round trip as last reported.
    round_trips: Vec<Option<Micros>>,
    tick_not_before: Micros,
    board: watch::Sender<TableBoard>,
    board_due: Option<Micros>,
    board_shown: Micros,
}

impl LiveTable {
    /// Brings a table back from its journal. A race that was open is void, and no device is
    /// connected any more.
    ///
    /// # Errors
    /// A journal that cannot be read or written, or that breaks an invariant.
    pub async fn build(
        surroundings: &Surroundings,
        face: &TableFace,
        entries: Option<Vec<Entry>>,
        next_deck: DeckId,
        board: &watch::Sender<TableBoard>,
    ) -> Result<LiveTable, Stop> {
        let entries = match entries {
            Some(entries) => entries,
            None => read_table(&*surroundings.store, table_stream(face.table)).await?,
        };
        let mut live = LiveTable {
            surroundings: surroundings.clone(),
            face: face.clone(),
            stream: table_stream(face.table),
            held: entries.len() as u64,
            table: Table::empty(),
            feeds: Vec::new(),
            partners: Partners::default(),
            in_play: None,
            last_four: None,
            winners: Vec::new(),
            next_deck,
            announced: next_deck,
            pace: Pace::default(),
            round_trips: Vec::new(),
            tick_not_before: Micros(0),
            board: board.clone(),
            board_due: Some(Micros(0)),
            board_shown: Micros(0),
        };
        for entry in &entries {
            live.apply(entry);
        }
        live.check()?;
        if live.table.race_is_open() {
            live.command_ignoring_refusal(&Command::Void(VoidReason::Restarted)).await?;
        }
        for seat in live.seats() {
            live.command_ignoring_refusal(&Command::LinkDown { seat }).await?;
        }
        live.announced = live.deck_to_load();
        let views: Option<Vec<SeatView>> =
            live.seats().map(|seat| live.table.seat_view(seat)).collect();
        let views = views.ok_or_else(|| Stop::Broken("a seat has no view".to_owned()))?;
        live.feeds = views.into_iter().map(|view| SeatFeed::new(view, live.held)).collect();
        Ok(live)
    }

    /// The deck of the next game.
    pub fn next_deck(&self) -> DeckId {
        self.next_deck
    }

    /// Takes one thing out of the inbox.
    ///
    /// # Errors
    /// Why the table must stop.
    pub async fn handle(&mut self, letter: Inbox) -> Result<(), Stop> {
        match letter {
            Inbox::Connect { seat, link, outbox, resume, reply } => {
                // Closing the older device first keeps it from hearing what the newer one changes.
                self.feed(seat, |feed| feed.disconnect(Close::NewerDevice));
                self.command_ignoring_refusal(&Command::LinkUp { seat }).await?;
                self.feed(seat, |feed| feed.connect(link, outbox, resume));
                // A caller that has given up says farewell by itself.
                let _ = reply.send(self.welcome(seat));
            }
            Inbox::Gone { seat, link } => {
                if self.is_held_by(seat, link) {
                    self.feed(seat, SeatFeed::gone);
                    self.command_ignoring_refusal(&Command::LinkDown { seat }).await?;
                }
            }
            Inbox::Report { seat, link, report } => {
                if self.is_held_by(seat, link) {
                    self.report(seat, report).await?;
                }
            }
            Inbox::Teacher { command, reply } => {
                let answer = self.command(&command).await?;
                let _ = reply.send(answer);
            }
            Inbox::Start { game, reply } => {
                let answer = self.start(game).await?;
                let _ = reply.send(answer);
            }
            Inbox::TellRace { reply } => {
                let _ = reply.send(self.last_race());
            }
            Inbox::TellFour { reply } => {
                let _ = reply.send(self.last_four.clone());
            }
            Inbox::TellHand { seat, reply } => {
                let _ = reply.send(self.hand_told(seat));
            }
            Inbox::NextDeck(deck) => {
                self.next_deck = deck;
                self.want_board();
            }
            Inbox::Withdraw { seat } => {
                self.feed(seat, |feed| feed.disconnect(Close::UnknownCredential));
                self.command_ignoring_refusal(&Command::LinkDown { seat }).await?;
            }
            Inbox::TimeHasCome => {
                let now = self.surroundings.clock.now();
                if self.table.wake_at().is_some_and(|at| at <= now) {
                    self.tick_not_before = now.plus(IDLE_TICK_PAUSE);
                    self.command_ignoring_refusal(&Command::Tick).await?;
                }
            }
            // The task ends the table itself.
            Inbox::LessonOver { .. } => {}
        }
        Ok(())
    }

    /// Starts a game, after the table was told what its deck and its children's support are. Both
    /// change nothing by themselves, so they may stay if the rules refuse to start.
    async fn start(&mut self, game: GameStart) -> Result<Result<(), Refusal>, Stop> {
        let GameStart { rules, deck, naming_walk, support } = game;
        if self.game_runs() {
            return Ok(Err(Refusal::GameRunning));
        }
        let naming = naming_walk && deck.pictures;
        self.command_ignoring_refusal(&Command::Offer { helpers: deck.helpers.clone(), naming })
            .await?;
        for (seat, support) in support {
            self.command_ignoring_refusal(&Command::Support { seat, support }).await?;
        }
        self.command(&Command::Start { rules, deck: deck.cards.clone() }).await
    }

    async fn report(&mut self, seat: SeatIndex, report: FromSeat) -> Result<(), Stop> {
        match report {
            FromSeat::Says { ask, says, arrived, link } => {
                let Some(by) = self.table.seats().get(usize::from(seat.0)).map(|plan| plan.by)
                else {
                    return Ok(());
                };
                self.note_link(seat, link);
                let command = Command::Seat { seat, by, says, arrived, link };
                if let Err(refusal) = self.command(&command).await? {
                    self.feed(seat, |feed| {
                        if let Some(device) = feed.device() {
                            device.send(ToClient::Refused { ask, refusal });
                        }
                    });
                }
                Ok(())
            }
            FromSeat::CueSent { nonce, sent, link } => {
                self.note_link(seat, link);
                self.command_ignoring_refusal(&Command::CueSent { seat, nonce, sent, link }).await
            }
            FromSeat::CuePinged { nonce, arrived } => {
                self.command_ignoring_refusal(&Command::CuePinged { seat, nonce, arrived }).await
            }
            FromSeat::RacePinged { sent } => {
                self.command_ignoring_refusal(&Command::RacePinged { seat, sent }).await
            }
        }
    }

    /// Lets the partners move and the board follow, after everything that happened.
    ///
    /// # Errors
    /// Why the table must stop.
    pub async fn settle(&mut self) -> Result<(), Stop> {
        for _ in 0..PARTNER_MOVES_PER_WAKE_MAX {
            let now = self.surroundings.clock.now();
            let views: Vec<(&SeatView, bool)> =
                self.feeds.iter().map(|feed| (feed.view(), feed.device().is_some())).collect();
            let (groups, ages) = cards(self.in_play.as_ref(), &self.surroundings.shelf);
            let scene = Scene { table: &self.table, seats: &views, groups, ages };
            let randomness = &*self.surroundings.randomness;
            let seed = || u64::from_le_bytes(randomness.id()[..8].try_into().unwrap_or_default());
            let Some(PartnerMove { seat, act }) = self.partners.next_move(&scene, now, seed) else {
                break;
            };
            let link = LinkBounds::NONE;
            let command = match act {
                Act::CueArrives { nonce } => Command::CueSent { seat, nonce, sent: now, link },
                Act::Says { by, says } => Command::Seat { seat, by, says, arrived: now, link },
            };
            if self.command(&command).await?.is_err() {
                self.partners.refused(seat, now);
            }
        }
        self.announce_deck();
        self.show_board();
        Ok(())
    }

    /// The moment at which the table must wake by itself at the latest.
    pub fn wake_at(&self) -> tokio::time::Instant {
        let rules = self.table.wake_at().map(|at| at.max(self.tick_not_before));
        let moments = [rules, self.partners.wake_at(), self.board_due];
        // Without any, an hour: it only looks round and sleeps again.
        let hour = self.surroundings.clock.now().plus(Micros::from_s(3_600));
        let moment = moments.into_iter().flatten().min().unwrap_or(hour);
        self.surroundings.clock.instant(moment)
    }

    /// Ends the game and tells every device that the lesson is over.
    ///
    /// # Errors
    /// Why the table must stop.
    pub async fn end_for_good(&mut self) -> Result<(), Stop> {
        self.command_ignoring_refusal(&Command::End).await?;
        self.disconnect_all(Close::LessonOver);
        Ok(())
    }

    /// Closes every device.
    pub fn disconnect_all(&mut self, why: Close) {
        self.feeds.iter_mut().for_each(|feed| feed.disconnect(why));
    }

    /// The circle: decide, make durable, apply, check, show.
    async fn command(&mut self, command: &Command) -> Result<Result<(), Refusal>, Stop> {
        let Surroundings { clock, randomness, store, .. } = &self.surroundings;
        let now = clock.now();
        let events = match self.table.decide(command, now, randomness.seed()) {
            Ok(events) if events.is_empty() => return Ok(Ok(())),
            Ok(events) => events,
            Err(refusal) => return Ok(Err(refusal)),
        };
        let starts_race = !self.table.race_is_open()
            && events.iter().any(|event| matches!(event, Event::Grabbed { .. }));
        let urgency = if starts_race { Urgency::Alone } else { Urgency::Group };
        let entries: Vec<Entry> =
            events.into_iter().map(|event| Entry { at: now, event }).collect();
        let lines = entries.iter().map(write_line).collect::<Result<Vec<_>, _>>()?;
        store.append(self.stream.clone(), self.held, lines, urgency).await?;
        self.held += entries.len() as u64;
        for entry in &entries {
            self.apply(entry);
        }
        self.check()?;
        self.tick_not_before = Micros(0);
        self.announce_deck();
        self.show_seats();
        self.want_board();
        Ok(Ok(()))
    }

    /// For what may be refused without anybody waiting for an answer.
    async fn command_ignoring_refusal(&mut self, command: &Command) -> Result<(), Stop> {
        self.command(command).await.map(|_| ())
    }

    fn apply(&mut self, entry: &Entry) {
        self.table.apply(entry);
        match &entry.event {
            Event::GameStarted { deck, .. } => {
                self.in_play = Some(deck.clone());
                self.winners.clear();
            }
            // The calm game has every seat's four in a row; the first stands for all.
            Event::RoundEnded { four, .. } if four.len() >= HAND_CARDS => {
                let deck = self.in_play.as_ref().map(|deck| deck.id);
                self.last_four = deck.map(|deck| (deck, four[..HAND_CARDS].to_vec()));
            }
            Event::GameEnded { winners } => self.winners.clone_from(winners),
            Event::Moved { .. } => self.pace.note(entry.at),
            Event::Reseated { seat, .. } => self.reseated(*seat),
            _ => {}
        }
    }

    /// The feeds follow the seats; while the journal is replayed there are none yet.
    fn reseated(&mut self, seat: SeatIndex) {
        if self.feeds.is_empty() {
            return;
        }
        if usize::from(seat.0) == self.feeds.len()
            && let Some(view) = self.table.seat_view(seat)
        {
            self.feeds.push(SeatFeed::new(view, self.held));
        }
        self.feed(seat, SeatFeed::change_hands);
    }

    fn check(&self) -> Result<(), Stop> {
        self.table.check().map_err(Stop::Broken)
    }

    /// Shows every seat what is new to it.
    fn show_seats(&mut self) {
        let now = self.surroundings.clock.now();
        for (place, feed) in self.feeds.iter_mut().enumerate() {
            let Some(view) = self.table.seat_view(feed.view().you) else { continue };
            if feed.show(view) {
                self.partners.look_again(place, now);
            }
        }
    }

    fn seats(&self) -> impl Iterator<Item = SeatIndex> + use<> {
        let seats = u8::try_from(self.table.seats().len()).unwrap_or(u8::MAX);
        (0..seats).map(SeatIndex)
    }

    fn feed(&mut self, seat: SeatIndex, change: impl FnOnce(&mut SeatFeed)) {
        if let Some(feed) = self.feeds.get_mut(usize::from(seat.0)) {
            change(feed);
        }
    }

    fn is_held_by(&self, seat: SeatIndex, link: super::seat_feed::LinkId) -> bool {
        self.feeds.get(usize::from(seat.0)).is_some_and(|feed| feed.is_held_by(link))
    }
}

/// What partners must know of the deck in play.
fn cards<'a>(in_play: Option<&'a GameDeck>, shelf: &Shelf) -> (&'a [GroupIndex], AgeBand) {
    let Some(deck) = in_play else { return (&[], AgeBand::FiveToSix) };
    let ages = shelf.get(deck.id).map_or(AgeBand::FiveToSix, |note| note.ages);
    (&deck.groups, ages)
}

/// A table's journal.
///
/// # Errors
/// The store's, or a line that cannot be read.
pub async fn read_table(store: &dyn Store, stream: StreamName) -> Result<Vec<Entry>, StoreError> {
    let lines = store.read(stream.clone()).await?;
    lines.iter().map(|line| read_line(&stream, line)).collect()
}
