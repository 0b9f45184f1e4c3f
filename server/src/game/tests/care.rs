//! Help, breaks, seats that a partner holds, the bell and the freeze, told as stories.

use super::super::command::{By, Command};
use super::super::event::SeatPlan;
use super::super::settle::{FREEZE_AFTER, STAND_IN_AFTER};
use super::stories::{Story, stay};
use handround_protocol::id::{PupilIndex, RoundNumber, SeatIndex};
use handround_protocol::message::SeatSays;
use handround_protocol::picture::{Picture, THINGS};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{CareView, Phase, RoundEnd, SeatKind, VoidReason};

const HANDS: [[u16; 4]; 3] = [[0, 1, 2, 4], [5, 6, 7, 8], [9, 10, 12, 13]];
const FOUR: [[u16; 4]; 3] = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13]];
const PILE: [u16; 8] = [3, 11, 14, 15, 16, 17, 18, 19];
const FOUR_PILE: [u16; 8] = [4, 11, 14, 15, 16, 17, 18, 19];

fn seat(index: u8) -> SeatIndex {
    SeatIndex(index)
}

fn care(story: &Story, index: u8) -> CareView {
    story.table.seat_view(seat(index)).unwrap().care
}

#[test]
fn a_raised_hand_stops_nothing_and_shows_to_its_own_seat_and_the_teacher_alone() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    let before: Vec<_> = [1, 2].map(|other| story.table.seat_view(seat(other))).into();
    story.says(0, SeatSays::Help { wanted: true }).unwrap();
    assert!(care(&story, 0).help_asked);
    assert_eq!(before, [1, 2].map(|other| story.table.seat_view(seat(other))));
    story.says(0, SeatSays::TakeUp).unwrap();
    story.now = story.now.plus(Micros::from_s(12));
    assert_eq!(story.table.board_seats(story.now)[0].help_s, 12);
    // Raised twice it is one hand, with the time of the first.
    let events = story.events.len();
    story.says(0, SeatSays::Help { wanted: true }).unwrap();
    assert_eq!(story.events.len(), events);
    story.tell(&Command::HelpGiven { seat: seat(0) }).unwrap();
    assert!(!care(&story, 0).help_asked);
    assert_eq!(story.table.board_seats(story.now)[0].help_s, 0);
}

#[test]
fn on_a_break_a_partner_plays_until_the_child_comes_back_or_acts() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    story.says(0, SeatSays::Break { wanted: true }).unwrap();
    assert!(care(&story, 0).on_break && story.table.stand_in(seat(0)));
    // Neither the page in view nor a new link means that the child is back.
    story.says(0, SeatSays::InView { visible: false }).unwrap();
    story.says(0, SeatSays::InView { visible: true }).unwrap();
    story.tell(&Command::LinkDown { seat: seat(0) }).unwrap();
    story.tell(&Command::LinkUp { seat: seat(0) }).unwrap();
    assert!(story.table.stand_in(seat(0)));
    story.says_as(0, By::StandIn, SeatSays::TakeUp).unwrap();
    story.says(0, SeatSays::Break { wanted: false }).unwrap();
    assert!(!care(&story, 0).on_break && !story.table.stand_in(seat(0)));
    // A tap on a card says the same.
    story.says(0, SeatSays::Break { wanted: true }).unwrap();
    story.pass(0).unwrap();
    assert!(!care(&story, 0).on_break && !story.table.stand_in(seat(0)));
}

#[test]
fn a_break_that_ends_while_the_device_is_gone_leaves_the_stand_in() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    story.says(1, SeatSays::Break { wanted: true }).unwrap();
    story.tell(&Command::LinkDown { seat: seat(1) }).unwrap();
    story.wait_ms(STAND_IN_AFTER.ms() + 1);
    story.says(1, SeatSays::Break { wanted: false }).unwrap();
    assert!(story.table.stand_in(seat(1)));
    story.tell(&Command::LinkUp { seat: seat(1) }).unwrap();
    assert!(!story.table.stand_in(seat(1)));
}

#[test]
fn a_seat_that_the_teacher_gave_away_comes_back_by_her_word_alone() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    let hand_over = |partner| Command::HandOver { seat: seat(0), partner };
    story.tell(&hand_over(true)).unwrap();
    assert!(care(&story, 0).partner_holds);
    assert_eq!(story.says(0, SeatSays::TakeUp), Err(Refusal::PartnerHolds));
    story.tell(&Command::LinkDown { seat: seat(0) }).unwrap();
    story.tell(&Command::LinkUp { seat: seat(0) }).unwrap();
    assert!(story.table.stand_in(seat(0)));
    // The own break ends, the teacher's word stands.
    story.says(0, SeatSays::Break { wanted: true }).unwrap();
    story.says(0, SeatSays::Break { wanted: false }).unwrap();
    assert!(story.table.stand_in(seat(0)));
    story.tell(&hand_over(false)).unwrap();
    assert!(!story.table.stand_in(seat(0)));
    story.says(0, SeatSays::TakeUp).unwrap();
    assert_eq!(
        story.tell(&Command::HandOver { seat: seat(7), partner: true }),
        Err(Refusal::NoSuchSeat)
    );
}

#[test]
fn a_nudge_is_a_private_reminder_and_needs_something_to_do() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    assert_eq!(story.tell(&Command::Nudge { seat: seat(1) }), Err(Refusal::NothingToDo));
    story.tell(&Command::Nudge { seat: seat(0) }).unwrap();
    assert!(story.table.seat_view(seat(0)).unwrap().hand.unwrap().reminded);
    assert!(!story.table.seat_view(seat(1)).unwrap().hand.unwrap().reminded);
    story.says(0, SeatSays::TakeUp).unwrap();
    story.pass(0).unwrap();
    assert!(!story.table.seat_view(seat(1)).unwrap().hand.unwrap().reminded);
}

#[test]
fn the_bell_lets_the_round_finish_and_no_other_is_dealt() {
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    story.tell(&Command::Bell { ring: true }).unwrap();
    story.wait_ms(20_000);
    assert_eq!(story.table.phase(), Phase::Playing, "the round goes on");
    story.tell(&Command::Bell { ring: false }).unwrap();
    story.tell(&Command::Bell { ring: true }).unwrap();
    story.grabs(0, None).unwrap();
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(1, Some(390)).unwrap();
    story.wait_ms(1_000);
    assert!(matches!(story.end(), Some(RoundEnd::Last { seat: SeatIndex(2), .. })));
    assert_eq!((story.table.phase(), story.table.round()), (Phase::GameOver, RoundNumber(1)));
    assert!(!story.table.bell(), "the next game is not shortened by it");
    assert_eq!(story.tell(&Command::Bell { ring: true }), Err(Refusal::NoGame));
}

#[test]
fn a_freeze_darkens_every_screen_within_a_second_even_in_a_race_that_waits_for_a_tap() {
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    story.grabs(0, None).unwrap();
    story.wait_ms(4_000);
    story.tell(&Command::Pause).unwrap();
    assert!(!story.table.seat_view(seat(1)).unwrap().table.paused);
    assert_eq!(story.table.wake_at(), Some(story.now.plus(FREEZE_AFTER)));
    story.wait_ms(FREEZE_AFTER.ms());
    for index in 0..3 {
        assert!(story.table.seat_view(seat(index)).unwrap().table.paused);
    }
    assert!(FREEZE_AFTER < Micros::from_s(1));
    assert_eq!(story.end(), Some(RoundEnd::Void { reason: VoidReason::Frozen }));
    story.tell(&Command::Resume).unwrap();
    story.wait_ms(10_000);
    assert_eq!((story.table.phase(), story.table.round()), (Phase::Dealt, RoundNumber(2)));
}

#[test]
fn a_wish_to_stop_that_is_taken_back_voids_no_race() {
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    story.grabs(0, None).unwrap();
    story.tell(&Command::Pause).unwrap();
    story.wait_ms(500);
    story.tell(&Command::Resume).unwrap();
    story.wait_ms(2_000);
    assert!(story.table.race_is_open());
}

fn child(index: u16, name: &str) -> SeatPlan {
    SeatPlan {
        name: name.to_owned(),
        picture: THINGS[usize::from(index)],
        kind: SeatKind::Pupil,
        pupil: Some(PupilIndex(index)),
        by: By::Child,
    }
}

fn partner() -> SeatPlan {
    let (name, kind) = ("Bee".to_owned(), SeatKind::Partner);
    SeatPlan { name, picture: Picture::Bee, kind, pupil: None, by: By::Partner }
}

#[test]
fn a_new_seat_watches_until_the_next_deal_and_then_plays() {
    let pile: Vec<u16> = (11..32).chain([3]).filter(|card| ![12, 13].contains(card)).collect();
    let mut story = Story::new(stay(), &FOUR, &[&[4][..], &pile[..pile.len() - 1]].concat());
    let reseat = Command::Reseat { seat: seat(3), plan: child(7, "Noor") };
    story.tell(&reseat).unwrap();
    let view = story.table.seat_view(seat(3)).unwrap();
    assert!(!view.table.seats[3].in_play && view.hand.is_none());
    assert_eq!(view.table.tokens, 2, "the round goes on as it was");
    // The same again changes nothing.
    let events = story.events.len();
    story.tell(&reseat).unwrap();
    assert_eq!(story.events.len(), events);
    story.tell(&Command::LinkUp { seat: seat(3) }).unwrap();
    story.grabs(0, None).unwrap();
    assert_eq!(
        story.tell(&Command::Reseat { seat: seat(4), plan: child(8, "Oda") }),
        Err(Refusal::RoundRunning),
        "never inside a race"
    );
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(1, Some(390)).unwrap();
    story.wait_ms(1_000);
    story.wait_ms(10_000);
    let view = story.table.seat_view(seat(3)).unwrap();
    assert_eq!(view.table.round, RoundNumber(2));
    assert!(view.table.seats[3].in_play && view.hand.is_some());
    assert_eq!(view.table.tokens, 3);
}

#[test]
fn a_seat_changes_hands_between_rounds_and_keeps_nothing_of_the_child_before() {
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    story.says(1, SeatSays::Help { wanted: true }).unwrap();
    let reseat = Command::Reseat { seat: seat(1), plan: partner() };
    assert_eq!(story.tell(&reseat), Err(Refusal::RoundRunning));
    story.grabs(0, None).unwrap();
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(1, Some(390)).unwrap();
    story.wait_ms(1_000);
    story.tell(&reseat).unwrap();
    assert!(story.table.partner_plays(seat(1)));
    assert_eq!(care(&story, 1), CareView::default());
    story.wait_ms(10_000);
    assert_eq!(story.table.round(), RoundNumber(2));
    assert_eq!(
        story.tell(&Command::Reseat { seat: seat(9), plan: partner() }),
        Err(Refusal::NoSuchSeat)
    );
}

#[test]
fn a_seat_more_than_the_deck_serves_waits_for_another_game() {
    // Five groups of four serve three seats, not four.
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    story.tell(&Command::Reseat { seat: seat(3), plan: child(7, "Noor") }).unwrap();
    story.grabs(0, None).unwrap();
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(1, Some(390)).unwrap();
    story.wait_ms(1_000);
    story.wait_ms(10_000);
    assert_eq!(story.table.round(), RoundNumber(2));
    assert!(!story.table.seat_view(seat(3)).unwrap().table.seats[3].in_play);
}
