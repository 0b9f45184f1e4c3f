//! `play`: one seat in a terminal. Lines are typed, the table is drawn after each change.

use crate::address::Server;
use crate::http::Http;
use crate::seat::{Happening, Seat};
use crate::sheets::Sheets;
use crate::socket::now;
use crate::{draw, keys};
use anyhow::{Context as _, anyhow, bail};
use handround_protocol::codec::Codec;
use handround_protocol::id::{GameNumber, RoundNumber, Token};
use handround_protocol::message::{GrabCue, SeatSays};
use handround_protocol::picture::Picture;
use handround_protocol::view::Phase;
use std::io::{IsTerminal as _, Write as _};
use tokio::io::{AsyncBufReadExt as _, BufReader};

/// What `play` wants to know.
#[derive(clap::Args)]
pub struct Options {
    /// Where the server is, such as http://127.0.0.1:8787.
    #[arg(long)]
    server: Server,
    /// The row of pictures that the teacher shows: four names with commas between them.
    #[arg(long, value_delimiter = ',', value_parser = picture, requires = "name",
          required_unless_present = "token", conflicts_with = "token")]
    row: Vec<Picture>,
    /// The nickname on the class list.
    #[arg(long)]
    name: Option<String>,
    /// The seat's secret, 32 hex digits, instead of row and name.
    #[arg(long, value_parser = token)]
    token: Option<Token>,
}

fn picture(text: &str) -> Result<Picture, String> {
    Picture::from_name(text).ok_or_else(|| format!("there is no picture called {text}"))
}

fn token(text: &str) -> Result<Token, String> {
    Token::from_hex(text).ok_or_else(|| "a secret has 32 hex digits".into())
}

/// Plays until q, the end of the input or the end of the lesson.
pub async fn run(options: Options) -> anyhow::Result<()> {
    let http = Http::new(options.server.clone(), None);
    let token = match (options.token, options.name) {
        (Some(token), _) => token,
        (None, Some(name)) => join(&http, options.row, &name).await?,
        (None, None) => bail!("row and name, or the seat's secret, are needed"),
    };
    let mut seat = Seat::new(options.server, Sheets::new(http), Codec::Json, token);
    let mut lines = BufReader::new(tokio::io::stdin()).lines();
    let mut shown = Shown::default();
    loop {
        if !seat.is_connected() {
            say("connecting ...");
            seat.next().await?;
            shown.show(&mut seat).await;
            continue;
        }
        tokio::select! {
            happening = seat.next() => match happening? {
                Happening::View => shown.show(&mut seat).await,
                Happening::Refused(refusal) => say(&format!("no: {refusal}")),
                Happening::Away => say("the link is broken"),
            },
            line = lines.next_line() => {
                let Some(line) = line.context("the terminal")? else { return Ok(()) };
                match keys::wish(&line, seat.view.as_ref(), shown.cue, now()) {
                    keys::Wish::Say(says) => seat.say(says).await,
                    keys::Wish::Draw => shown.show(&mut seat).await,
                    keys::Wish::Hint(hint) => say(hint),
                    keys::Wish::Quit => return Ok(()),
                }
            }
        }
    }
}

async fn join(http: &Http, row: Vec<Picture>, name: &str) -> anyhow::Result<Token> {
    let places = http.join_row(row).await?;
    let names = || places.places.iter().filter(|place| !place.taken).map(|place| &*place.name);
    let free = || names().collect::<Vec<_>>().join(", ");
    let place = places
        .places
        .iter()
        .find(|place| place.name.to_lowercase() == name.trim().to_lowercase())
        .ok_or_else(|| anyhow!("{name} is not on this list; free are {}", free()))?;
    let joined = http.join_place(places.ticket, place.pupil).await?;
    say(&format!("The seat's secret, to come back with --token: {}", joined.token));
    Ok(joined.token)
}

/// What this terminal has shown, and so may claim to have shown.
#[derive(Default)]
struct Shown {
    round: RoundNumber,
    cue: Option<GrabCue>,
    /// The game whose pictures it has passed over, since a terminal shows none.
    named: GameNumber,
}

impl Shown {
    /// Draws the table, and reports a new deal or cue after it is on the screen.
    async fn show(&mut self, seat: &mut Seat) {
        let (Some(view), Some(sheet)) = (&seat.view, &seat.sheet) else { return };
        let clear = if std::io::stdout().is_terminal() { "\x1b[2J\x1b[H" } else { "\n" };
        say(&format!("{clear}{}", draw::screen(view, &sheet.faces)));
        let (game, naming) = (view.table.game, view.table.phase == Phase::Naming);
        let dealt = matches!(view.table.phase, Phase::Dealt | Phase::Playing);
        let (round, cue) = (view.table.round, view.grab.cue);
        if dealt && view.hand.is_some() && round != self.round {
            self.round = round;
            self.cue = None;
            seat.say(SeatSays::DealShown { round }).await;
        }
        if naming && game != self.named {
            self.named = game;
            seat.say(SeatSays::PicturesNamed).await;
        }
        if let Some(nonce) = cue
            && self.cue.is_none_or(|known| known.nonce != nonce)
        {
            let shown = now();
            self.cue = Some(GrabCue { nonce, shown });
            seat.say(SeatSays::CueShown { cue: nonce, shown }).await;
        }
        if cue.is_none() {
            self.cue = None;
        }
    }
}

/// Writes at once; a terminal that has gone away ends the program at the next line read.
fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = writeln!(out, "{text}").and_then(|()| out.flush());
}
