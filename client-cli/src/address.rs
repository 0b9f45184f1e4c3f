//! Where the server is. One address serves HTTP and the socket alike.

use anyhow::{Context as _, bail};
use std::str::FromStr;
use tokio_tungstenite::tungstenite::http::Uri;

/// A server's host and port.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Server(String);

impl Server {
    /// An HTTP address; `path` begins with a slash.
    pub fn http(&self, path: &str) -> String {
        format!("http://{}{path}", self.0)
    }

    /// The socket's address.
    pub fn socket(&self) -> String {
        format!("ws://{}/ws", self.0)
    }
}

impl FromStr for Server {
    type Err = anyhow::Error;

    /// Reads `http://HOST:PORT`, `ws://HOST:PORT` or `HOST:PORT`; what follows is passed over, so
    /// that an address can be pasted as the browser shows it.
    fn from_str(text: &str) -> anyhow::Result<Server> {
        let whole = if text.contains("://") { text.to_owned() } else { format!("http://{text}") };
        let uri: Uri = whole.parse().with_context(|| format!("{text} is not an address"))?;
        match uri.scheme_str() {
            Some("http" | "ws") => {}
            _ => bail!("this tool speaks http and ws only; for TLS use a local proxy"),
        }
        let authority = uri.authority().with_context(|| format!("{text} names no host"))?;
        Ok(Server(authority.as_str().to_owned()))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn addresses_are_read_as_people_paste_them() {
        let server = Server("192.0.2.7:8787".into());
        for text in [
            "192.0.2.7:8787",
            "http://192.0.2.7:8787",
            "http://192.0.2.7:8787/j/5a5a?x=1",
            "ws://192.0.2.7:8787/ws",
        ] {
            assert_eq!(text.parse::<Server>().unwrap(), server, "{text}");
        }
        for text in ["https://192.0.2.7", "wss://192.0.2.7/ws", "ftp://x", "", "http://"] {
            assert!(text.parse::<Server>().is_err(), "{text}");
        }
    }
}
