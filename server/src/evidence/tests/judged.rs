//! Single decisions: `hand + new card, what was done -> what it says`, letters for items.

use crate::evidence::decision::{Act, Decision};
use crate::evidence::{CardFace, DeckFaces, Judged, confusions, judge};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, FaceIndex, SeatIndex};
use handround_protocol::time::Micros;
use handround_protocol::view::LessonPlan;

/// Items a to z, four cards of each.
fn deck() -> DeckFaces {
    let cards = ('a'..='z').flat_map(|item| {
        let item = item.to_string();
        std::iter::repeat_n(CardFace::new(&item, &item, FaceKind::Word, "letters"), 4)
    });
    let plan = LessonPlan::for_ages(AgeBand::FiveToSix).deck();
    DeckFaces { id: DeckId([1; 16]), name: "letters".into(), plan, cards: cards.collect() }
}

/// The next card of an item that is not in use yet.
fn cards(text: &str) -> Vec<FaceIndex> {
    let mut used = Vec::new();
    for item in text.bytes() {
        let first = u16::from(item - b'a') * 4;
        let free = (first..first + 4).map(FaceIndex).find(|card| !used.contains(card));
        used.push(free.unwrap());
    }
    used
}

/// `aabc + a, b`: the hand, the new card, and the card given away; `-` for a pass, `!` for a false grab.
fn decision(text: &str) -> Decision {
    let (seen, done) = text.split_once(", ").unwrap();
    let (hand, new) = seen.split_once(" + ").unwrap();
    let all = cards(&format!("{hand}{new}"));
    let (hand_cards, new_card) = all.split_at(4);
    let act = match done {
        "-" => Act::Passed,
        "!" => Act::FalseGrab,
        item => Act::Kept { left: hand_cards[hand.find(item).unwrap()] },
    };
    Decision {
        at: Micros(0),
        seat: SeatIndex(0),
        pupil: None,
        deck: DeckId([1; 16]),
        act,
        taken: Micros::from_s(3),
        hand: hand_cards.to_vec(),
        incoming: Some(new_card[0]),
        excluded: Vec::new(),
    }
}

#[test]
fn a_decision_is_judged_by_what_could_be_seen() {
    for (text, says) in [
        // A match that costs nothing to keep is a chance.
        ("aabc + a, b", "chance kept"),
        ("aabc + a, -", "chance passed"),
        ("abcd + a, -", "chance passed"),
        // A match for which a pair would have to go is strategy, kept or passed.
        ("aabb + a, b", "strategy"),
        ("aaab + b, -", "strategy"),
        // So is a second pair beside a better one.
        ("aabc + b, -", "strategy"),
        ("aabc + b, c", "strategy"),
        // One for the other of the same group says nothing.
        ("abcd + a, a", "like for like"),
        // A card that matches nothing: neither keeping nor passing is an error.
        ("abcd + e, a", "no match kept"),
        ("aabb + e, -", "no match passed"),
        ("aaaa + e, -", "strategy"),
        ("aaaa + e, a", "four broken"),
        ("aaab + e, !", "other"),
    ] {
        let found = match judge(&decision(text), &deck()).unwrap() {
            Judged::Chance { kept: true, .. } => "chance kept",
            Judged::Chance { kept: false, .. } => "chance passed",
            Judged::NoMatch { kept: true } => "no match kept",
            Judged::NoMatch { kept: false } => "no match passed",
            Judged::Strategy => "strategy",
            Judged::LikeForLike => "like for like",
            Judged::FourBroken => "four broken",
            Judged::Other => "other",
        };
        assert_eq!(found, says, "{text}");
    }
}

fn found(texts: &[&str]) -> Vec<String> {
    // Forty ordinary passes, so that chance has something to be compared with.
    let ordinary = ["mmnn + o, -", "ooqq + m, -"].into_iter().cycle().take(40);
    let deck = deck();
    let all: Vec<Decision> = texts.iter().copied().chain(ordinary).map(decision).collect();
    let beside: Vec<_> = all.iter().map(|one| (one, &deck)).collect();
    let words = |one: crate::evidence::Confusion| format!("{} {}", one.items.0, one.items.1);
    confusions(&beside).into_iter().map(words).collect()
}

#[test]
fn a_confusion_needs_false_grabs_or_broken_pairs_on_different_cards() {
    assert_eq!(found(&["aaab + e, !", "aabb + e, !"]), ["a b"]);
    // Once is nothing, and the same hand twice is once.
    assert!(found(&["aaab + e, !"]).is_empty());
    assert!(found(&["aaab + e, !", "aaab + f, !", "aaab + g, !"]).is_empty());
    // A hand of three kinds was no near four: a false grab, and no confusion.
    assert!(found(&["aabc + e, !", "aacb + f, !", "abcc + f, !"]).is_empty());
    // A true pair given up for a card that goes with another pair, and the other way round.
    assert_eq!(found(&["bbaa + c, a", "aacc + b, a", "bbdd + c, d"]), ["b c"]);
    // Holding an unmatched card and passing a match are no confusions.
    assert!(found(&["aabc + e, b", "aabc + e, c", "aabc + a, -", "abcd + a, -"]).is_empty());
}
