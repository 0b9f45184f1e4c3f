//! The edge: HTTP and WebSocket. It stamps, decodes and admits what devices send, and carries out
//! what the lessons answer.
//!
//! It deliberately knows no rules of play, no cards and no store: everything it may ask stands in
//! [`Hub`]. It logs counts and reasons, never a name, an address or a secret.

mod admit;
mod body;
mod classes;
mod door;
mod headers;
mod join;
mod kernel;
mod lessons;
mod listener;
mod own_decks;
mod pages;
mod password_page;
mod peer;
mod printed;
mod rates;
mod refuse;
mod report_page;
mod reports;
mod serve;
mod sessions;
mod sheets;
mod sheets_page;
mod sign_in;
mod sign_in_page;
mod slot;
mod socket;
mod substitute;
mod upgrade;
mod workshop;

pub use listener::{Accepted, Listener, listen};
pub use serve::serve;
pub use sign_in::{OneTimeKey, TeacherKey, TeacherKeyTooShort};

use crate::lesson::hub::Hub;
use axum::routing::{delete, get, post};
use axum::{Router, middleware};
use rates::Rates;
use sign_in::SignIn;
use std::path::PathBuf;
use std::sync::Arc;
use tokio_util::{sync::CancellationToken, task::TaskTracker};
use tower_http::compression::CompressionLayer;

/// How the edge lets teachers in.
#[derive(Clone, Debug)]
pub struct WebConfig {
    /// Opens the teacher's pages once, in one browser.
    pub one_time_key: OneTimeKey,
    /// A bearer key for tools and tests that stays good; `None` without one.
    pub teacher_key: Option<TeacherKey>,
    /// Where sign-ins are kept over a restart; `None` to forget them.
    pub sessions: Option<PathBuf>,
    /// Devices reach this server without a proxy, so that the kernel's own round trips are theirs.
    /// A statement of the deployment, never guessed.
    pub direct: bool,
}

/// What every request of one server shares.
struct Edge {
    hub: Hub,
    sign_in: SignIn,
    rates: Rates,
    /// Drawing decks takes a core for a while.
    drawings: Arc<tokio::sync::Semaphore>,
    /// So does playing whole games in simulated time.
    simulations: Arc<tokio::sync::Semaphore>,
    /// And so does hashing passwords, on purpose.
    hashings: Arc<tokio::sync::Semaphore>,
    /// Looks at accounts come one after the other, so that an older one never counts for the newest.
    looking: tokio::sync::Mutex<()>,
    /// Every task that holds a connection.
    tasks: TaskTracker,
    /// The server is stopping: say goodbye.
    stopping: CancellationToken,
    /// The time for goodbyes is over.
    abandoned: CancellationToken,
}

impl Edge {
    /// Looks for accounts that were made, changed or removed, for as long as the server runs. The first
    /// look is over before anybody is let in.
    async fn look_at_accounts(&self) {
        let _one_after_the_other = self.looking.lock().await;
        match self.hub.accounts().await {
            Ok(accounts) => self.sign_in.know(accounts, self.hub.today()),
            // Whoever is in stays in, and whoever is not has to wait.
            Err(error) => tracing::error!(%error, "accounts cannot be read"),
        }
    }

    /// Starts a task that ends with the server at the latest.
    fn spawn(&self, task: impl Future<Output = ()> + Send + 'static) {
        self.tasks.spawn(self.abandoned.clone().run_until_cancelled_owned(task));
    }
}

type Shared = axum::extract::State<Arc<Edge>>;

fn router(edge: Arc<Edge>) -> Router {
    // Compressed only where nothing secret is in the answer (BREACH, 2013, needs one).
    let public = Router::new()
        .route("/", get(pages::pupil))
        .route("/j/{code}", get(pages::pupil))
        .route("/p", get(pages::pupil))
        .route("/h", get(pages::pupil))
        .route("/tablet", get(pages::pupil))
        .route("/hand", get(pages::hand))
        .route("/home", get(pages::home))
        .route("/shared", get(pages::shared))
        .route("/substitute", get(pages::substitute))
        .route("/teacher", get(pages::teacher))
        .route("/wall/{token}", get(pages::wall))
        .route("/pages/{*path}", get(pages::file))
        .route("/decks/{deck}/faces", get(lessons::faces))
        .layer(CompressionLayer::new());
    let teachers = Router::new()
        .route("/account", get(sign_in_page::account))
        .route("/account/password", get(password_page::page).post(password_page::change))
        .route("/lessons", get(lessons::list).post(lessons::make))
        .route("/classes", get(classes::list).post(classes::keep))
        .route("/classes/{class}", get(classes::one).put(classes::change).delete(classes::delete))
        .route("/classes/{class}/list.csv", get(classes::export))
        .route("/classes/{class}/picture", post(classes::picture))
        .route("/classes/{class}/home", post(classes::home))
        .route("/classes/{class}/groups", post(classes::groups))
        .route("/classes/{class}/lessons", post(classes::lesson))
        .route("/classes/{class}/report", get(reports::page))
        .route("/classes/{class}/report.json", get(reports::json))
        .route("/classes/{class}/report.csv", get(reports::csv))
        .route("/classes/{class}/report.pdf", get(reports::page_pdf))
        .route("/classes/{class}/report/{child}", get(reports::child))
        .route("/classes/{class}/report/{child}/pdf", get(reports::child_pdf))
        .route("/classes/{class}/next", get(reports::next))
        .route("/lessons/{lesson}/partners", post(lessons::partners))
        .route("/lessons/{lesson}/tables/{table}/race", get(lessons::race))
        .route("/lessons/{lesson}/tables/{table}/seats/{seat}/hand", get(lessons::hand))
        .route("/lessons/{lesson}/freeze", post(lessons::freeze))
        .route("/lessons/{lesson}/slot", get(slot::look).post(slot::choose))
        .route("/lessons/{lesson}/plan", post(workshop::plan))
        .route("/lessons/{lesson}/deck", post(workshop::use_deck))
        .route("/lessons/{lesson}/planning", get(sheets::planning_sheet))
        .route("/lessons/{lesson}/family-letter", get(sheets::letter))
        .route("/lessons/{lesson}/pack.pdf", get(workshop::pack))
        .route("/workshop/skills", get(workshop::skills))
        .route("/workshop/preview", post(workshop::preview))
        .route("/workshop/length", post(workshop::length))
        .route("/workshop/print", post(workshop::print))
        .route("/workshop/decks", get(workshop::kept).post(workshop::keep))
        .route("/workshop/decks/{deck}", delete(workshop::forget))
        .route("/workshop/decks/{deck}/file", get(workshop::file))
        .route("/workshop/file", post(workshop::read_file))
        .route("/workshop/own", get(own_decks::list).post(own_decks::keep))
        .route("/workshop/own/{deck}", delete(own_decks::forget))
        .route("/workshop/own/{deck}/file", get(own_decks::file))
        .route("/lessons/{lesson}/door", get(door::look).post(door::says))
        .route("/lessons/{lesson}/home", post(door::home))
        .route("/lessons/{lesson}/shared", post(door::shared))
        .route("/lessons/{lesson}/place-cards.pdf", get(door::place_cards))
        .route(
            "/lessons/{lesson}/substitute",
            get(substitute::look).post(substitute::give).delete(substitute::withdraw),
        )
        .route_layer(middleware::from_fn_with_state(edge.clone(), admit::teachers));
    let joining = Router::new()
        .route("/join/ask", post(door::ask))
        .route("/join/card", post(door::card))
        .route("/join/tablet", post(door::tablet))
        .route("/join/wait", post(door::wait))
        .route("/join/undo", post(door::undo))
        .route("/substitute/door", post(substitute::door))
        .route("/substitute/slot", post(substitute::slot))
        .route("/join/link", post(join::link))
        .route("/join/place", post(join::place))
        .route_layer(middleware::from_fn_with_state(edge.clone(), admit::joining));
    let trying_a_row = Router::new()
        .route("/join/row", post(join::row))
        .route_layer(middleware::from_fn_with_state(edge.clone(), admit::trying_a_row));
    Router::new()
        .merge(public)
        .merge(teachers)
        .merge(joining)
        .merge(trying_a_row)
        .route_layer(middleware::from_fn_with_state(edge.clone(), admit::carried_out))
        .route("/ws", get(upgrade::upgrade))
        .route("/sign-in", get(sign_in_page::page).post(sign_in_page::enter))
        .route("/sign-out", post(sign_in_page::leave))
        .route("/health", get(async || "ok\n"))
        .fallback(async || refuse::No::not_found())
        .layer(middleware::from_fn(headers::strict))
        .with_state(edge)
}
