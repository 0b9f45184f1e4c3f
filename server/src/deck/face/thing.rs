//! Pictures of things: the project's own drawings, some shared with the pages, put on a card. They are
//! made of shapes with paint alone; a test holds them to that.

use super::paper::{CENTRE_X, CENTRE_Y};
use crate::deck::svg::Drawing;

/// A picture: its name and its file.
pub struct Thing {
    /// The word for it, in small letters.
    pub name: &'static str,
    svg: &'static str,
}

macro_rules! things {
    ($($folder:literal: $($name:literal),*;)*) => {
        /// Every thing that a card can show.
        pub const THINGS: &[Thing] = &[$($(Thing {
            name: $name,
            svg: include_str!(concat!($folder, $name, ".svg")),
        }),*),*];
    };
}

things![
    "../../../pages/pictures/":
        "apple", "ball", "basket", "bee", "bell", "boat", "book", "boot", "bowl", "bread", "broom",
        "brush", "bucket", "button", "carrot", "chair", "clock", "cup", "drum", "ear", "egg",
        "flag", "flower", "fork", "frog", "glove", "hat", "hedgehog", "house", "key", "kite",
        "ladder", "lamp", "leaf", "lemon", "mole", "moon", "mug", "pear", "pencil", "plum", "ring",
        "rope", "scarf", "shell", "shoe", "snail", "sock", "spoon", "star", "sun", "table", "tent",
        "train", "tree", "umbrella", "wheel", "worm";
    "things/":
        "bed", "bib", "bus", "cat", "dog", "door", "duck", "fan", "gate", "heart", "hen", "log",
        "map", "mop", "nest", "net", "nut", "pig", "pot", "rainbow", "rake", "tooth", "tub", "web",
        "window";
];

impl Thing {
    /// What stands between the outer tags: shapes on a square of 100 by 100.
    pub fn shapes(&self) -> Option<&'static str> {
        let inner = self.svg.split_once('>')?.1.rsplit_once("</svg>")?.0;
        Some(inner.trim())
    }
}

/// The thing of a name.
pub fn thing(name: &str) -> Option<&'static Thing> {
    THINGS.iter().find(|thing| thing.name == name)
}

/// Twice as large as the pages' own size of 100, centred.
const SCALE: f64 = 2.0;

pub(super) fn draw(to: &mut Drawing, name: &str) -> Option<()> {
    let shapes = thing(name)?.shapes()?.replace('\n', "");
    to.picture(&shapes, (CENTRE_X - 50.0 * SCALE, CENTRE_Y - 50.0 * SCALE), SCALE);
    Some(())
}
