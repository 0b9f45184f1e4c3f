//! The kernel's own least round trip of one connection, which no program at the other end can delay.
//! Linux tells it over netlink (sock_diag(7)) without any privilege; elsewhere nothing is known.
//!
//! Only for deployments that say that devices reach this server without a proxy: the kernel knows the
//! next machine alone. It deliberately knows nothing of races.

use handround_protocol::time::Micros;
use std::net::SocketAddr;

/// Both ends of a connection, by which the kernel finds it.
#[derive(Clone, Copy, Debug)]
pub struct Ends {
    /// This machine's.
    pub local: SocketAddr,
    /// The other one's.
    pub peer: SocketAddr,
}

impl Ends {
    /// The least round trip that the kernel has seen (TCP_INFO's `tcpi_min_rtt`, a window of 300 s by
    /// default); `None` where it says nothing of such a connection. Asks and is answered within the
    /// kernel, so nobody waits for the network.
    pub fn least_round_trip(&self) -> Option<Micros> {
        #[cfg(target_os = "linux")]
        return linux::ask(&linux::question(self)).and_then(|answer| linux::least(&answer));
        #[cfg(not(target_os = "linux"))]
        None
    }
}

/// The layouts of linux/netlink.h, linux/sock_diag.h, linux/inet_diag.h and linux/tcp.h.
#[cfg(target_os = "linux")]
mod linux {
    use super::Ends;
    use handround_protocol::time::Micros;
    use rustix::net::{
        AddressFamily, RecvFlags, SendFlags, SocketFlags, SocketType, netlink, recv, send,
        socket_with,
    };
    use std::net::{IpAddr, SocketAddr};

    const SOCK_DIAG_BY_FAMILY: u16 = 20;
    const NLM_F_REQUEST: u16 = 1;
    const AF_INET: u8 = 2;
    const AF_INET6: u8 = 10;
    const IPPROTO_TCP: u8 = 6;
    /// The attribute that holds `struct tcp_info`.
    const INET_DIAG_INFO: u16 = 2;
    /// `struct nlmsghdr`.
    const HEAD: usize = 16;
    /// `struct inet_diag_msg`.
    const MESSAGE: usize = 72;
    /// Where `tcpi_min_rtt` lies in `struct tcp_info`, in microseconds; since Linux 4.6.
    const MIN_RTT: usize = 148;
    /// Far more than one answer takes: about 400 bytes.
    const ANSWER_BYTES_MAX: usize = 4 * 1024;

    /// Asks for one connection by its two ends.
    pub fn question(ends: &Ends) -> Vec<u8> {
        let family = if ends.local.is_ipv4() { AF_INET } else { AF_INET6 };
        let address = |end: SocketAddr| match end.ip() {
            IpAddr::V4(v4) => [&v4.octets()[..], &[0; 12]].concat(),
            IpAddr::V6(v6) => v6.octets().to_vec(),
        };
        let body = [
            &[family, IPPROTO_TCP, 1 << (INET_DIAG_INFO - 1), 0][..],
            // Every state.
            &u32::MAX.to_ne_bytes(),
            &ends.local.port().to_be_bytes(),
            &ends.peer.port().to_be_bytes(),
            &address(ends.local),
            &address(ends.peer),
            // Any interface, any cookie.
            &0_u32.to_ne_bytes(),
            &[u8::MAX; 8],
        ]
        .concat();
        let length = u32::try_from(HEAD + body.len()).unwrap_or(0);
        let (kind, flags) = (SOCK_DIAG_BY_FAMILY.to_ne_bytes(), NLM_F_REQUEST.to_ne_bytes());
        // Its number and its port are of no use to one question on a socket of its own.
        [&length.to_ne_bytes()[..], &kind, &flags, &[0; 8], &body].concat()
    }

    /// Puts the question to the kernel.
    pub fn ask(question: &[u8]) -> Option<Vec<u8>> {
        let flags = SocketFlags::CLOEXEC | SocketFlags::NONBLOCK;
        let (family, kind) = (AddressFamily::NETLINK, SocketType::DGRAM);
        let socket = socket_with(family, kind, flags, Some(netlink::SOCK_DIAG)).ok()?;
        send(&socket, question, SendFlags::empty()).ok()?;
        let mut answer = vec![0; ANSWER_BYTES_MAX];
        let (length, _) = recv(&socket, &mut answer[..], RecvFlags::empty()).ok()?;
        answer.truncate(length);
        Some(answer)
    }

    /// Reads the least round trip out of an answer.
    pub fn least(answer: &[u8]) -> Option<Micros> {
        let u16_at = |at: usize| Some(u16::from_ne_bytes(*answer.get(at..)?.first_chunk()?));
        if u16_at(4)? != SOCK_DIAG_BY_FAMILY {
            return None;
        }
        let mut at = HEAD + MESSAGE;
        loop {
            let length = usize::from(u16_at(at)?);
            if u16_at(at + 2)? == INET_DIAG_INFO && length >= 4 + MIN_RTT + 4 {
                let least = u32::from_ne_bytes(*answer.get(at + 4 + MIN_RTT..)?.first_chunk()?);
                // All bits set: it has seen no round trip yet.
                return (least != u32::MAX).then_some(Micros(least.into()));
            }
            // An attribute has a head of 4 bytes and is filled up to a multiple of 4.
            at += length.max(4).next_multiple_of(4);
        }
    }
}

#[cfg(all(test, target_os = "linux"))]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::io::{Read, Write};
    use std::net::{TcpListener, TcpStream};

    fn talked(address: &str) -> (TcpStream, TcpStream) {
        let listener = TcpListener::bind(address).unwrap();
        let mut device = TcpStream::connect(listener.local_addr().unwrap()).unwrap();
        let (mut server, _) = listener.accept().unwrap();
        server.write_all(b"?").unwrap();
        device.read_exact(&mut [0]).unwrap();
        (server, device)
    }

    #[test]
    fn the_kernel_knows_a_connection_of_ours_and_no_other() {
        let (server, device) = talked("127.0.0.1:0");
        let ends = Ends { local: server.local_addr().unwrap(), peer: server.peer_addr().unwrap() };
        let least = ends.least_round_trip().unwrap();
        assert!(least < Micros::from_s(1), "{least:?} on a loopback");
        let strange = Ends { local: ends.local, peer: ends.local };
        assert_eq!(strange.least_round_trip(), None);
        drop(device);
    }

    #[test]
    fn an_answer_that_is_cut_short_or_damaged_says_nothing() {
        let (server, _device) = talked("127.0.0.1:0");
        let ends = Ends { local: server.local_addr().unwrap(), peer: server.peer_addr().unwrap() };
        let answer = linux::ask(&linux::question(&ends)).unwrap();
        assert!(linux::least(&answer).is_some());
        for length in 0..16 + 72 + 8 {
            assert_eq!(linux::least(&answer[..length]), None, "{length} bytes");
        }
        let mut other = answer.clone();
        other[4] ^= 1;
        assert_eq!(linux::least(&other), None);
    }
}
