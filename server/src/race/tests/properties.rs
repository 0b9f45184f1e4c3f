//! What must hold for every race: random observations, the hostile ones among them, beside a naive
//! model that is written from design.md section 4 with nothing shared but the constants.

use super::super::acknowledged::Acknowledged;
use super::super::measure::{
    ANTICIPATION_BELOW, CREDIT, FRAME_WAIT_MAX, FRAME_WAIT_MEAN, HELD_UP_FROM, RACE_PING_GAP,
    measure,
};
use super::super::ruling::{HOLD, HOLD_MAX, RACE_PINGS_FOR, rule, stage};
use super::super::{Cue, Kind, Observation, Record, Runner, Stage};
use super::{START, at, ms};
use crate::game::LinkBounds;
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::time::Micros;
use proptest::prelude::*;
use proptest::sample::select;

/// A link measured somehow.
fn any_link() -> impl Strategy<Value = LinkBounds> {
    let step = select(vec![5, 100, 1_000, 16_667]);
    let kernel = proptest::option::weighted(0.3, 0..300_000_u64);
    (0..300_000_u64, 0..100_000_u64, 0..60_000_u64, step, kernel).prop_map(
        |(least, over, variation, step, kernel)| LinkBounds {
            least: Micros(least),
            smoothed: Micros(least + over),
            greatest: Micros(least + over + 4 * variation),
            clock_step: Micros(step),
            variation: Micros(variation),
            kernel_least: kernel.map(Micros),
            unanswered: Micros(0),
            clock: None,
            acknowledged: None,
        },
    )
}

/// A cue and what came back of it, in microseconds from the first grab.
fn any_cue() -> impl Strategy<Value = Cue> {
    let after = || proptest::option::weighted(0.8, 0..900_000_u64);
    let answered = proptest::option::of(0..2_500_000_u64);
    (any::<u8>(), 0..5_000_u64, after(), after(), any_link(), answered).prop_map(
        |(nonce, sent, pinged, shown, link, answered)| Cue {
            nonce: Nonce([nonce; 16]),
            made: at(0),
            sent: Some(Micros(START + sent)),
            pinged: pinged.map(|after| Micros(START + sent + after)),
            shown_arrived: shown.map(|after| Micros(START + sent + after)),
            shown: shown.map(|_| Micros(7_000)),
            link,
            answered: answered.map(|after| Micros(START + after)),
        },
    )
}

/// Times that a device can claim: sensible ones, round ones that tie, and the largest there are.
fn any_claim() -> impl Strategy<Value = u64> {
    prop_oneof![
        8 => 0..1_500_000_u64,
        4 => (1..15_u64).prop_map(|tenth| tenth * 100_000),
        1 => Just(Micros::MAX.0),
        1 => Just(0),
    ]
}

fn any_grab() -> impl Strategy<Value = Observation> {
    let kind = select(vec![Kind::Cued, Kind::Cued, Kind::Cued, Kind::OwnFour, Kind::Room]);
    let unanswered = prop_oneof![Just(0), 0..700_000_u64];
    let tapped = proptest::option::of(0..1_500_000_u64);
    let shown = proptest::option::weighted(0.9, Just(Micros(7_000)));
    let held_back = prop_oneof![Just(0), 0..700_000_u64];
    let acknowledged = proptest::option::of((0..700_000_u64, held_back)).prop_map(|looked| {
        looked.map(|(unacknowledged, held_back)| Acknowledged {
            unacknowledged: Micros(unacknowledged),
            held_back: Micros(held_back),
        })
    });
    let waits = (unanswered, acknowledged);
    (kind, shown, any_claim(), 0..2_000_000_u64, any_link(), waits, tapped).prop_map(
        |(kind, shown, claim, arrived, link, (unanswered, acknowledged), tapped)| Observation {
            shown,
            tapped: tapped.map(|after| Micros(START + after)),
            ..Observation::plain(
                kind,
                Micros(claim + 7_000).min(Micros::MAX),
                Micros(START + arrived),
                LinkBounds { unanswered: Micros(unanswered), acknowledged, ..link },
            )
        },
    )
}

/// Three to six seats, the first with its own four and no cue; ranks are a draw.
fn any_race() -> impl Strategy<Value = Record> {
    let runner = (any_cue(), proptest::option::weighted(0.85, any_grab()), 0..3_u8);
    let runners = proptest::collection::vec(runner, 3..=6);
    let ranks = Just((0..6_u8).collect::<Vec<_>>()).prop_shuffle();
    (runners, ranks).prop_map(|(runners, ranks)| {
        let runners: Vec<Runner> = (0..6_u8)
            .zip(runners)
            .map(|(seat, (cue, grab, voids_left))| Runner {
                seat: SeatIndex(seat),
                rank: ranks[usize::from(seat)],
                cue: (seat > 0).then_some(cue),
                grab: if seat > 0 {
                    grab
                } else {
                    Some(Observation::plain(Kind::OwnFour, Micros(0), at(0), LinkBounds::NONE))
                },
                voids_left,
            })
            .collect();
        Record { tokens: runners.len() as u8 - 1, started: at(0), runners }
    })
}

fn order(record: &Record) -> Vec<u8> {
    rule(record).order.iter().map(|placed| placed.seat.0).collect()
}

/// The naive model: everything in wide signed numbers, one formula after the other.
mod naive {
    use super::*;

    /// Class (0 own four, 1 measured, 2 room, 3 silent), time in it, and the ends where no claim is.
    type Worth = (u8, i128, Option<(i128, i128)>);

    fn wide(micros: Micros) -> i128 {
        i128::from(micros.0)
    }

    fn late(link: &LinkBounds) -> i128 {
        link.kernel_least.map_or(0, |kernel| {
            (wide(link.least) - wide(kernel) - 3_000 - wide(link.variation)).max(0)
        })
    }

    fn credit(link: &LinkBounds) -> i128 {
        let spread = CREDIT.deviations as i128 * wide(link.variation) + wide(link.clock_step);
        spread.min(wide(CREDIT.most))
    }

    pub fn reaction(cue: &Cue, grab: &Observation) -> (i128, i128, Option<i128>) {
        let sent = wide(cue.sent.unwrap());
        let second = 1_000_000;
        let usual = (wide(grab.link.smoothed) - late(&grab.link)).max(0);
        let own = cue.pinged.map_or(0, |at| (wide(at) - sent - late(&grab.link)).clamp(0, second));
        let way = usual.max(own);
        let shown = match cue.shown_arrived {
            Some(at) if wide(at) - sent < way => way,
            Some(at)
                if wide(at) - sent > way + wide(FRAME_WAIT_MAX) + wide(grab.link.variation) =>
            {
                way + wide(FRAME_WAIT_MEAN)
            }
            Some(at) => (wide(at) - sent).min(way + wide(FRAME_WAIT_MAX)),
            None => way + wide(FRAME_WAIT_MEAN),
        };
        let behind = (wide(grab.link.unanswered) - late(&grab.link)).clamp(0, second);
        let before = match (wide(grab.link.smoothed), wide(cue.link.smoothed)) {
            (0, 0) => cue.pinged.map_or(0, |at| wide(at) - sent),
            (0, one) | (one, 0) => one,
            (one, other) => one.min(other),
        };
        let beyond = |waited: i128| (waited - (before - late(&grab.link)).max(0)).max(0);
        let mut over = beyond(behind);
        if let Some(kernel) = grab.link.acknowledged.filter(|_| over > wide(HELD_UP_FROM)) {
            over = match wide(kernel.held_back) {
                0 => over.min(beyond(wide(kernel.unacknowledged).min(second))),
                _ => 0,
            };
        }
        let trip = shown + over + if over > wide(HELD_UP_FROM) { wide(RACE_PING_GAP) } else { 0 };
        let waited = (wide(grab.arrived) - sent).max(0);
        let least = |link: &LinkBounds| {
            link.kernel_least.map_or(wide(link.least), |kernel| wide(kernel).min(wide(link.least)))
        };
        let slowest =
            (waited - least(&grab.link).min(least(&cue.link))).max(0) + wide(grab.link.clock_step);
        let quickest = ((waited - trip).max(0) - credit(&grab.link)).max(0).min(slowest);
        let claim = grab
            .shown
            .filter(|_| grab.kind == Kind::Cued)
            .map(|shown| (wide(grab.tap) - wide(shown)).max(0));
        (quickest, slowest, claim)
    }

    fn worth(runner: &Runner) -> Worth {
        let Some(grab) = runner.grab else { return (3, 0, None) };
        let arrived = wide(grab.arrived);
        let early = runner
            .cue
            .is_none_or(|cue| (arrived - wide(cue.sent.unwrap())).max(0) <= wide(grab.link.least));
        match (grab.kind, runner.cue) {
            (Kind::Room, _) => (2, arrived, None),
            (Kind::OwnFour, _) if early => {
                let smoothed = (wide(grab.link.smoothed) - late(&grab.link)).max(0);
                let usual = arrived - smoothed / 2;
                let tapped = grab.tapped.map_or(usual, |tapped| {
                    wide(tapped).clamp(usual - credit(&grab.link), arrived)
                });
                (0, tapped, None)
            }
            (_, Some(cue)) => match reaction(&cue, &grab) {
                (quickest, slowest, Some(claim)) => (1, claim.clamp(quickest, slowest), None),
                (quickest, slowest, None) => (1, slowest, Some((quickest, slowest))),
            },
            (_, None) => (2, arrived, None),
        }
    }

    fn tied(a: (&Runner, &Worth), b: (&Runner, &Worth)) -> bool {
        let step = |runner: &Runner| runner.grab.map_or(0, |grab| wide(grab.link.clock_step));
        let apart = (a.1.1 - b.1.1).abs();
        a.1.0 == b.1.0
            && (a.1.0 == 3
                || apart < step(a.0).max(step(b.0))
                || matches!((a.1.2, b.1.2), (Some(a), Some(b)) if a.0 <= b.1 && b.0 <= a.1))
    }

    /// Until when the race is held, from the claim that fills the last token; `None` while it is open.
    pub fn until(record: &Record) -> Option<i128> {
        let seats = record.runners.iter();
        let mut arrivals: Vec<i128> =
            seats.clone().filter_map(|runner| runner.grab).map(|grab| wide(grab.arrived)).collect();
        arrivals.sort_unstable();
        let tokens = usize::from(record.tokens);
        let filled = *arrivals.get(tokens - 1)?;
        let seat = order(record)[tokens - 1];
        let deciding = seats.clone().find(|runner| runner.seat.0 == seat).map(worth).unwrap();
        let trip = |cue: &Cue| {
            let own = cue.pinged.map_or(0, |at| wide(at) - wide(cue.sent.unwrap()));
            own.max(wide(cue.link.greatest)).min(1_000_000)
        };
        let soon = filled
            + seats
                .clone()
                .filter_map(|runner| runner.cue)
                .map(|cue| trip(&cue))
                .max()
                .unwrap_or(0)
            + wide(HOLD.beyond);
        let latest = filled + wide(HOLD_MAX);
        let silent = seats.filter(|runner| runner.grab.is_none()).map(|runner| {
            let Some(cue) = runner.cue else { return latest };
            let sent = wide(cue.sent.unwrap());
            let by_trip = sent + trip(&cue) + wide(FRAME_WAIT_MAX);
            if deciding.0 == 0 {
                let word = cue.pinged.is_some() || cue.shown_arrived.is_some();
                return if word { 0 } else { by_trip };
            }
            if deciding.0 != 1 {
                return latest;
            }
            let quickest = wide(cue.link.least);
            let ping = cue.pinged.map_or(1_000_000, |at| (wide(at) - sent - quickest).max(0));
            let word =
                cue.shown_arrived.map_or(i128::MAX, |at| (wide(at) - sent - quickest).max(0));
            let proof = sent + word.min(ping + wide(FRAME_WAIT_MAX)) + deciding.1;
            match cue.answered.filter(|_| proof - sent <= wide(RACE_PINGS_FOR)).map(wide) {
                None => by_trip + deciding.1,
                Some(answered) if answered >= proof => 0,
                Some(answered) if proof - answered <= wide(HOLD.unheard) => soon,
                Some(_) => latest,
            }
        });
        Some(silent.max().unwrap_or(filled).clamp(filled, latest))
    }

    /// Seats that tie share a group; so do groups that lie across each other. Then by group, then
    /// by rank.
    pub fn order(record: &Record) -> Vec<u8> {
        let all: Vec<(Runner, Worth)> =
            record.runners.iter().map(|runner| (*runner, worth(runner))).collect();
        let key = |index: usize| (all[index].1.0, all[index].1.1, all[index].0.rank);
        let mut groups: Vec<Vec<usize>> = (0..all.len()).map(|index| vec![index]).collect();
        loop {
            let joins = (0..groups.len()).flat_map(|a| (a + 1..groups.len()).map(move |b| (a, b)));
            let found = joins.into_iter().find(|(a, b)| {
                let (a, b) = (&groups[*a], &groups[*b]);
                let tie = a.iter().any(|x| {
                    b.iter().any(|y| tied((&all[*x].0, &all[*x].1), (&all[*y].0, &all[*y].1)))
                });
                let ends = |group: &Vec<usize>| {
                    let keys = group.iter().map(|index| key(*index));
                    (keys.clone().min().unwrap(), keys.max().unwrap())
                };
                tie || (ends(a).0 <= ends(b).1 && ends(b).0 <= ends(a).1)
            });
            let Some((a, b)) = found else { break };
            let joined = groups.remove(b);
            groups[a].extend(joined);
        }
        groups.sort_by_key(|group| group.iter().map(|index| key(*index)).min());
        for group in &mut groups {
            group.sort_by_key(|index| all[*index].0.rank);
        }
        groups.concat().into_iter().map(|index| all[index].0.seat.0).collect()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, ..ProptestConfig::default() })]

    #[test]
    fn the_ruling_agrees_with_the_naive_model(record in any_race()) {
        prop_assert_eq!(order(&record), naive::order(&record));
    }

    #[test]
    fn the_hold_agrees_with_the_naive_model(record in any_race()) {
        let until = match stage(&record) {
            Stage::Open => None,
            Stage::Hold { until } => Some(i128::from(until.0)),
        };
        prop_assert_eq!(until, naive::until(&record));
    }

    #[test]
    fn exactly_one_seat_is_last_and_every_seat_has_one_place(record in any_race()) {
        let ruling = rule(&record);
        let mut seats: Vec<u8> = ruling.order.iter().map(|placed| placed.seat.0).collect();
        seats.sort_unstable();
        prop_assert_eq!(seats, (0..record.runners.len() as u8).collect::<Vec<_>>());
        prop_assert_eq!(&ruling, &rule(&record), "the same record, the same ruling");
        for placed in &ruling.order {
            if let (Some(reaction), Some((quickest, slowest))) = (placed.reaction, placed.interval) {
                prop_assert!(quickest <= reaction && reaction <= slowest);
                prop_assert!(placed.claim == Some(reaction) || placed.clamped);
                prop_assert!(placed.credit <= CREDIT.most);
            }
        }
    }

    #[test]
    fn the_order_in_which_seats_are_looked_at_changes_nothing(
        (record, turned) in any_race().prop_flat_map(|record| {
            let runners = Just(record.runners.clone()).prop_shuffle();
            (Just(record), runners)
        }),
    ) {
        let turned = Record { runners: turned, ..record.clone() };
        prop_assert_eq!(order(&record), order(&turned));
        prop_assert_eq!(rule(&record).void, rule(&turned).void);
        prop_assert_eq!(stage(&record), stage(&turned));
    }

    /// For claims at or above 0.100 s with the same draw ranks.
    #[test]
    fn nobody_gains_by_claiming_a_slower_reaction(
        record in any_race(),
        seat in 1..6_usize,
        quick in 100_000..1_500_000_u64,
        more in prop_oneof![0..200_u64, 0..500_000_u64],
    ) {
        let seat = seat % record.runners.len();
        let place = |claim: u64| {
            let mut record = record.clone();
            let Some(grab) = record.runners[seat].grab.as_mut() else { return 0 };
            grab.kind = if seat > 0 { Kind::Cued } else { grab.kind };
            grab.shown = Some(Micros(7_000));
            grab.tap = Micros(7_000 + claim);
            order(&record).iter().position(|other| usize::from(*other) == seat).unwrap()
        };
        prop_assert!(Micros(quick) >= ANTICIPATION_BELOW);
        prop_assert!(place(quick) <= place(quick + more));
    }

    /// A race whose tokens are claimed ends: at the latest 0.8 s behind the last claim.
    #[test]
    fn a_hold_ends(record in any_race()) {
        let mut arrivals: Vec<Micros> =
            record.runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).collect();
        arrivals.sort_unstable();
        let tokens = usize::from(record.tokens);
        match stage(&record) {
            Stage::Open => prop_assert!(arrivals.len() < tokens),
            Stage::Hold { until } => {
                let filled = arrivals[tokens - 1];
                prop_assert!(filled <= until && until <= filled.plus(HOLD_MAX));
            }
        }
    }

    /// Whoever is honest on a link that was measured well is ranked by what really happened.
    #[test]
    fn honest_claims_on_well_measured_links_are_ranked_by_the_true_reaction(
        truth in proptest::collection::vec((150..1_050_u64, 1..150_u64, 1..150_u64, 0..34_u64), 2..6),
    ) {
        let runners = truth.iter().enumerate().map(|(index, (reaction, down, up, frame))| {
            let seat = index as u8;
            let trip = ms(down + up);
            let link = LinkBounds {
                least: trip,
                smoothed: trip,
                greatest: trip,
                clock_step: Micros(100),
                ..LinkBounds::NONE
            };
            let cue = Cue {
                nonce: Nonce([seat; 16]),
                made: at(0),
                sent: Some(at(1)),
                pinged: Some(at(1 + down + up)),
                shown_arrived: Some(at(1 + down + frame + up)),
                shown: Some(Micros(77)),
                link,
                answered: None,
            };
            let tap = Micros(77 + reaction * 1_000);
            let arrived = at(1 + down + frame + reaction + up);
            let grab = Observation::plain(Kind::Cued, tap, arrived, link);
            let grab = Observation { shown: cue.shown, ..grab };
            Runner { seat: SeatIndex(seat), rank: seat, cue: Some(cue), grab: Some(grab), voids_left: 2 }
        });
        let runners: Vec<Runner> = runners.collect();
        for runner in &runners {
            prop_assert!(!measure(&runner.cue.unwrap(), &runner.grab.unwrap(), CREDIT).clamped);
        }
        let record = Record { tokens: runners.len() as u8 - 1, started: at(0), runners };
        let mut expected: Vec<u8> = (0..truth.len() as u8).collect();
        expected.sort_by_key(|seat| (truth[usize::from(*seat)].0, *seat));
        prop_assert_eq!(order(&record), expected);
    }
}

/// Journals of the first format lack the later fields; they must still be read.
#[test]
fn records_of_the_first_format_are_read() {
    let text = r#"{"tokens":2,"started":5,"runners":[{"seat":0,"rank":1,"cue":{"nonce":
        "00000000000000000000000000000000","made":5,"sent":6,"pinged":null,"shown_arrived":7,
        "shown":8,"link":{"least":1,"smoothed":2,"greatest":3,"clock_step":4}},"grab":{"kind":"Cued",
        "shown":1,"tap":2,"arrived":9,"link":{"least":1,"smoothed":2,"greatest":3,"clock_step":4},
        "token":0},"voids_left":2}]}"#;
    let record: Record = serde_json::from_str(text).unwrap();
    let cue = record.runners[0].cue.unwrap();
    assert_eq!((cue.link.variation, cue.link.kernel_least), (Micros(0), None));
    let grab = record.runners[0].grab.unwrap();
    assert_eq!((grab.link.unanswered, grab.tapped), (Micros(0), None));
    assert_eq!(grab.link.acknowledged, None);
    let ruling = r#"{"order":[{"seat":0,"reaction":1,"interval":[0,2],"clamped":false,"drawn":true}],
        "void":false,"sentence":"{0} did not tap."}"#;
    let ruling: super::super::Ruling = serde_json::from_str(ruling).unwrap();
    assert!(ruling.order[0].notes.is_empty());
}
