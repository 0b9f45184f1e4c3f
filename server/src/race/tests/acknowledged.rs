//! What the other kernel acknowledged: told as stories over the real meter, and over random links that keep
//! their order, where it must change nothing for a device that answers at once.

use super::super::acknowledged::{Acknowledged, Look};
use super::super::link::Meter;
use super::super::measure::{CREDIT, measure};
use super::super::ruling::rule;
use super::super::{Cue, Kind, Note, Observation};
use super::{at, ms, race};
use crate::game::LinkBounds;
use handround_protocol::id::Nonce;
use handround_protocol::time::Micros;
use proptest::prelude::*;

fn nonce(number: u64) -> Nonce {
    Nonce(u128::from(number).to_be_bytes())
}

/// Reads what happens on a connection whose usual round trip is 20 ms, a line each in order of time, in ms
/// from the cue on; a ping is one byte long:
/// `T ping`, `T pong N` (the Nth ping, from 0), `T look N [unread] [overtaken]` (N bytes acknowledged).
fn told(text: &str, by_ms: u64) -> LinkBounds {
    let mut meter = Meter::new(Micros(100));
    meter.ping_sent(Nonce([255; 16]), Micros(at(0).0 - 90_000));
    meter.pong(Nonce([255; 16]), Micros(at(0).0 - 70_000));
    let (mut sent, mut known) = (0, 0);
    for line in text.trim().lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let now = at(words[0].parse().unwrap());
        if words[1] == "look" {
            known = words[2].parse().unwrap();
        }
        let look = |sent: u64| Look {
            written: sent,
            acknowledged: known,
            unread: words.contains(&"unread"),
            out_of_order: u32::from(words.contains(&"overtaken")),
        };
        match words[1] {
            "ping" => {
                meter.race_ping_sent(nonce(sent), now);
                sent += 1;
                if sent == 1 {
                    meter.race_begins(Some(look(sent)));
                }
                meter.kernel_looked(look(sent), now);
            }
            "pong" => assert!(meter.pong(nonce(words[2].parse().unwrap()), now).is_some()),
            "look" => meter.kernel_looked(look(sent), now),
            "tap" => meter.kernel_order(None),
            other => panic!("no such thing: {other}"),
        }
    }
    meter.bounds(at(by_ms))
}

const QUIET: &str = "
    0 ping
    20 pong 0
    50 ping
    100 ping
    110 look 2
    150 ping
    180 look 3";

#[test]
fn a_kernel_that_acknowledged_what_its_program_leaves_unanswered_shows_that_it_holds_back() {
    let says = |unacknowledged, held_back| {
        Some(Acknowledged { unacknowledged: ms(unacknowledged), held_back: ms(held_back) })
    };
    let with = |from: &str, to: &str| told(&QUIET.replace(from, to), 200).acknowledged;
    let stories = [
        ("two acknowledgements, one after the other", with("", ""), says(50, 90)),
        ("the second one is not seen", with("180 look 3", "180 look 2"), says(100, 0)),
        ("something lay unread when it was seen", with("look 3", "look 3 unread"), says(100, 0)),
        ("both are seen in one look", with("110 look 2", "110 look 1"), says(50, 0)),
        (
            "an answer that came was not held back",
            with("180 look 3", "180 look 3\n190 pong 1"),
            says(50, 0),
        ),
        ("all is acknowledged", with("look 3", "look 4"), says(0, 90)),
        ("segments overtook each other", with("look 3", "look 3 overtaken"), None),
        (
            "the kernel says nothing when the tap is read",
            with("180 look 3", "180 look 3\n190 tap"),
            None,
        ),
    ];
    for (story, found, expected) in stories {
        assert_eq!(found, expected, "{story}");
    }
    assert_eq!(told(QUIET, 200).unanswered, ms(150));
}

#[test]
fn a_tap_behind_answers_that_were_held_back_counts_by_our_own_times_and_the_record_says_so() {
    let mut record = race(
        "
        Ana  own  -  -   -   10..20   -    0
        Ben  cued 5  20  45  10..20   200  440  260
        Cleo cued 5  20  45  10..20   350  390",
    );
    let mut sentence = |acknowledged: Option<(u64, u64)>| {
        let link = &mut record.runners[1].grab.as_mut().unwrap().link;
        link.acknowledged = acknowledged.map(|(unacknowledged, held_back)| Acknowledged {
            unacknowledged: ms(unacknowledged),
            held_back: ms(held_back),
        });
        rule(&record)
    };
    let stuck = sentence(None);
    assert_eq!(stuck.order[1].seat.0, 1);
    assert!(stuck.order[1].notes.contains(&Note::SpikeOnGrab));
    assert_eq!(sentence(Some((260, 0))), stuck, "the kernel says the same as the answers");
    let held_back = sentence(Some((60, 120)));
    assert_eq!(held_back.order[2].notes, [Note::AnswersHeldBack, Note::QuickerThanLink]);
    assert_eq!(
        held_back.sentence,
        "{0} saw four alike; {2} reacted in 0.35 s; {1} reacted in 0.39 s (by our own times; its tablet \
         answered late though the link was free; it said 0.20 s) and was last."
    );
    // Between the two the acknowledgements say how long the link can have held it up: 60 - 15 ms, and a gap.
    let between = sentence(Some((60, 0)));
    let place = between.order.iter().find(|placed| placed.seat.0 == 1).unwrap();
    assert_eq!(place.notes[..2], [Note::AnswersHeldBack, Note::SpikeOnGrab]);
}

/// A device's segment on a link that keeps its order.
#[derive(Clone, Copy, Debug)]
enum Sends {
    Acknowledgement,
    Pong(usize),
    Tap,
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, ..ProptestConfig::default() })]

    /// Whatever the link does, as long as it keeps its order; however its kernel acknowledges, and however
    /// late our own side reads: a device that answers at once is judged as if the kernel had not been asked.
    #[test]
    fn a_device_that_answers_at_once_is_never_hurt_by_what_its_kernel_acknowledges(
        downs in proptest::collection::vec(0..120_000_u64, 16),
        ups in proptest::collection::vec(prop_oneof![4 => 0..30_000_u64, 1 => 0..400_000_u64], 64),
        reads in proptest::collection::vec(prop_oneof![3 => Just(0), 1 => 0..60_000_u64], 64),
        at_once in proptest::collection::vec(any::<bool>(), 16),
        delay in 0..500_000_u64,
        reaction in 100_000..700_000_u64,
        looks in proptest::collection::vec(0..1_500_000_u64, 0..60),
    ) {
        // Down: each ping 50 ms after the one before it.
        let mut came = 0;
        let received: Vec<u64> = downs.iter().enumerate().map(|(number, down)| {
            came = came.max(number as u64 * 50_000 + down);
            came
        }).collect();
        let tap = received[0] + reaction;
        // What the device sends, in order; an acknowledgement goes before the answer to the same ping.
        let mut sends: Vec<(u64, u8, Sends)> = vec![(tap, 2, Sends::Tap)];
        for (number, at) in received.iter().enumerate() {
            sends.push((*at, 1, Sends::Pong(number)));
            let late = if at_once[number] { 0 } else { delay };
            sends.push((at + late, 0, Sends::Acknowledgement));
        }
        sends.sort_by_key(|(at, class, _)| (*at, *class));
        // Up, in order, and read in order, maybe later than it came.
        let (mut came, mut read) = (0, 0);
        let up: Vec<(u64, u64, usize, Sends)> = sends.iter().enumerate().map(|(place, (at, _, what))| {
            came = came.max(at + ups[place]);
            read = read.max(came + reads[place]);
            (came, read, received.iter().filter(|received| *received <= at).count(), *what)
        }).collect();
        // What the server does, in order of time.
        let mut meter = Meter::new(Micros(100));
        meter.ping_sent(Nonce([255; 16]), Micros(at(0).0 - 90_000));
        meter.pong(Nonce([255; 16]), Micros(at(0).0 - 70_000));
        enum Does { Ping(usize), Read(Sends), Look }
        let mut does: Vec<(u64, u8, Does)> =
            (0..downs.len()).map(|number| (number as u64 * 50_000, 0, Does::Ping(number))).collect();
        does.extend(up.iter().map(|(_, read, _, what)| (*read, 1, Does::Read(*what))));
        does.extend(looks.iter().map(|at| (*at, 2, Does::Look)));
        does.sort_by_key(|(at, class, _)| (*at, *class));
        let mut cue = Cue {
            nonce: nonce(0), made: at(0), sent: Some(at(0)), pinged: None, shown_arrived: None,
            shown: Some(Micros(7)), link: meter.bounds(at(0)), answered: None,
        };
        for (after, _, does) in does {
            let now = Micros(at(0).0 + after);
            let look = Look {
                written: (after / 50_000 + 1).min(downs.len() as u64),
                acknowledged: up.iter().filter(|(came, ..)| *came <= after).map(|(_, _, pings, _)| *pings as u64)
                    .max().unwrap_or(0),
                unread: up.iter().any(|(came, read, _, what)| {
                    !matches!(what, Sends::Acknowledgement) && *came <= after && *read > after
                }),
                out_of_order: 0,
            };
            match does {
                Does::Ping(number) => {
                    meter.race_ping_sent(nonce(number as u64), now);
                    if number == 0 {
                        meter.race_begins(Some(look));
                    }
                    meter.kernel_looked(look, now);
                }
                Does::Look => meter.kernel_looked(look, now),
                Does::Read(Sends::Pong(number)) => {
                    meter.pong(nonce(number as u64), now);
                    cue.pinged.get_or_insert(now);
                }
                Does::Read(Sends::Acknowledgement) => {}
                Does::Read(Sends::Tap) => {
                    let link = meter.bounds(now);
                    let grab = Observation {
                        shown: Some(Micros(7)),
                        ..Observation::plain(Kind::Cued, Micros(7 + reaction), now, link)
                    };
                    let unasked = LinkBounds { acknowledged: None, ..link };
                    prop_assert!(link.acknowledged.is_some());
                    let asked = measure(&cue, &grab, CREDIT);
                    prop_assert_eq!(asked, measure(&cue, &Observation { link: unasked, ..grab }, CREDIT));
                }
            }
        }
    }
}
