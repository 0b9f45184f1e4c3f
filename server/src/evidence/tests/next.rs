//! What could come next, for children whose reports are written down here by hand.

use crate::deck::own::{Format, OwnDeck, Pictures, read};
use crate::deck::wishes::make;
use crate::deck::{Material, from_plan_with};
use crate::evidence::{
    ChildReport, Confusion, DeckFaces, ItemLine, Played, Steadiness, child, suggest, together_why,
    unlike,
};
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, OwnDeckId};
use handround_protocol::skill::{Confusables, Skill};
use handround_protocol::view::LessonPlan;
use handround_protocol::wishes::{DeckPlan, GroupKey};

/// `Ada: 3 7 not steady, 2 often, 1/4 confused`: items by key, pairs by title.
fn told(text: &str, skill: Skill) -> ChildReport {
    let (name, says) = text.split_once(": ").unwrap();
    let nothing = Played { name: name.to_owned(), unhurried: false, decisions: Vec::new() };
    let mut report = child(&nothing);
    for part in says.split(", ") {
        let (words, says) = part.split_once(' ').map_or((part, ""), |_| {
            let end = part.find(" not steady").or(part.find(" often")).or(part.find(" confused"));
            end.map_or((part, ""), |end| part.split_at(end))
        });
        for word in words.split_whitespace().filter(|word| *word != "nothing") {
            if let Some((one, other)) = word.split_once('/') {
                let items = (one.to_owned(), other.to_owned());
                report.confusions.push(Confusion { items, grabs: 2, pairs_broken: 0, of: 30 });
                continue;
            }
            report.items.push(ItemLine {
                key: word.to_owned(),
                title: word.to_owned(),
                skill: "a deck".to_owned(),
                of_skill: format!("{skill:?}"),
                chances: 12,
                kept: Some(6),
                interval: None,
                known: None,
                says: if says == " often" { Steadiness::Often } else { Steadiness::NotYetSteady },
            });
        }
    }
    report
}

fn numbers() -> DeckFaces {
    let plan = LessonPlan {
        number_max: 10,
        groups: 6,
        confusables: Confusables::Target,
        ..LessonPlan::for_ages(AgeBand::SixToSeven)
    };
    faces(&plan, Material::default())
}

fn faces(plan: &LessonPlan, material: Material<'_>) -> DeckFaces {
    let (id, seed) = (DeckId([1; 16]), [1; 32]);
    let groups = from_plan_with(plan, material, id, seed).unwrap().groups();
    DeckFaces::made_again(plan, material, id, seed, &groups).unwrap()
}

fn children(texts: &[&str]) -> Vec<ChildReport> {
    texts.iter().map(|text| told(text, Skill::Numbers)).collect()
}

fn playable(plan: &DeckPlan) -> bool {
    make(plan, Material::default(), [0; 32]).is_ok()
}

fn keys(plan: &DeckPlan) -> Vec<&str> {
    plan.wishes.groups_in.iter().map(|GroupKey(key)| key.as_str()).collect()
}

#[test]
fn children_are_unlike_by_what_only_one_of_them_needs() {
    let class =
        children(&["Ada: 3 7 not steady, 1/4 confused", "Bo: 7 9 not steady", "Cleo: 3 7 often"]);
    assert_eq!(
        unlike(&class),
        [[[0, 0], [1, 2], [1, 2]], [[1, 2], [0, 0], [0, 2]], [[1, 2], [0, 2], [0, 0]]]
    );
    // The same number of another skill is another item.
    let other =
        [told("Ada: 3 not steady", Skill::Numbers), told("Bo: 3 not steady", Skill::PartnersOfTen)];
    assert_eq!(unlike(&other)[0][1], [0, 2]);
}

#[test]
fn groups_say_what_their_children_have_in_common_and_nothing_else() {
    for (texts, says) in [
        (
            &["Ada: 1/4 confused", "Bo: 1/4 confused"] as &[&str],
            "Together, since all took “1” and “4” for each other.",
        ),
        (
            &["Ada: 1/4 confused", "Bo: 1/4 confused", "Cleo: 3 often"],
            "Together, since some took “1” and “4” for each other.",
        ),
        (
            &["Ada: 3 7 not steady", "Bo: 3 7 9 not steady"],
            "Together, since “3” and “7” are not yet steady for all.",
        ),
        (
            &["Ada: 3 not steady", "Bo: 9 not steady"],
            "Nothing stands out that they need to practise together.",
        ),
        (
            &["Ada: nothing", "Bo: nothing"],
            "Too little was played to say who needs the same practice.",
        ),
        (&["Ada: 3 not steady"], ""),
    ] {
        let class = children(texts);
        let group: Vec<&ChildReport> = class.iter().collect();
        assert_eq!(together_why(&group).join(" "), says, "{texts:?}");
    }
}

/// The deck alone. What comes with it is what was made of this very plan, not of one tried before it.
fn suggested(
    group: &[&ChildReport],
    latest: Option<&DeckFaces>,
    playable: impl Fn(&DeckPlan) -> bool,
) -> (Option<DeckPlan>, Vec<String>) {
    let make = |plan: &DeckPlan| playable(plan).then(|| plan.clone());
    let (deck, why) = suggest(group, latest, make);
    let deck = deck.map(|(deck, made)| {
        assert_eq!(deck, made);
        deck
    });
    (deck, why)
}

#[test]
fn a_suggested_deck_has_at_most_two_thirds_shaky_sets_and_says_why() {
    let class = children(&[
        "Ada: 3 7 9 5 8 not steady, 2 often, 1/4 confused",
        "Bo: 7 not steady, 6 often",
    ]);
    let group: Vec<&ChildReport> = class.iter().collect();
    let (deck, why) = suggested(&group, Some(&numbers()), playable);
    let deck = deck.unwrap();
    // Four of six: what was confused first, then what is shaky for most; then what goes well.
    assert_eq!(keys(&deck), ["1", "4", "7", "3", "2", "6"]);
    assert!(playable(&deck) && deck.confusables == Confusables::Allow);
    assert_eq!(
        why,
        [
            "In the deck: “1” and “4”, which some took for each other.",
            "In the deck: “7” and “3”, which are not yet steady.",
            "In the deck: “2” and “6”, which go well already.",
        ]
    );
}

#[test]
fn where_nothing_stands_out_the_same_deck_comes_again_and_none_where_nothing_was_played() {
    let class = children(&["Ada: 30 not steady", "Bo: 7 often"]);
    let group: Vec<&ChildReport> = class.iter().take(1).collect();
    // 30 is no group of these decks.
    let (deck, why) = suggested(&group, Some(&numbers()), playable);
    assert!(keys(&deck.unwrap()).is_empty());
    assert_eq!(why, ["The same deck again: nothing stands out yet."]);
    assert_eq!(suggested(&group, None, playable), (None, Vec::new()));
    let (none, why) = suggested(&group, Some(&numbers()), |_| false);
    assert!(none.is_none() && why[0].starts_with("No deck: "), "{why:?}");
}

fn own_deck() -> OwnDeck {
    let sets = [
        "sun moon star sky",
        "cat dog hen cow",
        "cup mug jug pot",
        "bus van car cab",
        "red pink tan grey",
        "hat cap wig hood",
        "oak elm ash fir",
    ];
    let mut file = "name = \"Our words\"\n".to_owned();
    for (set, number) in sets.iter().zip(1..) {
        let faces: Vec<String> = set.split(' ').map(|word| format!("\"{word}\"")).collect();
        file += &format!("[[group]]\nmeaning = \"set {number}\"\nfaces = [{}]\n", faces.join(", "));
    }
    read(file.as_bytes(), Format::Toml, &Pictures::new()).unwrap_or_else(|no| panic!("{no}"))
}

#[test]
fn sets_of_a_deck_of_her_own_are_brought_again() {
    let own = own_deck();
    let material = Material { own: Some(&own), ..Material::default() };
    let skill = Skill::OwnDeck { deck: OwnDeckId([5; 16]) };
    let plan = LessonPlan { skill, groups: 7, ..LessonPlan::for_ages(AgeBand::SixToSeven) };
    let latest = faces(&plan, material);
    let item = |word: &str| latest.cards.iter().find(|card| card.item.contains(word)).unwrap();
    let mut ada = told("Ada: x not steady", skill);
    for (word, says) in [("cat", Steadiness::NotYetSteady), ("mug", Steadiness::Often)] {
        let card = item(word);
        let line = ada.items[0].clone();
        ada.items.push(ItemLine {
            key: card.item.clone(),
            title: card.title.clone(),
            says,
            ..line
        });
    }
    let makes = |plan: &DeckPlan| make(plan, material, [0; 32]).is_ok();
    let (deck, why) = suggested(&[&ada], Some(&latest), makes);
    let deck = deck.unwrap();
    assert_eq!(deck.skill, skill);
    assert_eq!(keys(&deck), [item("cat").item.as_str(), item("mug").item.as_str()], "{why:?}");
    // Once her deck is gone there is none to suggest, and no deck that cannot be made.
    let (none, _) =
        suggested(&[&ada], Some(&latest), |plan| make(plan, Material::default(), [0; 32]).is_ok());
    assert!(none.is_none());
}
