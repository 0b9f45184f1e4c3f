//! Classes that a server keeps and the groups made from them: small JSON bodies between the
//! teacher's page and the server. Readiness and keep-apart pairs are counted here and never told:
//! they leave the server in the teacher's own export alone. Who plays at home is told to her pages.

use crate::house::AgeBand;
use crate::id::{ClassId, PupilIndex};
use crate::picture::Picture;
use crate::time::Micros;
use crate::wishes::DeckPlan;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A kept class: one line of `GET /classes`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct ClassLine {
    /// The class.
    pub class: ClassId,
    /// Its name.
    pub name: String,
    /// Pupils on its list.
    pub pupils: u16,
    /// When the server forgets it by itself, in microseconds since the Unix epoch; a lesson made
    /// from it moves this on.
    pub kept_until: Micros,
}

/// A kept class as the teacher's page shows it: `GET /classes/{class}`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct ClassTold {
    /// The class.
    pub class: ClassId,
    /// Its name.
    pub name: String,
    /// In the order of the list.
    pub pupils: Vec<ClassPupil>,
    /// For how many of them the list says how ready they are.
    pub with_readiness: u16,
    /// How many pairs are to be kept apart.
    pub pairs_apart: u16,
    /// As in `ClassLine`.
    pub kept_until: Micros,
}

/// One child of a kept class.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct ClassPupil {
    /// The nickname.
    pub name: String,
    /// The picture.
    pub picture: Picture,
    /// The child plays at home.
    pub at_home: bool,
}

/// The teacher says that a child plays at home, or in the room: `POST /classes/{class}/home`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct HomeAsked {
    /// The child.
    pub pupil: PupilIndex,
    /// Whether it plays at home.
    pub at_home: bool,
}

/// The teacher gives a child another picture: `POST /classes/{class}/picture`. Whoever has that
/// picture gets the child's old one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct PictureAsked {
    /// The child.
    pub pupil: PupilIndex,
    /// The picture to be.
    pub picture: Picture,
}

/// How the program is to choose the groups.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum GroupWay {
    /// Every table like the whole class: sure and beginning children together.
    Mixed,
    /// Children of like readiness together.
    Similar,
    /// By chance alone.
    Random,
    /// By what play showed: children who need the same practice together.
    FromPlay,
}

/// The teacher asks for groups: `POST /classes/{class}/groups`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum GroupsAsked {
    /// Groups that the program chooses.
    Choose {
        /// The children who are here today.
        here: Vec<PupilIndex>,
        /// How.
        way: GroupWay,
        /// Which of the groups that are equally good: the same number gives the same groups.
        draw: u32,
    },
    /// What the program says to groups by hand. Whoever sits at no table is not here today.
    ByHand {
        /// The children of each table; empty tables are left out.
        tables: Vec<Vec<PupilIndex>>,
        /// Whether each table is to have a deck suggested by what play showed.
        #[serde(default)]
        with_decks: bool,
    },
}

/// Groups, before anybody sits down: the answer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GroupsTold {
    /// Table 1 first.
    pub tables: Vec<GroupTold>,
    /// How the class sits, in one plain sentence.
    pub seating: String,
    /// Who could not be kept apart and why, in one plain sentence; `None` if everybody is.
    pub apart: Option<String>,
    /// Who at home would sit without another child, in one plain sentence; `None` if nobody does.
    pub alone: Option<String>,
}

/// One table before anybody sits down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct GroupTold {
    /// Its children.
    pub pupils: Vec<PupilIndex>,
    /// Practice partners beside them.
    pub partners: u8,
    /// Why these children sit together, in plain sentences; only where play decided it.
    #[serde(default)]
    pub why: Vec<String>,
    /// The deck that play suggests for these children, if that was asked for and one can be made.
    #[serde(default)]
    pub deck: Option<SuggestedDeck>,
}

/// A deck for a table. The teacher decides whether it is laid.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct SuggestedDeck {
    /// Its name.
    pub name: String,
    /// As the workshop and a new lesson take it.
    pub deck: DeckPlan,
    /// Why, in plain sentences.
    pub why: Vec<String>,
}

/// What could come next by what play showed: `GET /classes/{class}/next`. The teacher decides.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct NextTold {
    /// The groups that `GroupWay::FromPlay` gives to the whole class at draw 0.
    pub groups: Vec<NextGroup>,
    /// As in `GroupsTold`.
    pub apart: Option<String>,
}

/// Children who could sit together, and a deck for them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct NextGroup {
    /// The children.
    pub pupils: Vec<PupilIndex>,
    /// Their nicknames.
    pub names: Vec<String>,
    /// The deck as the workshop takes it; `None` where nothing was played yet, or it cannot be made.
    pub deck: Option<DeckPlan>,
    /// Why, in plain sentences.
    pub why: Vec<String>,
}

/// The teacher makes a lesson of a kept class: `POST /classes/{class}/lessons`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct LessonAsked {
    /// The lesson's name.
    pub name: String,
    /// The plan it begins with.
    pub ages: AgeBand,
    /// As in `GroupsAsked::ByHand`.
    pub tables: Vec<Vec<PupilIndex>>,
    /// The deck that lies on each of these tables; a table without one plays with the lesson's.
    #[serde(default)]
    pub decks: Vec<Option<DeckPlan>>,
}
