//! Nobody is told what he may not know. Every byte that reaches a pupil's device, an onlooker or the
//! wall display in whole games is kept, decoded, and held against the table's journal; and two games
//! that differ only in what others hold look the same to a seat, message by message.

#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::house::{HouseRule, MissedFour};
use handround_protocol::id::{
    CardId, FaceIndex, GameNumber, GroupIndex, Nonce, RoundNumber, SeatIndex,
};
use handround_protocol::message::{Grab, GrabCue, SeatNews, SeatSays, ToClient};
use handround_protocol::time::Micros;
use handround_protocol::view::{HandView, LessonPlan, Phase, RoundEnd, Tap};
use handround_server::game::rules::GameDeck;
use handround_server::game::{Entry, Event, Rules, Seed};
use handround_server::journal::{MemoryStore, Store, Urgency};
use handround_tests::class::{Class, class_list, journal, plan, table_stream, watch_wall};
use handround_tests::house::House;
use handround_tests::knowledge::{Knowledge, told_too_much};
use handround_tests::player::{Player, is_over};
use handround_tests::quick_clock;
use handround_tests::recorder::Tape;
use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

const BOTH: [Codec; 2] = [Codec::Json, Codec::Bincode];

/// Whether bytes stand somewhere in others.
fn holds(bytes: &[u8], wanted: &[u8]) -> bool {
    bytes.windows(wanted.len()).any(|window| window == wanted)
}

/// Whether an id or nonce stands in the bytes as either subprotocol writes it.
fn holds_id(bytes: &[u8], id: &[u8]) -> bool {
    let hex: String = id.iter().map(|byte| format!("{byte:02x}")).collect();
    holds(bytes, id) || holds(bytes, hex.as_bytes())
}

/// Words of what only the teacher and the evidence may know.
fn speaks_of_secrets(bytes: &[u8]) -> Option<&'static str> {
    let lower: Vec<u8> = bytes.to_ascii_lowercase();
    ["readiness", "keep", "kept", "hinted", "helped", "false_grabs"]
        .into_iter()
        .find(|word| holds(&lower, word.as_bytes()))
}

/// One whole game and everything that everybody received in it.
struct Recorded {
    /// Messages of each seat with the moment on the server's clock.
    messages: Vec<Vec<(Micros, ToClient)>>,
    tapes: Vec<Vec<u8>>,
    wall: Vec<u8>,
    wall_messages: Vec<ToClient>,
    journal: Vec<Entry>,
    moments: Vec<Knowledge>,
    /// Answers over HTTP to pupils' devices, the deck's faces among them.
    answers: Vec<Vec<u8>>,
}

/// Plays a game with taps without a reason, moves taken back, and a link that breaks.
async fn record(house_rule: HouseRule, pupils: usize, seed: u64) -> Recorded {
    let house = House::open_on_disk(seed).await;
    let plan = LessonPlan {
        // Rounds long enough for cards to reach the discard pile and for every mischief.
        groups: 8,
        cards_come_by_themselves: true,
        missed_four: MissedFour::HintAfter { seconds: 3 },
        ..plan(house_rule, pupils)
    };
    let mut class = Class::make(*house, &class_list(pupils), plan).await;
    let mut players = class.players(pupils, &BOTH, seed).await;
    let wall_tape = Tape::default();
    let wall = watch_wall(*house, class.wall(), Codec::Json, wall_tape.clone());
    let wall = tokio::spawn(wall);
    class.start().await;
    for (place, player) in players.iter_mut().enumerate() {
        player.takes_back_every = Some(3 + u32::try_from(place).unwrap());
        player.taps_wrongly_every = Some(4);
    }
    let (now, instant) = (house.hub.now(), tokio::time::Instant::now());
    let seats = players.iter_mut().enumerate().map(async |(place, player)| {
        if place == 1 {
            player.play_until(|view| view.table.phase == Phase::Playing).await.unwrap();
            player.break_link();
            tokio::time::sleep(Duration::from_secs(1)).await;
        }
        player.play_until(is_over).await.unwrap();
        player.catch_up().await.unwrap();
    });
    join_all(seats).await;
    let journal = journal(&*house.store, class.table()).await;
    let deck = class.board.tables[0].deck;
    let faces = house.ask(&format!("GET /decks/{deck}/faces"), &[], b"").await;
    let mut answers: Vec<Vec<u8>> = class.answers.into_iter().map(|answer| answer.body).collect();
    answers.push(faces.body);
    house.close().await;
    let wall_messages = wall.await.unwrap();
    // The server's clock and the devices' is one here: that of the runtime.
    let on_server = |at: tokio::time::Instant| {
        let since = |span: Duration| Micros(u64::try_from(span.as_micros()).unwrap());
        match at.checked_duration_since(instant) {
            Some(later) => now.plus(since(later)),
            None => Micros(now.0 - since(instant - at).0),
        }
    };
    let heard = |player: &Player| {
        player.heard.iter().map(|heard| (on_server(heard.at), heard.message.clone())).collect()
    };
    Recorded {
        messages: players.iter().map(heard).collect(),
        tapes: players.iter().map(|player| player.tape.bytes()).collect(),
        wall: wall_tape.bytes(),
        wall_messages,
        moments: Knowledge::of(&journal),
        journal,
        answers,
    }
}

fn seats(recorded: &Recorded) -> impl Iterator<Item = SeatIndex> {
    (0..u8::try_from(recorded.messages.len()).unwrap()).map(SeatIndex)
}

fn nobody_was_told_too_much(recorded: &Recorded) {
    let Recorded { messages, tapes, wall, moments, answers, .. } = recorded;
    assert!(recorded.wall_messages.len() > 1, "the wall was shown something");
    let ids: BTreeSet<CardId> = moments.iter().flat_map(|moment| moment.ids()).copied().collect();
    let cues: BTreeSet<Nonce> =
        moments.iter().flat_map(|moment| seats(recorded).filter_map(|s| moment.cue(s))).collect();
    for seat in seats(recorded) {
        let place = usize::from(seat.0);
        told_too_much(seat, &messages[place], moments).unwrap();
        // Below the decoder: no card id and no nonce but the own, in either way of writing.
        let own: BTreeSet<CardId> =
            moments.iter().flat_map(|moment| moment.own(seat).into_values()).collect();
        let own_cues: BTreeSet<Nonce> =
            moments.iter().filter_map(|moment| moment.cue(seat)).collect();
        let told = ids.iter().filter(|id| holds_id(&tapes[place], &id.0)).copied();
        assert_eq!(told.collect::<BTreeSet<_>>().difference(&own).next(), None, "seat {seat}");
        let told = cues.iter().filter(|cue| holds_id(&tapes[place], &cue.0)).copied();
        assert_eq!(told.collect::<BTreeSet<_>>().difference(&own_cues).next(), None, "seat {seat}");
        assert_eq!(speaks_of_secrets(&tapes[place]), None, "seat {seat}");
    }
    assert!(!ids.iter().any(|id| holds_id(wall, &id.0)), "a card's id on the wall");
    assert!(!cues.iter().any(|cue| holds_id(wall, &cue.0)), "a cue on the wall");
    assert_eq!(speaks_of_secrets(wall), None, "on the wall");
    for answer in answers {
        assert_eq!(speaks_of_secrets(answer), None, "{}", String::from_utf8_lossy(answer));
    }
}

fn count(recorded: &Recorded, wanted: impl Fn(&Event) -> bool) -> usize {
    recorded.journal.iter().filter(|entry| wanted(&entry.event)).count()
}

/// The same games with a leak planted: the check must see each of them.
fn planted_leaks_are_seen(recorded: &Recorded) {
    let Recorded { messages, moments, .. } = recorded;
    let (one, other) = (SeatIndex(0), SeatIndex(1));
    assert!(told_too_much(other, &messages[0], moments).is_err(), "another seat's messages");
    let hand = messages[0].iter().position(|(at, message)| {
        let later = moments.iter().filter(|moment| moment.at() > *at);
        let next = later.filter_map(|moment| moment.looks_at(one)).next();
        matches!(hand_of(message), Some(hand) if hand.considering.is_none()
            && next.is_some_and(|card| hand.cards.iter().all(|own| own.face != card)))
    });
    let hand = hand.expect("a hand that waits for a card");
    let at = messages[0][hand].0;
    let ahead = moments.iter().find(|m| m.at() > at && m.looks_at(one).is_some()).unwrap();
    let plant = |change: &dyn Fn(&mut HandView)| {
        let mut planted = messages[0].clone();
        if let ToClient::Seat { news: SeatNews::Hand(Some(hand)), .. } = &mut planted[hand].1 {
            change(hand);
        }
        told_too_much(one, &planted, moments)
    };
    assert!(plant(&|_| {}).is_ok(), "nothing is planted yet");
    let waits = ahead.looks_at(one).unwrap();
    let early = plant(&|hand| {
        let id = ahead.own(one)[&waits];
        hand.considering =
            Some(handround_protocol::view::CardView { id, face: waits, helper: None });
    });
    assert!(early.is_err(), "a card shown while it waits in the tray");
    let id = *moments.last().unwrap().ids().last().unwrap();
    assert!(plant(&|hand| hand.hint = vec![id]).is_err(), "the id of another card");
    let face = plant(&|hand| hand.cards[0].face = FaceIndex(hand.cards[0].face.0 ^ 1));
    assert!(face.is_err(), "another face under the id");
    let with = |news: SeatNews| {
        let mut planted = messages[0].clone();
        let number = handround_protocol::id::SeatNumber(0);
        planted[hand].1 = ToClient::Seat { number, news };
        told_too_much(one, &planted, moments)
    };
    assert!(with(SeatNews::Sorting(vec![waits])).is_err(), "faces to sort for one who plays");
    let table = messages[0].iter().find_map(|(_, message)| match message {
        ToClient::Seat { news: SeatNews::Table(table), .. } => Some(table.clone()),
        _ => None,
    });
    let mut table = table.unwrap();
    table.seats[1].laid_down = vec![waits];
    assert!(with(SeatNews::Table(table)).is_err(), "another's hand laid open");
    assert!(speaks_of_secrets(b"{\"Readiness\":3}").is_some());
}

fn hand_of(message: &ToClient) -> Option<&HandView> {
    match message {
        ToClient::Seat { news: SeatNews::Hand(hand), .. } => hand.as_ref(),
        _ => None,
    }
}

#[test]
fn in_a_game_with_onlookers_nobody_is_told_what_he_may_not_know() {
    let recorded =
        quick_clock::run(async { record(HouseRule::Out { shield: false }, 4, 21).await });
    nobody_was_told_too_much(&recorded);
    planted_leaks_are_seen(&recorded);
    // The game had what the check is for.
    let sorted = |(_, message): &(Micros, ToClient)| matches!(message, ToClient::Seat { news: SeatNews::Sorting(faces), .. } if !faces.is_empty());
    assert!(recorded.messages.iter().flatten().any(sorted), "an onlooker had faces to sort");
    let out = count(&recorded, |event| {
        matches!(event, Event::RoundEnded { end: RoundEnd::Last { out: true, .. }, .. })
    });
    assert_eq!(out, 3);
    assert!(count(&recorded, |event| matches!(event, Event::FalseGrab { .. })) > 0);
    assert!(count(&recorded, |event| matches!(event, Event::Undone { .. })) > 0);
    assert!(count(&recorded, |event| matches!(event, Event::LinkDown { .. })) > 0);
}

#[test]
fn in_a_calm_game_only_what_lies_open_is_told() {
    let recorded = quick_clock::run(async { record(HouseRule::Calm { rounds: 2 }, 3, 22).await });
    nobody_was_told_too_much(&recorded);
    let open = |(_, message): &(Micros, ToClient)| {
        matches!(message, ToClient::Seat { news: SeatNews::Table(table), .. }
            if table.seats.iter().any(|seat| !seat.laid_down.is_empty()))
    };
    assert!(recorded.messages.iter().flatten().any(open), "somebody laid down four");
}

// Two games that differ only in what others hold.

/// What a seat does in one of the two games.
#[derive(Clone, Copy, Debug)]
enum Act {
    Nothing,
    TakeUp,
    Pass,
    /// Gives this place of the hand away.
    Keep(usize),
    Undo,
    /// Taps a token without a cue.
    Tap,
    /// Lets a while pass, after which a false tap is no answer to the room any more.
    Wait,
    /// Shows the cue and answers it after a while.
    Answer,
}
use Act::*;

/// The hands and the top of the pile in one game. Letters are match groups, capitals and small
/// letters and digits behind them members: `a1` is the second card of the first group.
struct Deal {
    hands: [&'static str; 4],
    pile: &'static str,
    readiness: [u8; 4],
}

/// One story as it goes in two games, told from the same public moves.
struct Story {
    name: &'static str,
    deals: [Deal; 2],
    /// The seat, and what it does in the one game and in the other.
    steps: &'static [(u8, Act, Act)],
    /// To whom both games must look the same.
    observer: usize,
}

/// To the dealer the piles are the same. Seat 1 holds four alike in one game and seat 2 in the other;
/// where the one keeps the other passes; one game has a false grab and a moved mind, and a hint glows
/// for seat 1 or for seat 2.
const DEALER: Story = Story {
    name: "the dealer",
    deals: [
        Deal {
            hands: ["a0 b0 c0 d0", "e0 e1 e2 e3", "a1 b1 c1 d1", "f0 g0 h0 f1"],
            pile: "a2 b2 c2 d2",
            readiness: [2, 1, 2, 3],
        },
        Deal {
            hands: ["a0 b0 c0 d0", "a1 b1 g1 h1", "e0 e1 e2 e3", "f2 g0 h0 f3"],
            pile: "a2 b2 c2 d2",
            readiness: [2, 3, 1, 1],
        },
    ],
    steps: &[
        (0, TakeUp, TakeUp),
        (0, Keep(1), Keep(1)),
        (1, TakeUp, TakeUp),
        (1, Pass, Keep(3)),
        (2, TakeUp, TakeUp),
        (2, Keep(0), Pass),
        (3, TakeUp, TakeUp),
        (3, Pass, Keep(2)),
        (3, Undo, Undo),
        (3, Keep(1), Pass),
        (0, TakeUp, TakeUp),
        (0, Pass, Pass),
        (3, Tap, Nothing),
        (2, Tap, Nothing),
        (0, Wait, Wait),
        (1, Tap, Nothing),
        (2, Nothing, Tap),
        (2, Answer, Nothing),
        (1, Nothing, Answer),
        (3, Answer, Answer),
    ],
    observer: 0,
};

/// Seat 1 gets the same card from the dealer, who passes it in one game and gives it away for a better
/// one in the other. Seats 2 and 3 have changed hands.
const NEIGHBOUR: Story = Story {
    name: "the dealer's neighbour",
    deals: [
        Deal {
            hands: ["a0 b0 c0 d0", "a1 b1 c1 d1", "e0 e1 e2 e3", "f0 g0 h0 f1"],
            pile: "h1 b2 c2 d2",
            readiness: [1, 2, 3, 1],
        },
        Deal {
            hands: ["a0 b0 c0 h1", "a1 b1 c1 d1", "f0 g0 h0 f1", "e0 e1 e2 e3"],
            pile: "d0 b2 c2 d2",
            readiness: [3, 2, 1, 2],
        },
    ],
    steps: &[
        (0, TakeUp, TakeUp),
        (0, Pass, Keep(3)),
        (1, TakeUp, TakeUp),
        (1, Keep(2), Keep(2)),
        (2, TakeUp, TakeUp),
        (2, Pass, Keep(0)),
        (3, TakeUp, TakeUp),
        (3, Keep(3), Pass),
        (0, TakeUp, TakeUp),
        (0, Keep(0), Keep(0)),
        (1, TakeUp, TakeUp),
        (0, Undo, Nothing),
        (1, Undo, Undo),
        (2, Tap, Nothing),
        (3, Nothing, Tap),
        (3, Answer, Nothing),
        (2, Nothing, Answer),
        (0, Answer, Answer),
    ],
    observer: 1,
};

/// The card that a short name means, as a position in the deck.
fn card(name: &str, groups: &[GroupIndex]) -> FaceIndex {
    let group = GroupIndex(u16::from(name.as_bytes()[0] - b'a'));
    let member = usize::from(name.as_bytes()[1] - b'0');
    let of_group = (0..).map(FaceIndex).zip(groups).filter(|(_, other)| **other == group);
    of_group.map(|(face, _)| face).nth(member).unwrap()
}

/// The whole deck, dealt so.
fn order(deal: &Deal, groups: &[GroupIndex]) -> Vec<FaceIndex> {
    let cards = |names: &str| -> Vec<FaceIndex> {
        names.split(' ').map(|name| card(name, groups)).collect()
    };
    let hands = deal.hands.map(cards);
    let mut order: Vec<FaceIndex> =
        (0..4).flat_map(|place| hands.iter().map(move |hand| hand[place])).collect();
    order.extend(cards(deal.pile));
    let rest = (0..u16::try_from(groups.len()).unwrap()).map(FaceIndex);
    let rest: Vec<FaceIndex> = rest.filter(|card| !order.contains(card)).collect();
    order.extend(rest);
    order
}

/// Plays one of the two games over real sockets and returns what each seat heard.
async fn tell(story: &Story, game: usize, codec: Codec) -> Vec<Vec<ToClient>> {
    let deal = &story.deals[game];
    let store: Arc<dyn Store> = Arc::new(MemoryStore::new());
    let house = House::over(store.clone(), 31).await;
    let readiness = deal.readiness.iter().enumerate();
    let list = readiness.fold("nickname,picture,readiness\n".to_owned(), |list, (pupil, step)| {
        format!("{list}Pupil {pupil},,{step}\n")
    });
    let plan = LessonPlan {
        groups: 8,
        missed_four: MissedFour::HintAfter { seconds: 3 },
        ..plan(HouseRule::Stay { rounds: 1 }, 4)
    };
    let rules = Rules::from_plan(&plan);
    let mut class = Class::make(*house, &list, plan).await;
    let mut tokens = Vec::new();
    for pupil in 0..4 {
        tokens.push(class.join(pupil).await);
    }
    let deck = class.board.tables[0].deck;
    let sheet = house.hub.face_sheet(deck).await.unwrap();
    let sheet: handround_protocol::face::FaceSheet = serde_json::from_str(&sheet).unwrap();
    let groups: Vec<GroupIndex> = sheet.faces.iter().map(|face| face.group).collect();
    // The deal is written into the journal, and the server brings the table back with it.
    let at = house.hub.now();
    house.close().await;
    // Any ids do, as long as both games have the same.
    let id = |index: u64| CardId((index.wrapping_mul(0x9e37_79b9_7f4a_7c15)).to_be_bytes());
    let ids = (1..).take(groups.len()).map(id).collect();
    let deck = GameDeck { id: deck, groups: groups.clone() };
    let events = [
        Event::GameStarted { game: GameNumber(1), rules, deck },
        Event::Dealt {
            round: RoundNumber(1),
            dealer: SeatIndex(0),
            seed: Seed([1; 32]),
            order: order(deal, &groups),
            ids,
            ranks: vec![2, 0, 3, 1],
        },
    ];
    let stream = table_stream(class.table());
    let held = store.read(stream.clone()).await.unwrap().len() as u64;
    let line = |event| serde_json::to_string(&Entry { at, event }).unwrap();
    let lines = events.into_iter().map(line).collect();
    store.append(stream, held, lines, Urgency::Group).await.unwrap();
    let house = House::over(store, 32).await;

    let mut players = Vec::new();
    for token in tokens {
        let mut player = Player::new(*house, codec, token, 0);
        player.connect().await.unwrap();
        players.push(player);
        quiet(&mut players).await;
    }
    for seat in 0..4 {
        players[seat].say(SeatSays::DealShown { round: RoundNumber(1) }).await;
        quiet(&mut players).await;
    }
    // Past the first two seconds with a new hand, in which every tap is an excited one.
    pause(&mut players, Duration::from_secs(3)).await;
    for (seat, one, other) in story.steps {
        let player = &mut players[usize::from(*seat)];
        match [one, other][game] {
            Nothing => {}
            TakeUp => player.say(SeatSays::TakeUp).await,
            Undo => player.say(SeatSays::Undo).await,
            Tap => player.tap_wrongly().await,
            Pass => {
                let card = player.seen().hand.as_ref().unwrap().considering.unwrap().id;
                player.say(SeatSays::Pass { card }).await;
            }
            Keep(place) => {
                let hand = player.seen().hand.clone().unwrap();
                let card = hand.considering.unwrap().id;
                let give = hand.cards[*place].id;
                player.say(SeatSays::Keep { card, give }).await;
            }
            Answer => {
                let nonce = player.seen().grab.cue.unwrap();
                let shown = player.now();
                player.say(SeatSays::CueShown { cue: nonce, shown }).await;
                pause(&mut players, Duration::from_millis(400)).await;
                let player = &mut players[usize::from(*seat)];
                let cue = Some(GrabCue { nonce, shown });
                let grab = Grab { cue, tap: player.now(), token: 0 };
                player.say(SeatSays::Grab(grab)).await;
            }
            Wait => pause(&mut players, Duration::from_millis(1_500)).await,
        }
        quiet(&mut players).await;
    }
    // The ruling comes when nobody silent could be earlier any more.
    pause(&mut players, Duration::from_secs(2)).await;
    let ruling = players[0].seen().ruling.as_ref().unwrap();
    let last = SeatIndex(u8::try_from(story.observer).unwrap());
    assert!(
        matches!(ruling.end, RoundEnd::Last { seat, .. } if seat == last),
        "{}, game {game}: {:?}",
        story.name,
        ruling.end
    );
    let taps: Vec<Tap> = players.iter().map(|player| player.seen().grab.tap).collect();
    assert_eq!(taps.iter().filter(|tap| **tap == Tap::Taken).count(), 3, "{taps:?}");
    house.close().await;
    let heard = |player: Player| player.heard.into_iter().map(|heard| heard.message).collect();
    players.into_iter().map(heard).collect()
}

async fn quiet(players: &mut [Player]) {
    pause(players, Duration::ZERO).await;
}

/// Lets time pass while all devices listen, at least until nothing comes any more.
async fn pause(players: &mut [Player], span: Duration) {
    let until = tokio::time::Instant::now() + span;
    loop {
        let short = Duration::from_millis(80);
        for heard in join_all(players.iter_mut().map(|player| player.catch_up_for(short))).await {
            heard.unwrap();
        }
        if tokio::time::Instant::now() >= until {
            return;
        }
    }
}

/// A message with its size on the wire, its nonce made the same: nonces are drawn afresh.
fn seen(message: &ToClient, codec: Codec) -> (usize, ToClient) {
    let mut message = message.clone();
    let blank = Nonce([0; 16]);
    match &mut message {
        ToClient::Cue { nonce, .. } => *nonce = blank,
        ToClient::Seat { news: SeatNews::Grab(grab), .. } => {
            grab.cue = grab.cue.map(|_| blank);
        }
        ToClient::Seat { news: SeatNews::Snapshot(view), .. } => {
            view.grab.cue = view.grab.cue.map(|_| blank);
        }
        _ => {}
    }
    let size = match codec.encode_to_client(&message).unwrap() {
        Payload::Binary(bytes) => bytes.len(),
        Payload::Text(text) => text.len(),
    };
    (size, message)
}

fn looks_the_same_to_the_observer(story: &Story, codec: Codec) {
    let [one, other] =
        quick_clock::run(async { [tell(story, 0, codec).await, tell(story, 1, codec).await] });
    let as_seen = |heard: &[ToClient]| -> Vec<(usize, ToClient)> {
        heard.iter().map(|message| seen(message, codec)).collect()
    };
    for seat in 0..4 {
        let (one, other) = (as_seen(&one[seat]), as_seen(&other[seat]));
        if seat == story.observer {
            for (number, pair) in one.iter().zip(&other).enumerate() {
                assert_eq!(pair.0, pair.1, "{}: message {number}", story.name);
            }
            assert_eq!(one.len(), other.len(), "{}: the number of messages", story.name);
            assert!(one.len() > 20, "{} heard {} messages", story.name, one.len());
        } else {
            // The comparison can fail: whoever holds something else hears something else.
            assert_ne!(one, other, "{}: seat {seat} holds the same in both", story.name);
        }
    }
}

#[test]
fn to_the_dealer_two_games_that_differ_in_what_others_hold_look_the_same() {
    BOTH.iter().for_each(|codec| looks_the_same_to_the_observer(&DEALER, *codec));
}

#[test]
fn keeping_and_passing_look_the_same_to_the_neighbour_and_to_everybody_else() {
    BOTH.iter().for_each(|codec| looks_the_same_to_the_observer(&NEIGHBOUR, *codec));
}
