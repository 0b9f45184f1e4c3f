//! What needs the teacher, tried on tables of one line.
#![allow(clippy::unwrap_used)]
use super::*;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{DeckId, GameNumber, PupilIndex, RoundNumber};
use handround_protocol::picture::Picture;
use handround_protocol::view::{CareView, SeatKind, SeatPublic};

/// A table from one line a seat: `here` or `gone`, then what there is to say of it.
fn table(phase: Phase, seats: &str) -> (TableView, Vec<BoardSeat>) {
    let mut board = Vec::new();
    let mut public = Vec::new();
    for (place, line) in seats.split(',').enumerate() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let number = |name: &str| {
            let at = words.iter().position(|word| *word == name)?;
            words[at + 1].parse::<u16>().ok()
        };
        let has = |name: &str| words.contains(&name);
        let pupil = (!has("partner")).then_some(PupilIndex(u16::try_from(place).unwrap()));
        board.push(BoardSeat {
            pupil,
            here: !has("gone"),
            stand_in: has("stand-in"),
            waiting_s: number("waits").unwrap_or(0),
            false_grabs: number("false").unwrap_or(0),
            link: pupil.map(|_| LinkQuality::Good),
            care: CareView {
                help_asked: number("help").is_some(),
                on_break: has("break"),
                partner_holds: has("held"),
            },
            help_s: number("help").unwrap_or(0),
            support: None,
        });
        public.push(SeatPublic {
            name: format!("child {place}"),
            picture: Picture::from_name("kite").unwrap(),
            kind: if pupil.is_some() { SeatKind::Pupil } else { SeatKind::Partner },
            in_play: !has("out"),
            waiting: 0,
            considering: false,
            cards_pass_by: false,
            letters: 0,
            shielded: false,
            laid_down: Vec::new(),
        });
    }
    let view = TableView {
        game: GameNumber(1),
        round: RoundNumber(1),
        phase,
        paused: false,
        house: HouseRule::Stay { rounds: 4 },
        dealer: SeatIndex(0),
        tokens: 3,
        draw_pile: 10,
        discard_pile: 0,
        seats: public,
        cheers: None,
    };
    (view, board)
}

#[test]
fn what_needs_the_teacher_most_stands_first() {
    use Attention::*;
    let seat = SeatIndex;
    for (phase, seats, expected) in [
        (Phase::Playing, "here,here,here", vec![]),
        (Phase::Playing, "here waits 29,here,here", vec![]),
        (
            Phase::Playing,
            "here waits 31,here help 5,here waits 40",
            vec![
                HelpAsked { seat: seat(1), seconds: 5 },
                WaitsFor { seat: seat(2), seconds: 40 },
                WaitsFor { seat: seat(0), seconds: 31 },
            ],
        ),
        (
            Phase::Playing,
            "here false 3,gone stand-in,here break stand-in",
            vec![
                LinkLost { seat: seat(1) },
                FalseGrabs { seat: seat(0), count: 3 },
                OnBreak { seat: seat(2) },
            ],
        ),
        (Phase::Playing, "partner waits 60,here false 2,here", vec![]),
        // Nobody waits for somebody who watches, or whom a partner plays for.
        (Phase::Playing, "here out waits 60,here stand-in waits 60,here", vec![]),
        (Phase::Playing, "gone held,here,here", vec![]),
        // Before the game and after it, only what a child asks for counts.
        (Phase::Waiting, "gone,here help 3,here", vec![HelpAsked { seat: seat(1), seconds: 3 }]),
        (Phase::GameOver, "gone,here false 9,here", vec![]),
    ] {
        let (view, board) = table(phase, seats);
        assert_eq!(attention(&view, &board), expected, "{seats}");
    }
}

#[test]
fn a_paused_table_waits_for_nobody() {
    let (mut view, board) = table(Phase::Playing, "here waits 90,here help 2,here");
    view.paused = true;
    let expected = vec![Attention::HelpAsked { seat: SeatIndex(1), seconds: 2 }];
    assert_eq!(attention(&view, &board), expected);
}

#[test]
fn a_link_is_called_by_its_smoothed_round_trip() {
    for (connected, ms, expected) in [
        (true, Some(30), LinkQuality::Good),
        (true, Some(100), LinkQuality::Good),
        (true, Some(101), LinkQuality::Slow),
        (true, Some(401), LinkQuality::Poor),
        (true, None, LinkQuality::Good),
        (false, Some(30), LinkQuality::Gone),
    ] {
        assert_eq!(link_quality(connected, ms.map(Micros::from_ms)), expected, "{ms:?}");
    }
}

/// What a naive reader of the issue would say: hand, wait, link, taps, break, nothing.
#[test]
fn tables_stand_in_the_order_of_their_need_and_those_of_like_need_in_the_lessons() {
    let lines = [
        ("here,here,here", false),
        ("here waits 31,here,here", true),
        ("here break stand-in,here,here", false),
        ("here help 2,here,here", true),
        ("gone,here,here", true),
        ("here waits 90,here,here", true),
        ("here false 5,here,here", false),
        ("here false 3,here help 40,here", true),
    ];
    let tables = (1..).zip(lines).map(|(number, (seats, urgent))| {
        let (view, seats_of) = table(Phase::Playing, seats);
        let attention = attention(&view, &seats_of);
        assert_eq!(is_urgent(&attention), urgent, "{seats}");
        BoardTable {
            table: TableId([number; 16]),
            name: format!("Table {number}"),
            deck: DeckId([0; 16]),
            deck_name: String::new(),
            view,
            seats: seats_of,
            tokens_left: 3,
            last_race: String::new(),
            winners: Vec::new(),
            bell: false,
            moves_a_minute: 0,
            attention,
            urgent,
        }
    });
    let tables: Vec<BoardTable> = tables.collect();
    let order: Vec<u8> = by_need(&tables).iter().map(|table| table.0[0]).collect();
    assert_eq!(order, [4, 8, 2, 6, 5, 7, 3, 1]);
}
