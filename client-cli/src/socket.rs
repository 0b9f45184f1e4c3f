//! One WebSocket in either subprotocol, and this device's clock.

use crate::address::Server;
use anyhow::anyhow;
use futures_util::{SinkExt as _, StreamExt as _};
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::limits::TO_CLIENT_BYTES_MAX;
use handround_protocol::message::{Hello, ToClient, ToServer};
use handround_protocol::time::Micros;
use std::sync::LazyLock;
use std::time::Instant;
use tokio::net::TcpStream;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::client::IntoClientRequest as _;
use tokio_tungstenite::tungstenite::http::HeaderValue;
use tokio_tungstenite::tungstenite::protocol::{CloseFrame, WebSocketConfig};
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream};

static START: LazyLock<Instant> = LazyLock::new(Instant::now);

/// This device's clock: microseconds since the program started, never backwards.
pub fn now() -> Micros {
    Micros(u64::try_from(START.elapsed().as_micros()).unwrap_or(Micros::MAX.0)).min(Micros::MAX)
}

/// Whether a server that closed with this code wants the device back (WIRE.md, section 7).
pub fn may_return(close: Option<&CloseFrame>) -> bool {
    close.is_none_or(|frame| matches!(u16::from(frame.code), 1000 | 1001 | 1008 | 1011 | 4005))
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
