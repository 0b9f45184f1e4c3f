//! Accents in which two sounds have become one. A deck is played by children of several, so that by
//! default a pair counts as alike as soon as one accent hears no difference.

use super::Phonemes;
use serde::{Deserialize, Serialize};

/// Which sounds are one for some child of the class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Accent {
    /// `pin` and `pen` sound alike: short e before m and n is short i (southern United States).
    pub pin_is_pen: bool,
    /// `cot` and `caught` sound alike (western United States, nearly all of Canada).
    pub cot_is_caught: bool,
}

impl Accent {
    /// Nothing merged: as the dictionary has it.
    pub const DICTIONARY: Accent = Accent { pin_is_pen: false, cot_is_caught: false };
    /// Everything that some child may hear as one.
    pub const ANY: Accent = Accent { pin_is_pen: true, cot_is_caught: true };

    /// A pronunciation with the merged sounds written one way.
    pub(super) fn hear(self, way: &[&'static str]) -> Phonemes {
        let mut heard = way.to_vec();
        for index in 0..heard.len() {
            let next = heard.get(index + 1).copied().unwrap_or_default();
            heard[index] = match heard[index] {
                "EH1" if self.pin_is_pen && matches!(next, "N" | "M") => "IH1",
                // Before r the two have not merged: `star` and `store` stay apart.
                "AO1" if self.cot_is_caught && next != "R" => "AA1",
                sound => sound,
            };
        }
        heard
    }
}
