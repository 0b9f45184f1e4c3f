//! A teacher's wishes for a deck: for every skill, what she keeps is there, what she leaves out is not,
//! what she swaps changes alone, and what cannot be is refused in a sentence.
#![allow(clippy::unwrap_used)]

use handround_protocol::face::{FaceKind, HelpedFace};
use handround_protocol::house::AgeBand;
use handround_protocol::id::DeckId;
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::{Helper, LessonPlan};
use handround_protocol::wishes::{CardKey, DeckPlan, GroupKey};
use handround_protocol::workshop::{CardPreview, DeckPreview, GroupPreview, PreviewAsk, Swap};
use handround_server::deck::face::HELPERS;
use handround_server::deck::families::skills_on_offer;
use handround_server::deck::valid::check;
use handround_server::deck::wishes::{card_key, group_key, preview, title};
use handround_server::deck::{Material, family_of, from_plan};
use proptest::prelude::*;
use std::collections::BTreeSet;

const ID: DeckId = DeckId([7; 16]);

fn skills() -> Vec<Skill> {
    skills_on_offer().iter().flat_map(|offer| offer.settings.clone()).map(|one| one.skill).collect()
}

fn deck(skill: Skill) -> DeckPlan {
    let plan = LessonPlan { skill, groups: 6, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
    plan.deck()
}

fn look(deck: &DeckPlan, draw: u32, swap: Option<Swap>) -> Result<DeckPreview, String> {
    preview(
        &PreviewAsk { deck: deck.clone(), draw, swap, lesson: None, helpers: [].into() },
        Material::default(),
    )
    .map_err(|error| error.to_string())
}

/// What the lesson's table gets for this plan: cards by name, and whether the deck is valid.
fn played(deck: &DeckPlan, seed: [u8; 32]) -> Result<BTreeSet<CardKey>, String> {
    let plan = LessonPlan::for_ages(deck.ages).with_deck(deck.clone());
    let made = from_plan(&plan, ID, seed).map_err(|error| error.to_string())?;
    check(&made.sheet(), made.likeness).map_err(|fault| fault.to_string())?;
    Ok(made.cards.iter().map(|card| card_key(&(card.face, card.shown.clone()))).collect())
}

fn shown(preview: &DeckPreview) -> BTreeSet<CardKey> {
    preview.groups.iter().flat_map(|group| &group.cards).map(|card| card.key.clone()).collect()
}

/// What could stand in a group's place, found by trying every other group with those that stay.
fn others_instead_of(shown: &DeckPreview, group: &GroupPreview) -> Vec<GroupKey> {
    let lesson = LessonPlan::for_ages(shown.deck.ages).with_deck(shown.deck.clone());
    let family = family_of(&lesson).unwrap();
    let own: Vec<CardKey> = group.cards.iter().map(|card| card.key.clone()).collect();
    let mut stay = shown.deck.clone();
    stay.wishes.groups_in.retain(|key| *key != group.key);
    stay.wishes.cards_in.retain(|key| !own.contains(key));
    let keys = family.groups.iter().map(|group| group_key(&group.meaning));
    let new = keys.filter(|key| !shown.deck.wishes.groups_in.contains(key));
    new.filter(|key| {
        let mut with = stay.clone();
        with.wishes.groups_in.push(key.clone());
        played(&with, [1; 32]).is_ok()
    })
    .collect()
}

fn group_keys(preview: &DeckPreview) -> Vec<GroupKey> {
    preview.groups.iter().map(|group| group.key.clone()).collect()
}

/// Stored plans hold these names, so two groups or cards of one skill never share one.
#[test]
fn names_tell_groups_and_cards_apart() {
    for skill in skills() {
        let family = family_of(&LessonPlan::for_ages(AgeBand::SixToSeven).with_deck(deck(skill)));
        let family = family.unwrap();
        let mut groups = BTreeSet::new();
        let mut titles = BTreeSet::new();
        let mut cards = BTreeSet::new();
        for group in &family.groups {
            assert!(groups.insert(group_key(&group.meaning)), "{skill:?} {:?}", group.meaning);
            assert!(titles.insert(title(group)), "{skill:?}: two groups read {}", title(group));
            let own: BTreeSet<_> = group.cards().collect();
            for card in own {
                let key = card_key(card);
                assert!(key.0.len() <= handround_protocol::limits::DECK_KEY_BYTES_MAX, "{key:?}");
                assert!(cards.insert(key), "{skill:?} {card:?}");
            }
        }
    }
}

/// Names once released stay: these stand in files that teachers share.
#[test]
fn names_are_as_before() {
    let table = [
        (Skill::Numbers, "7", "TenFrame 7"),
        (Skill::PartnersOfTen, "3+7", "Addition 3 + 7"),
        (Skill::Letters, "b", "SmallLetter b"),
        (Skill::ClockTimes { step_minutes: 30 }, "10:30", "ClockRound 10:30"),
        (Skill::Coins { cents_max: 50 }, "25c", "Coins 25"),
        (Skill::Shapes, "square", "Shape square 0"),
        (Skill::EqualShares, "2/3", "Shares circle 2/3"),
        (Skill::ShortVowelWords, "cat", "Picture cat"),
    ];
    for (skill, group, card) in table {
        let family = family_of(&LessonPlan::for_ages(AgeBand::SixToSeven).with_deck(deck(skill)));
        let family = family.unwrap();
        let found = family.groups.iter().find(|found| group_key(&found.meaning).0 == group);
        let found = found.unwrap_or_else(|| panic!("{skill:?} has no {group}"));
        let cards: Vec<String> = found.cards().map(|card| card_key(card).0).collect();
        assert!(cards.iter().any(|found| found == card), "{skill:?}: {cards:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// What the page shows is what the table gets, whatever the lesson's own seed; swapping changes
    /// the one thing and nothing else.
    #[test]
    fn what_is_shown_is_played_and_a_swap_changes_one_thing(
        skill in prop::sample::select(skills()),
        way in prop::sample::select(vec![Confusables::Avoid, Confusables::Allow, Confusables::Target]),
        draw: u32,
        seed: [u8; 32],
        pick: prop::sample::Index,
        which: prop::sample::Index,
    ) {
        let asked = DeckPlan { confusables: way, ..deck(skill) };
        let Ok(first) = look(&asked, draw, None) else {
            // Only a skill without such pairs cannot be asked for them.
            prop_assert_eq!(way, Confusables::Target);
            return Ok(());
        };
        prop_assert_eq!(played(&first.deck, seed), Ok(shown(&first)));
        let again = look(&first.deck, draw.wrapping_add(1), None).unwrap();
        prop_assert!(again.groups == first.groups, "another look shows another deck");

        let group = pick.get(&first.groups);
        let swapped = look(&first.deck, draw, Some(Swap::Group(group.key.clone())));
        if let Err(no) = &swapped {
            prop_assert_eq!(others_instead_of(&first, group), vec![], "{}", no);
        }
        if let Ok(next) = swapped {
            let (before, after) = (group_keys(&first), group_keys(&next));
            prop_assert!(!after.contains(&group.key));
            prop_assert_eq!(after.len(), before.len());
            let stayed = before.iter().filter(|key| after.contains(key)).count();
            prop_assert_eq!(stayed, before.len() - 1);
            for still in next.groups.iter().filter(|still| before.contains(&still.key)) {
                prop_assert!(first.groups.contains(still), "{} changed too", still.title);
            }
            prop_assert_eq!(played(&next.deck, seed), Ok(shown(&next)));
        }
        let card = which.get(&group.cards);
        let next = look(&first.deck, draw, Some(Swap::Card(card.key.clone())));
        // With wishes that tie the deck, such as seeking pairs, a card may have to stay.
        prop_assert_eq!(next.is_ok(), group.has_more_cards, "{:?}", next);
        if let Ok(next) = next {
            let gone: Vec<_> = shown(&first).difference(&shown(&next)).cloned().collect();
            prop_assert_eq!(gone, vec![card.key.clone()]);
            prop_assert_eq!(group_keys(&next), group_keys(&first));
            prop_assert_eq!(played(&next.deck, seed), Ok(shown(&next)));
        }
    }

    /// A kind that is left out shows nowhere, and its coming back is no trouble.
    #[test]
    fn a_kind_left_out_shows_nowhere(
        skill in prop::sample::select(skills()),
        pick: prop::sample::Index,
        seed: [u8; 32],
    ) {
        let first = look(&deck(skill), 3, None).unwrap();
        let kind = pick.get(&first.kinds).kind;
        let mut without = first.deck.clone();
        without.wishes.kinds_out.push(kind);
        match look(&without, 3, None) {
            Ok(next) => {
                let cards = played(&next.deck, seed).unwrap();
                let name = format!("{kind:?} ");
                prop_assert!(cards.iter().all(|card| !card.0.starts_with(&name)), "{cards:?}");
                let mut back = next.deck.clone();
                back.wishes.kinds_out.clear();
                prop_assert!(look(&back, 3, None).is_ok());
            }
            Err(words) => prop_assert!(words.contains("left out") && words.ends_with('.'), "{words}"),
        }
    }
}

/// Only some letters have enough cards without book print, so few pairs are left to practise. A group is
/// refused only if no other one would leave a pair, and then the sentence says so.
#[test]
fn another_group_is_found_wherever_one_would_leave_a_pair() {
    let table = [
        ("bhklmrt", "b", "fn"),
        ("bchprst", "b", "efn"),
        ("beklprs", "p", "h"),
        ("beklprs", "b", ""),
    ];
    let keys = |letters: &str| -> Vec<GroupKey> {
        letters.chars().map(|letter| GroupKey(letter.into())).collect()
    };
    for (kept, gone, possible) in table {
        let mut asked = deck(Skill::Letters);
        asked.confusables = Confusables::Target;
        asked.wishes.kinds_out = vec![FaceKind::BookLetter];
        asked.wishes.groups_in = keys(kept);
        asked.groups = u8::try_from(kept.len()).unwrap();
        let first = look(&asked, 1, None).unwrap();
        let gone = first.groups.iter().find(|group| group.key.0 == gone).unwrap();
        assert_eq!(others_instead_of(&first, gone), keys(possible), "{kept}");
        for draw in 0..8 {
            match look(&first.deck, draw, Some(Swap::Group(gone.key.clone()))) {
                Ok(next) => {
                    let new = group_keys(&next).into_iter().find(|key| !keys(kept).contains(key));
                    assert!(keys(possible).contains(&new.unwrap()), "{kept}, draw {draw}");
                }
                Err(no) => {
                    assert!(possible.is_empty() && no.contains("no pair is left"), "{kept}: {no}")
                }
            }
        }
    }
}

/// Swapping on and on comes round again instead of ending in a no.
#[test]
fn swapping_on_comes_round() {
    for swap in [Swap::Group as fn(GroupKey) -> Swap, |key: GroupKey| {
        Swap::Card(CardKey(format!("Picture {}", key.0)))
    }] {
        let mut now = look(&deck(Skill::Numbers), 1, None).unwrap();
        for round in 0..40 {
            let group = now.groups[0].clone();
            let wanted = match swap(group.key.clone()) {
                Swap::Group(key) => Swap::Group(key),
                Swap::Card(_) => Swap::Card(group.cards[0].key.clone()),
            };
            now = look(&now.deck, round, Some(wanted)).unwrap();
            assert_eq!(now.groups.len(), 6);
        }
    }
}

/// What cannot be is refused with its reason and what would help; none of it is made.
#[test]
fn what_cannot_be_is_refused_in_a_sentence() {
    let keys =
        |names: &[&str]| names.iter().map(|name| GroupKey((*name).into())).collect::<Vec<_>>();
    let cards =
        |names: &[&str]| names.iter().map(|name| CardKey((*name).into())).collect::<Vec<_>>();
    let words = deck(Skill::ShortVowelWords);
    let with = |deck: &DeckPlan, change: &dyn Fn(&mut DeckPlan)| {
        let mut deck = deck.clone();
        change(&mut deck);
        deck
    };
    let numbers = deck(Skill::Numbers);
    let table = [
        (
            with(&words, &|deck| deck.wishes.groups_in = keys(&["unicorn"])),
            "no group called `unicorn`",
        ),
        (
            with(&words, &|deck| deck.wishes.groups_in = keys(&["hat", "cap"])),
            "`hat` and `cap` cannot be in one deck",
        ),
        (
            with(&words, &|deck| {
                deck.wishes.groups_in = keys(&["cat"]);
                deck.wishes.groups_out = keys(&["cat"]);
            }),
            "both kept and left out",
        ),
        (
            with(&deck(Skill::Letters), &|deck| {
                deck.wishes.groups_in = keys(&["b", "d"]);
                deck.confusables = Confusables::Avoid;
            }),
            "Children take `Bb` and `Dd` for each other",
        ),
        (
            with(&deck(Skill::Shapes), &|deck| {
                deck.wishes.groups_in = keys(&["square", "rectangle"])
            }),
            "one shape is also the other",
        ),
        (
            with(&numbers, &|deck| {
                deck.groups = 2;
                deck.wishes.groups_in = keys(&["1", "2", "3"]);
            }),
            "3 groups are kept, and the deck has 2",
        ),
        (
            with(&numbers, &|deck| {
                deck.wishes.groups_in = keys(&["4"]);
                deck.wishes.cards_out = cards(&["TenFrame 4", "Dots 4", "Tally 4", "NumberWord 4"]);
            }),
            "`4` has only 2 of 4 cards left",
        ),
        (
            with(&numbers, &|deck| deck.wishes.cards_in = cards(&["Coins 25"])),
            "`Coins 25` is not among",
        ),
        (
            with(&numbers, &|deck| {
                deck.wishes.cards_in =
                    cards(&["Numeral 4", "TenFrame 4", "Dots 4", "Tally 4", "NumberWord 4"]);
                deck.wishes.groups_in = keys(&["4"]);
            }),
            "shows four cards, and more are kept",
        ),
        (
            with(&numbers, &|deck| {
                deck.groups = 13;
                deck.number_max = 14;
                deck.wishes.groups_out = keys(&["3", "4"]);
            }),
            "at most 12 groups, not 13",
        ),
        (
            with(&numbers, &|deck| {
                deck.wishes.kinds_out =
                    vec![FaceKind::Dots, FaceKind::Numeral, FaceKind::NumberWord];
                deck.number_min = 11;
                deck.number_max = 20;
            }),
            "left out",
        ),
        (
            with(&numbers, &|deck| deck.wishes.groups_out = vec![GroupKey("x".into()); 500]),
            "more wishes than a deck can follow",
        ),
        (
            with(&numbers, &|deck| deck.wishes.cards_out = vec![CardKey("x".repeat(5000))]),
            "more wishes than a deck can follow",
        ),
    ];
    for (deck, expected) in table {
        let no = played(&deck, [1; 32]).unwrap_err();
        assert!(no.contains(expected) && no.ends_with('.'), "{no} does not say: {expected}");
    }
}

/// A look at the deck lets go what a change of settings has made impossible, and says what it could not
/// give.
#[test]
fn a_changed_setting_lets_go_what_no_longer_fits() {
    let letters = look(&deck(Skill::Letters), 5, None).unwrap();
    let shapes = DeckPlan { skill: Skill::Shapes, groups: 13, ..letters.deck };
    let shapes = look(&shapes, 5, None).unwrap();
    assert!(shapes.deck.groups < 13 && shapes.deck.groups == shapes.groups_max);
    assert!(shapes.notes[0].contains("at most"), "{:?}", shapes.notes);
    let fewer = DeckPlan { groups: 5, ..shapes.deck.clone() };
    let fewer = look(&fewer, 5, None).unwrap();
    assert_eq!(fewer.groups[..], shapes.groups[..5], "the first ones stay");
}

/// A plan without wishes gives the deck that it gave before there were any.
#[test]
fn stored_plans_read_as_plans_without_wishes() {
    let plan = LessonPlan::for_ages(AgeBand::FiveToSix);
    let mut stored = serde_json::to_value(&plan).unwrap();
    stored.as_object_mut().unwrap().remove("wishes");
    assert_eq!(serde_json::from_value::<LessonPlan>(stored).unwrap(), plan);
    assert!(plan.wishes.is_empty());
}

/// The look with helpers shows what a child's device draws: the sheet's own drawing with that helper, and
/// the plain one where the face has none. Of several helpers a card shows the first that it has.
#[test]
fn a_look_with_helpers_is_what_a_child_with_them_sees() {
    let mut seen: BTreeSet<Helper> = BTreeSet::new();
    for skill in
        [Skill::Numbers, Skill::ShortVowelWords, Skill::SightWords, Skill::Coins { cents_max: 100 }]
    {
        let plan = DeckPlan { skill, ..LessonPlan::for_ages(AgeBand::FiveToSix).deck() };
        let look = |helpers: &[Helper]| {
            let helpers = helpers.iter().copied().collect();
            let ask = PreviewAsk { deck: plan.clone(), draw: 3, swap: None, lesson: None, helpers };
            preview(&ask, Material::default()).unwrap()
        };
        let plain = look(&[]);
        let lesson = LessonPlan::for_ages(plan.ages).with_deck(plain.deck.clone());
        let sheet = from_plan(&lesson, ID, [0; 32]).unwrap().sheet();
        let every: Vec<Vec<Helper>> =
            HELPERS.iter().map(|helper| vec![*helper]).chain([HELPERS.to_vec()]).collect();
        for helpers in every {
            let helped = look(&helpers);
            assert_eq!(helped.deck, plain.deck, "what a child gets changes no deck");
            let cards = |preview: &DeckPreview| -> Vec<CardPreview> {
                preview.groups.iter().flat_map(|group| group.cards.clone()).collect()
            };
            for (card, plain) in cards(&helped).into_iter().zip(cards(&plain)) {
                assert_eq!((&card.key, &card.label), (&plain.key, &plain.label));
                let face = sheet.faces.iter().position(|face| face.svg == plain.svg).unwrap();
                let own = |helper: &Helper| {
                    let with = |one: &&HelpedFace| {
                        usize::from(one.face.0) == face && one.helper == *helper
                    };
                    sheet.with_helper.iter().find(with).map(|one| (*helper, one.svg.clone()))
                };
                let expected = helpers.iter().find_map(own).unzip();
                assert_eq!(card.helper, expected.0, "{} {helpers:?}", card.label);
                assert_eq!(card.svg, expected.1.unwrap_or(plain.svg), "{}", card.label);
                seen.extend(card.helper);
            }
        }
    }
    assert_eq!(seen.len(), HELPERS.len(), "{seen:?}");
}
