//! `handround fairness`: simulated or recorded races through the code that rules at a table.

use anyhow::Context;
use clap::{Args, ValueEnum};
use handround_server::journal::{FILE_NAME, SqliteStore, Store};
use handround_server::lesson::TABLE_STREAMS;
use handround_server::race::lab;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};

/// How fair is the grab? Simulated races under many links, beside plainer rules; or recorded ones.
#[derive(Args)]
pub struct Fairness {
    /// The seed; the same seed gives the same table on every machine.
    #[arg(long, default_value_t = 20_260_101)]
    seed: u64,
    /// Races a row.
    #[arg(long, default_value_t = 100_000)]
    races: u64,
    /// Only these rows, by name.
    #[arg(long, value_delimiter = ',')]
    only: Vec<String>,
    /// What to print.
    #[arg(long, value_enum, default_value_t = As::Table)]
    output: As,
    /// Leave the curves of the cap on credit and of the hold out.
    #[arg(long)]
    no_curve: bool,
    /// Rule recorded races again: those of all tables in a data directory, or those of one table's
    /// journal in a file, one line of JSON an event.
    #[arg(long, conflicts_with_all = ["only", "races", "output"])]
    recorded: Option<PathBuf>,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum As {
    /// For reading.
    Table,
    /// For a spreadsheet.
    Csv,
    /// A picture of the rows.
    Svg,
    /// A picture of the curve.
    CurveSvg,
}

/// Runs it; progress goes to stderr, the table to stdout.
///
/// # Errors
/// An unknown row, or a journal that cannot be read.
pub async fn run(asked: &Fairness) -> anyhow::Result<()> {
    if let Some(path) = &asked.recorded {
        for (name, lines) in journals(path).await? {
            let recorded = lab::records(&lines)
                .with_context(|| format!("{name} is not the journal of a table"))?;
            println!("{name}");
            print!("{}", lab::tell(&recorded));
        }
        return Ok(());
    }
    let all = lab::profiles();
    if let Some(unknown) = asked.only.iter().find(|name| lab::by_name(name).is_none()) {
        let names: Vec<&str> = all.iter().map(|row| row.name.as_str()).collect();
        anyhow::bail!("there is no row {unknown}; there are {}", names.join(", "));
    }
    let wanted: Vec<lab::Profile> = all
        .into_iter()
        .filter(|row| asked.only.is_empty() || asked.only.contains(&row.name))
        .collect();
    let count = wanted.len();
    let mut rows = Vec::new();
    for (number, profile) in wanted.iter().enumerate() {
        if asked.output == As::CurveSvg {
            break;
        }
        let what = format!("{:>3} of {count}  {}", number + 1, profile.name);
        rows.push(side_by_side(profile, asked.seed, asked.races, &what));
    }
    let curve = asked.output == As::CurveSvg
        || asked.output == As::Table && !asked.no_curve && asked.only.is_empty();
    let points = if curve {
        // A point needs no more than its thousandth.
        lab::curve(&|row| side_by_side(row, asked.seed, asked.races / 5, "the curve of the cap"))
    } else {
        Vec::new()
    };
    let holds = if curve && asked.output == As::Table {
        lab::hold_curve(&|row| side_by_side(row, asked.seed, asked.races, "the curve of the hold"))
    } else {
        Vec::new()
    };
    eprintln!();
    match asked.output {
        As::Table => print!("{}", lab::text(&rows, asked.seed)),
        As::Csv => print!("{}", lab::csv(&rows, asked.seed)),
        As::Svg => print!("{}", lab::table_svg(&rows, asked.seed)),
        As::CurveSvg => print!("{}", lab::curve_svg(&points, asked.seed)),
    }
    if !points.is_empty() && asked.output == As::Table {
        print!("{}", lab::curve_text(&points, asked.seed));
        print!("{}", lab::hold_text(&holds, asked.seed));
    }
    Ok(())
}

/// The journals of tables at this place, each with its name. A data directory is only read, also
/// while a server works on it.
async fn journals(path: &Path) -> anyhow::Result<Vec<(String, Vec<String>)>> {
    if !path.is_dir() {
        let text = std::fs::read_to_string(path)
            .with_context(|| format!("{} cannot be read", path.display()))?;
        let lines = text.lines().map(str::to_owned).collect();
        return Ok(vec![(path.display().to_string(), lines)]);
    }
    // Opening would make a new store.
    anyhow::ensure!(path.join(FILE_NAME).is_file(), "there are no journals in {}", path.display());
    let store = SqliteStore::open(path).await?;
    let mut all = Vec::new();
    for stream in store.streams(TABLE_STREAMS).await? {
        let lines = store.read(stream.clone()).await?;
        all.push((stream.0, lines));
    }
    Ok(all)
}

/// Plays the parts of a row on all processors and says how far it is.
fn side_by_side(profile: &lab::Profile, seed: u64, races: u64, what: &str) -> lab::Row {
    let (next, done) = (AtomicU64::new(0), AtomicU64::new(0));
    let work = || {
        let mut parts = Vec::new();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= lab::PARTS {
                return parts;
            }
            parts.push(lab::part(profile, seed, races, number));
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            eprint!("\r{what:<32}{:>3} % of {races} races ", 100 * done / lab::PARTS);
        }
    };
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..workers).map(|_| scope.spawn(work)).collect();
        // A worker that panicked broke an invariant; there is no row then.
        let parts = workers.into_iter().flat_map(|worker| {
            worker.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
        });
        lab::whole(profile, parts)
    })
}
