//! `load`: many tables at once at a tool's pace. It makes lessons, joins every pupil as a tablet
//! would, starts the games from the boards, plays all seats, and prints what the server did.

use crate::address::Server;
use crate::board::Board;
use crate::http::Http;
use crate::measure::{Report, Tally};
use crate::partners::Pace;
use crate::robot;
use crate::seat::Seat;
use crate::sheets::Sheets;
use anyhow::Context as _;
use handround_protocol::codec::Codec;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{LessonId, Token};
use handround_protocol::limits::PUPILS_MAX;
use handround_protocol::message::BoardSays;
use handround_protocol::view::{BoardView, Phase};
use std::time::{Duration, Instant};
use tokio::sync::watch;
use tokio::task::JoinSet;

/// Seats of every table.
const SEATS: usize = 4;
/// Most tables of one run: more would measure this program rather than the server.
const TABLES_MAX: u16 = 1_000;
/// Longest run: an hour tells all that a longer one would.
const SECONDS_MAX: u16 = 3_600;
/// Before measuring, so that all tables are dealt and links are measured.
const SETTLE: Duration = Duration::from_secs(3);
/// Longest wait for all games to start.
const START_WAIT: Duration = Duration::from_secs(60);

/// What `load` wants to know.
#[derive(clap::Args)]
pub struct Options {
    /// Where the server is, such as http://127.0.0.1:8787.
    #[arg(long)]
    server: Server,
    /// The teacher's key that the server was started with.
    #[arg(long, env = "HANDROUND_TEACHER_KEY", hide_env_values = true)]
    key: String,
    /// Tables of four.
    #[arg(long, default_value_t = 10, value_parser = clap::value_parser!(u16).range(1..=TABLES_MAX as i64))]
    tables: u16,
    /// Seconds to measure.
    #[arg(long, default_value_t = 30, value_parser = clap::value_parser!(u16).range(1..=SECONDS_MAX as i64))]
    seconds: u16,
    /// The subprotocol: json or bincode.
    #[arg(long, default_value = "bincode", value_parser = codec)]
    codec: Codec,
    /// How the seats play.
    #[arg(long, value_enum, default_value_t = Pace::Quick)]
    pace: Pace,
}

fn codec(name: &str) -> Result<Codec, String> {
    let named = |codec: &Codec| codec.name().ends_with(&format!(".{name}"));
    Codec::ALL.into_iter().find(named).ok_or_else(|| "json or bincode".into())
}

/// Runs and prints the report.
pub async fn run(options: Options) -> anyhow::Result<()> {
    let http = Http::new(options.server.clone(), Some(options.key.clone()));
    let sheets = Sheets::new(http.clone());
    let (stop, stopped) = watch::channel(false);
    let (measure, measured) = watch::channel(false);
    let (playing, tables_playing) = watch::channel(0usize);
    let mut robots: JoinSet<Tally> = JoinSet::new();
    let mut boards: JoinSet<anyhow::Result<()>> = JoinSet::new();

    let tables = usize::from(options.tables);
    let begun = Instant::now();
    for (lesson_number, tables_here) in lesson_sizes(tables).into_iter().enumerate() {
        let made = http
            .make_lesson(
                &format!("Load {}", lesson_number + 1),
                AgeBand::FiveToSix,
                class_list(tables_here * SEATS),
            )
            .await
            .context("no lesson was made")?;
        let mut board = Board::open(&options.server, &http, options.codec, made.lesson).await?;
        let laid = tokio::time::timeout(START_WAIT, laid_tables(&mut board, tables_here)).await;
        let view = laid.with_context(|| {
            format!("wanted {tables_here} tables of {SEATS}: {}", made.seating)
        })??;
        for token in join_all(&http, &view, tables_here * SEATS).await? {
            let seat = Seat::new(options.server.clone(), sheets.clone(), options.codec, token);
            // Fixed seeds: two runs against the same deals would play alike.
            let seed = robots.len() as u64;
            let (stopped, measured) = (stopped.clone(), measured.clone());
            robots.spawn(robot::play(seat, options.pace.temper(), seed, stopped, measured));
        }
        boards.spawn(keep_playing(board, made.lesson, playing.clone(), stopped.clone()));
    }
    eprintln!("{} pupils joined in {:.1} s", robots.len(), begun.elapsed().as_secs_f64());

    let mut all_play = tables_playing;
    tokio::time::timeout(START_WAIT, all_play.wait_for(|playing| *playing >= tables))
        .await
        .context("not every game started in time")??;
    tokio::time::sleep(SETTLE).await;
    let begun = Instant::now();
    measure.send_replace(true);
    tokio::select! {
        () = tokio::time::sleep(Duration::from_secs(options.seconds.into())) => {}
        _ = tokio::signal::ctrl_c() => eprintln!("stopped early"),
        Some(ended) = boards.join_next() => { ended??; }
    }
    measure.send_replace(false);
    let seconds = begun.elapsed().as_secs_f64();
    stop.send_replace(true);

    let mut tally = Tally::default();
    let seats = robots.len();
    while let Some(seat) = robots.join_next().await {
        tally.add(seat?);
    }
    println!("{}", Report { tally, tables, seats, seconds });
    while let Some(board) = boards.join_next().await {
        board??;
    }
    Ok(())
}

/// The board once it shows all tables, which are laid one after the other.
async fn laid_tables(board: &mut Board, tables: usize) -> anyhow::Result<BoardView> {
    loop {
        let view = board.next().await?;
        if view.tables.len() == tables && view.tables.iter().all(|table| table.seats.len() == SEATS)
        {
            return Ok(view);
        }
    }
}

/// How many tables each lesson gets: a class list holds only so many names.
fn lesson_sizes(tables: usize) -> Vec<usize> {
    let most = PUPILS_MAX / SEATS;
    let mut sizes = vec![most; tables / most];
    sizes.extend(Some(tables % most).filter(|rest| *rest > 0));
    sizes
}

/// An invented class, one nickname a line.
fn class_list(pupils: usize) -> String {
    (1..=pupils).fold(String::from("nickname\n"), |list, number| format!("{list}Pupil {number}\n"))
}

/// Joins every pupil by the link that the board shows.
async fn join_all(http: &Http, view: &BoardView, pupils: usize) -> anyhow::Result<Vec<Token>> {
    let code = view.join_url.rsplit('/').next().and_then(Token::from_hex);
    let code = code.with_context(|| format!("no code in the link {}", view.join_url))?;
    let mut tokens = Vec::with_capacity(pupils);
    for place in 0..pupils {
        let places = http.join_link(code).await?;
        let place = places.places.get(place).context("a place is missing")?;
        tokens.push(http.join_place(places.ticket, place.pupil).await?.token);
    }
    Ok(tokens)
}

/// Starts every game of a lesson once its seats are taken, and a rematch whenever one has ended.
async fn keep_playing(
    mut board: Board,
    lesson: LessonId,
    playing: watch::Sender<usize>,
    mut stop: watch::Receiver<bool>,
) -> anyhow::Result<()> {
    let mut started = std::collections::BTreeMap::new();
    loop {
        let view = tokio::select! {
            _ = stop.wait_for(|stop| *stop) => break,
            view = board.next() => view,
        };
        let Ok(view) = view else {
            board.reopen().await.with_context(|| format!("the board of lesson {lesson}"))?;
            continue;
        };
        for table in &view.tables {
            let game = table.view.game;
            let idle = matches!(table.view.phase, Phase::Waiting | Phase::GameOver);
            let everybody = table.seats.iter().all(|seat| seat.here);
            // A board that is still the old one must not start the same game twice.
            if idle && everybody && started.get(&table.table) != Some(&game) {
                if started.insert(table.table, game).is_none() {
                    playing.send_modify(|playing| *playing += 1);
                }
                board.say(BoardSays::Start { table: Some(table.table) }).await?;
            }
        }
    }
    // The next run finds a server without our lessons.
    board.say(BoardSays::EndLesson).await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lessons_hold_as_many_tables_as_a_class_list_holds_names() {
        for tables in 1..=100 {
            let sizes = lesson_sizes(tables);
            assert_eq!(sizes.iter().sum::<usize>(), tables);
            assert!(sizes.iter().all(|size| (1..=PUPILS_MAX / SEATS).contains(size)));
        }
        assert_eq!(class_list(2), "nickname\nPupil 1\nPupil 2\n");
        assert_eq!(codec("json"), Ok(Codec::Json));
        assert!(codec("xml").is_err());
    }
}
