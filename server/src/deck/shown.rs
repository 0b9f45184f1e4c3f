//! What a card shows, exactly enough to draw it and no more. Its meaning depends on what makes the
//! deck's cards match (`likeness`); a picture of a cat may stand for a word, a rime or a first sound.

use super::own::OwnPicture;
use serde::{Deserialize, Serialize};

/// What a card shows; which of these a kind of face takes is said in `face::draw`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Shown {
    /// A whole number.
    Count(u16),
    /// Two numbers side by side.
    Parts(u16, u16),
    /// Two parts of a whole that is written in or left empty.
    Bond {
        /// The whole is written in.
        whole: bool,
        /// The two parts.
        parts: (u16, u16),
    },
    /// Equal rows or groups.
    Rows {
        /// How many.
        rows: u16,
        /// How much is in each.
        each: u16,
    },
    /// Anything in print.
    Print(String),
    /// One of our pictures, by its name.
    Thing(String),
    /// A time of day on a twelve-hour clock.
    Time(Time),
    /// Coins, the largest first.
    Coins(Vec<Coin>),
    /// A flat shape; `look` chooses among drawings unlike in size, turn and proportion.
    Outline {
        /// Which shape.
        outline: Outline,
        /// Which drawing of it.
        look: u8,
    },
    /// A whole in equal shares.
    Shares {
        /// The whole that is cut.
        whole: Whole,
        /// Equal shares.
        shares: u8,
        /// Shaded ones among them.
        shaded: u8,
    },
    /// A teacher's own picture.
    Own(OwnPicture),
    /// Two of our pictures, the first above the second.
    Things(String, String),
    /// A solid; `look` chooses among drawings unlike in size and proportion.
    Solid {
        /// Which solid.
        solid: Solid,
        /// Which drawing of it.
        look: u8,
    },
    /// Coins with their values in print, the largest first.
    ValuedCoins(Vec<Coin>),
}

/// A time on a twelve-hour clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Time {
    /// 1 to 12.
    pub hour: u8,
    /// 0 to 59.
    pub minute: u8,
}

impl Time {
    /// Minutes since twelve o'clock: 0 to 719.
    pub fn minutes(self) -> u16 {
        u16::from(self.hour % 12) * 60 + u16::from(self.minute)
    }

    /// The time that many minutes after twelve o'clock, round and round.
    pub fn from_minutes(minutes: u16) -> Time {
        let (hour, minute) = (minutes / 60 % 12, minutes % 60);
        let hour = if hour == 0 { 12 } else { hour };
        Time { hour: u8::try_from(hour).unwrap_or(12), minute: u8::try_from(minute).unwrap_or(0) }
    }
}

/// Coins of the United States in use up to a quarter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Coin {
    /// 1 cent.
    Penny,
    /// 5 cents.
    Nickel,
    /// 10 cents.
    Dime,
    /// 25 cents.
    Quarter,
}

impl Coin {
    /// Each coin, the most valuable first.
    pub const ALL: [Coin; 4] = [Coin::Quarter, Coin::Dime, Coin::Nickel, Coin::Penny];

    /// Its value in cents.
    pub fn cents(self) -> u16 {
        match self {
            Coin::Penny => 1,
            Coin::Nickel => 5,
            Coin::Dime => 10,
            Coin::Quarter => 25,
        }
    }

    /// Its diameter in millimetres by the specifications of the United States Mint.
    pub fn diameter_mm(self) -> f64 {
        match self {
            Coin::Penny => 19.05,
            Coin::Nickel => 21.21,
            Coin::Dime => 17.91,
            Coin::Quarter => 24.26,
        }
    }

    /// Dimes and quarters have a reeded edge, pennies and nickels a plain one.
    pub fn reeded(self) -> bool {
        matches!(self, Coin::Dime | Coin::Quarter)
    }
}

/// A flat shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Outline {
    /// All points equally far from the centre.
    Circle,
    /// Half of a circle.
    HalfCircle,
    /// A stretched circle.
    Oval,
    /// Three straight sides.
    Triangle,
    /// Four equal sides and square corners.
    Square,
    /// Square corners, two sides longer than the others.
    Rectangle,
    /// Four equal sides without square corners.
    Rhombus,
    /// Exactly one pair of parallel sides.
    Trapezoid,
    /// Five straight sides.
    Pentagon,
    /// Six straight sides.
    Hexagon,
    /// Eight straight sides.
    Octagon,
}

impl Outline {
    /// Each shape.
    pub const ALL: [Outline; 11] = [
        Outline::Circle,
        Outline::HalfCircle,
        Outline::Oval,
        Outline::Triangle,
        Outline::Square,
        Outline::Rectangle,
        Outline::Rhombus,
        Outline::Trapezoid,
        Outline::Pentagon,
        Outline::Hexagon,
        Outline::Octagon,
    ];

    /// What children call it.
    pub fn name(self) -> &'static str {
        match self {
            Outline::Circle => "circle",
            Outline::HalfCircle => "half-circle",
            Outline::Oval => "oval",
            Outline::Triangle => "triangle",
            Outline::Square => "square",
            Outline::Rectangle => "rectangle",
            Outline::Rhombus => "rhombus",
            Outline::Trapezoid => "trapezoid",
            Outline::Pentagon => "pentagon",
            Outline::Hexagon => "hexagon",
            Outline::Octagon => "octagon",
        }
    }

    /// Straight sides.
    pub fn sides(self) -> usize {
        match self {
            Outline::Circle | Outline::Oval => 0,
            Outline::HalfCircle => 1,
            Outline::Triangle => 3,
            Outline::Square | Outline::Rectangle | Outline::Rhombus | Outline::Trapezoid => 4,
            Outline::Pentagon => 5,
            Outline::Hexagon => 6,
            Outline::Octagon => 8,
        }
    }
}

/// A solid shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Solid {
    /// A ball.
    Sphere,
    /// Six equal square faces.
    Cube,
    /// A box with square corners.
    RectangularPrism,
    /// Two triangles joined by rectangles.
    TriangularPrism,
    /// A square face and four triangles that meet in a point.
    Pyramid,
    /// Two circles joined by a curved face.
    Cylinder,
    /// A circle and a point.
    Cone,
}

impl Solid {
    /// Each solid.
    pub const ALL: [Solid; 7] = [
        Solid::Sphere,
        Solid::Cube,
        Solid::RectangularPrism,
        Solid::TriangularPrism,
        Solid::Pyramid,
        Solid::Cylinder,
        Solid::Cone,
    ];

    /// What children call it.
    pub fn name(self) -> &'static str {
        match self {
            Solid::Sphere => "sphere",
            Solid::Cube => "cube",
            Solid::RectangularPrism => "rectangular prism",
            Solid::TriangularPrism => "triangular prism",
            Solid::Pyramid => "pyramid",
            Solid::Cylinder => "cylinder",
            Solid::Cone => "cone",
        }
    }
}

/// A whole that is cut into equal shares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Whole {
    /// A round one, cut from the centre.
    Circle,
    /// A tall one, cut into rows.
    Rectangle,
    /// A long one, cut into columns.
    Bar,
}

impl Whole {
    /// Each whole.
    pub const ALL: [Whole; 3] = [Whole::Circle, Whole::Rectangle, Whole::Bar];
}
