//! A stretch of network between a device and the server, inside the test: what passes is delayed,
//! held up or cut, each link by its own plan and seed. It keeps order and loses nothing, as TCP does,
//! and it measures the round trips of the pings that pass, so that a test knows what was true.
//!
//! It works on the runtime's clock and deliberately knows nothing of the messages.

use crate::door::Door;
use crate::frames::{Frames, OPCODE_PING, OPCODE_PONG};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::net::SocketAddr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::tcp::{OwnedReadHalf, OwnedWriteHalf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{mpsc, watch};
use tokio::time::{Instant, sleep_until};

/// Pieces of one direction that may be under way; beyond them the sender is held back, as by a full
/// window.
const UNDER_WAY_MAX: usize = 256;

/// One direction of a link.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// What every piece takes at the least.
    pub least: Duration,
    /// What is added, drawn evenly from nothing to this, each piece anew.
    pub jitter: Duration,
}

impl Way {
    /// Always the same.
    pub const fn steady(ms: u64) -> Way {
        Way { least: Duration::from_millis(ms), jitter: Duration::ZERO }
    }

    /// From so much to so much.
    pub const fn between(least_ms: u64, most_ms: u64) -> Way {
        Way {
            least: Duration::from_millis(least_ms),
            jitter: Duration::from_millis(most_ms - least_ms),
        }
    }

    fn draw(&self, dice: &mut ChaCha20Rng) -> Duration {
        let most_us = u64::try_from(self.jitter.as_micros()).unwrap_or(u64::MAX - 1);
        self.least + Duration::from_micros(dice.next_u64() % (most_us + 1))
    }
}

/// A link, and the seed of what is drawn on it.
#[derive(Clone, Copy, Debug)]
pub struct Route {
    /// Towards the device.
    pub down: Way,
    /// Towards the server.
    pub up: Way,
    /// The seed.
    pub seed: u64,
}

impl Route {
    /// A steady link with this round trip, half of it each way.
    pub const fn steady(round_trip_ms: u64) -> Route {
        let half = round_trip_ms / 2;
        Route { down: Way::steady(half), up: Way::steady(round_trip_ms - half), seed: 0 }
    }
}

/// The true round trip of one ping, from where the server's bytes enter this stretch to where the
/// device's answer leaves it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trip {
    /// The ping's own bytes.
    pub nonce: [u8; 16],
    /// When the ping came in.
    pub left: Instant,
    /// When the pong went out.
    pub back: Instant,
}

impl Trip {
    /// How long it took.
    pub fn took(&self) -> Duration {
        self.back - self.left
    }
}

/// The stretch. It ends with the runtime.
pub struct Proxy {
    address: SocketAddr,
    shared: Arc<Shared>,
}

struct Shared {
    route: Route,
    server: SocketAddr,
    /// Nothing passes while this holds.
    stalled: watch::Sender<bool>,
    /// Counts up at each cut.
    cuts: watch::Sender<u64>,
    pings: Mutex<Pings>,
    /// What came from the server over WebSockets: when, and how many bytes.
    down: Mutex<Vec<(Instant, usize)>>,
    /// What each piece's way takes by itself, towards the device and towards the server.
    drawn: [Mutex<Vec<Duration>>; 2],
}

#[derive(Default)]
struct Pings {
    under_way: Vec<([u8; 16], Instant)>,
    trips: Vec<Trip>,
}

impl Proxy {
    /// Opens one in front of a server.
    pub async fn open(server: Door, route: Route) -> Proxy {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a loopback port");
        let address = listener.local_addr().expect("its address");
        let shared = Arc::new(Shared {
            route,
            server: server.address,
            stalled: watch::Sender::new(false),
            cuts: watch::Sender::new(0),
            pings: Mutex::default(),
            down: Mutex::default(),
            drawn: Default::default(),
        });
        let behind = Arc::clone(&shared);
        tokio::spawn(async move {
            let mut connections = 0;
            while let Ok((device, _)) = listener.accept().await {
                connections += 1;
                tokio::spawn(Arc::clone(&behind).connect(device, connections));
            }
        });
        Proxy { address, shared }
    }

    /// Where a device finds the server behind it.
    pub fn door(&self) -> Door {
        Door { address: self.address }
    }

    /// From now on nothing passes in either direction, and nothing is lost.
    pub fn stall(&self) {
        self.shared.stalled.send_replace(true);
    }

    /// What was held up passes.
    pub fn flow(&self) {
        self.shared.stalled.send_replace(false);
    }

    /// Cuts every connection; what was under way is lost. New ones can be made at once.
    pub fn cut(&self) {
        self.shared.cuts.send_modify(|cuts| *cuts += 1);
    }

    /// The most bytes that the server sent over WebSockets within any such span.
    pub fn most_down(&self, span: Duration) -> usize {
        let down = self.shared.down.lock().unwrap_or_else(PoisonError::into_inner);
        let within = |from: usize| {
            let end = down[from].0 + span;
            down[from..].iter().take_while(|(at, _)| *at <= end).map(|(_, bytes)| bytes).sum()
        };
        (0..down.len()).map(within).max().unwrap_or(0)
    }

    /// What the way of each piece took by itself so far, whatever held it up besides: towards the
    /// device, and towards the server.
    pub fn drawn(&self) -> [Vec<Duration>; 2] {
        let copy = |drawn: &Mutex<Vec<Duration>>| {
            drawn.lock().unwrap_or_else(PoisonError::into_inner).clone()
        };
        [copy(&self.shared.drawn[0]), copy(&self.shared.drawn[1])]
    }

    /// The round trips of all pings answered so far.
    pub fn trips(&self) -> Vec<Trip> {
        self.shared.pings().trips.clone()
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Towards {
    Device,
    Server,
}

impl Shared {
    fn pings(&self) -> MutexGuard<'_, Pings> {
        self.pings.lock().unwrap_or_else(PoisonError::into_inner)
    }

    async fn connect(self: Arc<Shared>, device: TcpStream, connection: u64) {
        let mut cuts = self.cuts.subscribe();
        let Ok(server) = TcpStream::connect(self.server).await else { return };
        for stream in [&device, &server] {
            let _ = stream.set_nodelay(true);
        }
        let (from_device, to_device) = device.into_split();
        let (from_server, to_server) = server.into_split();
        let dice =
            |way: u64| ChaCha20Rng::seed_from_u64(self.route.seed ^ (2 * connection + way) << 32);
        tokio::select! {
            _ = cuts.changed() => {}
            // Either end closes for itself: what it still hears, such as the reason, must pass.
            _ = async {
                tokio::join!(
                    self.carry(from_server, to_device, Towards::Device, dice(0)),
                    self.carry(from_device, to_server, Towards::Server, dice(1)),
                )
            } => {}
        }
    }

    /// Carries one direction until its sender has closed it.
    async fn carry(
        &self,
        mut from: OwnedReadHalf,
        mut to: OwnedWriteHalf,
        towards: Towards,
        mut dice: ChaCha20Rng,
    ) {
        let way = if towards == Towards::Device { self.route.down } else { self.route.up };
        let (enter, mut leave) = mpsc::channel::<(Instant, Vec<u8>)>(UNDER_WAY_MAX);
        let entering = async move {
            let mut frames = Frames::default();
            let mut due = Instant::now();
            let mut piece = vec![0; 16 * 1024];
            while let Ok(length @ 1..) = from.read(&mut piece).await {
                let now = Instant::now();
                if towards == Towards::Device {
                    for nonce in frames.control(&piece[..length], OPCODE_PING) {
                        self.pings().under_way.push((nonce, now));
                    }
                    if frames.is_upgraded() {
                        let mut down = self.down.lock().unwrap_or_else(PoisonError::into_inner);
                        down.push((now, length));
                    }
                }
                let drawn = way.draw(&mut dice);
                self.drawn[usize::from(towards == Towards::Server)]
                    .lock()
                    .unwrap_or_else(PoisonError::into_inner)
                    .push(drawn);
                // Nothing overtakes within a connection.
                due = due.max(now + drawn);
                if enter.send((due, piece[..length].to_vec())).await.is_err() {
                    return;
                }
            }
        };
        let leaving = async move {
            let mut frames = Frames::default();
            let mut stalled = self.stalled.subscribe();
            while let Some((due, piece)) = leave.recv().await {
                sleep_until(due).await;
                if stalled.wait_for(|stalled| !stalled).await.is_err() {
                    return;
                }
                if towards == Towards::Server {
                    for nonce in frames.control(&piece, OPCODE_PONG) {
                        self.answered(nonce);
                    }
                }
                if to.write_all(&piece).await.is_err() {
                    return;
                }
            }
            let _ = to.shutdown().await;
        };
        tokio::join!(entering, leaving);
    }

    fn answered(&self, nonce: [u8; 16]) {
        let mut pings = self.pings();
        let Some(place) = pings.under_way.iter().position(|(ping, _)| *ping == nonce) else {
            return;
        };
        let (_, left) = pings.under_way.swap_remove(place);
        pings.trips.push(Trip { nonce, left, back: Instant::now() });
    }
}
