//! What must hold over random games: every kind of table, deck and house rule, with brains and
//! with random meddling (late taps, undo, lost links, pauses), from printed seeds.

use super::super::simulation::Simulation;
use super::super::{By, Command, Entry, Event, LinkBounds, Rules, SeatPlan, Table};
use super::{deck, rules};
use handround_protocol::cheer::CheerPicture;
use handround_protocol::house::HouseRule;
use handround_protocol::id::SeatIndex;
use handround_protocol::message::{Grab, SeatSays};
use handround_protocol::partner::Temper;
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, Phase, RoundEnd, SeatKind, VoidReason};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::collections::BTreeMap;

/// One random table: seats, deck, rules and tempers.
fn random_game(seed: u64, dice: &mut ChaCha20Rng) -> Simulation {
    let mut below = |bound: u32| dice.next_u32() % bound;
    let seats = 2 + below(5) as usize;
    let house = match below(5) {
        0 => HouseRule::Stay { rounds: 3 },
        1 => HouseRule::Letters { word: "elm".to_owned() },
        2 => HouseRule::Out { shield: false },
        3 => HouseRule::Out { shield: true },
        _ => HouseRule::Calm { rounds: 2 },
    };
    let groups = seats + 2 + below(6) as usize;
    let sizes: Vec<u8> = (0..groups).map(|_| 4 + (below(3) * below(5)) as u8).collect();
    let mut rules: Rules = rules(house);
    rules.cards_come_by_themselves = below(2) == 0;
    rules.tray_limit = 1 + below(4) as u8;
    rules.cheering = true;
    let tempers =
        [Temper::FIVE_TO_SIX, Temper::SIX_TO_SEVEN, Temper::SEVEN_TO_EIGHT, Temper::QUICK];
    let tempers: Vec<Temper> =
        (0..seats).map(|_| Temper { starts_races: true, ..tempers[below(4) as usize] }).collect();
    let children = below(2) == 0;
    Simulation::new(&tempers, children, rules, deck(&sizes), seed).unwrap()
}

/// Something that a device, a link or a teacher may do at any moment.
fn meddle(game: &mut Simulation, dice: &mut ChaCha20Rng) {
    let seats = game.table.seats().len() as u32;
    let seat = SeatIndex((dice.next_u32() % seats) as u8);
    let pupil = game.table.seats()[usize::from(seat.0)].kind == SeatKind::Pupil;
    let tap = Grab { cue: None, tap: game.now, token: 0 };
    match dice.next_u32() % 16 {
        0..=3 => game.say(seat, SeatSays::Undo),
        4 => game.say(seat, SeatSays::Grab(tap)),
        5 => game.say(seat, SeatSays::TakeUp),
        6 => game.say(seat, SeatSays::LayDown),
        7 if pupil => {
            let _ = game.tell(&Command::LinkDown { seat });
        }
        8 | 9 if pupil => {
            let _ = game.tell(&Command::LinkUp { seat });
        }
        10 if pupil => {
            game.say(seat, SeatSays::InView { visible: !dice.next_u32().is_multiple_of(3) })
        }
        11 => {
            let _ = game.tell(&Command::Pause);
            game.now = game.now.plus(Micros::from_s(7));
            let _ = game.tell(&Command::Resume);
        }
        12 if pupil => {
            let helpers = vec![vec![Helper::LargerPrint]; 200];
            game.tell(&Command::Offer { helpers, naming: true }).unwrap();
            let right_uses = (dice.next_u32() % 20) as u16;
            let given = HelperGiven { helper: Helper::LargerPrint, held: false, right_uses };
            let unhurried = dice.next_u32().is_multiple_of(2);
            let support = Support {
                helpers: vec![given],
                unhurried,
                missed_four: None,
                head_start: !unhurried,
            };
            game.tell(&Command::Support { seat, support }).unwrap();
        }
        13 => game.say(seat, SeatSays::PicturesNamed),
        15 if pupil => {
            let plan = game.table.seats()[usize::from(seat.0)].clone();
            let by = if dice.next_u32().is_multiple_of(4) { By::Home } else { By::SharedDevice };
            game.tell(&Command::Reseat { seat, plan: SeatPlan { by, ..plan } }).unwrap();
            game.say(seat, SeatSays::Covered { covered: dice.next_u32().is_multiple_of(2) });
        }
        14 => game.say(seat, SeatSays::Cheer { picture: CheerPicture::Clap }),
        _ => {}
    }
}

/// Holds hands, cards, tokens and moves to the promises; and views to what a seat may know.
fn check(table: &Table) {
    table.check().unwrap();
    for index in 0..table.seats().len() {
        let view = table.seat_view(SeatIndex(index as u8)).unwrap();
        if let Some(hand) = view.hand {
            assert_eq!(hand.cards.len(), 4);
        }
    }
}

fn play(seed: u64, meddling: bool) -> Simulation {
    let mut dice = ChaCha20Rng::seed_from_u64(seed);
    let mut game = random_game(seed, &mut dice);
    let mut steps = 0;
    while game.table.phase() != Phase::GameOver {
        assert!(game.step(), "seed {seed}: the table sleeps for ever");
        if meddling && dice.next_u32() % 25 == 0 {
            meddle(&mut game, &mut dice);
        }
        check(&game.table);
        steps += 1;
        assert!(steps < 200_000, "seed {seed}: the game does not end");
    }
    game
}

/// At the end of every round that is not void exactly one seat is last, or all have laid down; a
/// seat's link voids at most two rounds a game.
fn check_rounds(journal: &[Entry], seed: u64) {
    let mut dealt = 0_u32;
    let mut ended = 0_u32;
    let mut voids: BTreeMap<SeatIndex, u8> = BTreeMap::new();
    for entry in journal {
        match &entry.event {
            Event::GameStarted { .. } => voids.clear(),
            Event::Dealt { .. } => dealt += 1,
            Event::RoundEnded { end, race, .. } => {
                ended += 1;
                assert_eq!(dealt, ended, "seed {seed}: one ending a round");
                match (end, race) {
                    (RoundEnd::Last { seat, .. }, Some((record, ruling))) => {
                        let last = ruling.order.last().unwrap().seat;
                        assert_eq!(last, *seat, "seed {seed}");
                        assert_eq!(ruling.order.len(), usize::from(record.tokens) + 1);
                    }
                    (RoundEnd::Void { reason: VoidReason::LinkLost }, Some((_, ruling))) => {
                        let seat = ruling.order.last().unwrap().seat;
                        let count = voids.entry(seat).or_default();
                        *count += 1;
                        assert!(*count <= 2, "seed {seed}: a third void for one seat");
                    }
                    (RoundEnd::AllLaidDown | RoundEnd::Void { .. }, None) => {}
                    other => panic!("seed {seed}: {other:?}"),
                }
            }
            _ => {}
        }
    }
}

#[test]
fn games_of_brains_end_and_keep_every_promise() {
    for seed in 0..120 {
        let game = play(seed, false);
        check_rounds(&game.journal, seed);
    }
}

#[test]
fn meddling_breaks_no_promise() {
    for seed in 1_000..1_120 {
        let game = play(seed, true);
        check_rounds(&game.journal, seed);
    }
}

#[test]
fn replay_of_the_journal_gives_the_same_state_byte_for_byte() {
    for seed in 2_000..2_020 {
        let game = play(seed, true);
        let lines: Vec<String> =
            game.journal.iter().map(|entry| serde_json::to_string(entry).unwrap()).collect();
        let mut replayed = Table::empty();
        for line in &lines {
            replayed.apply(&serde_json::from_str(line).unwrap());
        }
        let bytes = |table: &Table| {
            bincode::serde::encode_to_vec(table, bincode::config::standard()).unwrap()
        };
        assert_eq!(bytes(&game.table), bytes(&replayed), "seed {seed}");
    }
}

/// A keep and a pass are the same to everybody else: two games that differ only in that one choice
/// of one seat look alike to every other seat and to an onlooker, at that moment.
#[test]
fn a_keep_and_a_pass_look_the_same_to_others() {
    let mut compared = 0;
    for seed in 3_000..3_040 {
        let mut dice = ChaCha20Rng::seed_from_u64(seed);
        let mut game = random_game(seed, &mut dice);
        for _ in 0..60 {
            game.step();
        }
        let seats = game.table.seats().len();
        for mover in (0..seats).map(|index| SeatIndex(index as u8)) {
            let view = game.table.seat_view(mover).unwrap();
            let Some(hand) = view.hand else { continue };
            let Some(card) = hand.considering else { continue };
            let after = |says: SeatSays| {
                let by = By::Partner;
                let (arrived, link) = (game.now, LinkBounds::NONE);
                let command = Command::Seat { seat: mover, by, says, arrived, link };
                let events = game.table.decide(&command, game.now, super::super::Seed([9; 32]));
                let mut table = game.table.clone();
                for event in events.ok()? {
                    table.apply(&Entry { at: game.now, event });
                }
                Some(table)
            };
            let pass = after(SeatSays::Pass { card: card.id });
            let keep = after(SeatSays::Keep { card: card.id, give: hand.cards[0].id });
            let (Some(pass), Some(keep)) = (pass, keep) else { continue };
            for other in (0..seats).map(|index| SeatIndex(index as u8)).filter(|s| *s != mover) {
                assert_eq!(pass.seat_view(other), keep.seat_view(other), "seed {seed}");
                compared += 1;
            }
        }
    }
    assert!(compared > 20, "only {compared} pairs were compared");
}
