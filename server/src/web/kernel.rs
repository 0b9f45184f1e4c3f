//! What the kernel itself knows of one connection, which no program at the other end can delay: its least
//! round trip, and how much of what was sent the other kernel has acknowledged. Linux tells it over netlink
//! (sock_diag(7)) without any privilege; elsewhere nothing is known.
//!
//! Only for deployments that say that devices reach this server without a proxy: the kernel knows the
//! next machine alone. It deliberately knows nothing of races.

use crate::race::acknowledged::Look;
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

    /// What was sent, acknowledged and came by now; `None` where the kernel says nothing of it. Asks as
    /// the other does.
    pub fn look(&self) -> Option<Look> {
        #[cfg(target_os = "linux")]
        return linux::ask(&linux::question(self)).and_then(|answer| linux::look(&answer));
        #[cfg(not(target_os = "linux"))]
        None
    }
}

/// The layouts of linux/netlink.h, linux/sock_diag.h, linux/inet_diag.h and linux/tcp.h.
#[cfg(target_os = "linux")]
mod linux {
    use super::{Ends, Look};
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
    /// Where `idiag_rqueue` and `idiag_wqueue` lie in `struct inet_diag_msg`: bytes that came and were not
    /// read, and bytes handed over and not acknowledged.
    const RQUEUE: usize = 56;
    const WQUEUE: usize = 60;
    /// Where `tcpi_bytes_acked` lies in `struct tcp_info`; since Linux 4.1.
    const BYTES_ACKED: usize = 120;
    /// Where `tcpi_min_rtt` lies, in microseconds; since Linux 4.6.
    const MIN_RTT: usize = 148;
    /// Where `tcpi_rcv_ooopack` lies: segments that came before an earlier one; since Linux 5.4.
    const RCV_OOOPACK: usize = 224;
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

    fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
        Some(u32::from_ne_bytes(*bytes.get(at..)?.first_chunk()?))
    }

    /// Reads the least round trip out of an answer.
    pub fn least(answer: &[u8]) -> Option<Micros> {
        let least = u32_at(tcp_info(answer)?, MIN_RTT)?;
        // All bits set: it has seen no round trip yet.
        (least != u32::MAX).then_some(Micros(least.into()))
    }

    /// Reads how far both ways have come out of an answer.
    pub fn look(answer: &[u8]) -> Option<Look> {
        let info = tcp_info(answer)?;
        let acknowledged = u64::from_ne_bytes(*info.get(BYTES_ACKED..)?.first_chunk()?);
        Some(Look {
            written: acknowledged.saturating_add(u32_at(answer, HEAD + WQUEUE)?.into()),
            acknowledged,
            unread: u32_at(answer, HEAD + RQUEUE)? > 0,
            out_of_order: u32_at(info, RCV_OOOPACK)?,
        })
    }

    /// Finds `struct tcp_info` in an answer. Older kernels' is shorter.
    fn tcp_info(answer: &[u8]) -> Option<&[u8]> {
        let u16_at = |at: usize| Some(u16::from_ne_bytes(*answer.get(at..)?.first_chunk()?));
        if u16_at(4)? != SOCK_DIAG_BY_FAMILY {
            return None;
        }
        let mut at = HEAD + MESSAGE;
        loop {
            let length = usize::from(u16_at(at)?);
            if u16_at(at + 2)? == INET_DIAG_INFO && length >= 4 {
                return answer.get(at + 4..at + length);
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

    /// The other end reads nothing and answers nothing, and its kernel acknowledges all the same; that may
    /// take as long as it likes (RFC 1122, 4.2.3.2: up to 500 ms).
    #[test]
    fn the_other_kernel_acknowledges_what_its_program_leaves_unread() {
        for address in ["127.0.0.1:0", "[::1]:0"] {
            let (mut server, mut device) = talked(address);
            let ends =
                Ends { local: server.local_addr().unwrap(), peer: server.peer_addr().unwrap() };
            let until = |done: fn(&Look) -> bool| loop {
                let look = ends.look().unwrap();
                if done(&look) {
                    return look;
                }
                std::thread::yield_now();
            };
            let before = until(|look| look.acknowledged == look.written);
            assert_eq!((before.written, before.unread, before.out_of_order), (1, false, 0));
            server.write_all(&[7; 18]).unwrap();
            let after = until(|look| look.acknowledged == 19);
            assert_eq!(after, Look { written: 19, acknowledged: 19, ..before });
            device.write_all(b"!").unwrap();
            assert!(until(|look| look.unread).unread);
            server.read_exact(&mut [0]).unwrap();
            assert_eq!(until(|look| !look.unread), after);
        }
    }

    #[test]
    fn an_answer_that_is_cut_short_or_damaged_says_nothing() {
        let (server, _device) = talked("127.0.0.1:0");
        let ends = Ends { local: server.local_addr().unwrap(), peer: server.peer_addr().unwrap() };
        let answer = linux::ask(&linux::question(&ends)).unwrap();
        assert!(linux::least(&answer).is_some());
        for length in 0..16 + 72 + 8 {
            assert_eq!(linux::least(&answer[..length]), None, "{length} bytes");
            assert_eq!(linux::look(&answer[..length]), None, "{length} bytes");
        }
        let mut other = answer.clone();
        other[4] ^= 1;
        assert_eq!(linux::least(&other), None);
        assert_eq!(linux::look(&other), None);
    }
}
