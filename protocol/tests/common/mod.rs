//! Sample messages that between them show every variant of the wire, shared by the wire's tests.
#![allow(dead_code, clippy::unwrap_used)] // Each test binary uses a part of it.

pub mod source;

use handround_protocol::cheer::{Cheer, CheerPicture};
use handround_protocol::face::{Face, FaceKind, FaceSheet, HelpedFace, NamedPicture};
use handround_protocol::house::{AgeBand, FalseGrabCost, HouseRule, MissedFour, Pace, Timing};
use handround_protocol::id::*;
use handround_protocol::join::*;
use handround_protocol::message::*;
use handround_protocol::picture::{GARDEN_HELPERS, Picture, THINGS};
use handround_protocol::refusal::Refusal;
use handround_protocol::skill::{Accent, Confusables, Skill, Switches};
use handround_protocol::substitute::*;
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::*;
use handround_protocol::wall::*;
use handround_protocol::wishes::*;

pub fn deck() -> DeckId {
    DeckId([0xd0; 16])
}

pub fn lesson() -> LessonId {
    LessonId([0x1e; 16])
}

pub fn table() -> TableId {
    TableId([0x7a; 16])
}

pub fn token() -> Token {
    Token(*b"secret of a seat")
}

pub fn nonce() -> Nonce {
    Nonce([0x5a; 16])
}

/// The card whose face is this one, with an invented id.
pub fn card(face: u16) -> CardView {
    CardView { id: card_id(face), face: FaceIndex(face), helper: None }
}

pub fn card_id(face: u16) -> CardId {
    CardId((0xc4d0_0000_0000_0000 + u64::from(face)).to_be_bytes())
}

pub fn support() -> Support {
    Support {
        helpers: vec![HelperGiven { helper: Helper::DotsUnder, held: false, right_uses: 4 }],
        unhurried: true,
        head_start: true,
        missed_four: Some(MissedFour::Tell),
    }
}

pub fn plan() -> LessonPlan {
    LessonPlan {
        ages: AgeBand::FiveToSix,
        house: HouseRule::Stay { rounds: 5 },
        number_min: 1,
        number_max: 6,
        groups: 6,
        missed_four: MissedFour::HintAfter { seconds: 10 },
        cue_sound: true,
        cards_come_by_themselves: true,
        tray_limit: 3,
        skill: Skill::Numbers,
        confusables: Confusables::Allow,
        wishes: DeckWishes::default(),
        naming_walk: true,
        accent: Accent::ANY,
        switches: Switches::default(),
        timing: Timing { pace: Pace::Unhurried, partners: Pace::Brisk, ..Timing::default() },
        cheering: true,
    }
}

/// Every skill, and every way with confusable pairs.
fn skills() -> Vec<(Skill, Confusables)> {
    use Confusables::{Allow, Avoid, Target};
    vec![
        (Skill::TeenNumbers, Allow),
        (Skill::SumsWithin { max: 10 }, Allow),
        (Skill::PartnersOfTen, Allow),
        (Skill::OneMore { max: 20 }, Allow),
        (Skill::TenMore, Allow),
        (Skill::Arrays, Allow),
        (Skill::PlaceValue { max: 999 }, Target),
        (Skill::Letters, Avoid),
        (Skill::FirstSounds, Allow),
        (Skill::ShortVowelWords, Target),
        (Skill::WordFamilies, Allow),
        (Skill::Rhymes, Allow),
        (Skill::SightWords, Allow),
        (Skill::ClockTimes { step_minutes: 30 }, Avoid),
        (Skill::Coins { cents_max: 100 }, Allow),
        (Skill::Shapes, Allow),
        (Skill::EqualShares, Allow),
        (Skill::OurClass, Allow),
        (Skill::OwnDeck { deck: OwnDeckId([0x0d; 16]) }, Allow),
        (Skill::FinalSounds, Allow),
        (Skill::MiddleVowels, Allow),
        (Skill::Digraphs, Allow),
        (Skill::Blends, Allow),
        (Skill::SilentE, Target),
        (Skill::VowelTeams, Allow),
        (Skill::RVowels, Allow),
        (Skill::Syllables, Allow),
        (Skill::Contractions, Allow),
        (Skill::Compounds, Allow),
        (Skill::BeforeAfter { max: 20 }, Allow),
        (Skill::Solids, Avoid),
    ]
}

pub fn table_view() -> TableView {
    let seat = |name: &str, picture, kind| SeatPublic {
        name: name.into(),
        picture,
        kind,
        in_play: true,
        waiting: 1,
        considering: false,
        cards_pass_by: false,
        letters: 0,
        shielded: false,
        laid_down: Vec::new(),
    };
    TableView {
        game: GameNumber(1),
        round: RoundNumber(2),
        phase: Phase::Playing,
        paused: false,
        house: HouseRule::Stay { rounds: 5 },
        dealer: SeatIndex(1),
        tokens: 2,
        draw_pile: 9,
        discard_pile: 1,
        seats: vec![
            seat("Mika", Picture::Boat, SeatKind::Pupil),
            seat("Snail", Picture::Snail, SeatKind::Partner),
            seat("Ada", Picture::Kite, SeatKind::Pupil),
        ],
        cheers: None,
    }
}

pub fn hand_view() -> HandView {
    HandView {
        cards: [3, 17, 9, 20].map(card).to_vec(),
        considering: Some(card(12)),
        take_up: TakeUp::DecideFirst,
        can_undo: false,
        hint: Vec::new(),
        reminded: false,
        stand_in: false,
    }
}

pub fn grab_view() -> GrabView {
    GrabView { live: true, cue: None, cue_sound: true, tap: Tap::None, taps: 0, nudged: false }
}

pub fn ruling_view(end: RoundEnd) -> RulingView {
    RulingView {
        round: RoundNumber(2),
        end,
        four: [3, 12, 17, 22].map(FaceIndex).to_vec(),
        winners: Vec::new(),
        next_deal_ms: 10_000,
    }
}

pub fn seat_view() -> SeatView {
    SeatView {
        table: table_view(),
        you: SeatIndex(0),
        hand: Some(hand_view()),
        grab: grab_view(),
        ruling: None,
        sorting: Vec::new(),
        care: CareView::default(),
    }
}

pub fn board_view() -> BoardView {
    BoardView {
        lesson: lesson(),
        name: "Garden class".into(),
        open: true,
        row: vec![Picture::Apple, Picture::Boat, Picture::Key, Picture::Sun],
        join_url: "http://192.0.2.7:8787/".into(),
        join_qr_svg: "<svg/>".into(),
        wall_url: "http://192.0.2.7:8787/wall".into(),
        plan: plan(),
        next_deck: "Numbers 1 to 6".into(),
        table_decks: vec![TableDeck { table: table(), name: "Letters".into() }],
        seating: "11 children at tables of 4, 4 and 3.".into(),
        tables: vec![BoardTable {
            table: table(),
            name: "Table 1".into(),
            deck: deck(),
            deck_name: "Numbers 1 to 6".into(),
            view: table_view(),
            seats: vec![BoardSeat {
                pupil: Some(PupilIndex(0)),
                here: true,
                stand_in: false,
                waiting_s: 4,
                false_grabs: 1,
                link: Some(LinkQuality::Slow),
                care: CareView { help_asked: true, on_break: false, partner_holds: false },
                help_s: 7,
                support: Some(support()),
            }],
            tokens_left: 1,
            last_race: "Mika found four and took a token.".into(),
            winners: vec![SeatIndex(0)],
            bell: true,
            moves_a_minute: 24,
            attention: vec![
                Attention::HelpAsked { seat: SeatIndex(0), seconds: 7 },
                Attention::WaitsFor { seat: SeatIndex(1), seconds: 40 },
                Attention::LinkLost { seat: SeatIndex(2) },
                Attention::FalseGrabs { seat: SeatIndex(0), count: 3 },
                Attention::OnBreak { seat: SeatIndex(1) },
            ],
            urgent: true,
        }],
        by_need: vec![table()],
        unseated: vec![PupilLine {
            pupil: PupilIndex(4),
            name: "Noor".into(),
            picture: Picture::Kite,
            best: Some(table()),
        }],
        moving: vec![PupilMoving { pupil: PupilIndex(0), table: Some(table()) }],
        alone: Vec::new(),
        late_table: Some(table()),
        wall_shows: WallShows::default(),
    }
}

pub fn substitute_view() -> SubstituteView {
    substitute_of(board_view())
}

/// A substitute's page with all that a board has for it.
pub fn substitute_of(board: BoardView) -> SubstituteView {
    let seat = |seat: &BoardSeat| SubstituteSeat {
        here: seat.here,
        stand_in: seat.stand_in,
        care: seat.care,
    };
    let table = |table: BoardTable| SubstituteTable {
        table: table.table,
        name: table.name,
        seats: table.seats.iter().map(seat).collect(),
        view: table.view,
        bell: table.bell,
        attention: table.attention,
    };
    SubstituteView {
        tables: board.tables.into_iter().map(table).collect(),
        name: board.name,
        open: board.open,
        row: board.row,
        join_url: board.join_url,
        join_qr_svg: board.join_qr_svg,
        wall_url: board.wall_url,
        plan: board.plan,
        next_deck: board.next_deck,
    }
}

pub fn wall_view() -> WallView {
    WallView {
        name: "Garden class".into(),
        open: true,
        row: THINGS.into_iter().chain(GARDEN_HELPERS).collect(),
        join_url: "http://192.0.2.7:8787/".into(),
        join_qr_svg: "<svg/>".into(),
        tables: vec![WallTable {
            name: "Table 1".into(),
            seats: vec![WallSeat {
                name: "Mika".into(),
                picture: Picture::Boat,
                kind: SeatKind::Pupil,
                here: true,
            }],
        }],
        race: Some(WallRace {
            number: 1,
            table: "Table 1".into(),
            seats: vec![WallSeat {
                name: "Mika".into(),
                picture: Picture::Boat,
                kind: SeatKind::Pupil,
                here: true,
            }],
            moments: vec![vec![SeatIndex(0)]],
        }),
        shows: WallShows {
            four: Some(WallFour { deck: deck(), cards: vec![Some(FaceIndex(3)), None] }),
            model: Some(WallModel {
                deck: deck(),
                step: 2,
                steps: 20,
                words: "The mole passes it on.".into(),
                tokens: 2,
                draw_pile: 7,
                seats: vec![ModelSeat {
                    name: "Mole".into(),
                    picture: Picture::Mole,
                    hand: vec![FaceIndex(1)],
                    considering: Some(FaceIndex(2)),
                    waiting: 1,
                    token: false,
                    acts: true,
                }],
            }),
        },
    }
}

/// Every way a move can be refused.
pub const REFUSALS: [Refusal; 39] = [
    Refusal::NoRound,
    Refusal::Paused,
    Refusal::NotInPlay,
    Refusal::AlreadyConsidering,
    Refusal::NothingConsidered,
    Refusal::NotYourCard,
    Refusal::TrayEmpty,
    Refusal::PilesEmpty,
    Refusal::NextTrayFull,
    Refusal::TooLateToUndo,
    Refusal::TokensNotLive,
    Refusal::HasToken,
    Refusal::Wait,
    Refusal::NoTokens,
    Refusal::NoFourAlike,
    Refusal::HasLaidDown,
    Refusal::StandInNeverFirst,
    Refusal::NotYourCue,
    Refusal::GameRunning,
    Refusal::NoGame,
    Refusal::RuleNotPlayable,
    Refusal::DeckTooSmall { serves: 3 },
    Refusal::SeatCount,
    Refusal::NoSuchTable,
    Refusal::NoSuchSeat,
    Refusal::ServerTrouble,
    Refusal::PartnerHolds,
    Refusal::NothingToDo,
    Refusal::RoundRunning,
    Refusal::NameNotPossible,
    Refusal::SitsThere,
    Refusal::ClassFull,
    Refusal::NothingToShow,
    Refusal::CheeringOff,
    Refusal::CheeringNotNow,
    Refusal::CheeringEnough,
    Refusal::OnlyWatching,
    Refusal::DeckNotPossible,
    Refusal::NoRace,
];

/// What a device can say, each with a name for the stored file.
pub fn to_server() -> Vec<(String, ToServer)> {
    let mut all = Vec::new();
    let mut add = |name: &str, message| all.push((name.to_owned(), message));
    for (name, credential) in [
        ("hello of a seat", Credential::Seat(token())),
        ("hello of a board", Credential::Board(lesson())),
        ("hello of a wall", Credential::Wall(token())),
        ("hello of a substitute", Credential::Substitute(token())),
    ] {
        let hello = Hello { credential, resume: None, clock_step: Micros(100) };
        add(name, ToServer::Hello(hello));
    }
    let credential = Credential::Seat(token());
    let hello = Hello { credential, resume: Some(SeatNumber(41)), clock_step: Micros(5) };
    add("hello after a break", ToServer::Hello(hello));
    let cue = GrabCue { nonce: nonce(), shown: Micros(61_250_000) };
    let says = [
        ("deal shown", SeatSays::DealShown { round: RoundNumber(2) }),
        ("take up", SeatSays::TakeUp),
        ("keep", SeatSays::Keep { card: card_id(12), give: card_id(9) }),
        ("pass", SeatSays::Pass { card: card_id(12) }),
        ("undo", SeatSays::Undo),
        (
            "grab without a cue",
            SeatSays::Grab(Grab { cue: None, tap: Micros(61_830_400), token: 1 }),
        ),
        (
            "grab on a cue",
            SeatSays::Grab(Grab { cue: Some(cue), tap: Micros(61_830_400), token: 0 }),
        ),
        ("cue shown", SeatSays::CueShown { cue: nonce(), shown: Micros(61_250_000) }),
        ("lay down", SeatSays::LayDown),
        ("in view", SeatSays::InView { visible: true }),
        ("help", SeatSays::Help { wanted: true }),
        ("break", SeatSays::Break { wanted: true }),
        ("pictures named", SeatSays::PicturesNamed),
        ("cheer", SeatSays::Cheer { picture: CheerPicture::Sun }),
        ("covered", SeatSays::Covered { covered: true }),
    ];
    for (ask, (name, says)) in (1..).zip(says) {
        add(name, ToServer::Seat { ask: Ask(ask), says });
    }
    let says = [
        ("start one table", BoardSays::Start { table: Some(table()) }),
        ("start all tables", BoardSays::Start { table: None }),
        ("pause", BoardSays::Pause { table: None }),
        ("resume", BoardSays::Resume { table: None }),
        ("end", BoardSays::End { table: None }),
        ("plan", BoardSays::Plan(plan())),
        ("open", BoardSays::Open { open: false }),
        ("free a place", BoardSays::FreePlace { pupil: PupilIndex(3) }),
        ("end the lesson", BoardSays::EndLesson),
        ("nudge", BoardSays::Nudge { table: table(), seat: SeatIndex(1) }),
        ("help given", BoardSays::HelpGiven { table: table(), seat: SeatIndex(1) }),
        ("hand over", BoardSays::HandOver { table: table(), seat: SeatIndex(1), partner: true }),
        ("bell", BoardSays::Bell { table: None, ring: true }),
        ("show a race", BoardSays::ShowRace { table: table() }),
        ("support", BoardSays::Support { pupil: PupilIndex(3), support: support() }),
        ("move a pupil", BoardSays::MovePupil { pupil: PupilIndex(3), table: Some(table()) }),
        ("a pupil leaves", BoardSays::MovePupil { pupil: PupilIndex(3), table: None }),
        ("a late-comer", BoardSays::AddPupil { name: "Noor".into(), table: table() }),
        (
            "four on the wall",
            BoardSays::Wall(WallSays::Four {
                deck: deck(),
                faces: (0..4).map(FaceIndex).collect(),
            }),
        ),
        ("the last four", BoardSays::Wall(WallSays::LastFour { table: table() })),
        ("hide one", BoardSays::Wall(WallSays::Hide { place: 2 })),
        ("show all", BoardSays::Wall(WallSays::ShowAll)),
        ("model", BoardSays::Wall(WallSays::ModelOpen)),
        ("model on", BoardSays::Wall(WallSays::ModelNext)),
        ("model again", BoardSays::Wall(WallSays::ModelBack)),
        ("wall free", BoardSays::Wall(WallSays::TakeOff)),
    ];
    for (ask, (name, says)) in (1..).zip(says) {
        add(name, ToServer::Board { ask: Ask(ask), says });
    }
    let plans = [
        (
            AgeBand::SixToSeven,
            HouseRule::Letters { word: "LEAF".into() },
            MissedFour::FindItYourself,
        ),
        (AgeBand::SevenToEight, HouseRule::Out { shield: true }, MissedFour::Tell),
        (AgeBand::FiveToSix, HouseRule::Calm { rounds: 3 }, MissedFour::HintAfter { seconds: 10 }),
    ];
    for (ages, house, missed_four) in plans {
        let name = format!("plan for {ages:?}");
        let says = BoardSays::Plan(LessonPlan { ages, house, missed_four, ..plan() });
        add(&name, ToServer::Board { ask: Ask(9), says });
    }
    for (skill, confusables) in skills() {
        let name = format!("plan for {skill:?}");
        let says = BoardSays::Plan(LessonPlan { skill, confusables, ..plan() });
        add(&name, ToServer::Board { ask: Ask(10), says });
    }
    let wishes = DeckWishes {
        kinds_out: vec![FaceKind::Fingers],
        groups_in: vec![GroupKey("4".into())],
        groups_out: vec![GroupKey("5".into())],
        cards_in: vec![CardKey("TenFrame 4".into())],
        cards_out: vec![CardKey("Dots 4".into())],
    };
    let timing = Timing { false_grab: FalseGrabCost::LongWait, ..Timing::default() };
    let says = BoardSays::Plan(LessonPlan { wishes, timing, ..plan() });
    add("plan with wishes for the deck", ToServer::Board { ask: Ask(11), says });
    add("clock ask", ToServer::ClockAsk { device: Micros(61_250_000) });
    let (received, answered) = (Micros(61_250_000), Micros(61_250_040));
    add("clock told", ToServer::ClockTold { nonce: nonce(), received, answered });
    let (table, seat) = (table(), SeatIndex(1));
    let says = [
        ("substitute starts", SubstituteSays::Start { table: None }),
        ("substitute freezes", SubstituteSays::Freeze { table: Some(table) }),
        ("substitute goes on", SubstituteSays::GoOn { table: None }),
        ("substitute rings", SubstituteSays::Bell { table: None, ring: true }),
        ("substitute helped", SubstituteSays::HelpGiven { table, seat }),
        ("substitute hands over", SubstituteSays::HandOver { table, seat, partner: true }),
        ("substitute opens", SubstituteSays::Open { open: true }),
    ];
    for (ask, (name, says)) in (1..).zip(says) {
        add(name, ToServer::Substitute { ask: Ask(ask), says });
    }
    all
}

/// What reaches a device, each with a name for the stored file.
pub fn to_client() -> Vec<(String, ToClient)> {
    let mut all = Vec::new();
    let mut add = |name: &str, message| all.push((name.to_owned(), message));
    let seat = Welcome::Seat { table: table(), seat: SeatIndex(0), deck: deck() };
    add("welcome to a seat", ToClient::Welcome(seat));
    add("welcome to a board", ToClient::Welcome(Welcome::Board));
    add("welcome to a wall", ToClient::Welcome(Welcome::Wall));
    add("welcome to a substitute", ToClient::Welcome(Welcome::Substitute));

    let mut news: Vec<(String, SeatNews)> = vec![
        ("snapshot".into(), SeatNews::Snapshot(seat_view())),
        ("table".into(), SeatNews::Table(table_view())),
        ("hand".into(), SeatNews::Hand(Some(hand_view()))),
        ("no hand".into(), SeatNews::Hand(None)),
        ("grab".into(), SeatNews::Grab(grab_view())),
        ("grab with a cue".into(), SeatNews::Grab(GrabView { cue: Some(nonce()), ..grab_view() })),
        ("no ruling".into(), SeatNews::Ruling(None)),
        ("sorting".into(), SeatNews::Sorting(vec![FaceIndex(4), FaceIndex(51)])),
        (
            "care".into(),
            SeatNews::Care(CareView { help_asked: true, on_break: true, partner_holds: false }),
        ),
    ];
    for phase in [Phase::Waiting, Phase::Dealt, Phase::RoundOver, Phase::GameOver, Phase::Naming] {
        let view = TableView { phase, ..table_view() };
        news.push((format!("table, {phase:?}"), SeatNews::Table(view)));
    }
    let pictures = [CheerPicture::Sun, CheerPicture::Flower, CheerPicture::Clap];
    let cheers = pictures.map(|picture| Cheer { seat: SeatIndex(2), picture }).to_vec();
    let view = TableView { phase: Phase::RoundOver, cheers: Some(cheers), ..table_view() };
    news.push(("table, cheered".into(), SeatNews::Table(view)));
    let houses = [
        HouseRule::Letters { word: "LEAF".into() },
        HouseRule::Out { shield: false },
        HouseRule::Calm { rounds: 3 },
    ];
    for house in houses {
        let name = format!("table under {house:?}");
        news.push((name, SeatNews::Table(TableView { house, ..table_view() })));
    }
    for take_up in [
        TakeUp::FromPile,
        TakeUp::FromTray,
        TakeUp::TrayEmpty,
        TakeUp::NextTrayFull,
        TakeUp::PilesEmpty,
        TakeUp::LaidDown,
        TakeUp::NotNow,
    ] {
        let view = HandView { take_up, considering: None, can_undo: true, ..hand_view() };
        news.push((format!("hand, {take_up:?}"), SeatNews::Hand(Some(view))));
    }
    for helper in [
        Helper::DotsUnder,
        Helper::FirstSound,
        Helper::PictureBeside,
        Helper::LargerPrint,
        Helper::SpanishWord,
    ] {
        let helped = CardView { helper: Some(helper), ..card(12) };
        let view = HandView { considering: Some(helped), ..hand_view() };
        news.push((format!("hand with {helper:?}"), SeatNews::Hand(Some(view))));
    }
    for tap in [
        Tap::Taken,
        Tap::FalseGrab { wait_ms: 3_000 },
        Tap::Excited { wait_ms: 2_000 },
        Tap::TooSoon { wait_ms: 1_000 },
    ] {
        news.push((format!("{tap:?}"), SeatNews::Grab(GrabView { tap, taps: 1, ..grab_view() })));
    }
    for end in [
        RoundEnd::Last { seat: SeatIndex(1), letters: 0, out: false, shielded: false },
        RoundEnd::AllLaidDown,
        RoundEnd::Void { reason: VoidReason::LinkLost },
        RoundEnd::Void { reason: VoidReason::Restarted },
        RoundEnd::Void { reason: VoidReason::Unattended },
        RoundEnd::Void { reason: VoidReason::Stopped },
        RoundEnd::Void { reason: VoidReason::Frozen },
    ] {
        news.push((format!("ruling {end:?}"), SeatNews::Ruling(Some(ruling_view(end)))));
    }
    for (number, (name, news)) in (1..).zip(news) {
        add(&name, ToClient::Seat { number: SeatNumber(number), news });
    }

    add("cue", ToClient::Cue { round: RoundNumber(2), nonce: nonce() });
    for (ask, refusal) in (1..).zip(REFUSALS) {
        add(&format!("refused {refusal:?}"), ToClient::Refused { ask: Ask(ask), refusal });
    }
    let (device, received, sent) =
        (Micros(61_250_000), Micros(1_790_000_000_000_000), Micros(1_790_000_000_000_180));
    add("clock", ToClient::Clock { device, received, sent });
    add("board", ToClient::Board(board_view()));
    for link in [LinkQuality::Good, LinkQuality::Poor, LinkQuality::Gone] {
        let mut board = board_view();
        board.tables[0].seats[0].link = Some(link);
        add(&format!("board, link {link:?}"), ToClient::Board(board));
    }
    add("wall", ToClient::Wall(wall_view()));
    add("tell clock", ToClient::TellClock { nonce: nonce() });
    add("substitute", ToClient::Substitute(substitute_view()));
    all
}

/// The small bodies over HTTP, JSON only: the type's name and an example.
pub fn http() -> Vec<(&'static str, String)> {
    fn json(body: &impl serde::Serialize) -> String {
        serde_json::to_string(body).unwrap()
    }
    let kinds = [
        FaceKind::Numeral,
        FaceKind::NumberWord,
        FaceKind::TenFrame,
        FaceKind::Tally,
        FaceKind::Dots,
        FaceKind::Fingers,
        FaceKind::TenAndOnes,
        FaceKind::Blocks,
        FaceKind::ExpandedForm,
        FaceKind::PlaceNames,
        FaceKind::Addition,
        FaceKind::Subtraction,
        FaceKind::DotParts,
        FaceKind::NumberBond,
        FaceKind::FrameParts,
        FaceKind::NumberPath,
        FaceKind::MoreOrLess,
        FaceKind::Array,
        FaceKind::EqualGroups,
        FaceKind::RowWords,
        FaceKind::Capital,
        FaceKind::SmallLetter,
        FaceKind::BookLetter,
        FaceKind::BookCapital,
        FaceKind::Picture,
        FaceKind::Word,
        FaceKind::WordCapitals,
        FaceKind::WordFirstCapital,
        FaceKind::WordBook,
        FaceKind::SoundBoxes,
        FaceKind::ClockRound,
        FaceKind::ClockSquare,
        FaceKind::DigitalTime,
        FaceKind::TimeWords,
        FaceKind::Coins,
        FaceKind::CentSign,
        FaceKind::DollarSign,
        FaceKind::MoneyWords,
        FaceKind::Shape,
        FaceKind::ShapeName,
        FaceKind::ShapeThing,
        FaceKind::Shares,
        FaceKind::ShareWords,
        FaceKind::LetterTeam,
        FaceKind::Claps,
        FaceKind::PictureParts,
        FaceKind::WordParts,
        FaceKind::ShortForm,
        FaceKind::ShortFormCapitals,
        FaceKind::LongForm,
        FaceKind::LongFormCapitals,
        FaceKind::Solid,
        FaceKind::SolidName,
        FaceKind::SolidThing,
        FaceKind::Emoji,
        FaceKind::OtherPicture,
    ];
    let face = |kind| Face {
        kind,
        group: GroupIndex(2),
        svg: "<svg/>".into(),
        label: "a card".into(),
        label_after: "seven".into(),
    };
    let row = vec![Picture::Apple, Picture::Boat, Picture::Key, Picture::Sun];
    let place = JoinPlace {
        pupil: PupilIndex(0),
        name: "Mika".into(),
        picture: Picture::Boat,
        taken: false,
    };
    vec![
        ("JoinRow", json(&JoinRow { row })),
        ("JoinLink", json(&JoinLink { code: token() })),
        (
            "JoinPlaces",
            json(&JoinPlaces {
                ticket: token(),
                lesson: "Garden class".into(),
                places: vec![place],
            }),
        ),
        (
            "SubstituteDay",
            json(&SubstituteDay {
                from: Micros(1_790_000_000_000_000),
                until: Micros(1_790_086_400_000_000),
            }),
        ),
        (
            "SubstituteLink",
            json(&SubstituteLink {
                url: "http://192.0.2.7:8787/substitute#5a".into(),
                day: SubstituteDay {
                    from: Micros(1_790_000_000_000_000),
                    until: Micros(1_790_086_400_000_000),
                },
            }),
        ),
        (
            "SubstituteSlotAsk",
            json(&SubstituteSlotAsk {
                code: Token([0x5a; 16]),
                choose: Some(handround_protocol::workshop::SlotAsked { minutes: Some(20) }),
            }),
        ),
        (
            "SubstituteAsk",
            json(&SubstituteAsk {
                code: token(),
                answer: Some(SubstituteAnswer { number: 3, admit: true }),
            }),
        ),
        (
            "SubstituteDoor",
            json(&SubstituteDoor {
                day: SubstituteDay {
                    from: Micros(1_790_000_000_000_000),
                    until: Micros(1_790_086_400_000_000),
                },
                waiting: Vec::new(),
            }),
        ),
        ("JoinPick", json(&JoinPick { ticket: token(), pupil: PupilIndex(0) })),
        ("Joined", json(&Joined { token: token(), name: "Mika".into(), picture: Picture::Boat })),
        (
            "HttpRefusal",
            json(&HttpRefusal { message: "That name is on the list twice.".into(), line: Some(3) }),
        ),
        (
            "LessonMade",
            json(&LessonMade {
                lesson: lesson(),
                seating: "11 children at tables of 4, 4 and 3.".into(),
            }),
        ),
        (
            "LessonLine",
            json(&LessonLine {
                lesson: lesson(),
                name: "Garden class".into(),
                made_at: Micros::from_s(1_795_770_000),
                pupils: 11,
                tables: 3,
            }),
        ),
        (
            "PartnerSeat",
            json(&PartnerSeat { table: table(), token: token(), kind: SeatKind::Partner }),
        ),
        (
            "RaceTold",
            json(&RaceTold {
                sentence: "Mika saw four alike; Ada reacted in 0.43 s and was last.".into(),
                lines: vec![
                    "Mika: no measured reaction".into(),
                    "Ada: 431 ms; our own times allow 402 to 440 ms".into(),
                ],
                picture_svg: "<svg/>".into(),
                can_replay: true,
            }),
        ),
        (
            "HandTold",
            json(&HandTold {
                name: "Mika".into(),
                deck: deck(),
                cards: vec![FaceIndex(3), FaceIndex(12), FaceIndex(17), FaceIndex(22)],
                considering: Some(FaceIndex(5)),
            }),
        ),
        (
            "FaceSheet",
            json(&FaceSheet {
                deck: deck(),
                name: "Numbers 1 to 6".into(),
                faces: kinds.map(face).to_vec(),
                with_helper: vec![HelpedFace {
                    face: FaceIndex(0),
                    helper: Helper::DotsUnder,
                    svg: "<svg/>".into(),
                }],
                naming: vec![NamedPicture {
                    face: FaceIndex(0),
                    word: "cat".into(),
                    svg: "<svg/>".into(),
                }],
            }),
        ),
    ]
}
