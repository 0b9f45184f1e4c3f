//! Passwords as argon2id hashes (RFC 9106) in PHC strings, which name their own parameters. Hashing takes
//! some tens of milliseconds and 19 MiB on purpose, so callers do it on a thread of its own.

use super::guessable::is_guessable;
use crate::limits::account::{
    HASH_LANES, HASH_MEMORY_KIB, HASH_PASSES, PASSWORD_CHARS_MAX, PASSWORD_CHARS_MIN,
};
use argon2::password_hash::{PasswordHash as Phc, SaltString};
use argon2::{Algorithm, Argon2, Params, PasswordHasher, PasswordVerifier, Version};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use std::fmt;
use std::str::FromStr;

/// A password that may be kept, as a hash.
pub struct Password(String);

/// Why a password cannot be used.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum PasswordNo {
    /// Too easily guessed.
    #[error("a password has at least {PASSWORD_CHARS_MIN} letters; some words in a row do well")]
    TooShort,
    /// No password manager makes such.
    #[error("a password has at most {PASSWORD_CHARS_MAX} letters")]
    TooLong,
    /// It could not be typed on the page.
    #[error("a password stands on one line")]
    Control,
    /// It is mostly what anybody would try first.
    #[error(
        "a password is more than a name, a common word or characters in a row; some words in a row that nobody \
         expects together do well"
    )]
    Guessable,
}

impl Password {
    /// A password that may be kept for whom these texts are about, such as her name.
    ///
    /// # Errors
    /// Too short, too long, on two lines, or too easily guessed.
    pub fn new(text: &str, about: &[&str]) -> Result<Password, PasswordNo> {
        match text.chars().count() {
            ..PASSWORD_CHARS_MIN => Err(PasswordNo::TooShort),
            PASSWORD_CHARS_MIN..=PASSWORD_CHARS_MAX if text.chars().any(char::is_control) => {
                Err(PasswordNo::Control)
            }
            PASSWORD_CHARS_MIN..=PASSWORD_CHARS_MAX if is_guessable(text, about) => {
                Err(PasswordNo::Guessable)
            }
            PASSWORD_CHARS_MIN..=PASSWORD_CHARS_MAX => Ok(Password(text.to_owned())),
            _ => Err(PasswordNo::TooLong),
        }
    }
}

impl FromStr for Password {
    type Err = PasswordNo;

    /// Of nobody in particular.
    fn from_str(text: &str) -> Result<Password, PasswordNo> {
        Password::new(text, &[])
    }
}

impl fmt::Debug for Password {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Password(..)")
    }
}

/// The hash of a password, as a PHC string.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PasswordHash(String);

/// Tells one password's hash from the next: a session that was begun with another one is over. It is a
/// SHA-256 of the PHC string, which holds a random salt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PasswordMark(pub [u8; 32]);

/// A hash could not be made: our fault, since salt and parameters are ours.
#[derive(Debug, thiserror::Error)]
#[error("a password could not be hashed: {0}")]
pub struct HashFailed(String);

fn hasher() -> Result<Argon2<'static>, HashFailed> {
    let params = Params::new(HASH_MEMORY_KIB, HASH_PASSES, HASH_LANES, None);
    let params = params.map_err(|error| HashFailed(error.to_string()))?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

fn phc(password: &str, salt: [u8; 16]) -> Result<String, HashFailed> {
    let failed = |error: argon2::password_hash::Error| HashFailed(error.to_string());
    let salt = SaltString::encode_b64(&salt).map_err(failed)?;
    let hash = hasher()?.hash_password(password.as_bytes(), &salt).map_err(failed)?;
    Ok(hash.to_string())
}

impl PasswordHash {
    /// Hashes a password with a salt that was drawn for it.
    ///
    /// # Errors
    /// Only where parameters of ours are wrong.
    pub fn of(password: &Password, salt: [u8; 16]) -> Result<PasswordHash, HashFailed> {
        phc(&password.0, salt).map(PasswordHash)
    }

    /// Whether this password was hashed. The digests are compared in constant time.
    pub fn is_of(&self, tried: &str) -> bool {
        if tried.chars().count() > PASSWORD_CHARS_MAX {
            return false;
        }
        let parsed = Phc::new(&self.0);
        parsed.is_ok_and(|hash| Argon2::default().verify_password(tried.as_bytes(), &hash).is_ok())
    }

    /// Tells it from the hash of another password.
    pub fn mark(&self) -> PasswordMark {
        PasswordMark(Sha256::digest(&self.0).into())
    }
}

impl fmt::Debug for PasswordHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("PasswordHash(..)")
    }
}

/// Takes as long as `is_of`, for a name that nobody has: the time it takes must not tell names.
pub fn spend_as_much(tried: &str) {
    if tried.chars().count() <= PASSWORD_CHARS_MAX {
        // What comes out is nobody's.
        let _ = phc(tried, [0; 16]);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use argon2::{AssociatedData, ParamsBuilder};

    /// Source: RFC 9106, section 5.3 (Argon2id test vectors): 32 KiB, 3 passes, 4 lanes.
    #[test]
    fn the_library_computes_what_the_standard_says() {
        let params = ParamsBuilder::new()
            .m_cost(32)
            .t_cost(3)
            .p_cost(4)
            .data(AssociatedData::new(&[0x04; 12]).unwrap())
            .build()
            .unwrap();
        let secret = [0x03; 8];
        let argon2 =
            Argon2::new_with_secret(&secret, Algorithm::Argon2id, Version::V0x13, params).unwrap();
        let mut tag = [0; 32];
        argon2.hash_password_into(&[0x01; 32], &[0x02; 16], &mut tag).unwrap();
        let expected = [
            0x0d, 0x64, 0x0d, 0xf5, 0x8d, 0x78, 0x76, 0x6c, 0x08, 0xc0, 0x37, 0xa3, 0x4a, 0x8b,
            0x53, 0xc9, 0xd0, 0x1e, 0xf0, 0x45, 0x2d, 0x75, 0xb6, 0x5e, 0xb5, 0x25, 0x20, 0xe9,
            0x6b, 0x01, 0xe6, 0x59,
        ];
        assert_eq!(tag, expected);
    }

    #[test]
    fn a_hash_names_its_parameters_and_fits_its_password_alone() {
        let password = |text: &str| text.parse::<Password>().unwrap();
        let hash = PasswordHash::of(&password("leaf pebble cart"), [7; 16]).unwrap();
        let text = serde_json::to_string(&hash).unwrap();
        assert!(text.starts_with("\"$argon2id$v=19$m=19456,t=2,p=1$"), "{text}");
        let again: PasswordHash = serde_json::from_str(&text).unwrap();
        assert!(again.is_of("leaf pebble cart"));
        for wrong in ["", "leaf pebble car", "Leaf pebble cart", "leaf pebble cart "] {
            assert!(!again.is_of(wrong), "{wrong:?}");
        }
        assert!(!again.is_of(&"x".repeat(1_000_000)), "not even hashed");
        let salted = PasswordHash::of(&password("leaf pebble cart"), [8; 16]).unwrap();
        assert!(salted != hash && salted.mark() != hash.mark());
        assert_eq!(again.mark(), hash.mark());
        let nonsense: PasswordHash = serde_json::from_str("\"$argon2id$\"").unwrap();
        assert!(!nonsense.is_of("leaf pebble cart"));
        assert_eq!(
            format!("{:?} {hash:?}", password("leaf pebble cart")),
            "Password(..) PasswordHash(..)"
        );
    }

    #[test]
    fn a_password_is_long_enough_and_can_be_typed() {
        let long: String =
            "éàèùâêîôûä".chars().cycle().take(PASSWORD_CHARS_MAX - 1).chain(['x']).collect();
        assert!(long.parse::<Password>().is_ok(), "letters count, not bytes");
        let table = [
            ("short", PasswordNo::TooShort),
            ("eleven char", PasswordNo::TooShort),
            ("a password\nof two lines", PasswordNo::Control),
            (&format!("{long}e"), PasswordNo::TooLong),
            ("123456789012", PasswordNo::Guessable),
        ];
        for (text, no) in table {
            assert_eq!(text.parse::<Password>().unwrap_err(), no, "{text:?}");
        }
    }
}
