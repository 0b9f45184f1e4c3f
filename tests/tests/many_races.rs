//! Two thousand races over real sockets, at forty tables side by side, against what the lab says of
//! the very links and reactions that these tables had.
//!
//! The lab is only worth its table if its imagined links come to the same as real ones. So every
//! device's times on the way and every child's reaction are recorded here, the lab draws them again,
//! one independently of the other, and shares are compared within what chance explains.

#![allow(clippy::unwrap_used)]

use futures_util::future::join_all;
use handround_protocol::codec::Codec;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::message::BoardSays;
use handround_protocol::partner::Temper;
use handround_protocol::time::Micros;
use handround_protocol::view::Phase;
use handround_server::game::Event;
use handround_server::race::lab::{self, Score};
use handround_server::race::{Kind, Record, Ruling};
use handround_tests::class::{Class, class_list, journal, plan};
use handround_tests::house::{House, ME};
use handround_tests::player::Player;
use handround_tests::proxy::{Proxy, Route, Way};
use handround_tests::quick_clock::{self, STEP};
use std::cell::RefCell;
use std::rc::Rc;
use std::thread;
use tokio::task::{LocalSet, spawn_local};

/// Two servers, each on a processor of its own.
const HOUSES: u64 = 2;
const TABLES: u64 = 20;
/// At each table; a few of them do not count, see `seen`.
const RACES: u32 = 53;
const RACES_LEAST: usize = 2_000;
const CHILDREN: usize = 4;
const SEED: u64 = 20_260_801;
/// Enough that the lab's own chance adds little.
const LAB_RACES: u64 = 16_000;
/// Agreement: within so many standard errors.
const ERRORS_MAX: f64 = 3.0;

/// Links that differ by about as much as children do, so that going by arrival is often wrong, and
/// how often can be predicted as well.
const LINKS: [Route; CHILDREN] = [
    Route::steady(16),
    Route { down: Way::between(0, 24), up: Way::between(0, 24), seed: 0 },
    Route { down: Way::between(24, 64), up: Way::between(24, 144), seed: 0 },
    Route { down: Way::between(120, 180), up: Way::between(40, 220), seed: 0 },
];

/// As quick as can be but for the reactions, which are spread like those of grown-ups.
const fn temper() -> Temper {
    const fn span(least_ms: u64, most_ms: u64) -> (Micros, Micros) {
        (Micros::from_ms(least_ms), Micros::from_ms(most_ms))
    }
    Temper {
        decide: span(40, 120),
        react: span(250, 650),
        notice: span(50, 150),
        starts_races: true,
        slips_per_mille: 20,
    }
}

fn step() -> Micros {
    Micros(u64::try_from(STEP.as_micros()).unwrap())
}

/// One race by child, first to last wherever there is an order; times in microseconds.
struct Race {
    began: usize,
    ruled: Vec<usize>,
    drawn: Vec<bool>,
    arrived: Vec<usize>,
    reactions: Vec<Option<f64>>,
}

/// What the ways of a child's link took, down and up, in microseconds.
type Ways = (Vec<f64>, Vec<f64>);

/// A table's races, but for those of two beginners, and its links by child.
type Played = (Vec<Option<Race>>, Vec<Ways>);

/// What a device alone knows: its cues, when it showed them and when it meant to tap. A child whose
/// tap the ruling forestalled would have been as slow as that.
type Plans = RefCell<Vec<(Nonce, Micros, Micros)>>;

fn note(player: &Player, plans: &Plans) {
    if let Some((cue, tap)) = player.taps_at()
        && plans.borrow().last().is_none_or(|(known, ..)| *known != cue.nonce)
    {
        plans.borrow_mut().push((cue.nonce, cue.shown, tap));
    }
}

/// Plays all games of one table, a race each.
async fn table(house: Rc<House>, number: u64) -> Played {
    let rule = HouseRule::Stay { rounds: 1 };
    let mut class = Class::make(**house, &class_list(CHILDREN), plan(rule, CHILDREN)).await;
    let (mut players, mut proxies) = (Vec::new(), Vec::new());
    for (child, route) in LINKS.iter().enumerate() {
        let seed = SEED + 1_000 * number + child as u64;
        let proxy = Proxy::open(**house, Route { seed, ..*route }).await;
        let codec = [Codec::Bincode, Codec::Json][child % 2];
        let token = class.join(child).await;
        let mut player = Player::new(proxy.door(), codec, token, 0).with_temper(temper(), seed);
        player.connect().await.unwrap();
        player.play_until(|_| true).await.unwrap();
        players.push(player);
        proxies.push(proxy);
    }
    let plans: Vec<Plans> = players.iter().map(|_| Plans::default()).collect();
    let start = BoardSays::Start { table: Some(class.table()) };
    for race in 1..=RACES {
        house.hub.board_says(ME, class.lesson, start.clone()).await.unwrap();
        let played = players.iter_mut().zip(&plans).map(|(player, plans)| {
            player.play_until_it(|player| {
                note(player, plans);
                let seen = &player.seen().table;
                seen.game.0 == race && seen.phase == Phase::GameOver
            })
        });
        for played in join_all(played).await {
            played.unwrap();
        }
    }
    let seats: Vec<SeatIndex> = players.iter().map(|player| player.seen().you).collect();
    let entries = journal(&*house.store, class.table()).await;
    let races = entries.into_iter().filter_map(|entry| match entry.event {
        Event::RoundEnded { race: Some((record, ruling)), .. } => Some((record, ruling)),
        _ => None,
    });
    let races = races.map(|(record, ruling)| seen(&record, &ruling, &seats, &plans)).collect();
    (races, proxies.iter().map(ways).collect())
}

/// Bytes leave a way at a step of the clock.
fn ways(proxy: &Proxy) -> Ways {
    let us = |span: &std::time::Duration| {
        u64::try_from(span.as_micros()).unwrap().next_multiple_of(step().0) as f64
    };
    let [down, up] = proxy.drawn();
    (down.iter().map(us).collect(), up.iter().map(us).collect())
}

/// One race as it was. `None` where a second child found four alike before its cue came, since the
/// lab's races have one beginner; and where a device on a machine that is out of breath answered
/// nothing for so long that the race does not count.
fn seen(record: &Record, ruling: &Ruling, seats: &[SeatIndex], plans: &[Plans]) -> Option<Race> {
    let child = |seat: SeatIndex| seats.iter().position(|known| *known == seat).unwrap();
    let mut reactions = vec![None; CHILDREN];
    let (mut began, mut arrived) = (None, Vec::new());
    for runner in &record.runners {
        let child = child(runner.seat);
        arrived.push((runner.grab.map_or(u64::MAX, |grab| grab.arrived.0), child));
        let Some(cue) = runner.cue else {
            began = Some(child);
            continue;
        };
        if ruling.void || runner.grab.is_some_and(|grab| grab.kind != Kind::Cued) {
            return None;
        }
        let plans = plans[child].borrow();
        let (_, shown, tap) = plans.iter().find(|(nonce, ..)| *nonce == cue.nonce).unwrap();
        // Like all that happens here, it would have come at the clock's next step.
        let mut reaction = Micros(tap.since(*shown).0.next_multiple_of(step().0));
        if let Some(grab) = runner.grab {
            assert_eq!(grab.shown, Some(*shown));
            reaction = grab.tap.since(*shown);
        }
        reactions[child] = Some(reaction.0 as f64);
    }
    arrived.sort_unstable();
    let mut drawn = vec![false; CHILDREN];
    ruling.order.iter().for_each(|placed| drawn[child(placed.seat)] = placed.drawn);
    Some(Race {
        began: began.unwrap(),
        ruled: ruling.order.iter().map(|placed| child(placed.seat)).collect(),
        drawn,
        arrived: arrived.into_iter().map(|(_, child)| child).collect(),
        reactions,
    })
}

/// All tables of one server.
fn house(number: u64) -> Vec<Played> {
    quick_clock::run(async move {
        let all = async {
            let house = Rc::new(House::open().await);
            let tables = number * TABLES..(number + 1) * TABLES;
            let tables = tables.map(|number| spawn_local(table(Rc::clone(&house), number)));
            let played = join_all(tables).await.into_iter().map(Result::unwrap).collect();
            Rc::into_inner(house).unwrap().close().await;
            played
        };
        LocalSet::new().run_until(all).await
    })
}

/// Races with this beginner, as the lab sees them.
fn lab_row(links: &[Ways], reactions: &[f64], first: usize) -> lab::Row {
    let profile = lab::replica(links, reactions, step(), first);
    let races = LAB_RACES / CHILDREN as u64;
    lab::whole(&profile, (0..lab::PARTS).map(|part| lab::part(&profile, SEED, races, part)))
}

/// What one order of one race is worth: the share of its pairs in true order, and whether the
/// slowest child is last.
fn worth(order: &[usize], race: &Race, drawn: &[bool]) -> (f64, f64) {
    let mut score = Score::default();
    score.take(order, &race.reactions, &[false; CHILDREN], drawn);
    (score.pairs(), score.loser())
}

/// A figure over the sockets, how far chance may have moved it, and what the lab says. Where a race
/// gives yes or no, chance is that of the lab's share; else what the races themselves show.
fn compare(what: &str, each: &[f64], lab: f64) -> bool {
    let count = each.len() as f64;
    let mean = each.iter().sum::<f64>() / count;
    let variance = if each.iter().all(|one| *one == 0.0 || *one == 1.0) {
        lab * (1.0 - lab)
    } else {
        each.iter().map(|one| (one - mean).powi(2)).sum::<f64>() / (count - 1.0)
    };
    let error = (variance / count * (1.0 + count / LAB_RACES as f64)).sqrt();
    let errors = (mean - lab) / error;
    println!("{what:<32}{mean:>9.4}{lab:>9.4}{error:>9.4}{errors:>+8.2}");
    errors.abs() <= ERRORS_MAX
}

#[test]
fn two_thousand_races_over_sockets_come_out_as_the_lab_says() {
    let tables: Vec<Played> = thread::scope(|scope| {
        let houses: Vec<_> = (0..HOUSES).map(|number| scope.spawn(move || house(number))).collect();
        houses.into_iter().flat_map(|house| house.join().unwrap()).collect()
    });
    let races: Vec<&Race> = tables.iter().flat_map(|(races, _)| races.iter().flatten()).collect();
    assert!(races.len() >= RACES_LEAST, "{} races with one beginner", races.len());
    let links: Vec<Ways> = (0..CHILDREN)
        .map(|child| {
            let ways = || tables.iter().map(|(_, links)| &links[child]);
            (
                ways().flat_map(|(down, _)| down.clone()).collect(),
                ways().flat_map(|(_, up)| up.clone()).collect(),
            )
        })
        .collect();
    let reactions: Vec<f64> =
        races.iter().flat_map(|race| race.reactions.iter().flatten().copied()).collect();
    let rows: Vec<lab::Row> = thread::scope(|scope| {
        let (links, reactions) = (&links, &reactions);
        let rows: Vec<_> = (0..CHILDREN)
            .map(|first| scope.spawn(move || lab_row(links, reactions, first)))
            .collect();
        rows.into_iter().map(|row| row.join().unwrap()).collect()
    });
    assert!(rows.iter().all(|row| row.void == 0));
    // Each beginner as often as it was over the sockets.
    let lab = |figure: &dyn Fn(&lab::Row) -> f64| {
        let sum: f64 = races.iter().map(|race| figure(&rows[race.began])).sum();
        sum / races.len() as f64
    };

    println!("{} races over sockets, {LAB_RACES} in the lab, seed {SEED}", races.len());
    println!("{:<32}{:>9}{:>9}{:>9}{:>8}", "", "sockets", "lab", "error", "errors");
    let ours = races.iter().map(|race| worth(&race.ruled, race, &race.drawn));
    let (pairs, losers): (Vec<f64>, Vec<f64>) = ours.unzip();
    let arrival = races.iter().map(|race| worth(&race.arrived, race, &[false; CHILDREN]));
    let (arrival_pairs, arrival_losers): (Vec<f64>, Vec<f64>) = arrival.unzip();
    let mut agree = vec![
        compare("pairs in true order", &pairs, lab(&|row| row.ours.pairs())),
        compare("the slowest is last", &losers, lab(&|row| row.ours.loser())),
        compare("pairs, by arrival", &arrival_pairs, lab(&|row| row.rivals[0].pairs())),
        compare(
            "the slowest is last, by arrival",
            &arrival_losers,
            lab(&|row| row.rivals[0].loser()),
        ),
    ];
    for child in 0..CHILDREN {
        let last = |race: &&Race| f64::from(race.ruled.last() == Some(&child));
        let lasts: Vec<f64> = races.iter().map(last).collect();
        let what = format!("child {child} is last");
        agree.push(compare(&what, &lasts, lab(&|row| row.ours.shares()[child])));
    }
    assert!(agree.iter().all(|agrees| *agrees), "the lab says otherwise");
}
