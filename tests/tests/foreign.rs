//! A player that shares no code with Handround plays a game to its end. `foreign_player.mjs` was
//! written from `protocol/WIRE.md` alone, over Node's `ws` 8.23.0 (npm), which is not ours either.

#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::view::RoundEnd;
use handround_server::game::Event;
use handround_tests::class::{Class, class_list, journal, plan};
use handround_tests::house::House;
use handround_tests::player::Player;
use std::path::Path;
use std::time::Duration;
use tokio::process::Command;

/// Seconds after which the foreign player gives up, so that a fault ends the test with its words.
const GIVE_UP_S: &str = "540";
/// The same for our own part, a little later. On a quiet machine the game takes half a minute.
const STUCK: Duration = Duration::from_secs(600);

/// Node and what `npm ci` installs, or one plain sentence.
async fn needs() {
    let node = Command::new("node").arg("--version").output().await;
    assert!(node.is_ok(), "node is missing: run tests/run, or install Node 20");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("outside/node_modules/ws");
    assert!(folder.exists(), "node_modules is missing: run tests/run, or npm ci in tests/outside");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_player_written_from_the_documentation_alone_plays_a_game_to_its_end() {
    needs().await;
    let house = House::open_on_disk(10).await;
    let plan = plan(HouseRule::Stay { rounds: 2 }, 3);
    let mut class = Class::make(*house, &class_list(3), plan).await;
    let mut players = class.players(2, &[Codec::Bincode, Codec::Json], 10).await;
    let row: Vec<String> = class.board.row.iter().map(|picture| picture.name()).collect();
    let foreign = Command::new("node")
        .arg("foreign_player.mjs")
        .args(["--server", &format!("http://{}", house.address)])
        .args(["--row", &row.join(","), "--name", "Pupil 2"])
        .args(["--break-link", "--seconds", GIVE_UP_S])
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("outside"))
        .kill_on_drop(true)
        .output();
    let ours = async {
        class.look(|board| board.tables[0].seats.iter().all(|seat| seat.here)).await;
        class.start().await;
        join_all(players.iter_mut().map(Player::play_game)).await
    };
    let both = async { tokio::join!(foreign, ours) };
    let (foreign, ours) = tokio::time::timeout(STUCK, both).await.expect("the game is stuck");
    ours.into_iter().for_each(|ended| ended.unwrap());
    let foreign = foreign.unwrap();
    let said = String::from_utf8_lossy(&foreign.stdout).into_owned();
    let failed = String::from_utf8_lossy(&foreign.stderr).into_owned();
    assert!(foreign.status.success(), "{said}{failed}");
    let last = said.lines().last().unwrap().to_owned();
    assert!(last.starts_with("game over winners=[0,1,2] rounds=2 moves="), "{said}{failed}");
    let number = |name: &str| -> u32 {
        let word = last.split(' ').find_map(|word| word.strip_prefix(name));
        word.and_then(|word| word.strip_prefix('=')).unwrap().parse().unwrap()
    };
    assert_eq!(number("returns"), 1, "it broke its link once and came back: {said}");
    // The journal has its moves too, and the foreign seat had its part in both races.
    let entries = journal(&*house.store, class.table()).await;
    let moves = entries.iter().filter(|entry| {
        matches!(&entry.event, Event::Moved { seat, marks, .. }
            if seat.0 == 2 && marks.by.is_child())
    });
    let moves = u32::try_from(moves.count()).unwrap();
    // A move said just as the round ended, or while the link broke, was not heard.
    assert!(moves > 0 && moves <= number("moves"), "{moves} moves were journalled: {said}");
    let ruled = entries.iter().filter(|entry| {
        matches!(entry.event, Event::RoundEnded { end: RoundEnd::Last { .. }, .. })
    });
    assert_eq!(ruled.count(), 2);
    house.close().await;
}
