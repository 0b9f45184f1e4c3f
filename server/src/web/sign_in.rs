//! How a teacher is let in: a one-time key from the server's start becomes a browser's session; a
//! fixed key serves tools and tests. There are no accounts and no passwords.

use super::sessions::{Digest, Sessions};
use crate::limits::web::{SESSION_AGE_MAX, TEACHER_KEY_CHARS_MIN};
use crate::teacher::TeacherId;
use axum::http::{HeaderMap, header};
use handround_protocol::id::Token;
use handround_protocol::time::Micros;
use rand_core::{OsRng, TryRngCore};
use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;
use std::sync::{Mutex, MutexGuard, PoisonError};

const COOKIE: &str = "handround_session";

/// The key that is printed when the server starts and works once.
#[derive(Clone, PartialEq, Eq)]
pub struct OneTimeKey(Token);

impl OneTimeKey {
    /// Draws one from the system's randomness.
    ///
    /// # Errors
    /// A system without randomness.
    pub fn draw() -> Result<OneTimeKey, rand_core::OsError> {
        random_token().map(OneTimeKey)
    }
}

impl fmt::Display for OneTimeKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Debug for OneTimeKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("OneTimeKey(..)")
    }
}

/// A key that whoever starts the server chose for tools and tests.
#[derive(Clone, PartialEq, Eq)]
pub struct TeacherKey(String);

/// The chosen key is too short to be safe.
#[derive(Debug, thiserror::Error)]
#[error("a teacher's key needs at least {TEACHER_KEY_CHARS_MIN} characters, none of them a space")]
pub struct TeacherKeyTooShort;

impl FromStr for TeacherKey {
    type Err = TeacherKeyTooShort;

    fn from_str(text: &str) -> Result<TeacherKey, TeacherKeyTooShort> {
        let plain = text.chars().all(|letter| letter.is_ascii_graphic());
        let long = text.chars().count() >= TEACHER_KEY_CHARS_MIN;
        (plain && long).then(|| TeacherKey(text.into())).ok_or(TeacherKeyTooShort)
    }
}

impl fmt::Debug for TeacherKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("TeacherKey(..)")
    }
}

/// What became of a key that a browser brought.
pub enum KeyUse {
    /// A session begins: the value of its `Set-Cookie`.
    Begun(String),
    /// That one-time key was used before.
    Used,
    /// No such key.
    Wrong,
}

/// Who is signed in.
pub struct SignIn {
    one_time: Digest,
    fixed: Option<Digest>,
    state: Mutex<State>,
}

struct State {
    one_time_used: bool,
    sessions: Sessions,
}

impl SignIn {
    /// With the sessions that a file holds from the run before.
    pub fn new(
        one_time: &OneTimeKey,
        fixed: Option<&TeacherKey>,
        sessions: Option<PathBuf>,
    ) -> SignIn {
        let sessions = Sessions::read(sessions);
        SignIn {
            one_time: Digest::of(&one_time.to_string()),
            fixed: fixed.map(|key| Digest::of(&key.0)),
            state: Mutex::new(State { one_time_used: false, sessions }),
        }
    }

    /// A browser brings a key. The one-time key is used up; the fixed one is not. `secure` marks
    /// the cookie for HTTPS alone.
    pub fn use_key(&self, key: &str, secure: bool, now: Micros) -> KeyUse {
        let key = Digest::of(key);
        let fixed = self.fixed.as_ref().is_some_and(|fixed| fixed.is(&key));
        let one_time = self.one_time.is(&key);
        let mut state = self.state();
        match (fixed, one_time) {
            (false, false) => return KeyUse::Wrong,
            (false, true) if state.one_time_used => return KeyUse::Used,
            _ => {}
        }
        // Without randomness there is no secret to give; the key is not used up then.
        let Ok(secret) = random_token() else {
            return KeyUse::Wrong;
        };
        state.one_time_used |= one_time;
        let secret = secret.to_string();
        state.sessions.begin(&secret, now);
        let age_s = SESSION_AGE_MAX.as_secs();
        let secure = if secure { "; Secure" } else { "" };
        KeyUse::Begun(format!(
            "{COOKIE}={secret}; HttpOnly; SameSite=Strict; Path=/; Max-Age={age_s}{secure}"
        ))
    }

    /// The teacher whose session these headers carry, as a cookie or as a bearer (RFC 6750 section
    /// 2.1), or who has the fixed key as a bearer.
    pub fn who(&self, headers: &HeaderMap, now: Micros) -> Option<TeacherId> {
        if let Some(bearer) = bearer(headers) {
            let bearer = Digest::of(bearer);
            let known = self.fixed.as_ref().is_some_and(|fixed| fixed.is(&bearer))
                || self.has_session(&bearer, now);
            return known.then_some(TeacherId::THIS_MACHINE);
        }
        let known = cookies(headers).any(|secret| self.has_session(&Digest::of(secret), now));
        known.then_some(TeacherId::THIS_MACHINE)
    }

    fn has_session(&self, secret: &Digest, now: Micros) -> bool {
        self.state().sessions.hold(secret, now)
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// Whether the headers try a key rather than name a session by cookie: such tries are counted.
pub fn bearer(headers: &HeaderMap) -> Option<&str> {
    let value = headers.get(header::AUTHORIZATION)?.to_str().ok()?;
    let (scheme, secret) = value.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then_some(secret.trim())
}

/// Our cookie's values; another server on the same host may have left a second one.
fn cookies(headers: &HeaderMap) -> impl Iterator<Item = &str> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .filter(|(name, _)| *name == COOKIE)
        .map(|(_, value)| value)
}

fn random_token() -> Result<Token, rand_core::OsError> {
    let mut bytes = [0; 16];
    OsRng.try_fill_bytes(&mut bytes)?;
    Ok(Token(bytes))
}
