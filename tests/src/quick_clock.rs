//! A clock that runs several times as fast as the wall's, for whole games over real sockets: ten
//! seconds between two rounds are ten seconds for server and devices alike, and about one for whoever
//! waits for the test.
//!
//! tokio's paused clock alone would not do. It leaps ahead whenever nothing is ready, also while bytes
//! are on their way through the kernel or a commit is on its way to the disk, and every link would
//! look seconds long. Here a thread of its own lets the clock go on in small steps. A step that the
//! busy runtime has not taken yet is not made up for, so that a slow machine slows the game down
//! instead of making its devices late. What other threads do for the game, such as a commit, would still
//! seem to take ten times as long as it does, and longer on a busy disk: the clock waits for it (`hold`).

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;
use tokio::sync::{mpsc, oneshot};

/// How far the clock goes at a time: about what a link in a classroom takes, and no coarser than the
/// clocks of some browsers.
pub const STEP: Duration = Duration::from_millis(8);
/// How long a step takes on the wall's clock at the least.
const TICK: Duration = Duration::from_micros(900);

/// How often whatever is ready may run before a step: bytes that a proxy and both ends hand on within
/// the kernel shall arrive in the step in which they were sent.
const TURNS: u32 = 8;
/// A test that takes longer than this on the quick clock is stuck. The longest game here takes a
/// fourth of it.
const STUCK: Duration = Duration::from_secs(20 * 60);

thread_local! {
    /// How much is under way that the clock of this thread's runtime waits for.
    static UNDER_WAY: Arc<AtomicUsize> = Arc::default();
}

/// The quick clock stands still for as long as this lives.
#[derive(Debug)]
pub struct Hold(Arc<AtomicUsize>);

/// Holds this thread's quick clock, if it has one.
pub fn hold() -> Hold {
    let under_way = UNDER_WAY.with(Arc::clone);
    under_way.fetch_add(1, Ordering::Relaxed);
    Hold(under_way)
}

impl Drop for Hold {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Runs a test on a runtime with a quick clock.
///
/// # Panics
/// If the test is stuck.
pub fn run<T>(test: impl Future<Output = T>) -> T {
    run_in_steps(STEP, test)
}

/// The same with finer or coarser steps; steps of nothing make a clock that stands still.
///
/// # Panics
/// If the test is stuck.
pub fn run_in_steps<T>(step: Duration, test: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .start_paused(true)
        .build()
        .expect("a runtime");
    runtime.block_on(async {
        // The clock never leaps while such a thread runs (tokio, `time::pause`).
        let (stop, mut stopped) = oneshot::channel::<()>();
        let (tick, mut ticks) = mpsc::channel(1);
        let ticking = tokio::task::spawn_blocking(move || {
            while stopped.try_recv() == Err(oneshot::error::TryRecvError::Empty) {
                thread::sleep(TICK);
                let _ = tick.try_send(());
            }
        });
        let steps = async {
            while ticks.recv().await.is_some() {
                for _ in 0..TURNS {
                    tokio::task::yield_now().await;
                }
                if UNDER_WAY.with(|under_way| under_way.load(Ordering::Relaxed)) == 0 {
                    tokio::time::advance(step).await;
                }
            }
        };
        let result = tokio::select! {
            result = tokio::time::timeout(STUCK, test) => result.expect("the game is stuck"),
            () = steps => unreachable!("it ticks for as long as the test runs"),
        };
        let _ = stop.send(());
        ticking.await.expect("the ticking thread");
        result
    })
}
