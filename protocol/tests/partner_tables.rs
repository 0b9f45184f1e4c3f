//! Whole rounds among partners at a deliberately naive table: a ring of hands, a pile and trays,
//! with none of the server's rules beyond what a partner needs. It shows that partners always
//! bring a round to its end, and that the same seeds play the same game. The real rules have
//! their own tests in the server.
#![allow(clippy::unwrap_used)]

use handround_protocol::hand::four_alike;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{
    CardId, FaceIndex, GameNumber, GroupIndex, Nonce, RoundNumber, SeatIndex,
};
use handround_protocol::message::{Grab, SeatSays};
use handround_protocol::partner::{Partner, Temper, Thought};
use handround_protocol::picture::Picture;
use handround_protocol::time::Micros;
use handround_protocol::view::{
    CardView, CareView, GrabView, HandView, Phase, SeatKind, SeatPublic, SeatView, TableView,
    TakeUp, Tap,
};
use proptest::prelude::*;
use std::collections::VecDeque;

const TRAY_LIMIT: usize = 3;
/// No round takes more draws. Of 2,000 rounds each at eleven kinds of tables, with sure and with
/// childlike partners, the longest took 547.
const DRAWS_MAX: u32 = 5_000;

#[derive(Clone, Default)]
struct Seat {
    hand: Vec<u16>,
    tray: VecDeque<u16>,
    considering: Option<u16>,
    shown_deal: bool,
    shown_cue: bool,
    token: bool,
    laid_down: bool,
}

/// One round. Cards are numbers; `groups[card]` is the card's match group.
struct NaiveTable {
    groups: Vec<GroupIndex>,
    seats: Vec<Seat>,
    pile: VecDeque<u16>,
    discards: VecDeque<u16>,
    house: HouseRule,
    draws: u32,
    log: Vec<(usize, Micros, SeatSays)>,
}

impl NaiveTable {
    fn deal(seats: usize, groups: usize, group_cards: usize, house: HouseRule, seed: u64) -> Self {
        let total = groups * group_cards;
        let group_of = |card: usize| GroupIndex(u16::try_from(card / group_cards).unwrap());
        let mut pile: Vec<u16> = (0..u16::try_from(total).unwrap()).collect();
        // A throwaway shuffle (Knuth's 64-bit linear congruence); the game's own is in the server.
        let mut state = seed;
        for last in (1..pile.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            pile.swap(last, usize::try_from(state >> 33).unwrap() % (last + 1));
        }
        let mut pile = VecDeque::from(pile);
        let hand = |pile: &mut VecDeque<u16>| pile.drain(..4).collect();
        let seats = (0..seats).map(|_| Seat { hand: hand(&mut pile), ..Seat::default() }).collect();
        NaiveTable {
            groups: (0..total).map(group_of).collect(),
            seats,
            pile,
            discards: VecDeque::new(),
            house,
            draws: 0,
            log: Vec::new(),
        }
    }

    fn live(&self) -> bool {
        self.house.has_tokens() && self.seats.iter().all(|seat| seat.shown_deal)
    }

    fn race_is_open(&self) -> bool {
        self.seats.iter().any(|seat| seat.token)
    }

    fn over(&self) -> bool {
        if self.house.has_tokens() {
            self.seats.iter().filter(|seat| seat.token).count() + 1 == self.seats.len()
        } else {
            self.seats.iter().all(|seat| seat.laid_down)
        }
    }

    fn has_four(&self, seat: usize) -> bool {
        let groups: Vec<GroupIndex> =
            self.seats[seat].hand.iter().map(|card| self.groups[usize::from(*card)]).collect();
        four_alike(&groups).is_some()
    }

    /// The next seat that still takes cards; whoever has laid down passes all on.
    fn next(&self, seat: usize) -> Option<usize> {
        (seat + 1..self.seats.len()).find(|next| !self.seats[*next].laid_down)
    }

    fn take_up(&self, seat: usize) -> TakeUp {
        let next = self.next(seat).map(|next| &self.seats[next]);
        let reserved = self.seats[seat].considering.is_some();
        let draws = self.seats[..seat].iter().all(|before| before.laid_down);
        match () {
            () if reserved => TakeUp::DecideFirst,
            () if self.seats[seat].laid_down => TakeUp::LaidDown,
            () if next.is_some_and(|next| next.tray.len() >= TRAY_LIMIT) => TakeUp::NextTrayFull,
            () if !self.seats[seat].tray.is_empty() => TakeUp::FromTray,
            () if !draws => TakeUp::TrayEmpty,
            () if self.pile.is_empty() && self.discards.is_empty() => TakeUp::PilesEmpty,
            () => TakeUp::FromPile,
        }
    }

    fn view(&self, seat: usize) -> SeatView {
        let card = |number: &u16| CardView {
            id: CardId(u64::from(*number).to_be_bytes()),
            face: FaceIndex(*number),
            helper: None,
        };
        let me = &self.seats[seat];
        let cue = self.race_is_open() && self.seats.len() > 2 && !me.token;
        SeatView {
            table: TableView {
                game: GameNumber(1),
                round: RoundNumber(1),
                phase: if self.live() { Phase::Playing } else { Phase::Dealt },
                paused: false,
                house: self.house.clone(),
                dealer: SeatIndex(0),
                tokens: u8::try_from(self.seats.len() - 1).unwrap(),
                draw_pile: u16::try_from(self.pile.len()).unwrap(),
                discard_pile: u16::try_from(self.discards.len()).unwrap(),
                seats: self
                    .seats
                    .iter()
                    .map(|seat| SeatPublic {
                        name: String::new(),
                        picture: Picture::Snail,
                        kind: SeatKind::Partner,
                        in_play: true,
                        waiting: u8::try_from(seat.tray.len()).unwrap(),
                        considering: seat.considering.is_some(),
                        cards_pass_by: false,
                        letters: 0,
                        shielded: false,
                        laid_down: if seat.laid_down { vec![FaceIndex(0)] } else { Vec::new() },
                    })
                    .collect(),
                cheers: None,
            },
            you: SeatIndex(u8::try_from(seat).unwrap()),
            hand: Some(HandView {
                cards: me.hand.iter().map(card).collect(),
                considering: me.considering.as_ref().map(card),
                take_up: self.take_up(seat),
                can_undo: false,
                hint: Vec::new(),
                reminded: false,
                stand_in: false,
            }),
            grab: GrabView {
                live: self.live(),
                cue: cue.then_some(Nonce([u8::try_from(seat).unwrap(); 16])),
                cue_sound: false,
                tap: if me.token { Tap::Taken } else { Tap::None },
                taps: me.token.into(),
                nudged: false,
            },
            ruling: None,
            sorting: Vec::new(),
            care: CareView::default(),
        }
    }

    /// Lets a move take effect; a partner that says something impossible fails the test.
    fn hear(&mut self, seat: usize, says: &SeatSays) {
        let number = |id: &CardId| u16::try_from(u64::from_be_bytes(id.0)).unwrap();
        let cued = self.view(seat).grab.cue;
        match says {
            SeatSays::DealShown { .. } => {
                assert!(!self.seats[seat].shown_deal, "the deal is shown once");
                self.seats[seat].shown_deal = true;
            }
            SeatSays::TakeUp => {
                let card = match self.take_up(seat) {
                    TakeUp::FromTray => self.seats[seat].tray.pop_front(),
                    TakeUp::FromPile => {
                        if self.pile.is_empty() {
                            std::mem::swap(&mut self.pile, &mut self.discards);
                        }
                        self.draws += 1;
                        self.pile.pop_front()
                    }
                    other => panic!("took up a card although {other:?}"),
                };
                self.seats[seat].considering = card;
            }
            SeatSays::Keep { .. } | SeatSays::Pass { .. } => {
                let me = &mut self.seats[seat];
                let considered = me.considering.take().unwrap();
                let leaves = match says {
                    SeatSays::Keep { card, give } => {
                        assert_eq!(number(card), considered);
                        let place = me.hand.iter().position(|card| *card == number(give)).unwrap();
                        std::mem::replace(&mut me.hand[place], considered)
                    }
                    _ => considered,
                };
                match self.next(seat) {
                    Some(next) => self.seats[next].tray.push_back(leaves),
                    None => self.discards.push_back(leaves),
                }
            }
            SeatSays::CueShown { cue, .. } => {
                assert_eq!(Some(*cue), cued);
                self.seats[seat].shown_cue = true;
            }
            SeatSays::Grab(Grab { cue: Some(cue), .. }) => {
                assert_eq!(Some(cue.nonce), cued);
                assert!(self.seats[seat].shown_cue && !self.seats[seat].token);
                self.seats[seat].token = true;
            }
            SeatSays::Grab(Grab { cue: None, .. }) => {
                assert!(self.has_four(seat) && self.live() && !self.seats[seat].token);
                self.seats[seat].token = true;
            }
            SeatSays::LayDown => {
                assert!(self.has_four(seat) && !self.house.has_tokens());
                self.seats[seat].laid_down = true;
                let waiting = std::mem::take(&mut self.seats[seat].tray);
                self.discards.extend(waiting);
            }
            other => panic!("a partner never says {other:?}"),
        }
    }

    /// Plays the round to its end; each partner is asked after everything that happens.
    fn play(&mut self, temper: Temper, seed: u64) -> Micros {
        let mut partners: Vec<Partner> = (0..self.seats.len())
            .map(|seat| Partner::new(temper, seed ^ (seat as u64 + 1)))
            .collect();
        let mut now = Micros(0);
        while !self.over() {
            assert!(self.draws < DRAWS_MAX, "the dealer drew {} cards", self.draws);
            let mut wake: Option<Micros> = None;
            let mut spoke = false;
            for (seat, partner) in partners.iter_mut().enumerate() {
                match partner.think(&self.view(seat), &self.groups, now) {
                    Thought::Say(says) => {
                        self.hear(seat, &says);
                        self.log.push((seat, now, says));
                        spoke = true;
                    }
                    Thought::WaitUntil(at) => wake = Some(wake.map_or(at, |wake| wake.min(at))),
                    Thought::Rest => {}
                }
                if self.over() {
                    return now;
                }
            }
            if !spoke {
                now = wake.expect("somebody at the table waits for a time, or the round is over");
            }
        }
        now
    }
}

fn tempers() -> impl Strategy<Value = Temper> {
    prop_oneof![
        Just(Temper::FIVE_TO_SIX),
        Just(Temper::SIX_TO_SEVEN),
        Just(Temper::SEVEN_TO_EIGHT),
        Just(Temper::QUICK),
        // Without a slip nothing but giving groups up can end a round that has locked.
        Just(Temper { slips_per_mille: 0, ..Temper::QUICK }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400, failure_persistence: None, ..ProptestConfig::default()
    })]

    /// From the smallest deck that serves a table to thirteen groups, with groups of 4 to 12.
    #[test]
    fn partners_always_end_a_round(
        seats in 2usize..=6,
        more_groups in 0usize..=9,
        group_cards in prop_oneof![3 => Just(4usize), 1 => 5usize..=12],
        calm in any::<bool>(),
        temper in tempers(),
        seed in any::<u64>(),
    ) {
        let house =
            if calm { HouseRule::Calm { rounds: 1 } } else { HouseRule::Stay { rounds: 1 } };
        let groups = seats + 2 + more_groups;
        let mut table = NaiveTable::deal(seats, groups, group_cards, house.clone(), seed);
        table.play(temper, seed);
        let mut again = NaiveTable::deal(seats, groups, group_cards, house, seed);
        again.play(temper, seed);
        prop_assert_eq!(&table.log, &again.log, "the same seed plays the same game");
    }
}

/// Simulated time, so that a temper cannot turn sluggish unnoticed. The server measures with the
/// real rules and chooses the groups in play by them; here a wide margin is enough.
#[test]
fn rounds_of_four_seats_last_this_long() {
    for (name, temper, groups) in [
        ("five to six", Temper::FIVE_TO_SIX, 6),
        ("six to seven", Temper::SIX_TO_SEVEN, 8),
        ("seven to eight", Temper::SEVEN_TO_EIGHT, 13),
    ] {
        let mut lengths: Vec<(u64, usize)> = (0..400)
            .map(|seed| {
                let mut table = NaiveTable::deal(4, groups, 4, HouseRule::Stay { rounds: 1 }, seed);
                let end = table.play(temper, seed);
                let draws = table
                    .log
                    .iter()
                    .filter(|(seat, _, says)| *seat == 0 && *says == SeatSays::TakeUp)
                    .count();
                (end.ms() / 1_000, draws)
            })
            .collect();
        lengths.sort_unstable();
        let mut draws: Vec<usize> = lengths.iter().map(|(_, draws)| *draws).collect();
        draws.sort_unstable();
        println!(
            "{name}, {groups} groups: median {} s, nine in ten under {} s, median dealer draws {}",
            lengths[200].0, lengths[360].0, draws[200]
        );
        assert!(
            (45..=200).contains(&lengths[200].0),
            "{name}: a child's round is about two minutes"
        );
    }
}

/// Two partners each held the half of two groups and waited for each other for ever, until a hand
/// that was given up as a whole took fresh cards.
#[test]
fn halves_of_two_groups_do_not_lock_the_table() {
    let sure = Temper { slips_per_mille: 0, ..Temper::QUICK };
    for (seats, groups, group_cards, seed) in [
        (5, 7, 4, 4_991_022_570_246_915_466),
        (5, 7, 4, 730_967_099_111_471_871),
        (6, 12, 4, 4_560_798_584_100_848_769),
        (6, 10, 6, 15_745_607_580_820_737_665),
    ] {
        let house = HouseRule::Calm { rounds: 1 };
        NaiveTable::deal(seats, groups, group_cards, house, seed).play(sure, seed);
    }
}
