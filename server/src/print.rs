//! `handround print`: makes a deck of any skill and writes its PDF. The deck and its pages are made in
//! `deck`; here are only options, the file and what is said on the terminal.

use crate::skill_words::DeckWords;
use anyhow::{Context, ensure};
use handround_server::deck::print::{Paper, PrintOptions, SetMark, sheet_pdf_telling};
use std::io::{IsTerminal, Read as _, Write as _};
use std::path::{Path, PathBuf};

/// What to print.
#[derive(clap::Args)]
pub struct Wish {
    #[command(flatten)]
    deck: DeckWords,
    /// a4 or letter.
    #[arg(long, value_name = "PAPER", default_value = "letter")]
    paper: Paper,
    /// Print backs too, for paper turned along its long edge.
    #[arg(long)]
    backs: bool,
    /// The small drawing that tells this deck from others: leaf, snail, mushroom, acorn, pot, sun,
    /// drop or flower. Chosen by the deck's cards unless said otherwise.
    #[arg(long, value_name = "DRAWING")]
    mark: Option<SetMark>,
    /// Print letter cards for this word of 3 to 6 letters.
    #[arg(long, value_name = "WORD")]
    letters: Option<String>,
    /// Players at the table.
    #[arg(long, value_name = "COUNT", default_value_t = 4)]
    seats: u8,
    /// The file to write; an older PDF of this name is replaced.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
}

impl Wish {
    /// Makes the deck and writes the file.
    pub fn print(self) -> anyhow::Result<()> {
        let deck = self.deck.deck()?;
        let options = PrintOptions {
            paper: self.paper,
            backs: self.backs,
            mark: self.mark,
            letters: self.letters,
            seats: self.seats,
            credit: None,
        };
        let terminal = std::io::stderr().is_terminal();
        let mut pages = 0;
        let pdf = sheet_pdf_telling(&deck.sheet(), &options, &mut |done, of| {
            pages = of;
            if terminal {
                eprint!("\rpage {done} of {of}");
            }
        })?;
        if terminal {
            eprintln!();
        }
        write(&self.out, &pdf)?;
        eprintln!(
            "{}: {}, {} cards, {pages} pages. Print at actual size (100 %){}.",
            self.out.display(),
            deck.name,
            deck.cards.len(),
            if self.backs { ", both sides, turned along the long edge" } else { "" }
        );
        Ok(())
    }
}

/// Writes the whole file or nothing: into a neighbour first, which then takes its name. A file of
/// this name that is no PDF stays what it is.
fn write(path: &Path, pdf: &[u8]) -> anyhow::Result<()> {
    let cannot = || format!("{} cannot be written", path.display());
    if let Ok(mut old) = std::fs::File::open(path) {
        let mut head = [0; 5];
        let read = old.read(&mut head).with_context(cannot)?;
        ensure!(
            read == 0 || head == *b"%PDF-",
            "{} is there already and is no PDF; give another name",
            path.display()
        );
    }
    let neighbour = path.with_extension(format!("part-{}", std::process::id()));
    let written = std::fs::File::create_new(&neighbour)
        .and_then(|mut file| file.write_all(pdf).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&neighbour, path));
    if written.is_err() {
        let _ = std::fs::remove_file(&neighbour);
    }
    written.with_context(cannot)
}
