//! One seat's connection: it says hello, keeps the view up to date and comes back after a broken
//! link with the last number it has.

use crate::address::Server;
use crate::http::Http;
use anyhow::{Context as _, anyhow, bail};
use futures_util::{SinkExt as _, StreamExt as _};
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{Ask, DeckId, GroupIndex, LessonId, SeatNumber, Token};
use handround_protocol::limits::TO_CLIENT_BYTES_MAX;
use handround_protocol::message::{
    BoardSays, Credential, Hello, SeatNews, SeatSays, ToClient, ToServer, Welcome,
};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardView, SeatView};
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::client::IntoClientRequest as _;
use tokio_tungstenite::tungstenite::http::HeaderValue;
use tokio_tungstenite::tungstenite::protocol::{CloseFrame, WebSocketConfig};
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream};

/// Between the first attempts to come back; it doubles up to `RETURN_WAIT_MAX`.
const RETURN_WAIT: Duration = Duration::from_millis(500);
/// A restart of the server takes seconds.
const RETURN_WAIT_MAX: Duration = Duration::from_secs(8);
/// Failed attempts in a row before giving up: about two minutes.
const RETURNS_MAX: u32 = 18;
/// A fresh socket says welcome within this time or counts as broken.
const WELCOME_WAIT: Duration = Duration::from_secs(10);

static START: LazyLock<Instant> = LazyLock::new(Instant::now);

/// This device's clock: microseconds since the program started, never backwards.
pub fn now() -> Micros {
    Micros(u64::try_from(START.elapsed().as_micros()).unwrap_or(Micros::MAX.0)).min(Micros::MAX)
}

/// Whether a server that closed with this code wants the device back (WIRE.md, section 7).
fn may_return(close: Option<&CloseFrame>) -> bool {
    close.is_none_or(|frame| matches!(u16::from(frame.code), 1000 | 1001 | 1008 | 1011 | 4005))
}

/// Face sheets by deck; all seats of a process share what was loaded.
#[derive(Clone)]
pub struct Sheets {
    http: Http,
    known: Arc<Mutex<BTreeMap<DeckId, Arc<Sheet>>>>,
}

/// A face sheet with the groups as the brain wants them.
pub struct Sheet {
    /// All faces.
    pub faces: FaceSheet,
    /// The match group of each face.
    pub groups: Vec<GroupIndex>,
}

impl Sheets {
    /// Nothing is loaded yet.
    pub fn new(http: Http) -> Sheets {
        Sheets { http, known: Arc::default() }
    }

    /// The sheet, loaded once.
    pub async fn get(&self, deck: DeckId) -> anyhow::Result<Arc<Sheet>> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner).get(&deck).cloned();
        if let Some(sheet) = known {
            return Ok(sheet);
        }
        let faces = self.http.faces(deck).await.context("the faces could not be loaded")?;
        let groups = faces.faces.iter().map(|face| face.group).collect();
        let sheet = Arc::new(Sheet { faces, groups });
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(known.entry(deck).or_insert(sheet).clone())
    }
}

/// One open socket.
pub struct Socket {
    stream: WebSocketStream<MaybeTlsStream<TcpStream>>,
    codec: Codec,
}

impl Socket {
    /// Opens a socket and says hello. `bearer` is the teacher's sign-in, for a board.
    pub async fn open(
        server: &Server,
        codec: Codec,
        bearer: Option<&str>,
        hello: Hello,
    ) -> anyhow::Result<Socket> {
        let mut request = server.socket().into_client_request()?;
        let headers = request.headers_mut();
        headers.insert("sec-websocket-protocol", HeaderValue::from_static(codec.name()));
        if let Some(bearer) = bearer {
            headers.insert("authorization", HeaderValue::from_str(bearer)?);
        }
        let config = WebSocketConfig::default()
            .read_buffer_size(8 * 1024)
            .max_message_size(Some(TO_CLIENT_BYTES_MAX))
            .max_frame_size(Some(TO_CLIENT_BYTES_MAX));
        let (stream, _) =
            tokio_tungstenite::connect_async_with_config(request, Some(config), true).await?;
        let mut socket = Socket { stream, codec };
        socket.send(&ToServer::Hello(hello)).await?;
        Ok(socket)
    }

    /// Sends one message.
    pub async fn send(&mut self, message: &ToServer) -> anyhow::Result<()> {
        let frame = match self.codec.encode_to_server(message)? {
            Payload::Text(text) => Message::text(text),
            Payload::Binary(bytes) => Message::binary(bytes),
        };
        Ok(self.stream.send(frame).await?)
    }

    /// The next message, or how the server closed. Safe to be dropped while it waits.
    pub async fn next(&mut self) -> anyhow::Result<Result<ToClient, Option<CloseFrame>>> {
        loop {
            let payload = match self.stream.next().await {
                Some(Ok(Message::Text(text))) => Payload::Text(text.as_str().to_owned()),
                Some(Ok(Message::Binary(bytes))) => Payload::Binary(bytes.to_vec()),
                Some(Ok(Message::Close(frame))) => return Ok(Err(frame)),
                Some(Ok(_)) => continue,
                Some(Err(error)) => {
                    tracing::debug!(%error, "the link broke");
                    return Ok(Err(None));
                }
                None => return Ok(Err(None)),
            };
            let message = self.codec.decode_to_client(&payload);
            return Ok(Ok(message.map_err(|close| anyhow!("the server said {close:?} things"))?));
        }
    }
}

/// What a seat's connection tells its player.
#[derive(Debug)]
pub enum Happening {
    /// The view is new.
    View,
    /// A friendly no.
    Refused(Refusal),
    /// The link broke; the next call comes back.
    Away,
}

/// A seat of ours.
pub struct Seat {
    server: Server,
    sheets: Sheets,
    codec: Codec,
    token: Token,
    socket: Option<Socket>,
    last: Option<SeatNumber>,
    asked: u32,
    /// A deck that is still to be loaded, before any other message is read.
    deck: Option<DeckId>,
    /// What this seat may see; `None` before the first snapshot.
    pub view: Option<SeatView>,
    /// The deck's faces, with `view`.
    pub sheet: Option<Arc<Sheet>>,
}

impl Seat {
    /// A seat that is not connected yet.
    pub fn new(server: Server, sheets: Sheets, codec: Codec, token: Token) -> Seat {
        let (socket, last, deck, view, sheet) = (None, None, None, None, None);
        Seat { server, sheets, codec, token, socket, last, asked: 0, deck, view, sheet }
    }

    /// Whether the link stands.
    pub fn is_connected(&self) -> bool {
        self.socket.is_some()
    }

    /// Says a move. A link that is broken swallows it; the player sees that nothing changed.
    pub async fn say(&mut self, says: SeatSays) {
        self.asked = self.asked.wrapping_add(1);
        let message = ToServer::Seat { ask: Ask(self.asked), says };
        if let Some(socket) = &mut self.socket
            && socket.send(&message).await.is_err()
        {
            self.socket = None;
        }
    }

    /// The next thing that happens; connects or comes back first where needed. While connected it
    /// may be dropped as it waits.
    ///
    /// # Errors
    /// The seat is lost for good, or the server stays away.
    pub async fn next(&mut self) -> anyhow::Result<Happening> {
        if self.socket.is_none() {
            self.connect().await?;
        }
        loop {
            if let Some(deck) = self.deck {
                self.sheet = Some(self.sheets.get(deck).await?);
                self.deck = None;
            }
            let Some(socket) = &mut self.socket else { return Ok(Happening::Away) };
            match socket.next().await? {
                Ok(message) => {
                    if let Some(happening) = self.hear(message)? {
                        return Ok(happening);
                    }
                }
                Err(close) => {
                    self.socket = None;
                    if !may_return(close.as_ref()) {
                        bail!("{}", close.map_or(String::new(), |frame| frame.to_string()));
                    }
                    return Ok(Happening::Away);
                }
            }
        }
    }

    fn hear(&mut self, message: ToClient) -> anyhow::Result<Option<Happening>> {
        match message {
            ToClient::Welcome(Welcome::Seat { deck, .. }) => {
                self.deck = Some(deck);
                Ok(None)
            }
            ToClient::Seat { number, news } => {
                let snapshot = matches!(news, SeatNews::Snapshot(_));
                let expected = self.last.map(|last| last.0.wrapping_add(1));
                if !snapshot && expected != Some(number.0) {
                    tracing::warn!(?expected, got = number.0, "a gap in the numbers");
                    (self.socket, self.last) = (None, None);
                    return Ok(Some(Happening::Away));
                }
                self.last = Some(number);
                match (&mut self.view, news) {
                    (view, SeatNews::Snapshot(all)) => *view = Some(all),
                    (Some(view), news) => view.apply(&news),
                    (None, _) => return Ok(None),
                }
                Ok(Some(Happening::View))
            }
            // The cue also comes with the numbered news; whichever is first counts.
            ToClient::Cue { round, nonce } => match &mut self.view {
                Some(view) if view.table.round == round && view.grab.cue.is_none() => {
                    view.grab.cue = Some(nonce);
                    Ok(Some(Happening::View))
                }
                _ => Ok(None),
            },
            ToClient::Refused { refusal, .. } => Ok(Some(Happening::Refused(refusal))),
            ToClient::Clock { .. } => Ok(None),
            ToClient::Welcome(_) | ToClient::Board(_) | ToClient::Wall(_) => {
                bail!("the server takes this seat for something else")
            }
        }
    }

    async fn connect(&mut self) -> anyhow::Result<()> {
        let mut wait = RETURN_WAIT;
        let mut failure = anyhow!("the server was not asked");
        for _ in 0..RETURNS_MAX {
            let credential = Credential::Seat(self.token);
            // Without a view there is nothing that a tail could be added to.
            let resume = self.last.filter(|_| self.view.is_some());
            let hello = Hello { credential, resume, clock_step: Micros(1) };
            let opened = async {
                let mut socket = Socket::open(&self.server, self.codec, None, hello).await?;
                let first = socket.next().await?;
                anyhow::Ok((socket, first))
            };
            match tokio::time::timeout(WELCOME_WAIT, opened).await {
                Ok(Ok((socket, Ok(welcome)))) => {
                    self.hear(welcome)?;
                    self.socket = Some(socket);
                    return Ok(());
                }
                Ok(Ok((_, Err(close)))) => {
                    let said = close.as_ref().map_or("closed".into(), ToString::to_string);
                    if !may_return(close.as_ref()) {
                        bail!("the server will not have this seat: {said}");
                    }
                    failure = anyhow!("{said}");
                }
                Ok(Err(error)) => failure = error,
                Err(_) => failure = anyhow!("no welcome in time"),
            }
            tracing::debug!(%failure, "not connected; trying again");
            tokio::time::sleep(wait).await;
            wait = (2 * wait).min(RETURN_WAIT_MAX);
        }
        Err(failure.context("the server stays away"))
    }
}

/// A teacher's board, for the load generator.
pub struct Board {
    socket: Socket,
    asked: u32,
}

impl Board {
    /// Opens the board of a lesson.
    pub async fn open(
        server: &Server,
        http: &Http,
        codec: Codec,
        lesson: LessonId,
    ) -> anyhow::Result<Board> {
        let credential = Credential::Board(lesson);
        let hello = Hello { credential, resume: None, clock_step: Micros(1) };
        let socket = Socket::open(server, codec, Some(&http.bearer()), hello).await?;
        Ok(Board { socket, asked: 0 })
    }

    /// Says a teacher's wish.
    pub async fn say(&mut self, says: BoardSays) -> anyhow::Result<()> {
        self.asked = self.asked.wrapping_add(1);
        self.socket.send(&ToServer::Board { ask: Ask(self.asked), says }).await
    }

    /// The next view of the board. Safe to be dropped while it waits.
    pub async fn next(&mut self) -> anyhow::Result<BoardView> {
        loop {
            match self.socket.next().await? {
                Ok(ToClient::Board(view)) => return Ok(view),
                Ok(ToClient::Refused { refusal, .. }) => tracing::warn!(%refusal, "the board"),
                Ok(_) => {}
                Err(close) => bail!("the board was closed: {close:?}"),
            }
        }
    }
}
