//! How a deck would look: what a teacher sees in the workshop before any child does.

use super::swap::shown_of;
use super::{card_key, distinct, fit, group_key, keep_all, swap, title};
use crate::deck::cards::Deck;
use crate::deck::difficulty::{Difficulty, difficulty};
use crate::deck::error::DeckError;
use crate::deck::face;
use crate::deck::families::{Material, family_with, left_out};
use crate::deck::family::{Family, MatchGroup};
use crate::deck::likeness::Meaning;
use handround_protocol::face::FaceKind;
use handround_protocol::id::DeckId;
use handround_protocol::limits::GROUP_CARDS_MIN;
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::{Helper, LessonPlan};
use handround_protocol::wishes::DeckPlan;
use handround_protocol::workshop::{
    CardPreview, DeckPreview, GroupChoice, GroupPreview, KindChoice, PreviewAsk,
};
use std::collections::BTreeSet;

/// Groups that are offered one by one; longer lists, such as all numbers to 999, are left to chance and
/// to swapping.
const CHOICES_MAX: usize = 160;

/// The preview of a deck; wishes that its other settings have made impossible are let go.
///
/// # Errors
/// Why no such deck can be made, as a sentence.
pub fn preview(ask: &PreviewAsk, material: Material<'_>) -> Result<DeckPreview, DeckError> {
    let PreviewAsk { deck: asked, draw, swap: wanted, lesson: _, helpers } = ask;
    let seed = seed_of(*draw);
    let plan = LessonPlan::for_ages(asked.ages).with_deck(asked.clone());
    let family = family_with(&plan, material)?;
    if asked.groups == 0 {
        return Err(DeckError::NoGroups);
    }
    let mut plan = fit(&family, asked);
    if let Some(wanted) = wanted {
        plan = swap(&family, &plan, wanted, seed)?;
    }
    let id = DeckId([0; 16]);
    let made =
        |plan: &DeckPlan| family.wished(plan.groups, plan.confusables, &plan.wishes, id, seed);
    let deck = match made(&plan) {
        Ok(deck) => deck,
        // What was kept stands in the way of a changed setting, such as seeking pairs: begin afresh.
        Err(_) if wanted.is_none() && !plan.wishes.groups_in.is_empty() => {
            plan.wishes.groups_in.clear();
            plan.wishes.cards_in.clear();
            made(&plan)?
        }
        Err(error) => return Err(error),
    };
    let plan = keep_all(&family, &plan, &deck);
    let groups_max = family.left(&plan.wishes).groups_max(plan.confusables);
    Ok(DeckPreview {
        name: deck.name.clone(),
        groups: groups(&family, &plan, &deck, helpers),
        choices: choices(&family, &plan),
        groups_max,
        kinds: kinds(&family, &plan),
        largest_table: deck.largest_table(),
        notes: left_out_of(&plan, material)
            .into_iter()
            .chain(notes(&family, asked, &plan, &deck))
            .collect(),
        deck: plan,
    })
}

/// The seed that a draw's number stands for.
pub fn seed_of(draw: u32) -> [u8; 32] {
    let mut seed = [0; 32];
    seed[..4].copy_from_slice(&draw.to_le_bytes());
    seed
}

fn groups(
    family: &Family,
    plan: &DeckPlan,
    deck: &Deck,
    helpers: &BTreeSet<Helper>,
) -> Vec<GroupPreview> {
    let card = |(kind, shown): (FaceKind, _)| {
        // As in a game: of a child's helpers a card shows the first that its face has.
        let mut helped = helpers
            .iter()
            .filter_map(|helper| Some((*helper, face::draw_helped(*helper, kind, &shown)?)));
        let (helper, svg) = helped.next().unzip();
        CardPreview {
            svg: svg.or_else(|| face::draw(kind, &shown)).unwrap_or_else(face::blank),
            label: face::label_after(kind, &shown),
            key: card_key(&(kind, shown)),
            helper,
        }
    };
    let group = |key| {
        let own = family.groups.iter().find(|group| group_key(&group.meaning) == key)?;
        let showable =
            distinct(own).into_iter().filter(|card| !plan.wishes.kinds_out.contains(&card.0));
        let has_more_cards = showable.count() > GROUP_CARDS_MIN;
        let mut cards: Vec<CardPreview> = shown_of(own, deck).into_iter().map(card).collect();
        // In the order of the plan, so that a card keeps its place on the page.
        let place =
            |card: &CardPreview| plan.wishes.cards_in.iter().position(|key| *key == card.key);
        cards.sort_by_key(place);
        Some(GroupPreview { key, title: title(own), cards, has_more_cards })
    };
    plan.wishes.groups_in.iter().cloned().filter_map(group).collect()
}

fn choices(family: &Family, plan: &DeckPlan) -> Vec<GroupChoice> {
    if family.groups.len() > CHOICES_MAX {
        return Vec::new();
    }
    let choice = |group: &MatchGroup| {
        let key = group_key(&group.meaning);
        let chosen = plan.wishes.groups_in.contains(&key);
        GroupChoice { title: title(group), key, chosen }
    };
    family.groups.iter().map(choice).collect()
}

fn kinds(family: &Family, plan: &DeckPlan) -> Vec<KindChoice> {
    let choice = |kind: FaceKind| KindChoice {
        kind,
        name: face::kind_name(kind).to_owned(),
        chosen: !plan.wishes.kinds_out.contains(&kind),
    };
    family.kinds().into_iter().map(choice).collect()
}

/// Whose names no card of a class's deck can show.
fn left_out_of(plan: &DeckPlan, material: Material<'_>) -> Option<String> {
    let left = if plan.skill == Skill::OurClass { left_out(material.class) } else { Vec::new() };
    (!left.is_empty()).then(|| {
        format!(
            "Without {}: a card needs a name of two letters or more in Latin script. They play along \
             all the same; a deck of your own can show their names as pictures.",
            left.join(", ")
        )
    })
}

/// What a teacher should know, in sentences.
fn notes(family: &Family, asked: &DeckPlan, plan: &DeckPlan, deck: &Deck) -> Vec<String> {
    let mut notes = Vec::new();
    if plan.groups < asked.groups {
        notes.push(format!("There can be at most {} groups here.", plan.groups));
    }
    let found = difficulty(deck);
    notes.push(hardness(family, &found));
    if plan.confusables == Confusables::Allow && !found.confusable_pairs.is_empty() {
        notes.push("Choose “leave out” above for a deck without such pairs.".to_owned());
    }
    let has = |meaning: &Meaning| plan.wishes.groups_in.contains(&group_key(meaning));
    let by_digits = matches!(plan.skill, Skill::PlaceValue { .. });
    if by_digits
        && !family.starts.is_empty()
        && !family.starts.iter().any(|start| start.iter().all(has))
    {
        notes.push(
            "No three of these numbers share their digits, so that a child can match by one digit \
             alone."
                .to_owned(),
        );
    }
    notes
}

fn hardness(family: &Family, found: &Difficulty) -> String {
    let called = |meaning: &Meaning| {
        let group = family.groups.iter().find(|group| group.meaning == *meaning);
        group.map_or_else(|| group_key(meaning).0, title)
    };
    let count = |number: usize, one: &str, many: &str| {
        format!("{number} {}", if number == 1 { one } else { many })
    };
    let mut parts = vec![
        count(found.groups, "group", "groups"),
        count(found.kinds, "kind of face", "kinds of face"),
    ];
    let pairs: Vec<String> = found
        .confusable_pairs
        .iter()
        .map(|(one, other)| format!("{} and {}", called(one), called(other)))
        .collect();
    parts.push(match pairs.as_slice() {
        [] => "no pairs that children take for each other".to_owned(),
        few if few.len() <= 3 => {
            let named = few.join(", ");
            format!(
                "{} that children take for each other ({named})",
                count(few.len(), "pair", "pairs")
            )
        }
        many => {
            let named = many[..3].join(", ");
            format!("{} pairs that children take for each other ({named} …)", many.len())
        }
    });
    if found.neighbours > 0 {
        parts.push(count(found.neighbours, "pair of neighbours", "pairs of neighbours"));
    }
    format!("Difficulty {}: {}.", found.score(), parts.join(", "))
}
