//! A whole server inside the test, on a loopback port of its own.

use crate::disk;
pub use crate::door::{Answer, Device, Door, Ended, TEACHER_KEY};
use handround_protocol::id::{LessonId, PupilIndex, Token};
use handround_protocol::join::{JoinLink, JoinPick, JoinPlaces, LessonMade};
use handround_server::journal::{MemoryStore, Store};
use handround_server::lesson::hub::{Hub, time_of_day};
use handround_server::lesson::randomness::Randomness;
use handround_server::teacher::TeacherId;
use handround_server::web::{self, OneTimeKey, WebConfig};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::ops::Deref;
use std::sync::{Arc, Mutex};
use tempfile::TempDir;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

/// The teacher whom the tests' key lets in.
pub const ME: TeacherId = TeacherId::THIS_MACHINE;

/// A server and what a test may know of it. It is spoken to through its `Door`.
pub struct House {
    door: Door,
    /// The lessons behind the edge.
    pub hub: Hub,
    /// Where they are kept.
    pub store: Arc<dyn Store>,
    /// The key that works once.
    pub one_time_key: String,
    stop: oneshot::Sender<()>,
    served: JoinHandle<()>,
    /// Removed with the house.
    directory: Option<TempDir>,
}

impl Deref for House {
    type Target = Door;

    fn deref(&self) -> &Door {
        &self.door
    }
}

impl House {
    /// Opens one with nothing in it, kept in memory.
    pub async fn open() -> House {
        House::over(Arc::new(MemoryStore::new()), 1).await
    }

    /// Opens one that keeps its journal as in life: in SQLite, in a directory of its own. One seed
    /// gives the same secrets, decks and deals as long as the same things happen.
    pub async fn open_on_disk(seed: u64) -> House {
        let directory = tempfile::tempdir().expect("a directory");
        let mut house = House::over(disk::open(directory.path()).await, seed).await;
        house.directory = Some(directory);
        house
    }

    /// Opens one over a store, with the lessons that it holds.
    pub async fn over(store: Arc<dyn Store>, seed: u64) -> House {
        House::with(store, seed, false).await
    }

    /// Opens one in memory that says of itself that no proxy stands before it.
    pub async fn open_direct(seed: u64) -> House {
        House::with(Arc::new(MemoryStore::new()), seed, true).await
    }

    async fn with(store: Arc<dyn Store>, seed: u64, direct: bool) -> House {
        let listener = web::listen(([127, 0, 0, 1], 0).into()).expect("a loopback port");
        let address = listener.local_addr().expect("its address");
        let randomness = Arc::new(Seeded::new(seed));
        let url = format!("http://{address}");
        let hub = Hub::restore_with(store.clone(), url, randomness, time_of_day())
            .await
            .expect("a store that can be read");
        let one_time_key = OneTimeKey::draw().expect("randomness");
        let config = WebConfig {
            one_time_key: one_time_key.clone(),
            teacher_key: Some(TEACHER_KEY.parse().expect("a key long enough")),
            sessions: None,
            direct,
        };
        let (stop, stopped) = oneshot::channel();
        let shutdown = async {
            let _ = stopped.await;
        };
        let served = tokio::spawn(web::serve(listener, hub.clone(), config, shutdown));
        let (door, one_time_key) = (Door { address }, one_time_key.to_string());
        House { door, hub, store, one_time_key, stop, served, directory: None }
    }

    /// Stops it and waits until it has.
    pub async fn close(self) {
        let _ = self.stop.send(());
        self.served.await.expect("the server ends by itself");
    }

    /// Makes a lesson from a class list, as a teacher's tool.
    pub async fn make_lesson(&self, class_list: &str) -> LessonId {
        let answer = self.ask_as_teacher("POST /lessons?name=Oak", class_list.as_bytes()).await;
        assert_eq!(answer.status, 201, "{}", String::from_utf8_lossy(&answer.body));
        answer.json::<LessonMade>().lesson
    }

    /// A device opens the lesson's link: the places, and a ticket for one of them.
    pub async fn places(&self, lesson: LessonId) -> Answer {
        let board = self.hub.board(ME, lesson).await.expect("the lesson");
        let url = board.borrow().join_url.clone();
        let code = url.rsplit('/').next().and_then(Token::from_hex).expect("a code");
        self.post("/join/link", &JoinLink { code }).await
    }

    /// A device opens the link and takes a place.
    pub async fn join(&self, lesson: LessonId, pupil: u16) -> Answer {
        let JoinPlaces { ticket, .. } = self.places(lesson).await.json();
        self.post("/join/place", &JoinPick { ticket, pupil: PupilIndex(pupil) }).await
    }
}

/// Randomness that is the same in every run, so that a test that fails fails again.
pub struct Seeded(Mutex<ChaCha20Rng>);

impl Seeded {
    /// From a number.
    pub fn new(seed: u64) -> Seeded {
        Seeded(Mutex::new(ChaCha20Rng::seed_from_u64(seed)))
    }
}

impl Randomness for Seeded {
    fn bytes(&self) -> [u8; 32] {
        let mut bytes = [0; 32];
        self.0.lock().expect("nobody panics in here").fill_bytes(&mut bytes);
        bytes
    }
}
