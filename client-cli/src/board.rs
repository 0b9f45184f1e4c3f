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
