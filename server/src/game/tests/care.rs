//! Help, breaks, seats that a partner holds, the bell and the freeze, told as stories.

use super::super::command::{By, Command};
use super::super::event::{Event, SeatPlan};
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

fn shared(story: &mut Story, index: u8) {
    let plan = SeatPlan { by: By::SharedDevice, ..story.table.seats()[usize::from(index)].clone() };
    story.tell(&Command::Reseat { seat: seat(index), plan }).unwrap();
}

fn cover(story: &mut Story, index: u8, covered: bool) {
    story.says_as(index, By::SharedDevice, SeatSays::Covered { covered }).unwrap();
}

fn reminded(story: &Story, index: u8) -> bool {
    story.table.seat_view(seat(index)).unwrap().hand.unwrap().reminded
}

fn passes_by(story: &Story, index: usize) -> bool {
    story.table.table_view().seats[index].cards_pass_by
}

#[test]
fn a_mark_begins_at_once_and_takes_neither_the_hand_nor_the_cue_away() {
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    story.says(0, SeatSays::TakeUp).unwrap();
    let view = story.table.seat_view(seat(0));
    let from = |story: &Story, index: u8, by| {
        let plan = SeatPlan { by, ..story.table.seats()[usize::from(index)].clone() };
        Command::Reseat { seat: seat(index), plan }
    };
    story.tell(&from(&story, 0, By::Home)).unwrap();
    assert_eq!(story.table.seat_view(seat(0)), view, "the child sees nothing of it");
    story.says_as(0, story.table.seats()[0].by, pass_of(&story, 0)).unwrap();
    let by = story.events.iter().rev().find_map(|event| match event {
        Event::Moved { marks, .. } => Some(marks.by),
        _ => None,
    });
    assert_eq!(by, Some(By::Home));
    story.grabs(0, None).unwrap();
    let cue = story.table.seat_view(seat(1)).unwrap().grab.cue;
    story.tell(&from(&story, 1, By::SharedDevice)).unwrap();
    assert!(story.table.race_is_open());
    assert_eq!(story.table.seat_view(seat(1)).unwrap().grab.cue, cue);
    // Another child, or a partner, is no mark.
    let other = Command::Reseat { seat: seat(1), plan: child(7, "Noor") };
    assert_eq!(story.tell(&other), Err(Refusal::RoundRunning));
}

fn pass_of(story: &Story, index: u8) -> SeatSays {
    let hand = story.table.seat_view(seat(index)).unwrap().hand.unwrap();
    SeatSays::Pass { card: hand.considering.unwrap().id }
}

#[test]
fn a_covered_hand_is_neither_waited_for_nor_reminded_and_its_time_begins_when_it_is_uncovered() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    [0, 1].into_iter().for_each(|index| shared(&mut story, index));
    cover(&mut story, 0, true);
    // Seat 1 has the tablet, so the turn of seat 0 will come: however long that takes.
    story.wait_ms(300_000);
    assert_eq!(story.table.board_seats(story.now)[0].waiting_s, 0);
    assert!(!reminded(&story, 0) && !passes_by(&story, 0));
    assert_eq!(story.tell(&Command::Nudge { seat: seat(0) }), Err(Refusal::NothingToDo));
    cover(&mut story, 1, true);
    cover(&mut story, 0, false);
    story.wait_ms(24_000);
    assert_eq!(story.table.board_seats(story.now)[0].waiting_s, 24);
    assert!(!reminded(&story, 0));
    story.wait_ms(2_000);
    assert!(reminded(&story, 0));
    // Covered again, nobody is reminded any more.
    cover(&mut story, 0, true);
    assert!(!reminded(&story, 0));
}

#[test]
fn cards_go_round_a_tablet_that_was_left_alone_and_whoever_uncovers_a_hand_joins_in() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    [0, 1].into_iter().for_each(|index| shared(&mut story, index));
    [0, 1].into_iter().for_each(|index| cover(&mut story, index, true));
    story.wait_ms(44_000);
    assert!(!passes_by(&story, 0));
    story.wait_ms(2_000);
    assert!(passes_by(&story, 0), "the child at an own device plays on");
    assert!(
        !story.events.iter().any(|event| matches!(event, Event::Reminded { seat: SeatIndex(0) }))
    );
    cover(&mut story, 0, false);
    assert!(!passes_by(&story, 0));
}

#[test]
fn hint_and_nudge_wait_for_the_cover_too() {
    let mut story = Story::new(stay(), &FOUR, &FOUR_PILE);
    [0, 1].into_iter().for_each(|index| shared(&mut story, index));
    cover(&mut story, 0, true);
    story.wait_ms(60_000);
    let hinted =
        |story: &Story| !story.table.seat_view(seat(0)).unwrap().hand.unwrap().hint.is_empty();
    assert!(!hinted(&story));
    cover(&mut story, 0, false);
    story.wait_ms(9_000);
    assert!(!hinted(&story), "finding it comes first, as for everybody");
    story.wait_ms(2_000);
    assert!(hinted(&story));
    cover(&mut story, 1, true);
    story.grabs(0, None).unwrap();
    story.wait_ms(20_000);
    let nudged = |story: &Story| story.table.seat_view(seat(1)).unwrap().grab.nudged;
    assert!(!nudged(&story));
    cover(&mut story, 1, false);
    story.wait_ms(9_000);
    assert!(!nudged(&story));
    story.wait_ms(2_000);
    assert!(nudged(&story));
}

#[test]
fn an_own_device_has_no_cover() {
    let mut story = Story::new(stay(), &HANDS, &PILE);
    story.says(0, SeatSays::Covered { covered: true }).unwrap();
    story.wait_ms(26_000);
    assert!(reminded(&story, 0));
    assert!(!story.events.iter().any(|event| matches!(event, Event::Covered { .. })));
}
