//! Whatever can be said arrives as it was said, in both subprotocols.
#![allow(clippy::unwrap_used)]

mod common;

use handround_protocol::cheer::{Cheer, CheerPicture};
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::house::{AgeBand, HouseRule, MissedFour, Pace, Timing};
use handround_protocol::id::*;
use handround_protocol::limits::{TO_CLIENT_BYTES_MAX, TO_SERVER_BYTES_MAX};
use handround_protocol::message::*;
use handround_protocol::picture::{Picture, THINGS};
use handround_protocol::refusal::Refusal;
use handround_protocol::skill::{Accent, Confusables, Skill, Switches};
use handround_protocol::substitute::{SubstituteSays, SubstituteView};
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::*;
use handround_protocol::wall::{WallSays, WallShows};
use handround_protocol::wishes::*;
use proptest::collection::vec;
use proptest::option::of;
use proptest::prelude::*;
use proptest::sample::select;

/// Numbers with their ends more often than chance would have them.
fn micros() -> impl Strategy<Value = Micros> {
    prop_oneof![Just(0), 0..=Micros::MAX.0, Just(Micros::MAX.0)].prop_map(Micros)
}
fn nonce() -> impl Strategy<Value = Nonce> {
    any::<[u8; 16]>().prop_map(Nonce)
}
fn table_id() -> impl Strategy<Value = TableId> {
    any::<[u8; 16]>().prop_map(TableId)
}
fn card_id() -> impl Strategy<Value = CardId> {
    any::<[u8; 8]>().prop_map(CardId)
}
fn face() -> impl Strategy<Value = FaceIndex> {
    any::<u16>().prop_map(FaceIndex)
}
fn seat() -> impl Strategy<Value = SeatIndex> {
    any::<u8>().prop_map(SeatIndex)
}
fn round() -> impl Strategy<Value = RoundNumber> {
    any::<u32>().prop_map(RoundNumber)
}
fn picture() -> impl Strategy<Value = Picture> {
    select(&THINGS[..])
}
/// Names in any writing, with quotes, controls and emoji among them.
fn name() -> impl Strategy<Value = String> {
    prop_oneof![".{0,20}", "[\"\\\\\u{0}-\u{1f}é字🐌]{0,20}"]
}
fn kind() -> impl Strategy<Value = SeatKind> {
    select(&[SeatKind::Pupil, SeatKind::Partner][..])
}

fn house() -> impl Strategy<Value = HouseRule> {
    prop_oneof![
        any::<u8>().prop_map(|rounds| HouseRule::Stay { rounds }),
        name().prop_map(|word| HouseRule::Letters { word }),
        any::<bool>().prop_map(|shield| HouseRule::Out { shield }),
        any::<u8>().prop_map(|rounds| HouseRule::Calm { rounds }),
    ]
}

fn plan() -> impl Strategy<Value = LessonPlan> {
    let ages = select(&[AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight][..]);
    let missed = prop_oneof![
        Just(MissedFour::FindItYourself),
        any::<u8>().prop_map(|seconds| MissedFour::HintAfter { seconds }),
        Just(MissedFour::Tell),
    ];
    let numbers = any::<(u16, u16, u8, bool, bool, u8)>();
    (ages, house(), missed, numbers).prop_map(|(ages, house, missed_four, numbers)| {
        let (number_min, number_max, groups, cue_sound, cards_come_by_themselves, tray_limit) =
            numbers;
        LessonPlan {
            ages,
            house,
            number_min,
            number_max,
            groups,
            missed_four,
            cue_sound,
            cards_come_by_themselves,
            tray_limit,
            skill: Skill::PlaceValue { max: number_max },
            confusables: Confusables::Target,
            wishes: DeckWishes::default(),
            naming_walk: cue_sound,
            accent: Accent { pin_is_pen: cue_sound, cot_is_caught: false },
            switches: Switches { exact_names: cue_sound, quarter_words: true, coin_values: false },
            timing: Timing {
                pace: if cue_sound { Pace::Brisk } else { Pace::Usual },
                ..Timing::default()
            },
            cheering: cue_sound,
        }
    })
}

fn says() -> impl Strategy<Value = SeatSays> {
    let cue = (nonce(), micros()).prop_map(|(nonce, shown)| GrabCue { nonce, shown });
    let grab =
        (of(cue), micros(), any::<u8>()).prop_map(|(cue, tap, token)| Grab { cue, tap, token });
    prop_oneof![
        round().prop_map(|round| SeatSays::DealShown { round }),
        Just(SeatSays::TakeUp),
        (card_id(), card_id()).prop_map(|(card, give)| SeatSays::Keep { card, give }),
        card_id().prop_map(|card| SeatSays::Pass { card }),
        Just(SeatSays::Undo),
        grab.prop_map(SeatSays::Grab),
        (nonce(), micros()).prop_map(|(cue, shown)| SeatSays::CueShown { cue, shown }),
        Just(SeatSays::LayDown),
        any::<bool>().prop_map(|visible| SeatSays::InView { visible }),
        any::<bool>().prop_map(|wanted| SeatSays::Help { wanted }),
        any::<bool>().prop_map(|wanted| SeatSays::Break { wanted }),
        Just(SeatSays::PicturesNamed),
        cheer_picture().prop_map(|picture| SeatSays::Cheer { picture }),
        any::<bool>().prop_map(|covered| SeatSays::Covered { covered }),
    ]
}

fn cheer_picture() -> impl Strategy<Value = CheerPicture> + Clone {
    select(vec![CheerPicture::Sun, CheerPicture::Flower, CheerPicture::Clap])
}

fn helper() -> impl Strategy<Value = Helper> + Clone {
    select(vec![
        Helper::DotsUnder,
        Helper::FirstSound,
        Helper::PictureBeside,
        Helper::LargerPrint,
        Helper::SpanishWord,
    ])
}

fn support() -> impl Strategy<Value = Support> {
    let given = (helper(), any::<bool>(), any::<u16>())
        .prop_map(|(helper, held, right_uses)| HelperGiven { helper, held, right_uses });
    let missed = any::<u8>().prop_map(|seconds| MissedFour::HintAfter { seconds });
    (vec(given, 0..=5), any::<bool>(), of(missed)).prop_map(|(helpers, unhurried, missed_four)| {
        Support { helpers, unhurried, missed_four, head_start: !unhurried }
    })
}

fn board_says() -> impl Strategy<Value = BoardSays> {
    prop_oneof![
        of(table_id()).prop_map(|table| BoardSays::Start { table }),
        of(table_id()).prop_map(|table| BoardSays::Pause { table }),
        of(table_id()).prop_map(|table| BoardSays::Resume { table }),
        of(table_id()).prop_map(|table| BoardSays::End { table }),
        plan().prop_map(BoardSays::Plan),
        any::<bool>().prop_map(|open| BoardSays::Open { open }),
        any::<u16>().prop_map(|pupil| BoardSays::FreePlace { pupil: PupilIndex(pupil) }),
        Just(BoardSays::EndLesson),
        (table_id(), seat()).prop_map(|(table, seat)| BoardSays::Nudge { table, seat }),
        (table_id(), seat()).prop_map(|(table, seat)| BoardSays::HelpGiven { table, seat }),
        (table_id(), seat(), any::<bool>())
            .prop_map(|(table, seat, partner)| BoardSays::HandOver { table, seat, partner }),
        (of(table_id()), any::<bool>()).prop_map(|(table, ring)| BoardSays::Bell { table, ring }),
        table_id().prop_map(|table| BoardSays::ShowRace { table }),
        (any::<u16>(), support())
            .prop_map(|(pupil, support)| BoardSays::Support { pupil: PupilIndex(pupil), support }),
        (any::<u16>().prop_map(PupilIndex), of(table_id()))
            .prop_map(|(pupil, table)| BoardSays::MovePupil { pupil, table }),
        (name(), table_id()).prop_map(|(name, table)| BoardSays::AddPupil { name, table }),
        (any::<[u8; 16]>(), vec(any::<u16>().prop_map(FaceIndex), 0..=6)).prop_map(
            |(deck, faces)| { BoardSays::Wall(WallSays::Four { deck: DeckId(deck), faces }) }
        ),
        any::<u8>().prop_map(|place| BoardSays::Wall(WallSays::Hide { place })),
    ]
}

fn substitute_says() -> impl Strategy<Value = SubstituteSays> {
    prop_oneof![
        of(table_id()).prop_map(|table| SubstituteSays::Start { table }),
        of(table_id()).prop_map(|table| SubstituteSays::Freeze { table }),
        of(table_id()).prop_map(|table| SubstituteSays::GoOn { table }),
        (of(table_id()), any::<bool>())
            .prop_map(|(table, ring)| SubstituteSays::Bell { table, ring }),
        (table_id(), seat()).prop_map(|(table, seat)| SubstituteSays::HelpGiven { table, seat }),
        (table_id(), seat(), any::<bool>())
            .prop_map(|(table, seat, partner)| SubstituteSays::HandOver { table, seat, partner }),
        any::<bool>().prop_map(|open| SubstituteSays::Open { open }),
    ]
}

fn to_server() -> impl Strategy<Value = ToServer> {
    let credential = prop_oneof![
        any::<[u8; 16]>().prop_map(|bytes| Credential::Seat(Token(bytes))),
        any::<[u8; 16]>().prop_map(|bytes| Credential::Board(LessonId(bytes))),
        any::<[u8; 16]>().prop_map(|bytes| Credential::Wall(Token(bytes))),
        any::<[u8; 16]>().prop_map(|bytes| Credential::Substitute(Token(bytes))),
    ];
    let hello = (credential, of(any::<u32>().prop_map(SeatNumber)), micros());
    prop_oneof![
        hello.prop_map(|(credential, resume, clock_step)| {
            ToServer::Hello(Hello { credential, resume, clock_step })
        }),
        (any::<u32>(), says()).prop_map(|(ask, says)| ToServer::Seat { ask: Ask(ask), says }),
        (any::<u32>(), board_says())
            .prop_map(|(ask, says)| ToServer::Board { ask: Ask(ask), says }),
        micros().prop_map(|device| ToServer::ClockAsk { device }),
        (nonce(), micros(), micros()).prop_map(|(nonce, received, answered)| {
            ToServer::ClockTold { nonce, received, answered }
        }),
        (any::<u32>(), substitute_says())
            .prop_map(|(ask, says)| ToServer::Substitute { ask: Ask(ask), says }),
    ]
}

fn seat_public() -> impl Strategy<Value = SeatPublic> {
    let numbers = any::<(bool, u8, bool, bool, u8, bool)>();
    (name(), picture(), kind(), numbers, vec(face(), 0..=4)).prop_map(
        |(name, picture, kind, numbers, laid_down)| {
            let (in_play, waiting, considering, cards_pass_by, letters, shielded) = numbers;
            SeatPublic {
                name,
                picture,
                kind,
                in_play,
                waiting,
                considering,
                cards_pass_by,
                letters,
                shielded,
                laid_down,
            }
        },
    )
}

fn table_view() -> impl Strategy<Value = TableView> {
    let phase = select(
        &[
            Phase::Waiting,
            Phase::Dealt,
            Phase::Playing,
            Phase::RoundOver,
            Phase::GameOver,
            Phase::Naming,
        ][..],
    );
    let numbers = any::<(u32, u32, bool, u8, u16, u16)>();
    let cheer = (seat(), cheer_picture()).prop_map(|(seat, picture)| Cheer { seat, picture });
    (numbers, phase, house(), seat(), vec(seat_public(), 0..=6), of(vec(cheer, 0..=3))).prop_map(
        |(numbers, phase, house, dealer, seats, cheers)| {
            let (game, round, paused, tokens, draw_pile, discard_pile) = numbers;
            TableView {
                game: GameNumber(game),
                round: RoundNumber(round),
                phase,
                paused,
                house,
                dealer,
                tokens,
                draw_pile,
                discard_pile,
                seats,
                cheers,
            }
        },
    )
}

fn hand_view() -> impl Strategy<Value = HandView> {
    let helper = of(helper());
    let card = || {
        (card_id(), face(), helper.clone()).prop_map(|(id, face, helper)| CardView {
            id,
            face,
            helper,
        })
    };
    let take_up = select(vec![
        TakeUp::FromPile,
        TakeUp::FromTray,
        TakeUp::DecideFirst,
        TakeUp::TrayEmpty,
        TakeUp::NextTrayFull,
        TakeUp::PilesEmpty,
        TakeUp::LaidDown,
        TakeUp::NotNow,
    ]);
    (vec(card(), 0..=4), of(card()), take_up, any::<(bool, bool, bool)>(), vec(card_id(), 0..=4))
        .prop_map(|(cards, considering, take_up, (can_undo, reminded, stand_in), hint)| HandView {
            cards,
            considering,
            take_up,
            can_undo,
            hint,
            reminded,
            stand_in,
        })
}

fn grab_view() -> impl Strategy<Value = GrabView> {
    let tap = prop_oneof![
        Just(Tap::None),
        Just(Tap::Taken),
        any::<u32>().prop_map(|wait_ms| Tap::FalseGrab { wait_ms }),
        any::<u32>().prop_map(|wait_ms| Tap::Excited { wait_ms }),
        any::<u32>().prop_map(|wait_ms| Tap::TooSoon { wait_ms }),
    ];
    (any::<(bool, bool, u16, bool)>(), of(nonce()), tap).prop_map(
        |((live, cue_sound, taps, nudged), cue, tap)| GrabView {
            live,
            cue,
            cue_sound,
            tap,
            taps,
            nudged,
        },
    )
}

fn ruling_view() -> impl Strategy<Value = RulingView> {
    let void = select(vec![
        VoidReason::LinkLost,
        VoidReason::Restarted,
        VoidReason::Unattended,
        VoidReason::Stopped,
        VoidReason::Frozen,
    ]);
    let end = prop_oneof![
        (seat(), any::<(u8, bool, bool)>()).prop_map(|(seat, (letters, out, shielded))| {
            RoundEnd::Last { seat, letters, out, shielded }
        }),
        Just(RoundEnd::AllLaidDown),
        void.prop_map(|reason| RoundEnd::Void { reason }),
    ];
    (round(), end, vec(face(), 0..=4), vec(seat(), 0..=6), any::<u32>()).prop_map(
        |(round, end, four, winners, next_deal_ms)| RulingView {
            round,
            end,
            four,
            winners,
            next_deal_ms,
        },
    )
}

fn care() -> impl Strategy<Value = CareView> {
    any::<(bool, bool, bool)>().prop_map(|(help_asked, on_break, partner_holds)| CareView {
        help_asked,
        on_break,
        partner_holds,
    })
}

fn attention() -> impl Strategy<Value = Attention> {
    (seat(), any::<u16>(), 0..5).prop_map(|(seat, number, kind)| match kind {
        0 => Attention::HelpAsked { seat, seconds: number },
        1 => Attention::WaitsFor { seat, seconds: number },
        2 => Attention::LinkLost { seat },
        3 => Attention::FalseGrabs { seat, count: number },
        _ => Attention::OnBreak { seat },
    })
}

fn news() -> impl Strategy<Value = SeatNews> {
    let sorting = || vec(face(), 0..=12);
    let snapshot =
        (table_view(), seat(), of(hand_view()), grab_view(), of(ruling_view()), sorting(), care());
    prop_oneof![
        snapshot.prop_map(|(table, you, hand, grab, ruling, sorting, care)| SeatNews::Snapshot(
            SeatView { table, you, hand, grab, ruling, sorting, care }
        )),
        table_view().prop_map(SeatNews::Table),
        of(hand_view()).prop_map(SeatNews::Hand),
        grab_view().prop_map(SeatNews::Grab),
        of(ruling_view()).prop_map(SeatNews::Ruling),
        sorting().prop_map(SeatNews::Sorting),
        care().prop_map(SeatNews::Care),
    ]
}

fn wall_view() -> impl Strategy<Value = WallView> {
    let wall_seat = || {
        (name(), picture(), kind(), any::<bool>())
            .prop_map(|(name, picture, kind, here)| WallSeat { name, picture, kind, here })
    };
    let seats = || vec(wall_seat(), 0..=6);
    let table = (name(), seats()).prop_map(|(name, seats)| WallTable { name, seats });
    let moments = vec(vec(seat(), 1..=3), 0..=5);
    let race = (any::<u32>(), name(), seats(), moments)
        .prop_map(|(number, table, seats, moments)| WallRace { number, table, seats, moments });
    let urls = [name(), name()];
    (name(), any::<bool>(), vec(picture(), 0..=4), urls, vec(table, 0..=5), of(race)).prop_map(
        |(name, open, row, [join_url, join_qr_svg], tables, race)| WallView {
            name,
            open,
            row,
            join_url,
            join_qr_svg,
            tables,
            race,
            shows: WallShows::default(),
        },
    )
}

fn board_view() -> impl Strategy<Value = BoardView> {
    let link = select(vec![
        None,
        Some(LinkQuality::Good),
        Some(LinkQuality::Slow),
        Some(LinkQuality::Poor),
        Some(LinkQuality::Gone),
    ]);
    let numbers = any::<(bool, bool, u16, u16, u16)>();
    let pupil = of(any::<u16>().prop_map(PupilIndex));
    let board_seat = (pupil, numbers, link, care(), of(support())).prop_map(
        |(pupil, (here, stand_in, waiting_s, false_grabs, help_s), link, care, support)| {
            BoardSeat { pupil, here, stand_in, waiting_s, false_grabs, link, care, help_s, support }
        },
    );
    let more = (any::<(bool, u16)>(), vec(attention(), 0..=6));
    let ids = (table_id(), any::<[u8; 16]>().prop_map(DeckId), any::<u8>());
    let table = (
        ids,
        [name(), name(), name()],
        table_view(),
        vec(board_seat, 0..=6),
        vec(seat(), 0..=6),
        more,
    )
        .prop_map(
            |(
                (table, deck, tokens_left),
                [name, deck_name, last_race],
                view,
                seats,
                winners,
                ((bell, moves_a_minute), attention),
            )| {
                BoardTable {
                    table,
                    name,
                    deck,
                    deck_name,
                    view,
                    seats,
                    tokens_left,
                    last_race,
                    winners,
                    bell,
                    moves_a_minute,
                    attention,
                    urgent: bell,
                }
            },
        );
    (wall_view(), any::<[u8; 16]>(), plan(), vec(table, 0..=3)).prop_map(
        |(wall, lesson, plan, tables)| BoardView {
            lesson: LessonId(lesson),
            name: wall.name.clone(),
            open: wall.open,
            row: wall.row,
            join_url: wall.join_url,
            join_qr_svg: wall.join_qr_svg,
            wall_url: wall.name.clone(),
            plan,
            next_deck: wall.name,
            table_decks: Vec::new(),
            seating: String::new(),
            by_need: tables.iter().map(|table| table.table).collect(),
            tables,
            unseated: Vec::new(),
            moving: Vec::new(),
            alone: Vec::new(),
            late_table: None,
            wall_shows: WallShows::default(),
        },
    )
}

fn substitute_view() -> impl Strategy<Value = SubstituteView> {
    board_view().prop_map(common::substitute_of)
}

fn to_client() -> impl Strategy<Value = ToClient> {
    let welcome = prop_oneof![
        (table_id(), seat(), any::<[u8; 16]>()).prop_map(|(table, seat, deck)| Welcome::Seat {
            table,
            seat,
            deck: DeckId(deck)
        }),
        Just(Welcome::Board),
        Just(Welcome::Wall),
        Just(Welcome::Substitute),
    ];
    let refusal = prop_oneof![
        select(common::REFUSALS.to_vec()),
        any::<u8>().prop_map(|serves| Refusal::DeckTooSmall { serves }),
    ];
    prop_oneof![
        1 => welcome.prop_map(ToClient::Welcome),
        4 => (any::<u32>(), news())
            .prop_map(|(number, news)| ToClient::Seat { number: SeatNumber(number), news }),
        1 => (round(), nonce()).prop_map(|(round, nonce)| ToClient::Cue { round, nonce }),
        1 => (any::<u32>(), refusal)
            .prop_map(|(ask, refusal)| ToClient::Refused { ask: Ask(ask), refusal }),
        1 => (micros(), micros(), micros())
            .prop_map(|(device, received, sent)| ToClient::Clock { device, received, sent }),
        1 => board_view().prop_map(ToClient::Board),
        1 => wall_view().prop_map(ToClient::Wall),
        1 => nonce().prop_map(|nonce| ToClient::TellClock { nonce }),
        1 => substitute_view().prop_map(ToClient::Substitute),
    ]
}

fn length(payload: &Payload) -> usize {
    match payload {
        Payload::Binary(bytes) => bytes.len(),
        Payload::Text(text) => text.len(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1_000, failure_persistence: None, ..ProptestConfig::default()
    })]

    #[test]
    fn what_a_device_says_arrives(message in to_server()) {
        for codec in Codec::ALL {
            let payload = codec.encode_to_server(&message).unwrap();
            prop_assert!(length(&payload) <= TO_SERVER_BYTES_MAX / 4, "room to spare");
            prop_assert_eq!(codec.decode_to_server(&payload), Ok(message.clone()));
        }
    }

    #[test]
    fn what_the_server_says_arrives(message in to_client()) {
        for codec in Codec::ALL {
            let payload = codec.encode_to_client(&message).unwrap();
            prop_assert!(length(&payload) <= TO_CLIENT_BYTES_MAX);
            prop_assert_eq!(codec.decode_to_client(&payload), Ok(message.clone()));
        }
    }

    /// The two subprotocols carry the same message: one read, written in the other and read again.
    #[test]
    fn both_subprotocols_say_the_same(message in to_client()) {
        let mut told = message.clone();
        for codec in [Codec::Json, Codec::Bincode, Codec::Json] {
            told = codec.decode_to_client(&codec.encode_to_client(&told).unwrap()).unwrap();
        }
        prop_assert_eq!(told, message);
    }
}

/// A board of ten full tables with long names, one of the largest messages there can be, fits.
#[test]
fn the_largest_board_fits() {
    let mut board = common::board_view();
    let mut table = board.tables.remove(0);
    table.name = "字".repeat(40);
    table.last_race = "字".repeat(600);
    table.seats = vec![table.seats.remove(0); 6];
    let mut seat = table.view.seats.remove(0);
    seat.name = "\u{1}".repeat(20);
    seat.laid_down = vec![FaceIndex(u16::MAX); 4];
    table.view.seats = vec![seat; 6];
    board.tables = vec![table; 10];
    board.join_qr_svg = "<".repeat(30_000);
    let message = ToClient::Board(board);
    for codec in Codec::ALL {
        let payload = codec.encode_to_client(&message).unwrap();
        assert!(length(&payload) <= TO_CLIENT_BYTES_MAX, "{codec:?}: {}", length(&payload));
        assert_eq!(codec.decode_to_client(&payload), Ok(message.clone()));
    }
}
