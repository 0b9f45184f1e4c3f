//! Prints how long rounds take with the real rules and children-like brains, by ages and number
//! of match groups, so that the default number of groups can follow from it:
//! `cargo run --release --example round_lengths -- [ROUNDS] [SEED]`.

use handround_protocol::house::{AgeBand, HouseRule, MissedFour};
use handround_protocol::id::{DeckId, GroupIndex};
use handround_protocol::partner::Temper;
use handround_protocol::view::{LessonPlan, Phase};
use handround_server::game::Rules;
use handround_server::game::round_length::{RoundLength, percentile, round_lengths};
use handround_server::game::rules::GameDeck;
use handround_server::game::simulation::Simulation;

fn main() {
    let mut arguments = std::env::args().skip(1).filter_map(|text| text.parse::<u64>().ok());
    let rounds = arguments.next().unwrap_or(400) as usize;
    let seed = arguments.next().unwrap_or(1);
    println!("seed {seed}, at least {rounds} rounds a row, stay, own four noticed by oneself");
    println!("a brain keeps at random in 'slips' of a thousand decisions");
    println!(
        "{:<14} {:>5} {:>6} {:>6} | {:>8} {:>8} {:>8} | {:>6} {:>7}",
        "ages", "slips", "seats", "groups", "tenth s", "median s", "slow 10", "draws", "reused"
    );
    for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
        for seats in [3, 4] {
            for groups in [6, 7, 8, 9, 10, 11, 13] {
                row(ages, Temper::for_ages(ages), seats, groups, rounds, seed);
            }
        }
    }
    for slips in [0, 200] {
        let sure = Temper { slips_per_mille: slips, ..Temper::for_ages(AgeBand::SevenToEight) };
        row(AgeBand::SevenToEight, sure, 4, 13, rounds, seed);
    }
}

fn row(ages: AgeBand, temper: Temper, seats: usize, groups: u16, rounds: usize, seed: u64) {
    if usize::from(groups) < seats + 2 {
        return;
    }
    let measured = measure(ages, temper, seats, groups, rounds, seed);
    let seconds: Vec<u64> = measured.iter().map(|round| round.length.ms() / 1_000).collect();
    let draws: Vec<u32> = measured.iter().map(|round| round.draws).collect();
    let reused = measured.iter().filter(|round| round.reused).count();
    let of = |hundredths| percentile(&seconds, hundredths).unwrap_or_default();
    println!(
        "{:<14} {:>5} {seats:>6} {groups:>6} | {:>8} {:>8} {:>8} | {:>6} {:>6.1}%",
        format!("{ages:?}"),
        temper.slips_per_mille,
        of(10),
        of(50),
        of(90),
        percentile(&draws, 50).unwrap_or_default(),
        100.0 * reused as f64 / measured.len().max(1) as f64,
    );
}

fn measure(
    ages: AgeBand,
    temper: Temper,
    seats: usize,
    groups: u16,
    rounds: usize,
    seed: u64,
) -> Vec<RoundLength> {
    let mut plan = LessonPlan::for_ages(ages);
    plan.house = HouseRule::Stay { rounds: 20 };
    plan.missed_four = MissedFour::FindItYourself;
    let deck = GameDeck {
        id: DeckId([0; 16]),
        groups: (0..groups).flat_map(|group| [GroupIndex(group); 4]).collect(),
    };
    let temper = Temper { starts_races: true, ..temper };
    let tempers = vec![temper; seats];
    let mut measured = Vec::new();
    for game in 0.. {
        if measured.len() >= rounds {
            break;
        }
        let rules = Rules::from_plan(&plan);
        let seed = seed.wrapping_mul(1_000_003).wrapping_add(game);
        let simulation = Simulation::new(&tempers, true, rules, deck.clone(), seed);
        let Ok(mut simulation) = simulation else { break };
        if !simulation.play_until(|table| table.phase() == Phase::GameOver) {
            println!("a game of {groups} groups did not end");
        }
        measured.extend(round_lengths(&simulation.journal));
    }
    measured
}
