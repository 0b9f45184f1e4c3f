//! What a device is told, and what a returning one is spared.

#![allow(clippy::unwrap_used)]

use super::super::connection::{OUTBOX_MESSAGES_MAX, OutboxReader, outbox};
use super::*;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{GameNumber, Nonce, RoundNumber, SeatIndex};
use handround_protocol::view::{CareView, GrabView, Phase, RoundEnd, RulingView, TableView, Tap};

fn view(draw_pile: u16, cue: Option<u8>) -> SeatView {
    let table = TableView {
        game: GameNumber(1),
        round: RoundNumber(3),
        phase: Phase::Playing,
        paused: false,
        house: HouseRule::Stay { rounds: 4 },
        dealer: SeatIndex(0),
        tokens: 3,
        draw_pile,
        discard_pile: 0,
        seats: Vec::new(),
        cheers: None,
    };
    let grab = GrabView {
        live: true,
        cue: cue.map(|byte| Nonce([byte; 16])),
        cue_sound: false,
        tap: Tap::None,
        taps: 0,
        nudged: false,
    };
    SeatView {
        table,
        you: SeatIndex(0),
        hand: None,
        grab,
        ruling: None,
        sorting: Vec::new(),
        care: CareView::default(),
    }
}

/// What waits in the ordinary lane, in short: `snapshot 5`, `table 6`.
fn waiting(reader: &mut OutboxReader) -> Vec<String> {
    let mut words = Vec::new();
    while let Ok(ToClient::Seat { number, news }) = reader.ordinary.try_recv() {
        let kind = match news {
            SeatNews::Snapshot(_) => "snapshot",
            SeatNews::Table(_) => "table",
            SeatNews::Hand(_) => "hand",
            SeatNews::Grab(_) => "grab",
            SeatNews::Ruling(_) => "ruling",
            SeatNews::Sorting(_) => "sorting",
            SeatNews::Care(_) => "care",
        };
        words.push(format!("{kind} {number}"));
    }
    words
}

fn connected(feed: &mut SeatFeed, link: u64, resume: Option<u32>) -> OutboxReader {
    let (outbox, reader) = outbox();
    feed.connect(LinkId(link), outbox, resume.map(SeatNumber));
    reader
}

#[test]
fn a_short_break_is_bridged_and_a_long_one_is_not() {
    let mut feed = SeatFeed::new(view(40, None), 0);
    let mut reader = connected(&mut feed, 1, None);
    for cards in (30..40).rev() {
        assert!(feed.show(view(cards, None)));
    }
    assert!(!feed.show(view(30, None)), "the same again is no news");
    let words = waiting(&mut reader);
    assert_eq!(words.first().unwrap(), "snapshot 1");
    assert_eq!(words.last().unwrap(), "table 11");
    let mut after = |resume| waiting(&mut connected(&mut feed, 2, resume));
    assert_eq!(after(Some(11)), [""; 0]);
    assert_eq!(after(Some(9)), ["table 10", "table 11"]);
    assert_eq!(after(Some(1)).len(), 10);
    for unknown in [None, Some(0), Some(12), Some(u32::MAX)] {
        assert_eq!(after(unknown), ["snapshot 11"], "{unknown:?}");
    }
    for cards in 100..100 + 2 * u16::try_from(SEAT_HISTORY_MAX).unwrap() {
        feed.show(view(cards, None));
    }
    assert!(feed.history.len() <= SEAT_HISTORY_MAX);
    assert_eq!(waiting(&mut connected(&mut feed, 3, Some(11))), ["snapshot 75"]);
}

/// A device that applies what it gets always has the server's view, however often it returns and
/// wherever it left off: the same feed beside one naive copy.
#[test]
fn whatever_a_device_missed_it_ends_with_the_servers_view() {
    for lost in 0..60_u32 {
        let mut feed = SeatFeed::new(view(0, None), 7);
        let mut reader = connected(&mut feed, 1, None);
        let mut device: Option<(SeatNumber, SeatView)> = None;
        let read = |reader: &mut OutboxReader, device: &mut Option<(SeatNumber, SeatView)>| {
            while let Ok(ToClient::Seat { number, news }) = reader.ordinary.try_recv() {
                match (device.as_mut(), news) {
                    (_, SeatNews::Snapshot(view)) => *device = Some((number, view)),
                    (Some((last, view)), news) => {
                        assert_eq!(number.0, last.0 + 1, "no gap");
                        *last = number;
                        view.apply(&news);
                    }
                    (None, _) => panic!("news before a snapshot"),
                }
            }
        };
        for step in 1..=60_u32 {
            let cue = (step % 9 == 0).then_some(u8::try_from(step).unwrap());
            feed.show(view(u16::try_from(step / 2).unwrap(), cue));
            if step != lost {
                read(&mut reader, &mut device);
                continue;
            }
            // The link breaks with these unread; some more happen while it is down.
            feed.gone();
            for cards in 200..200 + u16::try_from(lost).unwrap() {
                feed.show(view(cards, None));
            }
            let last = device.as_ref().map(|(number, _)| number.0);
            reader = connected(&mut feed, 2, last);
        }
        read(&mut reader, &mut device);
        assert_eq!(&device.unwrap().1, feed.view(), "lost at {lost}");
    }
}

#[test]
fn numbers_from_before_a_restart_are_never_bridged() {
    // Every change writes one line at least; this one makes the most news that one can make.
    for lines in 1..20_u64 {
        let mut before = SeatFeed::new(view(0, None), lines);
        let mut held = lines;
        for step in 1..50_u16 {
            before.show(view(step, Some(u8::try_from(step).unwrap())));
            held += 1;
            // The restart finds this device's link up and writes that it is down.
            let mut after = SeatFeed::new(view(0, None), held + 1);
            let words = waiting(&mut connected(&mut after, 1, Some(before.number.0)));
            assert!(words[0].starts_with("snapshot"), "{words:?}");
        }
    }
}

#[test]
fn a_cue_overtakes_and_goes_out_once() {
    let mut feed = SeatFeed::new(view(40, None), 0);
    let mut reader = connected(&mut feed, 1, None);
    feed.show(view(39, Some(7)));
    feed.show(view(38, Some(7)));
    let cue = UrgentCue { round: RoundNumber(3), nonce: Nonce([7; 16]) };
    assert_eq!(reader.urgent.try_recv().unwrap(), cue);
    assert!(reader.urgent.try_recv().is_err());
    assert_eq!(waiting(&mut reader), ["snapshot 1", "grab 2", "table 3", "table 4"]);
    let mut newer = connected(&mut feed, 2, Some(4));
    assert_eq!(newer.urgent.try_recv().unwrap(), cue, "it stays this seat's cue");
}

/// A page that hears of a new deal while it still holds the last round's grab would show a token
/// taken that is not, and one that hears of a round's end before the ruling would have none to show.
#[test]
fn the_table_turns_only_when_a_device_holds_what_the_turn_is_about() {
    let mut feed = SeatFeed::new(view(40, Some(7)), 0);
    let mut reader = connected(&mut feed, 1, None);
    let mut over = view(40, Some(7));
    over.table.phase = Phase::RoundOver;
    over.ruling = Some(RulingView {
        round: RoundNumber(3),
        end: RoundEnd::AllLaidDown,
        four: Vec::new(),
        winners: Vec::new(),
        next_deal_ms: 10_000,
    });
    feed.show(over);
    let mut dealt = view(40, None);
    dealt.table.round = RoundNumber(4);
    dealt.table.phase = Phase::Dealt;
    feed.show(dealt);
    let expected = ["snapshot 1", "ruling 2", "table 3", "grab 4", "table 5", "ruling 6"];
    assert_eq!(waiting(&mut reader), expected);
}

#[test]
fn the_newest_device_wins_and_a_slow_reader_is_closed() {
    let mut feed = SeatFeed::new(view(40, None), 0);
    let older = connected(&mut feed, 1, None);
    let newer = connected(&mut feed, 2, None);
    assert_eq!(*older.close.borrow(), Some(Close::NewerDevice));
    assert!(feed.is_held_by(LinkId(2)) && !feed.is_held_by(LinkId(1)));
    for cards in 100..=100 + u16::try_from(OUTBOX_MESSAGES_MAX).unwrap() {
        feed.show(view(cards, None));
    }
    assert_eq!(*newer.close.borrow(), Some(Close::TooSlow));
}
