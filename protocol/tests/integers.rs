//! The largest and smallest integers through both codecs, and through JavaScript: what Node parses
//! and writes again is the same text, so that no page rounds a number.
#![allow(clippy::unwrap_used)]

mod common;

use handround_protocol::codec::{Codec, Payload};
use handround_protocol::id::*;
use handround_protocol::message::*;
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::*;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// Every kind of number on the wire at one of its ends.
fn to_server(largest: bool) -> Vec<ToServer> {
    let pick = |most: u64| if largest { most } else { 0 };
    let (micros, small) = (Micros(pick(Micros::MAX.0)), u8::try_from(pick(255)).unwrap());
    let (wide, middle) =
        (u32::try_from(pick(u32::MAX.into())).unwrap(), u16::try_from(pick(65_535)).unwrap());
    let cue = Some(GrabCue { nonce: Nonce([small; 16]), shown: micros });
    let plan = LessonPlan {
        number_min: middle,
        number_max: middle,
        groups: small,
        tray_limit: small,
        ..common::plan()
    };
    vec![
        ToServer::ClockAsk { device: micros },
        ToServer::ClockTold { nonce: Nonce([small; 16]), received: micros, answered: micros },
        ToServer::Hello(Hello {
            credential: Credential::Seat(Token([small; 16])),
            resume: Some(SeatNumber(wide)),
            clock_step: micros,
        }),
        ToServer::Seat {
            ask: Ask(wide),
            says: SeatSays::Grab(Grab { cue, tap: micros, token: small }),
        },
        ToServer::Seat { ask: Ask(wide), says: SeatSays::DealShown { round: RoundNumber(wide) } },
        ToServer::Board {
            ask: Ask(wide),
            says: BoardSays::FreePlace { pupil: PupilIndex(middle) },
        },
        ToServer::Board { ask: Ask(wide), says: BoardSays::Plan(plan) },
    ]
}

fn to_client(largest: bool) -> Vec<ToClient> {
    let pick = |most: u64| if largest { most } else { 0 };
    let (micros, small) = (Micros(pick(Micros::MAX.0)), u8::try_from(pick(255)).unwrap());
    let (wide, middle) =
        (u32::try_from(pick(u32::MAX.into())).unwrap(), u16::try_from(pick(65_535)).unwrap());
    let mut snapshot = common::seat_view();
    snapshot.you = SeatIndex(small);
    snapshot.table.game = GameNumber(wide);
    snapshot.table.round = RoundNumber(wide);
    snapshot.table.draw_pile = middle;
    snapshot.table.discard_pile = middle;
    snapshot.table.seats[0].waiting = small;
    snapshot.table.seats[0].laid_down = vec![FaceIndex(middle)];
    snapshot.grab.taps = middle;
    snapshot.grab.tap = Tap::TooSoon { wait_ms: wide };
    let mut ruling = common::ruling_view(RoundEnd::AllLaidDown);
    ruling.next_deal_ms = wide;
    ruling.winners = vec![SeatIndex(small)];
    snapshot.ruling = Some(ruling);
    let mut board = common::board_view();
    board.tables[0].seats[0] = BoardSeat {
        pupil: Some(PupilIndex(middle)),
        here: true,
        stand_in: false,
        waiting_s: middle,
        false_grabs: middle,
        link: None,
        care: CareView::default(),
        help_s: middle,
        support: Some(Support {
            helpers: vec![HelperGiven {
                helper: Helper::DotsUnder,
                held: false,
                right_uses: middle,
            }],
            ..Support::default()
        }),
    };
    vec![
        ToClient::Clock { device: micros, received: micros, sent: micros },
        ToClient::Seat { number: SeatNumber(wide), news: SeatNews::Snapshot(snapshot) },
        ToClient::Board(board),
    ]
}

/// Sends each line through Node's JSON.parse and JSON.stringify.
fn through_node(lines: &[String]) -> Vec<String> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/outside/integers.mjs");
    let mut node = Command::new("node")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("this test needs Node on the PATH (Debian: apt-get install nodejs)");
    node.stdin.take().unwrap().write_all(lines.join("\n").as_bytes()).unwrap();
    let output = node.wait_with_output().unwrap();
    assert!(output.status.success(), "{script} failed");
    String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
}

#[test]
fn the_ends_of_every_number_survive_both_codecs_and_node() {
    let mut lines = Vec::new();
    for largest in [false, true] {
        for message in to_server(largest) {
            for codec in Codec::ALL {
                let payload = codec.encode_to_server(&message).unwrap();
                assert_eq!(codec.decode_to_server(&payload), Ok(message.clone()));
                lines.extend(text(payload));
            }
        }
        for message in to_client(largest) {
            for codec in Codec::ALL {
                let payload = codec.encode_to_client(&message).unwrap();
                assert_eq!(codec.decode_to_client(&payload), Ok(message.clone()));
                lines.extend(text(payload));
            }
        }
    }
    assert!(lines.iter().any(|line| line.contains("9007199254740991")));
    assert_eq!(through_node(&lines), lines);
}

/// The check can fail: one more than the largest time does not survive Node.
#[test]
fn node_would_round_what_lies_beyond() {
    let beyond = "9007199254740993".to_owned();
    assert_ne!(through_node(std::slice::from_ref(&beyond)), [beyond]);
}

fn text(payload: Payload) -> Option<String> {
    match payload {
        Payload::Text(text) => Some(text),
        Payload::Binary(_) => None,
    }
}
