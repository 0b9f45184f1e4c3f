//! A terminal player for one seat, practice partners from outside, and a load generator.

mod address;
mod board;
mod draw;
mod http;
mod keys;
mod load;
mod measure;
mod partners;
mod play;
mod robot;
mod seat;
mod sheets;
mod socket;

use clap::{Parser, Subcommand};
use std::io::IsTerminal;
use tracing_subscriber::EnvFilter;

/// Plays at a Handround server from a terminal.
#[derive(Parser)]
#[command(name = "handround-client", version)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Plays one seat in this terminal.
    Play(play::Options),
    /// Plays all practice partners' seats of a lesson from outside.
    Partners(partners::Options),
    /// Plays many tables at once, quickly, and prints what the server did.
    Load(load::Options),
}

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    tracing_subscriber::fmt()
        .with_env_filter(EnvFilter::try_from_default_env().unwrap_or_else(|_| "info".into()))
        .with_ansi(std::io::stderr().is_terminal())
        .with_writer(std::io::stderr)
        .init();
    match Arguments::parse().command {
        Command::Play(options) => play::run(options).await,
        Command::Partners(options) => partners::run(options).await,
        Command::Load(options) => load::run(options).await,
    }
}
