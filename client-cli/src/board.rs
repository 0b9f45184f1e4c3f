//! A teacher's board, as far as the load generator needs one.

use crate::address::Server;
use crate::http::Http;
use crate::socket::Socket;
use anyhow::bail;
use handround_protocol::codec::Codec;
use handround_protocol::id::{Ask, LessonId};
use handround_protocol::message::{BoardSays, Credential, Hello, ToClient, ToServer};
use handround_protocol::time::Micros;
use handround_protocol::view::BoardView;
use std::time::Duration;

/// A teacher's board, for the load generator.
pub struct Board {
    server: Server,
    http: Http,
    codec: Codec,
    lesson: LessonId,
    socket: Socket,
    asked: u32,
}

/// Between attempts to come back.
const RETURN_WAIT: Duration = Duration::from_secs(1);
/// Attempts before giving up: a restart of the server takes seconds.
const RETURNS_MAX: u32 = 30;

impl Board {
    /// Opens the board of a lesson.
    pub async fn open(
        server: &Server,
        http: &Http,
        codec: Codec,
        lesson: LessonId,
    ) -> anyhow::Result<Board> {
        let socket = hello(server, http, codec, lesson).await?;
        let (server, http) = (server.clone(), http.clone());
        Ok(Board { server, http, codec, lesson, socket, asked: 0 })
    }

    /// Comes back after a broken link.
    pub async fn reopen(&mut self) -> anyhow::Result<()> {
        let mut attempt = 0;
        loop {
            attempt += 1;
            match hello(&self.server, &self.http, self.codec, self.lesson).await {
                Ok(socket) => {
                    self.socket = socket;
                    return Ok(());
                }
                Err(error) if attempt == RETURNS_MAX => return Err(error),
                Err(_) => tokio::time::sleep(RETURN_WAIT).await,
            }
        }
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

async fn hello(
    server: &Server,
    http: &Http,
    codec: Codec,
    lesson: LessonId,
) -> anyhow::Result<Socket> {
    let credential = Credential::Board(lesson);
    let hello = Hello { credential, resume: None, clock_step: Micros(1) };
    Socket::open(server, codec, Some(&http.bearer()), hello).await
}
