//! Solids: the name, two drawings unlike in size and proportion, an everyday thing. 7 solids; a deck has
//! 6 of them, the cube or the rectangular prism, unless the teacher asks for the most exact names.

use crate::deck::face::SOLID_LOOKS;
use crate::deck::family::{Family, MatchGroup, Standard};
use crate::deck::likeness::{Likeness, Meaning};
use crate::deck::shown::{Shown, Solid};
use handround_protocol::face::FaceKind;
use handround_protocol::house::AgeBand;
use handround_protocol::skill::Accent;

const STANDARDS: &[Standard] = &[
    Standard { code: "K.G.A.2", asks: "name shapes whatever their size and turn" },
    Standard { code: "K.G.A.3", asks: "tell flat shapes from solid ones" },
    Standard { code: "1.G.A.2", asks: "put cubes, prisms, cones and cylinders together" },
];

pub(super) fn family(exact: bool) -> Family {
    let group = |solid: Solid| {
        let drawn = |kind, look| (kind, Shown::Solid { solid, look });
        let cards = [
            (FaceKind::SolidName, Shown::Print(solid.name().to_owned())),
            drawn(FaceKind::Solid, 0),
            drawn(FaceKind::Solid, SOLID_LOOKS - 1),
            drawn(FaceKind::SolidThing, 0),
        ];
        MatchGroup::of(Meaning::Solid(solid), cards)
    };
    Family {
        name: if exact { "Solids by exact names" } else { "Solids" }.to_owned(),
        standards: STANDARDS,
        ages: (AgeBand::FiveToSix, AgeBand::SevenToEight),
        likeness: if exact { Likeness::ExactSolid } else { Likeness::Solid },
        accent: Accent::ANY,
        groups: Solid::ALL.into_iter().map(group).collect(),
        starts: Vec::new(),
    }
}
