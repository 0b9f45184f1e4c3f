//! Journals that an earlier version wrote, each a whole game: every later version must replay them to
//! the same state, byte for byte, and write their lines back with all that stands in them.
//!
//! A journal is never written again once a version with its format was released. With
//! `HANDROUND_WRITE_JOURNAL=1` this test records those that are missing and then notes down what each
//! came to; the noted hash changes with the layout of the state, which is no promise, and then the
//! facts beside it must still be the same.

#![allow(clippy::unwrap_used)]

use handround_protocol::house::{HouseRule, MissedFour, Pace};
use handround_protocol::id::{DeckId, GroupIndex, SeatIndex};
use handround_protocol::message::{Grab, SeatSays};
use handround_protocol::partner::Temper;
use handround_protocol::time::Micros;
use handround_protocol::view::RoundEnd;
use handround_server::game::rules::GameDeck;
use handround_server::game::simulation::Simulation;
use handround_server::game::{Command, Entry, Event, Rules, Table};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::path::PathBuf;

/// What a journal comes to.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Outcome {
    /// Of the last state's bincode bytes.
    sha256: String,
    lines: usize,
    rounds: u32,
    winners: Vec<u8>,
    letters: Vec<u8>,
    /// Who was last, round by round.
    last: Vec<u8>,
}

fn bytes(table: &Table) -> Vec<u8> {
    bincode::serde::encode_to_vec(table, bincode::config::standard()).unwrap()
}

fn outcome(entries: &[Entry]) -> Outcome {
    let mut table = Table::empty();
    for (line, entry) in entries.iter().enumerate() {
        table.apply(entry);
        // What one command led to belongs together, and carries one moment.
        if entries.get(line + 1).is_none_or(|next| next.at != entry.at) {
            table.check().unwrap();
        }
    }
    // The state survives its own encoding.
    let encoded = bytes(&table);
    let (decoded, read): (Table, usize) =
        bincode::serde::decode_from_slice(&encoded, bincode::config::standard()).unwrap();
    assert_eq!((&decoded, read), (&table, encoded.len()));
    assert_eq!(bytes(&decoded), encoded);
    let view = table.table_view();
    let last = entries.iter().filter_map(|entry| match entry.event {
        Event::RoundEnded { end: RoundEnd::Last { seat, .. }, .. } => Some(seat.0),
        _ => None,
    });
    let sha256 = Sha256::digest(&encoded).iter().map(|byte| format!("{byte:02x}")).collect();
    Outcome {
        sha256,
        lines: entries.len(),
        rounds: view.round.0,
        winners: table.winners().iter().map(|seat| seat.0).collect(),
        letters: view.seats.iter().map(|seat| seat.letters).collect(),
        last: last.collect(),
    }
}

fn rules(house: HouseRule) -> Rules {
    Rules {
        house,
        missed_four: MissedFour::HintAfter { seconds: 3 },
        cue_sound: true,
        cards_come_by_themselves: false,
        tray_limit: 3,
        remind_after: Micros::from_s(25),
        pass_by_after: Micros::from_s(45),
        next_deal_after: Micros::from_s(10),
        false_grab_wait: Micros::from_ms(1_500),
        partner_pace: Pace::Usual,
        cheering: false,
    }
}

/// Match groups of four to seven cards.
fn deck(groups: u16) -> GameDeck {
    let cards = (0..groups).flat_map(|group| vec![GroupIndex(group); 4 + usize::from(group % 4)]);
    GameDeck { id: DeckId([7; 16]), groups: cards.collect() }
}

/// Plays until an event of this kind has just happened.
fn until(game: &mut Simulation, wanted: impl Fn(&Event) -> bool) {
    let seen = game.journal.len();
    let happened = |game: &Simulation| game.journal[seen..].iter().any(|e| wanted(&e.event));
    while !happened(game) {
        assert!(game.step(), "the game rests before it has happened");
    }
}

/// A game for the letters of a word, with what happens in a class: a tap without a reason, a move
/// taken back, a pause, a child whose tablet goes dark for a while. The first seed from 11 on whose
/// game also uses up its draw pile.
fn letters() -> Vec<Entry> {
    let reshuffles = |entry: &Entry| matches!(entry.event, Event::Reshuffled { .. });
    (11..).map(letters_from).find(|entries| entries.iter().any(reshuffles)).unwrap()
}

fn letters_from(seed: u64) -> Vec<Entry> {
    let tempers = [Temper::SIX_TO_SEVEN; 3];
    let house = HouseRule::Letters { word: "SUN".into() };
    let mut game = Simulation::new(&tempers, true, rules(house), deck(5), seed).unwrap();
    until(&mut game, |event| matches!(event, Event::TokensLive));
    let live = game.now;
    while game.now.since(live) < Micros::from_s(3) {
        game.step();
    }
    let tap = Grab { cue: None, tap: game.now, token: 1 };
    game.say(SeatIndex(0), SeatSays::Grab(tap));
    until(&mut game, |event| matches!(event, Event::Moved { seat: SeatIndex(1), .. }));
    game.say(SeatIndex(1), SeatSays::Undo);
    until(&mut game, |event| matches!(event, Event::RoundEnded { .. }));
    until(&mut game, |event| matches!(event, Event::Moved { .. }));
    game.tell(&Command::Pause).unwrap();
    game.now = game.now.plus(Micros::from_s(120));
    game.tell(&Command::Resume).unwrap();
    until(&mut game, |event| matches!(event, Event::Moved { .. }));
    game.tell(&Command::LinkDown { seat: SeatIndex(2) }).unwrap();
    until(&mut game, |event| matches!(event, Event::StandInTook { .. }));
    until(&mut game, |event| matches!(event, Event::Moved { seat: SeatIndex(2), .. }));
    game.tell(&Command::LinkUp { seat: SeatIndex(2) }).unwrap();
    assert!(game.play_game());
    game.journal
}

/// A game in which the last is out, cards come by themselves, and a rematch that is ended.
fn out() -> Vec<Entry> {
    let rules = Rules { cards_come_by_themselves: true, ..rules(HouseRule::Out { shield: true }) };
    let mut game = Simulation::new(&[Temper::QUICK; 4], false, rules, deck(6), 12).unwrap();
    assert!(game.play_game());
    game.start().unwrap();
    until(&mut game, |event| matches!(event, Event::CuesMade { .. }));
    game.tell(&Command::End).unwrap();
    assert!(game.play_game());
    game.journal
}

fn calm() -> Vec<Entry> {
    let rules = rules(HouseRule::Calm { rounds: 2 });
    let mut game = Simulation::new(&[Temper::QUICK; 3], true, rules, deck(5), 13).unwrap();
    assert!(game.play_game());
    game.journal
}

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("journals").join(name)
}

fn is_writing() -> bool {
    std::env::var_os("HANDROUND_WRITE_JOURNAL").is_some_and(|value| value == "1")
}

/// Whether all of the old value stands in the new one, which may only have further fields.
fn keeps(old: &Value, new: &Value) -> bool {
    match (old, new) {
        (Value::Object(old), Value::Object(new)) => {
            old.iter().all(|(name, old)| new.get(name).is_some_and(|new| keeps(old, new)))
        }
        (Value::Array(old), Value::Array(new)) => {
            old.len() == new.len() && old.iter().zip(new).all(|(old, new)| keeps(old, new))
        }
        _ => old == new,
    }
}

fn replays(name: &str, record: fn() -> Vec<Entry>, holds: &[&str]) {
    let (journal, expected) = (path(&format!("{name}.jsonl")), path(&format!("{name}.json")));
    if is_writing() && !journal.exists() {
        let lines: Vec<String> =
            record().iter().map(|entry| serde_json::to_string(entry).unwrap()).collect();
        std::fs::write(&journal, lines.join("\n") + "\n").unwrap();
    }
    let text = std::fs::read_to_string(&journal).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let entries: Vec<Entry> =
        lines.iter().map(|line| serde_json::from_str(line).expect(line)).collect();
    for (line, entry) in lines.iter().zip(&entries) {
        let (old, new) =
            (serde_json::from_str(line).unwrap(), serde_json::to_value(entry).unwrap());
        assert!(
            keeps(&old, &new),
            "a line is written as it was, but for fields added since: {line}"
        );
    }
    // A journal that lacks these would promise less than it seems to.
    for event in holds {
        assert!(text.contains(&format!("\"{event}\"")), "{name} has no {event}");
    }
    let outcome = outcome(&entries);
    if is_writing() {
        std::fs::write(&expected, serde_json::to_string_pretty(&outcome).unwrap() + "\n").unwrap();
    }
    let stored: Outcome =
        serde_json::from_str(&std::fs::read_to_string(&expected).unwrap()).unwrap();
    assert_eq!(outcome, stored, "{name}");
}

#[test]
fn a_game_for_letters_of_version_1() {
    let holds = [
        "Seated",
        "GameStarted",
        "Dealt",
        "DealShown",
        "TokensLive",
        "TakenUp",
        "Moved",
        "Undone",
        "Reshuffled",
        "Grabbed",
        "CuesMade",
        "CueSent",
        "CueShown",
        "FalseGrab",
        "LinkUp",
        "LinkDown",
        "StandInTook",
        "StandInLeft",
        "RoundEnded",
        "GameEnded",
        "PauseWished",
        "Paused",
        "Resumed",
    ];
    replays("v1-letters", letters, &holds);
}

#[test]
fn a_game_with_somebody_out_and_an_ended_rematch_of_version_1() {
    replays("v1-out", out, &["EndWished", "GameEnded", "Grabbed"]);
}

#[test]
fn a_calm_game_of_version_1() {
    replays("v1-calm", calm, &["LaidDown", "AllLaidDown"]);
}

/// A different outcome is noticed: one line less, or another card.
#[test]
fn a_journal_that_was_changed_comes_to_something_else() {
    let text = std::fs::read_to_string(path("v1-letters.jsonl")).unwrap();
    let entries: Vec<Entry> =
        text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let whole = outcome(&entries);
    assert_ne!(outcome(&entries[..entries.len() - 1]).sha256, whole.sha256);
    let ended = entries.iter().rposition(|entry| matches!(entry.event, Event::RoundEnded { .. }));
    let mut changed = entries.clone();
    if let Event::RoundEnded { four, .. } = &mut changed[ended.unwrap()].event {
        four.swap(0, 1);
    }
    assert_ne!(outcome(&changed).sha256, whole.sha256, "two of the four change places");
}
