//! The walls of the house, checked: pure rooms stay pure, every module says what it is for, and
//! nothing unfinished is left lying about. Each check is also shown a planted offence.
#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

/// All files below a folder with this ending, without build output and fetched packages.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            if !["target", "node_modules", ".git", "out"].contains(&name.as_str()) {
                found.extend(files(&path, ending));
            }
        } else if name.ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn is_test(path: &Path) -> bool {
    let path = path.to_string_lossy();
    path.contains("/tests") || path.ends_with("_tests.rs") || path.ends_with("tests.rs")
}

/// Invariant 1 of the design: what a pure room may not even name.
const IMPURE: [&str; 20] = [
    "tokio",
    "std::net",
    "std::fs",
    "std::env",
    "std::process",
    "std::thread",
    "std::io",
    "SystemTime",
    "Instant",
    "sqlx",
    "axum",
    "hyper",
    "tracing::",
    "OsRng",
    "thread_rng",
    "getrandom",
    "Uuid",
    "crate::lesson",
    "crate::web",
    "crate::journal",
];

/// Invariant 4: state and journal hold neither.
const UNSTEADY: [&str; 4] = ["f32", "f64", "HashMap", "HashSet"];

/// A reader of bytes in memory, which some libraries ask for, is no I/O.
fn without_memory_readers(text: &str) -> String {
    text.replace("std::io::Cursor", "Cursor")
}

/// Lines of code (not of comments) that name one of the words.
fn named<'a>(text: &'a str, words: &[&str]) -> Vec<&'a str> {
    text.lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .filter(|line| words.iter().any(|word| line.contains(word)))
        .collect()
}

#[test]
fn pure_rooms_know_no_runtime_clock_socket_database_or_global_randomness() {
    let rooms = [
        "protocol/src",
        "server/src/game",
        "server/src/race",
        "server/src/deck",
        "server/src/deck_length",
        "server/src/evidence",
    ];
    for room in rooms {
        let sources: Vec<PathBuf> =
            files(&root().join(room), ".rs").into_iter().filter(|path| !is_test(path)).collect();
        assert!(!sources.is_empty(), "{room} is empty");
        for path in sources {
            let text = without_memory_readers(&fs::read_to_string(&path).unwrap());
            let offences = named(&text, &IMPURE);
            assert!(offences.is_empty(), "{} is not pure: {offences:?}", path.display());
        }
    }
    assert_eq!(
        named("use tokio::time;\n// tokio in words\nlet a = Instant::now();", &IMPURE).len(),
        2
    );
}

#[test]
fn state_and_journal_hold_no_floats_and_no_hash_maps() {
    for path in files(&root().join("server/src/game"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        let offences = named(&text, &UNSTEADY);
        assert!(is_test(&path) || offences.is_empty(), "{}: {offences:?}", path.display());
    }
    assert_eq!(named("x: f64,", &UNSTEADY).len(), 1);
}

/// The wire's crate must not even depend on anything that could do I/O or draw random numbers.
#[test]
fn the_protocol_crate_depends_on_nothing_impure() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let tree = Command::new(cargo)
        .args(["tree", "--offline", "--package", "handround-protocol", "--edges", "normal"])
        .args(["--prefix", "none", "--format", "{p}"])
        .current_dir(root())
        .output()
        .unwrap();
    let tree = String::from_utf8(tree.stdout).unwrap();
    let names: Vec<&str> = tree.lines().filter_map(|line| line.split(' ').next()).collect();
    assert!(names.contains(&"serde") && names.contains(&"bincode"), "{tree}");
    for impure in ["tokio", "rand", "rand_core", "getrandom", "sqlx", "mio", "uuid"] {
        assert!(!names.contains(&impure), "protocol depends on {impure}");
    }
}

#[test]
fn bincode_is_named_in_one_file_of_the_wire_only() {
    for path in files(&root().join("protocol/src"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        let uses = named(&text, &["bincode::"]);
        assert!(uses.is_empty() || path.ends_with("codec.rs"), "{}: {uses:?}", path.display());
    }
}

#[test]
fn every_module_says_what_it_is_for_and_nothing_unfinished_is_left() {
    // Spelt in two parts, so that this file does not find itself.
    let unfinished =
        [concat!("todo", "!("), concat!("FIX", "ME"), concat!("TO", "DO"), concat!("dbg", "!(")];
    let mut seen = 0;
    for path in files(&root(), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("//!"), "{} does not say what it is for", path.display());
        for word in unfinished {
            assert!(!text.contains(word), "{} still says {word}", path.display());
        }
        seen += 1;
    }
    assert!(seen > 80, "only {seen} files were looked at");
    for path in files(&root().join("server/pages"), ".js") {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("/*"), "{} does not say what it is for", path.display());
    }
}

/// The pages load nothing from elsewhere and need no inline script or style.
#[test]
fn pages_are_strict() {
    for path in files(&root().join("server/pages"), ".html") {
        // A link that somebody follows by hand loads nothing; whom to thank for pictures needs two.
        let text = fs::read_to_string(&path).unwrap().replace("<a href=\"https://", "<a href=\"");
        for word in ["http://", "https://", " style=", "<style", " onclick=", "javascript:"] {
            assert!(!text.contains(word), "{} has {word}", path.display());
        }
        let inline =
            text.matches("<script").count() - text.matches("<script type=\"module\" src=").count();
        assert_eq!(inline, 0, "{} has inline script", path.display());
    }
}
