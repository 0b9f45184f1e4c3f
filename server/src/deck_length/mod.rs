//! How long rounds and games with a deck will be: whole games by the real rules in simulated time, with
//! children-like brains in every seat at a stated pace. Also how many match groups in play would make
//! a round neither short nor long. Pure: the same seed gives the same answer. It knows the rules and
//! the deck's difficulty, and nothing of lessons or pages.

mod pace;
mod slot;

pub use pace::{CARD_MS_RANGE, MISTAKES_PER_MILLE_MAX, Pace};
pub use slot::{Lengths, SLOT_MINUTES_RANGE, Slot, SlotSaid, StillFits, said, still_fits};

use crate::deck::Deck;
use crate::game::Rules;
use crate::game::round_length::{RoundLength, percentile, round_lengths};
use crate::game::rules::GameDeck;
use crate::game::simulation::Simulation;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::limits::HAND_CARDS;
use handround_protocol::partner::Temper;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{LessonPlan, Phase};
use serde::Serialize;

/// The median of a round that children neither rush through nor tire of, in seconds: common practice,
/// no source.
pub const ROUND_S_RANGE: std::ops::RangeInclusive<u64> = 90..=150;
/// A game that is not over after two hours of simulated time is left: no lesson is so long.
pub const GAME_MAX: Micros = Micros::from_s(2 * 3_600);
/// Rounds for each number of groups that is tried for the proposal.
const PROPOSAL_ROUNDS: usize = 60;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Players at the table, 2 to 6.
    pub seats: usize,
    /// How they play over an easy deck.
    pub pace: Pace,
    /// Rounds to play at the least; games are played to their end.
    pub rounds: usize,
    /// The same seed gives the same games.
    pub seed: u64,
    /// Most groups that such a deck could have; 0 asks for no proposal.
    pub groups_max: u8,
    /// The minutes of the slot, if it is asked how many games fit.
    pub slot_minutes: Option<u16>,
}

/// The middle and the slow end of many spans, in whole seconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Spread {
    /// Half of them are no longer.
    pub median_s: u64,
    /// One in ten is longer.
    pub slow_tenth_s: u64,
}

/// A number of groups in play.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Proposal {
    /// How many groups.
    pub groups: u8,
    /// The median round with them, in seconds.
    pub median_s: u64,
    /// Whether that is 90 to 150 s; otherwise it is the nearest that can be had.
    pub in_range: bool,
}

/// What to expect of a deck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Expected {
    /// Players at the table.
    pub seats: usize,
    /// Match groups in play.
    pub groups: usize,
    /// The pace over this deck.
    pub pace: Pace,
    /// A round, from the deal to the ruling; `None` if none came to an end.
    pub round: Option<Spread>,
    /// A game with the pauses between its rounds; `None` if none came to an end.
    pub game: Option<Spread>,
    /// Rounds in a thousand in which the discard pile is used again.
    pub reused_per_mille: u16,
    /// Rounds that were played.
    pub rounds: usize,
    /// Games that were played to their end.
    pub games: usize,
    /// Games that were left after two hours.
    pub games_left: usize,
    /// The number of groups to play with, if it was asked for and any serves this table.
    pub proposal: Option<Proposal>,
    /// Games that fit into the slot, if one was named and a game came to an end.
    pub slot: Option<Slot>,
}

/// Many simulated games.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Played {
    /// Their rounds.
    pub rounds: Vec<RoundLength>,
    /// How long those took that came to an end.
    pub games: Vec<Micros>,
    /// Games that were left after two hours.
    pub left: usize,
}

/// What to expect of a deck at a table.
///
/// # Errors
/// What the rules refuse: number of seats, a deck too small for them, a rule out of range.
pub fn expect(plan: &LessonPlan, deck: &Deck, asked: &Asked) -> Result<Expected, Refusal> {
    expect_telling(plan, deck, asked, &mut |_, _| {})
}

/// The same, and says after each game how many rounds of how many are played.
///
/// # Errors
/// The same.
pub fn expect_telling(
    plan: &LessonPlan,
    deck: &Deck,
    asked: &Asked,
    tell: &mut dyn FnMut(usize, usize),
) -> Result<Expected, Refusal> {
    let pace = asked.pace.over(deck);
    let tempers = vec![pace.temper(plan.ages); asked.seats];
    let cards = GameDeck { id: deck.id, groups: deck.groups() };
    let rules = Rules::from_plan(plan);
    let played = play(&tempers, &rules, &cards, asked.rounds, asked.seed, tell)?;
    let round: Vec<u64> = played.rounds.iter().map(|round| seconds(round.length)).collect();
    let game: Vec<u64> = played.games.iter().map(|length| seconds(*length)).collect();
    let reused = played.rounds.iter().filter(|round| round.reused).count();
    let reused = 1_000 * reused / played.rounds.len().max(1);
    Ok(Expected {
        seats: asked.seats,
        groups: cards.groups.iter().collect::<std::collections::BTreeSet<_>>().len(),
        pace,
        round: spread(&round),
        game: spread(&game),
        reused_per_mille: u16::try_from(reused).unwrap_or(1_000),
        rounds: played.rounds.len(),
        games: played.games.len(),
        games_left: played.left,
        proposal: propose(&rules, &tempers, asked),
        slot: asked.slot_minutes.and_then(|minutes| slot::slot(&game, minutes)),
    })
}

/// How long rounds and games with a deck are at a table, for a slot that runs.
///
/// # Errors
/// What the rules refuse.
pub fn lengths(plan: &LessonPlan, deck: &Deck, asked: &Asked) -> Result<Lengths, Refusal> {
    let tempers = vec![asked.pace.over(deck).temper(plan.ages); asked.seats];
    let cards = GameDeck { id: deck.id, groups: deck.groups() };
    let rules = Rules::from_plan(plan);
    let played = play(&tempers, &rules, &cards, asked.rounds, asked.seed, &mut |_, _| {})?;
    Ok(Lengths {
        rounds_s: played.rounds.iter().map(|round| seconds(round.length)).collect(),
        games_s: played.games.iter().map(|length| seconds(*length)).collect(),
        between_rounds_s: seconds(rules.next_deal_after),
    })
}

/// Plays games until so many rounds have ended.
///
/// # Errors
/// What the rules refuse.
pub fn play(
    tempers: &[Temper],
    rules: &Rules,
    deck: &GameDeck,
    rounds: usize,
    seed: u64,
    tell: &mut dyn FnMut(usize, usize),
) -> Result<Played, Refusal> {
    let mut played = Played::default();
    // A game gives one round at least, unless it is left.
    for game in 0..rounds as u64 {
        if played.rounds.len() >= rounds {
            break;
        }
        let seed = seed.wrapping_mul(1_000_003).wrapping_add(game);
        let mut simulation = Simulation::new(tempers, true, rules.clone(), deck.clone(), seed)?;
        let began = simulation.now;
        let over = loop {
            if simulation.table.phase() == Phase::GameOver {
                break true;
            }
            if simulation.now.since(began) > GAME_MAX || !simulation.step() {
                break false;
            }
        };
        played.rounds.extend(round_lengths(&simulation.journal));
        if over {
            played.games.push(simulation.now.since(began));
        } else {
            played.left += 1;
        }
        tell(played.rounds.len().min(rounds), rounds);
    }
    Ok(played)
}

/// The number of groups whose median round comes nearest to the middle of the range. More groups make
/// rounds longer, so it is found by halving.
fn propose(rules: &Rules, tempers: &[Temper], asked: &Asked) -> Option<Proposal> {
    let wanted = (ROUND_S_RANGE.start() + ROUND_S_RANGE.end()) / 2;
    let median = |groups: u8| -> Option<u64> {
        let cards = (0..u16::from(groups)).flat_map(|group| [GroupIndex(group); HAND_CARDS]);
        let deck = GameDeck { id: DeckId([0; 16]), groups: cards.collect() };
        let played =
            play(tempers, rules, &deck, PROPOSAL_ROUNDS, asked.seed, &mut |_, _| {}).ok()?;
        let lengths: Vec<u64> = played.rounds.iter().map(|round| seconds(round.length)).collect();
        // No round came to an end: longer than any.
        Some(percentile(&lengths, 50).unwrap_or(u64::MAX))
    };
    // A deck needs (seats + 2) x 4 cards.
    let mut least = u8::try_from(asked.seats + 2).ok()?;
    let mut most = asked.groups_max;
    let mut tried: Vec<(u8, u64)> = Vec::new();
    while least <= most {
        let groups = least.midpoint(most);
        let median = median(groups)?;
        tried.push((groups, median));
        if median < wanted {
            least = groups + 1;
        } else {
            most = groups - 1;
        }
    }
    let (groups, median_s) = tried.into_iter().min_by_key(|(_, median)| median.abs_diff(wanted))?;
    Some(Proposal { groups, median_s, in_range: ROUND_S_RANGE.contains(&median_s) })
}

fn seconds(span: Micros) -> u64 {
    span.ms() / 1_000
}

fn spread(seconds: &[u64]) -> Option<Spread> {
    Some(Spread { median_s: percentile(seconds, 50)?, slow_tenth_s: percentile(seconds, 90)? })
}

impl Expected {
    /// What a teacher should know of it, in sentences.
    pub fn sentences(&self) -> Vec<String> {
        let mut said = vec![match (self.round, self.game) {
            (Some(round), Some(game)) => format!(
                "With {} players a round takes about {}, one in ten more than {}; a game about {}, one \
                 in ten more than {}.",
                self.seats,
                span(round.median_s),
                span(round.slow_tenth_s),
                span(game.median_s),
                span(game.slow_tenth_s),
            ),
            (Some(round), None) => format!(
                "With {} players a round takes about {}, but no game ended within two hours.",
                self.seats,
                span(round.median_s),
            ),
            _ => format!("With {} players no round ended within two hours.", self.seats),
        }];
        said.extend(self.slot.map(Slot::sentence));
        said.push(format!(
            "Assumed: {} seconds over a card, {} in 100 cards kept by mistake. The used cards are \
             shuffled again in {} of 100 rounds.",
            tenths(self.pace.card_ms / 100),
            tenths(self.pace.mistakes_per_mille.into()),
            tenths(self.reused_per_mille.into()),
        ));
        if let Some(proposal) = self.proposal.filter(|one| usize::from(one.groups) != self.groups) {
            let in_range = self.round.is_some_and(|round| ROUND_S_RANGE.contains(&round.median_s));
            if !in_range {
                said.push(format!(
                    "{} groups would make a round of about {}.",
                    proposal.groups,
                    span(proposal.median_s)
                ));
            }
        }
        said
    }
}

/// `45` as 4.5.
fn tenths(number: u64) -> String {
    if number.is_multiple_of(10) {
        (number / 10).to_string()
    } else {
        format!("{}.{}", number / 10, number % 10)
    }
}

/// Seconds, or minutes and seconds.
fn span(seconds: u64) -> String {
    match (seconds / 60, seconds % 60) {
        (0, seconds) => format!("{seconds} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

/// The usual number of rounds that an answer for a page rests on.
pub const PAGE_ROUNDS: usize = 200;

/// What a page asks for: the usual pace of the ages, at a table of four or the largest that the deck
/// serves.
pub fn for_page(ages: AgeBand, deck: &Deck, groups_max: u8) -> Asked {
    let seats = usize::from(deck.largest_table().clamp(2, 4));
    Asked {
        seats,
        pace: Pace::for_ages(ages),
        rounds: PAGE_ROUNDS,
        seed: 1,
        groups_max,
        slot_minutes: None,
    }
}
