//! Support told as stories: what one child's view adds, how it fades, and naming pictures.

use super::super::command::{By, Command, LinkBounds, Seed};
use super::super::event::{Entry, Event, Marks, SeatPlan};
use super::super::support::{
    FADES_AFTER_USES, GONE_AFTER_USES, NAMING_MAX, Stage, is_right_use, stage,
};
use super::super::table::Table;
use super::stories::{Story, id, stay};
use super::{deck, rules};
use handround_protocol::house::{HouseRule, MissedFour};
use handround_protocol::id::{DeckId, GroupIndex, SeatIndex};
use handround_protocol::message::SeatSays;
use handround_protocol::picture::THINGS;
use handround_protocol::refusal::Refusal;
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, Phase, SeatKind};

const ONE: SeatIndex = SeatIndex(0);
const HANDS: [[u16; 4]; 3] = [[0, 1, 4, 8], [5, 6, 12, 9], [10, 13, 14, 16]];
const PILE: [u16; 8] = [2, 3, 7, 11, 15, 17, 18, 19];

fn dots(held: bool, right_uses: u16) -> Support {
    let given = HelperGiven { helper: Helper::DotsUnder, held, right_uses };
    Support { helpers: vec![given], ..Support::default() }
}

/// Even cards are numerals and can have dots.
fn offer() -> Command {
    let helpers =
        |card: u16| if card.is_multiple_of(2) { vec![Helper::DotsUnder] } else { Vec::new() };
    Command::Offer { helpers: (0..20).map(helpers).collect(), naming: false }
}

/// A table at which the first child has this support from the start.
fn supported(support: Support) -> Story {
    Story::with(stay(), &HANDS, &PILE, |story| {
        story.tell(&offer()).unwrap();
        // As counted in an earlier game.
        story.happen(Event::SupportGiven { seat: ONE, support });
    })
}

fn helpers(story: &Story, seat: u8) -> Vec<Option<Helper>> {
    let hand = story.table.seat_view(SeatIndex(seat)).unwrap().hand.unwrap();
    hand.cards.iter().chain(&hand.considering).map(|card| card.helper).collect()
}

fn last_marks(story: &Story) -> Marks {
    let marks = story.events.iter().rev().find_map(|event| match event {
        Event::Moved { marks, .. } => Some(marks.clone()),
        _ => None,
    });
    marks.unwrap()
}

fn uses(story: &Story) -> u16 {
    story.table.support(ONE).unwrap().helpers[0].right_uses
}

const D: Option<Helper> = Some(Helper::DotsUnder);

#[test]
fn a_helper_shows_to_its_own_seat_alone_and_the_move_is_marked() {
    let mut helped = supported(dots(false, 0));
    let mut plain = Story::new(stay(), &HANDS, &PILE);
    for story in [&mut helped, &mut plain] {
        story.says(0, SeatSays::TakeUp).unwrap();
    }
    assert_eq!(helpers(&helped, 0), [D, None, D, D, D]);
    assert_eq!(helpers(&helped, 1), [None; 4]);
    for story in [&mut helped, &mut plain] {
        story.says(0, SeatSays::Keep { card: id(2), give: id(4) }).unwrap();
    }
    for other in [SeatIndex(1), SeatIndex(2)] {
        assert_eq!(helped.table.seat_view(other), plain.table.seat_view(other));
    }
    assert_eq!(helped.table.table_view(), plain.table.table_view());
    let (one, other) = (last_marks(&helped), last_marks(&plain));
    assert!(one.helped && !other.helped);
    assert_eq!((one.right_use, other.right_use), (D, None));
    // Beside its marks the move is the same, and so is what matches.
    assert_eq!(Marks { helped: false, right_use: None, ..one }, other);
    assert_eq!(helped.hand(0), plain.hand(0));
}

#[test]
fn support_given_in_a_round_shows_with_the_next_deal_alone() {
    let mut story = Story::with(stay(), &HANDS, &PILE, |story| story.tell(&offer()).unwrap());
    story.tell(&Command::Support { seat: ONE, support: dots(false, 0) }).unwrap();
    assert_eq!(helpers(&story, 0), [None; 4]);
    assert_eq!(story.table.support(ONE), Some(&dots(false, 0)), "the board shows the wish at once");
    story.tell(&Command::Void(handround_protocol::view::VoidReason::Stopped)).unwrap();
    story.wait_ms(10_000);
    assert_eq!(story.table.phase(), Phase::Dealt);
    let hand = story.hand(0);
    let even: Vec<Option<Helper>> = hand.iter().map(|card| D.filter(|_| card % 2 == 0)).collect();
    assert_eq!(helpers(&story, 0), even);
}

#[test]
fn only_keeping_a_match_for_a_card_without_one_is_a_right_use() {
    let groups = |text: &str| text.bytes().map(|b| GroupIndex(b.into())).collect::<Vec<_>>();
    // kept, given away, staying, right
    let table = "a c aab yes|a c abd yes|a a abc no|a b bcd no|a b acb no|a b ccd no|a b aaa yes";
    for row in table.split('|') {
        let words: Vec<&str> = row.split(' ').collect();
        let (kept, given) = (groups(words[0])[0], groups(words[1])[0]);
        assert_eq!(is_right_use(kept, given, &groups(words[2])), words[3] == "yes", "{row}");
    }
}

#[test]
fn a_helper_fades_from_every_card_to_the_new_card_to_none_and_stays_while_it_is_held() {
    let given = |held, right_uses| HelperGiven { helper: Helper::DotsUnder, held, right_uses };
    let stages: Vec<Stage> = (0..40).map(|uses| stage(&given(false, uses))).collect();
    assert!(stages.is_sorted(), "it never comes back by itself");
    let count = |wanted| stages.iter().filter(|stage| **stage == wanted).count();
    assert_eq!(count(Stage::Whole), usize::from(FADES_AFTER_USES));
    assert_eq!(count(Stage::NewCard), usize::from(GONE_AFTER_USES - FADES_AFTER_USES));
    assert!((0..40).all(|uses| stage(&given(true, uses)) == Stage::Whole));

    for (support, seen) in [
        (dots(false, FADES_AFTER_USES), [None, None, None, None, D]),
        (dots(false, GONE_AFTER_USES), [None; 5]),
        (dots(true, GONE_AFTER_USES), [D, None, D, D, D]),
    ] {
        let mut story = supported(support.clone());
        story.says(0, SeatSays::TakeUp).unwrap();
        assert_eq!(helpers(&story, 0), seen, "{support:?}");
        story.pass(0).unwrap();
        assert_eq!(last_marks(&story).helped, seen.contains(&D));
    }
}

#[test]
fn a_right_use_counts_goes_with_a_move_taken_back_and_is_the_childs_own() {
    let mut story = supported(dots(false, 4));
    story.says(0, SeatSays::TakeUp).unwrap();
    story.says(0, SeatSays::Keep { card: id(2), give: id(4) }).unwrap();
    assert_eq!(uses(&story), 5);
    story.says(0, SeatSays::Undo).unwrap();
    assert_eq!(uses(&story), 4);
    story.pass(0).unwrap();
    assert_eq!(uses(&story), 4, "a pass shows no match");
    // Giving the helper again in other company goes on from the count; another one begins.
    let mut wish = dots(true, 0);
    let new = HelperGiven { helper: Helper::LargerPrint, held: false, right_uses: 30 };
    wish.helpers.push(new);
    story.tell(&Command::Support { seat: ONE, support: wish.clone() }).unwrap();
    let counts: Vec<u16> =
        story.table.support(ONE).unwrap().helpers.iter().map(|one| one.right_uses).collect();
    assert_eq!(counts, [4, 0]);
    wish.helpers.push(new);
    let twice = story.tell(&Command::Support { seat: ONE, support: wish });
    assert_eq!(twice, Err(Refusal::RuleNotPlayable));

    let mut away = supported(dots(false, 0));
    away.says(0, SeatSays::InView { visible: false }).unwrap();
    away.wait_ms(5_100);
    away.says_as(0, By::StandIn, SeatSays::TakeUp).unwrap();
    away.says_as(0, By::StandIn, SeatSays::Keep { card: id(2), give: id(4) }).unwrap();
    assert_eq!((last_marks(&away).right_use, uses(&away)), (None, 0));
}

#[test]
fn an_unhurried_child_is_reminded_after_twice_the_time_and_gets_the_own_hint() {
    let unhurried = Support { unhurried: true, ..Support::default() };
    let mut story = supported(unhurried);
    story.says(0, SeatSays::TakeUp).unwrap();
    let reminded = |story: &Story| story.table.seat_view(ONE).unwrap().hand.unwrap().reminded;
    // It could act for the 2.5 s that every story begins with.
    story.wait_ms(46_000);
    assert!(!reminded(&story));
    story.wait_ms(2_000);
    assert!(reminded(&story) && !story.table.of(ONE).passed_by);
    story.wait_ms(38_000);
    assert!(!story.table.of(ONE).passed_by);
    story.wait_ms(3_000);
    assert!(story.table.of(ONE).passed_by);

    for (missed_four, hinted) in [(Some(MissedFour::Tell), true), (None, false)] {
        let four = [[0, 1, 2, 3], [5, 6, 12, 9], [10, 13, 14, 16]];
        let support = Support { missed_four, ..Support::default() };
        let mut story = Story::with(stay(), &four, &[4, 8, 7, 11, 15, 17, 18, 19], |story| {
            story.happen(Event::SupportGiven { seat: ONE, support });
        });
        story.wait_ms(100);
        let hint = story.table.seat_view(ONE).unwrap().hand.unwrap().hint;
        assert_eq!(!hint.is_empty(), hinted);
    }
}

// --- Naming pictures ----------------------------------------------------------------------------

/// Two children and a practice partner, about to start a game with a deck of pictures.
fn picture_table() -> Story {
    let plan = |index: u16| SeatPlan {
        name: format!("Seat {index}"),
        picture: THINGS[usize::from(index)],
        kind: if index == 2 { SeatKind::Partner } else { SeatKind::Pupil },
        pupil: (index < 2).then_some(handround_protocol::id::PupilIndex(index)),
        by: if index == 2 { By::Partner } else { By::Child },
    };
    let seated = Table::seat((0..3).map(plan).collect()).unwrap();
    let mut story = Story { table: Table::empty(), now: Micros::from_s(1_000), events: Vec::new() };
    story.happen(seated);
    for seat in [ONE, SeatIndex(1)] {
        story.tell(&Command::LinkUp { seat }).unwrap();
    }
    story.tell(&Command::Offer { helpers: Vec::new(), naming: true }).unwrap();
    story
}

fn start(story: &mut Story, deck_id: u8) {
    let mut deck = deck(&[4; 5]);
    deck.id = DeckId([deck_id; 16]);
    let rules = rules(HouseRule::Stay { rounds: 1 });
    story.tell(&Command::Start { rules, deck }).unwrap();
}

#[test]
fn the_deal_waits_until_every_child_has_named_the_pictures() {
    let mut story = picture_table();
    start(&mut story, 1);
    assert_eq!(story.table.phase(), Phase::Naming);
    assert!(story.table.seat_view(ONE).unwrap().hand.is_none());
    story.says(0, SeatSays::PicturesNamed).unwrap();
    story.says(0, SeatSays::PicturesNamed).unwrap();
    assert_eq!(story.table.phase(), Phase::Naming);
    let taken = story.says(1, SeatSays::TakeUp);
    assert_eq!(taken, Err(Refusal::NoRound));
    story.says(1, SeatSays::PicturesNamed).unwrap();
    assert_eq!(story.table.phase(), Phase::Dealt);
    let named = story.events.iter().filter(|event| matches!(event, Event::Named { .. })).count();
    assert_eq!(named, 2);
}

#[test]
fn nobody_waits_longer_than_a_minute_for_the_pictures_nor_for_a_child_who_is_away() {
    let mut story = picture_table();
    start(&mut story, 1);
    story.wait_ms(NAMING_MAX.ms() - 1);
    assert_eq!(story.table.phase(), Phase::Naming);
    story.wait_ms(1);
    assert_eq!(story.table.phase(), Phase::Dealt);

    let mut story = picture_table();
    start(&mut story, 1);
    story.says(0, SeatSays::PicturesNamed).unwrap();
    story.tell(&Command::LinkDown { seat: SeatIndex(1) }).unwrap();
    story.wait_ms(4_900);
    assert_eq!(story.table.phase(), Phase::Naming, "a short break of the link is waited for");
    story.wait_ms(200);
    assert_eq!(story.table.phase(), Phase::Dealt);
}

#[test]
fn a_pause_stops_the_minute_and_the_end_of_the_game_ends_the_naming() {
    let mut story = picture_table();
    start(&mut story, 1);
    story.wait_ms(50_000);
    story.tell(&Command::Pause).unwrap();
    story.wait_ms(100_000);
    story.tell(&Command::Resume).unwrap();
    assert_eq!(story.table.phase(), Phase::Naming);
    story.wait_ms(9_000);
    assert_eq!(story.table.phase(), Phase::Naming);
    story.tell(&Command::End).unwrap();
    assert_eq!(story.table.phase(), Phase::GameOver);
}

#[test]
fn pictures_are_named_once_for_a_deck_and_not_where_nobody_watches() {
    let mut story = picture_table();
    start(&mut story, 1);
    story.wait_ms(NAMING_MAX.ms());
    story.tell(&Command::End).unwrap();
    start(&mut story, 1);
    assert_eq!(story.table.phase(), Phase::Dealt, "a rematch");
    story.tell(&Command::End).unwrap();
    start(&mut story, 2);
    assert_eq!(story.table.phase(), Phase::Naming, "another deck");
    story.tell(&Command::End).unwrap();
    story.tell(&Command::Offer { helpers: Vec::new(), naming: false }).unwrap();
    start(&mut story, 3);
    assert_eq!(story.table.phase(), Phase::Dealt, "switched off, or no pictures");
    story.tell(&Command::End).unwrap();
    story.tell(&Command::Offer { helpers: Vec::new(), naming: true }).unwrap();
    for seat in [ONE, SeatIndex(1)] {
        story.tell(&Command::LinkDown { seat }).unwrap();
    }
    start(&mut story, 4);
    assert_eq!(story.table.phase(), Phase::Dealt, "no child is there");
}

#[test]
fn a_stand_in_names_nothing_for_the_child() {
    let mut story = picture_table();
    start(&mut story, 1);
    let by = By::StandIn;
    let (arrived, link) = (story.now, LinkBounds::NONE);
    let says = SeatSays::PicturesNamed;
    let command = Command::Seat { seat: ONE, by, says, arrived, link };
    assert_eq!(story.table.decide(&command, story.now, Seed([1; 32])), Ok(Vec::new()));
}

// --- A head start ------------------------------------------------------------------------------

#[test]
fn a_head_start_is_a_pair_in_every_deal() {
    let support = Support { head_start: true, ..Support::default() };
    let mut over = supported(support);
    over.tell(&Command::End).unwrap();
    let start = Command::Start { rules: stay(), deck: deck(&[4; 5]) };
    let pairs_in = |table: &Table, seat: u8| {
        let hand: Vec<u16> = table.of(SeatIndex(seat)).hand.iter().map(|card| card.0 / 4).collect();
        hand.iter().enumerate().any(|(at, one)| hand[at + 1..].contains(one))
    };
    let mut others_without = 0;
    for number in 0..60 {
        let mut table = over.table.clone();
        for event in table.decide(&start, over.now, Seed([number; 32])).unwrap() {
            table.apply(&Entry { at: over.now, event });
        }
        assert!(pairs_in(&table, 0), "seed {number}");
        others_without += usize::from(!pairs_in(&table, 1));
    }
    assert!(others_without > 5, "the others are dealt to by chance alone: {others_without} of 60");
}
