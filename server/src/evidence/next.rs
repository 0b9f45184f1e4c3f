//! The next step: who needs the same practice, and with which deck. Suggestions with their reasons; the
//! teacher decides, in the workshop and over the groups as with any other. Who then sits with whom
//! is chosen by `lesson::groups`, which keeps apart whom she wants apart.

use super::bounds::{NAMED_MAX, SHAKY_OF_THREE};
use super::cards::DeckFaces;
use super::recognition::Steadiness;
use super::report::ChildReport;
use handround_protocol::skill::Confusables;
use handround_protocol::wishes::{CardKey, DeckPlan, GroupKey};
use std::collections::{BTreeMap, BTreeSet};

/// What one child needs to practise: pairs that it takes for each other, and items not yet steady.
struct Needs<'a> {
    confused: BTreeSet<&'a (String, String)>,
    shaky: BTreeSet<(&'a str, &'a str)>,
}

impl<'a> Needs<'a> {
    fn of(child: &'a ChildReport) -> Needs<'a> {
        let shaky = child.items.iter().filter(|item| item.says == Steadiness::NotYetSteady);
        Needs {
            confused: child.confusions.iter().map(|found| &found.items).collect(),
            shaky: shaky.map(|item| (item.of_skill.as_str(), item.key.as_str())).collect(),
        }
    }
}

/// For every two children how many confusions, and how many shaky items, only one of them has. A child
/// that needs much is so also unlike one that needs little.
pub fn unlike(children: &[ChildReport]) -> Vec<Vec<[u32; 2]>> {
    let needs: Vec<Needs<'_>> = children.iter().map(Needs::of).collect();
    let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let both = |one: &Needs<'_>, other: &Needs<'_>| {
        let confused = one.confused.symmetric_difference(&other.confused).count();
        let shaky = one.shaky.symmetric_difference(&other.shaky).count();
        [count(confused), count(shaky)]
    };
    needs.iter().map(|one| needs.iter().map(|other| both(one, other)).collect()).collect()
}

/// `“a”`, `“a” and “b”`, `“a”, “b” and “c”`.
fn quoted(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("“{name}”")).collect();
    match quoted.as_slice() {
        [most @ .., last] if !most.is_empty() => format!("{} and {last}", most.join(", ")),
        few => few.concat(),
    }
}

/// Why these children could sit together.
pub fn together_why(group: &[&ChildReport]) -> Vec<String> {
    if group.len() < 2 {
        return Vec::new();
    }
    let mut why = Vec::new();
    let mut confused: BTreeMap<&(String, String), usize> = BTreeMap::new();
    for found in group.iter().flat_map(|child| &child.confusions) {
        *confused.entry(&found.items).or_default() += 1;
    }
    let who = |many: usize| if many == group.len() { "all" } else { "some" };
    for ((one, other), many) in confused.into_iter().filter(|(_, many)| *many >= 2) {
        let who = who(many);
        why.push(format!("Together, since {who} took “{one}” and “{other}” for each other."));
    }
    let shaky = tally(group, Steadiness::NotYetSteady);
    let most = shaky.first().map_or(0, |(_, many)| *many);
    if most >= 2 {
        let same = shaky.iter().filter(|(_, many)| *many == most).take(NAMED_MAX);
        let named: Vec<&str> = same.map(|(item, _)| item.title.as_str()).collect();
        let are = if named.len() == 1 { "is" } else { "are" };
        let who = who(most);
        why.push(format!("Together, since {} {are} not yet steady for {who}.", quoted(&named)));
    }
    if why.is_empty() {
        let said = [Steadiness::Often, Steadiness::NotYetSteady];
        let known =
            group.iter().flat_map(|child| &child.items).any(|item| said.contains(&item.says));
        why.push(if known {
            "Nothing stands out that they need to practise together.".to_owned()
        } else {
            "Too little was played to say who needs the same practice.".to_owned()
        });
    }
    why
}

/// An item as a suggestion names it.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Named {
    of_skill: String,
    key: String,
    title: String,
}

/// Of how many of the children this is said, item by item, that of the most children first.
fn tally(children: &[&ChildReport], says: Steadiness) -> Vec<(Named, usize)> {
    let mut found: BTreeMap<Named, usize> = BTreeMap::new();
    for item in children.iter().flat_map(|child| &child.items).filter(|item| item.says == says) {
        let (of_skill, key, title) = (item.of_skill.clone(), item.key.clone(), item.title.clone());
        *found.entry(Named { of_skill, key, title }).or_default() += 1;
    }
    let mut found: Vec<(Named, usize)> = found.into_iter().collect();
    found.sort_by_key(|(_, times)| std::cmp::Reverse(*times));
    found
}

/// A deck for a group, as the workshop takes it, with what `make` made of it, and why. `latest` is the deck
/// that was played last; `make` tries a plan, and gives `None` if no deck can follow it. No deck if nothing
/// was played, or if the latest cannot be made again.
pub fn suggest<Made>(
    group: &[&ChildReport],
    latest: Option<&DeckFaces>,
    make: impl Fn(&DeckPlan) -> Option<Made>,
) -> (Option<(DeckPlan, Made)>, Vec<String>) {
    let mut why = Vec::new();
    let Some(latest) = latest else { return (None, why) };
    let deck = deck_for(group, latest, make, &mut why);
    if deck.is_none() {
        let name = &latest.name;
        why = vec![format!("No deck: “{name}” cannot be made again, its cards are not kept.")];
    }
    (deck, why)
}

/// Why a set is in a suggested deck.
enum Reason {
    /// Some took it and another for each other.
    Pair((String, String)),
    /// It is not yet steady.
    Shaky(String),
    /// It goes well.
    Firm(String),
}

/// One sentence for each pair, and one each for all that is shaky and all that is firm.
fn in_words(reasons: &[Reason]) -> Vec<String> {
    let mut why: Vec<String> = Vec::new();
    let (mut shaky, mut firm) = (Vec::new(), Vec::new());
    for reason in reasons {
        match reason {
            Reason::Pair((one, other)) => {
                let both = quoted(&[one, other]);
                why.push(format!("In the deck: {both}, which some took for each other."));
            }
            Reason::Shaky(title) => shaky.push(title.as_str()),
            Reason::Firm(title) => firm.push(title.as_str()),
        }
    }
    why.dedup();
    for (titles, one, more) in [
        (shaky, "is not yet steady", "are not yet steady"),
        (firm, "goes well already", "go well already"),
    ] {
        if !titles.is_empty() {
            let says = if titles.len() == 1 { one } else { more };
            why.push(format!("In the deck: {}, which {says}.", quoted(&titles)));
        }
    }
    why
}

fn deck_for<Made>(
    group: &[&ChildReport],
    latest: &DeckFaces,
    make: impl Fn(&DeckPlan) -> Option<Made>,
    why: &mut Vec<String>,
) -> Option<(DeckPlan, Made)> {
    let mut plan = latest.plan.clone();
    plan.wishes.groups_in.clear();
    plan.wishes.cards_in.clear();
    if plan.confusables == Confusables::Target {
        plan.confusables = Confusables::Allow;
    }
    let bare = plan.clone();
    // Of the plan as it is: a wish that nothing can be made with is taken back at once.
    let mut made = make(&plan)?;
    let of_deck = |title: &str| latest.cards.iter().find(|card| card.title == *title);
    let mut wanted: Vec<(String, Reason)> = Vec::new();
    for found in group.iter().flat_map(|child| &child.confusions) {
        let both = [&found.items.0, &found.items.1].map(|title| of_deck(title));
        let both: Vec<_> = both.into_iter().flatten().collect();
        if both.len() == 2 {
            let (one, other) = (&both[0].title, &both[1].title);
            let pair = (one.clone(), other.clone());
            wanted.extend(both.iter().map(|card| (card.item.clone(), Reason::Pair(pair.clone()))));
        }
    }
    let skill = latest.skill_name();
    let of_skill = |says| tally(group, says).into_iter().map(|(item, _)| item);
    for item in of_skill(Steadiness::NotYetSteady).filter(|item| item.of_skill == skill) {
        wanted.push((item.key, Reason::Shaky(item.title)));
    }
    let shaky_max = usize::from(plan.groups) * SHAKY_OF_THREE / 3;
    let firm = of_skill(Steadiness::Often).filter(|item| item.of_skill == skill);
    let firm: Vec<(String, Reason)> =
        firm.map(|item| (item.key, Reason::Firm(item.title))).collect();
    let mut reasons = Vec::new();
    let mut take = |list: Vec<(String, Reason)>, most: usize| {
        for (key, reason) in list {
            let key = GroupKey(key);
            if plan.wishes.groups_in.len() >= most || plan.wishes.groups_in.contains(&key) {
                continue;
            }
            plan.wishes.groups_in.push(key);
            if let Some(with_it) = make(&plan) {
                made = with_it;
                reasons.push(reason);
            } else {
                plan.wishes.groups_in.pop();
            }
        }
    };
    take(wanted, shaky_max);
    take(firm, usize::from(bare.groups));
    why.extend(in_words(&reasons));
    let kinds = group.iter().flat_map(|child| &child.kinds);
    let mut shaky: Vec<_> =
        kinds.filter(|kind| kind.recognition.says == Some(Steadiness::NotYetSteady)).collect();
    shaky.sort_by_key(|kind| kind.kind);
    shaky.dedup_by_key(|kind| kind.kind);
    let mut more = Vec::new();
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
            if let Some(with_it) = make(&plan) {
                made = with_it;
            } else {
                plan.wishes.cards_in.pop();
            }
        }
        if plan.wishes.cards_in.len() > before {
            more.push(kind.name.as_str());
        }
    }
    if !more.is_empty() {
        why.push(format!("More cards of the kinds not yet steady: {}.", more.join(", ")));
    }
    if plan == bare {
        why.push("The same deck again: nothing stands out yet.".to_owned());
    }
    Some((plan, made))
}
