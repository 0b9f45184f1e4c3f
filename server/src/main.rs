//! The `handround` command: `demo` shows a class at play, `serve` is for a class of one's
//! own, `accounts` says who may sign in there, `print` makes a deck for the table without tablets, `decks` lists, checks and simulates
//! decks, `fairness` shows how fair the grab is.

mod accounts;
mod decks;
mod fairness;
mod print;
mod qr;
mod skill_words;
mod start;

use clap::{Parser, Subcommand};
use start::Settings;

/// Quick card games for a class, each child on an own tablet.
#[derive(Parser)]
#[command(name = "handround", version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Start with an invented class and practice partners in all seats but one.
    Demo(Settings),
    /// Start with the lessons that the data directory holds.
    Serve(Settings),
    /// Make a deck to print and cut: a PDF with cards, tokens and a guide.
    Print(print::Wish),
    /// List the skills, check a deck, or simulate how long rounds with it will be.
    Decks(decks::Decks),
    /// Make and remove accounts of teachers, for a school's server.
    Accounts(accounts::Accounts),
    /// Show with numbers how fair the grab is, under many links and beside plainer rules.
    Fairness(fairness::Fairness),
}

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    start::log();
    let (settings, demo) = match Arguments::parse().command {
        Command::Demo(settings) => (settings, true),
        Command::Serve(settings) => (settings, false),
        Command::Print(wish) => return wish.print(),
        Command::Decks(asked) => return decks::run(&asked),
        Command::Accounts(asked) => return accounts::run(&asked).await,
        Command::Fairness(asked) => return fairness::run(&asked).await,
    };
    let listener = settings.listen()?;
    let public_url = settings.public_url(&listener)?;
    let _held = settings.hold_data()?;
    let hub = settings.open_lessons(public_url.clone()).await?;
    let accounts = hub.accounts().await?.len();
    anyhow::ensure!(
        !demo || accounts == 0,
        "the demo is for a data directory without accounts; name another one with --data"
    );
    let demo = if demo { Some(start::lay_demo(&hub).await?) } else { None };
    let config = settings.web_config()?;
    let shutdown = start::asked_to_stop()?;
    start::greet(&hub, &public_url, &config, demo, accounts).await;
    handround_server::web::serve(listener, hub, config, shutdown).await;
    Ok(())
}
