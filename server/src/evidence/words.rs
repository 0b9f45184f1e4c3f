//! The words of a report. Always of the game, never of the child; `tests` holds them to it.

use super::bounds::{CHANCES_MIN, HALF_KNOWN, OFTEN_KNOWN};
use super::recognition::{Leaning, Recognition, Steadiness, Tells};
use super::report::ChildReport;

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

impl Steadiness {
    /// What it rests on, for the list of all items of which it is said.
    pub fn rests_on(self) -> String {
        match self {
            Steadiness::Often => format!(
                "{CHANCES_MIN} chances to match or more, and the matching card was kept nearly every time."
            ),
            Steadiness::NotYetSteady => format!(
                "{CHANCES_MIN} chances to match or more, and the matching card was passed on too often to \
                 call it steady."
            ),
            Steadiness::TooLittle => {
                format!("Fewer than {CHANCES_MIN} chances to match: nothing is said yet.")
            }
            Steadiness::NotSeen => "No chance to match came up.".to_owned(),
        }
    }
}

/// A number of things, such as `1 chance` or `3 chances`.
pub fn counted(many: usize, one: &str) -> String {
    format!("{many} {one}{}", if many == 1 { "" } else { "s" })
}

impl Recognition {
    /// How cards were told apart, and what the child tends to do: one or two sentences.
    pub fn told(&self) -> String {
        let tells = match self.tells {
            Some(Tells::Well) => "Tells matching from not matching cards well.",
            Some(Tells::NotYet) => "Does not yet tell matching from not matching cards well.",
            Some(Tells::Open) => "How well matching cards are told from others is still open.",
            None => {
                return "Too little to say how well matching cards are told from others."
                    .to_owned();
            }
        };
        let leaning = match self.leaning {
            Some(Leaning::Keeps) => " Tends to keep a new card, whether it matches or not.",
            Some(Leaning::Passes) => " Tends to pass a new card on, whether it matches or not.",
            None => "",
        };
        format!("{tells}{leaning}")
    }
}

/// What tracing says of an item's last chances.
pub fn lately(known: f64) -> &'static str {
    match known {
        sure if sure >= OFTEN_KNOWN => "lately recognised",
        half if half >= HALF_KNOWN => "lately now and then",
        _ => "lately seldom",
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
