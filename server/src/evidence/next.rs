//! The next step: who could sit together, and with which deck. Suggestions with their reasons; the
//! teacher decides, in the workshop and over the groups as with any other.

use super::cards::DeckFaces;
use super::report::{ChildReport, Steadiness};
use handround_protocol::skill::Confusables;
use handround_protocol::wishes::{CardKey, DeckPlan, GroupKey};
use serde::Serialize;
use std::collections::BTreeMap;

/// Groups of a suggested deck that may be shaky ones; the rest is firm or left to chance, so that
/// every child has something that goes well. Common practice, no source; the share is our choice.
const SHAKY_OF_THREE: usize = 2;

/// Children who could sit together, and their deck.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Suggested {
    /// The children.
    pub children: Vec<String>,
    /// The deck, as the workshop takes it; `None` where nothing was played yet.
    pub deck: Option<DeckPlan>,
    /// Why, in sentences.
    pub why: Vec<String>,
}

/// Sizes of tables of three and four for a class: threes t = (4 - n mod 4) mod 4, fours = (n - 3t) / 4.
/// 1, 2 and 5 children are one table.
fn sizes(children: usize) -> Vec<usize> {
    let threes = (4 - children % 4) % 4;
    match children.checked_sub(3 * threes) {
        Some(rest) => [vec![4; rest / 4], vec![3; threes]].concat(),
        None => vec![children],
    }
}

/// How many of the children say this of an item, by its key and title.
fn tally(children: &[&ChildReport], says: Steadiness) -> Vec<(String, String, usize)> {
    let mut found: BTreeMap<&str, (&str, usize)> = BTreeMap::new();
    for item in children.iter().flat_map(|child| &child.items).filter(|item| item.says == says) {
        found.entry(&item.key).or_insert((&item.title, 0)).1 += 1;
    }
    let mut found: Vec<(String, String, usize)> =
        found.into_iter().map(|(key, (title, n))| (key.into(), title.into(), n)).collect();
    found.sort_by_key(|(.., times)| std::cmp::Reverse(*times));
    found
}

/// Groups for the next lesson and a deck for each. `latest` is the deck that was played last;
/// `playable` says whether a deck can be made.
pub fn suggest(
    children: &[ChildReport],
    latest: Option<&DeckFaces>,
    playable: impl Fn(&DeckPlan) -> bool,
) -> Vec<Suggested> {
    // Children who confuse the same, and then those who are unsure of equally much, sit together.
    let mut order: Vec<&ChildReport> = children.iter().collect();
    let shaky = |child: &ChildReport| {
        child.items.iter().filter(|item| item.says == Steadiness::NotYetSteady).count()
    };
    order.sort_by_cached_key(|child| {
        let confused = child.confusions.first().map(|found| found.items.clone());
        (confused.is_none(), confused, std::cmp::Reverse(shaky(child)))
    });
    let mut rest = order.as_slice();
    let mut groups = Vec::new();
    for size in sizes(children.len()) {
        let (group, others) = rest.split_at(size.min(rest.len()));
        rest = others;
        if !group.is_empty() {
            groups.push(suggest_one(group, latest, &playable));
        }
    }
    groups
}

fn suggest_one(
    group: &[&ChildReport],
    latest: Option<&DeckFaces>,
    playable: impl Fn(&DeckPlan) -> bool,
) -> Suggested {
    let mut why = vec![together(group)];
    let deck = latest.map(|latest| deck_for(group, latest, playable, &mut why));
    Suggested { children: group.iter().map(|child| child.name.clone()).collect(), deck, why }
}

fn together(group: &[&ChildReport]) -> String {
    let all = |found: &(String, String)| {
        group.iter().all(|child| child.confusions.iter().any(|own| own.items == *found))
    };
    let first = group.first().and_then(|child| child.confusions.first());
    match first.map(|found| &found.items).filter(|items| group.len() > 1 && all(items)) {
        Some((one, other)) => {
            format!("Together, since all took “{one}” and “{other}” for each other.")
        }
        None => "Together, since about equally much is not yet steady.".to_owned(),
    }
}

fn deck_for(
    group: &[&ChildReport],
    latest: &DeckFaces,
    playable: impl Fn(&DeckPlan) -> bool,
    why: &mut Vec<String>,
) -> DeckPlan {
    let mut plan = latest.plan.clone();
    plan.wishes.groups_in.clear();
    plan.wishes.cards_in.clear();
    if plan.confusables == Confusables::Target {
        plan.confusables = Confusables::Allow;
    }
    let bare = plan.clone();
    let of_deck =
        |key: &str| latest.cards.iter().find(|card| card.item == *key || card.title == *key);
    let mut wanted: Vec<(String, String)> = Vec::new();
    for found in group.iter().flat_map(|child| &child.confusions) {
        let both = [&found.items.0, &found.items.1].map(|title| of_deck(title));
        let both: Vec<_> = both.into_iter().flatten().collect();
        if both.len() == 2 {
            let (one, other) = (&both[0].title, &both[1].title);
            let reason = format!("“{one}” and “{other}”, which some took for each other.");
            wanted.extend(both.iter().map(|card| (card.item.clone(), reason.clone())));
        }
    }
    for (key, title, _) in tally(group, Steadiness::NotYetSteady) {
        wanted.push((key, format!("“{title}”, which is not yet steady.")));
    }
    let shaky_max = usize::from(plan.groups) * SHAKY_OF_THREE / 3;
    let firm = tally(group, Steadiness::Often).into_iter();
    let firm: Vec<(String, String)> =
        firm.map(|(key, title, _)| (key, format!("“{title}”, which goes well already."))).collect();
    let mut take = |list: Vec<(String, String)>, most: usize| {
        for (key, reason) in list {
            let key = GroupKey(key);
            if plan.wishes.groups_in.len() >= most || plan.wishes.groups_in.contains(&key) {
                continue;
            }
            plan.wishes.groups_in.push(key);
            if playable(&plan) {
                let reason = format!("In the deck: {reason}");
                if !why.contains(&reason) {
                    why.push(reason);
                }
            } else {
                plan.wishes.groups_in.pop();
            }
        }
    };
    take(wanted, shaky_max);
    take(firm, usize::from(bare.groups));
    let kinds = group.iter().flat_map(|child| &child.kinds);
    let mut shaky: Vec<_> =
        kinds.filter(|kind| kind.recognition.says == Some(Steadiness::NotYetSteady)).collect();
    shaky.sort_by_key(|kind| kind.kind);
    shaky.dedup_by_key(|kind| kind.kind);
    for kind in shaky {
        let before = plan.wishes.cards_in.len();
        let chosen = |card: &&super::CardFace| {
            let key = GroupKey(card.item.clone());
            card.kind == kind.kind && !card.card.is_empty() && plan.wishes.groups_in.contains(&key)
        };
        let cards: Vec<CardKey> =
            latest.cards.iter().filter(chosen).map(|card| CardKey(card.card.clone())).collect();
        for card in cards {
            plan.wishes.cards_in.push(card);
            if !playable(&plan) {
                plan.wishes.cards_in.pop();
            }
        }
        if plan.wishes.cards_in.len() > before {
            why.push(format!("More cards of one kind, “{}”, which is not yet steady.", kind.name));
        }
    }
    if plan == bare {
        why.push("The same deck again: nothing stands out yet.".to_owned());
    }
    if playable(&plan) { plan } else { bare }
}
