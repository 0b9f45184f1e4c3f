//! A whole server with two tables of children of both subprotocols inside a turmoil simulation. All
//! that is drawn follows from one seed, latencies too, so that a story can be played again.
//!
//! Alike to the byte are everything that the server writes and every message that a device reads. Not
//! alike are the payloads of pings and of questions for a device's clock, and the keys and masks of
//! WebSocket frames: those come from the system's generator, and only their lengths matter to anybody.

use crate::class::{Class, class_list, plan, table_stream};
use crate::door::{Door, TEACHER_KEY};
use crate::house::Seeded;
use crate::network::Simulated;
use crate::player::{Player, is_over};
use crate::weather::{Come, SERVER, Spell, Weather, child};
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{SeatIndex, TableId, Token};
use handround_protocol::partner::Temper;
use handround_protocol::time::Micros;
use handround_server::game::{Entry, Event};
use handround_server::journal::StreamName;
use handround_server::lesson::hub::Hub;
use handround_server::web::{self, OneTimeKey, WebConfig};
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::future::pending;
use std::net::SocketAddr;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::{oneshot, watch};

/// Two tables of three.
const CHILDREN: usize = 6;
/// How far the simulation goes at a time.
const TICK: Duration = Duration::from_millis(4);
/// Every message takes from one tick to its link's most, drawn anew, and mostly under half of it.
const LATENCY_MS_MAX: [u64; CHILDREN] = [20, 40, 80, 120, 30, 60];
/// A story that takes longer is stuck: the longest here take four minutes.
const STUCK: Duration = Duration::from_secs(20 * 60);
/// When every story begins: 2 March 2026, 9 in the morning, UTC.
const MORNING: Micros = Micros::from_s(1_772_442_000);

/// What happens, but for what is drawn.
#[derive(Clone, Debug)]
pub struct Story {
    /// The seed.
    pub seed: u64,
    /// Of one game at each table.
    pub rounds: u8,
    /// Milliseconds from the cue to the tap, seat by seat.
    pub reactions_ms: [u64; 3],
    /// Only the first seat takes first tokens.
    pub one_starts: bool,
    /// At the first table.
    pub weather: Vec<Spell>,
}

/// What is left of a story.
pub struct Told {
    /// The table with the weather.
    pub table: TableId,
    /// The other one.
    pub other: TableId,
    /// The spells that came.
    pub came: Vec<Come>,
    streams: Vec<(StreamName, Vec<String>)>,
    /// In the order of the class list.
    players: Vec<Player>,
}

/// What the simulated hosts share.
#[derive(Clone)]
struct Shared {
    story: Rc<Story>,
    weather: Arc<Weather>,
    server: SocketAddr,
    /// How many children sit at their tables.
    here: Rc<watch::Sender<usize>>,
    /// How many have seen their game end.
    over: Rc<watch::Sender<usize>>,
    players: Rc<RefCell<BTreeMap<usize, Player>>>,
    tables: Rc<Cell<Option<(TableId, TableId)>>>,
}

/// Plays a story to its end.
///
/// # Panics
/// If it does not come to its end, or a device is treated otherwise than the wire promises.
pub fn play(story: &Story) -> Told {
    let mut sim = turmoil::Builder::new()
        .rng_seed(story.seed)
        .tick_duration(TICK)
        .simulation_duration(STUCK)
        .min_message_latency(TICK)
        .build();
    let weather = Arc::new(Weather::with(&story.weather));
    let (store, seed, starts) = (Arc::clone(&weather), story.seed, Cell::new(0));
    sim.host(SERVER, move || {
        starts.set(starts.get() + 1);
        serve(Arc::clone(&store), seed + (starts.get() << 32))
    });
    let shared = Shared {
        story: Rc::new(story.clone()),
        weather: Arc::clone(&weather),
        server: SocketAddr::new(sim.lookup(SERVER), 80),
        here: Rc::new(watch::Sender::new(0)),
        over: Rc::new(watch::Sender::new(0)),
        players: Rc::default(),
        tables: Rc::default(),
    };
    let mut invitations = Vec::new();
    for (pupil, most_ms) in LATENCY_MS_MAX.into_iter().enumerate() {
        let (invitation, invited) = oneshot::channel();
        invitations.push(invitation);
        sim.client(child(pupil), shared.clone().child(pupil, invited));
        let most = Duration::from_millis(most_ms);
        sim.set_link_max_message_latency(SERVER, child(pupil), most);
    }
    sim.client("teacher", shared.clone().teacher(invitations));
    let everybody: Vec<String> = (0..CHILDREN).map(child).chain(["teacher".to_owned()]).collect();
    while !sim.step().unwrap_or_else(|error| panic!("{story:?}: {error}")) {
        weather.pass(&mut sim, &everybody);
    }
    drop(sim);
    let (table, other) = shared.tables.get().expect("the teacher made a class");
    let players = shared.players.take().into_values().collect();
    Told { table, other, came: weather.came(), streams: weather.all_written(), players }
}

async fn serve(store: Arc<Weather>, seed: u64) -> turmoil::Result {
    let listener = Simulated(turmoil::net::TcpListener::bind("0.0.0.0:80").await?);
    let randomness = Arc::new(Seeded::new(seed));
    let passed = turmoil::sim_elapsed().unwrap_or_default();
    let now = MORNING.plus(Micros::from_ms(u64::try_from(passed.as_millis())?));
    let hub = Hub::restore_with(store, format!("http://{SERVER}"), randomness, now).await?;
    let config = WebConfig {
        one_time_key: OneTimeKey::draw()?,
        teacher_key: Some(TEACHER_KEY.parse()?),
        sessions: None,
        direct: false,
    };
    web::serve(listener, hub, config, pending()).await;
    Ok(())
}

impl Shared {
    fn door(&self) -> Door {
        Door { address: self.server }
    }

    async fn teacher(self, invitations: Vec<oneshot::Sender<Token>>) -> turmoil::Result {
        let plan = plan(HouseRule::Stay { rounds: self.story.rounds }, 3);
        let mut class = Class::make(self.door(), &class_list(CHILDREN), plan).await;
        let [table, other] = &class.board.tables[..] else { panic!("two tables of three") };
        self.tables.set(Some((table.table, other.table)));
        for (pupil, invitation) in invitations.into_iter().enumerate() {
            invitation.send(class.join(pupil).await).expect("a child that waits");
        }
        self.here.subscribe().wait_for(|here| *here == CHILDREN).await?;
        class.start().await;
        // She has let go of the board by now, whatever comes.
        self.weather.watch(class.table()).await;
        Ok(())
    }

    async fn child(self, pupil: usize, invited: oneshot::Receiver<Token>) -> turmoil::Result {
        let codec = [Codec::Json, Codec::Bincode][pupil % 2];
        let seed = self.story.seed * 100 + pupil as u64;
        let mut player = Player::new(self.door(), codec, invited.await?, seed);
        player.connect().await.expect("the seat");
        player.play_until(|_| true).await.expect("a link");
        let seat = player.seen().you;
        let reaction = Micros::from_ms(self.story.reactions_ms[usize::from(seat.0)]);
        let starts_races = !self.story.one_starts || seat == SeatIndex(0);
        let temper = Temper { react: (reaction, reaction), starts_races, ..Temper::QUICK };
        player = player.with_temper(temper, seed);
        self.here.send_modify(|here| *here += 1);
        player.play_until(is_over).await.expect("a game");
        self.over.send_modify(|over| *over += 1);
        // A device that is done still answers pings.
        let mut over = self.over.subscribe();
        tokio::select! {
            biased;
            _ = over.wait_for(|over| *over == CHILDREN) => {}
            ended = player.play_until(|_| false) => panic!("{ended:?}"),
        }
        // Whatever its link has been through: it comes back once more with the last number that it
        // has, and sees what a new device would see.
        player.break_link();
        player.play_until(is_over).await.expect("the seat");
        player.agrees_with_a_fresh_snapshot().await;
        self.players.borrow_mut().insert(pupil, player);
        Ok(())
    }
}

impl Told {
    /// A table's journal.
    ///
    /// # Panics
    /// If it cannot be read.
    pub fn entries(&self, table: TableId) -> Vec<Entry> {
        let named = |(name, _): &&(StreamName, _)| *name == table_stream(table);
        let (_, lines) = self.streams.iter().find(named).expect("a journal");
        lines.iter().map(|line| serde_json::from_str(line).expect("a line of ours")).collect()
    }

    /// The children at a table, by seat.
    ///
    /// # Panics
    /// If somebody else sits there.
    pub fn at(&self, table: TableId) -> Vec<&Player> {
        let entries = self.entries(table);
        let Some(Event::Seated { seats }) = entries.first().map(|entry| &entry.event) else {
            panic!("a table begins with its seats")
        };
        let pupils = seats.iter().map(|plan| plan.pupil.expect("a child"));
        pupils.map(|pupil| &self.players[usize::from(pupil.0)]).collect()
    }

    /// Everything that was written, and everything that was heard, each with its moment on the
    /// device's own clock; last, how many bytes each device received.
    pub fn transcript(&self) -> Vec<String> {
        let written = self.streams.iter().flat_map(|(name, lines)| {
            lines.iter().map(|line| format!("{}: {line}", name.0)).collect::<Vec<_>>()
        });
        let heard = self.players.iter().flat_map(|player| {
            let at = |moment| moment - player.began();
            player.heard.iter().map(move |heard| format!("{:?}: {:?}", at(heard.at), heard.message))
        });
        let bytes = self.players.iter().map(|player| player.tape.bytes().len().to_string());
        written.chain(heard).chain(bytes).collect()
    }
}
