//! The browsers that are signed in, kept over a restart: a server that comes back after a crash in
//! the middle of a lesson must not shut the teacher out.
//!
//! Only SHA-256 digests of secrets are kept, in memory and on disk, and they are compared in
//! constant time.

use crate::account::{Account, PasswordMark};
use crate::limits::web::{SESSION_AGE_MAX, SESSIONS_EACH_MAX, SESSIONS_MAX};
use crate::teacher::TeacherId;
use handround_protocol::time::Micros;
use sha2::{Digest as _, Sha256};
use std::collections::VecDeque;
use std::io::Write as _;
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use subtle::ConstantTimeEq;
use tokio_util::sync::CancellationToken;

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

/// What a browser signed in with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holder {
    /// The machine's one-time key, for as long as there are no accounts.
    Key,
    /// The fixed key of whoever started the server.
    Tool,
    /// An account and the password that it had then.
    Account(TeacherId, PasswordMark),
}

impl Holder {
    /// As somebody signs in with this account now.
    pub fn of(account: &Account) -> Holder {
        Holder::Account(account.teacher, account.password.mark())
    }

    /// The teacher who is there then.
    pub fn teacher(self) -> TeacherId {
        match self {
            Holder::Key | Holder::Tool => TeacherId::THIS_MACHINE,
            Holder::Account(teacher, _) => teacher,
        }
    }
}

/// A teacher who is signed in.
#[derive(Clone, Debug)]
pub struct Signed {
    /// What she signed in with.
    pub holder: Holder,
    /// Cancelled when the sign-in is over: whatever goes on by it must stop.
    pub over: CancellationToken,
}

struct Session {
    secret: Digest,
    begun: Micros,
    signed: Signed,
}

impl Session {
    fn new(secret: Digest, begun: Micros, holder: Holder) -> Session {
        let signed = Signed { holder, over: CancellationToken::new() };
        Session { secret, begun, signed }
    }
}

/// All sessions, oldest first.
pub struct Sessions {
    begun: VecDeque<Session>,
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

    /// A browser signs in. If there are too many, the same teacher's oldest goes, then anybody's.
    pub fn begin(&mut self, secret: &str, holder: Holder, now: Micros) {
        self.forget_old(now);
        let teacher = holder.teacher();
        let own = |session: &Session| session.signed.holder.teacher() == teacher;
        let too_many =
            if self.begun.iter().filter(|session| own(session)).count() >= SESSIONS_EACH_MAX {
                self.begun.iter().position(own)
            } else {
                (self.begun.len() >= SESSIONS_MAX).then_some(0)
            };
        if let Some(gone) = too_many.and_then(|place| self.begun.remove(place)) {
            gone.signed.over.cancel();
        }
        self.begun.push_back(Session::new(Digest::of(secret), now, holder));
        self.write();
    }

    /// Who is signed in at that browser.
    pub fn hold(&mut self, secret: &Digest, now: Micros) -> Option<Signed> {
        self.forget_old(now);
        let found = self.begun.iter().find(|session| session.secret.is(secret));
        found.map(|session| session.signed.clone())
    }

    /// A browser signs out.
    pub fn end(&mut self, secret: &Digest) {
        if self.retain(|session| !session.secret.is(secret)) {
            self.write();
        }
    }

    /// Ends what was begun with an account that is gone or had another password, and what was begun with the
    /// one-time key once there are accounts.
    pub fn keep_those_of(&mut self, accounts: &[Account], now: Micros) {
        self.forget_old(now);
        let good: Vec<Holder> = accounts.iter().map(Holder::of).collect();
        let stays = |holder: Holder| match holder {
            Holder::Key => accounts.is_empty(),
            Holder::Tool => true,
            Holder::Account(..) => good.contains(&holder),
        };
        if self.retain(|session| stays(session.signed.holder)) {
            self.write();
        }
    }

    fn forget_old(&mut self, now: Micros) {
        let age_max = Micros::from_s(SESSION_AGE_MAX.as_secs());
        self.retain(|session| now.since(session.begun) < age_max);
    }

    /// Ends the others. True if there were any.
    fn retain(&mut self, stays: impl Fn(&Session) -> bool) -> bool {
        let before = self.begun.len();
        self.begun.retain(|session| {
            let stays = stays(session);
            if !stays {
                session.signed.over.cancel();
            }
            stays
        });
        self.begun.len() < before
    }

    fn write(&self) {
        if let Some(file) = &self.file
            && let Err(error) = write(file, &self.begun)
        {
            tracing::warn!(kind = ?error.kind(), "sign-ins will not outlast this run");
        }
    }
}

/// The third word of a session that was begun with the fixed key.
const TOOL: &str = "tool";

/// One line a session: the digest in hex and the moment in microseconds; with an account also its
/// teacher and the mark of the password in hex.
fn parse(line: &str) -> Option<Session> {
    let mut words = line.split(' ');
    let secret = Digest(from_hex(words.next()?)?);
    let begun = Micros(words.next()?.parse().ok()?);
    let holder = match (words.next(), words.next()) {
        (None, None) => Holder::Key,
        (Some(TOOL), None) => Holder::Tool,
        (Some(teacher), Some(mark)) => {
            Holder::Account(TeacherId::parse(teacher)?, PasswordMark(from_hex(mark)?))
        }
        _ => return None,
    };
    Some(Session::new(secret, begun, holder))
}

fn from_hex(text: &str) -> Option<[u8; 32]> {
    let mut bytes = [0; 32];
    if text.len() != 64 || !text.is_ascii() {
        return None;
    }
    for (index, byte) in bytes.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&text[2 * index..2 * index + 2], 16).ok()?;
    }
    Some(bytes)
}

fn hex(bytes: &[u8; 32]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Replaces the file at once, readable for this user alone.
fn write(file: &Path, sessions: &VecDeque<Session>) -> std::io::Result<()> {
    let next = file.with_extension("next");
    let mut options = std::fs::OpenOptions::new();
    let mut out = options.create(true).write(true).truncate(true).mode(0o600).open(&next)?;
    for Session { secret: Digest(bytes), begun, signed } in sessions {
        write!(out, "{} {}", hex(bytes), begun.0)?;
        match signed.holder {
            Holder::Key => writeln!(out)?,
            Holder::Tool => writeln!(out, " {TOOL}")?,
            Holder::Account(teacher, PasswordMark(mark)) => {
                writeln!(out, " {teacher} {}", hex(&mark))?;
            }
        }
    }
    std::fs::rename(next, file)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::account::{Password, PasswordHash};

    const MORNING: Micros = Micros::from_s(1_000_000);

    fn holds(sessions: &mut Sessions, secret: &str, now: Micros) -> Option<TeacherId> {
        sessions.hold(&Digest::of(secret), now).map(|signed| signed.holder.teacher())
    }

    fn account(number: u8, password: &str) -> Account {
        let password: Password = password.parse().unwrap();
        let password = PasswordHash::of(&password, [number; 16]).unwrap();
        Account { teacher: TeacherId::new([number; 16]), name: "Fern".parse().unwrap(), password }
    }

    #[test]
    fn sessions_outlast_a_restart_and_end_with_the_day() {
        let directory = tempfile::tempdir().unwrap();
        let file = directory.path().join("sessions");
        let fern = account(1, "leaf pebble cart");
        let mut sessions = Sessions::read(Some(file.clone()));
        assert_eq!(holds(&mut sessions, "a", MORNING), None);
        sessions.begin("a", Holder::Key, MORNING);
        sessions.begin("b", Holder::of(&fern), MORNING.plus(Micros::from_s(60)));

        let mut again = Sessions::read(Some(file.clone()));
        assert_eq!(holds(&mut again, "a", MORNING), Some(TeacherId::THIS_MACHINE));
        assert_eq!(holds(&mut again, "b", MORNING), Some(fern.teacher));
        assert_eq!(holds(&mut again, "c", MORNING), None);
        let evening = MORNING.plus(Micros::from_s(SESSION_AGE_MAX.as_secs()));
        assert_eq!(holds(&mut again, "a", evening), None, "a has had its day");
        assert_eq!(holds(&mut again, "b", evening), Some(fern.teacher));

        std::fs::write(&file, "nonsense\nffff 7\n").unwrap();
        assert_eq!(holds(&mut Sessions::read(Some(file)), "a", MORNING), None);
    }

    #[test]
    fn a_changed_password_or_a_removed_account_ends_its_sessions_and_no_others() {
        let directory = tempfile::tempdir().unwrap();
        let file = directory.path().join("sessions");
        let [fern, moss] = [account(1, "leaf pebble cart"), account(2, "leaf pebble cart")];
        let mut sessions = Sessions::read(Some(file.clone()));
        for (secret, holder) in
            [("tool", Holder::Tool), ("fern", Holder::of(&fern)), ("moss", Holder::of(&moss))]
        {
            sessions.begin(secret, holder, MORNING);
        }
        let watched = sessions.hold(&Digest::of("fern"), MORNING).unwrap().over;
        sessions.keep_those_of(&[fern, moss.clone()], MORNING);
        assert!(holds(&mut sessions, "fern", MORNING).is_some() && !watched.is_cancelled());
        sessions.keep_those_of(&[account(1, "another leaf cart"), moss], MORNING);
        assert!(holds(&mut sessions, "fern", MORNING).is_none() && watched.is_cancelled());
        assert!(holds(&mut sessions, "moss", MORNING).is_some());
        assert!(holds(&mut Sessions::read(Some(file.clone())), "fern", MORNING).is_none());
        sessions.keep_those_of(&[], MORNING);
        assert!(holds(&mut sessions, "moss", MORNING).is_none());
        assert!(holds(&mut Sessions::read(Some(file.clone())), "tool", MORNING).is_some());
        sessions.end(&Digest::of("tool"));
        assert!(holds(&mut sessions, "tool", MORNING).is_none());
        assert_eq!(std::fs::read_to_string(file).unwrap(), "");
    }

    /// Whoever came with the key is that machine's teacher only as long as nobody has an account.
    #[test]
    fn the_one_time_keys_sessions_end_when_accounts_take_over() {
        let mut sessions = Sessions::read(None);
        sessions.begin("key", Holder::Key, MORNING);
        sessions.begin("tool", Holder::Tool, MORNING);
        sessions.keep_those_of(&[], MORNING);
        let watched = sessions.hold(&Digest::of("key"), MORNING).unwrap().over;
        sessions.keep_those_of(&[account(1, "leaf pebble cart")], MORNING);
        assert!(watched.is_cancelled() && holds(&mut sessions, "key", MORNING).is_none());
        assert!(holds(&mut sessions, "tool", MORNING).is_some(), "for tools and tests in any case");
    }

    #[test]
    fn a_teachers_oldest_goes_when_she_has_too_many() {
        let mut sessions = Sessions::read(None);
        let moss = account(2, "leaf pebble cart");
        sessions.begin("moss", Holder::of(&moss), Micros(0));
        for number in 0..=SESSIONS_EACH_MAX {
            sessions.begin(&number.to_string(), Holder::Key, Micros(number as u64));
        }
        assert!(holds(&mut sessions, "0", Micros(0)).is_none());
        assert!(holds(&mut sessions, "1", Micros(0)).is_some());
        assert!(holds(&mut sessions, "moss", Micros(0)).is_some(), "nobody else's");
    }
}
