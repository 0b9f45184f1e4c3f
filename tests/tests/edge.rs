//! The edge without a lesson behind it: who is let in, by which door, and what every answer carries.

#![allow(clippy::unwrap_used)]

use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{DeckId, LessonId, Token};
use handround_protocol::join::{JoinRow, LessonLine};
use handround_protocol::limits::{CLASS_LIST_BYTES_MAX, TO_SERVER_BYTES_MAX};
use handround_protocol::picture::Picture;
use handround_server::web::TeacherKey;
use handround_tests::house::{Answer, House, ME, TEACHER_KEY};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::protocol::frame::Frame;
use tokio_tungstenite::tungstenite::protocol::frame::coding::{Data, OpCode};

/// The opening handshake of RFC 6455 section 1.3, with its key.
const HANDSHAKE: [&str; 3] = [
    "Upgrade: websocket",
    "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
    "Sec-WebSocket-Version: 13",
];
const BOTH: &str = "Sec-WebSocket-Protocol: handround.v1.json, handround.v1.bincode";

/// Asks for a socket and reads the answer's head.
async fn upgrade(house: &House, headers: &[&str]) -> Answer {
    let mut stream = TcpStream::connect(house.address).await.unwrap();
    let mut request = format!("GET /ws HTTP/1.1\r\nHost: {}\r\n", house.address);
    for header in [&["Connection: keep-alive, Upgrade"], headers].concat() {
        request.push_str(header);
        request.push_str("\r\n");
    }
    stream.write_all(format!("{request}\r\n").as_bytes()).await.unwrap();
    let mut head = Vec::new();
    while !head.ends_with(b"\r\n\r\n") {
        head.push(stream.read_u8().await.unwrap());
    }
    Answer::parse(&head)
}

/// Source: RFC 6455 section 1.3 gives the accept value for the key above.
#[tokio::test]
async fn the_handshake_is_that_of_rfc_6455() {
    let house = House::open().await;
    let answer = upgrade(&house, &[&HANDSHAKE[..], &[BOTH]].concat()).await;
    assert_eq!(answer.status, 101);
    assert_eq!(answer.header("sec-websocket-accept"), Some("s3pPLMBiTxaQ9kYGzzhZRbK+xOo="));
    assert_eq!(answer.header("upgrade"), Some("websocket"));
}

#[tokio::test]
async fn the_device_prefers_one_subprotocol_and_gets_it() {
    let house = House::open().await;
    let table = [
        ("handround.v1.json, handround.v1.bincode", "handround.v1.json"),
        ("handround.v1.bincode,handround.v1.json", "handround.v1.bincode"),
        ("something.else, handround.v1.json", "handround.v1.json"),
        ("handround.v1.json", "handround.v1.json"),
    ];
    for (wanted, chosen) in table {
        let wanted = format!("Sec-WebSocket-Protocol: {wanted}");
        let answer = upgrade(&house, &[&HANDSHAKE[..], &[&wanted]].concat()).await;
        assert_eq!(answer.status, 101);
        assert_eq!(answer.header("sec-websocket-protocol"), Some(chosen), "{wanted}");
    }
}

#[tokio::test]
async fn what_is_no_honest_handshake_is_refused_before_a_socket_exists() {
    let house = House::open().await;
    let own = format!("Origin: http://{}", house.address);
    let [websocket, key, version] = HANDSHAKE;
    let other = "Origin: http://other.example";
    let unknown = "Sec-WebSocket-Protocol: handround.v2.json";
    let table: [(&str, u16, &[&str]); 9] = [
        ("own page", 101, &[websocket, key, version, BOTH, &own]),
        ("page of another site", 403, &[websocket, key, version, BOTH, other]),
        ("sandboxed page", 403, &[websocket, key, version, BOTH, "Origin: null"]),
        ("no subprotocol", 400, &[websocket, key, version]),
        ("unknown subprotocol", 400, &[websocket, key, version, unknown]),
        ("no upgrade", 426, &[BOTH]),
        ("no key", 426, &[websocket, version, BOTH]),
        ("short key", 426, &[websocket, "Sec-WebSocket-Key: short", version, BOTH]),
        ("old version", 426, &[websocket, key, "Sec-WebSocket-Version: 8", BOTH]),
    ];
    for (case, status, headers) in table {
        assert_eq!(upgrade(&house, headers).await.status, status, "{case}");
    }
    assert_eq!(house.ask("POST /ws", &[], b"").await.status, 405);
}

/// Values as the OWASP Secure Headers Project advises, from memory; the policy is CSP level 3.
#[tokio::test]
async fn every_answer_carries_the_strict_headers() {
    let house = House::open().await;
    let lines = [
        "GET /health",
        "GET /teacher?key=wrong",
        "GET /lessons",
        "GET /nowhere",
        "GET /ws",
        "PUT /",
        "GET /pages/../Cargo.toml",
    ];
    let mut answers = Vec::new();
    for line in lines {
        answers.push((line, house.ask(line, &[], b"").await));
    }
    answers.push(("an upgrade", upgrade(&house, &[&HANDSHAKE[..], &[BOTH]].concat()).await));
    for (line, answer) in answers {
        let policy = answer.header("content-security-policy").unwrap();
        for part in ["default-src", "form-action"] {
            assert!(policy.contains(&format!("{part} 'self'")), "{line}: {policy}");
        }
        for part in ["object-src", "base-uri", "frame-ancestors"] {
            assert!(policy.contains(&format!("{part} 'none'")), "{line}: {policy}");
        }
        assert!(!policy.contains("unsafe"), "{line}: {policy}");
        let table = [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "no-referrer"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
            ("cache-control", "no-store"),
        ];
        for (name, value) in table {
            assert_eq!(answer.header(name), Some(value), "{line}: {name}");
        }
    }
}

#[tokio::test]
async fn the_printed_key_opens_one_browser_once() {
    let house = House::open().await;
    let with_key = format!("GET /teacher?key={}", house.one_time_key);

    let looked = house.ask(&with_key.replace("GET", "HEAD"), &[], b"").await;
    assert_eq!(looked.header("set-cookie"), None, "a link checker does not use the key up");
    let stranger = house.ask(&with_key, &["Origin: http://other.example"], b"").await;
    assert_eq!(stranger.status, 403, "a page of another site does not either");

    let first = house.ask(&with_key, &[], b"").await;
    assert_eq!((first.status, first.header("location")), (303, Some("/teacher")));
    let cookie = first.header("set-cookie").unwrap();
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Secure"), "a browser would not send it over plain HTTP");
    assert!(!cookie.contains(&house.one_time_key), "the cookie is not the key");

    let second = house.ask(&with_key, &[], b"").await;
    assert_eq!((second.status, second.header("set-cookie")), (403, None));
    assert!(String::from_utf8_lossy(&second.body).contains("has been used"));

    let session = cookie.split(';').next().unwrap();
    let cookie = format!("Cookie: theme=dark; {session}");
    let same_browser = house.ask(&with_key, &[&cookie], b"").await;
    assert_eq!(same_browser.status, 303, "the same browser is signed in already");

    let secret = session.split_once('=').unwrap().1;
    let bearer = |secret: &str| format!("Authorization: Bearer {secret}");
    for way in [&cookie, &bearer(secret), &bearer(TEACHER_KEY)] {
        let lessons = house.ask("GET /lessons", &[way], b"").await;
        assert_eq!((lessons.status, lessons.json::<Vec<LessonLine>>()), (200, vec![]), "{way}");
    }
    let from_elsewhere = [cookie.as_str(), "Origin: http://other.example"];
    assert_eq!(house.ask("GET /lessons", &from_elsewhere, b"").await.status, 403);
}

#[tokio::test]
async fn behind_https_the_cookie_is_for_https_alone() {
    let house = House::open().await;
    let with_key = format!("GET /teacher?key={TEACHER_KEY}");
    let answer = house.ask(&with_key, &["X-Forwarded-Proto: https"], b"").await;
    assert!(answer.header("set-cookie").unwrap().contains("; Secure"));
}

#[tokio::test]
async fn nobody_else_is_a_teacher() {
    let house = House::open().await;
    // The printed key is for a browser; as a bearer it would work more than once.
    let one_time = format!("Authorization: Bearer {}", house.one_time_key);
    let table = [
        "X-Nothing: at all",
        "Authorization: Bearer wrong",
        "Authorization: Basic YTpi",
        "Cookie: handround_session=00000000000000000000000000000000",
        "Cookie: handround_session=",
        &one_time,
    ];
    for header in table {
        for line in ["GET /lessons", "POST /lessons?name=x", "POST /lessons/00/partners"] {
            let answer = house.ask(line, &[header], b"").await;
            assert_eq!(answer.status, 401, "{line} with {header}");
            assert!(answer.refusal().message.contains("teacher"));
        }
    }
    let wrong = house.ask("GET /teacher?key=wrong", &[], b"").await;
    assert_eq!((wrong.status, wrong.header("set-cookie")), (403, None));
    for short in ["", "secret", "fifteen-letters", "with a space in it", "käsebrot-käsebrot"] {
        assert!(short.parse::<TeacherKey>().is_err(), "{short}");
    }
}

/// Issue 2, bad input: a 10 MB file gets a clear message, not a broken connection.
#[tokio::test]
async fn a_file_that_is_too_large_is_refused_in_a_sentence() {
    let house = House::open().await;
    for bytes in [CLASS_LIST_BYTES_MAX + 1, 10_000_000] {
        let answer = house.ask_as_teacher("POST /lessons?name=Oak", &vec![b'a'; bytes]).await;
        assert_eq!(answer.status, 413, "{bytes} bytes");
        assert!(answer.refusal().message.contains("64 KB"), "{:?}", answer.refusal());
    }
    let stranger = house.ask("POST /lessons?name=Oak", &[], &vec![b'a'; 10_000_000]).await;
    assert_eq!(stranger.status, 401, "her sign-in has ended; she reads that");
    let head = |lines: &str| {
        let head =
            format!("POST /lessons HTTP/1.1\r\nHost: {}\r\nConnection: close", house.address);
        format!("{head}\r\nAuthorization: Bearer {TEACHER_KEY}\r\n{lines}\r\n\r\n").into_bytes()
    };
    // The same without saying how much will come (RFC 9112 section 7.1).
    let mut chunked = head("Transfer-Encoding: chunked");
    for _ in 0..160 {
        chunked.extend_from_slice(b"10000\r\n");
        chunked.extend_from_slice(&[b'a'; 0x10000]);
        chunked.extend_from_slice(b"\r\n");
    }
    chunked.extend_from_slice(b"0\r\n\r\n");
    assert_eq!(house.exchange(&chunked).await.status, 413);
    // A client that asks first is told first (RFC 9110 section 10.1.1): nothing was sent yet.
    let asking = head("Expect: 100-continue\r\nContent-Length: 10000000");
    assert_eq!(house.exchange(&asking).await.status, 413);
    assert_eq!(house.hub.lessons(ME).await, [], "no lesson was made");
}

#[tokio::test]
async fn joining_with_nonsense_is_refused_and_guessing_soon_waits() {
    let house = House::open().await;
    let nobody = "\"00000000000000000000000000000000\"";
    let table = [
        ("POST /join/row", String::new(), 400),
        ("POST /join/row", "{\"row\":[\"unicorn\"]}".into(), 400),
        ("POST /join/row", " ".repeat(10_000), 413),
        ("POST /join/link", "{\"code\":\"12\"}".into(), 400),
        ("POST /join/link", format!("{{\"code\":{nobody}}}"), 404),
        ("POST /join/place", format!("{{\"ticket\":{nobody},\"pupil\":0}}"), 409),
        ("POST /join/place", format!("{{\"ticket\":{nobody},\"pupil\":-1}}"), 400),
    ];
    for (line, body, status) in table {
        let answer = house.ask(line, &[], body.as_bytes()).await;
        assert_eq!(answer.status, status, "{line} {body}");
        assert!(!answer.refusal().message.is_empty());
    }
    let row = JoinRow { row: vec![Picture::Apple, Picture::Ball, Picture::Boat, Picture::Book] };
    let mut statuses = Vec::new();
    for _ in 0..400 {
        let answer = house.post("/join/row", &row).await;
        if answer.status == 429 {
            assert_eq!(answer.header("retry-after"), Some("2"));
        }
        statuses.push(answer.status);
    }
    assert_eq!(statuses[..100], [404; 100], "a class behind one address may err");
    assert!(statuses.contains(&429), "a guesser waits");
}

/// One frame each, and the close code that the device gets.
#[tokio::test]
async fn a_frame_that_breaks_the_protocol_gets_its_close_code() {
    let house = House::open().await;
    let stranger = Token([7; 16]);
    let text = |text: &str| Message::text(text.to_owned());
    let binary = |bytes: &[u8]| Message::binary(bytes.to_vec());
    let hello = |credential: &str| {
        let rest = "\"resume\":null,\"clock_step\":100";
        Message::text(format!("{{\"Hello\":{{\"credential\":{credential},{rest}}}}}"))
    };
    let long = " ".repeat(TO_SERVER_BYTES_MAX + 1);
    let ask = "{\"ClockAsk\":{\"device\":5}}";
    let table = [
        (Codec::Json, binary(b"{}"), Close::WrongFrameKind),
        (Codec::Bincode, text("{}"), Close::WrongFrameKind),
        (Codec::Json, text("{\"Hel"), Close::Malformed),
        (Codec::Json, text("{\"Dance\":{}}"), Close::Malformed),
        (Codec::Json, text(""), Close::Malformed),
        (Codec::Json, text(&format!("{ask}{ask}")), Close::Malformed),
        (Codec::Bincode, binary(b""), Close::Malformed),
        (Codec::Bincode, binary(&[0xff; 40]), Close::Malformed),
        // The fourth message, `ClockAsk`, with a byte left over; below without.
        (Codec::Bincode, binary(&[3, 5, 0]), Close::Malformed),
        (Codec::Json, text(&long), Close::TooLarge),
        (Codec::Bincode, binary(&vec![0; 1_000_000]), Close::TooLarge),
        (Codec::Json, text(ask), Close::HelloExpected),
        (Codec::Bincode, binary(&[3, 5]), Close::HelloExpected),
        (Codec::Json, hello(&format!("{{\"Seat\":\"{stranger}\"}}")), Close::UnknownCredential),
        (Codec::Json, hello(&format!("{{\"Wall\":\"{stranger}\"}}")), Close::UnknownCredential),
        (Codec::Json, hello(&format!("{{\"Board\":\"{stranger}\"}}")), Close::UnknownCredential),
        (Codec::Json, hello("{\"Seat\":\"short\"}"), Close::Malformed),
    ];
    for (codec, frame, close) in table {
        let case = format!("{codec:?} {}", frame.to_string().chars().take(60).collect::<String>());
        let mut device = house.socket(codec, &[]).await;
        device.send(frame).await;
        assert_eq!(device.closed().await, (close.code(), close.reason().to_owned()), "{case}");
    }
}

#[tokio::test]
async fn frames_that_are_wrong_in_themselves_are_closed_too() {
    let house = House::open().await;
    let raw: [(&str, &[u8], Close); 3] = [
        // Final, text, masked with zeros (RFC 6455 section 5.2).
        ("no UTF-8", &[0x81, 0x82, 0, 0, 0, 0, 0xff, 0xfe], Close::Malformed),
        ("not masked, section 5.1", &[0x81, 0x01, b'{'], Close::Malformed),
        ("reserved bits, section 5.2", &[0xf1, 0x80, 0, 0, 0, 0], Close::Malformed),
    ];
    for (case, bytes, close) in raw {
        let mut device = house.socket(Codec::Json, &[]).await;
        device.socket.get_mut().write_all(bytes).await.unwrap();
        assert_eq!(device.closed().await.0, close.code(), "{case}");
    }
    // Two pieces, each within the cap, that are too large together.
    let mut device = house.socket(Codec::Bincode, &[]).await;
    for (kind, last) in [(Data::Binary, false), (Data::Continue, true)] {
        let piece = Frame::message(vec![0; TO_SERVER_BYTES_MAX - 1], OpCode::Data(kind), last);
        device.send(Message::Frame(piece)).await;
    }
    assert_eq!(device.closed().await.0, Close::TooLarge.code());
}

#[tokio::test]
async fn a_board_needs_a_lesson_as_well_as_a_teacher() {
    let house = House::open().await;
    let mut device = house.teacher_socket(Codec::Json).await;
    device.hello_board(LessonId([1; 16])).await;
    assert_eq!(device.closed().await.0, Close::UnknownCredential.code());
}

#[tokio::test]
async fn a_device_that_says_nothing_is_asked_to_say_hello() {
    let house = House::open().await;
    let mut device = house.socket(Codec::Json, &[]).await;
    assert_eq!(device.closed().await.0, Close::HelloExpected.code());
}

#[tokio::test]
async fn frames_faster_than_any_child_are_closed() {
    let house = House::open().await;
    let mut device = house.socket(Codec::Json, &[]).await;
    for _ in 0..2_000 {
        device.send(Message::Ping(vec![].into())).await;
    }
    assert_eq!(device.closed().await.0, Close::TooFrequent.code());
}

#[tokio::test]
async fn a_server_that_stops_says_so_to_every_device_and_ends() {
    let house = House::open().await;
    let mut devices = Vec::new();
    for _ in 0..20 {
        devices.push(house.socket(Codec::Json, &[]).await);
    }
    let address = house.address;
    // A connection that was used and is kept open for more.
    let mut idle = TcpStream::connect(address).await.unwrap();
    idle.write_all(b"GET /health HTTP/1.1\r\nHost: here\r\n\r\n").await.unwrap();
    let mut heard = Vec::new();
    while !heard.ends_with(b"ok\n") {
        heard.push(idle.read_u8().await.unwrap());
    }
    let hear = async {
        for device in &mut devices {
            assert_eq!(device.closed().await.0, Close::GoingAway.code());
        }
    };
    tokio::join!(house.close(), hear);
    assert_eq!(idle.read(&mut [0; 8]).await.unwrap(), 0, "an idle connection ends as well");
    assert!(TcpStream::connect(address).await.is_err(), "nobody listens any more");
}

#[tokio::test]
async fn every_address_that_is_handed_out_opens_a_page() {
    let house = House::open().await;
    let lesson = house.make_lesson("Ada\nBen\nCleo\n").await;
    let board = house.hub.board(ME, lesson).await.unwrap();
    let (join, wall, deck) = {
        let board = board.borrow();
        (board.join_url.clone(), board.wall_url.clone(), board.tables[0].deck)
    };
    let host = format!("http://{}", house.address);
    let path = |url: &str| url.strip_prefix(&host).unwrap().to_owned();
    for path in ["/".to_owned(), "/teacher".into(), path(&join), path(&wall)] {
        let page = house.ask(&format!("GET {path}"), &[], b"").await;
        assert_eq!((page.status, page.header("cache-control")), (200, Some("no-cache")), "{path}");
        assert_eq!(page.header("content-type"), Some("text/html; charset=utf-8"));
        let tag = format!("If-None-Match: W/{}", page.header("etag").unwrap());
        let again = house.ask(&format!("GET {path}"), &[&tag], b"").await;
        assert_eq!((again.status, again.body.len()), (304, 0), "{path}");
        let other = house.ask(&format!("GET {path}"), &["If-None-Match: \"other\""], b"").await;
        assert_eq!(other.body, page.body, "{path}");
    }
    let faces = house.ask(&format!("GET /decks/{deck}/faces"), &[], b"").await;
    assert_eq!(faces.json::<FaceSheet>().deck, deck);
    assert!(faces.header("cache-control").unwrap().contains("immutable"));
    let packed =
        house.ask(&format!("GET /decks/{deck}/faces"), &["Accept-Encoding: gzip"], b"").await;
    assert_eq!(packed.header("content-encoding"), Some("gzip"));
    println!("faces: {} bytes, packed {}", faces.body.len(), packed.body.len());
    let unknown = format!("GET /decks/{}/faces", DeckId([0; 16]));
    for line in [unknown.as_str(), "GET /decks/nonsense/faces", "GET /pages/none.js"] {
        let answer = house.ask(line, &[], b"").await;
        assert_eq!((answer.status, answer.header("cache-control")), (404, Some("no-store")));
    }
}

/// Nothing outside `server/pages/` is a page, also where a debug build reads from disk.
#[tokio::test]
async fn no_path_leads_out_of_the_pages() {
    let house = House::open().await;
    for path in [
        "../Cargo.toml",
        "%2e%2e/Cargo.toml",
        "..%2fCargo.toml",
        "pupil/..%2f..%2fCargo.toml",
        "%2fetc%2fpasswd",
        "/etc/passwd",
        "..%5cCargo.toml",
        "",
        "pupil",
    ] {
        let answer = house.ask(&format!("GET /pages/{path}"), &[], b"").await;
        assert_eq!(answer.status, 404, "{path}");
    }
}

/// Types as the IANA media type registry has them (JavaScript: RFC 9239).
#[tokio::test]
async fn scripts_styles_and_pictures_come_with_their_types() {
    let house = House::open().await;
    let table = [
        ("wire.js", "text/javascript; charset=utf-8"),
        ("base.css", "text/css; charset=utf-8"),
        ("pictures/apple.svg", "image/svg+xml"),
    ];
    for (path, kind) in table {
        let answer = house.ask(&format!("GET /pages/{path}"), &[], b"").await;
        assert_eq!((answer.status, answer.header("content-type")), (200, Some(kind)), "{path}");
    }
}
