//! Emoji as a second picture of a thing, and as the only one where we have drawn none. The art is
//! Twemoji's (CC BY 4.0, so it is credited wherever it is shown); the crate brings it when the program is
//! built. Only the constants named here are linked: its look-up function would link all 4,009 files.

use super::paper::{CENTRE_X, CENTRE_Y};
use crate::deck::svg::Drawing;
use twemoji_assets::svg::{SvgTwemojiAsset, codes};

/// What the licence of the art asks for (CC BY 4.0, section 3(a)): author, licence, and that it was
/// changed. On the pages, the printed guide and in NOTICE.
pub const CREDIT: &str =
    "Emoji pictures: Twemoji by Twitter, Inc and other contributors, CC BY 4.0, resized.";

/// An emoji: the word that we use for it and its drawing.
pub struct Emoji {
    /// The word for it, in small letters.
    pub name: &'static str,
    asset: SvgTwemojiAsset,
}

macro_rules! emoji {
    ($($name:literal => $code:ident,)*) => {
        /// Every emoji that a card can show. The tests compare each word with Unicode CLDR.
        pub const EMOJI: &[Emoji] = &[$(Emoji { name: $name, asset: codes::$code }),*];
    };
}

emoji![
    "bag" => U_1F45C,
    "bat" => U_1F987,
    "bear" => U_1F43B,
    "bed" => U_1F6CF,
    "bike" => U_1F6B2,
    "bone" => U_1F9B4,
    "bug" => U_1F41B,
    "bus" => U_1F68C,
    "cake" => U_1F370,
    "can" => U_1F96B,
    "cap" => U_1F9E2,
    "car" => U_1F697,
    "cat" => U_1F408,
    "coat" => U_1F9E5,
    "cow" => U_1F404,
    "crab" => U_1F980,
    "dog" => U_1F415,
    "dolphin" => U_1F42C,
    "dress" => U_1F457,
    "elephant" => U_1F418,
    "fan" => U_1FAAD,
    "goat" => U_1F410,
    "hat" => U_1F452,
    "hen" => U_1F414,
    "hut" => U_1F6D6,
    "jellyfish" => U_1FABC,
    "jet" => U_2708,
    "ladybug" => U_1F41E,
    "leg" => U_1F9B5,
    "log" => U_1FAB5,
    "man" => U_1F468,
    "map" => U_1F5FA,
    "mom" => U_1F469_200D_1F37C,
    "mouse" => U_1F401,
    "net" => U_1F945,
    "nose" => U_1F443,
    "nut" => U_1F95C,
    "pen" => U_1F58A,
    "pig" => U_1F416,
    "pin" => U_1F4CC,
    "rat" => U_1F400,
    "rose" => U_1F339,
    "shark" => U_1F988,
    "sheep" => U_1F411,
    "shirt" => U_1F455,
    "sled" => U_1F6F7,
    "snake" => U_1F40D,
    "snowman" => U_26C4,
    "sun" => U_2600,
    "teapot" => U_1FAD6,
    "tomato" => U_1F345,
    "truck" => U_1F69A,
    "tub" => U_1F6C1,
    "van" => U_1F690,
    "vest" => U_1F9BA,
    "web" => U_1F578,
];

impl Emoji {
    /// The characters, without U+FE0F but inside a joined sequence: what the crate knows it by.
    pub fn characters(&self) -> &'static str {
        self.asset.emoji
    }

    /// What stands between the outer tags: shapes on a square of 36 by 36.
    pub fn shapes(&self) -> Option<&'static str> {
        Some(self.asset.data.0.split_once('>')?.1.rsplit_once("</svg>")?.0)
    }
}

/// The emoji of a word.
pub fn emoji(name: &str) -> Option<&'static Emoji> {
    EMOJI.iter().find(|emoji| emoji.name == name)
}

/// A side of the crate's drawings, in their own units.
const ART_SIDE: f64 = 36.0;
/// A side on the card, a little smaller than our own drawings, since the art fills its square.
const SIDE: f64 = 186.0;

pub(super) fn draw(to: &mut Drawing, name: &str) -> Option<()> {
    put(to, name, (CENTRE_X - SIDE / 2.0, CENTRE_Y - SIDE / 2.0), SIDE)
}

/// Puts an emoji by its upper left corner and its side, in units of the card.
pub(super) fn put(to: &mut Drawing, name: &str, at: (f64, f64), side: f64) -> Option<()> {
    to.picture(emoji(name)?.shapes()?, at, side / ART_SIDE);
    Some(())
}
