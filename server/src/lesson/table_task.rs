//! A table as an actor: one task, one inbox, one closed enum of everything that can wake it.
//! This file is the task's life: waking, stopping and being rebuilt from the journal. What it does
//! when awake stands in `live_table`.

use super::board::TableFace;
use super::connection::{FromSeat, Outbox};
use super::decks::DeckNote;
use super::live_table::{LastRace, LiveTable, Stop, Surroundings};
use super::seat_feed::LinkId;
use crate::game::{Command, Entry, Rules};
use crate::limits::lesson::{TABLE_INBOX_MAX, TABLE_REBUILDS_MAX};
use futures_util::FutureExt;
use handround_protocol::close::Close;
use handround_protocol::id::{DeckId, FaceIndex, SeatIndex, SeatNumber};
use handround_protocol::message::Welcome;
use handround_protocol::refusal::Refusal;
use handround_protocol::support::Support;
use handround_protocol::view::HandTold;
use std::panic::AssertUnwindSafe;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;
use tokio::sync::{mpsc, oneshot, watch};

/// Everything that can wake a table.
#[derive(Debug)]
pub enum Inbox {
    /// A device comes to a seat.
    Connect {
        /// The seat.
        seat: SeatIndex,
        /// Names the connection.
        link: LinkId,
        /// The way to the device.
        outbox: Outbox,
        /// The last numbered message it has.
        resume: Option<SeatNumber>,
        /// The greeting, once the seat is its own.
        reply: oneshot::Sender<Welcome>,
    },
    /// A seat's socket task reports.
    Report {
        /// The seat.
        seat: SeatIndex,
        /// From which connection.
        link: LinkId,
        /// What.
        report: FromSeat,
    },
    /// A connection is gone.
    Gone {
        /// The seat.
        seat: SeatIndex,
        /// Which.
        link: LinkId,
    },
    /// The teacher wishes something of the rules, but for a start.
    Teacher {
        /// What.
        command: Command,
        /// The rules' answer.
        reply: oneshot::Sender<Result<(), Refusal>>,
    },
    /// The teacher starts a game.
    Start {
        /// Which.
        game: GameStart,
        /// The rules' answer.
        reply: oneshot::Sender<Result<(), Refusal>>,
    },
    /// The teacher opens the last race.
    TellRace {
        /// The race; `None` before the first.
        reply: oneshot::Sender<Option<LastRace>>,
    },
    /// The teacher shows the four cards of the last round.
    TellFour {
        /// The deck and the cards; `None` before the first.
        reply: oneshot::Sender<Option<(DeckId, Vec<FaceIndex>)>>,
    },
    /// The teacher opens one seat's hand.
    TellHand {
        /// The seat.
        seat: SeatIndex,
        /// The hand; `None` for a seat that the table does not have.
        reply: oneshot::Sender<Option<HandTold>>,
    },
    /// The next game's deck is another one, so devices may load its faces.
    NextDeck(DeckId),
    /// The secret of a seat was withdrawn.
    Withdraw {
        /// The seat.
        seat: SeatIndex,
    },
    /// The lesson is over; the table ends.
    LessonOver {
        /// Answered when all sockets were told.
        reply: oneshot::Sender<()>,
    },
    /// A moment has come that the rules, a partner or the board waited for.
    TimeHasCome,
}

/// A game to be started.
#[derive(Clone, Debug)]
pub struct GameStart {
    /// How it is played.
    pub rules: Rules,
    /// With which cards.
    pub deck: Arc<DeckNote>,
    /// Pictures are named before the first deal.
    pub naming_walk: bool,
    /// What the teacher gave single children of this table.
    pub support: Vec<(SeatIndex, Support)>,
}

/// The way to a table. Cheap to clone; the table ends when nobody can reach it any more.
#[derive(Clone, Debug)]
pub struct TableHandle {
    inbox: mpsc::Sender<Inbox>,
    links: Arc<AtomicU64>,
}

/// What a table starts with.
pub struct TableStart {
    /// Clock, store, randomness and decks.
    pub surroundings: Surroundings,
    /// The table's own name and id.
    pub face: TableFace,
    /// Its journal, if it was read already.
    pub entries: Option<Vec<Entry>>,
    /// The deck of the next game.
    pub next_deck: DeckId,
    /// Where its board goes.
    pub board: watch::Sender<super::board::TableBoard>,
}

impl TableHandle {
    /// A handle, and the table's life as a future for the caller to spawn.
    pub fn open(start: TableStart) -> (TableHandle, impl Future<Output = ()> + Send) {
        let (inbox, letters) = mpsc::channel(TABLE_INBOX_MAX);
        (TableHandle { inbox, links: Arc::default() }, live(start, letters))
    }

    /// Connects a device to a seat.
    ///
    /// # Errors
    /// `TableStopped` if the table has stopped.
    pub async fn connect(
        &self,
        seat: SeatIndex,
        resume: Option<SeatNumber>,
        outbox: Outbox,
    ) -> Result<(SeatLink, Welcome), Close> {
        let link = LinkId(self.links.fetch_add(1, Ordering::Relaxed));
        let farewell = self.inbox.clone().reserve_owned().await.map_err(|_| Close::TableStopped)?;
        // Made before the table hears of it: whatever happens, the farewell comes after.
        let seat_link = SeatLink {
            seat,
            link,
            inbox: self.inbox.clone(),
            outbox: outbox.clone(),
            farewell: Some(farewell),
        };
        let (reply, answer) = oneshot::channel();
        let letter = Inbox::Connect { seat, link, outbox, resume, reply };
        self.inbox.send(letter).await.map_err(|_| Close::TableStopped)?;
        let welcome = answer.await.map_err(|_| Close::TableStopped)?;
        Ok((seat_link, welcome))
    }

    /// Brings a teacher's wish to the table.
    ///
    /// # Errors
    /// The rules' no, or `ServerTrouble` if the table has stopped.
    pub async fn teacher(&self, command: Command) -> Result<(), Refusal> {
        self.ask(|reply| Inbox::Teacher { command, reply })
            .await
            .unwrap_or(Err(Refusal::ServerTrouble))
    }

    /// Starts a game.
    ///
    /// # Errors
    /// The rules' no, or `ServerTrouble` if the table has stopped.
    pub async fn start(&self, game: GameStart) -> Result<(), Refusal> {
        self.ask(|reply| Inbox::Start { game, reply }).await.unwrap_or(Err(Refusal::ServerTrouble))
    }

    /// The last race, told; `None` before the first, or if the table has stopped.
    pub async fn last_race(&self) -> Option<LastRace> {
        self.ask(|reply| Inbox::TellRace { reply }).await.flatten()
    }

    /// The four cards that ended the last round, never saying whose; `None` before the first.
    pub async fn last_four(&self) -> Option<(DeckId, Vec<FaceIndex>)> {
        self.ask(|reply| Inbox::TellFour { reply }).await.flatten()
    }

    /// One seat's cards, for the teacher's eyes; `None` if there is no such seat.
    pub async fn hand(&self, seat: SeatIndex) -> Option<HandTold> {
        self.ask(|reply| Inbox::TellHand { seat, reply }).await.flatten()
    }

    /// Announces the next game's deck.
    pub async fn next_deck(&self, deck: DeckId) {
        self.tell(Inbox::NextDeck(deck)).await;
    }

    /// Closes the device of a seat whose secret was withdrawn.
    pub async fn withdraw(&self, seat: SeatIndex) {
        self.tell(Inbox::Withdraw { seat }).await;
    }

    /// Ends the table for good.
    pub async fn lesson_over(&self) {
        // A table that has stopped is over already.
        let _ = self.ask(|reply| Inbox::LessonOver { reply }).await;
    }

    /// A table that has stopped needs to be told nothing.
    async fn tell(&self, letter: Inbox) {
        let _ = self.inbox.send(letter).await;
    }

    async fn ask<T>(&self, letter: impl FnOnce(oneshot::Sender<T>) -> Inbox) -> Option<T> {
        let (reply, answer) = oneshot::channel();
        self.inbox.send(letter(reply)).await.ok()?;
        answer.await.ok()
    }
}

/// A seat's connection; dropping it tells the table that the link is down.
#[derive(Debug)]
pub struct SeatLink {
    seat: SeatIndex,
    link: LinkId,
    inbox: mpsc::Sender<Inbox>,
    outbox: Outbox,
    /// A reserved place in the inbox, so that the farewell never waits and is never lost.
    farewell: Option<mpsc::OwnedPermit<Inbox>>,
}

impl SeatLink {
    /// Reports to the table; waits while its inbox is full, which holds back this socket alone.
    ///
    /// # Errors
    /// The close code, once the table has stopped or a newer device has the seat.
    pub async fn report(&self, report: FromSeat) -> Result<(), Close> {
        if let Some(why) = self.outbox.closed() {
            return Err(why);
        }
        let letter = Inbox::Report { seat: self.seat, link: self.link, report };
        self.inbox.send(letter).await.map_err(|_| Close::TableStopped)
    }
}

impl Drop for SeatLink {
    fn drop(&mut self) {
        if let Some(farewell) = self.farewell.take() {
            farewell.send(Inbox::Gone { seat: self.seat, link: self.link });
        }
    }
}

/// The table's life. A stop closes its sockets and rebuilds it from its journal; other tables
/// notice nothing. A panic in the rules counts as a stop.
async fn live(start: TableStart, mut letters: mpsc::Receiver<Inbox>) {
    let TableStart { surroundings, face, mut entries, mut next_deck, board } = start;
    let name = face.name.clone();
    for rebuilds in 0..=TABLE_REBUILDS_MAX {
        if rebuilds > 0 {
            // A store that is out of breath, or a disk that is full, gets time.
            tokio::time::sleep(Duration::from_secs(u64::from(rebuilds))).await;
        }
        let build = LiveTable::build(&surroundings, &face, entries.take(), next_deck, &board);
        let stop = match AssertUnwindSafe(build).catch_unwind().await {
            Ok(Ok(mut table)) => {
                let stop =
                    match AssertUnwindSafe(play(&mut table, &mut letters)).catch_unwind().await {
                        Ok(Ok(())) => return,
                        Ok(Err(stop)) => stop,
                        Err(_) => Stop::Broken("the rules panicked".to_owned()),
                    };
                table.disconnect_all(Close::TableStopped);
                next_deck = table.next_deck();
                stop
            }
            Ok(Err(stop)) => stop,
            Err(_) => Stop::Broken("the rules panicked over the journal".to_owned()),
        };
        tracing::error!(table = %face.table, name, rebuilds, %stop, "a table stopped");
    }
    tracing::error!(table = %face.table, name, "the table stays stopped");
}

/// Wakes for one thing after the other until the lesson is over or nobody can reach the table.
async fn play(table: &mut LiveTable, letters: &mut mpsc::Receiver<Inbox>) -> Result<(), Stop> {
    table.settle().await?;
    loop {
        let wake = table.wake_at();
        let letter = tokio::select! {
            // Whatever has come by now was in time. The edge's rates keep the inbox from staying full,
            // so that no timer starves.
            biased;
            letter = letters.recv() => match letter {
                Some(letter) => letter,
                None => return Ok(()),
            },
            () = tokio::time::sleep_until(wake) => Inbox::TimeHasCome,
        };
        if let Inbox::LessonOver { reply } = letter {
            table.end_for_good().await?;
            // The lesson may have stopped waiting.
            let _ = reply.send(());
            return Ok(());
        }
        table.handle(letter).await?;
        table.settle().await?;
    }
}
