//! `WIRE.md` is the whole wire: each example can be read, and nothing of the source is missing.
#![allow(clippy::unwrap_used)]

mod common;

use common::source;
use handround_protocol::close::Close;
use handround_protocol::face::FaceSheet;
use handround_protocol::join::*;
use handround_protocol::limits::*;
use handround_protocol::message::{ToClient, ToServer};
use handround_protocol::substitute::*;
use handround_protocol::view::HandTold;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

const DOCUMENT: &str = include_str!("../WIRE.md");

/// The examples: what each is said to be, and its JSON.
fn examples() -> Vec<(String, Value)> {
    let mut found = Vec::new();
    for block in DOCUMENT.split("```json ").skip(1) {
        let (kind, rest) = block.split_once('\n').unwrap();
        let body = rest.split("```").next().unwrap();
        for value in serde_json::Deserializer::from_str(body).into_iter::<Value>() {
            let value = value.unwrap_or_else(|error| panic!("{kind}: {error} in {body}"));
            found.push((kind.to_owned(), value));
        }
    }
    found
}

/// Reads it as the type and writes it again: a misspelt key would not come back.
fn same<T: DeserializeOwned + Serialize>(value: &Value) -> bool {
    let read: T = serde_json::from_value(value.clone()).unwrap_or_else(|e| panic!("{e}: {value}"));
    serde_json::to_value(read).unwrap() == *value
}

#[test]
fn every_example_can_be_read() {
    for (kind, value) in examples() {
        let same = match kind.as_str() {
            "to-server" => same::<ToServer>(&value),
            "to-client" => same::<ToClient>(&value),
            "JoinRow" => same::<JoinRow>(&value),
            "JoinLink" => same::<JoinLink>(&value),
            "JoinPlaces" => same::<JoinPlaces>(&value),
            "JoinPick" => same::<JoinPick>(&value),
            "Joined" => same::<Joined>(&value),
            "HttpRefusal" => same::<HttpRefusal>(&value),
            "LessonMade" => same::<LessonMade>(&value),
            "LessonLine" => same::<LessonLine>(&value),
            "PartnerSeat" => same::<PartnerSeat>(&value),
            "RaceTold" => same::<RaceTold>(&value),
            "HandTold" => same::<HandTold>(&value),
            "FaceSheet" => same::<FaceSheet>(&value),
            "SubstituteDay" => same::<SubstituteDay>(&value),
            "SubstituteLink" => same::<SubstituteLink>(&value),
            "SubstituteAsk" => same::<SubstituteAsk>(&value),
            "SubstituteSlotAsk" => same::<SubstituteSlotAsk>(&value),
            "SubstituteDoor" => same::<SubstituteDoor>(&value),
            other => panic!("an example of an unknown kind: {other}"),
        };
        assert!(same, "{kind} is written otherwise: {value}");
    }
}

/// Every message and body has an example; every other variant and field is at least named.
#[test]
fn nothing_is_missing() {
    let messages =
        ["ToServer", "SeatSays", "BoardSays", "SubstituteSays", "ToClient", "SeatNews", "Welcome"];
    let examples: String = examples().into_iter().map(|(_, value)| value.to_string()).collect();
    for known in source::enums() {
        for variant in &known.variants {
            let (text, what) = if messages.contains(&known.name.as_str()) {
                (examples.contains(&format!("\"{variant}\"")), "has no example in")
            } else {
                let named = [format!("`{variant}`"), format!("\"{variant}\"")];
                (named.iter().any(|named| DOCUMENT.contains(named)), "is not named in")
            };
            assert!(text, "{}::{variant} {what} WIRE.md", known.name);
        }
    }
    for field in source::fields() {
        let shown = examples.contains(&format!("\"{field}\":"));
        assert!(shown || DOCUMENT.contains(&format!("`{field}`")), "the field {field}");
    }
    for (name, _) in common::http() {
        assert!(DOCUMENT.contains(&format!("```json {name}\n")), "{name} has no example");
    }
}

#[test]
fn close_codes_stand_in_their_table() {
    let closes = [
        Close::GoingAway,
        Close::WrongFrameKind,
        Close::Malformed,
        Close::TooFrequent,
        Close::TooLarge,
        Close::TableStopped,
        Close::HelloExpected,
        Close::UnknownCredential,
        Close::NotAllowed,
        Close::NewerDevice,
        Close::TooSlow,
        Close::LessonOver,
        Close::Moved,
    ];
    let known = source::enums().into_iter().find(|known| known.name == "Close").unwrap();
    assert_eq!(closes.map(|close| format!("{close:?}")).to_vec(), known.variants);
    for close in closes {
        let line = format!("| {} | `{close:?}` | {} |", close.code(), close.reason());
        assert!(DOCUMENT.contains(&line), "{line}");
        // RFC 6455 section 5.5: a control frame holds 125 bytes, 2 of which are the code.
        assert!(close.reason().len() <= 123);
    }
}

#[test]
fn limits_and_subprotocols_stand_there() {
    for line in [
        format!("| a message to the server | {TO_SERVER_BYTES_MAX} bytes |"),
        format!("| a message to a device | {TO_CLIENT_BYTES_MAX} bytes |"),
        format!("| seats of a table | {SEATS_MIN} to {SEATS_MAX} |"),
        format!("| cards in a hand | {HAND_CARDS} |"),
        format!("| faces of a match group | {GROUP_CARDS_MIN} to {GROUP_CARDS_MAX} |"),
        format!("| match groups of a deck | {GROUPS_MAX} |"),
        format!("| letters of a word | {WORD_LETTERS_MIN} to {WORD_LETTERS_MAX} |"),
        format!("| names on a class list | {PUPILS_MAX} |"),
        format!("| a nickname | {NICKNAME_CHARS_MAX} characters |"),
        format!("| pictures in a row | {JOIN_ROW_PICTURES} |"),
        format!("| cheers of one seat between two rounds | {CHEERS_EACH_MAX} |"),
        format!("({CLASS_LIST_BYTES_MAX} bytes)"),
    ] {
        assert!(DOCUMENT.contains(&line), "WIRE.md does not say: {line}");
    }
    for codec in handround_protocol::codec::Codec::ALL {
        assert!(DOCUMENT.contains(codec.name()));
    }
}
