//! Rules told as stories: a hand-made table on which every card is known.

use super::super::Rules;
use super::super::command::{By, Command, LinkBounds, Seed};
use super::super::event::{Entry, Event, SeatPlan};
use super::super::table::Table;
use super::{deck, rules};
use crate::race::Kind;
use handround_protocol::house::{AgeBand, FalseGrabCost, HouseRule, MissedFour, Pace, Timing};
use handround_protocol::id::{CardId, FaceIndex, GameNumber, RoundNumber, SeatIndex};
use handround_protocol::message::{Grab, GrabCue, SeatSays};
use handround_protocol::picture::THINGS;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{LessonPlan, Phase, RoundEnd, SeatKind, TakeUp, Tap, VoidReason};

/// A table whose deal was chosen by the story.
pub(super) struct Story {
    pub(super) table: Table,
    pub(super) now: Micros,
    pub(super) events: Vec<Event>,
}

impl Story {
    /// Seats of pupils with a link, seat 0 deals; hands and pile as card numbers of a deck of
    /// groups of four: 0 to 3 are the first group, 4 to 7 the second, and so on.
    pub(super) fn new(rules: Rules, hands: &[[u16; 4]], pile: &[u16]) -> Story {
        Story::with(rules, hands, pile, |_| {})
    }

    /// The same, with something that happens before the deal.
    pub(super) fn with(
        rules: Rules,
        hands: &[[u16; 4]],
        pile: &[u16],
        before: impl FnOnce(&mut Story),
    ) -> Story {
        let plans = (0_u16..).zip(hands).map(|(index, _)| SeatPlan {
            name: format!("Pupil {index}"),
            picture: THINGS[usize::from(index)],
            kind: SeatKind::Pupil,
            pupil: Some(handround_protocol::id::PupilIndex(index)),
            by: By::Child,
        });
        let seated = Table::seat(plans.collect()).unwrap();
        let mut story =
            Story { table: Table::empty(), now: Micros::from_s(1_000), events: Vec::new() };
        story.happen(seated);
        for index in 0..hands.len() {
            story.happen(Event::LinkUp { seat: SeatIndex(index as u8) });
        }
        before(&mut story);
        let cards = hands.len() * 4 + pile.len();
        let deck = deck(&vec![4; cards / 4]);
        story.happen(Event::GameStarted { game: GameNumber(1), rules, deck });
        let dealt = (0..4).flat_map(|card| hands.iter().map(move |hand| hand[card]));
        story.happen(Event::Dealt {
            round: RoundNumber(1),
            dealer: SeatIndex(0),
            seed: Seed([1; 32]),
            order: dealt.chain(pile.iter().copied()).map(FaceIndex).collect(),
            ids: (0..cards).map(|card| CardId((card as u64).to_be_bytes())).collect(),
            ranks: (0..hands.len() as u8).collect(),
        });
        story.happen(Event::TokensLive);
        story.wait_ms(2_500);
        story
    }

    pub(super) fn happen(&mut self, event: Event) {
        self.table.apply(&Entry { at: self.now, event: event.clone() });
        self.events.push(event);
    }

    pub(super) fn tell(&mut self, command: &Command) -> Result<(), Refusal> {
        let events = self.table.decide(command, self.now, Seed([5; 32]))?;
        for event in events {
            self.happen(event.clone());
            // Every link works: a cue's own ping comes back at once.
            if let Event::CuesMade { cues } = event {
                for (seat, _) in cues {
                    let (sent, link) = (self.now, LinkBounds::NONE);
                    self.happen(Event::CueSent { seat, sent, link });
                    self.happen(Event::CuePinged { seat, arrived: sent });
                }
            }
        }
        self.table.check().unwrap();
        Ok(())
    }

    pub(super) fn wait_ms(&mut self, ms: u64) {
        let until = self.now.plus(Micros::from_ms(ms));
        while let Some(wake) = self.table.wake_at().filter(|wake| *wake <= until) {
            self.now = self.now.max(wake);
            self.tell(&Command::Tick).unwrap();
        }
        self.now = until;
    }

    pub(super) fn says_as(&mut self, seat: u8, by: By, says: SeatSays) -> Result<(), Refusal> {
        let (arrived, link) = (self.now, LinkBounds::NONE);
        self.tell(&Command::Seat { seat: SeatIndex(seat), by, says, arrived, link })
    }

    pub(super) fn says(&mut self, seat: u8, says: SeatSays) -> Result<(), Refusal> {
        self.says_as(seat, By::Child, says)
    }

    /// A tap on a token; with a cue, `reaction_ms` after it was shown.
    pub(super) fn grabs(&mut self, seat: u8, reaction_ms: Option<u64>) -> Result<(), Refusal> {
        let cue = self.table.cue_nonce(SeatIndex(seat));
        let shown = Micros(9_000);
        let cue = reaction_ms.map(|_| GrabCue { nonce: cue.unwrap(), shown });
        let tap = shown.plus(Micros::from_ms(reaction_ms.unwrap_or(0)));
        self.says(seat, SeatSays::Grab(Grab { cue, tap, token: 0 }))
    }

    pub(super) fn pass(&mut self, seat: u8) -> Result<(), Refusal> {
        let card = self.table.of(SeatIndex(seat)).considering.unwrap().card;
        self.says(seat, SeatSays::Pass { card: id(card.0) })
    }

    pub(super) fn hand(&self, seat: u8) -> Vec<u16> {
        self.table.of(SeatIndex(seat)).hand.iter().map(|card| card.0).collect()
    }

    fn tray(&self, seat: u8) -> Vec<u16> {
        self.table.of(SeatIndex(seat)).tray.iter().map(|card| card.0).collect()
    }

    fn tap(&self, seat: u8) -> Tap {
        self.table.of(SeatIndex(seat)).tap
    }

    pub(super) fn end(&self) -> Option<RoundEnd> {
        self.table.end.as_ref().map(|(end, _)| *end)
    }
}

pub(super) fn id(card: u16) -> CardId {
    CardId(u64::from(card).to_be_bytes())
}

pub(super) fn stay() -> Rules {
    rules(HouseRule::Stay { rounds: 5 })
}

/// Three seats, nobody with four alike; 8 cards on the pile.
fn three() -> Story {
    Story::new(
        stay(),
        &[[0, 1, 2, 4], [5, 6, 7, 8], [9, 10, 12, 13]],
        &[3, 11, 14, 15, 16, 17, 18, 19],
    )
}

#[test]
fn a_kept_card_takes_the_place_of_the_one_given_away_and_undo_brings_both_back() {
    let mut story = three();
    story.says(0, SeatSays::TakeUp).unwrap();
    story.says(0, SeatSays::Keep { card: id(3), give: id(4) }).unwrap();
    assert_eq!((story.hand(0), story.tray(1)), (vec![0, 1, 2, 3], vec![4]));
    // A late double tap names a card that is gone.
    let again = story.says(0, SeatSays::Keep { card: id(3), give: id(4) });
    assert_eq!(again, Err(Refusal::NothingConsidered));
    story.says(0, SeatSays::Undo).unwrap();
    assert_eq!((story.hand(0), story.tray(1)), (vec![0, 1, 2, 4], vec![]));
    story.pass(0).unwrap();
    assert_eq!((story.hand(0), story.tray(1)), (vec![0, 1, 2, 4], vec![3]));
    // The neighbour opens it: too late.
    story.says(1, SeatSays::TakeUp).unwrap();
    assert_eq!(story.says(0, SeatSays::Undo), Err(Refusal::TooLateToUndo));
}

#[test]
fn undo_ends_after_three_seconds_and_puts_back_a_card_taken_up_since() {
    let mut story = three();
    story.says(0, SeatSays::TakeUp).unwrap();
    story.pass(0).unwrap();
    story.says(0, SeatSays::TakeUp).unwrap();
    story.says(0, SeatSays::Undo).unwrap();
    assert_eq!(story.table.draw_pile.front(), Some(&FaceIndex(11)));
    story.pass(0).unwrap();
    story.wait_ms(3_001);
    assert_eq!(story.says(0, SeatSays::Undo), Err(Refusal::TooLateToUndo));
}

#[test]
fn a_tray_has_a_limit_and_a_card_once_taken_up_can_be_laid_down() {
    let mut story = three();
    for _ in 0..3 {
        story.says(0, SeatSays::TakeUp).unwrap();
        story.pass(0).unwrap();
    }
    assert_eq!(story.says(0, SeatSays::TakeUp), Err(Refusal::NextTrayFull));
    // The last seat's cards go to the discard pile, which never blocks.
    story.says(1, SeatSays::TakeUp).unwrap();
    story.says(0, SeatSays::TakeUp).unwrap();
    story.pass(1).unwrap();
    story.pass(0).unwrap();
    story.says(2, SeatSays::TakeUp).unwrap();
    story.pass(2).unwrap();
    assert_eq!(story.table.discard_pile, [FaceIndex(3)]);
}

#[test]
fn the_discard_pile_becomes_the_draw_pile_and_with_both_empty_the_dealer_waits() {
    let mut story = three();
    for _ in 0..8 {
        for seat in 0..3 {
            story.says(seat, SeatSays::TakeUp).unwrap();
            story.pass(seat).unwrap();
        }
    }
    assert_eq!((story.table.draw_pile.len(), story.table.discard_pile.len()), (0, 8));
    story.says(0, SeatSays::TakeUp).unwrap();
    assert_eq!((story.table.draw_pile.len(), story.table.reshuffles), (7, 1));
    // Everything is in trays and hands now: nothing is left to draw.
    let mut story = three();
    story.table.discard_pile.clear();
    let cards: Vec<FaceIndex> = story.table.draw_pile.drain(..).collect();
    story.table.seats[1].tray.extend(&cards[..2]);
    story.table.seats[2].tray.extend(&cards[2..]);
    assert_eq!(story.table.take_up(SeatIndex(0)), TakeUp::PilesEmpty);
    assert!(story.table.some_seat_can_act());
}

#[test]
fn the_first_grab_makes_cues_and_the_slowest_is_last() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13], [14, 15, 16, 17]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 18, 19, 20, 21, 22, 23]);
    story.grabs(0, None).unwrap();
    assert_eq!(story.table.tokens_left(), 2);
    let cues: Vec<_> = (1..4).map(|seat| story.table.cue_nonce(SeatIndex(seat)).unwrap()).collect();
    assert!(cues[0] != cues[1] && cues[1] != cues[2]);
    // Everybody else sees one token fewer, and nothing else of the race.
    let seen = story.table.seat_view(SeatIndex(1)).unwrap();
    assert_eq!((seen.table.phase, seen.table.tokens, seen.ruling), (Phase::Playing, 3, None));
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(2, Some(400)).unwrap();
    assert_eq!(story.tap(2), Tap::Taken);
    assert_eq!(story.grabs(2, Some(400)), Err(Refusal::HasToken));
    story.now = story.now.plus(Micros::from_ms(300));
    story.grabs(1, Some(700)).unwrap();
    story.wait_ms(1_000);
    let last = RoundEnd::Last { seat: SeatIndex(3), letters: 0, out: false, shielded: false };
    assert_eq!(story.end(), Some(last));
    let ruling = story.table.seat_view(SeatIndex(3)).unwrap().ruling.unwrap();
    assert_eq!(ruling.four, [0, 1, 2, 3].map(FaceIndex));
    assert!(story.table.last_race().contains("Pupil 0 saw four alike"));
}

#[test]
fn a_tap_without_a_reason_is_a_false_grab_for_the_own_seat_alone() {
    let mut story = three();
    let others = |story: &Story| [1, 2].map(|seat| story.table.seat_view(SeatIndex(seat)));
    let before = others(&story);
    story.grabs(0, None).unwrap();
    assert!(matches!(story.tap(0), Tap::FalseGrab { .. }));
    assert_eq!(before, others(&story), "others learn nothing");
    assert_eq!(story.table.of(SeatIndex(0)).false_grabs, 1);
    // Three taps in two seconds are excitement, and not even the first counts as a mistake.
    for _ in 0..2 {
        story.wait_ms(300);
        story.grabs(0, None).unwrap();
    }
    assert!(matches!(story.tap(0), Tap::Excited { .. }));
    assert_eq!(story.table.of(SeatIndex(0)).false_grabs, 0);
    // A wait for taps without a cue does not keep the seat from answering a real one.
    story.table.seats[2].hand = [12, 13, 14, 15].map(FaceIndex).to_vec();
    let swapped: Vec<FaceIndex> = [3, 11, 9, 10, 16, 17, 18, 19].map(FaceIndex).to_vec();
    story.table.draw_pile = swapped.into();
    story.grabs(2, None).unwrap();
    story.now = story.now.plus(Micros::from_ms(500));
    assert_eq!(story.grabs(0, Some(480)), Err(Refusal::HasToken), "the tap answered the room");
}

#[test]
fn a_false_grab_costs_the_wait_that_the_teacher_chose() {
    for (cost, wait_ms) in [(FalseGrabCost::ShortWait, 1_500), (FalseGrabCost::LongWait, 4_000)] {
        let timing = Timing { false_grab: cost, ..Timing::default() };
        let plan = LessonPlan { timing, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
        let mut story = three();
        story.table.play.as_mut().unwrap().0.false_grab_wait =
            Rules::from_plan(&plan).false_grab_wait;
        story.grabs(0, None).unwrap();
        assert_eq!(
            story.table.of(SeatIndex(0)).wait_until,
            story.now.plus(Micros::from_ms(wait_ms))
        );
    }
}

#[test]
fn every_pace_reminds_before_cards_go_round_and_can_be_played() {
    for pace in [Pace::Unhurried, Pace::Usual, Pace::Brisk] {
        let timing = Timing { pace, partners: pace, ..Timing::default() };
        for ages in [AgeBand::FiveToSix, AgeBand::SixToSeven, AgeBand::SevenToEight] {
            let rules = Rules::from_plan(&LessonPlan { timing, ..LessonPlan::for_ages(ages) });
            assert_eq!(rules.check(), Ok(()), "{pace:?}, {ages:?}");
            assert_eq!(rules.partner_pace, pace);
        }
    }
}

#[test]
fn a_tap_before_the_hand_was_seen_is_excitement() {
    let mut story = three();
    story.table.seats[0].deal_shown = Some(story.now);
    story.grabs(0, None).unwrap();
    assert!(matches!(story.tap(0), Tap::Excited { .. }));
    assert_eq!(story.table.of(SeatIndex(0)).false_grabs, 0);
}

#[test]
fn a_tap_just_before_the_own_cue_answers_the_room_and_is_safe() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    // The neighbour's hand is seen to move: seat 1 taps while the true grab is still on its way.
    story.grabs(1, None).unwrap();
    story.wait_ms(200);
    let link = LinkBounds { greatest: Micros::from_ms(300), ..LinkBounds::NONE };
    let says = SeatSays::Grab(Grab { cue: None, tap: Micros(1), token: 0 });
    let (seat, arrived) = (SeatIndex(0), story.now);
    story.tell(&Command::Seat { seat, by: By::Child, says, arrived, link }).unwrap();
    assert_eq!(story.tap(1), Tap::Taken);
    let kind = story.table.runner(SeatIndex(1)).unwrap().grab.unwrap().kind;
    assert_eq!(kind, Kind::Room);
    // It never beats a measured reaction.
    story.now = story.now.plus(Micros::from_ms(500));
    story.grabs(2, Some(480)).unwrap();
    story.wait_ms(1_000);
    let last = RoundEnd::Last { seat: SeatIndex(1), letters: 0, out: false, shielded: false };
    assert_eq!(story.end(), Some(last));
}

#[test]
fn faster_than_anybody_is_too_soon_and_a_stale_nonce_is_refused() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    story.grabs(0, None).unwrap();
    story.now = story.now.plus(Micros::from_ms(90));
    // World Athletics Technical Rule 16.6: under 0.100 s nobody can have reacted.
    story.grabs(1, Some(90)).unwrap();
    assert_eq!(story.tap(1), Tap::TooSoon { wait_ms: 600 });
    assert_eq!(story.grabs(1, Some(90)), Err(Refusal::Wait));
    story.now = story.now.plus(Micros::from_ms(610));
    let forged = Some(GrabCue { nonce: handround_protocol::id::Nonce([0; 16]), shown: Micros(0) });
    let grab = Grab { cue: forged, tap: Micros(500_000), token: 0 };
    assert_eq!(story.says(1, SeatSays::Grab(grab)), Err(Refusal::NotYourCue));
    story.grabs(1, Some(690)).unwrap();
    assert_eq!(story.tap(1), Tap::Taken);
}

#[test]
fn pings_of_the_race_end_the_hold_and_few_of_them_are_recorded() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    story.grabs(0, None).unwrap();
    let cued = story.now;
    let pinged = |story: &mut Story, after_ms: u64| {
        let (seat, sent) = (SeatIndex(1), cued.plus(Micros::from_ms(after_ms)));
        story.tell(&Command::RacePinged { seat, sent }).unwrap();
        story.events.iter().filter(|event| matches!(event, Event::RacePinged { .. })).count()
    };
    assert_eq!(pinged(&mut story, 50), 1, "the first tells that there are pings");
    assert_eq!(pinged(&mut story, 100), 1);
    story.wait_ms(420);
    story.grabs(2, Some(400)).unwrap();
    assert_eq!(pinged(&mut story, 200), 1, "seat 1 may still have been as quick");
    assert_eq!(pinged(&mut story, 400), 2, "and is waited for a little while only");
    assert_eq!(story.end(), None);
    assert_eq!(pinged(&mut story, 435), 3);
    let last = RoundEnd::Last { seat: SeatIndex(1), letters: 0, out: false, shielded: false };
    assert_eq!(story.end(), Some(last));
    assert_eq!(pinged(&mut story, 500), 3, "the race is over");
}

#[test]
fn a_grab_without_a_nonce_quicker_than_anybody_answers_the_room() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    story.grabs(0, None).unwrap();
    story.wait_ms(50);
    story.grabs(1, None).unwrap();
    let kind = story.table.runner(SeatIndex(1)).unwrap().grab.unwrap().kind;
    assert_eq!(kind, Kind::Room, "50 ms are no reaction");
    story.wait_ms(500);
    story.grabs(2, Some(480)).unwrap();
    let last = RoundEnd::Last { seat: SeatIndex(1), letters: 0, out: false, shielded: false };
    assert_eq!(story.end(), Some(last));
}

#[test]
fn with_two_seats_there_is_no_cue_and_the_earlier_four_wins() {
    let rules = rules(HouseRule::Out { shield: false });
    let hands = [[0, 1, 2, 3], [4, 5, 6, 7]];
    let mut story = Story::new(rules, &hands, &[8, 9, 10, 11, 12, 13, 14, 15]);
    story.grabs(1, None).unwrap();
    assert_eq!(story.table.cue_nonce(SeatIndex(0)), None);
    story.wait_ms(50);
    assert_eq!(story.end(), None, "the other four may have been tapped earlier");
    story.grabs(0, None).unwrap();
    story.wait_ms(900);
    let last = RoundEnd::Last { seat: SeatIndex(0), letters: 0, out: true, shielded: false };
    assert_eq!(story.end(), Some(last));
    assert_eq!(story.table.winners(), [SeatIndex(1)]);
    assert_eq!(story.table.phase(), Phase::GameOver);
}

#[test]
fn a_missed_four_is_hinted_as_the_teacher_chose() {
    for (missed_four, wait_ms, hinted) in [
        (MissedFour::FindItYourself, 60_000, false),
        (MissedFour::HintAfter { seconds: 10 }, 5_000, false),
        (MissedFour::HintAfter { seconds: 10 }, 11_000, true),
        (MissedFour::Tell, 1, true),
    ] {
        let rules = Rules { missed_four, pass_by_after: Micros::from_s(600), ..stay() };
        let hands = [[5, 6, 7, 8], [0, 1, 2, 3], [9, 10, 12, 13]];
        let mut story = Story::new(rules, &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
        story.wait_ms(wait_ms);
        let view = story.table.seat_view(SeatIndex(1)).unwrap();
        assert_eq!(!view.hand.unwrap().hint.is_empty(), hinted, "{missed_four:?} {wait_ms}");
    }
}

#[test]
fn an_idle_seat_is_reminded_then_cards_go_round_it_until_it_acts() {
    let mut story = three();
    story.says(0, SeatSays::TakeUp).unwrap();
    story.pass(0).unwrap();
    let seen = |story: &Story| story.table.seat_view(SeatIndex(1)).unwrap();
    story.wait_ms(26_000);
    assert!(seen(&story).hand.unwrap().reminded);
    assert!(!story.table.of(SeatIndex(1)).passed_by);
    // The dealer goes on drawing, so that it is not idle itself.
    story.says(0, SeatSays::TakeUp).unwrap();
    story.pass(0).unwrap();
    story.wait_ms(20_000);
    assert!(story.table.of(SeatIndex(1)).passed_by);
    assert!(seen(&story).table.seats[1].cards_pass_by);
    assert_eq!(story.tray(2), [3, 11], "its cards moved on");
    assert_eq!(story.table.next(SeatIndex(0)), Some(SeatIndex(2)));
    story.says(1, SeatSays::TakeUp).unwrap();
    assert!(!story.table.of(SeatIndex(1)).passed_by);
    assert_eq!(story.table.next(SeatIndex(0)), Some(SeatIndex(1)));
}

#[test]
fn an_away_child_has_a_stand_in_that_never_starts_and_gets_its_seat_back() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    story.says(0, SeatSays::InView { visible: false }).unwrap();
    story.wait_ms(4_000);
    assert!(!story.table.stand_in(SeatIndex(0)));
    story.wait_ms(1_100);
    assert!(story.table.stand_in(SeatIndex(0)) && story.table.partner_plays(SeatIndex(0)));
    let grab = SeatSays::Grab(Grab { cue: None, tap: Micros(0), token: 0 });
    assert_eq!(story.says_as(0, By::StandIn, grab.clone()), Err(Refusal::StandInNeverFirst));
    story.says(0, SeatSays::InView { visible: true }).unwrap();
    assert!(!story.table.stand_in(SeatIndex(0)));
    assert_eq!(story.hand(0), [0, 1, 2, 3], "the same hand");
    story.says(0, grab).unwrap();
    let first = story.events.iter().find_map(|event| match event {
        Event::Grabbed { marks, .. } => Some(marks.clone()),
        _ => None,
    });
    assert!(first.unwrap().after_pause, "evidence knows that it was the first decision since");
}

#[test]
fn letters_make_a_word_and_a_full_word_is_out() {
    let mut out = Vec::new();
    let rules = rules(HouseRule::Letters { word: "elm".to_owned() });
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(rules, &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    for letters in 1..=3 {
        story.table.seats[2].letters = letters - 1;
        story.grabs(0, None).unwrap();
        story.now = story.now.plus(Micros::from_ms(400));
        story.grabs(1, Some(390)).unwrap();
        story.wait_ms(1_000);
        let Some(RoundEnd::Last { seat, letters: has, out: is_out, .. }) = story.end() else {
            panic!("no end");
        };
        assert_eq!((seat, has), (SeatIndex(2), letters));
        out.push(is_out);
        let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
        let mut again = Story::new(
            story.table.play.clone().unwrap().0,
            &hands,
            &[4, 11, 14, 15, 16, 17, 18, 19],
        );
        std::mem::swap(&mut story, &mut again);
    }
    assert_eq!(out, [false, false, true]);
}

#[test]
fn calm_a_seat_lays_down_its_four_and_passes_all_on() {
    let rules = rules(HouseRule::Calm { rounds: 1 });
    let hands = [[0, 1, 2, 3], [4, 5, 6, 8], [9, 10, 11, 12]];
    let mut story = Story::new(rules, &hands, &[7, 13, 14, 15, 16, 17, 18, 19]);
    assert_eq!(story.grabs(0, None), Err(Refusal::NoTokens));
    assert_eq!(story.says(1, SeatSays::LayDown), Err(Refusal::NoFourAlike));
    story.says(0, SeatSays::LayDown).unwrap();
    assert_eq!(story.says(0, SeatSays::TakeUp), Err(Refusal::HasLaidDown));
    // The next seat draws now.
    story.says(1, SeatSays::TakeUp).unwrap();
    story.says(1, SeatSays::Keep { card: id(7), give: id(8) }).unwrap();
    story.says(1, SeatSays::LayDown).unwrap();
    story.says(2, SeatSays::TakeUp).unwrap();
    story.says(2, SeatSays::Keep { card: id(8), give: id(12) }).unwrap();
    story.says(2, SeatSays::LayDown).unwrap();
    assert_eq!(story.end(), Some(RoundEnd::AllLaidDown));
}

#[test]
fn a_pause_waits_for_an_open_race_and_moves_every_clock() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    story.grabs(0, None).unwrap();
    story.tell(&Command::Pause).unwrap();
    assert!(story.table.paused_since.is_none(), "never inside a race");
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(1, Some(390)).unwrap();
    story.wait_ms(1_000);
    assert!(story.table.paused_since.is_some());
    assert_eq!(story.says(0, SeatSays::TakeUp), Err(Refusal::NoRound));
    story.wait_ms(60_000);
    assert_eq!(story.table.phase(), Phase::RoundOver, "no deal while it stands still");
    story.tell(&Command::Resume).unwrap();
    story.wait_ms(8_000);
    assert_eq!(story.table.phase(), Phase::RoundOver);
    story.wait_ms(2_000);
    assert_eq!(story.table.phase(), Phase::Dealt);
}

#[test]
fn a_race_open_at_a_crash_is_void_and_dealt_again() {
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let mut story = Story::new(stay(), &hands, &[4, 11, 14, 15, 16, 17, 18, 19]);
    story.grabs(0, None).unwrap();
    story.tell(&Command::Void(VoidReason::Restarted)).unwrap();
    assert_eq!(story.end(), Some(RoundEnd::Void { reason: VoidReason::Restarted }));
    story.wait_ms(10_000);
    assert_eq!((story.table.phase(), story.table.round()), (Phase::Dealt, RoundNumber(2)));
}

#[test]
fn the_shield_warns_then_protects_for_one_round() {
    let rules = rules(HouseRule::Out { shield: true });
    let hands = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
    let pile = [4, 11, 14, 15, 16, 17, 18, 19];
    let mut seen = Vec::new();
    let mut seat = super::super::seat::Seat::default();
    for _ in 0..3 {
        let mut story = Story::new(rules.clone(), &hands, &pile);
        story.table.seats[2].shielded = seat.shielded;
        story.table.seats[2].shield_used = seat.shield_used;
        story.grabs(0, None).unwrap();
        story.now = story.now.plus(Micros::from_ms(400));
        story.grabs(1, Some(390)).unwrap();
        story.wait_ms(1_000);
        let Some(RoundEnd::Last { out, shielded, .. }) = story.end() else { panic!("no end") };
        seen.push((out, shielded));
        seat = story.table.seats[2].clone();
    }
    assert_eq!(seen, [(false, false), (false, true), (true, false)]);
}

#[test]
fn a_deck_too_small_is_refused_with_the_largest_table_it_serves() {
    let story = three();
    let mut table = story.table.clone();
    table.phase = Phase::GameOver;
    for (groups, seats_served) in [(4, 2), (3, 1)] {
        let start = Command::Start { rules: stay(), deck: deck(&vec![4; groups]) };
        let refused = table.decide(&start, story.now, Seed([0; 32]));
        assert_eq!(refused, Err(Refusal::DeckTooSmall { serves: seats_served }));
    }
}
