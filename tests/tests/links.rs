//! Races over links that delay, jitter, stall and break: real devices of both subprotocols behind a
//! proxy each, on a clock that all share, so that what was true is known to the step.
//!
//! No duration of ours is asserted: what is compared are delays that the proxies put in, and bounds
//! that must contain them.

#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{FaceIndex, Nonce, RoundNumber, SeatIndex, TableId};
use handround_protocol::join::RaceTold;
use handround_protocol::message::{BoardSays, Grab, GrabCue, SeatSays};
use handround_protocol::partner::Temper;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, RoundEnd, SeatView, Tap, VoidReason, WallView};
use handround_protocol::wall::{WallSays, WallShows};
use handround_server::game::{Entry, Event};
use handround_server::race::{Kind, Note, Record, Ruling, Runner};
use handround_tests::class::{Class, class_list, journal, plan};
use handround_tests::house::{House, ME};
use handround_tests::player::{Player, is_over};
use handround_tests::proxy::{Proxy, Route, Way};
use handround_tests::quick_clock;
use std::sync::Arc;
use std::time::Duration;
use tokio::time::Instant;

/// The clock's step in these tests: links of 10 ms are a few steps.
const STEP: Duration = Duration::from_millis(4);
/// What server and proxy may differ by where each looks at the clock for itself: bytes that the
/// kernel hands on just after a step are seen in the next one, at each of the two ends.
const SLACK: Micros = Micros(8_000);

/// A device's link and how fast its child reacts.
struct Child {
    route: Route,
    reaction_ms: u64,
}

const fn child(route: Route, reaction_ms: u64) -> Child {
    Child { route, reaction_ms }
}

/// One table whose devices sit behind a proxy each. Only the first child starts races, over a link
/// of its own, so that all the others are measured against a cue.
struct Room {
    house: House,
    class: Class,
    proxies: Vec<Proxy>,
    players: Vec<Player>,
}

impl Room {
    async fn open(house_rule: HouseRule, children: &[Child], seed: u64) -> Room {
        let house = House::open_on_disk(seed).await;
        let plan = plan(house_rule, children.len());
        let mut class = Class::make(*house, &class_list(children.len()), plan).await;
        let (mut proxies, mut players) = (Vec::new(), Vec::new());
        for (place, Child { route, reaction_ms }) in children.iter().enumerate() {
            let proxy = Proxy::open(*house, Route { seed: seed + place as u64, ..*route }).await;
            let codec = [Codec::Bincode, Codec::Json][place % 2];
            let reaction = Micros::from_ms(*reaction_ms);
            let temper =
                Temper { react: (reaction, reaction), starts_races: place == 0, ..Temper::QUICK };
            let token = class.join(place).await;
            let mut player =
                Player::new(proxy.door(), codec, token, 0).with_temper(temper, seed + place as u64);
            player.connect().await.unwrap();
            player.play_until(|_| true).await.unwrap();
            proxies.push(proxy);
            players.push(player);
        }
        Room { house, class, proxies, players }
    }

    async fn everybody(&mut self, done: impl Fn(&SeatView) -> bool + Copy) {
        for ended in join_all(self.players.iter_mut().map(|player| player.play_until(done))).await {
            ended.unwrap();
        }
    }

    /// Plays until the first child holds four alike and waits for a word to take a token.
    async fn until_four(&mut self) {
        let [first, others @ ..] = &mut self.players[..] else { unreachable!() };
        first.never_grabs = true;
        let four = first.play_until_it(|player| {
            player.seen().table.phase == Phase::Playing && player.holds_four()
        });
        let others = join_all(others.iter_mut().map(|player| player.play_until(|_| false)));
        tokio::select! {
            four = four => four.unwrap(),
            ended = others => panic!("{ended:?}"),
        }
    }

    async fn journal(&self) -> Vec<Entry> {
        journal(&*self.house.store, self.class.table()).await
    }

    async fn races(&self) -> Vec<(Record, Ruling)> {
        races_in(self.journal().await)
    }

    fn seat(&self, child: usize) -> SeatIndex {
        self.players[child].seen().you
    }

    /// A moment of the server's clock on the runtime's.
    fn instant(&self, moment: Micros) -> Instant {
        Instant::now() - Duration::from_micros(self.house.hub.now().since(moment).0)
    }

    /// A moment of the runtime's clock on the server's.
    fn moment(&self, instant: Instant) -> Micros {
        self.house.hub.now().since(micros(instant.elapsed()))
    }

    /// The true round trips of a child's pings that were answered by a moment, shortest first.
    fn trips_by(&self, child: usize, moment: Micros) -> Vec<Micros> {
        let by = self.instant(moment);
        let trips = self.proxies[child].trips().into_iter().filter(|trip| trip.back <= by);
        let mut spans: Vec<Micros> = trips.map(|trip| micros(trip.took())).collect();
        spans.sort_unstable();
        spans
    }
}

fn micros(span: Duration) -> Micros {
    Micros(u64::try_from(span.as_micros()).unwrap())
}

fn runner(record: &Record, seat: SeatIndex) -> &Runner {
    record.runners.iter().find(|runner| runner.seat == seat).unwrap()
}

/// What an honest device measured itself: the truth, since its clock is everybody's here.
fn reaction(runner: &Runner) -> Option<Micros> {
    let grab = runner.grab.filter(|grab| grab.kind == Kind::Cued)?;
    Some(grab.tap.since(grab.shown?))
}

fn order_by<T: Ord>(record: &Record, key: impl Fn(&Runner) -> Option<T>) -> Vec<SeatIndex> {
    let mut known: Vec<(T, SeatIndex)> =
        record.runners.iter().filter_map(|runner| Some((key(runner)?, runner.seat))).collect();
    known.sort();
    known.into_iter().map(|(_, seat)| seat).collect()
}

/// The round is over and the device knows how; the public part of the view comes last.
fn is_ruled(view: &SeatView, round: RoundNumber) -> bool {
    let over = !matches!(view.table.phase, Phase::Dealt | Phase::Playing);
    over && view.ruling.as_ref().is_some_and(|ruling| ruling.round == round)
}

/// The slower the link, the quicker the child: whoever went by arrival would turn all of them round.
#[test]
fn honest_children_are_ranked_by_reaction_over_links_of_10_60_and_300_ms() {
    quick_clock::run_in_steps(STEP, async {
        let children = [
            child(Route::steady(0), 400),
            child(Route::steady(10), 560),
            child(Route::steady(60), 530),
            child(Route::steady(300), 420),
        ];
        let mut room = Room::open(HouseRule::Stay { rounds: 3 }, &children, 31).await;
        let path = format!("GET /lessons/{}/tables/{}/race", room.class.lesson, room.class.table());
        let early = room.house.ask_as_teacher(&path, b"").await;
        assert_eq!((early.status, early.refusal().message.contains("no race")), (404, true));
        room.class.start().await;
        room.everybody(is_over).await;
        let stranger = room.house.ask(&path, &[], b"").await;
        assert_eq!((stranger.status, stranger.body.len() < 200), (401, true));
        let told: RaceTold = room.house.ask_as_teacher(&path, b"").await.json();
        let names = ["Pupil 0", "Pupil 1", "Pupil 2", "Pupil 3"];
        assert!(names.iter().all(|name| told.sentence.contains(name)), "{told:?}");
        assert_eq!(told.lines.len(), 4);
        let intervals = told.lines.iter().filter(|line| line.contains("our own times allow"));
        assert_eq!(intervals.count(), 3, "{told:?}");
        let svg = roxmltree::Document::parse(&told.picture_svg).unwrap();
        let bars = svg.descendants().filter(|node| node.has_tag_name("rect"));
        assert_eq!(bars.count(), 3);
        let races = room.races().await;
        assert_eq!(races.len(), 3);
        // The wall shows whose tokens went, for a while, and not who was last.
        assert!(told.can_replay);
        let show = BoardSays::ShowRace { table: room.class.table() };
        room.house.hub.board_says(ME, room.class.lesson, show).await.unwrap();
        let mut wall = room.house.hub.wall(room.class.wall()).await.unwrap();
        let shown = wall.wait_for(|wall| wall.race.is_some()).await.unwrap().race.clone().unwrap();
        let order: Vec<SeatIndex> = races[2].1.order.iter().map(|placed| placed.seat).collect();
        assert_eq!((shown.number, shown.moments.concat()), (1, order[..3].to_vec()));
        assert_eq!(shown.seats.len(), 4);
        wall.wait_for(|wall| wall.race.is_none()).await.unwrap();
        the_wall_shows_four_and_a_model(&room, races.len()).await;
        let unknown = BoardSays::ShowRace { table: TableId([9; 16]) };
        let no = room.house.hub.board_says(ME, room.class.lesson, unknown).await;
        assert_eq!(no, Err(Refusal::NoSuchTable));
        for (number, (record, ruling)) in races.iter().enumerate() {
            let truth = order_by(record, reaction);
            assert_eq!(truth, [room.seat(3), room.seat(2), room.seat(1)], "race {number}");
            let ruled: Vec<SeatIndex> = ruling.order.iter().map(|placed| placed.seat).collect();
            assert_eq!(ruled[1..], truth, "race {number}: {}", ruling.sentence);
            assert!(!ruling.void && !ruling.order.iter().any(|placed| placed.drawn));
            let arrived = order_by(record, |runner| {
                reaction(runner)?;
                Some(runner.grab?.arrived)
            });
            assert_eq!(arrived.last(), Some(&room.seat(3)), "the quickest child comes in last");
            for child in 1..4 {
                let runner = runner(record, room.seat(child));
                let placed = ruling.order.iter().find(|placed| placed.seat == runner.seat).unwrap();
                let (ruled, true_one) = (placed.reaction.unwrap(), reaction(runner).unwrap());
                let miss = ruled.0.abs_diff(true_one.0);
                assert!(miss <= SLACK.0, "race {number}, child {child}: {miss} us");
            }
        }
        room.house.close().await;
    });
}

/// A browser answers pings below the page, until what the page has not read fills its buffers. A
/// page that is busy for two seconds in the middle of a game of six must leave less unread than
/// 16 KiB; `tests/browser/timing.test.mjs` shows what Chromium does then.
#[test]
fn what_a_busy_page_leaves_unread_stays_small_at_the_largest_table() {
    quick_clock::run(async {
        let children = [10, 20, 30, 40, 50, 60].map(|trip_ms| child(Route::steady(trip_ms), 700));
        let mut room = Room::open(HouseRule::Stay { rounds: 2 }, &children, 36).await;
        let paced = room.players.into_iter().zip(100..);
        room.players =
            paced.map(|(player, seed)| player.with_temper(Temper::SEVEN_TO_EIGHT, seed)).collect();
        room.class.start().await;
        room.everybody(is_over).await;
        let most = |proxy: &Proxy| proxy.most_down(Duration::from_secs(2));
        let most: Vec<usize> = room.proxies.iter().map(most).collect();
        println!("most bytes towards each device within 2 s, bincode and JSON in turn: {most:?}");
        assert!(most.iter().all(|bytes| *bytes > 0 && *bytes < 16 * 1024), "{most:?}");
        room.house.close().await;
    });
}

#[test]
fn what_the_server_measures_contains_the_true_round_trips() {
    quick_clock::run_in_steps(STEP, async {
        let slow_up = Route { down: Way::steady(20), up: Way::steady(220), seed: 0 };
        let slow_down = Route { down: Way::steady(180), up: Way::steady(12), seed: 0 };
        let uneven = Route { down: Way::between(8, 90), up: Way::between(8, 60), seed: 0 };
        let children = [
            child(Route::steady(0), 400),
            child(slow_up, 450),
            child(slow_down, 520),
            child(uneven, 600),
        ];
        let mut room = Room::open(HouseRule::Stay { rounds: 3 }, &children, 32).await;
        room.class.start().await;
        room.everybody(is_over).await;
        let mut seen = 0;
        for (record, _) in room.races().await {
            for child in 1..4 {
                let runner = runner(&record, room.seat(child));
                let (cue, grab) = (runner.cue.unwrap(), runner.grab.unwrap());
                let sent = cue.sent.unwrap();
                let trips = room.trips_by(child, sent);
                let (least, most) = (trips[0], trips[trips.len() - 1]);
                let median = trips[trips.len() / 2];
                let tells = format!("child {child}: {:?}, truly {least:?} to {most:?}", cue.link);
                // Nothing is ever faster than it was, and at least one of many pings met no delay
                // but the link's. The shortest of an uneven link may have been a ping of a race, which
                // is no sample.
                let short = if child == 3 { trips[trips.len() / 4] } else { least };
                assert!(cue.link.least >= least && cue.link.least <= short.plus(SLACK), "{tells}");
                assert!(cue.link.least <= cue.link.smoothed, "{tells}");
                assert!(cue.link.smoothed <= cue.link.greatest, "{tells}");
                assert!(cue.link.greatest >= median, "{tells}");
                // The cue's own ping shared its way.
                let own = room.proxies[child].trips();
                let own = own.iter().find(|trip| trip.nonce == cue.nonce.0).unwrap().took();
                let measured = cue.pinged.unwrap().since(sent);
                let own = micros(own);
                assert!(measured >= own && measured <= own.plus(SLACK), "{measured:?} {own:?}");
                // Cue down, grab up: what the child's own reaction leaves of the time that passed.
                let true_trip = grab.arrived.since(sent).since(reaction(runner).unwrap());
                assert!(true_trip.plus(SLACK) >= grab.link.least, "{true_trip:?}: {tells}");
                let greatest = grab.link.greatest.max(measured).plus(SLACK);
                // One way of a link that is uneven both ways can be slower than any round trip.
                if child != 3 {
                    assert!(true_trip <= greatest, "{true_trip:?}: {tells}");
                }
                // The device's own clock, told beside the pings, places the tap on the server's: the
                // error that it claims contains the truth, also where up and down differ.
                let (tapped, clock) = (grab.tapped.unwrap(), grab.link.clock.unwrap());
                let began = room.players[child].began();
                let tap = room.moment(began + Duration::from_micros(grab.tap.0));
                let off = Micros(tapped.0.abs_diff(tap.0));
                assert!(off <= clock.error.plus(SLACK), "{off:?} off, {clock:?}, {tells}");
                assert!(clock.error <= grab.link.greatest, "{clock:?}: {tells}");
                seen += 1;
            }
        }
        assert_eq!(seen, 3 * 3);
        room.house.close().await;
    });
}

/// The link stands still just before the race: no ping comes back and no acknowledgement.
#[test]
fn a_child_behind_a_stalled_link_loses_nothing_and_after_two_voids_has_a_stand_in() {
    quick_clock::run_in_steps(STEP, async {
        let children = [
            child(Route::steady(10), 400),
            child(Route::steady(20), 450),
            child(Route::steady(40), 500),
        ];
        let word = HouseRule::Letters { word: "SUN".into() };
        let mut room = Room::open(word, &children, 33).await;
        room.class.start().await;
        let seat = room.seat(2);
        for stall in 1..=2 {
            room.until_four().await;
            let round = room.players[0].seen().table.round;
            room.proxies[2].stall();
            room.players[0].never_grabs = false;
            let [first, second, _] = &mut room.players[..] else { unreachable!() };
            let ruled = |view: &SeatView| is_ruled(view, round);
            let (one, two) = tokio::join!(first.play_until(ruled), second.play_until(ruled));
            one.and(two).unwrap();
            let end = room.players[0].seen().ruling.as_ref().unwrap().end;
            assert_eq!(end, RoundEnd::Void { reason: VoidReason::LinkLost }, "stall {stall}");
            assert_eq!(room.players[0].seen().table.seats[usize::from(seat.0)].letters, 0);
            if stall == 1 {
                room.proxies[2].flow();
            }
        }
        // After the second one a stand-in has the seat at once, as long as the link is away.
        let round = room.players[0].seen().table.round;
        let [first, second, _] = &mut room.players[..] else { unreachable!() };
        let next = |view: &SeatView| view.table.round > round && is_ruled(view, view.table.round);
        let (one, two) = tokio::join!(first.play_until(next), second.play_until(next));
        one.and(two).unwrap();
        let entries = room.journal().await;
        let ends: Vec<usize> = (0..entries.len())
            .filter(|place| matches!(entries[*place].event, Event::RoundEnded { .. }))
            .collect();
        let took = entries[ends[1]..ends[2]].iter().position(
            |entry| matches!(&entry.event, Event::StandInTook { seat: taken } if *taken == seat),
        );
        assert_eq!(took, Some(1), "straight behind the second void");
        let voids = entries.iter().filter(|entry| {
            matches!(entry.event, Event::RoundEnded { end: RoundEnd::Void { .. }, .. })
        });
        assert_eq!(voids.count(), 2, "two a game at the most");
        // The child is back as soon as its link is, and has lost nothing that it did itself.
        room.proxies[2].flow();
        room.everybody(is_over).await;
        let left = room.journal().await.into_iter().rposition(
            |entry| matches!(entry.event, Event::StandInLeft { seat: left } if left == seat),
        );
        assert!(left.unwrap() > ends[1]);
        room.house.close().await;
    });
}

/// The child has seen the cue, the link breaks, the device comes back, the child taps. The other
/// one is slower still, so that a token is left.
#[test]
fn a_cue_that_was_shown_stays_the_seats_through_a_cut_and_a_return() {
    quick_clock::run_in_steps(STEP, async {
        let children = [
            child(Route::steady(10), 400),
            child(Route::steady(30), 15_000),
            child(Route::steady(80), 5_000),
        ];
        let mut room = Room::open(HouseRule::Stay { rounds: 1 }, &children, 34).await;
        room.class.start().await;
        room.until_four().await;
        room.players[0].never_grabs = false;
        room.players[2].never_grabs = true;
        let [first, second, third] = &mut room.players[..] else { unreachable!() };
        let proxy = &room.proxies[2];
        let (began, mut seen) = (Instant::now(), None);
        let breaks_off = async {
            third.play_until(|view| view.grab.cue.is_some()).await.unwrap();
            seen = third.seen().grab.cue;
            // Long enough for the acknowledgement to be said and to arrive.
            let until = Instant::now() + Duration::from_millis(300);
            third.play_until(|_| Instant::now() >= until).await.unwrap();
            proxy.cut();
            third.never_grabs = false;
            third.play_until(is_over).await.unwrap();
        };
        let ((), one, two) =
            tokio::join!(breaks_off, first.play_until(is_over), second.play_until(is_over));
        one.and(two).unwrap();
        assert!(room.players[2].returns >= 1, "it came back by itself");
        let (record, ruling) = room.races().await.remove(0);
        let runner = runner(&record, room.seat(2));
        let (cue, grab) = (runner.cue.unwrap(), runner.grab.unwrap());
        assert_eq!(Some(cue.nonce), seen, "the cue that it showed before");
        assert_eq!((grab.kind, grab.shown), (Kind::Cued, cue.shown), "counted from that moment");
        let down = room.journal().await.into_iter().filter(|entry| {
            matches!(entry.event, Event::LinkDown { seat } if seat == runner.seat)
                && room.instant(entry.at) > began
        });
        let down: Vec<Micros> = down.map(|entry| entry.at).collect();
        assert!(cue.shown_arrived.unwrap() < down[0] && down[0] < grab.arrived, "cut in between");
        assert!(!ruling.void);
        let placed = &ruling.order[1];
        assert_eq!(placed.seat, runner.seat, "{ruling:?}");
        let counted = placed.reaction.unwrap();
        let miss = counted.0.abs_diff(reaction(runner).unwrap().0);
        assert!(miss <= SLACK.0, "all of the time since then, break and all: {miss} us off");
        room.house.close().await;
    });
}

/// A device that forges, repeats and lies: each is refused or noted, and the others are ranked as if
/// it had been silent.
#[test]
fn a_device_that_lies_about_nonces_and_times_moves_nobody_but_itself() {
    quick_clock::run_in_steps(STEP, async {
        let children = [
            child(Route::steady(10), 400),
            child(Route::steady(60), 2_560),
            child(Route::steady(200), 2_450),
            child(Route::steady(30), 9_000),
        ];
        let mut room = Room::open(HouseRule::Stay { rounds: 4 }, &children, 35).await;
        room.class.start().await;
        let mut stale = Nonce([7; 16]);
        // What the liar claims once it has its cue: when it was shown, and the tap.
        let now = Micros::from_s(60);
        let lies: [(&str, Micros, Micros); 4] = [
            ("no reaction at all, the smallest number", Micros(0), Micros(0)),
            ("a tap before the cue", now, Micros::from_ms(1)),
            ("101 ms", now, now.plus(Micros::from_ms(101))),
            ("the largest number that can be written", Micros(0), Micros::MAX),
        ];
        for (lie, shown, tap) in lies {
            room.until_four().await;
            let before = room.players[3].refusals.len();
            let cued = |nonce| {
                let cue = Some(GrabCue { nonce, shown });
                SeatSays::Grab(Grab { cue, tap, token: 255 })
            };
            // Early and forged: there is no race yet.
            let liar = &mut room.players[3];
            liar.never_grabs = true;
            for nonce in [Nonce([9; 16]), stale] {
                liar.say(SeatSays::CueShown { cue: nonce, shown }).await;
                liar.say(cued(nonce)).await;
            }
            liar.catch_up().await.unwrap();
            assert_eq!(liar.refusals[before..], [Refusal::NotYourCue; 2], "{lie}: early, forged");
            room.players[0].never_grabs = false;
            let round = room.players[0].seen().table.round;
            let [first, second, third, liar] = &mut room.players[..] else { unreachable!() };
            let ruled = |view: &SeatView| is_ruled(view, round);
            let lying = async {
                liar.play_until(|view| view.grab.cue.is_some()).await.unwrap();
                let own = liar.seen().grab.cue.unwrap();
                // Its own word comes before the brain's.
                liar.say(SeatSays::CueShown { cue: own, shown }).await;
                // The lab's row `replays`: refused, and of no effect on the own grab that follows.
                let before = liar.refusals.len();
                for nonce in [stale, Nonce([9; 16])] {
                    liar.say(cued(nonce)).await;
                }
                while liar.refusals.len() < before + 2 {
                    liar.next().await.unwrap();
                }
                let no = [Refusal::NotYourCue; 2];
                assert_eq!(liar.refusals[before..], no, "{lie}: replayed, forged");
                // As long as it is told that this was too soon it says the same again.
                while liar.seen().grab.tap != Tap::Taken {
                    assert!(!ruled(liar.seen()), "{lie}: it was not heard in time");
                    liar.say(cued(own)).await;
                    liar.catch_up_for(Duration::from_millis(100)).await.unwrap();
                }
                stale = own;
                let before = liar.refusals.len();
                liar.say(cued(own)).await;
                liar.catch_up_for(Duration::from_millis(100)).await.unwrap();
                let again = &liar.refusals[before..];
                let known = [Refusal::HasToken, Refusal::TokensNotLive, Refusal::NoRound];
                assert!(again.len() == 1 && known.contains(&again[0]), "{lie}: {again:?}");
                liar.play_until(ruled).await.unwrap();
            };
            let ((), one, two, three) = tokio::join!(
                lying,
                first.play_until(ruled),
                second.play_until(ruled),
                third.play_until(ruled)
            );
            one.and(two).and(three).unwrap();
            let (record, ruling) = room.races().await.pop().unwrap();
            let [liar, honest, quick] = [3, 1, 2].map(|child| room.seat(child));
            let others: Vec<SeatIndex> = ruling.order.iter().map(|placed| placed.seat).collect();
            let others: Vec<SeatIndex> = others.into_iter().filter(|seat| *seat != liar).collect();
            assert_eq!(others[1..], [quick, honest], "{lie}: {}", ruling.sentence);
            // Its reaction is one that the server could have measured: what passed between its
            // cue and its grab, but for the link's own time.
            let runner = runner(&record, liar);
            let placed = ruling.order.iter().find(|placed| placed.seat == liar).unwrap();
            let grab = runner.grab.unwrap();
            let passed = grab.arrived.since(runner.cue.unwrap().sent.unwrap());
            let counted = placed.reaction.unwrap();
            assert!(placed.clamped, "{lie}: moved, and the record says so");
            assert!(counted <= passed.plus(grab.link.clock_step), "{lie}: {counted:?} {passed:?}");
            let (least, greatest) = placed.interval.unwrap();
            assert!((least..=greatest).contains(&counted), "{lie}");
        }
        room.everybody(is_over).await;
        room.house.close().await;
    });
}

fn races_in(entries: Vec<Entry>) -> Vec<(Record, Ruling)> {
    let race = |entry: Entry| match entry.event {
        Event::RoundEnded { race, .. } => race,
        _ => None,
    };
    entries.into_iter().filter_map(race).collect()
}

/// Children with a seat each, by their doors and reactions in milliseconds; the first alone starts races.
#[cfg(target_os = "linux")]
async fn seated(class: &mut Class, seats: [(handround_tests::door::Door, u64); 3]) -> Vec<Player> {
    let mut players = Vec::new();
    for (place, (door, reaction_ms)) in seats.into_iter().enumerate() {
        let reaction = Micros::from_ms(reaction_ms);
        let react = (reaction, reaction);
        let temper = Temper { react, starts_races: place == 0, ..Temper::QUICK };
        let token = class.join(place).await;
        let mut player = Player::new(door, Codec::Json, token, 0).with_temper(temper, place as u64);
        player.connect().await.unwrap();
        player.play_until(|_| true).await.unwrap();
        players.push(player);
    }
    players
}

/// A proxy that holds every answer back is to the server's kernel what a device is that answers late:
/// the kernel's round trip ends at the next machine. Where the deployment says that there is no proxy,
/// the record says so, and whoever answers late has nothing of it.
#[cfg(target_os = "linux")]
#[test]
fn the_kernels_own_round_trip_shows_a_device_that_answers_late_where_links_are_direct() {
    for direct in [true, false] {
        quick_clock::run_in_steps(STEP, async {
            let house = if direct { House::open_direct(37).await } else { House::open().await };
            let mut class =
                Class::make(*house, &class_list(3), plan(HouseRule::Stay { rounds: 1 }, 3)).await;
            let late = Proxy::open(*house, Route::steady(200)).await;
            let seats = [(*house, 300), (*house, 1_500), (late.door(), 300)];
            let mut players = seated(&mut class, seats).await;
            class.start().await;
            for ended in join_all(players.iter_mut().map(|player| player.play_until(is_over))).await
            {
                ended.unwrap();
            }
            let (record, ruling) =
                races_in(journal(&*house.store, class.table()).await).pop().unwrap();
            for (child, player) in players.iter().enumerate().skip(1) {
                let seat = player.seen().you;
                let link = runner(&record, seat).cue.unwrap().link;
                assert_eq!(link.kernel_least.is_some(), direct, "{link:?}");
                let placed = ruling.order.iter().find(|placed| placed.seat == seat).unwrap();
                if let Some(kernel) = link.kernel_least {
                    assert!(kernel < Micros::from_ms(100), "{kernel:?} on a loopback");
                    let noted = placed.notes.contains(&Note::PongsLate);
                    assert_eq!(noted, child == 2, "{child}: {placed:?} {link:?}");
                }
            }
            house.close().await;
        });
    }
}

/// A proxy that holds answers back takes in what the server sends all the same, and its kernel acknowledges
/// it: to the server it is a device that answers the pings of a race late. While it does, three seconds
/// pass on the quick clock and at least 0.6 on the wall's, however slow the machine: time for two
/// acknowledgements, which Linux sends within 200 ms (TCP_DELACK_MAX; from memory).
#[cfg(target_os = "linux")]
#[test]
fn acknowledgements_show_a_device_that_holds_its_answers_back_where_links_are_direct() {
    for direct in [true, false] {
        quick_clock::run_in_steps(STEP, async {
            let house = if direct { House::open_direct(38).await } else { House::open().await };
            let mut class =
                Class::make(*house, &class_list(3), plan(HouseRule::Stay { rounds: 1 }, 3)).await;
            let held = Proxy::open(*house, Route::steady(8)).await;
            let seats = [(*house, 300), (*house, 4_500), (held.door(), 300)];
            let mut players = seated(&mut class, seats).await;
            class.start().await;
            let [first, slow, late] = &mut players[..] else { unreachable!() };
            let late = async {
                late.play_until(|view| view.grab.cue.is_some()).await?;
                held.stall();
                let passing = async {
                    tokio::time::sleep(Duration::from_secs(3)).await;
                    held.flow();
                };
                tokio::join!(late.play_until(is_over), passing).0
            };
            let ended = tokio::join!(first.play_until(is_over), slow.play_until(is_over), late);
            ended.0.and(ended.1).and(ended.2).unwrap();
            let (record, ruling) =
                races_in(journal(&*house.store, class.table()).await).pop().unwrap();
            for player in &players[1..] {
                let link = runner(&record, player.seen().you).cue.unwrap().link;
                assert_eq!(link.acknowledged.is_some(), direct, "{link:?}");
            }
            // The slow child has not tapped when the race is ruled.
            let seat = players[2].seen().you;
            let link = runner(&record, seat).grab.unwrap().link;
            assert_eq!(link.acknowledged.is_some(), direct, "{link:?}");
            let placed = ruling.order.iter().find(|placed| placed.seat == seat).unwrap();
            let noted = |note| placed.notes.contains(&note);
            assert_eq!(noted(Note::AnswersHeldBack), direct, "{placed:?} {link:?}");
            assert_eq!(noted(Note::SpikeOnGrab), !direct, "{placed:?} {link:?}");
            assert_eq!(ruling.sentence.contains("though the link was free"), direct);
            house.close().await;
        });
    }
}

/// Issue 5, item 7: any four that match, one turned over and never sent, and a model table that a start
/// takes away.
async fn the_wall_shows_four_and_a_model(room: &Room, races: usize) {
    assert!(races > 0);
    let (hub, lesson) = (&room.house.hub, room.class.lesson);
    let say = |says: WallSays| hub.board_says(ME, lesson, BoardSays::Wall(says));
    let mut wall = hub.wall(room.class.wall()).await.unwrap();
    assert_eq!(say(WallSays::Hide { place: 0 }).await, Err(Refusal::NothingToShow));
    assert_eq!(say(WallSays::ModelNext).await, Err(Refusal::NothingToShow));
    say(WallSays::LastFour { table: room.class.table() }).await.unwrap();
    let view = wall.wait_for(|wall| wall.shows.four.is_some()).await.unwrap().clone();
    let four = view.shows.four.clone().unwrap();
    let faces: Vec<_> = four.cards.iter().flatten().copied().collect();
    assert_eq!(faces.len(), 4);
    let said = serde_json::to_string(&view.shows).unwrap();
    assert!(!said.contains("Pupil") && !said.contains("seat\""), "never whose: {said}");
    say(WallSays::Hide { place: 2 }).await.unwrap();
    let hidden =
        |wall: &Arc<WallView>| wall.shows.four.as_ref().is_some_and(|four| four.cards[2].is_none());
    wall.wait_for(hidden).await.unwrap();
    say(WallSays::ShowAll).await.unwrap();
    wall.wait_for(|wall| wall.shows.four.as_ref() == Some(&four)).await.unwrap();
    let twice = vec![faces[0], faces[0], faces[1], faces[2]];
    for faces in [faces[..3].to_vec(), twice, (0..4).map(|n| FaceIndex(n * 4)).collect()] {
        let says = WallSays::Four { deck: four.deck, faces };
        assert_eq!(say(says).await, Err(Refusal::NoFourAlike));
    }
    say(WallSays::ModelOpen).await.unwrap();
    let at = |step: u16| {
        move |wall: &Arc<WallView>| {
            wall.shows.model.as_ref().is_some_and(|model| model.step == step)
        }
    };
    wall.wait_for(at(1)).await.unwrap();
    say(WallSays::ModelNext).await.unwrap();
    wall.wait_for(at(2)).await.unwrap();
    say(WallSays::ModelBack).await.unwrap();
    wall.wait_for(at(1)).await.unwrap();
    say(WallSays::TakeOff).await.unwrap();
    wall.wait_for(|wall| wall.shows == WallShows::default()).await.unwrap();
}
