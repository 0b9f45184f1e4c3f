//! How an accent hears a pronunciation. A deck is played by children of several, so that by default a
//! pair counts as alike as soon as one accent hears no difference.

use super::Phonemes;
use handround_protocol::skill::Accent;

/// A pronunciation with the merged sounds written one way.
pub(super) fn hear(accent: Accent, way: &[&'static str]) -> Phonemes {
    let mut heard = way.to_vec();
    for index in 0..heard.len() {
        let next = heard.get(index + 1).copied().unwrap_or_default();
        heard[index] = match heard[index] {
            "EH1" if accent.pin_is_pen && matches!(next, "N" | "M") => "IH1",
            // Before r the two have not merged: `star` and `store` stay apart.
            "AO1" if accent.cot_is_caught && next != "R" => "AA1",
            sound => sound,
        };
    }
    heard
}
