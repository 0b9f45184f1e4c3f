//! Whole games over real sockets, from the class list to the winner and the rematch: every house
//! rule, both subprotocols at one table, devices that break off and come back.

#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::message::{SeatNews, ToClient};
use handround_protocol::view::{Phase, SeatView};
use handround_server::game::{Event, Table};
use handround_tests::class::{Class, all_over, class_list, journal, plan, table_stream};
use handround_tests::house::{Ended, House};
use handround_tests::player::{Player, is_over};
use handround_tests::quick_clock;
use std::time::Duration;

const BOTH: [Codec; 2] = [Codec::Bincode, Codec::Json];

/// Everybody plays the game to its end.
async fn play_game(players: &mut [Player]) {
    for ended in join_all(players.iter_mut().map(Player::play_game)).await {
        ended.unwrap();
    }
}

/// What all must agree on when a game is over.
async fn end_of_game(house: &House, class: &Class, players: &mut [Player]) {
    for player in players.iter_mut() {
        player.agrees_with_a_fresh_snapshot().await;
    }
    let entries = journal(&*house.store, class.table()).await;
    let mut replayed = Table::empty();
    entries.iter().for_each(|entry| replayed.apply(entry));
    replayed.check().unwrap();
    for player in players.iter() {
        let view = player.seen();
        assert_eq!(Some(view), replayed.seat_view(view.you).as_ref(), "as the journal has it");
    }
    let view = players[0].seen();
    let ruling = view.ruling.as_ref().unwrap();
    let seats = &view.table.seats;
    let winners = ruling.winners.len();
    match &view.table.house {
        HouseRule::Stay { rounds } | HouseRule::Calm { rounds } => {
            assert_eq!(winners, seats.len(), "nobody goes out");
            assert_eq!(replayed.rounds_ruled(), u16::from(*rounds));
        }
        HouseRule::Letters { word } => {
            assert_eq!(winners, 1);
            let full = seats.iter().filter(|seat| usize::from(seat.letters) == word.len());
            assert_eq!(full.count(), seats.len() - 1, "all others have the whole word");
        }
        HouseRule::Out { .. } => {
            assert_eq!(winners, 1);
            assert_eq!(seats.iter().filter(|seat| !seat.in_play).count(), seats.len() - 1);
        }
    }
    for winner in &ruling.winners {
        assert!(seats[usize::from(winner.0)].in_play);
    }
}

/// A game to its winner, then the rematch to its winner.
fn plays(house_rule: HouseRule, pupils: usize, codecs: &'static [Codec], seed: u64) {
    quick_clock::run(async move {
        let house = House::open_on_disk(seed).await;
        let plan = plan(house_rule, pupils.max(3));
        let mut class = Class::make(*house, &class_list(pupils), plan).await;
        let mut players = class.players(pupils, codecs, seed).await;
        class.start().await;
        play_game(&mut players).await;
        end_of_game(&house, &class, &mut players).await;
        class.start().await;
        let back = |view: &SeatView| {
            view.table.game.0 == 2 && view.hand.as_ref().is_some_and(|hand| hand.cards.len() == 4)
        };
        for player in &mut players {
            player.play_until(back).await.unwrap();
            let seats = &player.seen().table.seats;
            assert!(
                seats.iter().all(|seat| seat.in_play && seat.letters == 0),
                "everybody is back"
            );
        }
        play_game(&mut players).await;
        end_of_game(&house, &class, &mut players).await;
        class.look(all_over).await;
        house.close().await;
    });
}

#[test]
fn a_game_in_which_everybody_stays() {
    plays(HouseRule::Stay { rounds: 2 }, 4, &BOTH, 1);
}

#[test]
fn a_game_for_the_letters_of_a_word() {
    plays(HouseRule::Letters { word: "SUN".into() }, 3, &BOTH, 2);
}

#[test]
fn a_game_in_which_the_last_is_out_over_bincode() {
    // Five would sit at two tables, and whoever has played out would wait unheard for the other.
    plays(HouseRule::Out { shield: false }, 4, &[Codec::Bincode], 3);
}

#[test]
fn a_game_with_the_shield_over_json() {
    plays(HouseRule::Out { shield: true }, 4, &[Codec::Json], 4);
}

#[test]
fn a_calm_game() {
    plays(HouseRule::Calm { rounds: 2 }, 4, &BOTH, 5);
}

#[test]
fn two_children_and_the_partner_that_keeps_them_company() {
    plays(HouseRule::Out { shield: false }, 2, &BOTH, 6);
}

/// What a device heard after it came back, without the welcome.
fn heard_since(player: &Player, before: usize) -> Vec<(u32, &SeatNews)> {
    let numbered = player.heard[before..].iter().filter_map(|heard| match &heard.message {
        ToClient::Seat { number, news } => Some((number.0, news)),
        _ => None,
    });
    numbered.collect()
}

/// Lets the others play on until the table's journal has grown.
async fn others_go_on(house: &House, class: &Class, lines: usize) {
    let length = async || house.store.read(table_stream(class.table())).await.unwrap().len();
    let before = length().await;
    while length().await < before + lines {
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}

/// Every device breaks off in the middle of the game, some for a moment and some for long.
#[test]
fn a_device_that_breaks_off_gets_the_tail_or_a_snapshot_and_ends_with_the_same_view() {
    quick_clock::run(async {
        let house = House::open_on_disk(7).await;
        let plan = plan(HouseRule::Stay { rounds: 5 }, 4);
        let mut class = Class::make(*house, &class_list(4), plan).await;
        let players = class.players(4, &BOTH, 7).await;
        class.start().await;
        let seats = players.into_iter().enumerate().map(async |(place, mut player)| {
            // One round after the other, so that the others are there while one is away.
            let turn = u32::try_from(place).unwrap().min(2) + 1;
            let in_turn =
                |view: &SeatView| view.table.round.0 >= turn && view.table.phase == Phase::Playing;
            player.play_until(in_turn).await.unwrap();
            // A history holds 32 messages, and most lines of the journal make one for every seat.
            for long in [false, true] {
                let (last, before) = (player.last.unwrap().0, player.heard.len());
                player.break_link();
                others_go_on(&house, &class, if long { 80 } else { 3 }).await;
                player.connect().await.unwrap();
                player.next().await.unwrap();
                player.catch_up().await.unwrap();
                let news = heard_since(&player, before);
                let snapshot = matches!(news[0].1, SeatNews::Snapshot(_));
                assert_eq!(snapshot, long, "{place}: {news:?}");
                if !long {
                    assert_eq!(news[0].0, last + 1, "the tail begins where the device left off");
                }
                let follows = news.windows(2).all(|pair| pair[1].0 == pair[0].0 + 1);
                assert!(follows, "no number is left out or comes twice");
            }
            player.play_until(is_over).await.unwrap();
            player.agrees_with_a_fresh_snapshot().await;
        });
        join_all(seats).await;
        let entries = journal(&*house.store, class.table()).await;
        let count = |wanted: fn(&Event) -> bool| {
            entries.iter().filter(|entry| wanted(&entry.event)).count()
        };
        assert!(
            count(|event| matches!(event, Event::LinkDown { .. })) >= 8,
            "each broke off twice"
        );
        house.close().await;
    });
}

#[test]
fn the_newest_device_wins_and_the_older_one_is_told_so() {
    quick_clock::run(async {
        let house = House::open_on_disk(8).await;
        let plan = plan(HouseRule::Stay { rounds: 1 }, 3);
        let mut class = Class::make(*house, &class_list(3), plan).await;
        let mut players = class.players(3, &BOTH, 8).await;
        class.start().await;
        let mut older = players.remove(0);
        let playing = |view: &SeatView| view.table.phase == Phase::Playing;
        let both = async {
            older.play_until(playing).await.unwrap();
            let mut newer = Player::new(*house, Codec::Json, older.token, 80);
            newer.connect().await.unwrap();
            let why = older.play_until(is_over).await.unwrap_err();
            let (code, reason) = (Close::NewerDevice.code(), Close::NewerDevice.reason());
            assert_eq!(why, Ended::Closed(code, reason.into()));
            newer.play_until(is_over).await.unwrap();
            newer
        };
        let ((), mut newer) = tokio::join!(play_game(&mut players), both);
        newer.agrees_with_a_fresh_snapshot().await;
        house.close().await;
    });
}
