//! What every store promises, run over each of them; and what the embedded one promises beyond:
//! it survives its process, and it forgets what it was told to forget.
#![allow(clippy::unwrap_used)]

use super::{FILE_NAME, MemoryStore, SqliteStore, Store, StoreError, StreamName, Urgency};
use rand_chacha::ChaCha8Rng;
use rand_core::{RngCore, SeedableRng};
use sqlx::Connection;
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::Arc;

fn stream(name: &str) -> StreamName {
    StreamName(name.to_owned())
}

fn lines(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

/// Runs one test over both stores.
macro_rules! over_both_stores {
    ($($test:ident),+ $(,)?) => {
        mod memory {
            $(#[tokio::test]
            async fn $test() {
                super::$test(std::sync::Arc::new(super::MemoryStore::new())).await;
            })+
        }
        mod sqlite {
            $(#[tokio::test]
            async fn $test() {
                let directory = tempfile::tempdir().unwrap();
                let store = super::SqliteStore::open(directory.path()).await.unwrap();
                super::$test(std::sync::Arc::new(store)).await;
            })+
        }
    };
}

over_both_stores!(
    keeps_lines_in_order,
    refuses_lines_that_are_out_of_step,
    finds_streams_by_their_beginning,
    deletes_a_stream_and_lets_it_begin_again,
    replaces_all_that_a_stream_held,
    agrees_with_a_naive_model,
    keeps_many_writers_apart,
);

async fn keeps_lines_in_order(store: Arc<dyn Store>) {
    let garden = stream("garden");
    assert_eq!(store.read(garden.clone()).await.unwrap(), lines(""));
    store.append(garden.clone(), 0, lines("fern moss"), Urgency::Group).await.unwrap();
    store.append(garden.clone(), 2, lines("twig"), Urgency::Alone).await.unwrap();
    store.append(garden.clone(), 3, Vec::new(), Urgency::Group).await.unwrap();
    let odd = "an acorn's \"cup\"\n\u{1f330}".to_owned();
    store.append(garden.clone(), 3, vec![odd.clone()], Urgency::Group).await.unwrap();
    let mut expected = lines("fern moss twig");
    expected.push(odd);
    assert_eq!(store.read(garden).await.unwrap(), expected);
}

async fn refuses_lines_that_are_out_of_step(store: Arc<dyn Store>) {
    let garden = stream("garden");
    store.append(garden.clone(), 0, lines("fern moss"), Urgency::Group).await.unwrap();
    for (believed, urgency) in [(0, Urgency::Group), (1, Urgency::Alone), (3, Urgency::Group)] {
        match store.append(garden.clone(), believed, lines("twig"), urgency).await {
            Err(StoreError::OutOfStep { held: 2, expected, .. }) => assert_eq!(expected, believed),
            other => panic!("{believed} lines believed: {other:?}"),
        }
    }
    assert!(store.append(stream("pond"), 1, lines("twig"), Urgency::Group).await.is_err());
    assert_eq!(store.read(garden.clone()).await.unwrap(), lines("fern moss"));
    assert_eq!(store.streams("").await.unwrap(), [garden]);
}

async fn finds_streams_by_their_beginning(store: Arc<dyn Store>) {
    for name in ["table/b", "table/a", "tab%e/x", "Table/c", "lesson/a"] {
        store.append(stream(name), 0, lines("fern"), Urgency::Group).await.unwrap();
    }
    let names = async |prefix: &str| -> Vec<String> {
        store.streams(prefix).await.unwrap().into_iter().map(|name| name.0).collect()
    };
    assert_eq!(names("table/").await, ["table/a", "table/b"]);
    assert_eq!(names("tab%").await, ["tab%e/x"]);
    assert_eq!(names("").await.len(), 5);
    assert_eq!(names("pond").await.len(), 0);
}

async fn deletes_a_stream_and_lets_it_begin_again(store: Arc<dyn Store>) {
    let (garden, pond) = (stream("garden"), stream("pond"));
    store.append(garden.clone(), 0, lines("fern moss"), Urgency::Group).await.unwrap();
    store.append(pond.clone(), 0, lines("reed"), Urgency::Group).await.unwrap();
    store.delete(garden.clone()).await.unwrap();
    store.delete(stream("never there")).await.unwrap();
    assert_eq!(store.read(garden.clone()).await.unwrap(), lines(""));
    assert_eq!(store.streams("").await.unwrap(), std::slice::from_ref(&pond));
    store.append(garden.clone(), 0, lines("twig"), Urgency::Group).await.unwrap();
    assert_eq!(store.read(garden).await.unwrap(), lines("twig"));
    assert_eq!(store.read(pond).await.unwrap(), lines("reed"));
}

async fn replaces_all_that_a_stream_held(store: Arc<dyn Store>) {
    let (garden, pond) = (stream("garden"), stream("pond"));
    store.append(pond.clone(), 0, lines("reed"), Urgency::Group).await.unwrap();
    store.replace(garden.clone(), lines("fern moss")).await.unwrap();
    store.replace(garden.clone(), lines("twig")).await.unwrap();
    assert_eq!(store.read(garden.clone()).await.unwrap(), lines("twig"));
    store.append(garden.clone(), 1, lines("acorn"), Urgency::Group).await.unwrap();
    assert_eq!(store.read(garden.clone()).await.unwrap(), lines("twig acorn"));
    store.replace(garden, Vec::new()).await.unwrap();
    assert_eq!(store.streams("").await.unwrap(), [pond]);
}

/// The model is a map of lists; each step does the same to both.
async fn agrees_with_a_naive_model(store: Arc<dyn Store>) {
    let seed = rand_seed();
    println!("seed {seed}");
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut below = |bound: u32| random.next_u32() % bound;
    let mut model: BTreeMap<StreamName, Vec<String>> = BTreeMap::new();
    for step in 0..300 {
        let name = stream(["fern", "moss", "twig"][below(3) as usize]);
        let held = model.get(&name).map_or(0, Vec::len) as u64;
        match below(10) {
            0 => {
                store.delete(name.clone()).await.unwrap();
                model.remove(&name);
            }
            2 => {
                let new = vec![format!("{step} alone")];
                store.replace(name.clone(), new.clone()).await.unwrap();
                model.insert(name, new);
            }
            1 => {
                let wrong = held + 1 + u64::from(below(3));
                let append = store.append(name, wrong, vec![step.to_string()], Urgency::Group);
                assert!(append.await.is_err());
            }
            _ => {
                let new: Vec<String> = (0..below(4)).map(|line| format!("{step}.{line}")).collect();
                let urgency = if below(2) == 0 { Urgency::Alone } else { Urgency::Group };
                store.append(name.clone(), held, new.clone(), urgency).await.unwrap();
                if !new.is_empty() {
                    model.entry(name).or_default().extend(new);
                }
            }
        }
    }
    let names: Vec<StreamName> = model.keys().cloned().collect();
    assert_eq!(store.streams("").await.unwrap(), names);
    for (name, expected) in model {
        assert_eq!(store.read(name).await.unwrap(), expected);
    }
}

fn rand_seed() -> u64 {
    std::time::UNIX_EPOCH.elapsed().unwrap().as_nanos() as u64
}

async fn keeps_many_writers_apart(store: Arc<dyn Store>) {
    let writers = (0..40_u32).map(|writer| {
        let store = store.clone();
        tokio::spawn(async move {
            for held in 0..10 {
                let urgency = if held == 5 { Urgency::Alone } else { Urgency::Group };
                let line = vec![format!("{writer} {held}")];
                let name = stream(&format!("table/{writer}"));
                store.append(name, held, line, urgency).await.unwrap();
            }
        })
    });
    for writer in writers.collect::<Vec<_>>() {
        writer.await.unwrap();
    }
    for writer in 0..40 {
        let expected: Vec<String> = (0..10).map(|held| format!("{writer} {held}")).collect();
        assert_eq!(store.read(stream(&format!("table/{writer}"))).await.unwrap(), expected);
    }
}

#[tokio::test]
async fn a_file_is_opened_again_and_one_of_another_layout_is_refused() {
    let directory = tempfile::tempdir().unwrap();
    let data = directory.path().join("new/data");
    let store = SqliteStore::open(&data).await.unwrap();
    store.append(stream("garden"), 0, lines("fern"), Urgency::Group).await.unwrap();
    drop(store);
    let store = SqliteStore::open(&data).await.unwrap();
    assert_eq!(store.read(stream("garden")).await.unwrap(), lines("fern"));
    drop(store);
    let options = sqlx::sqlite::SqliteConnectOptions::new().filename(data.join(FILE_NAME));
    let mut other = sqlx::sqlite::SqliteConnection::connect_with(&options).await.unwrap();
    sqlx::query("PRAGMA user_version = 77").execute(&mut other).await.unwrap();
    let refused = SqliteStore::open(&data).await.map(|_| ()).unwrap_err().to_string();
    assert!(refused.contains("layout 77"), "{refused}");
}

#[tokio::test]
async fn no_byte_of_a_deleted_stream_stays_in_any_file() {
    let directory = tempfile::tempdir().unwrap();
    let store = SqliteStore::open(directory.path()).await.unwrap();
    let (secret_name, secret) = ("lesson/quillwort", "dandelion-clock");
    let many = vec![secret.repeat(40); 500];
    store.append(stream(secret_name), 0, many, Urgency::Group).await.unwrap();
    store.append(stream("lesson/other"), 0, lines("fern"), Urgency::Group).await.unwrap();
    let holds = |text: &str| files(directory.path()).iter().any(|file| contains(file, text));
    assert!(holds(secret) && holds(secret_name), "the search must be able to find something");
    // Replaced lines are as gone as deleted ones.
    store.replace(stream(secret_name), lines("moss")).await.unwrap();
    assert!(!holds(secret) && holds(secret_name));
    store.delete(stream(secret_name)).await.unwrap();
    assert!(!holds(secret_name));
    assert!(holds("lesson/other"));
}

fn files(directory: &Path) -> Vec<Vec<u8>> {
    let entries = std::fs::read_dir(directory).unwrap();
    entries.map(|entry| std::fs::read(entry.unwrap().path()).unwrap()).collect()
}

fn contains(file: &[u8], text: &str) -> bool {
    file.windows(text.len()).any(|window| window == text.as_bytes())
}

/// The test below starts this same test program once more with this set to a directory.
const CHILD_DIRECTORY: &str = "HANDROUND_TEST_STORE_CHILD";
const CHILD_STREAMS: usize = 8;

/// Not a test by itself: the child of the next one. It writes for as long as it lives and says of
/// every append when it was answered.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn child_that_writes_until_it_is_killed() {
    let Ok(directory) = std::env::var(CHILD_DIRECTORY) else { return };
    let store = Arc::new(SqliteStore::open(Path::new(&directory)).await.unwrap());
    let writers = (0..CHILD_STREAMS).map(|writer| {
        let store = store.clone();
        tokio::spawn(async move {
            for held in 0_u64.. {
                let urgency = if held % 7 == 0 { Urgency::Alone } else { Urgency::Group };
                let line = vec![format!("{writer} {held}")];
                store
                    .append(stream(&format!("table/{writer}")), held, line, urgency)
                    .await
                    .unwrap();
                eprintln!("answered {writer} {held}");
            }
        })
    });
    for writer in writers.collect::<Vec<_>>() {
        writer.await.unwrap();
    }
}

/// A real SIGKILL (what `Child::kill` sends on Unix) in the middle of writing, several times over
/// one file.
#[tokio::test]
async fn everything_answered_before_a_kill_is_there_after_it() {
    let directory = tempfile::tempdir().unwrap();
    for round in 1..=3_usize {
        let data = directory.path().join(round.to_string());
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["journal::suite::child_that_writes_until_it_is_killed", "--exact"])
            .args(["--nocapture", "--test-threads=1"])
            .env(CHILD_DIRECTORY, &data)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut answered: BTreeMap<usize, u64> = BTreeMap::new();
        let mut count = 0;
        for line in BufReader::new(child.stderr.take().unwrap()).lines() {
            let line = line.unwrap();
            let mut words = line.split_whitespace();
            if words.next() != Some("answered") {
                continue;
            }
            let mut number = || words.next().and_then(|word| word.parse::<u64>().ok());
            // The kill may cut the last word off.
            let (Some(writer), Some(held)) = (number(), number()) else { continue };
            answered.insert(usize::try_from(writer).unwrap(), held);
            count += 1;
            if count == 150 * round {
                child.kill().unwrap();
            }
        }
        assert!(!child.wait().unwrap().success());
        assert_eq!(answered.len(), CHILD_STREAMS, "every writer got a turn before the kill");
        assert!(data.join(FILE_NAME).exists());
        let store = SqliteStore::open(&data).await.unwrap();
        for (writer, last) in answered {
            let held = store.read(stream(&format!("table/{writer}"))).await.unwrap();
            assert!(held.len() as u64 > last, "table {writer}: {} of {last}", held.len());
            let expected: Vec<String> =
                (0..held.len()).map(|line| format!("{writer} {line}")).collect();
            assert_eq!(held, expected);
        }
    }
}
