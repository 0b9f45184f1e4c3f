//! The wire cannot change unnoticed: one example of every message is stored as JSON and as bincode.
//!
//! A difference here means that devices of yesterday no longer understand the server of today. If
//! that is meant (a variant or field was appended, and the subprotocol's name or the change was
//! thought through), run `HANDROUND_WRITE_GOLDEN=1 cargo test -p handround-protocol --test golden`
//! and commit the files in `protocol/tests/golden`.
#![allow(clippy::unwrap_used)]

mod common;

use common::source;
use handround_protocol::codec::{Codec, Payload};
use std::fmt::Write as _;
use std::path::PathBuf;

const HOW_TO: &str = "the wire has changed. If that is meant, run\n    \
    HANDROUND_WRITE_GOLDEN=1 cargo test -p handround-protocol --test golden\nand commit the files";

fn stored(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name)
}

/// Compares with the stored file line by line, or writes it when asked to.
fn hold_to(name: &str, text: &str) {
    let path = stored(name);
    if std::env::var_os("HANDROUND_WRITE_GOLDEN").is_some() {
        std::fs::write(&path, text).unwrap();
        return;
    }
    let golden = std::fs::read_to_string(&path).unwrap_or_else(|_| panic!("{name}: {HOW_TO}"));
    for (number, (old, new)) in golden.lines().zip(text.lines()).enumerate() {
        assert_eq!(old, new, "line {} of {name}: {HOW_TO}", number + 1);
    }
    assert_eq!(golden.lines().count(), text.lines().count(), "{name}: {HOW_TO}");
}

fn text(payload: Payload) -> String {
    match payload {
        Payload::Text(text) => text,
        Payload::Binary(bytes) => bytes.iter().map(|byte| format!("{byte:02x}")).collect(),
    }
}

#[test]
fn what_a_device_says_is_written_as_before() {
    let mut lines = String::new();
    for (name, message) in common::to_server() {
        writeln!(lines, "# {name}").unwrap();
        for codec in [Codec::Json, Codec::Bincode] {
            let payload = codec.encode_to_server(&message).unwrap();
            assert_eq!(codec.decode_to_server(&payload), Ok(message.clone()), "{name}");
            writeln!(lines, "{}", text(payload)).unwrap();
        }
    }
    hold_to("to_server.txt", &lines);
}

#[test]
fn what_reaches_a_device_is_written_as_before() {
    let mut lines = String::new();
    for (name, message) in common::to_client() {
        writeln!(lines, "# {name}").unwrap();
        for codec in [Codec::Json, Codec::Bincode] {
            let payload = codec.encode_to_client(&message).unwrap();
            assert_eq!(codec.decode_to_client(&payload), Ok(message.clone()), "{name}");
            writeln!(lines, "{}", text(payload)).unwrap();
        }
    }
    hold_to("to_client.txt", &lines);
}

#[test]
fn bodies_over_http_are_written_as_before() {
    let mut lines = String::new();
    for (name, json) in common::http() {
        writeln!(lines, "# {name}\n{json}").unwrap();
    }
    hold_to("http.txt", &lines);
}

/// A variant that no example shows could change unnoticed.
#[test]
fn every_variant_has_an_example() {
    let mut json = String::new();
    for (_, message) in common::to_server() {
        json += &serde_json::to_string(&message).unwrap();
    }
    for (_, message) in common::to_client() {
        json += &serde_json::to_string(&message).unwrap();
    }
    json.extend(common::http().into_iter().map(|(_, body)| body));
    for known in source::enums() {
        // Close codes travel as numbers in close frames, never inside a message.
        for variant in known.variants.iter().filter(|_| known.name != "Close") {
            let shown = json.contains(&format!("\"{variant}\""));
            assert!(shown, "no example in tests/common shows {}::{variant}", known.name);
        }
    }
    for field in source::fields() {
        assert!(json.contains(&format!("\"{field}\":")), "no example shows the field {field}");
    }
}
