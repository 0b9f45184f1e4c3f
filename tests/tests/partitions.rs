//! Partitions in simulated time: a whole server, two tables of children of both subprotocols, and
//! links that break and mend at chosen moments of the game (turmoil; `tests/src/simulated.rs`).
//!
//! What is compared are spans of simulated time and the server's own records, never the wall's clock.

#![allow(clippy::unwrap_used)]

use handround_protocol::id::{CardId, SeatIndex};
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, RoundEnd, SeatView, VoidReason};
use handround_server::game::{By, Entry, Event, Table};
use handround_server::race::ruling::HOLD_MAX;
use handround_server::race::{Record, Runner};
use handround_tests::replay::{all_was_journalled, replay};
use handround_tests::simulated::{Story, Told, play};
use handround_tests::weather::How::{Crash, DownParted, Held, Parted, UpParted};
use handround_tests::weather::When::{CueMade, CueShown, Hold, Passing};
use handround_tests::weather::{Come, How, Spell, When};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

/// Between two rounds nothing happens for 10 s; a cued child's tap takes its time too.
const PAUSE_MAX: Micros = Micros::from_ms(11_000);
/// Wakes of a paused runtime are whole milliseconds.
const MILLISECOND: Micros = Micros::from_ms(1);

const fn spell(seat: u8, rounds: usize, when: When, how: How, lasts_ms: u64) -> Spell {
    Spell { seat: SeatIndex(seat), rounds, when, how, lasts: Duration::from_millis(lasts_ms) }
}

/// The first child starts each race, the second is quicker than the third.
fn story(seed: u64, rounds: u8, weather: &[Spell]) -> Story {
    let weather = weather.to_vec();
    Story { seed, rounds, reactions_ms: [300, 500, 1_200], one_starts: true, weather }
}

/// Plays a story and looks whether it holds what every story must hold.
fn played(story: &Story) -> Told {
    println!("{story:?}");
    let told = play(story);
    for table in [told.table, told.other] {
        let entries = told.entries(table);
        cards_are_conserved(&entries);
        races_end_by_the_rules(&entries);
        assert_eq!(replay(&entries).phase(), Phase::GameOver);
        for player in told.at(table) {
            all_was_journalled(&entries, player);
        }
    }
    for Come { spell, held, .. } in &told.came {
        the_child_has_its_seat_back(&told.entries(told.table)[*held..], spell.seat);
    }
    if told.came.iter().all(|come| come.spell.how != Crash) {
        nothing_happens_to(&told.entries(told.other));
    }
    told
}

/// No card is lost or doubled, counted from what the seats see, by an onlooker who knows the deck's
/// size alone; `check` counts once more, from within.
fn cards_are_conserved(entries: &[Entry]) {
    let (mut table, mut deck, mut counted) = (Table::empty(), 0, 0);
    for entry in entries {
        table.apply(entry);
        table.check().unwrap();
        if let Event::GameStarted { deck: cards, .. } = &entry.event {
            deck = cards.groups.len();
        }
        let view = table.table_view();
        if !matches!(view.phase, Phase::Dealt | Phase::Playing) {
            continue;
        }
        let seats = (0..view.seats.len()).map(|seat| SeatIndex(u8::try_from(seat).unwrap()));
        let views: Vec<SeatView> = seats.map(|seat| table.seat_view(seat).unwrap()).collect();
        let hands = views.iter().filter_map(|view| view.hand.as_ref());
        let cards = hands.flat_map(|hand| hand.cards.iter().chain(&hand.considering));
        let cards: Vec<CardId> = cards.map(|card| card.id).collect();
        let distinct: BTreeSet<CardId> = cards.iter().copied().collect();
        assert_eq!(distinct.len(), cards.len(), "a card is in two places: {entry:?}");
        let waiting: usize = view.seats.iter().map(|seat| usize::from(seat.waiting)).sum();
        let piles = usize::from(view.draw_pile) + usize::from(view.discard_pile);
        assert_eq!(cards.len() + waiting + piles, deck, "{entry:?}");
        counted += 1;
    }
    assert!(counted > 20, "a game has more to count");
}

/// Design, section 3, rule 11, and section 4, read again from the records alone. A round is void if
/// nothing came back from the only seat without a token, at most twice for a seat in a game; otherwise
/// that seat is last. Once all tokens are claimed nobody waits for longer than the longest hold.
fn races_end_by_the_rules(entries: &[Entry]) {
    let mut voids: BTreeMap<SeatIndex, usize> = BTreeMap::new();
    for entry in entries {
        let Event::RoundEnded { end, race, .. } = &entry.event else { continue };
        let Some((record, ruling)) = race else {
            assert_eq!(*end, RoundEnd::Void { reason: VoidReason::Restarted });
            continue;
        };
        let hold = entry.at.since(all_claimed(record));
        assert!(hold <= HOLD_MAX.plus(MILLISECOND), "{hold:?}: {ruling:?}");
        let silent: Vec<&Runner> = record.runners.iter().filter(|one| one.grab.is_none()).collect();
        assert!(silent.len() <= 1, "a token was left: {record:?}");
        let without_a_word = silent.first().filter(|runner| {
            runner.cue.is_none_or(|cue| cue.pinged.is_none() && cue.shown_arrived.is_none())
        });
        let excused = without_a_word.map(|runner| runner.seat);
        let excused = excused.filter(|seat| voids.get(seat).is_none_or(|voids| *voids < 2));
        match end {
            RoundEnd::Void { reason } => {
                assert_eq!(*reason, VoidReason::LinkLost);
                *voids.entry(excused.expect("a link that was lost")).or_default() += 1;
            }
            RoundEnd::Last { seat, .. } => {
                assert_eq!(excused, None, "put last by the network: {record:?}");
                assert!(silent.iter().all(|runner| runner.seat == *seat), "{ruling:?}");
            }
            RoundEnd::AllLaidDown => panic!("a race was played"),
        }
    }
}

/// When the claim arrived that left no token.
fn all_claimed(record: &Record) -> Micros {
    let grabs = record.runners.iter().filter_map(|runner| runner.grab);
    let mut arrivals: Vec<Micros> = grabs.map(|grab| grab.arrived).collect();
    arrivals.sort();
    arrivals[usize::from(record.tokens) - 1]
}

/// A child whose seat was kept warm has it back in the end, and is connected.
fn the_child_has_its_seat_back(later: &[Entry], seat: SeatIndex) {
    let (mut stand_in, mut link) = (false, true);
    for Entry { event, .. } in later {
        match event {
            Event::StandInTook { seat: one } if *one == seat => stand_in = true,
            Event::StandInLeft { seat: one } if *one == seat => stand_in = false,
            Event::LinkUp { seat: one } if *one == seat => link = true,
            Event::LinkDown { seat: one } if *one == seat => link = false,
            _ => {}
        }
    }
    assert!(link && !stand_in, "{seat:?}");
}

/// What the weather at another table is to this one.
fn nothing_happens_to(entries: &[Entry]) {
    let started = entries.iter().position(|one| matches!(one.event, Event::GameStarted { .. }));
    let ended = entries.iter().position(|one| matches!(one.event, Event::GameEnded { .. }));
    for pair in entries[started.unwrap()..=ended.unwrap()].windows(2) {
        let [before, entry] = pair else { unreachable!() };
        let void = matches!(entry.event, Event::RoundEnded { end: RoundEnd::Void { .. }, .. });
        assert!(!void && !is_about_links(&entry.event), "{entry:?}");
        assert!(entry.at.since(before.at) <= PAUSE_MAX, "{before:?} {entry:?}");
    }
}

fn is_about_links(event: &Event) -> bool {
    matches!(event, Event::LinkUp { .. } | Event::LinkDown { .. } | Event::StandInTook { .. })
}

fn ends(entries: &[Entry]) -> Vec<RoundEnd> {
    let end = |entry: &Entry| match entry.event {
        Event::RoundEnded { end, .. } => Some(end),
        _ => None,
    };
    entries.iter().filter_map(end).collect()
}

const LINK_LOST: RoundEnd = RoundEnd::Void { reason: VoidReason::LinkLost };
const RESTARTED: RoundEnd = RoundEnd::Void { reason: VoidReason::Restarted };
const THIRD_IS_LAST: RoundEnd =
    RoundEnd::Last { seat: SeatIndex(2), letters: 0, out: false, shielded: false };

/// The third child's link, or the server, goes at a moment of the race; it is the slowest, so that
/// with a good link it would be last.
#[test]
fn a_race_whose_slowest_seat_is_parted_ends_as_its_own_evidence_says() {
    let table = [
        // The cue, or every word about it, never passes in time.
        (CueMade, Parted, 20_000, LINK_LOST),
        (CueMade, Held, 3_000, LINK_LOST),
        (CueMade, DownParted, 3_000, LINK_LOST),
        (CueMade, UpParted, 3_000, LINK_LOST),
        // It has shown the cue: what is lost is its tap, and nobody can know of one.
        (CueShown, Parted, 20_000, THIRD_IS_LAST),
        (CueShown, Held, 3_000, THIRD_IS_LAST),
        (Hold, Parted, 3_000, THIRD_IS_LAST),
        (Hold, Held, 3_000, THIRD_IS_LAST),
        (CueShown, Crash, 3_000, RESTARTED),
        (Hold, Crash, 3_000, RESTARTED),
    ];
    for (seed, (when, how, lasts_ms, end)) in (100..).zip(table) {
        let told = played(&story(seed, 1, &[spell(2, 0, when, how, lasts_ms)]));
        assert_eq!(told.came.len(), 1, "{when:?} {how:?}");
        let ends = ends(&told.entries(told.table));
        assert_eq!(ends[0], end, "{when:?} {how:?}");
        // A void round is dealt again, until one counts.
        let void = |end: &&RoundEnd| matches!(end, RoundEnd::Void { .. });
        assert_eq!(ends.iter().filter(|end| !void(end)).count(), 1, "{when:?} {how:?}: {ends:?}");
        assert!(ends.last().is_some_and(|end| !void(&end)), "{when:?} {how:?}: {ends:?}");
    }
}

#[test]
fn a_link_that_stands_still_for_a_moment_changes_nothing() {
    let told = played(&story(1, 1, &[spell(1, 0, Passing(4), Held, 3_000)]));
    assert_eq!(told.came.len(), 1);
    let entries = told.entries(told.table);
    let over = entries.iter().position(|one| matches!(one.event, Event::GameEnded { .. })).unwrap();
    let later = &entries[told.came[0].held..over];
    assert!(later.len() > 10, "the round goes on");
    assert!(!later.iter().any(|entry| is_about_links(&entry.event)), "{later:?}");
}

#[test]
fn a_child_that_is_parted_while_cards_go_round_comes_back_to_its_own_hand() {
    for (seed, how) in (2..).zip([Parted, UpParted, DownParted, Held]) {
        let told = played(&story(seed, 1, &[spell(1, 0, Passing(4), how, 25_000)]));
        let entries = told.entries(told.table);
        let about = |event: &Event| match event {
            Event::LinkDown { seat: SeatIndex(1) } => Some("away"),
            Event::StandInTook { seat: SeatIndex(1) } => Some("kept warm"),
            Event::LinkUp { seat: SeatIndex(1) } => Some("back"),
            Event::StandInLeft { seat: SeatIndex(1) } => Some("its own"),
            _ => None,
        };
        let later = &entries[told.came[0].held..];
        let heard: Vec<&str> = later.iter().filter_map(|entry| about(&entry.event)).collect();
        assert_eq!(heard[..4], ["away", "kept warm", "back", "its own"], "{how:?}: {heard:?}");
        // Whoever plays, plays the same hand: each move starts from the hand that the last one left.
        let mut hand = None;
        let mut players = BTreeSet::new();
        for Entry { event, .. } in &entries {
            match event {
                Event::Dealt { .. } => hand = None,
                Event::Moved { seat: SeatIndex(1), card, left, marks, .. } => {
                    assert_eq!(hand.get_or_insert(marks.hand.clone()), &marks.hand, "{how:?}");
                    let kept = marks.hand.iter().map(|own| if own == left { *card } else { *own });
                    hand = Some(kept.collect());
                    players.insert(marks.by == By::Child);
                }
                _ => {}
            }
        }
        assert_eq!(players.len(), 2, "{how:?}: the child and its stand-in");
    }
}

/// After a second void the seat is kept warm at once, until its link is back.
#[test]
fn a_seat_causes_two_voids_at_the_most() {
    let weather = [spell(2, 0, CueMade, Held, 2_500), spell(2, 1, CueMade, Held, 40_000)];
    let told = played(&story(6, 2, &weather));
    assert_eq!(told.came.len(), 2);
    let entries = told.entries(told.table);
    let ends = ends(&entries);
    assert_eq!(ends[..2], [LINK_LOST; 2], "{ends:?}");
    assert_eq!(ends[2..].iter().filter(|end| **end == LINK_LOST).count(), 0, "{ends:?}");
    let void =
        |entry: &Entry| matches!(entry.event, Event::RoundEnded { end: RoundEnd::Void { .. }, .. });
    let second = entries.iter().rposition(void).unwrap();
    assert_eq!(entries[second + 1].event, Event::StandInTook { seat: SeatIndex(2) });
}

/// Nobody is there any more, with cards going round and with a race open: stand-ins keep all seats
/// warm, start no race, and end the one that is open.
#[test]
fn a_table_that_is_parted_whole_waits_and_goes_on() {
    let all = |when| [0, 1, 2].map(|seat| spell(seat, 0, when, Parted, 30_000));
    let told = played(&story(7, 1, &all(Passing(3))));
    assert_eq!(told.came.len(), 3);
    let told = played(&story(8, 1, &all(CueMade)[1..]));
    assert_eq!(told.came.len(), 2);
}

/// Stories that nobody thought of.
fn drawn(seed: u64) -> Story {
    let mut dice = ChaCha20Rng::seed_from_u64(seed);
    let mut below = |bound: u32| dice.next_u32() % bound;
    let weather = (0..3 + below(4)).map(|_| {
        let when = [Passing(0), Passing(4), Passing(9), CueMade, CueShown, Hold];
        let how = [Parted, Parted, Held, Held, DownParted, UpParted, Crash];
        let lasts_ms = [300, 1_500, 6_000, 12_000, 30_000];
        let (when, how) = (when[below(6) as usize], how[below(7) as usize]);
        let lasts_ms = lasts_ms[below(5) as usize];
        spell(u8::try_from(below(3)).unwrap(), below(2) as usize, when, how, lasts_ms)
    });
    let weather = weather.collect();
    let reactions_ms = [(); 3].map(|()| u64::from(300 + below(700)));
    Story { seed, rounds: 2, reactions_ms, one_starts: below(2) == 0, weather }
}

/// `HANDROUND_STORIES=7..200` plays others than usual.
#[test]
fn drawn_stories_hold_and_are_the_same_again_to_the_byte() {
    let wished = std::env::var("HANDROUND_STORIES").unwrap_or_else(|_| "1..5".to_owned());
    let (first, end) = wished.split_once("..").unwrap();
    for seed in first.parse().unwrap()..end.parse().unwrap() {
        let story = drawn(seed);
        let (once, again) = (played(&story).transcript(), play(&story).transcript());
        for (one, two) in once.iter().zip(&again) {
            assert_eq!(one, two, "seed {seed}");
        }
        assert_eq!(once.len(), again.len(), "seed {seed}");
        // Another process comes to the same digest.
        let digest = Sha256::digest(once.join("\n"));
        let lines = once.len();
        println!("seed {seed}: {lines} lines written and heard, the same again: {digest:x}");
    }
}
