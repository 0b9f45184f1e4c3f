//! Accounts of a school's teachers: a name, the hash of a password, and which teacher that is. Each is
//! one document in the store and no history, so that an old password's hash is gone with the password.
//!
//! It knows neither HTTP nor sessions nor lessons. A password comes in as an argument and is never kept,
//! printed or logged.

mod guessable;
mod password;

pub use password::{Password, PasswordHash, PasswordMark, PasswordNo, spend_as_much};

use crate::journal::{Store, StoreError, StreamName};
use crate::limits::account::NAME_CHARS_MAX;
use crate::teacher::TeacherId;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

/// What a teacher signs in with, as she writes it herself. Two names that differ in small and capital
/// letters alone are the same.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct AccountName(String);

impl AccountName {
    fn folded(&self) -> String {
        fold(&self.0)
    }
}

fn fold(name: &str) -> String {
    name.trim().to_lowercase()
}

impl fmt::Display for AccountName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The name cannot be used.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("a name has 1 to {NAME_CHARS_MAX} letters on one line")]
pub struct NameNo;

impl FromStr for AccountName {
    type Err = NameNo;

    fn from_str(text: &str) -> Result<AccountName, NameNo> {
        let name = text.trim();
        let fits = (1..=NAME_CHARS_MAX).contains(&name.chars().count());
        let plain = !name.chars().any(char::is_control);
        (fits && plain).then(|| AccountName(name.to_owned())).ok_or(NameNo)
    }
}

/// An account as it is kept.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Account {
    /// Whose it is.
    pub teacher: TeacherId,
    /// Her name.
    pub name: AccountName,
    /// Of her password.
    pub password: PasswordHash,
}

/// The account of this name, however it is written.
pub fn find<'a>(accounts: &'a [Account], name: &str) -> Option<&'a Account> {
    let name = fold(name);
    accounts.iter().find(|account| account.name.folded() == name)
}

/// The prefix of every account's stream.
const ACCOUNTS: &str = "account/";

fn stream(teacher: TeacherId) -> StreamName {
    StreamName(format!("{ACCOUNTS}{teacher}"))
}

/// All accounts, by name. One that cannot be read is left out, and logged.
///
/// # Errors
/// The store's.
pub async fn read_all(store: &dyn Store) -> Result<Vec<Account>, StoreError> {
    let mut accounts: Vec<Account> = Vec::new();
    for stream in store.streams(ACCOUNTS).await? {
        let lines = store.read(stream.clone()).await?;
        match lines.last().map(|line| serde_json::from_str(line)) {
            Some(Ok(account)) => accounts.push(account),
            // The error would tell a part of the line.
            Some(Err(_)) => tracing::error!(stream = stream.0, "an account cannot be read"),
            None => {}
        }
    }
    accounts.sort_by_key(|account| account.name.folded());
    Ok(accounts)
}

/// The teachers who have accounts, also ones that cannot be read: by this it is told whose things are
/// nobody's any more.
///
/// # Errors
/// The store's.
pub async fn teachers(store: &dyn Store) -> Result<BTreeSet<TeacherId>, StoreError> {
    let streams = store.streams(ACCOUNTS).await?;
    let teacher = |stream: &StreamName| TeacherId::parse(stream.0.strip_prefix(ACCOUNTS)?);
    Ok(streams.iter().filter_map(teacher).collect())
}

/// Keeps an account as it is now; what it was before is gone.
///
/// # Errors
/// The store's.
pub async fn keep(store: &dyn Store, account: &Account) -> Result<(), StoreError> {
    let line = serde_json::to_string(account);
    let line = line.map_err(|error| StoreError::Failed(error.to_string()))?;
    store.replace(stream(account.teacher), vec![line]).await
}

/// Removes an account.
///
/// # Errors
/// The store's.
pub async fn forget(store: &dyn Store, teacher: TeacherId) -> Result<(), StoreError> {
    store.delete(stream(teacher)).await
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::journal::MemoryStore;

    #[test]
    fn a_name_is_short_and_on_one_line() {
        for good in ["Fern", " Ms Fern ", "é", &"n".repeat(NAME_CHARS_MAX)] {
            assert_eq!(good.parse::<AccountName>().unwrap().to_string(), good.trim());
        }
        for bad in ["", "  ", "a\nb", "a\u{7}", &"n".repeat(NAME_CHARS_MAX + 1)] {
            assert_eq!(bad.parse::<AccountName>().unwrap_err(), NameNo, "{bad:?}");
        }
    }

    #[tokio::test]
    async fn an_account_is_found_by_its_name_replaced_and_forgotten() {
        let store = MemoryStore::new();
        let password: Password = "a long leaf cart".parse().unwrap();
        let account = |number: u8, name: &str| Account {
            teacher: TeacherId::new([number; 16]),
            name: name.parse().unwrap(),
            password: PasswordHash::of(&password, [number; 16]).unwrap(),
        };
        keep(&store, &account(1, "Moss")).await.unwrap();
        keep(&store, &account(2, "Élodie Fern")).await.unwrap();
        keep(&store, &account(1, "Moss")).await.unwrap();
        let all = read_all(&store).await.unwrap();
        assert_eq!(all.len(), 2);
        assert_eq!(find(&all, " éLODIE fern").unwrap().teacher, TeacherId::new([2; 16]));
        assert!(find(&all, "Fern").is_none());
        let held = store.read(stream(TeacherId::new([1; 16]))).await.unwrap();
        assert_eq!(held.len(), 1, "nothing of before");
        assert!(!held[0].contains("a long leaf cart") && held[0].contains("$argon2id$"));

        // One that cannot be read lets nobody in, and its things stay hers.
        store.replace(stream(TeacherId::new([2; 16])), vec!["{".to_owned()]).await.unwrap();
        assert_eq!(read_all(&store).await.unwrap().len(), 1);
        assert_eq!(teachers(&store).await.unwrap().len(), 2);
        forget(&store, TeacherId::new([2; 16])).await.unwrap();
        assert_eq!(teachers(&store).await.unwrap(), BTreeSet::from([TeacherId::new([1; 16])]));
    }
}
