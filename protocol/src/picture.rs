//! The everyday pictures by which a child finds the own name and the lesson, and the garden
//! helpers that stand for practice partners. The drawings are `server/pages/pictures/NAME.svg`.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One of the everyday pictures, or a garden helper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
#[serde(rename_all = "lowercase")]
#[allow(missing_docs)] // Each name is the thing pictured.
pub enum Picture {
    Apple,
    Ball,
    Bell,
    Boat,
    Book,
    Boot,
    Bowl,
    Bread,
    Broom,
    Brush,
    Bucket,
    Button,
    Carrot,
    Chair,
    Clock,
    Cup,
    Drum,
    Egg,
    Flag,
    Flower,
    Fork,
    Glove,
    Hat,
    House,
    Key,
    Kite,
    Ladder,
    Lamp,
    Leaf,
    Lemon,
    Moon,
    Mug,
    Pear,
    Pencil,
    Plum,
    Ring,
    Rope,
    Scarf,
    Shell,
    Shoe,
    Sock,
    Spoon,
    Star,
    Sun,
    Table,
    Tent,
    Train,
    Tree,
    Umbrella,
    Wheel,
    Bee,
    Snail,
    Beetle,
    Worm,
    Robin,
    Hedgehog,
    Frog,
    Mole,
}

/// Pictures for pupils and for the row: 50 things, none of which a partner can be.
pub const THINGS: [Picture; 50] = {
    use Picture::*;
    [
        Apple, Ball, Bell, Boat, Book, Boot, Bowl, Bread, Broom, Brush, Bucket, Button, Carrot,
        Chair, Clock, Cup, Drum, Egg, Flag, Flower, Fork, Glove, Hat, House, Key, Kite, Ladder,
        Lamp, Leaf, Lemon, Moon, Mug, Pear, Pencil, Plum, Ring, Rope, Scarf, Shell, Shoe, Sock,
        Spoon, Star, Sun, Table, Tent, Train, Tree, Umbrella, Wheel,
    ]
};

/// Pictures that a join row is made of: 16 that five-year-olds name alike and that differ in
/// outline. Four in a row give 65,536 rows, enough beside the limit on attempts.
pub const ROW_THINGS: [Picture; 16] = {
    use Picture::*;
    [
        Apple, Ball, Boat, Book, Carrot, Clock, Flower, House, Key, Leaf, Moon, Shoe, Star, Sun,
        Tree, Umbrella,
    ]
};

/// Garden helpers for practice partners, never for children.
pub const GARDEN_HELPERS: [Picture; 8] = {
    use Picture::*;
    [Bee, Snail, Beetle, Worm, Robin, Hedgehog, Frog, Mole]
};

impl Picture {
    /// The picture's name in lower case, which is also its file's.
    pub fn name(self) -> String {
        format!("{self:?}").to_lowercase()
    }

    /// Finds a picture by its name, in any case; for the class list file.
    pub fn from_name(name: &str) -> Option<Picture> {
        let name = name.trim().to_lowercase();
        THINGS.into_iter().find(|picture| picture.name() == name)
    }
}
