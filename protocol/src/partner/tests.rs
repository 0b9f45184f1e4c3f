//! A partner's moves on hand-made views. Hands are written as letters, one for each match group:
//! `aabc` is two of a kind and two loose cards.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::house::HouseRule;
use crate::id::{CardId, FaceIndex, GameNumber, SeatIndex};
use crate::picture::Picture;
use crate::view::{CardView, CareView, GrabView, SeatKind, SeatPublic};

/// Exact spans, so that a test can say when: looks and decides 1 s, reacts 500 ms, notices 3 s.
const STEADY: Temper = Temper {
    decide: (Micros::from_s(1), Micros::from_s(1)),
    react: (Micros::from_ms(500), Micros::from_ms(500)),
    notice: (Micros::from_s(3), Micros::from_s(3)),
    starts_races: true,
    slips_per_mille: 0,
};

/// Four cards of each letter's group: face 0 to 3 is a, 4 to 7 is b ...
fn groups() -> Vec<GroupIndex> {
    (0..52).map(|face| GroupIndex(face / 4)).collect()
}

/// The cards of a text, each with an id and face of its own.
fn cards(text: &str, from: u8) -> Vec<CardView> {
    let mut seen = [from; 13];
    text.bytes()
        .map(|letter| {
            let group = letter - b'a';
            let face = 4 * group + seen[usize::from(group)] % 4;
            seen[usize::from(group)] += 1;
            CardView { id: CardId([face + 1; 8]), face: FaceIndex(face.into()), helper: None }
        })
        .collect()
}

fn letter(hand: &str, id: CardId) -> char {
    let place = cards(hand, 0).iter().position(|card| card.id == id).unwrap();
    hand.chars().nth(place).unwrap()
}

/// Four seats, the third is ours; nine cards on each pile.
fn view(hand: &str, considering: &str) -> SeatView {
    let seat = SeatPublic {
        name: "Robin".into(),
        picture: Picture::Robin,
        kind: SeatKind::Partner,
        in_play: true,
        waiting: 0,
        considering: false,
        cards_pass_by: false,
        letters: 0,
        shielded: false,
        laid_down: Vec::new(),
    };
    let take_up = if considering.is_empty() { TakeUp::TrayEmpty } else { TakeUp::DecideFirst };
    SeatView {
        table: TableView {
            game: GameNumber(1),
            round: RoundNumber(1),
            phase: Phase::Playing,
            paused: false,
            house: HouseRule::Stay { rounds: 3 },
            dealer: SeatIndex(0),
            tokens: 3,
            draw_pile: 9,
            discard_pile: 9,
            seats: vec![seat; 4],
            cheers: None,
        },
        you: SeatIndex(2),
        hand: Some(HandView {
            cards: cards(hand, 0),
            considering: cards(considering, 3).first().copied(),
            take_up,
            can_undo: false,
            hint: Vec::new(),
            reminded: false,
            stand_in: false,
        }),
        grab: GrabView {
            live: true,
            cue: None,
            cue_sound: false,
            tap: Tap::None,
            taps: 0,
            nudged: false,
        },
        ruling: None,
        sorting: Vec::new(),
        care: CareView::default(),
    }
}

/// Asks until the partner says something or rests; returns when and what.
fn next(partner: &mut Partner, view: &SeatView, from_s: f64) -> Option<(f64, SeatSays)> {
    let mut now = Micros((from_s * 1e6) as u64);
    for _ in 0..10 {
        match partner.think(view, &groups(), now) {
            Thought::Say(says) => return Some((now.0 as f64 / 1e6, says)),
            Thought::WaitUntil(at) => {
                assert!(at > now, "a wait lies ahead");
                now = at;
            }
            Thought::Rest => return None,
        }
    }
    panic!("the partner neither speaks nor rests");
}

/// A partner that has shown the deal already.
fn awake(temper: Temper, seed: u64) -> Partner {
    let mut partner = Partner::new(temper, seed);
    let shown = next(&mut partner, &view("abcd", ""), 0.0);
    assert!(matches!(shown, Some((_, SeatSays::DealShown { round: RoundNumber(1) }))));
    partner
}

#[test]
fn a_sensible_partner_keeps_what_advances_its_group() {
    // hand, card, the letters that may be given away; empty: the card is passed on.
    let cases = [
        ("aabc", "a", "bc"),
        ("aabb", "a", "b"),
        ("aaab", "a", "b"),
        ("abca", "a", "bc"),
        ("aabc", "d", ""),
        ("aaab", "b", ""),
        ("aaaa", "a", ""),
        ("aaaa", "b", ""),
        ("abcd", "c", "abd"),
        ("aabb", "c", ""),
    ];
    for (hand, card, may_give) in cases {
        for seed in 0..20 {
            let mut partner = awake(STEADY, seed);
            let seen = view(hand, card);
            partner.memory.timers.notice = None;
            let (at, says) = next(&mut partner, &seen, 10.0).unwrap();
            assert_eq!(at, 11.0, "{hand}+{card}: it decides after its second");
            match says {
                SeatSays::Pass { .. } => assert_eq!(may_give, "", "{hand}+{card} was passed on"),
                SeatSays::Keep { give, .. } => {
                    let given = letter(hand, give);
                    assert!(may_give.contains(given), "{hand}+{card} gave {given}");
                }
                other => panic!("{hand}+{card}: {other:?}"),
            }
        }
    }
}

#[test]
fn a_group_without_luck_is_given_up_after_one_trip() {
    let mut partner = awake(STEADY, 3);
    let mut passed = 0;
    // Eighteen cards are in no hand, and the fourth a is not among them.
    let given = (0..40u8).find_map(|n| {
        let mut seen = view("aaab", ["b", "d", "e"][usize::from(n) % 3]);
        seen.hand.as_mut().unwrap().considering.as_mut().unwrap().id = CardId([n + 100; 8]);
        match next(&mut partner, &seen, 10.0 * f64::from(n + 1)).unwrap().1 {
            SeatSays::Keep { give, .. } => Some(letter("aaab", give)),
            _ => {
                passed += 1;
                None
            }
        }
    });
    assert_eq!((passed, given), (18, Some('a')), "after one trip it gives the old group away");
}

#[test]
fn what_it_says_and_when() {
    struct Case {
        name: &'static str,
        change: fn(&mut SeatView),
        temper: Temper,
        expected: &'static str,
    }
    fn hand(view: &mut SeatView) -> &mut HandView {
        view.hand.as_mut().unwrap()
    }
    fn fours(view: &mut SeatView) {
        hand(view).cards = cards("aaaa", 0);
    }
    let slow_start = Temper { starts_races: false, ..STEADY };
    let calm = |view: &mut SeatView| {
        fours(view);
        view.table.house = HouseRule::Calm { rounds: 1 };
        view.grab.live = false;
    };
    let cases = [
        ("nothing to do", (|_| ()) as fn(&mut SeatView), STEADY, "rest"),
        ("a card on the pile", |v| hand(v).take_up = TakeUp::FromPile, STEADY, "10.25 TakeUp"),
        ("a card in the tray", |v| hand(v).take_up = TakeUp::FromTray, STEADY, "10.25 TakeUp"),
        ("the next tray is full", |v| hand(v).take_up = TakeUp::NextTrayFull, STEADY, "rest"),
        ("own four", fours, STEADY, "13 Grab none"),
        ("own four of one that never starts", fours, slow_start, "rest"),
        (
            "own four, tokens not live",
            |v| {
                fours(v);
                v.grab.live = false;
            },
            STEADY,
            "rest",
        ),
        (
            "own four, token taken",
            |v| {
                fours(v);
                v.grab.tap = Tap::Taken;
            },
            STEADY,
            "rest",
        ),
        (
            "own four, but a false grab before",
            |v| {
                fours(v);
                v.grab.tap = Tap::FalseGrab { wait_ms: 4_000 };
                v.grab.taps = 1;
            },
            STEADY,
            "14 Grab none",
        ),
        ("own four, calm game", calm, slow_start, "13 LayDown"),
        (
            "laid down already",
            |v| {
                fours(v);
                v.table.house = HouseRule::Calm { rounds: 1 };
                v.table.seats[2].laid_down = vec![FaceIndex(0); 4];
                hand(v).take_up = TakeUp::LaidDown;
            },
            STEADY,
            "rest",
        ),
        ("a cue", |v| v.grab.cue = Some(Nonce([7; 16])), slow_start, "10 CueShown"),
        (
            "the table is paused",
            |v| {
                hand(v).take_up = TakeUp::FromPile;
                v.table.paused = true;
            },
            STEADY,
            "rest",
        ),
        ("an onlooker", |v| v.hand = None, STEADY, "rest"),
        (
            "the round is over",
            |v| {
                fours(v);
                v.table.phase = Phase::RoundOver;
            },
            STEADY,
            "rest",
        ),
        (
            "a face that is not on the sheet",
            |v| {
                hand(v).cards[0].face = FaceIndex(900);
                hand(v).considering = cards("a", 3).first().copied();
            },
            STEADY,
            "11 Pass",
        ),
    ]
    .map(|(name, change, temper, expected)| Case { name, change, temper, expected });
    for Case { name, change, temper, expected } in cases {
        let mut partner = awake(temper, 1);
        let mut seen = view("abcd", "");
        change(&mut seen);
        let said = match next(&mut partner, &seen, 10.0) {
            None => "rest".to_owned(),
            Some((at, SeatSays::Grab(grab))) => {
                assert!(grab.token < seen.table.tokens);
                format!("{at} Grab {}", if grab.cue.is_some() { "cued" } else { "none" })
            }
            Some((at, SeatSays::CueShown { .. })) => format!("{at} CueShown"),
            Some((at, SeatSays::Pass { .. })) => format!("{at} Pass"),
            Some((at, says)) => format!("{at} {says:?}"),
        };
        assert_eq!(said, expected, "{name}");
    }
}

#[test]
fn a_cue_is_shown_then_answered_once() {
    let mut partner = awake(STEADY, 1);
    let mut seen = view("abcd", "");
    let nonce = Nonce([7; 16]);
    seen.grab.cue = Some(nonce);
    let shown = Micros::from_s(10);
    let first = next(&mut partner, &seen, 10.0).unwrap();
    assert_eq!(first, (10.0, SeatSays::CueShown { cue: nonce, shown }));
    let (at, says) = next(&mut partner, &seen, 10.0).unwrap();
    let SeatSays::Grab(grab) = says else { panic!("{says:?}") };
    assert_eq!((at, grab.cue), (10.5, Some(GrabCue { nonce, shown })));
    assert_eq!(grab.tap, Micros::from_ms(10_500));

    let mut soon = seen.clone();
    soon.grab.tap = Tap::TooSoon { wait_ms: 3_000 };
    soon.grab.taps = 1;
    let (at, says) = next(&mut partner.clone(), &soon, 10.6).unwrap();
    assert!(matches!(says, SeatSays::Grab(_)) && at == 13.6, "it waits out the wait: {at}");

    seen.grab.tap = Tap::Taken;
    assert_eq!(next(&mut partner, &seen, 10.6), None, "one token is enough");
}

#[test]
fn cards_go_on_in_the_race() {
    let mut partner = awake(STEADY, 1);
    let mut seen = view("aaaa", "b");
    seen.grab.tap = Tap::Taken;
    let (_, says) = next(&mut partner, &seen, 10.0).unwrap();
    assert!(matches!(says, SeatSays::Pass { .. }), "the four stay together: {says:?}");
}

#[test]
fn a_refused_move_is_not_repeated_at_once() {
    let mut partner = awake(STEADY, 1);
    let mut seen = view("aaaa", "");
    seen.hand.as_mut().unwrap().take_up = TakeUp::FromPile;
    let said: Vec<f64> = {
        let mut at = 10.0;
        (0..6).map(|_| (at = next(&mut partner, &seen, at).unwrap().0, at).1).collect()
    };
    // Take up at 10.25, grab at 13, and each again no sooner than two seconds later.
    assert_eq!(said, [10.25, 12.25, 13.0, 14.25, 15.0, 16.25]);
}

#[test]
fn slips_happen_as_often_as_the_temper_says() {
    let temper = Temper { slips_per_mille: 200, ..STEADY };
    let kept = (0..2_000)
        .filter(|seed| {
            let mut partner = awake(temper, *seed);
            matches!(next(&mut partner, &view("aabc", "d"), 10.0), Some((_, SeatSays::Keep { .. })))
        })
        .count();
    // A binomial of 2,000 and 0.2 has a standard deviation of 18; five of them either way.
    assert!((310..=490).contains(&kept), "{kept} of 2,000");
}

#[test]
fn presets_are_spans_and_humanly_possible() {
    let too_soon = Micros::from_ms(100);
    for temper in [
        Temper::FIVE_TO_SIX,
        Temper::SIX_TO_SEVEN,
        Temper::SEVEN_TO_EIGHT,
        Temper::STAND_IN,
        Temper::QUICK,
    ] {
        for (least, most) in [temper.decide, temper.react, temper.notice] {
            assert!(least < most, "{temper:?}");
        }
        // 0.1 s: World Athletics, Technical Rules, rule 16.6 (false starts).
        assert!(temper.react.0 > too_soon && temper.slips_per_mille <= 1_000);
    }
    const { assert!(!Temper::STAND_IN.starts_races) };
}
