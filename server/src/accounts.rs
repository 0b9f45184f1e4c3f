//! `handround accounts`: who may sign in on a school's server. A password is typed without echo, or comes
//! in on standard input; it never stands on the command line, which other users of the machine can read.
//!
//! It works beside a running server, which looks for changes every few seconds.

use anyhow::{Context, bail, ensure};
use handround_server::account::{self, Account, AccountName, Password, PasswordHash};
use handround_server::journal::{SqliteStore, Store};
use handround_server::lesson::belongings;
use handround_server::teacher::TeacherId;
use rand_core::{OsRng, TryRngCore};
use std::io::{BufRead, IsTerminal};
use std::path::PathBuf;

/// The accounts of one data directory.
#[derive(clap::Args)]
pub struct Accounts {
    /// Where lessons are kept; the same as for `serve`.
    #[arg(long, value_name = "DIR", default_value = "./handround-data")]
    data: PathBuf,
    #[command(subcommand)]
    wish: Wish,
}

#[derive(clap::Subcommand)]
enum Wish {
    /// Make an account. From the first one on the one-time key is off.
    Add {
        /// What the teacher signs in with.
        name: AccountName,
        /// The account gets what was made with the one-time key before there were accounts.
        #[arg(long)]
        takes_over: bool,
    },
    /// Show all accounts.
    List,
    /// Give an account a new password. Browsers that are signed in with the old one are signed out.
    Password {
        /// Whose.
        name: AccountName,
    },
    /// Remove an account. Its browsers are signed out.
    Remove {
        /// Whose.
        name: AccountName,
        /// Delete the teacher's lessons, classes, reports and decks with it, for good.
        #[arg(long)]
        with_lessons: bool,
    },
}

/// Carries out the wish.
///
/// # Errors
/// A directory that cannot be used, a name that is taken or unknown, a password that is too short.
pub async fn run(asked: &Accounts) -> anyhow::Result<()> {
    let data = &asked.data;
    let opened = SqliteStore::open(data).await;
    let store =
        opened.with_context(|| format!("the data in {} cannot be opened", data.display()))?;
    let accounts = account::read_all(&store).await?;
    match &asked.wish {
        Wish::Add { name, takes_over } => add(&store, &accounts, name, *takes_over).await,
        Wish::List => {
            accounts.iter().for_each(|account| println!("{}", account.name));
            if accounts.is_empty() {
                println!("There are no accounts: the teacher comes with the one-time key.");
            }
            Ok(())
        }
        Wish::Password { name } => {
            let mut account = known(&accounts, name)?.clone();
            account.password = ask_password(&account.name)?;
            account::keep(&store, &account).await?;
            println!("{} has a new password.", account.name);
            Ok(())
        }
        Wish::Remove { name, with_lessons } => {
            remove(&store, known(&accounts, name)?, *with_lessons).await
        }
    }
}

fn known<'a>(accounts: &'a [Account], name: &AccountName) -> anyhow::Result<&'a Account> {
    let found = account::find(accounts, &name.to_string());
    found.with_context(|| format!("there is no account for {name}"))
}

async fn add(
    store: &dyn Store,
    accounts: &[Account],
    name: &AccountName,
    takes_over: bool,
) -> anyhow::Result<()> {
    let taken = account::find(accounts, &name.to_string()).is_some();
    ensure!(!taken, "there is an account for {name} already");
    let most = handround_server::limits::account::ACCOUNTS_MAX;
    ensure!(accounts.len() < most, "there can be {most} accounts");
    let teacher = if takes_over {
        TeacherId::THIS_MACHINE
    } else {
        TeacherId::new(uuid::Builder::from_random_bytes(random()?).into_uuid().into_bytes())
    };
    if let Some(other) = accounts.iter().find(|account| account.teacher == teacher) {
        bail!("{} has taken over those lessons already", other.name);
    }
    let account = Account { teacher, name: name.clone(), password: ask_password(name)? };
    account::keep(store, &account).await?;
    println!("{name} can sign in.");
    if accounts.is_empty() {
        println!("This is the first account: the one-time key is off from now on.");
    }
    let earlier = belongings(store, TeacherId::THIS_MACHINE).await?;
    let reachable = takes_over || accounts.iter().any(|one| one.teacher == TeacherId::THIS_MACHINE);
    if !reachable && !earlier.is_nothing() {
        println!(
            "What was made with the key before ({earlier}) is no account's. To hand it to somebody, add \
             an account with --takes-over."
        );
    }
    Ok(())
}

async fn remove(store: &dyn Store, account: &Account, with_lessons: bool) -> anyhow::Result<()> {
    let hers = belongings(store, account.teacher).await?;
    // What came from the key stays this machine's, with or without the account.
    let goes = !hers.is_nothing() && account.teacher != TeacherId::THIS_MACHINE;
    ensure!(
        with_lessons || !goes,
        "{} has {hers}. To delete that for good with the account, add --with-lessons; to keep the account \
         and let nobody in, give it a new password",
        account.name
    );
    account::forget(store, account.teacher).await?;
    println!("{} can no longer sign in.", account.name);
    if goes {
        println!(
            "What the teacher had ({hers}) is deleted by the server within a minute, or when it starts."
        );
    }
    Ok(())
}

fn random() -> anyhow::Result<[u8; 16]> {
    let mut bytes = [0; 16];
    OsRng.try_fill_bytes(&mut bytes).context("the system gives no random numbers")?;
    Ok(bytes)
}

fn ask_password(name: &AccountName) -> anyhow::Result<PasswordHash> {
    let name = name.to_string();
    let typed = if std::io::stdin().is_terminal() {
        let first = rpassword::prompt_password("Password: ")?;
        Password::new(&first, &[&name])?;
        ensure!(
            first == rpassword::prompt_password("The same once more: ")?,
            "those were different"
        );
        first
    } else {
        let mut line = String::new();
        std::io::stdin().lock().read_line(&mut line)?;
        line.trim_end_matches(['\r', '\n']).to_owned()
    };
    let password = Password::new(&typed, &[&name])?;
    Ok(PasswordHash::of(&password, random()?)?)
}
