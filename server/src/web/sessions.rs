//! The browsers that are signed in, kept over a restart: a server that comes back after a crash in
//! the middle of a lesson must not shut the teacher out.
//!
//! Only SHA-256 digests of secrets are kept, in memory and on disk, and they are compared in
//! constant time.

use crate::limits::web::{SESSION_AGE_MAX, SESSIONS_MAX};
use handround_protocol::time::Micros;
use sha2::{Digest as _, Sha256};
use std::collections::VecDeque;
use std::io::Write as _;
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use subtle::ConstantTimeEq;

/// The digest of a secret; the secret itself is forgotten.
pub struct Digest([u8; 32]);

impl Digest {
    /// Of any secret.
    pub fn of(secret: &str) -> Digest {
        Digest(Sha256::digest(secret).into())
    }

    /// Whether both are of one secret.
    pub fn is(&self, other: &Digest) -> bool {
        self.0.ct_eq(&other.0).into()
    }
}

/// All sessions, oldest first.
pub struct Sessions {
    begun: VecDeque<(Digest, Micros)>,
    file: Option<PathBuf>,
}

impl Sessions {
    /// Those of the file, if there is one. A file that cannot be read holds none: the worst is that
    /// a teacher signs in again.
    pub fn read(file: Option<PathBuf>) -> Sessions {
        let text = file.as_deref().and_then(|file| std::fs::read_to_string(file).ok());
        let begun = text.unwrap_or_default().lines().filter_map(parse).collect();
        Sessions { begun, file }
    }

    /// A browser signs in.
    pub fn begin(&mut self, secret: &str, now: Micros) {
        self.forget_old(now);
        if self.begun.len() >= SESSIONS_MAX {
            self.begun.pop_front();
        }
        self.begun.push_back((Digest::of(secret), now));
        if let Some(file) = &self.file
            && let Err(error) = write(file, &self.begun)
        {
            tracing::warn!(kind = ?error.kind(), "sign-ins will not outlast this run");
        }
    }

    /// Whether that browser is signed in.
    pub fn hold(&mut self, secret: &Digest, now: Micros) -> bool {
        self.forget_old(now);
        self.begun.iter().any(|(session, _)| session.is(secret))
    }

    fn forget_old(&mut self, now: Micros) {
        let age_max = Micros::from_s(SESSION_AGE_MAX.as_secs());
        self.begun.retain(|(_, begun)| now.since(*begun) < age_max);
    }
}

/// One line a session: the digest in hex and the moment in microseconds.
fn parse(line: &str) -> Option<(Digest, Micros)> {
    let (digest, begun) = line.split_once(' ')?;
    let mut bytes = [0; 32];
    if digest.len() != 64 || !digest.is_ascii() {
        return None;
    }
    for (index, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&digest[2 * index..2 * index + 2], 16).ok()?;
    }
    Some((Digest(bytes), Micros(begun.parse().ok()?)))
}

/// Replaces the file at once, readable for this user alone.
fn write(file: &Path, sessions: &VecDeque<(Digest, Micros)>) -> std::io::Result<()> {
    let next = file.with_extension("next");
    let mut options = std::fs::OpenOptions::new();
    let mut out = options.create(true).write(true).truncate(true).mode(0o600).open(&next)?;
    for (Digest(bytes), begun) in sessions {
        for byte in bytes {
            write!(out, "{byte:02x}")?;
        }
        writeln!(out, " {begun}", begun = begun.0)?;
    }
    std::fs::rename(next, file)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn sessions_outlast_a_restart_and_end_with_the_day() {
        let directory = tempfile::tempdir().unwrap();
        let file = directory.path().join("sessions");
        let morning = Micros::from_s(1_000_000);
        let mut sessions = Sessions::read(Some(file.clone()));
        assert!(!sessions.hold(&Digest::of("a"), morning));
        sessions.begin("a", morning);
        sessions.begin("b", morning.plus(Micros::from_s(60)));

        let mut again = Sessions::read(Some(file.clone()));
        assert!(again.hold(&Digest::of("a"), morning) && again.hold(&Digest::of("b"), morning));
        assert!(!again.hold(&Digest::of("c"), morning));
        let evening = morning.plus(Micros::from_s(SESSION_AGE_MAX.as_secs()));
        assert!(!again.hold(&Digest::of("a"), evening), "a has had its day");
        assert!(again.hold(&Digest::of("b"), evening));

        std::fs::write(&file, "nonsense\nffff 7\n").unwrap();
        assert!(!Sessions::read(Some(file)).hold(&Digest::of("a"), morning));
    }

    #[test]
    fn the_oldest_goes_when_there_are_too_many() {
        let mut sessions = Sessions::read(None);
        for number in 0..=SESSIONS_MAX {
            sessions.begin(&number.to_string(), Micros(number as u64));
        }
        assert!(!sessions.hold(&Digest::of("0"), Micros(0)));
        assert!(sessions.hold(&Digest::of("1"), Micros(0)));
    }
}
