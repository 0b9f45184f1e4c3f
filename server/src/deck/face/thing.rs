//! Pictures of things: the project's own drawings, some shared with the pages, put on a card. They are
//! made of shapes with paint alone; a test holds them to that.

use super::paper::{CENTRE_X, CENTRE_Y, INK};
use crate::deck::svg::{Drawing, Paint};

/// A picture: its name and its file.
pub struct Thing {
    /// The word for it, in small letters.
    pub name: &'static str,
    svg: &'static str,
}

macro_rules! things {
    ($($folder:literal: $($name:literal),*;)*) => {
        &[$($(Thing {
            name: $name,
            svg: include_str!(concat!($folder, $name, ".svg")),
        }),*),*]
    };
}

/// Every thing that a card can show.
pub const THINGS: &[Thing] = things![

    "../../../pages/pictures/":
        "apple", "ball", "basket", "bee", "bell", "boat", "book", "boot", "bowl", "bread", "broom",
        "brush", "bucket", "button", "carrot", "chair", "clock", "cup", "drum", "ear", "egg",
        "flag", "flower", "fork", "frog", "glove", "hat", "hedgehog", "house", "key", "kite",
        "ladder", "lamp", "leaf", "lemon", "mole", "moon", "mug", "pear", "pencil", "plum", "ring",
        "rope", "scarf", "shell", "shoe", "snail", "sock", "spoon", "star", "sun", "table", "tent",
        "train", "tree", "umbrella", "wheel", "worm";
    "things/":
        "bag", "banana", "bat", "bed", "bib", "bug", "bus", "butterfly", "can", "cap", "cat",
        "caterpillar", "cheese", "chick", "dog", "door", "duck", "fan", "fin", "fish",
        "gate", "heart", "helicopter", "hen", "hop", "hut", "jet", "leg", "lid", "lip", "lock", "log",
        "map", "mom", "mop", "nest", "net", "nut", "pen", "phone", "pig", "pin", "pot", "rainbow",
        "rake", "rug", "ship", "ten", "tooth", "top", "tub", "van", "web", "whale", "wig", "window", "zip";
];

/// Second drawings of some of them, as unlike as two such things can be: another lid, a wig in another place.
/// An emoji serves as well, so only words without a good one have them.
pub const OTHER_THINGS: &[Thing] = things![
    "things/other/":
        "bib", "fin", "hop", "lid", "mop", "pot", "top", "wig", "zip";
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

/// The second drawing of a name.
pub fn other_thing(name: &str) -> Option<&'static Thing> {
    OTHER_THINGS.iter().find(|thing| thing.name == name)
}

/// Puts one drawing by its upper left corner.
fn put_drawing(to: &mut Drawing, thing: &Thing, at: (f64, f64), scale: f64) -> Option<()> {
    to.picture(&thing.shapes()?.replace('\n', ""), at, scale);
    Some(())
}

pub(super) fn draw(to: &mut Drawing, thing: &Thing) -> Option<()> {
    put_drawing(to, thing, (CENTRE_X - 50.0 * SCALE, CENTRE_Y - 50.0 * SCALE), SCALE)
}

/// Puts a picture so many times as large as the pages' own size of 100.
pub(super) fn put(to: &mut Drawing, name: &str, at: (f64, f64), scale: f64) -> Option<()> {
    put_drawing(to, thing(name)?, at, scale)
}

/// The same for the second drawing.
pub(super) fn put_other(to: &mut Drawing, name: &str, at: (f64, f64), scale: f64) -> Option<()> {
    put_drawing(to, other_thing(name)?, at, scale)
}

/// Of each of two pictures, one above the other with a plus between them.
const HALF_SCALE: f64 = 1.24;

pub(super) fn draw_two(to: &mut Drawing, first: &str, second: &str) -> Option<()> {
    let side = 100.0 * HALF_SCALE;
    for (name, top) in [(first, CENTRE_Y - side - 14.0), (second, CENTRE_Y + 14.0)] {
        put(to, name, (CENTRE_X - side / 2.0, top), HALF_SCALE)?;
    }
    let plus = format!(
        "M{} {}H{}M{CENTRE_X} {}V{}",
        CENTRE_X - 9.0,
        CENTRE_Y,
        CENTRE_X + 9.0,
        CENTRE_Y - 9.0,
        CENTRE_Y + 9.0
    );
    to.path("", &plus, Paint::line(INK, 5.0));
    Some(())
}
