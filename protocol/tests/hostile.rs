//! Frames that no device of ours sends: each gets the close code it deserves, costs little memory
//! and stops nothing.
#![allow(clippy::unwrap_used)]

mod common;

use handround_protocol::close::Close;
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::id::Ask;
use handround_protocol::limits::{TO_CLIENT_BYTES_MAX, TO_SERVER_BYTES_MAX};
use handround_protocol::message::{SeatSays, ToServer};
use peak_alloc::PeakAlloc;
use proptest::prelude::*;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

fn text(text: &str) -> Payload {
    Payload::Text(text.into())
}

fn bytes(hex: &str) -> Payload {
    let digits: String = hex.split_whitespace().collect();
    let pair = |n: usize| u8::from_str_radix(&digits[n..n + 2], 16).unwrap();
    Payload::Binary((0..digits.len()).step_by(2).map(pair).collect())
}

#[test]
fn malformed_frames_are_told_apart() {
    use Close::{Malformed, WrongFrameKind};
    use Codec::{Bincode, Json};
    let undo = r#"{"Seat":{"ask":1,"says":"Undo"}}"#;
    let huge = |digits: &str| {
        format!(
            r#"{{"Seat":{{"ask":1,"says":{{"CueShown":{{"cue":"{0}","shown":{digits}}}}}}}}}"#,
            "5a".repeat(16)
        )
    };
    let cases = [
        ("an honest text", Json, text(undo), None),
        ("honest bytes", Bincode, bytes("01 01 04"), None),
        ("nothing at all", Json, text(""), Some(Malformed)),
        ("no bytes at all", Bincode, bytes(""), Some(Malformed)),
        ("text on bincode", Bincode, text(undo), Some(WrongFrameKind)),
        ("bytes on JSON", Json, Payload::Binary(undo.into()), Some(WrongFrameKind)),
        ("text left over", Json, text(&format!("{undo} 1")), Some(Malformed)),
        ("two messages", Json, text(&format!("{undo}{undo}")), Some(Malformed)),
        ("one byte left over", Bincode, bytes("01 01 04 00"), Some(Malformed)),
        ("cut short", Json, text(&undo[..undo.len() - 1]), Some(Malformed)),
        ("bytes cut short", Bincode, bytes("01 01"), Some(Malformed)),
        ("an unknown message", Json, text(r#"{"Cheat":1}"#), Some(Malformed)),
        ("an unknown move", Json, text(r#"{"Seat":{"ask":1,"says":"Peek"}}"#), Some(Malformed)),
        (
            "a message of the other side",
            Json,
            text(r#"{"Cue":{"round":1,"nonce":"00"}}"#),
            Some(Malformed),
        ),
        ("an unknown variant number", Bincode, bytes("63 01 04"), Some(Malformed)),
        ("an unknown move number", Bincode, bytes("01 01 63"), Some(Malformed)),
        (
            "a nonce too short",
            Json,
            text(r#"{"Seat":{"ask":1,"says":{"CueShown":{"cue":"5a","shown":1}}}}"#),
            Some(Malformed),
        ),
        ("a nonce that is not hex", Json, text(&huge("1").replace("5a5a", "5aß")), Some(Malformed)),
        ("a signed nonce", Json, text(&huge("1").replace("5a5a", "+a+a")), Some(Malformed)),
        ("the largest time", Json, text(&huge("9007199254740991")), None),
        ("a time beyond 2^53", Json, text(&huge("9007199254740992")), Some(Malformed)),
        ("a time beyond 64 bits", Json, text(&huge("99999999999999999999")), Some(Malformed)),
        ("a time below zero", Json, text(&huge("-1")), Some(Malformed)),
        ("a time with a fraction", Json, text(&huge("1.5")), Some(Malformed)),
        ("a time of all ones", Bincode, bytes("03 fd ff ff ff ff ff ff ff ff"), Some(Malformed)),
        ("a truth that is neither", Bincode, bytes("01 01 08 02"), Some(Malformed)),
        ("a key twice", Json, text(r#"{"Seat":{"ask":1,"ask":2,"says":"Undo"}}"#), Some(Malformed)),
        ("a key missing", Json, text(r#"{"Seat":{"says":"Undo"}}"#), Some(Malformed)),
        (
            "an unpaired surrogate",
            Json,
            text(r#"{"Seat":{"ask":1,"says":"\ud800"}}"#),
            Some(Malformed),
        ),
    ];
    for (name, codec, payload, offence) in cases {
        let decoded = codec.decode_to_server(&payload);
        assert_eq!(decoded.err(), offence, "{name}");
    }
}

/// A parser that recurses would overflow its stack. serde_json stops at 128 levels where a value is
/// wanted, and passes over what stands under an unknown key without recursion.
#[test]
fn deep_nesting_does_no_harm() {
    for (open, close) in [("[", "]"), (r#"{"Seat":"#, "}")] {
        let most = (TO_SERVER_BYTES_MAX - 40) / (open.len() + close.len());
        for depth in [200, most] {
            let deep = open.repeat(depth) + "1" + &close.repeat(depth);
            assert_eq!(Codec::Json.decode_to_server(&text(&deep)), Err(Close::Malformed));
            let wanted = format!(r#"{{"Seat":{{"ask":1,"says":{deep}}}}}"#);
            assert_eq!(Codec::Json.decode_to_server(&text(&wanted)), Err(Close::Malformed));
            let unknown = format!(r#"{{"Seat":{{"ask":1,"says":"Undo","x":{deep}}}}}"#);
            let undo = ToServer::Seat { ask: Ask(1), says: SeatSays::Undo };
            assert_eq!(Codec::Json.decode_to_server(&text(&unknown)), Ok(undo));
        }
    }
}

/// The size is checked before anything is parsed: a frame of spaces one byte over the cap is too
/// large, and at the cap merely malformed.
#[test]
fn size_comes_first() {
    for (most, decode) in [
        (
            TO_SERVER_BYTES_MAX,
            (|c, p| Codec::decode_to_server(c, p).err()) as fn(Codec, &Payload) -> _,
        ),
        (TO_CLIENT_BYTES_MAX, |c, p| Codec::decode_to_client(c, p).err()),
    ] {
        for codec in Codec::ALL {
            for (length, offence) in [(most, Close::Malformed), (most + 1, Close::TooLarge)] {
                let payload = match codec {
                    Codec::Json => Payload::Text(" ".repeat(length)),
                    Codec::Bincode => Payload::Binary(vec![0xff; length]),
                };
                assert_eq!(decode(codec, &payload), Some(offence), "{codec:?} {length}");
            }
            // Even a frame of the wrong kind is first of all too large.
            let wrong = match codec {
                Codec::Json => Payload::Binary(vec![0; most + 1]),
                Codec::Bincode => Payload::Text(" ".repeat(most + 1)),
            };
            assert_eq!(decode(codec, &wrong), Some(Close::TooLarge));
        }
    }
}

/// The most that one frame may make a decoder claim at once: bincode's own limit and the frame's
/// size again for what it holds. Other tests of this file run beside this one, hence the margin.
const CLAIM_BYTES_MAX: usize = 2 * 8 * TO_CLIENT_BYTES_MAX;

/// A length prefix is a claim. Written with bincode's widest integer in front of nothing, it must
/// not be believed.
#[test]
fn a_claimed_length_is_not_believed() {
    let length = "fd ff ff ff ff ff ff ff 7f";
    let frames = [
        ("letters of a word", bytes(&format!("02 01 04 00 01 {length}"))),
        ("seats of a table", bytes(&format!("01 01 01 01 01 02 00 00 05 00 02 09 01 {length}"))),
        ("pictures of a wall", bytes(&format!("06 00 01 {length}"))),
        ("a name on the wall", bytes(&format!("06 {length}"))),
    ];
    for (name, frame) in frames {
        let before = MEMORY.current_usage();
        MEMORY.reset_peak_usage();
        let server = Codec::Bincode.decode_to_server(&frame);
        let client = Codec::Bincode.decode_to_client(&frame);
        let claimed = MEMORY.peak_usage().saturating_sub(before);
        assert!(server.is_err() && client.is_err(), "{name}");
        assert!(claimed < CLAIM_BYTES_MAX, "{name}: {claimed} bytes were claimed");
    }
}

/// Decodes anything; what can be read must be written and read again as the same message.
fn survives(payload: &Payload) {
    for codec in Codec::ALL {
        if let Ok(message) = codec.decode_to_server(payload) {
            let written = codec.encode_to_server(&message).unwrap();
            assert_eq!(codec.decode_to_server(&written), Ok(message));
        }
        if let Ok(message) = codec.decode_to_client(payload) {
            let written = codec.encode_to_client(&message).unwrap();
            assert_eq!(codec.decode_to_client(&written), Ok(message));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 2_000, failure_persistence: None, ..ProptestConfig::default()
    })]

    #[test]
    fn random_bytes_do_no_harm(bytes in prop::collection::vec(any::<u8>(), 0..400), s in ".{0,200}") {
        let before = MEMORY.current_usage();
        MEMORY.reset_peak_usage();
        survives(&Payload::Binary(bytes));
        survives(&Payload::Text(s));
        prop_assert!(MEMORY.peak_usage().saturating_sub(before) < CLAIM_BYTES_MAX);
    }

    /// Real messages with a few bytes changed come much further into the decoder.
    #[test]
    fn spoiled_messages_do_no_harm(
        pick in any::<prop::sample::Index>(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..5),
        cut in any::<prop::sample::Index>(),
    ) {
        let messages = common::to_client();
        let (_, message) = &messages[pick.index(messages.len())];
        for codec in Codec::ALL {
            let mut bytes = match codec.encode_to_client(message).unwrap() {
                Payload::Binary(bytes) => bytes,
                Payload::Text(text) => text.into_bytes(),
            };
            for (place, value) in &changes {
                let place = place.index(bytes.len());
                bytes[place] = *value;
            }
            bytes.truncate(cut.index(2 * bytes.len()).max(1));
            if let Ok(text) = String::from_utf8(bytes.clone()) {
                survives(&Payload::Text(text));
            }
            survives(&Payload::Binary(bytes));
        }
    }
}

/// Hex is hex in either case, and always written in lower case.
#[test]
fn ids_are_read_in_either_case() {
    let lower = r#"{"Hello":{"credential":{"Seat":"0a0b0c0d0e0f0a0b0c0d0e0f0a0b0c0d"},"resume":null,"clock_step":5}}"#;
    let upper =
        lower.replace("0a0b0c0d0e0f0a0b0c0d0e0f0a0b0c0d", "0A0B0C0D0E0F0A0B0C0D0E0F0A0B0C0D");
    let message: ToServer = Codec::Json.decode_to_server(&text(&upper)).unwrap();
    assert_eq!(Codec::Json.encode_to_server(&message).unwrap(), text(lower));
}
