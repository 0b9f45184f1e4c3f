//! A seat against a server that follows a script: what it says when it comes back, and when it
//! stays away. Whole games run against the real server, in the workspace's tests.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::draw::tests::view;
use crate::http::Http;
use futures_util::{SinkExt as _, StreamExt as _};
use handround_protocol::codec::Payload;
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{Nonce, RoundNumber, SeatIndex, TableId};
use handround_protocol::message::SeatNews;
use tokio::net::TcpListener;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::handshake::server::{Request, Response};
use tokio_tungstenite::tungstenite::protocol::CloseFrame;
use tokio_tungstenite::tungstenite::protocol::frame::coding::CloseCode;

const DECK: DeckId = DeckId([1; 16]);
const NEXT_DECK: DeckId = DeckId([2; 16]);

/// What the server does on one connection after it has read hello.
struct Connection {
    resume: Option<u32>,
    says: Vec<ToClient>,
    /// A close code, or a link that just breaks.
    then: Option<u16>,
}

fn welcome(deck: DeckId) -> ToClient {
    ToClient::Welcome(Welcome::Seat { table: TableId([3; 16]), seat: SeatIndex(1), deck })
}

fn news(number: u32, news: SeatNews) -> ToClient {
    ToClient::Seat { number: SeatNumber(number), news }
}

fn snapshot(number: u32) -> ToClient {
    news(number, SeatNews::Snapshot(view("abcd", "")))
}

fn hand(number: u32, considering: &str) -> ToClient {
    news(number, SeatNews::Hand(view("abcd", considering).hand))
}

/// Serves the script and fails if a hello is another one than expected.
async fn serve(listener: TcpListener, script: Vec<Connection>) {
    for connection in script {
        let (stream, _) = listener.accept().await.unwrap();
        #[allow(clippy::result_large_err)] // The callback's type is tungstenite's.
        let choose = |request: &Request, mut response: Response| {
            let wanted = request.headers()["sec-websocket-protocol"].clone();
            response.headers_mut().insert("sec-websocket-protocol", wanted);
            Ok(response)
        };
        let mut socket = tokio_tungstenite::accept_hdr_async(stream, choose).await.unwrap();
        let Message::Text(hello) = socket.next().await.unwrap().unwrap() else { panic!("no text") };
        let hello = Codec::Json.decode_to_server(&Payload::Text(hello.as_str().into()));
        let ToServer::Hello(hello) = hello.unwrap() else { panic!("no hello") };
        assert_eq!(hello.resume, connection.resume.map(SeatNumber));
        for message in &connection.says {
            let Payload::Text(text) = Codec::Json.encode_to_client(message).unwrap() else {
                panic!("JSON is text")
            };
            // A seat that has closed meanwhile reads no more.
            let _ = socket.send(Message::text(text)).await;
        }
        if let Some(code) = connection.then {
            let frame = CloseFrame { code: CloseCode::from(code), reason: "as scripted".into() };
            let _ = socket.close(Some(frame)).await;
        }
    }
}

/// Plays the script and notes what happens, until the seat is lost or nothing more comes.
async fn play(script: Vec<Connection>) -> (Seat, Vec<String>) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let server: Server = listener.local_addr().unwrap().to_string().parse().unwrap();
    let connections = script.len();
    let serving = tokio::spawn(serve(listener, script));
    let sheet = |deck, name: &str| FaceSheet::plain(deck, name.into(), Vec::new());
    let sheets = Sheets::new(Http::new(server.clone(), None));
    let sheets = sheets.with(sheet(DECK, "first")).with(sheet(NEXT_DECK, "second"));
    let mut seat = Seat::new(server, sheets, Codec::Json, Token([9; 16]));
    let mut log = Vec::new();
    let mut breaks = 0;
    // After its last connection the script would leave the seat trying for minutes.
    while breaks < connections {
        match seat.next().await {
            Ok(Happening::View) => log.push(format!("view {}", seat.last.unwrap().0)),
            Ok(Happening::Refused(refusal)) => log.push(refusal.to_string()),
            Ok(Happening::Away) => {
                breaks += 1;
                log.push("away".into());
            }
            Err(_) => {
                log.push("lost".into());
                break;
            }
        }
    }
    serving.await.unwrap();
    (seat, log)
}

#[tokio::test]
async fn a_seat_comes_back_with_the_last_number_it_has() {
    let (seat, log) = play(vec![
        Connection {
            resume: None,
            says: vec![welcome(DECK), snapshot(41), hand(42, "a")],
            then: None,
        },
        Connection { resume: Some(42), says: vec![welcome(DECK), hand(43, "")], then: Some(4005) },
        Connection { resume: Some(43), says: vec![welcome(DECK), snapshot(90)], then: Some(4006) },
    ])
    .await;
    assert_eq!(log, ["view 41", "view 42", "away", "view 43", "away", "view 90", "lost"]);
    assert!(seat.view.unwrap().hand.unwrap().considering.is_none());
}

#[tokio::test]
async fn a_gap_in_the_numbers_asks_for_everything_anew() {
    let (_, log) = play(vec![
        Connection {
            resume: None,
            says: vec![welcome(DECK), snapshot(5), hand(7, "a")],
            then: None,
        },
        Connection { resume: None, says: vec![welcome(DECK), snapshot(8)], then: Some(1001) },
    ])
    .await;
    assert_eq!(log, ["view 5", "away", "view 8", "away"]);
}

#[tokio::test]
async fn a_seat_that_is_not_wanted_stays_away() {
    for code in [1003, 1007, 1009, 4001, 4002, 4003, 4004, 4006] {
        let (_, log) = play(vec![Connection {
            resume: None,
            says: vec![welcome(DECK), snapshot(1)],
            then: Some(code),
        }])
        .await;
        assert_eq!(log, ["view 1", "lost"], "{code}");
    }
}

#[tokio::test]
async fn a_cue_counts_once_whichever_way_it_comes_first() {
    let nonce = Nonce([7; 16]);
    let mut cued = view("abcd", "").grab;
    cued.cue = Some(nonce);
    let (seat, log) = play(vec![Connection {
        resume: None,
        says: vec![
            welcome(DECK),
            snapshot(1),
            // One of an old round, then the real one, which the numbered news repeats.
            ToClient::Cue { round: RoundNumber(1), nonce: Nonce([6; 16]) },
            ToClient::Cue { round: RoundNumber(2), nonce },
            news(2, SeatNews::Grab(cued)),
            ToClient::Cue { round: RoundNumber(2), nonce },
        ],
        then: Some(4006),
    }])
    .await;
    assert_eq!(log, ["view 1", "view 1", "view 2", "lost"]);
    assert_eq!(seat.view.unwrap().grab.cue, Some(nonce));
}

#[tokio::test]
async fn a_new_deck_is_loaded_before_its_first_deal() {
    let (seat, log) = play(vec![Connection {
        resume: None,
        says: vec![welcome(DECK), snapshot(1), welcome(NEXT_DECK), hand(2, "a")],
        then: Some(4006),
    }])
    .await;
    assert_eq!(log, ["view 1", "view 2", "lost"]);
    assert_eq!(seat.sheet.unwrap().faces.name, "second");
}
