//! The two plainest ways to talk to a server, wherever it runs: bytes of HTTP, and a WebSocket. HTTP
//! is spoken by hand, so that nothing between the test and the edge mends what is broken on purpose.

use crate::network::{Stream, connect};
use crate::recorder::{Recorder, Tape};
use futures_util::{SinkExt, StreamExt};
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::id::{LessonId, Nonce, Token};
use handround_protocol::join::HttpRefusal;
use handround_protocol::message::{Credential, Hello, ToClient, ToServer};
use handround_protocol::time::Micros;
use handround_protocol::view::SeatView;
use serde::de::DeserializeOwned;
use std::net::SocketAddr;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::time::Instant;
use tokio_tungstenite::WebSocketStream;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::tungstenite::{Error, Message, client::IntoClientRequest};

/// The fixed teacher's key of every server in these tests.
pub const TEACHER_KEY: &str = "a-key-for-tests-only";

/// Where a server listens.
#[derive(Clone, Copy, Debug)]
pub struct Door {
    /// The address.
    pub address: SocketAddr,
}

impl Door {
    /// Sends a request's head line, further header lines, and a body; reads the answer to its end.
    pub async fn ask(&self, line: &str, headers: &[&str], body: &[u8]) -> Answer {
        let mut head =
            format!("{line} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n", self.address);
        if !body.is_empty() {
            head.push_str(&format!("Content-Length: {}\r\n", body.len()));
        }
        for header in headers {
            head.push_str(header);
            head.push_str("\r\n");
        }
        head.push_str("\r\n");
        self.exchange(&[head.as_bytes(), body].concat()).await
    }

    /// The same as a teacher's tool.
    pub async fn ask_as_teacher(&self, line: &str, body: &[u8]) -> Answer {
        let bearer = format!("Authorization: Bearer {TEACHER_KEY}");
        self.ask(line, &[&bearer], body).await
    }

    /// Sends JSON.
    pub async fn post(&self, path: &str, body: &impl serde::Serialize) -> Answer {
        let body = serde_json::to_vec(body).expect("JSON");
        self.ask(&format!("POST {path}"), &["Content-Type: application/json"], &body).await
    }

    /// Sends bytes as they are and reads until the server closes the connection.
    pub async fn exchange(&self, bytes: &[u8]) -> Answer {
        let stream = connect(self.address).await.expect("a connection");
        let (mut from, mut to) = tokio::io::split(stream);
        let mut answer = Vec::new();
        // Both at a time: an answer may come while a large body is still on its way.
        let (_, read) = tokio::join!(to.write_all(bytes), from.read_to_end(&mut answer));
        read.expect("the whole answer, not a reset");
        Answer::parse(&answer)
    }

    /// Opens a socket with one of our subprotocols and further headers.
    pub async fn socket(&self, codec: Codec, headers: &[(&'static str, &str)]) -> Device {
        self.try_socket(codec, headers, Tape::default()).await.expect("an upgrade")
    }

    /// The same towards a server that may be away, with everything that is received on a tape.
    ///
    /// # Errors
    /// What keeps the socket from opening.
    pub async fn try_socket(
        &self,
        codec: Codec,
        headers: &[(&'static str, &str)],
        tape: Tape,
    ) -> Result<Device, Error> {
        let mut request = format!("ws://{}/ws", self.address).into_client_request()?;
        let wanted = [&[("sec-websocket-protocol", codec.name())], headers].concat();
        for (name, value) in wanted {
            request.headers_mut().insert(name, value.parse().expect("a header's value"));
        }
        let stream = Recorder::new(connect(self.address).await?, tape);
        let (socket, _) =
            tokio_tungstenite::client_async_with_config(request, stream, Some(config())).await?;
        Ok(Device { codec, socket, view: None, began: None })
    }

    /// Opens a socket with a teacher's key.
    pub async fn teacher_socket(&self, codec: Codec) -> Device {
        self.socket(codec, &[("authorization", &format!("Bearer {TEACHER_KEY}"))]).await
    }
}

/// Ours are small messages; the library's buffer of 128 KiB is cleared before every read.
fn config() -> WebSocketConfig {
    WebSocketConfig::default().read_buffer_size(8 * 1024)
}

/// An answer over HTTP.
#[derive(Debug)]
pub struct Answer {
    /// The status code.
    pub status: u16,
    headers: Vec<(String, String)>,
    /// The body as it came.
    pub body: Vec<u8>,
}

impl Answer {
    /// Reads a head, and whatever follows as the body.
    pub fn parse(bytes: &[u8]) -> Answer {
        let split = bytes.windows(4).position(|four| four == b"\r\n\r\n").expect("a whole head");
        let head = std::str::from_utf8(&bytes[..split]).expect("a head in ASCII");
        let mut lines = head.split("\r\n");
        let status = lines.next().and_then(|line| line.split(' ').nth(1)).expect("a status");
        let headers = lines
            .filter_map(|line| line.split_once(": "))
            .map(|(name, value)| (name.to_lowercase(), value.to_owned()));
        Answer {
            status: status.parse().expect("a number"),
            headers: headers.collect(),
            body: bytes[split + 4..].to_vec(),
        }
    }

    /// A header's value; names in lower case.
    pub fn header(&self, name: &str) -> Option<&str> {
        let found = self.headers.iter().find(|(known, _)| known == name)?;
        Some(&found.1)
    }

    /// The body as JSON.
    pub fn json<T: DeserializeOwned>(&self) -> T {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&self.body)))
    }

    /// The sentence of a friendly no.
    pub fn refusal(&self) -> HttpRefusal {
        self.json()
    }
}

/// How a socket ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ended {
    /// With a close frame: its code and reason.
    Closed(u16, String),
    /// Without a word.
    Lost,
}

/// A device's end of a socket.
pub struct Device {
    codec: Codec,
    /// What a seat sees by now, if a test keeps it.
    pub view: Option<SeatView>,
    /// When the device's clock showed 0; one without a clock leaves questions for it unanswered.
    pub began: Option<Instant>,
    /// The socket, for what no honest device sends.
    pub socket: WebSocketStream<Recorder<Box<dyn Stream>>>,
}

impl Device {
    /// Sends a message.
    pub async fn say(&mut self, message: &ToServer) {
        let frame = match self.codec.encode_to_server(message).expect("our own types") {
            Payload::Text(text) => Message::text(text),
            Payload::Binary(bytes) => Message::binary(bytes),
        };
        self.send(frame).await;
    }

    /// Sends a frame, whatever it holds. The server may have closed already.
    pub async fn send(&mut self, frame: Message) {
        let _ = self.socket.send(frame).await;
    }

    /// Says hello, afresh.
    pub async fn hello(&mut self, credential: Credential) {
        let hello = Hello { credential, resume: None, clock_step: Micros(100) };
        self.say(&ToServer::Hello(hello)).await;
    }

    /// Says hello with a seat's secret.
    pub async fn hello_seat(&mut self, token: Token) {
        self.hello(Credential::Seat(token)).await;
    }

    /// Says hello as a board.
    pub async fn hello_board(&mut self, lesson: LessonId) {
        self.hello(Credential::Board(lesson)).await;
    }

    /// The next message. May be dropped as it waits.
    ///
    /// # Errors
    /// How the socket ended.
    pub async fn listen(&mut self) -> Result<ToClient, Ended> {
        loop {
            let payload = match self.socket.next().await {
                Some(Ok(Message::Text(text))) => Payload::Text(text.as_str().into()),
                Some(Ok(Message::Binary(bytes))) => Payload::Binary(bytes.into()),
                Some(Ok(Message::Close(Some(frame)))) => {
                    return Err(Ended::Closed(frame.code.into(), frame.reason.as_str().into()));
                }
                Some(Ok(_)) => continue,
                Some(Err(_)) | None => return Err(Ended::Lost),
            };
            match self.codec.decode_to_client(&payload).expect("our own types") {
                ToClient::TellClock { nonce } => self.tell_clock(nonce).await,
                message => return Ok(message),
            }
        }
    }

    async fn tell_clock(&mut self, nonce: Nonce) {
        let Some(began) = self.began else { return };
        let now = u64::try_from(began.elapsed().as_micros()).expect("a test of some minutes");
        let (received, answered) = (Micros(now), Micros(now));
        self.say(&ToServer::ClockTold { nonce, received, answered }).await;
    }

    /// The next message; `Err` holds the close code and reason.
    pub async fn hear(&mut self) -> Result<ToClient, (u16, String)> {
        match self.listen().await {
            Ok(message) => Ok(message),
            Err(Ended::Closed(code, reason)) => Err((code, reason)),
            Err(Ended::Lost) => panic!("the socket ended without a close code"),
        }
    }

    /// Reads on until the server closes; the code and the reason.
    pub async fn closed(&mut self) -> (u16, String) {
        loop {
            if let Err(why) = self.hear().await {
                return why;
            }
        }
    }
}
