//! `partners`: plays every practice partner's seat of a lesson from outside the server.

use crate::address::Server;
use crate::http::Http;
use crate::robot;
use crate::seat::Seat;
use crate::sheets::Sheets;
use anyhow::bail;
use handround_protocol::codec::Codec;
use handround_protocol::house::AgeBand;
use handround_protocol::id::LessonId;
use handround_protocol::partner::Temper;
use tokio::sync::watch;
use tokio::task::JoinSet;

/// What `partners` wants to know.
#[derive(clap::Args)]
pub struct Options {
    /// Where the server is, such as http://127.0.0.1:8787.
    #[arg(long)]
    server: Server,
    /// The teacher's key that the server was started with.
    #[arg(long, env = "HANDROUND_TEACHER_KEY", hide_env_values = true)]
    key: String,
    /// The lesson's number, 32 hex digits.
    #[arg(long, value_parser = lesson)]
    lesson: LessonId,
    /// How they play: like children of five to six, six to seven, seven to eight, or quick.
    #[arg(long, value_enum, default_value_t = Pace::SixToSeven)]
    pace: Pace,
}

/// A partner's pace.
#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Pace {
    /// Like children of five to six.
    FiveToSix,
    /// Like children of six to seven.
    SixToSeven,
    /// Like children of seven to eight.
    SevenToEight,
    /// A tool's, for load tests.
    Quick,
}

impl Pace {
    /// The temper that plays so.
    pub fn temper(self) -> Temper {
        match self {
            Pace::FiveToSix => Temper::for_ages(AgeBand::FiveToSix),
            Pace::SixToSeven => Temper::for_ages(AgeBand::SixToSeven),
            Pace::SevenToEight => Temper::for_ages(AgeBand::SevenToEight),
            Pace::Quick => Temper::QUICK,
        }
    }
}

fn lesson(text: &str) -> Result<LessonId, String> {
    LessonId::from_hex(text).ok_or_else(|| "a lesson has 32 hex digits".into())
}

/// Plays until Ctrl+C or until every seat is lost.
pub async fn run(options: Options) -> anyhow::Result<()> {
    let http = Http::new(options.server.clone(), Some(options.key));
    let seats = http.partner_seats(options.lesson).await?;
    if seats.is_empty() {
        bail!("no practice partner sits in this lesson");
    }
    println!("{} practice partners play from here; Ctrl+C stops them", seats.len());
    let sheets = Sheets::new(http);
    let (stop, stopped) = watch::channel(false);
    let (_measure, measured) = watch::channel(true);
    let mut robots = JoinSet::new();
    for partner in seats {
        let seat = Seat::new(options.server.clone(), sheets.clone(), Codec::Bincode, partner.token);
        // The secret is random already; the brain needs luck, not secrecy.
        let seed = partner.token.0.iter().fold(0, |seed, byte| seed << 4 ^ u64::from(*byte));
        let temper = options.pace.temper();
        robots.spawn(robot::play(seat, temper, seed, stopped.clone(), measured.clone()));
    }
    let (mut moves, mut lost) = (0, 0);
    loop {
        tokio::select! {
            _ = tokio::signal::ctrl_c(), if !*stop.borrow() => { stop.send_replace(true); }
            robot = robots.join_next() => match robot {
                Some(tally) => {
                    let tally = tally?;
                    moves += tally.move_waits.len();
                    lost += tally.lost;
                }
                None => break,
            }
        }
    }
    println!("they made {moves} moves; {lost} seats were lost");
    Ok(())
}
