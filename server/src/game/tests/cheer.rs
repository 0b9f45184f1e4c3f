//! Cheering told as stories: who may, when, how often, and that nothing of a race shows in it.

use super::super::command::{By, Command, Seed};
use super::super::event::Event;
use super::rules;
use super::stories::Story;
use handround_protocol::cheer::{Cheer, CheerPicture};
use handround_protocol::house::HouseRule;
use handround_protocol::id::{CardId, FaceIndex, RoundNumber, SeatIndex};
use handround_protocol::limits::CHEERS_EACH_MAX;
use handround_protocol::message::SeatSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, RoundEnd};

const FOUR: [[u16; 4]; 4] = [[0, 1, 2, 3], [5, 6, 7, 8], [9, 10, 12, 13], [14, 15, 16, 18]];
const PILE: [u16; 8] = [4, 11, 17, 19, 20, 21, 22, 23];
const SUN: SeatSays = SeatSays::Cheer { picture: CheerPicture::Sun };

/// Four children under the plain `out` rule; seat 0 holds four alike.
fn story(cheering: bool) -> Story {
    let mut rules = rules(HouseRule::Out { shield: false });
    rules.cheering = cheering;
    Story::new(rules, &FOUR, &PILE)
}

/// Plays the race so that seat 3 is last and watches from now on.
fn race(story: &mut Story) {
    story.grabs(0, None).unwrap();
    story.now = story.now.plus(Micros::from_ms(400));
    story.grabs(1, Some(390)).unwrap();
    story.grabs(2, Some(391)).unwrap();
    story.wait_ms(1_000);
    assert!(matches!(story.end(), Some(RoundEnd::Last { seat: SeatIndex(3), out: true, .. })));
}

fn cheers(story: &Story, seat: u8) -> Option<Vec<Cheer>> {
    story.table.seat_view(SeatIndex(seat)).unwrap().table.cheers
}

#[test]
fn cheering_is_off_unless_the_teacher_switches_it_on() {
    let mut story = story(false);
    race(&mut story);
    assert_eq!(story.says(3, SUN), Err(Refusal::CheeringOff));
    assert_eq!(cheers(&story, 0), None);
}

#[test]
fn who_is_out_cheers_a_few_times_and_the_whole_table_sees_it_until_the_next_deal() {
    let mut story = story(true);
    race(&mut story);
    for _ in 0..CHEERS_EACH_MAX {
        story.says(3, SUN).unwrap();
    }
    assert_eq!(story.says(3, SUN), Err(Refusal::CheeringEnough));
    assert_eq!(story.says(0, SUN), Err(Refusal::OnlyWatching), "who plays is cheered");
    assert_eq!(story.says_as(3, By::StandIn, SUN), Err(Refusal::OnlyWatching));
    let seen = vec![Cheer { seat: SeatIndex(3), picture: CheerPicture::Sun }; CHEERS_EACH_MAX];
    for seat in 0..4 {
        assert_eq!(cheers(&story, seat), Some(seen.clone()));
    }
    story.wait_ms(10_000);
    assert_eq!((story.table.phase(), cheers(&story, 0)), (Phase::Dealt, Some(Vec::new())));
}

#[test]
fn nobody_cheers_while_the_table_stands_still() {
    let mut story = story(true);
    race(&mut story);
    story.tell(&Command::Pause).unwrap();
    assert_eq!(story.says(3, SUN), Err(Refusal::Paused));
}

/// Seat 3 watches the second round, in which seat 0 is dealt four alike. What it is told on cheering is
/// the same before the tokens lie there, without a race, and with one open.
#[test]
fn a_refused_cheer_never_tells_whether_a_race_is_open() {
    let mut story = story(true);
    race(&mut story);
    let hands = &FOUR[..3];
    let rest = (0..24).filter(|card| !hands.iter().flatten().any(|dealt| dealt == card));
    let dealt = (0..4).flat_map(|card| hands.iter().map(move |hand| hand[card]));
    story.happen(Event::Dealt {
        round: RoundNumber(2),
        dealer: SeatIndex(0),
        seed: Seed([2; 32]),
        order: dealt.chain(rest).map(FaceIndex).collect(),
        ids: (0..24_u64).map(|card| CardId(card.to_be_bytes())).collect(),
        ranks: vec![0, 1, 2, 3],
    });
    assert_eq!(story.says(3, SUN), Err(Refusal::CheeringNotNow), "dealt");
    story.happen(Event::TokensLive);
    assert_eq!(story.says(3, SUN), Err(Refusal::CheeringNotNow), "no race");
    let before = story.table.seat_view(SeatIndex(3));
    story.grabs(0, None).unwrap();
    assert!(story.table.race_is_open());
    assert_eq!(story.says(3, SUN), Err(Refusal::CheeringNotNow), "a race is open");
    assert_eq!(story.table.seat_view(SeatIndex(3)), before, "an onlooker sees nothing of it");
    assert!(!story.events.iter().any(|event| matches!(event, Event::Cheered { .. })));
}
