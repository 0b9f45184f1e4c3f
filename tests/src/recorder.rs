//! Keeps every byte that a connection receives, below the WebSocket, so that nothing escapes a test
//! that looks for what should not be there.

use std::pin::Pin;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};

/// Received bytes. Cheap to clone; all clones hold the same.
#[derive(Clone, Debug, Default)]
pub struct Tape(Arc<Mutex<Vec<u8>>>);

impl Tape {
    /// The bytes so far.
    pub fn bytes(&self) -> Vec<u8> {
        self.lock().clone()
    }

    fn lock(&self) -> MutexGuard<'_, Vec<u8>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A connection whose received bytes go onto a tape.
#[derive(Debug)]
pub struct Recorder<S> {
    stream: S,
    tape: Tape,
}

impl<S> Recorder<S> {
    /// Records this connection.
    pub fn new(stream: S, tape: Tape) -> Recorder<S> {
        Recorder { stream, tape }
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Recorder<S> {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<std::io::Result<()>> {
        let before = buffer.filled().len();
        let polled = Pin::new(&mut self.stream).poll_read(context, buffer);
        self.tape.lock().extend_from_slice(&buffer.filled()[before..]);
        polled
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Recorder<S> {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<std::io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write(context, bytes)
    }

    fn poll_flush(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}
