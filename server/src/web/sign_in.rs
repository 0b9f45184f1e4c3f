//! How a teacher is let in: where there are no accounts, a one-time key from the server's start becomes a
//! browser's session; where there are, a name and a password do (`sign_in_page`). A fixed key serves tools and
//! tests in either case. It knows accounts as they were at the last look.

use super::sessions::{Digest, Holder, Sessions, Signed};
use crate::account::Account;
use crate::limits::web::{SESSION_AGE_MAX, TEACHER_KEY_CHARS_MIN};
use axum::http::{HeaderMap, header};
use handround_protocol::id::Token;
use handround_protocol::time::Micros;
use rand_core::{OsRng, TryRngCore};
use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use tokio_util::sync::CancellationToken;

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
    /// Teachers have accounts here.
    Off,
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
    accounts: Arc<[Account]>,
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
            state: Mutex::new(State { one_time_used: false, sessions, accounts: Arc::new([]) }),
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
            (false, true) if !state.accounts.is_empty() => return KeyUse::Off,
            (false, true) if state.one_time_used => return KeyUse::Used,
            _ => {}
        }
        // Without randomness there is no secret to give; the key is not used up then.
        let holder = if fixed { Holder::Tool } else { Holder::Key };
        let Some(cookie) = state.begin(holder, secure, now) else {
            return KeyUse::Wrong;
        };
        state.one_time_used |= one_time;
        KeyUse::Begun(cookie)
    }

    /// A teacher has shown that an account is hers: the value of her browser's `Set-Cookie`. Whoever was
    /// signed in there before is signed out. None if the account was changed or removed meanwhile, or
    /// without randomness.
    pub fn begin(
        &self,
        account: &Account,
        headers: &HeaderMap,
        secure: bool,
        now: Micros,
    ) -> Option<String> {
        let mut state = self.state();
        let holder = Holder::of(account);
        if !state.accounts.iter().any(|known| Holder::of(known) == holder) {
            return None;
        }
        for secret in cookies(headers).map(Digest::of) {
            let other = |signed: Signed| signed.holder.teacher() != account.teacher;
            if state.sessions.hold(&secret, now).is_some_and(other) {
                state.sessions.end(&secret);
            }
        }
        state.begin(holder, secure, now)
    }

    /// A browser signs out: what takes its cookie away.
    pub fn end(&self, headers: &HeaderMap, secure: bool) -> String {
        let mut state = self.state();
        cookies(headers).for_each(|secret| state.sessions.end(&Digest::of(secret)));
        cookie("", 0, secure)
    }

    /// The accounts as they are now. Sign-ins of those that were changed or removed are over, and where there
    /// are any those with the one-time key.
    pub fn know(&self, accounts: Vec<Account>, now: Micros) {
        let mut state = self.state();
        state.sessions.keep_those_of(&accounts, now);
        state.accounts = accounts.into();
    }

    /// The accounts as they were at the last look.
    pub fn accounts(&self) -> Arc<[Account]> {
        self.state().accounts.clone()
    }

    /// Whether teachers have accounts.
    pub fn has_accounts(&self) -> bool {
        !self.state().accounts.is_empty()
    }

    /// The name of the account by which somebody is signed in.
    pub fn name_of(&self, holder: Holder) -> Option<String> {
        let accounts = self.accounts();
        let found = accounts.iter().find(|account| Holder::of(account) == holder);
        found.map(|account| account.name.to_string())
    }

    /// The teacher whose session these headers carry, as a cookie or as a bearer (RFC 6750 section
    /// 2.1), or who has the fixed key as a bearer.
    pub fn who(&self, headers: &HeaderMap, now: Micros) -> Option<Signed> {
        let mut state = self.state();
        if let Some(bearer) = bearer(headers) {
            let bearer = Digest::of(bearer);
            if self.fixed.as_ref().is_some_and(|fixed| fixed.is(&bearer)) {
                return Some(Signed { holder: Holder::Tool, over: CancellationToken::new() });
            }
            return state.sessions.hold(&bearer, now);
        }
        cookies(headers).find_map(|secret| state.sessions.hold(&Digest::of(secret), now))
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl State {
    fn begin(&mut self, holder: Holder, secure: bool, now: Micros) -> Option<String> {
        let secret = random_token().ok()?.to_string();
        self.sessions.begin(&secret, holder, now);
        Some(cookie(&secret, SESSION_AGE_MAX.as_secs(), secure))
    }
}

/// The value of a `Set-Cookie` (RFC 6265). No script reads it, and no other site's page sends it.
fn cookie(secret: &str, age_s: u64, secure: bool) -> String {
    let secure = if secure { "; Secure" } else { "" };
    format!("{COOKIE}={secret}; HttpOnly; SameSite=Strict; Path=/; Max-Age={age_s}{secure}")
}

/// Whether a proxy in front says that the browser came over HTTPS: the cookie is for HTTPS alone then.
pub fn over_https(headers: &HeaderMap) -> bool {
    headers.get("x-forwarded-proto").is_some_and(|scheme| scheme == "https")
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

/// Sixteen bytes that nobody can guess.
///
/// # Errors
/// A system without randomness.
pub fn random_token() -> Result<Token, rand_core::OsError> {
    let mut bytes = [0; 16];
    OsRng.try_fill_bytes(&mut bytes)?;
    Ok(Token(bytes))
}
