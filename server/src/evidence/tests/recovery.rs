//! Simulated children with known strengths and confusions play whole lessons by the real rules, and
//! the report has to find what they have and nothing else. The figures are printed.

use crate::evidence::{ChildReport, DeckFaces, Exclusion, Played, Steadiness, child, read};
use crate::game::Table;
use crate::game::event::{Entry, Event};
use crate::game::rules::{GameDeck, Rules};
use crate::game::simulation::Simulation;
use handround_protocol::face::FaceKind;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{DeckId, GroupIndex, SeatIndex};
use handround_protocol::message::{Grab, SeatSays};
use handround_protocol::partner::Temper;
use handround_protocol::time::Micros;
use handround_protocol::view::{LessonPlan, Phase, RoundEnd};
use handround_protocol::wishes::GroupKey;
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use std::sync::Arc;

/// How one simulated child sees the deck.
#[derive(Clone, Copy)]
pub(super) enum Child {
    /// Sees every card as it is, with the temper's own whims.
    Plain,
    /// Sees every card as it is, and now and then grabs at nothing.
    Grabby,
    /// Takes two groups, the first two if no others are named, for one in seven rounds of ten, until a false grab tells otherwise.
    Confuses,
    /// Recognises no card of this kind.
    Blind(FaceKind),
    /// Recognises no card of the first five groups before this minute, and every one from then on.
    LearnsAt(u64),
    /// Never notices the own four alike, and comes to every race too late.
    Dreams,
    /// Notices the own four alike within three to four seconds.
    Notices,
    /// Taps within 0.6 seconds.
    Hasty,
    /// Looks at a card for more than 20 seconds.
    Elsewhere,
}

impl Child {
    fn temper(self) -> Temper {
        let span = |least, most| (Micros::from_ms(least), Micros::from_ms(most));
        let usual = Temper::SIX_TO_SEVEN;
        match self {
            Child::Dreams => Temper { starts_races: false, react: span(20_000, 25_000), ..usual },
            Child::Notices => Temper { notice: span(3_000, 4_000), ..usual },
            Child::Hasty => Temper { decide: span(100, 600), ..usual },
            Child::Elsewhere => Temper { decide: span(20_500, 24_000), ..usual },
            _ => usual,
        }
    }
}

pub(super) struct Lesson {
    pub(super) faces: Arc<DeckFaces>,
    pub(super) journal: Vec<Entry>,
    pub(super) reports: Vec<ChildReport>,
}

pub(super) fn deck(seed: u8) -> (LessonPlan, Arc<DeckFaces>, GameDeck) {
    deck_with(seed, &[])
}

/// A deck that has these items in any case.
fn deck_with(seed: u8, items: &[String]) -> (LessonPlan, Arc<DeckFaces>, GameDeck) {
    let mut plan =
        LessonPlan { number_max: 20, groups: 10, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
    plan.wishes.groups_in = items.iter().cloned().map(GroupKey).collect();
    let id = DeckId([seed; 16]);
    let made = crate::deck::from_plan(&plan, id, [seed; 32]).unwrap();
    let groups = made.groups();
    let faces =
        DeckFaces::made_again(&plan, crate::deck::Material::default(), id, [seed; 32], &groups);
    (plan, Arc::new(faces.unwrap()), GameDeck { id, groups })
}

/// The group of the first card that shows an item.
fn group_of(item: &str, faces: &DeckFaces, cards: &GameDeck) -> GroupIndex {
    cards.groups[faces.cards.iter().position(|card| card.item == item).unwrap()]
}

/// The items of the first two groups.
fn first_two(faces: &DeckFaces, cards: &GameDeck) -> [String; 2] {
    [0, 1].map(|wanted| {
        let place = cards.groups.iter().position(|group| group.0 == wanted).unwrap();
        faces.cards[place].item.clone()
    })
}

/// One in so many, by an even draw.
fn one_in(dice: &mut ChaCha20Rng, many: u32) -> bool {
    dice.next_u32().is_multiple_of(many)
}

/// A lesson of so many minutes at one table; whom each seat is played by.
pub(super) fn lesson(children: &[Child], minutes: u64, seed: u64) -> Lesson {
    let cards = deck((seed % 200) as u8);
    let pair = first_two(&cards.1, &cards.2);
    lesson_with(children, minutes, seed, cards, &pair)
}

/// The same with a deck and a pair to be taken for each other.
fn lesson_with(
    children: &[Child],
    minutes: u64,
    seed: u64,
    (plan, faces, cards): (LessonPlan, Arc<DeckFaces>, GameDeck),
    pair: &[String; 2],
) -> Lesson {
    let confused_groups = pair.each_ref().map(|item| group_of(item, &faces, &cards));
    let rules = Rules { house: HouseRule::Stay { rounds: 20 }, ..Rules::from_plan(&plan) };
    let tempers: Vec<Temper> = children.iter().map(|child| child.temper()).collect();
    let mut dice = ChaCha20Rng::seed_from_u64(seed ^ 0xe51d);
    let mut table = Simulation::new(&tempers, true, rules, cards.clone(), seed).unwrap();
    let began = table.now;
    let end = began.plus(Micros::from_s(60 * minutes));
    let (mut told, mut next_whim) = (0, table.now);
    for _ in 0..4_000_000 {
        if table.now >= end {
            break;
        }
        if table.table.phase() == Phase::GameOver {
            table.start().unwrap();
        }
        table.step();
        while told < table.journal.len() {
            let event = table.journal[told].event.clone();
            told += 1;
            for (index, child) in children.iter().enumerate() {
                let seat = SeatIndex(index as u8);
                let seen = match (child, &event) {
                    (Child::Confuses, Event::Dealt { .. }) => {
                        let confused = dice.next_u32() % 10 < 7;
                        let [first, second] = confused_groups;
                        let as_one = |group: &GroupIndex| match *group {
                            own if own == second && confused => first,
                            own => own,
                        };
                        cards.groups.iter().map(as_one).collect()
                    }
                    (Child::Confuses, Event::FalseGrab { seat: who, .. }) if *who == seat => {
                        cards.groups.clone()
                    }
                    (Child::LearnsAt(minute), Event::Dealt { .. }) => {
                        let knows = table.now.since(began) >= Micros::from_s(60 * minute);
                        let alone = |(place, group): (usize, &GroupIndex)| match group.0 {
                            0..5 if !knows => GroupIndex(100 + place as u16),
                            _ => *group,
                        };
                        cards.groups.iter().enumerate().map(alone).collect()
                    }
                    (Child::Blind(kind), Event::Dealt { .. }) => {
                        let alone = |(place, group): (usize, &GroupIndex)| {
                            if faces.cards[place].kind == *kind {
                                GroupIndex(100 + place as u16)
                            } else {
                                *group
                            }
                        };
                        cards.groups.iter().enumerate().map(alone).collect()
                    }
                    _ => continue,
                };
                table.sees(seat, seen);
            }
        }
        if table.now >= next_whim {
            next_whim = table.now.plus(Micros::from_s(5));
            for (index, child) in children.iter().enumerate() {
                // About one grab at nothing in a minute and a half.
                if matches!(child, Child::Grabby) && one_in(&mut dice, 18) {
                    let grab = Grab { cue: None, tap: table.now, token: 0 };
                    table.say(SeatIndex(index as u8), SeatSays::Grab(grab));
                }
            }
        }
    }
    let reports = reports(&table.journal, &faces, children.len());
    Lesson { faces, journal: table.journal, reports }
}

fn played(journal: &[Entry], faces: &Arc<DeckFaces>, seats: usize) -> Vec<Played> {
    let decisions = read(journal);
    let of = |seat: usize| Played {
        name: format!("Pupil {seat}"),
        unhurried: false,
        decisions: decisions
            .iter()
            .filter(|one| usize::from(one.seat.0) == seat)
            .map(|one| (one.clone(), faces.clone()))
            .collect(),
    };
    (0..seats).map(of).collect()
}

fn reports(journal: &[Entry], faces: &Arc<DeckFaces>, seats: usize) -> Vec<ChildReport> {
    played(journal, faces, seats).iter().map(child).collect()
}

#[test]
fn what_a_child_recognises_and_what_not_is_found_by_kind_of_face() {
    let (mut weak, mut strong, mut wrong) = (0, 0, 0);
    for seed in 0..8 {
        let table = [Child::Blind(FaceKind::NumberWord), Child::Plain, Child::Plain];
        let played = lesson(&table, 90, seed);
        let says = |seat: usize, kind| {
            let lines = &played.reports[seat].kinds;
            lines.iter().find(|line| line.kind == kind).and_then(|line| line.recognition.says)
        };
        weak += usize::from(says(0, FaceKind::NumberWord) == Some(Steadiness::NotYetSteady));
        strong += usize::from(says(1, FaceKind::NumberWord) == Some(Steadiness::Often));
        wrong += usize::from(says(1, FaceKind::NumberWord) == Some(Steadiness::NotYetSteady));
        let d = |seat: usize| played.reports[seat].skills[0].recognition.d_prime;
        assert!(d(0) < d(1), "seed {seed}: {:?} {:?}", d(0), d(1));
    }
    println!(
        "number words: weak found {weak} of 8, strong {strong} of 8, wrongly weak {wrong} of 8"
    );
    assert!(weak >= 7 && strong >= 7 && wrong == 0);
}

/// What tracing says at the end of the items that a child learnt late, never, or always knew.
#[test]
fn tracing_finds_what_was_learnt_on_the_way() {
    const SEEDS: u64 = 8;
    let (mut known, mut of) = ([0; 3], [0; 3]);
    for seed in 0..SEEDS {
        let table = [Child::LearnsAt(60), Child::LearnsAt(1_000_000), Child::Plain];
        let played = lesson(&table, 120, seed);
        let (_, _, cards) = deck((seed % 200) as u8);
        for (seat, report) in played.reports.iter().enumerate() {
            for item in &report.items {
                let place = played.faces.cards.iter().position(|card| card.item == item.key);
                let late = cards.groups[place.unwrap()].0 < 5;
                let Some(sure) = item.known.filter(|_| late) else { continue };
                of[seat] += 1;
                known[seat] += usize::from(sure >= 0.9);
            }
        }
    }
    println!(
        "known at the end, of items with eight chances: learnt {}/{}, never {}/{}, always {}/{}",
        known[0], of[0], known[1], of[1], known[2], of[2]
    );
    let share = |seat: usize| known[seat] as f64 / of[seat].max(1) as f64;
    assert!(of.iter().all(|of| *of >= 20), "{of:?}");
    assert!(share(0) >= 0.8 && share(1) <= 0.1 && share(2) >= 0.8);
}

#[test]
fn fours_missed_and_noticed_are_counted_as_they_were() {
    let (mut missed, mut own) = (0, 0);
    for seed in 40..44 {
        let played = lesson(&[Child::Notices, Child::Plain, Child::Dreams], 60, seed);
        let [quick, _, dreams] = played.reports.as_slice() else { panic!() };
        own += dreams.fours.missed;
        missed += fours_missed_naively(&played.journal, SeatIndex(2));
        assert_eq!(dreams.fours.noticed, 0);
        assert_eq!(quick.fours.missed, 0);
        let [_, middle, _] = quick.fours.seconds.unwrap();
        println!("seed {seed}: noticed {} after {middle:.1} s", quick.fours.noticed);
        assert!((3.0..=4.5).contains(&middle), "{middle}");
    }
    println!("{own} fours missed");
    assert_eq!(own, missed);
    assert!(missed >= 4);
}

/// Rounds that a seat lost with four alike in its hand for three seconds, told anew from hands alone.
fn fours_missed_naively(journal: &[Entry], seat: SeatIndex) -> usize {
    let (mut table, mut groups) = (Table::empty(), Vec::new());
    let (mut since, mut missed) = (None, 0);
    for entry in journal {
        if let Event::GameStarted { deck, .. } = &entry.event {
            groups.clone_from(&deck.groups);
        }
        if let Event::RoundEnded { end: RoundEnd::Last { seat: last, .. }, .. } = &entry.event {
            let held = since.map_or(Micros(0), |since| entry.at.since(since));
            missed += usize::from(*last == seat && held >= Micros::from_s(3));
        }
        table.apply(entry);
        let own: Vec<GroupIndex> =
            table.hand(seat).iter().map(|card| groups[usize::from(card.0)]).collect();
        let four = own.len() == 4 && own.iter().all(|group| *group == own[0]);
        since = if four { since.or(Some(entry.at)) } else { None };
    }
    missed
}

#[test]
fn a_child_that_only_taps_or_looks_away_is_told_nothing_of() {
    let played = lesson(&[Child::Hasty, Child::Elsewhere, Child::Plain], 60, 21);
    let why = |seat: usize| -> Vec<(Exclusion, usize)> {
        played.reports[seat].excluded.iter().map(|one| (one.why, one.count)).collect()
    };
    println!("hasty {:?}, elsewhere {:?}, plain {:?}", why(0), why(1), why(2));
    for (seat, reason) in [(0, Exclusion::TooQuick), (1, Exclusion::TooSlow)] {
        let report = &played.reports[seat];
        let chances: usize = report.items.iter().map(|item| item.chances).sum();
        assert_eq!((chances, report.confusions.len()), (0, 0));
        assert!(why(seat).iter().any(|(why, count)| *why == reason && *count > 20));
        assert!(report.kinds.is_empty() && report.skills.is_empty());
    }
    // The first move of all comes behind the device's link.
    assert!(why(2).iter().all(|(why, count)| *why == Exclusion::AfterPause && *count == 1));
}

#[test]
fn replaying_a_journal_gives_the_same_report() {
    let played = lesson(&[Child::Confuses, Child::Grabby, Child::Plain], 10, 77);
    let lines: Vec<String> =
        played.journal.iter().map(|entry| serde_json::to_string(entry).unwrap()).collect();
    let again: Vec<Entry> = lines.iter().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(reports(&again, &played.faces, 3), played.reports);
    assert!(played.reports.iter().all(|report| report.decisions > 30));
}

/// Lessons of ten minutes, each with another deck in which both items of one pair are: the pair, and what
/// each child played, lesson by lesson.
pub(super) fn weeks(
    children: &[Child],
    lessons: usize,
    seed: u64,
) -> ([String; 2], Vec<Vec<Played>>) {
    let (_, faces, cards) = deck((seed % 200) as u8);
    let pair = first_two(&faces, &cards);
    let one = |number: u64| {
        // Another deck each time, of which the number is a byte.
        let cards = deck_with((1 + seed * 31 + number * 7) as u8, &pair);
        let own = lesson_with(children, 10, seed * 1_000 + number, cards, &pair);
        played(&own.journal, &own.faces, children.len())
    };
    let all = (0..lessons as u64).map(one).collect();
    (pair, all)
}
