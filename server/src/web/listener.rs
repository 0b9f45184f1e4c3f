//! Where connections come from: the kernel's TCP in life, a simulated network in a test. It knows
//! nothing of what is said over them.

use crate::limits::web::ACCEPT_QUEUE_MAX;
use std::io;
use std::net::SocketAddr;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpSocket, TcpStream};

/// Something that devices connect to.
pub trait Listener: Send + Sync + 'static {
    /// One connection's bytes.
    type Stream: AsyncRead + AsyncWrite + Unpin + Send + 'static;

    /// Waits for the next connection.
    ///
    /// # Errors
    /// What kept one connection from being accepted; the next one may be.
    fn accept(&self) -> impl Future<Output = io::Result<Accepted<Self::Stream>>> + Send;
}

/// One connection.
#[derive(Debug)]
pub struct Accepted<S> {
    /// Its bytes.
    pub stream: S,
    /// The other end.
    pub peer: SocketAddr,
    /// This end, where the kernel has the connection and can be asked about it by its two ends.
    pub local: Option<SocketAddr>,
}

/// Listens over TCP, with a queue that holds a whole school.
///
/// # Errors
/// The kernel's: the address is taken, or is not this machine's.
pub fn listen(address: SocketAddr) -> io::Result<TcpListener> {
    let socket = match address {
        SocketAddr::V4(_) => TcpSocket::new_v4()?,
        SocketAddr::V6(_) => TcpSocket::new_v6()?,
    };
    // A server that is started again need not wait until its old connections are forgotten
    // (TIME-WAIT, RFC 9293 section 3.6.1).
    socket.set_reuseaddr(true)?;
    socket.bind(address)?;
    socket.listen(ACCEPT_QUEUE_MAX)
}

impl Listener for TcpListener {
    type Stream = TcpStream;

    async fn accept(&self) -> io::Result<Accepted<TcpStream>> {
        let (stream, peer) = TcpListener::accept(self).await?;
        // A cue waits for no other packet (Nagle's algorithm, RFC 9293 section 3.7.4).
        let _ = stream.set_nodelay(true);
        let local = stream.local_addr().ok();
        Ok(Accepted { stream, peer, local })
    }
}
