//! `handround decks`: every skill with its standards, a deck checked, and how long rounds with it will
//! be. The answer goes to stdout, in words or as JSON; how far long work is goes to stderr. The work is
//! done in `deck` and `deck_length`; here are options and files.

use crate::skill_words::{DeckWords, said};
use anyhow::{Context, bail, ensure};
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::limits::{SEATS_MAX, SEATS_MIN};
use handround_protocol::view::LessonPlan;
use handround_server::deck::difficulty::difficulty;
use handround_server::deck::face::kind_name;
use handround_server::deck::families::skills_on_offer;
use handround_server::deck::own::{self, Format, OwnDeck, Pictures, Uploads};
use handround_server::deck::wishes::{self, SharedDeck};
use handround_server::deck::{Deck, Material, family_of, family_with, from_plan_with, valid};
use handround_server::deck_length::{
    Asked, CARD_MS_RANGE, MISTAKES_PER_MILLE_MAX, Pace, expect_telling,
};
use handround_server::limits::workshop::FILE_BYTES_MAX;
use serde_json::{Value, json};
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};
use std::time::Instant;

/// Rounds of one simulation at the most: a minute or two of work.
const ROUNDS_MAX: usize = 20_000;

/// What is asked of decks.
#[derive(clap::Args)]
pub struct Decks {
    #[command(subcommand)]
    what: What,
    /// Answer as JSON.
    #[arg(long, global = true)]
    json: bool,
}

#[derive(clap::Subcommand)]
enum What {
    /// Every skill: how it is said here, whom it suits, the standards it serves, its faces and how many
    /// groups it can make.
    List,
    /// Make a deck and check that every card belongs to exactly one group.
    Check(Choice),
    /// Play many games by the real rules with childlike players, and tell how long they took.
    Simulate(Simulate),
}

/// A deck: a file, or a skill.
#[derive(clap::Args)]
struct Choice {
    /// A deck file from the workshop, or a deck of your own: TOML, CSV, or one that Handround has saved
    /// (JSON). Its pictures lie in the same folder.
    #[arg(value_name = "FILE", conflicts_with = "skill")]
    file: Option<PathBuf>,
    #[command(flatten)]
    words: DeckWords,
}

#[derive(clap::Args)]
struct Simulate {
    #[command(flatten)]
    choice: Choice,
    /// Players at the table.
    #[arg(long, value_name = "COUNT", default_value_t = 4)]
    seats: usize,
    /// Rounds to play at the least.
    #[arg(long, value_name = "COUNT", default_value_t = 400)]
    rounds: usize,
    /// Seconds over a card of an easy deck; as usual at these ages unless said otherwise.
    #[arg(long, value_name = "SECONDS")]
    pace: Option<f64>,
    /// Cards in a hundred that are kept by mistake; as usual at these ages unless said otherwise.
    #[arg(long, value_name = "COUNT")]
    mistakes: Option<f64>,
}

/// A deck that was chosen, with what is known of it.
struct Chosen {
    plan: LessonPlan,
    deck: Deck,
    groups_max: u8,
    notes: Vec<String>,
}

/// Answers.
///
/// # Errors
/// A deck that cannot be made or read, or an option out of its range, in a sentence.
pub fn run(asked: &Decks) -> anyhow::Result<()> {
    let (answer, words) = match &asked.what {
        What::List => list(),
        What::Check(choice) => check(&chosen(choice)?)?,
        What::Simulate(wish) => simulate(wish)?,
    };
    if asked.json {
        println!("{}", serde_json::to_string_pretty(&answer)?);
    } else {
        print!("{words}");
    }
    Ok(())
}

fn list() -> (Value, String) {
    let (mut lines, mut text) = (Vec::new(), String::new());
    for offer in skills_on_offer() {
        text += &format!("{} ({})\n", offer.name, years(offer.ages));
        for standard in &offer.standards {
            text += &format!("    {}: {}\n", standard.code, standard.asks);
        }
        for setting in &offer.settings {
            let plan = LessonPlan { skill: setting.skill, ..LessonPlan::for_ages(offer.ages.0) };
            let (Ok(family), Some(words)) = (family_of(&plan), said(setting.skill)) else {
                continue;
            };
            eprintln!("looking at {words}");
            let groups_max = family.groups_max(plan.confusables);
            let kinds: Vec<&str> = family.kinds().into_iter().map(kind_name).collect();
            text += &format!(
                "    --skill {words}: up to {groups_max} groups of {} possible; {}\n",
                family.groups.len(),
                kinds.join(", ")
            );
            lines.push(json!({
                "skill": words,
                "name": offer.name,
                "subject": offer.subject,
                "setting": setting.words,
                "ages": years(offer.ages),
                "standards": offer.standards,
                "kinds": kinds,
                "groups_max": groups_max,
                "groups_possible": family.groups.len(),
            }));
        }
    }
    text +=
        "A deck of the class's own names is made in a lesson, a deck of your own from a file.\n";
    (Value::Array(lines), text)
}

fn check(chosen: &Chosen) -> anyhow::Result<(Value, String)> {
    let Chosen { deck, groups_max, notes, .. } = chosen;
    let found = difficulty(deck);
    let mut text = format!(
        "{}: every card belongs to exactly one group. {} groups of at most {groups_max}, {} cards, \
         tables of up to {}.\nDifficulty {}: {} kinds of face, {} pairs that children take for each \
         other, {} pairs of neighbours.\n",
        deck.name,
        found.groups,
        deck.cards.len(),
        deck.largest_table(),
        found.score(),
        found.kinds,
        found.confusable_pairs.len(),
        found.neighbours,
    );
    for note in notes {
        text += &format!("{note}\n");
    }
    let answer = json!({
        "name": deck.name,
        "valid": true,
        "groups": found.groups,
        "groups_max": groups_max,
        "cards": deck.cards.len(),
        "largest_table": deck.largest_table(),
        "difficulty": {
            "score": found.score(),
            "kinds": found.kinds,
            "confusable_pairs": found.confusable_pairs.len(),
            "neighbours": found.neighbours,
        },
        "notes": notes,
    });
    Ok((answer, text))
}

fn simulate(wish: &Simulate) -> anyhow::Result<(Value, String)> {
    ensure!(
        (SEATS_MIN..=SEATS_MAX).contains(&wish.seats),
        "a table has {SEATS_MIN} to {SEATS_MAX} players"
    );
    ensure!((1..=ROUNDS_MAX).contains(&wish.rounds), "a simulation has 1 to {ROUNDS_MAX} rounds");
    let Chosen { plan, deck, groups_max, .. } = chosen(&wish.choice)?;
    let mut pace = Pace::for_ages(plan.ages);
    if let Some(seconds) = wish.pace {
        // A float that is no number becomes 0, which is out of range as well.
        pace.card_ms = (1_000.0 * seconds).round() as u64;
        let (least, most) = (*CARD_MS_RANGE.start() as f64, *CARD_MS_RANGE.end() as f64);
        ensure!(
            CARD_MS_RANGE.contains(&pace.card_ms),
            "the pace is {} to {} seconds a card",
            least / 1_000.0,
            most / 1_000.0
        );
    }
    if let Some(share) = wish.mistakes {
        let most = f64::from(MISTAKES_PER_MILLE_MAX) / 10.0;
        ensure!((0.0..=most).contains(&share), "mistakes are 0 to {most} in a hundred");
        pace.mistakes_per_mille = (10.0 * share).round() as u16;
    }
    let serves = usize::from(deck.largest_table());
    ensure!(
        wish.seats <= serves,
        "this deck has {} cards and serves tables of up to {serves}; use more groups",
        deck.cards.len()
    );
    let asked = Asked {
        seats: wish.seats,
        pace,
        rounds: wish.rounds,
        seed: wish.choice.words.seed_number(),
        groups_max,
        slot_minutes: None,
    };
    let began = Instant::now();
    let expected = expect_telling(&plan, &deck, &asked, &mut |done, of| {
        eprint!("\rround {done} of {of} ");
    });
    // With the proposal, as the workshop's page asks for it.
    eprintln!("in {:.2} s", began.elapsed().as_secs_f64());
    let expected = expected?;
    let mut text = format!(
        "{}, {} groups, {} rounds in {} games, seed {}\n",
        deck.name, expected.groups, expected.rounds, expected.games, asked.seed
    );
    for sentence in expected.sentences() {
        text += &format!("{sentence}\n");
    }
    let answer = json!({ "name": deck.name, "seed": asked.seed, "expected": expected });
    Ok((answer, text))
}

fn chosen(choice: &Choice) -> anyhow::Result<Chosen> {
    let read = choice.file.as_deref().map(deck_file).transpose()?;
    let (shared, own) = match read {
        Some(DeckFile::Shared(SharedDeck { deck, own })) => (Some(deck.deck), own),
        Some(DeckFile::Own(own)) => (None, Some(own)),
        None => (None, None),
    };
    let material = Material { own: own.as_ref(), ..Material::default() };
    let plan = match (shared, &own) {
        (Some(shared), _) => LessonPlan::for_ages(shared.ages).with_deck(shared),
        (None, Some(own)) => choice.words.own_plan(own)?,
        (None, None) => choice.words.plan()?,
    };
    let deck = from_plan_with(&plan, material, DeckId([0; 16]), choice.words.seed())?;
    let groups_max = family_with(&plan, material)?.groups_max(plan.confusables);
    let sheet = deck.sheet();
    if let Err(fault) = valid::check(&sheet, deck.likeness) {
        bail!("{}", fault.sentence(&sheet));
    }
    let notes = own.as_ref().map(OwnDeck::notes).unwrap_or_default();
    Ok(Chosen { plan, deck, groups_max, notes })
}

/// What a file can hold.
enum DeckFile {
    /// A deck as one teacher hands it to another: its plan, and her own cards if it is made of them.
    Shared(SharedDeck),
    /// Cards of a teacher's own.
    Own(OwnDeck),
}

/// Reads a deck and the pictures that it names. A name never leads out of the deck's folder.
fn deck_file(path: &Path) -> anyhow::Result<DeckFile> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    let format = match ending.as_deref() {
        Some("toml") => Format::Toml,
        Some("csv") => Format::Csv,
        Some("json") => Format::Saved,
        _ => bail!("{} ends in neither .toml nor .csv nor .json", path.display()),
    };
    let cannot = || format!("{} cannot be read", path.display());
    let mut bytes = Vec::new();
    let file = File::open(path).with_context(cannot)?;
    // One byte more than there may be tells a file that is too large, however large it is.
    file.take(FILE_BYTES_MAX as u64 + 1).read_to_end(&mut bytes).with_context(cannot)?;
    if format == Format::Saved && wishes::is_deck_file(&bytes) {
        let shared = wishes::read_file(&bytes);
        let at = |no: HttpRefusal| anyhow::anyhow!("{}: {}", path.display(), no.message);
        return shared.map(DeckFile::Shared).map_err(at);
    }
    let at = |error: own::OwnDeckError| anyhow::anyhow!("{}: {error}", path.display());
    let names = own::files_named(&bytes, format).map_err(at)?;
    let pictures = pictures(path.parent().unwrap_or(Path::new("")), &names)
        .with_context(|| path.display().to_string())?;
    own::read(&bytes, format, &pictures).map(DeckFile::Own).map_err(at)
}

/// Reads pictures piece by piece. One that is not there is left out: the deck's reader says so, with
/// the line.
fn pictures(folder: &Path, names: &[String]) -> anyhow::Result<Pictures> {
    let mut uploads = Uploads::default();
    let mut piece = vec![0; 64 * 1024];
    for name in names {
        let mut parts = Path::new(name).components();
        let plain = matches!((parts.next(), parts.next()), (Some(Component::Normal(_)), None));
        let path = folder.join(name);
        if !plain || !path.is_file() {
            continue;
        }
        let cannot = || format!("{} cannot be read", path.display());
        let mut file = File::open(&path).with_context(cannot)?;
        uploads.begin(name)?;
        loop {
            let length = file.read(&mut piece).with_context(cannot)?;
            if length == 0 {
                break;
            }
            uploads.push(&piece[..length])?;
        }
    }
    Ok(uploads.into_pictures())
}

fn years((youngest, oldest): (AgeBand, AgeBand)) -> String {
    let from = |ages| match ages {
        AgeBand::FiveToSix => 5,
        AgeBand::SixToSeven => 6,
        AgeBand::SevenToEight => 7,
    };
    format!("{} to {}", from(youngest), from(oldest) + 1)
}
