//! The words of a report. Always of the game, never of the child; `tests` holds them to it.

use super::report::{ChildReport, Steadiness};

/// What every page of a report says.
pub const CAUTIONS: [&str; 2] = [
    "Not for grades, referral or placement. It tells how some rounds of a card game went.",
    "Look with your own eyes first: sit beside the child, and let the cards follow.",
];

impl Steadiness {
    /// As a teacher would say it to a parent.
    pub fn words(self) -> &'static str {
        match self {
            Steadiness::Often => "recognised often in this game",
            Steadiness::NotYetSteady => "not yet steady",
            Steadiness::TooLittle => "too little to say",
            Steadiness::NotSeen => "not seen",
        }
    }
}

/// Two things to ask any child, where nothing more is known.
pub const QUESTIONS: [&str; 2] = [
    "Pick two cards that match. How do you know?",
    "Which card in the game was hard to be sure of?",
];

/// Two things to ask the child.
pub fn questions(child: &ChildReport) -> [String; 2] {
    let pair = child.confusions.first().map(|found| &found.items);
    let shaky = child.items.iter().find(|item| item.says == Steadiness::NotYetSteady);
    let first = match (pair, shaky) {
        (Some((one, other)), _) => {
            format!("Lay “{one}” and “{other}” side by side: how do you tell them apart?")
        }
        (None, Some(item)) => format!("Show me cards for “{}”. How do you know?", item.title),
        (None, None) => QUESTIONS[0].to_owned(),
    };
    let slow = child.slowest_kind.as_ref();
    let second = match slow {
        Some(kind) => format!("Look at this card ({kind}). What do you see first?"),
        None => QUESTIONS[1].to_owned(),
    };
    [first, second]
}
