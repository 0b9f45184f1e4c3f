//! Set marks: a small garden drawing on every card of one deck, so that mixed decks can be sorted.
//! All cards of a deck carry the same, so a mark tells nothing about a match.

use handround_protocol::face::FaceSheet;

/// A deck's mark. Each differs from the others in its outline, not in colour alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SetMark {
    /// One upright leaf.
    Leaf,
    /// A snail with its house.
    Snail,
    /// A toadstool.
    Mushroom,
    /// An acorn in its cup.
    Acorn,
    /// A flower pot.
    Pot,
    /// The sun.
    Sun,
    /// A drop of water.
    Drop,
    /// A flower with five petals.
    Flower,
}

/// Every mark.
pub const MARKS: [SetMark; 8] = [
    SetMark::Leaf,
    SetMark::Snail,
    SetMark::Mushroom,
    SetMark::Acorn,
    SetMark::Pot,
    SetMark::Sun,
    SetMark::Drop,
    SetMark::Flower,
];

impl SetMark {
    /// Its name, on the sheets and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            SetMark::Leaf => "leaf",
            SetMark::Snail => "snail",
            SetMark::Mushroom => "mushroom",
            SetMark::Acorn => "acorn",
            SetMark::Pot => "pot",
            SetMark::Sun => "sun",
            SetMark::Drop => "drop",
            SetMark::Flower => "flower",
        }
    }

    /// The mark for a deck when nobody chose one: from the deck's drawings, so that it stays the
    /// same however often the deck is printed and other decks usually get another.
    pub fn of(sheet: &FaceSheet) -> SetMark {
        // FNV-1a over name and drawings: small, fixed for ever, nothing secret in it.
        let drawings = sheet.faces.iter().flat_map(|face| face.svg.bytes());
        let hash = sheet.name.bytes().chain(drawings).fold(0xcbf2_9ce4_8422_2325_u64, |hash, b| {
            (hash ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3)
        });
        let index = usize::try_from((hash >> 32) % MARKS.len() as u64).unwrap_or(0);
        MARKS[index]
    }

    /// Its shapes in a square of 100 units. They inherit an ink outline of `MARK_OUTLINE`.
    pub(super) fn shapes(self) -> &'static str {
        match self {
            SetMark::Leaf => concat!(
                r##"<path fill="#7fae86" d="M50 6C82 26 86 60 50 84C14 60 18 26 50 6Z"/>"##,
                r##"<path fill="none" d="M50 34L50 96M50 62L64 50M50 50L38 40"/>"##
            ),
            SetMark::Snail => concat!(
                r##"<path fill="#f3d9a4" d="M6 84C6 78 12 76 20 76L70 76C76 76 80 60 82 48C84 38 96 40 96 50C96 64 92 84 76 84Z"/>"##,
                r##"<circle fill="#d9a679" cx="46" cy="50" r="28"/>"##,
                r##"<path fill="none" d="M46 50C50 44 58 50 54 58C48 66 34 60 34 48C36 34 56 30 64 42"/>"##,
                r##"<path fill="none" d="M86 42L82 26M92 43L94 27"/>"##
            ),
            SetMark::Mushroom => concat!(
                r##"<path fill="#fbf6ea" d="M38 54L36 86C36 95 64 95 64 86L62 54Z"/>"##,
                r##"<path fill="#c4707f" d="M8 54C8 -2 92 -2 92 54Z"/>"##,
                r##"<circle fill="#fbf6ea" cx="32" cy="38" r="7"/><circle fill="#fbf6ea" cx="54" cy="26" r="6"/><circle fill="#fbf6ea" cx="72" cy="42" r="6"/>"##
            ),
            SetMark::Acorn => concat!(
                r##"<path fill="#e0b566" d="M22 44C22 70 40 84 50 94C60 84 78 70 78 44Z"/>"##,
                r##"<path fill="#a3825c" d="M14 46C14 12 86 12 86 46C86 50 14 50 14 46Z"/>"##,
                r##"<path fill="none" d="M50 20L54 5"/>"##
            ),
            SetMark::Pot => concat!(
                r##"<path fill="#d08a63" d="M22 50L78 50L68 94L32 94Z"/>"##,
                r##"<path fill="#d08a63" d="M14 34L86 34L86 52L14 52Z"/>"##,
                r##"<path fill="none" d="M50 34L50 12"/>"##,
                r##"<path fill="#7fae86" d="M50 24C40 24 32 18 32 6C44 6 50 12 50 24ZM50 20C58 20 66 14 66 4C56 4 50 9 50 20Z"/>"##
            ),
            SetMark::Sun => concat!(
                r##"<path fill="none" d="M50 4L50 16M50 84L50 96M4 50L16 50M84 50L96 50M17.5 17.5L26 26M74 74L82.5 82.5M17.5 82.5L26 74M74 26L82.5 17.5"/>"##,
                r##"<circle fill="#f0c64f" cx="50" cy="50" r="24"/>"##
            ),
            SetMark::Drop => concat!(
                r##"<path fill="#9cc3d6" d="M50 6C66 32 78 46 78 64A28 28 0 0 1 22 64C22 46 34 32 50 6Z"/>"##,
                r##"<path fill="none" d="M36 66A14 14 0 0 0 48 79"/>"##
            ),
            SetMark::Flower => concat!(
                r##"<g fill="#e3b3cf"><circle cx="50" cy="24" r="19"/><circle cx="74.7" cy="42" r="19"/><circle cx="65.3" cy="71" r="19"/><circle cx="34.7" cy="71" r="19"/><circle cx="25.3" cy="42" r="19"/></g>"##,
                r##"<circle fill="#f0c64f" cx="50" cy="50" r="15"/>"##
            ),
        }
    }

    /// The mark as part of a larger drawing: centred here, this wide, turned by this many degrees.
    pub(super) fn group(self, centre: (f64, f64), width: f64, turn: u16) -> String {
        let (x, y, scale) = (centre.0, centre.1, width / 100.0);
        format!(
            r##"<g transform="translate({x} {y}) rotate({turn}) scale({scale}) translate(-50 -50)" stroke="#2b2a33" stroke-width="{MARK_OUTLINE}" stroke-linecap="round" stroke-linejoin="round">{}</g>"##,
            self.shapes()
        )
    }
}

/// Width of a mark's outline in its square of 100 units: 0.2 mm on a mark of 4.5 mm.
const MARK_OUTLINE: f64 = 5.0;

impl std::str::FromStr for SetMark {
    type Err = String;

    fn from_str(text: &str) -> Result<SetMark, String> {
        let named = MARKS.into_iter().find(|mark| mark.name() == text.to_ascii_lowercase());
        named.ok_or_else(|| {
            let names: Vec<_> = MARKS.iter().map(|mark| mark.name()).collect();
            format!("the marks are {}", names.join(", "))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_mark_has_a_name_that_is_read_back() {
        for mark in MARKS {
            assert_eq!(mark.name().parse(), Ok(mark));
        }
        assert!("magnet".parse::<SetMark>().is_err());
    }
}
