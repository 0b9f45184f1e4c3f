//! Who asks, as far as the edge needs to know: an address to count attempts by, and whether a
//! page of another site is behind it.

use super::kernel::Ends;
use axum::http::{HeaderMap, header};
use std::net::{IpAddr, Ipv6Addr, SocketAddr};
use std::sync::Arc;
use tokio::sync::OwnedSemaphorePermit;

/// One connection's other end; part of every request, and of the socket it may become.
#[derive(Clone)]
pub struct Peer {
    /// The address at the other end of the connection.
    pub socket: SocketAddr,
    /// Counts against `CONNECTIONS_MAX` as long as anything holds it.
    pub permit: Arc<OwnedSemaphorePermit>,
    /// What the kernel knows the connection by, where the deployment says that it is the device's own.
    pub direct: Option<Ends>,
}

impl Peer {
    /// The address that attempts are counted by. A reverse proxy on the same machine says in
    /// `X-Forwarded-For` whom it speaks for; only its own, last, entry is believed, and nobody
    /// else's. An IPv6 network of 64 bits counts as one address, since one device may use all of it.
    pub fn counted_address(&self, headers: &HeaderMap) -> IpAddr {
        let connected = self.socket.ip().to_canonical();
        let forwarded = || {
            let last = headers.get_all("x-forwarded-for").iter().next_back()?.to_str().ok()?;
            last.rsplit(',').next()?.trim().parse::<IpAddr>().ok()
        };
        let address = if connected.is_loopback() { forwarded() } else { None };
        match address.unwrap_or(connected).to_canonical() {
            IpAddr::V6(v6) => {
                let [a, b, c, d, ..] = v6.segments();
                IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0))
            }
            v4 => v4,
        }
    }
}

/// Whether the request came from this server's own pages, or from no page at all: browsers say in
/// `Origin` (RFC 6454) which site a page that asks belongs to, and tools say nothing.
pub fn is_own_origin(headers: &HeaderMap) -> bool {
    let Some(origin) = headers.get(header::ORIGIN) else {
        return true;
    };
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
    let (Ok(origin), Some(host)) = (origin.to_str(), host) else {
        return false;
    };
    let host = host.to_ascii_lowercase();
    let origin = origin.to_ascii_lowercase();
    // A browser leaves the scheme's usual port out of `Origin`; a `Host` may still name it.
    match origin.split_once("://") {
        Some(("http", authority)) => authority == host.strip_suffix(":80").unwrap_or(&host),
        Some(("https", authority)) => authority == host.strip_suffix(":443").unwrap_or(&host),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use tokio::sync::Semaphore;

    fn headers(pairs: &[(&'static str, &str)]) -> HeaderMap {
        pairs.iter().map(|(name, value)| (name.parse().unwrap(), value.parse().unwrap())).collect()
    }

    #[test]
    fn only_own_pages_and_tools_are_own() {
        let table = [
            // Origin, Host, own
            ("http://127.0.0.1:8787", "127.0.0.1:8787", true),
            ("http://Class.example", "class.example:80", true),
            ("https://class.example", "class.example", true),
            ("https://class.example", "class.example:443", true),
            ("https://class.example:8443", "class.example", false),
            ("http://127.0.0.1:8788", "127.0.0.1:8787", false),
            ("http://class.example.evil.example", "class.example", false),
            ("null", "class.example", false),
            ("file://class.example", "class.example", false),
        ];
        for (origin, host, own) in table {
            let headers = headers(&[("origin", origin), ("host", host)]);
            assert_eq!(is_own_origin(&headers), own, "{origin} at {host}");
        }
        assert!(is_own_origin(&headers(&[("host", "class.example")])), "a tool has no origin");
        assert!(!is_own_origin(&headers(&[("origin", "http://class.example")])), "no host");
    }

    #[tokio::test]
    async fn only_a_proxy_on_this_machine_is_believed_and_only_its_own_entry() {
        let permit = Arc::new(Arc::new(Semaphore::new(1)).acquire_owned().await.unwrap());
        let table = [
            // connected, X-Forwarded-For, counted
            ("192.0.2.7:9", "198.51.100.1", "192.0.2.7"),
            ("127.0.0.1:9", "198.51.100.1", "198.51.100.1"),
            ("127.0.0.1:9", "203.0.113.5, 198.51.100.1", "198.51.100.1"),
            ("127.0.0.1:9", "nonsense", "127.0.0.1"),
            ("[::1]:9", "2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
            ("[::ffff:192.0.2.7]:9", "198.51.100.1", "192.0.2.7"),
        ];
        for (connected, forwarded, counted) in table {
            let peer =
                Peer { socket: connected.parse().unwrap(), permit: permit.clone(), direct: None };
            let headers = headers(&[("x-forwarded-for", forwarded)]);
            assert_eq!(peer.counted_address(&headers), counted.parse::<IpAddr>().unwrap());
        }
    }
}
