//! How a test's device reaches a server: over the kernel's TCP or, where the test is a simulation of
//! turmoil's, over the simulation's. It knows bytes alone.

use handround_server::web::{Accepted, Listener};
use std::io;
use std::net::SocketAddr;
use std::pin::Pin;
use std::task::{Context, Poll, ready};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::time::{Instant, Sleep, sleep};

/// A connection of either kind.
pub trait Stream: AsyncRead + AsyncWrite + Send + Unpin {}

impl<S: AsyncRead + AsyncWrite + Send + Unpin> Stream for S {}

/// Connects to a server.
///
/// # Errors
/// What keeps it from answering.
pub async fn connect(address: SocketAddr) -> io::Result<Box<dyn Stream>> {
    if turmoil::in_simulation() {
        let stream = turmoil::net::TcpStream::connect(address).await?;
        return Ok(Box::new(Patient::new(stream)));
    }
    let stream = TcpStream::connect(address).await?;
    // A tap waits for no other packet, as in a browser.
    stream.set_nodelay(true)?;
    Ok(Box::new(stream))
}

/// A simulated server's listener.
pub struct Simulated(pub turmoil::net::TcpListener);

impl Listener for Simulated {
    type Stream = turmoil::net::TcpStream;

    async fn accept(&self) -> io::Result<Accepted<Self::Stream>> {
        let (stream, peer) = self.0.accept().await?;
        Ok(Accepted { stream, peer, local: None })
    }
}

/// How long a simulated device waits for a word on a connection: longer than the server's longest gap
/// between two pings, 10 s, by more than any way takes.
const PATIENCE: Duration = Duration::from_secs(15);

/// A connection that is given up when nothing has come for long. A kernel sends again what was lost;
/// turmoil never does, so that a connection that lost a byte stands still for good, for its writer too,
/// and only its end's own patience ends it (the "user timeout" of RFC 9293, section 3.9.1.2).
struct Patient<S> {
    stream: S,
    until: Pin<Box<Sleep>>,
}

impl<S> Patient<S> {
    fn new(stream: S) -> Patient<S> {
        Patient { stream, until: Box::pin(sleep(PATIENCE)) }
    }

    /// For whoever has to wait.
    fn poll_patience<T>(&mut self, context: &mut Context<'_>) -> Poll<io::Result<T>> {
        ready!(self.until.as_mut().poll(context));
        Poll::Ready(Err(io::ErrorKind::TimedOut.into()))
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Patient<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let read = Pin::new(&mut self.stream).poll_read(context, buffer);
        if read.is_pending() {
            return self.poll_patience(context);
        }
        self.until.as_mut().reset(Instant::now() + PATIENCE);
        read
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Patient<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let written = Pin::new(&mut self.stream).poll_write(context, bytes);
        if written.is_pending() { self.poll_patience(context) } else { written }
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}
