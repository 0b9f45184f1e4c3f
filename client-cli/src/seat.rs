//! One seat's connection: it says hello, keeps the view up to date and comes back after a broken
//! link with the last number it has.

use crate::address::Server;
use crate::sheets::{Sheet, Sheets};
use crate::socket::{Socket, may_return, now};
use anyhow::{anyhow, bail};
use handround_protocol::codec::Codec;
use handround_protocol::id::{Ask, DeckId, SeatNumber, Token};
use handround_protocol::message::{
    Credential, Hello, SeatNews, SeatSays, ToClient, ToServer, Welcome,
};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::SeatView;
use std::sync::Arc;
use std::time::Duration;

/// Between the first attempts to come back; it doubles up to `RETURN_WAIT_MAX`.
const RETURN_WAIT: Duration = Duration::from_millis(500);
/// A restart of the server takes seconds.
const RETURN_WAIT_MAX: Duration = Duration::from_secs(8);
/// Failed attempts in a row before giving up: about two minutes.
const RETURNS_MAX: u32 = 18;
/// A fresh socket says welcome within this time or counts as broken.
const WELCOME_WAIT: Duration = Duration::from_secs(10);

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
                Ok(ToClient::TellClock { nonce }) => {
                    let received = now();
                    let told = ToServer::ClockTold { nonce, received, answered: received };
                    if socket.send(&told).await.is_err() {
                        self.socket = None;
                    }
                }
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
            ToClient::Clock { .. } | ToClient::TellClock { .. } => Ok(None),
            ToClient::Welcome(_)
            | ToClient::Board(_)
            | ToClient::Wall(_)
            | ToClient::Substitute(_) => {
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

#[cfg(test)]
#[path = "seat_tests.rs"]
mod tests;
