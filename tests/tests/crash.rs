//! The real `handround` command is killed in the middle of a round, and in the middle of a race, and
//! started again on the same directory and port: nothing that anybody was shown is lost, the devices
//! come back by themselves, and the game goes on to its end.
//!
//! Everything here runs on the wall's clock, since the server is another process.

#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::id::TableId;
use handround_protocol::view::{Phase, RoundEnd, SeatView, Tap, VoidReason};
use handround_server::game::{Entry, Event, Table};
use handround_server::journal::SqliteStore;
use handround_tests::class::{Class, class_list, journal, plan};
use handround_tests::door::{Door, TEACHER_KEY};
use handround_tests::player::{Player, is_over};
use handround_tests::program::handround;
use handround_tests::replay::{all_was_journalled, replay};
use std::net::SocketAddr;
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;
use tokio::io::{AsyncBufReadExt, BufReader, Lines};
use tokio::process::{Child, ChildStdout, Command};

/// A server in a process of its own, which dies with this.
struct Process {
    child: Child,
    address: SocketAddr,
    /// Where it says more; it would end if nobody could read that.
    _said: Lines<BufReader<ChildStdout>>,
}

impl Process {
    /// Starts one; port 0 is any that is free. It says itself where it listens.
    async fn start(program: &Path, listen: SocketAddr, data: &Path) -> Process {
        let mut child = Command::new(program)
            .args(["serve", "--listen", &listen.to_string(), "--teacher-key", TEACHER_KEY])
            .arg("--data")
            .arg(data)
            .env("RUST_LOG", "warn")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .kill_on_drop(true)
            .spawn()
            .unwrap();
        let mut said = BufReader::new(child.stdout.take().unwrap()).lines();
        let address = loop {
            let line = said.next_line().await.unwrap().expect("an address before it ends");
            if let Some((_, url)) = line.split_once("http://") {
                break url.split('/').next().unwrap().parse().unwrap();
            }
        };
        Process { child, address, _said: said }
    }

    /// `kill -9`.
    async fn kill(mut self) {
        self.child.kill().await.unwrap();
    }
}

async fn read_journal(data: &Path, table: TableId) -> Vec<Entry> {
    let store = SqliteStore::open(data).await.unwrap();
    journal(&store, table).await
}

fn bytes(table: &Table) -> Vec<u8> {
    bincode::serde::encode_to_vec(table, bincode::config::standard()).unwrap()
}

/// A game that takes longer than this is stuck; on a quiet machine it takes half a minute.
const STUCK: Duration = Duration::from_secs(10 * 60);

async fn everybody(players: &mut [Player], done: impl Fn(&SeatView) -> bool + Copy) {
    let all = join_all(players.iter_mut().map(|player| player.play_until(done)));
    for ended in tokio::time::timeout(STUCK, all).await.expect("the game is stuck") {
        ended.unwrap();
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_server_that_is_killed_in_a_round_and_in_a_race_goes_on_where_it_was() {
    let program = tokio::task::spawn_blocking(handround).await.unwrap();
    let any = SocketAddr::from(([127, 0, 0, 1], 0));
    let directory = tempfile::tempdir().unwrap();
    let data = directory.path();
    let server = Process::start(program, any, data).await;
    // It comes back to the same port. Linux gives listeners that ask for any port odd ones and connections
    // even ones for as long as there are some, so that nobody has taken it meanwhile.
    let address = server.address;
    let plan = plan(HouseRule::Stay { rounds: 1 }, 3);
    let mut class = Class::make(Door { address }, &class_list(3), plan).await;
    let table = class.table();
    let mut players = class.players(3, &[Codec::Json, Codec::Bincode], 9).await;
    class.start().await;

    // In the middle of a round: some cards are on their way and nobody has taken a token yet.
    players.iter_mut().for_each(|player| player.never_grabs = true);
    everybody(&mut players, |view| view.table.phase == Phase::Playing && view.table.draw_pile < 6)
        .await;
    server.kill().await;
    let before = read_journal(data, table).await;
    for player in &mut players {
        let _ = player.catch_up().await;
        all_was_journalled(&before, player);
    }
    let stood = replay(&before);
    assert_eq!(stood.phase(), Phase::Playing);

    let server = Process::start(program, address, data).await;
    // Each device plays on by itself; then one after the other may take tokens.
    let moved_on = stood.table_view().draw_pile;
    everybody(&mut players, |view| {
        view.table.phase == Phase::Playing && view.table.draw_pile != moved_on
    })
    .await;
    let after = read_journal(data, table).await;
    assert_eq!(after[..before.len()], before, "the journal only grew");
    assert_eq!(bytes(&replay(&after[..before.len()])), bytes(&stood), "the same state again");
    let restarts = |entries: &[Entry]| {
        let down = |entry: &&Entry| matches!(entry.event, Event::LinkDown { .. });
        entries[before.len()..].iter().take(3).filter(down).count()
    };
    assert_eq!(restarts(&after), 3, "all links were down after the restart");
    players.iter().for_each(|player| assert_eq!(player.returns, 1, "it came back by itself"));

    // In the middle of a race: one has a token, one looks at a cue and waits.
    let (first, others) = players.split_first_mut().unwrap();
    first.never_grabs = false;
    let taken = |view: &SeatView| view.grab.tap == Tap::Taken;
    let in_race = |view: &SeatView| view.grab.cue.is_some();
    let all = async {
        tokio::join!(
            first.play_until(taken),
            join_all(others.iter_mut().map(|player| player.play_until(in_race)))
        )
    };
    let (one, others) = tokio::time::timeout(STUCK, all).await.expect("the game is stuck");
    [one].into_iter().chain(others).for_each(|ended| ended.unwrap());
    server.kill().await;
    let before = read_journal(data, table).await;
    let stood = replay(&before);
    assert!(stood.race_is_open());
    for player in &mut players {
        let _ = player.catch_up().await;
        player.never_grabs = false;
    }
    let round = stood.round();
    let server = Process::start(program, address, data).await;
    everybody(&mut players, |view| view.ruling.is_some()).await;
    for player in &players {
        let ruling = player.seen().ruling.as_ref().unwrap();
        let void = RoundEnd::Void { reason: VoidReason::Restarted };
        assert_eq!((ruling.round, ruling.end), (round, void), "a race open at the crash is void");
    }
    // The round is dealt again and the game goes on to its end.
    everybody(&mut players, is_over).await;
    for player in &mut players {
        player.catch_up().await.unwrap();
        assert_eq!(player.returns, 2, "it came back by itself, twice");
        assert_eq!(player.seen().ruling.as_ref().unwrap().winners.len(), 3);
        player.agrees_with_a_fresh_snapshot().await;
    }
    server.kill().await;
    let end = read_journal(data, table).await;
    let replayed = replay(&end);
    for player in &players {
        let view = player.seen();
        assert_eq!(
            replayed.seat_view(view.you).as_ref().map(|view| &view.ruling),
            Some(&view.ruling)
        );
        all_was_journalled(&end, player);
    }
    // What was recorded can be ruled again, by the same command, from the same directory.
    let ruled = |entry: &&Entry| matches!(entry.event, Event::RoundEnded { race: Some(_), .. });
    let races = end.iter().filter(ruled).count();
    assert!(races >= 1);
    let fairness = |path: &Path| {
        std::process::Command::new(program)
            .args(["fairness", "--recorded"])
            .arg(path)
            .output()
            .unwrap()
    };
    let again = fairness(data);
    assert!(again.status.success(), "{}", String::from_utf8_lossy(&again.stderr));
    let told = String::from_utf8(again.stdout).unwrap();
    assert!(told.starts_with(&format!("table/{table}\n   1  Pupil ")), "{told}");
    let count = format!("{races} races, 0 of them ruled otherwise by today's code\n");
    assert!(told.ends_with(&count), "{told}");
    let nothing = tempfile::tempdir().unwrap();
    assert!(!fairness(nothing.path()).status.success());
    assert_eq!(std::fs::read_dir(nothing.path()).unwrap().count(), 0, "only read");
}
