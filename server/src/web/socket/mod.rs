//! One device's socket from `Hello` to the close handshake: one task in which a reading and a
//! writing half run side by side, so that neither ever waits for the other.

mod pace;
mod reader;
#[cfg(test)]
mod tests;
mod timing;
mod views;
mod writer;

use super::kernel::Ends;
use super::sessions::Signed;
use crate::lesson::connection::{OutboxReader, outbox};
use crate::lesson::hub::{Hub, LentWall, SeatLink, SubstituteIn, SubstituteSeatAt};
use crate::limits::web::{ANSWERS_MAX, CLOCK_STEP_US_MAX, GOODBYE_WAIT, HELLO_WAIT};
use crate::teacher::TeacherId;
use futures_util::{SinkExt, StreamExt};
use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::id::{Ask, LessonId};
use handround_protocol::message::{Credential, Hello, ToServer, Welcome};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use reader::{Heard, Reader};
use timing::Timing;
use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use tokio::sync::mpsc;
use tokio::time::timeout;
use tokio_tungstenite::WebSocketStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::protocol::CloseFrame;
use tokio_util::sync::CancellationToken;
use views::Views;
use writer::Writer;

/// Why a conversation ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Ended {
    /// The device closed the socket, or the link is gone.
    Gone,
    /// The server closes it.
    Closed(Close),
}

impl From<Close> for Ended {
    fn from(why: Close) -> Ended {
        Ended::Closed(why)
    }
}

/// What a connection turned out to be, with what its reading half needs.
enum Role {
    Seat(SeatLink),
    Board(TeacherId, LessonId),
    Wall,
    Substitute(SubstituteSeatAt),
}

/// What the upgrade said of a socket.
#[derive(Clone)]
pub struct Entry {
    /// The subprotocol.
    pub codec: Codec,
    /// The teacher whose sign-in it came with.
    pub teacher: Option<Signed>,
    /// What the kernel knows the connection by, where it may be asked.
    pub direct: Option<Ends>,
}

/// Talks to one device until either side ends it.
pub async fn run<S: AsyncRead + AsyncWrite + Unpin>(
    mut stream: WebSocketStream<S>,
    entry: Entry,
    hub: Hub,
    stopping: &CancellationToken,
) {
    let ended = tokio::select! {
        biased;
        () = stopping.cancelled() => Ended::Closed(Close::GoingAway),
        ended = converse(&mut stream, entry, &hub) => ended,
    };
    tracing::debug!(?ended, "a socket ends");
    goodbye(stream, ended).await;
}

async fn converse<S: AsyncRead + AsyncWrite + Unpin>(
    stream: &mut WebSocketStream<S>,
    Entry { codec, teacher, direct }: Entry,
    hub: &Hub,
) -> Ended {
    let (sink, frames) = stream.split();
    let mut reader = Reader::new(frames, codec, hub);
    let hello = match timeout(HELLO_WAIT, hello(&mut reader)).await {
        Ok(Ok(hello)) => hello,
        Ok(Err(ended)) => return ended,
        Err(_) => return Ended::Closed(Close::HelloExpected),
    };
    let signed_in = teacher.as_ref().map(|signed| signed.holder.teacher());
    let admitted = match admit(hub, &hello, signed_in).await {
        Ok(admitted) => admitted,
        Err(why) => return Ended::Closed(why),
    };
    // A board ends with its teacher's sign-in; a child's seat in the same browser does not.
    let over = match (&admitted.role, teacher) {
        (Role::Board(..), Some(signed)) => signed.over,
        _ => CancellationToken::new(),
    };
    let clock_step = Micros(hello.clock_step.0.min(CLOCK_STEP_US_MAX));
    let timing = Timing::new(clock_step);
    let (answers, waiting) = mpsc::channel(ANSWERS_MAX);
    let writer = Writer { sink, codec, hub, timing: &timing, role: &admitted.role, direct };
    tokio::select! {
        biased;
        () = over.cancelled() => Ended::Closed(Close::UnknownCredential),
        ended = writer.run(admitted.welcome, admitted.outbox, admitted.views, waiting) => ended,
        ended = reader.run(&admitted.role, &timing, &answers) => ended,
    }
}

/// Waits for the first message, which must be `Hello`.
async fn hello<F: reader::Frames>(reader: &mut Reader<'_, F>) -> Result<Hello, Ended> {
    loop {
        match reader.hear().await?.0 {
            Heard::Said(ToServer::Hello(hello)) => return Ok(hello),
            Heard::Said(_) => return Err(Ended::Closed(Close::HelloExpected)),
            Heard::Pong(_) | Heard::Nothing => {}
        }
    }
}

/// A connection let in.
struct Admitted {
    role: Role,
    welcome: Welcome,
    outbox: OutboxReader,
    views: Views,
}

async fn admit(hub: &Hub, hello: &Hello, teacher: Option<TeacherId>) -> Result<Admitted, Close> {
    let (sender, outbox) = outbox();
    let (role, welcome, views) = match hello.credential {
        Credential::Seat(token) => {
            let (link, welcome) = hub.connect_seat(token, hello.resume, sender).await?;
            (Role::Seat(link), welcome, Views::None)
        }
        // A stranger is not told whether there is such a lesson, nor is another teacher.
        Credential::Board(lesson) => {
            let teacher = teacher.ok_or(Close::UnknownCredential)?;
            let board = hub.board(teacher, lesson).await.ok_or(Close::UnknownCredential)?;
            (Role::Board(teacher, lesson), Welcome::Board, Views::board(board, sender))
        }
        Credential::Wall(token) => {
            let views = match hub.wall(token).await {
                Some(wall) => Views::wall(wall, sender),
                None => {
                    let lent = hub.lent_wall(token).ok_or(Close::UnknownCredential)?;
                    let LentWall { wall, lent, term } = lent;
                    Views::lent_wall(wall, (lent, term), sender)
                }
            };
            (Role::Wall, Welcome::Wall, views)
        }
        Credential::Substitute(code) => {
            let SubstituteIn { seat, board, lent, term } = hub.connect_substitute(code)?;
            let views = Views::substitute(board, (lent, term), sender);
            (Role::Substitute(seat), Welcome::Substitute, views)
        }
    };
    Ok(Admitted { role, welcome, outbox, views })
}

/// An answer that the reading half hands to the writing half.
enum Answer {
    /// A friendly no.
    Refused { ask: Ask, refusal: Refusal },
    /// To be stamped when it is written.
    Clock { device: Micros, received: Micros },
}

/// The close handshake, within bounds. What the device still sends is read and thrown away: a
/// connection closed over unread bytes is reset, and the device would not read why.
async fn goodbye<S: AsyncRead + AsyncWrite + Unpin>(mut stream: WebSocketStream<S>, ended: Ended) {
    let Ended::Closed(why) = ended else {
        let _ = timeout(GOODBYE_WAIT, stream.close(None)).await;
        return;
    };
    let frame = CloseFrame { code: why.code().into(), reason: why.reason().into() };
    let parting = async {
        let _ = stream.send(Message::Close(Some(frame))).await;
        let io = stream.get_mut();
        let _ = io.shutdown().await;
        let mut thrown = [0; 1024];
        while io.read(&mut thrown).await.is_ok_and(|length| length > 0) {}
    };
    let _ = timeout(GOODBYE_WAIT, parting).await;
}
