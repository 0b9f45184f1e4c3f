//! What a line typed at the terminal means. Pure.

use handround_protocol::message::{Grab, GrabCue, SeatSays};
use handround_protocol::time::Micros;
use handround_protocol::view::SeatView;

/// What the player wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wish {
    /// Say this.
    Say(SeatSays),
    /// See the table again.
    Draw,
    /// Leave.
    Quit,
    /// One sentence for the player.
    Hint(&'static str),
}

/// All keys in one line.
pub const KEYS: &str =
    "t take up · 1-4 keep it in that place · n pass on · g grab · u undo · l lay down · q quit";

/// Reads one line. `cue` is the cue that was drawn, with the time of drawing; `tap` is now.
pub fn wish(line: &str, view: Option<&SeatView>, cue: Option<GrabCue>, tap: Micros) -> Wish {
    let hand = view.and_then(|view| view.hand.as_ref());
    let considering = hand.and_then(|hand| hand.considering);
    match line.trim() {
        "" => Wish::Draw,
        "q" => Wish::Quit,
        "t" => Wish::Say(SeatSays::TakeUp),
        "u" => Wish::Say(SeatSays::Undo),
        "l" => Wish::Say(SeatSays::LayDown),
        "g" => Wish::Say(SeatSays::Grab(Grab { cue, tap, token: 0 })),
        "n" => match considering {
            Some(card) => Wish::Say(SeatSays::Pass { card: card.id }),
            None => Wish::Hint("There is no card in front of you; t takes one up."),
        },
        place @ ("1" | "2" | "3" | "4") => {
            let place = usize::from(place.as_bytes()[0] - b'1');
            let give = hand.and_then(|hand| hand.cards.get(place));
            match (considering, give) {
                (Some(card), Some(give)) => {
                    Wish::Say(SeatSays::Keep { card: card.id, give: give.id })
                }
                _ => Wish::Hint("There is no card in front of you; t takes one up."),
            }
        }
        _ => Wish::Hint(KEYS),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::draw::tests::view;
    use handround_protocol::id::{CardId, Nonce};

    #[test]
    fn keys_mean_moves() {
        let (idle, deciding) = (view("abcd", ""), view("abcd", "a"));
        let card = CardId([4; 8]);
        let cue = GrabCue { nonce: Nonce([1; 16]), shown: Micros(5) };
        let grab = |cue| Wish::Say(SeatSays::Grab(Grab { cue, tap: Micros(9), token: 0 }));
        let cases = [
            ("t", &idle, None, Wish::Say(SeatSays::TakeUp)),
            (" n ", &deciding, None, Wish::Say(SeatSays::Pass { card })),
            ("3", &deciding, None, Wish::Say(SeatSays::Keep { card, give: CardId([2; 8]) })),
            ("g", &idle, None, grab(None)),
            ("g", &idle, Some(cue), grab(Some(cue))),
            ("u", &idle, None, Wish::Say(SeatSays::Undo)),
            ("l", &idle, None, Wish::Say(SeatSays::LayDown)),
            ("q", &idle, None, Wish::Quit),
            ("", &idle, None, Wish::Draw),
            ("5", &deciding, None, Wish::Hint(KEYS)),
        ];
        for (line, view, cue, expected) in cases {
            assert_eq!(wish(line, Some(view), cue, Micros(9)), expected, "{line}");
        }
        for line in ["n", "1"] {
            assert!(matches!(wish(line, Some(&idle), None, Micros(9)), Wish::Hint(_)), "{line}");
            assert!(matches!(wish(line, None, None, Micros(9)), Wish::Hint(_)), "{line}");
        }
    }
}
