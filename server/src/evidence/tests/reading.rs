//! From journals to decisions: what is left out, and that nothing else is. Real games in simulated
//! time, meddled with; what was meddled with is counted beside in a naive way.

use super::recovery::deck;
use crate::evidence::decision::{Act, Decision, Exclusion};
use crate::evidence::read;
use crate::game::event::{Entry, Event, Marks};
use crate::game::rules::Rules;
use crate::game::simulation::Simulation;
use crate::game::{By, Command, LinkBounds};
use crate::race::Kind;
use handround_protocol::house::HouseRule;
use handround_protocol::id::SeatIndex;
use handround_protocol::message::{Grab, SeatSays};
use handround_protocol::partner::Temper;
use handround_protocol::time::Micros;
use handround_protocol::view::Phase;

const FIRST: SeatIndex = SeatIndex(0);

/// A game of three children at this pace. `meddle` is told every event once, with the table behind it.
fn journal(
    temper: Temper,
    seconds: u64,
    seed: u64,
    mut meddle: impl FnMut(&mut Simulation, &Entry),
) -> Vec<Entry> {
    let (plan, _, cards) = deck((seed % 200) as u8);
    let rules = Rules { house: HouseRule::Stay { rounds: 20 }, ..Rules::from_plan(&plan) };
    let mut table = Simulation::new(&[temper; 3], true, rules, cards, seed).unwrap();
    let end = table.now.plus(Micros::from_s(seconds));
    let mut told = 0;
    while table.now < end && table.table.phase() != Phase::GameOver {
        table.step();
        while told < table.journal.len() {
            let entry = table.journal[told].clone();
            told += 1;
            meddle(&mut table, &entry);
        }
    }
    table.journal
}

fn moved(entry: &mut Entry) -> Option<(SeatIndex, bool, &mut Marks)> {
    match &mut entry.event {
        Event::Moved { seat, card, left, marks, .. } => Some((*seat, card == left, marks)),
        _ => None,
    }
}

/// Decisions that are moves, in the journal's order.
fn moves(journal: &[Entry]) -> Vec<Decision> {
    let is_move = |one: &Decision| matches!(one.act, Act::Kept { .. } | Act::Passed);
    read(journal).into_iter().filter(is_move).collect()
}

/// Places among all moves of this many moves of one seat one after the other, which are passes as asked.
fn stretch(journal: &[Entry], passes: &[bool]) -> Vec<usize> {
    let mut all = journal.to_vec();
    let all: Vec<(SeatIndex, bool)> =
        all.iter_mut().filter_map(moved).map(|(seat, pass, _)| (seat, pass)).collect();
    for seat in (0..3).map(SeatIndex) {
        let own: Vec<usize> = (0..all.len()).filter(|place| all[*place].0 == seat).collect();
        let found = own
            .windows(passes.len())
            .find(|window| window.iter().zip(passes).all(|(place, pass)| all[*place].1 == *pass));
        if let Some(found) = found {
            return found.to_vec();
        }
    }
    panic!("no such stretch");
}

/// Which of these moves are left out as a run of one button once they took so long.
fn tapped(journal: &[Entry], places: &[usize], taken_ms: &[u64]) -> Vec<bool> {
    let mut edited = journal.to_vec();
    for (place, (_, _, marks)) in edited.iter_mut().filter_map(moved).enumerate() {
        if let Some(at) = places.iter().position(|own| *own == place) {
            marks.taken = Micros::from_ms(taken_ms[at]);
        }
    }
    let out = |one: &Decision| one.excluded.contains(&Exclusion::SameButton);
    let found = moves(&edited);
    assert!(found.iter().enumerate().all(|(place, one)| places.contains(&place) || !out(one)));
    places.iter().map(|place| out(&found[*place])).collect()
}

#[test]
fn six_quick_moves_by_one_button_are_no_looks_and_five_are() {
    // Nobody at this pace moves within 1.5 s unless it is edited so.
    let journal = journal(Temper::SIX_TO_SEVEN, 1_500, 3, |_, _| {});
    let passes = stretch(&journal, &[true; 7]);
    let all = |ms: u64, many: usize| [vec![ms; many], vec![4_000; 7 - many]].concat();
    let first = |many: usize| (0..7).map(|place| place < many).collect::<Vec<bool>>();
    for (taken, out) in [
        (all(1_000, 5), first(0)),
        (all(1_000, 6), first(6)),
        (all(1_000, 7), first(7)),
        (all(1_499, 6), first(6)),
        (all(1_500, 7), first(0)),
        (vec![1_000, 1_000, 1_000, 1_600, 1_000, 1_000, 1_000], first(0)),
    ] {
        assert_eq!(tapped(&journal, &passes, &taken), out, "{taken:?}");
    }
    // Another button in between ends a run.
    let broken = stretch(&journal, &[true, true, true, false, true, true]);
    assert_eq!(tapped(&journal, &broken, &[1_000; 6]), [false; 6]);
}

#[test]
fn a_move_taken_back_is_left_out_and_no_other() {
    let (mut seen, mut last, mut taken_back) = (0_usize, None, Vec::new());
    let journal = journal(Temper::SIX_TO_SEVEN, 600, 5, |table, entry| match &entry.event {
        Event::Moved { seat, .. } => {
            seen += 1;
            if *seat == FIRST {
                last = Some(seen - 1);
                // Every fourth of its moves.
                if seen % 4 == 0 {
                    table.say(FIRST, SeatSays::Undo);
                }
            }
        }
        Event::Undone { seat } if *seat == FIRST => taken_back.extend(last),
        _ => {}
    });
    let found = moves(&journal);
    let out = |one: &Decision| one.excluded.contains(&Exclusion::TakenBack);
    let left_out: Vec<usize> = (0..found.len()).filter(|place| out(&found[*place])).collect();
    println!("{} moves of {} taken back", left_out.len(), found.len());
    assert_eq!(left_out, taken_back);
    assert!(left_out.len() >= 3);
}

#[test]
fn a_tap_that_proves_an_answer_to_the_room_is_no_false_grab() {
    let both = (8..16).map(answers_to_the_room);
    let (forgiven, taps) = both.fold((0, 0), |(a, b), (c, d)| (a + c, b + d));
    println!("{forgiven} of {taps} taps answered the room");
    assert!(forgiven >= 8 && taps >= forgiven + 8);
}

/// How many taps of a game answered the room, and how many there were.
fn answers_to_the_room(seed: u64) -> (usize, usize) {
    // The first child taps when a neighbour holds four alike; every other time the neighbour has grabbed
    // just before, over a slow link, and the whole table has heard it.
    let slow = LinkBounds { greatest: Micros::from_ms(600), ..LinkBounds::NONE };
    let (mut last_tap, mut taps) = (Micros(0), 0);
    let journal = journal(Temper::SIX_TO_SEVEN, 3_000, seed, |table, _| {
        let four = |seat: u8| table.table.four_since(SeatIndex(seat)).is_some();
        let tempted = four(1) && !four(0) && !table.table.race_is_open();
        if tempted && table.now.since(last_tap) >= Micros::from_s(4) {
            (last_tap, taps) = (table.now, taps + 1);
            let links = [(FIRST, LinkBounds::NONE), (SeatIndex(1), slow)];
            for (seat, link) in links.into_iter().take(1 + taps % 2) {
                let says = SeatSays::Grab(Grab { cue: None, tap: table.now, token: 0 });
                let arrived = table.now;
                let _ = table.tell(&Command::Seat { seat, by: By::Child, says, arrived, link });
            }
        }
    });
    let forgiven: Vec<Micros> = journal
        .iter()
        .filter_map(|entry| match &entry.event {
            Event::Grabbed { seat, observation, .. }
                if *seat == FIRST && observation.kind == Kind::Room =>
            {
                Some(observation.arrived)
            }
            _ => None,
        })
        .collect();
    let mut taps = 0;
    for one in read(&journal).iter().filter(|one| one.act == Act::FalseGrab) {
        taps += 1;
        let room = one.excluded.contains(&Exclusion::Room);
        assert_eq!(room, forgiven.contains(&one.at), "{one:?}");
    }
    (forgiven.len(), taps)
}

#[test]
fn many_taps_at_once_are_excited_from_the_first_one_on() {
    let mut rounds = 0;
    let journal = journal(Temper::SIX_TO_SEVEN, 600, 9, |table, entry| {
        if matches!(entry.event, Event::TakenUp { seat: SeatIndex(1), .. })
            && !table.table.race_is_open()
            && table.table.four_since(FIRST).is_none()
        {
            rounds += 1;
            for _ in 0..if rounds % 8 == 0 { 3 } else { 0 } {
                let grab = Grab { cue: None, tap: table.now, token: 0 };
                table.say(FIRST, SeatSays::Grab(grab));
            }
        }
    });
    let taps: Vec<Decision> =
        read(&journal).into_iter().filter(|one| one.act == Act::FalseGrab).collect();
    assert!(taps.len() >= 6, "{}", taps.len());
    assert!(taps.iter().all(|one| one.excluded.contains(&Exclusion::Excited)), "{taps:?}");
}

#[test]
fn the_first_moves_after_a_pause_and_after_a_lost_link_are_left_out() {
    let mut events = 0;
    let journal = journal(Temper::SIX_TO_SEVEN, 300, 11, |table, _| {
        events += 1;
        let tell = |table: &mut Simulation, command: Command| table.tell(&command).unwrap();
        match events {
            40 => tell(table, Command::Pause),
            // A step lets time pass, so the table stands still for a while.
            41 => tell(table, Command::Resume),
            90 => {
                tell(table, Command::LinkDown { seat: FIRST });
                tell(table, Command::LinkUp { seat: FIRST });
            }
            _ => {}
        }
    });
    let found = moves(&journal);
    let out = |one: &&Decision| one.excluded.contains(&Exclusion::AfterPause);
    let of = |seat: u8| found.iter().filter(out).filter(|one| one.seat.0 == seat).count();
    println!("after a pause, by seat: {} {} {}", of(0), of(1), of(2));
    // A child's very first move comes behind its device's link, which counts as one that was lost.
    assert_eq!((of(0), of(1), of(2)), (3, 2, 2));
    assert!(found.iter().filter(|one| one.counts()).count() > 20);
}

#[test]
fn every_mark_leaves_its_own_reason_and_the_bounds_are_exact() {
    let journal = journal(Temper::SIX_TO_SEVEN, 300, 13, |_, _| {});
    let place = journal.iter().position(|entry| moved(&mut entry.clone()).is_some()).unwrap();
    let with = |edit: &dyn Fn(&mut Marks)| {
        let mut edited = journal.clone();
        if let Some((_, _, marks)) = moved(&mut edited[place]) {
            *marks = Marks { taken: Micros::from_s(3), after_pause: false, ..marks.clone() };
            edit(marks);
        }
        moves(&edited)[0].excluded.clone()
    };
    let by = |by: By| with(&move |marks: &mut Marks| marks.by = by);
    let taken = |ms: u64| with(&move |marks: &mut Marks| marks.taken = Micros::from_ms(ms));
    assert_eq!(with(&|_| {}), []);
    assert_eq!(with(&|marks| marks.helped = true), [Exclusion::Helped]);
    assert_eq!(with(&|marks| marks.hinted = true), [Exclusion::Hinted]);
    assert_eq!(with(&|marks| marks.after_pause = true), [Exclusion::AfterPause]);
    assert_eq!(by(By::SharedDevice), [Exclusion::SharedDevice]);
    assert_eq!(by(By::Home), [Exclusion::Home]);
    assert_eq!(by(By::StandIn), [Exclusion::StandIn]);
    assert_eq!(by(By::Partner), [Exclusion::Partner]);
    assert_eq!(by(By::Child), []);
    assert_eq!([taken(699), taken(20_001)], [[Exclusion::TooQuick], [Exclusion::TooSlow]]);
    assert_eq!([taken(700), taken(20_000)], [[], []]);
}
