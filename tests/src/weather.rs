//! Bad weather between a simulated server and its children: it reads a table's journal as it is
//! written and, at a moment of the game that a story names, parts one child's device from the
//! server, holds up what passes, or stops the server, for a while.
//!
//! A journal's lines are durable before anybody hears of them, so that the weather changes at the very
//! event: behind a cue that is made and before its first byte, behind a tap and before its ruling.

use crate::class::table_stream;
use futures_util::FutureExt;
use handround_protocol::id::{SeatIndex, TableId};
use handround_protocol::view::Phase;
use handround_server::game::{Entry, Event, Table};
use handround_server::journal::{MemoryStore, Store, StoreFuture, StreamName, Urgency};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use turmoil::Sim;

/// The server's name in a simulation.
pub const SERVER: &str = "server";

/// A child's name in a simulation, by its line in the class list.
pub fn child(pupil: usize) -> String {
    format!("child-{pupil}")
}

/// A moment of a round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// So many moves were made since the deal, and no race is open.
    Passing(usize),
    /// The seat's cue is made; nothing of it has left the server.
    CueMade,
    /// The seat's device has said that it shows the cue; it has not tapped.
    CueShown,
    /// All tokens are claimed but none by this seat, and the ruling waits.
    Hold,
}

/// What happens to the link.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// What is sent is lost, both ways.
    Parted,
    /// What the server sends is lost.
    DownParted,
    /// What the device sends is lost.
    UpParted,
    /// Nothing passes and nothing is lost.
    Held,
    /// The server stops without a word to anybody; it starts again when this is over.
    Crash,
}

/// One spell of bad weather.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spell {
    /// At the table that the weather is about.
    pub seat: SeatIndex,
    /// Not before so many rounds have ended.
    pub rounds: usize,
    /// The first such moment from then on.
    pub when: When,
    /// What happens.
    pub how: How,
    /// For how long.
    pub lasts: Duration,
}

/// A spell that came.
#[derive(Clone, Copy, Debug)]
pub struct Come {
    /// Which.
    pub spell: Spell,
    /// How many lines the table's journal held by then.
    pub held: usize,
    /// When it ends, from the simulation's beginning.
    until: Duration,
    over: bool,
}

/// A journal in memory with weather about it.
#[derive(Default)]
pub struct Weather {
    store: MemoryStore,
    sky: Mutex<Sky>,
}

#[derive(Default)]
struct Sky {
    /// The table that the weather is about, once it is known.
    about: Option<(StreamName, Table)>,
    rounds: usize,
    moves: usize,
    to_come: Vec<Spell>,
    came: Vec<Come>,
    held: usize,
}

impl Weather {
    /// With these spells to come, each once.
    pub fn with(spells: &[Spell]) -> Weather {
        let sky = Sky { to_come: spells.to_vec(), ..Sky::default() };
        Weather { store: MemoryStore::new(), sky: Mutex::new(sky) }
    }

    /// From now on it is about this table.
    pub async fn watch(&self, table: TableId) {
        let stream = table_stream(table);
        let lines = self.store.read(stream.clone()).await.expect("memory");
        let mut sky = self.sky();
        sky.about = Some((stream, Table::empty()));
        sky.notice(&lines);
    }

    /// Between two steps of the simulation: what is over ends, and a server that is to stop stops, for
    /// everybody whom it could still tell.
    pub fn pass(&self, sim: &mut Sim<'_>, everybody: &[String]) {
        let mut sky = self.sky();
        for place in 0..sky.came.len() {
            let Come { spell, until, over, .. } = sky.came[place];
            if !over && sim.elapsed() >= until {
                sky.came[place].over = true;
                spell.how.end(&sky.child(spell.seat), sim);
                if spell.how == How::Crash {
                    everybody.iter().for_each(|one| sim.repair(SERVER, one.as_str()));
                }
            } else if !over && spell.how == How::Crash && sim.is_host_running(SERVER) {
                // As when the power goes. The farewells of a dying process would also leave in an order
                // that no seed decides: that in which its runtime drops its tasks.
                everybody.iter().for_each(|one| sim.partition(SERVER, one.as_str()));
                sim.crash(SERVER);
            }
        }
    }

    /// The spells that came, in their order.
    pub fn came(&self) -> Vec<Come> {
        self.sky().came.clone()
    }

    /// All that was ever written, stream by stream.
    pub fn all_written(&self) -> Vec<(StreamName, Vec<String>)> {
        let streams = self.store.streams("").now_or_never().expect("memory does not wait");
        let read = |stream: StreamName| {
            let lines = self.store.read(stream.clone()).now_or_never();
            (stream, lines.expect("memory does not wait").expect("memory"))
        };
        streams.expect("memory").into_iter().map(read).collect()
    }

    fn sky(&self) -> MutexGuard<'_, Sky> {
        self.sky.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Sky {
    /// Takes in lines of the table that it is about; the spells whose moment this is begin.
    fn notice(&mut self, lines: &[String]) {
        let Some((_, table)) = &mut self.about else { return };
        let mut shown = None;
        for line in lines {
            let entry: Entry = serde_json::from_str(line).expect("a line of ours");
            table.apply(&entry);
            match entry.event {
                Event::GameStarted { .. } => self.rounds = 0,
                Event::Dealt { .. } => self.moves = 0,
                Event::Moved { .. } => self.moves += 1,
                Event::RoundEnded { .. } => self.rounds += 1,
                Event::CueShown { seat, .. } => shown = Some(seat),
                _ => {}
            }
        }
        self.held += lines.len();
        while let Some(place) = self.to_come.iter().position(|spell| self.begins(spell, shown)) {
            let spell = self.to_come.remove(place);
            let child = self.child(spell.seat);
            spell.how.begin(&child);
            let until = turmoil::sim_elapsed().expect("a simulation") + spell.lasts;
            self.came.push(Come { spell, held: self.held, until, over: false });
        }
    }

    /// Whether this is a spell's moment. `shown` is the seat whose device has just said that it shows
    /// its cue.
    fn begins(&self, spell: &Spell, shown: Option<SeatIndex>) -> bool {
        let Some((_, table)) = &self.about else { return false };
        let seat = spell.seat;
        // One at a time on each link, and a crash is about all of them: the end of one would end the
        // other.
        let crash = |spell: &Spell| spell.how == How::Crash;
        let meets = |one: &Spell| one.seat == seat || crash(one) || crash(spell);
        let busy = self.came.iter().any(|come| !come.over && meets(&come.spell));
        if busy || table.phase() != Phase::Playing || self.rounds < spell.rounds {
            return false;
        }
        let runs = table.race_is_open() && !table.has_token(seat);
        let cue = || table.seat_view(seat).is_some_and(|view| view.grab.cue.is_some());
        match spell.when {
            When::Passing(least) => !table.race_is_open() && self.moves >= least,
            When::CueMade => runs && cue(),
            When::CueShown => runs && shown == Some(seat),
            When::Hold => runs && table.tokens_left() == 0,
        }
    }

    /// The name of the child at a seat.
    fn child(&self, seat: SeatIndex) -> String {
        let plan =
            self.about.as_ref().and_then(|(_, table)| table.seats().get(usize::from(seat.0)));
        let pupil = plan.and_then(|plan| plan.pupil).expect("a child's seat");
        child(usize::from(pupil.0))
    }
}

impl How {
    fn begin(self, child: &str) {
        match self {
            How::Parted => turmoil::partition(SERVER, child),
            How::DownParted => turmoil::partition_oneway(SERVER, child),
            How::UpParted => turmoil::partition_oneway(child, SERVER),
            How::Held => turmoil::hold(SERVER, child),
            // A host cannot stop itself; it is stopped before it does anything more.
            How::Crash => {}
        }
    }

    fn end(self, child: &str, sim: &mut Sim<'_>) {
        match self {
            How::Parted => sim.repair(SERVER, child),
            How::DownParted => sim.repair_oneway(SERVER, child),
            How::UpParted => sim.repair_oneway(child, SERVER),
            How::Held => sim.release(SERVER, child),
            How::Crash => sim.bounce(SERVER),
        }
    }
}

impl Store for Weather {
    fn append(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
        urgency: Urgency,
    ) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            self.store.append(stream.clone(), held, lines.clone(), urgency).await?;
            let mut sky = self.sky();
            if sky.about.as_ref().is_some_and(|(about, _)| *about == stream) {
                sky.notice(&lines);
            }
            Ok(())
        })
    }

    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>> {
        self.store.read(stream)
    }

    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>> {
        self.store.streams(prefix)
    }

    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()> {
        self.store.replace(stream, lines)
    }

    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()> {
        self.store.delete(stream)
    }
}
