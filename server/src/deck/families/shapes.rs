//! Flat shapes: the name, two drawings unlike in size, turn and proportion, an everyday thing. 11 shapes;
//! a deck has one of square, rectangle, rhombus and trapezoid, square beside none of the others, unless
//! the teacher asks for the most exact names.

use crate::deck::face::LOOKS;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::{Outline, Shown};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "K.G.A.2", asks: "name shapes whatever their size and turn" },
    Standard { code: "K.G.A.1", asks: "find shapes in the things around" },
    Standard { code: "1.G.A.1", asks: "tell what makes a shape from what does not" },
    Standard { code: "2.G.A.1", asks: "know shapes by their sides and corners" },
];

pub(super) fn family() -> Family {
    of(Likeness::Outline, "Shapes")
}

/// Squares beside rectangles and rhombuses, each under its most exact name.
pub fn with_exact_names() -> Family {
    of(Likeness::ExactOutline, "Shapes by exact names")
}

fn of(likeness: Likeness, name: &str) -> Family {
    let group = |outline: Outline| {
        let drawn = |look| (FaceKind::Shape, Shown::Outline { outline, look });
        let places = vec![
            vec![(FaceKind::ShapeName, Shown::Print(outline.name().to_owned()))],
            vec![drawn(0)],
            (1..LOOKS).map(drawn).collect(),
            vec![(FaceKind::ShapeThing, Shown::Outline { outline, look: 0 })],
        ];
        MatchGroup { meaning: Meaning::Outline(outline), places }
    };
    Family {
        name: name.to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
        likeness,
        accent: Accent::ANY,
        groups: Outline::ALL.into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
