//! What a card shows, and the sheet of all faces of a deck that a device loads before the first
//! deal. The sheet is the same for everybody and says nothing about who holds what.

use crate::id::{DeckId, FaceIndex, GroupIndex};
use crate::view::Helper;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The kind of picture on a card. Only appended to, since journals and reports name kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum FaceKind {
    /// Digits: 7.
    Numeral,
    /// A number word: seven.
    NumberWord,
    /// One or two frames of two rows of five.
    TenFrame,
    /// Strokes, the fifth across four.
    Tally,
    /// Dots as on dice or dominoes, or in rows.
    Dots,
    /// Raised fingers.
    Fingers,
    /// A rod of ten and single cubes, for 11 to 19.
    TenAndOnes,
    /// Squares of a hundred, rods of ten and single cubes.
    Blocks,
    /// A sum of hundreds, tens and ones: 300 + 40 + 6.
    ExpandedForm,
    /// Places named: 3 tens 4 ones.
    PlaceNames,
    /// An addition: 3 + 4.
    Addition,
    /// A subtraction: 9 - 2.
    Subtraction,
    /// Two tiles of dots that are counted together.
    DotParts,
    /// Two parts joined to an empty whole, or a whole joined to its parts.
    NumberBond,
    /// A ten frame of full and of open counters.
    FrameParts,
    /// An empty place between its two neighbours on a number path.
    NumberPath,
    /// A number told by another: 1 more than 6.
    MoreOrLess,
    /// Equal rows of dots.
    Array,
    /// Rings with equally many dots.
    EqualGroups,
    /// Rows told in words: 3 rows of 4.
    RowWords,
    /// A capital letter on writing lines.
    Capital,
    /// A small letter on writing lines.
    SmallLetter,
    /// A small letter as books print it.
    BookLetter,
    /// A capital as books print it.
    BookCapital,
    /// A drawing of a thing.
    Picture,
    /// A word in small letters on writing lines.
    Word,
    /// A word in capitals.
    WordCapitals,
    /// A word that starts a sentence.
    WordFirstCapital,
    /// A word as books print it.
    WordBook,
    /// A word with a box for each sound.
    SoundBoxes,
    /// A clock with hands and round face.
    ClockRound,
    /// A clock with hands, square face and minute marks.
    ClockSquare,
    /// A time in digits: 10:30.
    DigitalTime,
    /// A time in words: half past ten.
    TimeWords,
    /// Coins side by side.
    Coins,
    /// An amount with the cent sign.
    CentSign,
    /// An amount with the dollar sign.
    DollarSign,
    /// An amount in words.
    MoneyWords,
    /// A flat shape.
    Shape,
    /// The name of a shape.
    ShapeName,
    /// An everyday thing with the outline of a shape.
    ShapeThing,
    /// A whole cut into equal shares, some of them shaded.
    Shares,
    /// Shaded shares in words: two thirds.
    ShareWords,
    /// Letters that go together: sh, fl, ai.
    LetterTeam,
    /// Pairs of clapping hands, one for each part of a word.
    Claps,
    /// Two pictures whose words make one.
    PictureParts,
    /// Two words that make one: tooth + brush.
    WordParts,
    /// A shortened form: don’t.
    ShortForm,
    /// The same in capitals.
    ShortFormCapitals,
    /// Its full form: do not.
    LongForm,
    /// The same in capitals.
    LongFormCapitals,
    /// A solid shape.
    Solid,
    /// The name of a solid.
    SolidName,
    /// An everyday thing with the form of a solid.
    SolidThing,
    /// An emoji: a thing as another hand than ours drew it.
    Emoji,
    /// Our second drawing of a thing, unlike the first.
    OtherPicture,
}

/// One face of a deck as every device draws it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct Face {
    /// What kind of picture it is.
    pub kind: FaceKind,
    /// The match group it belongs to.
    pub group: GroupIndex,
    /// The drawing: one `<svg>` element of viewBox 0 0 250 350 without script, style or links.
    pub svg: String,
    /// What a screen reader says during play. Names the kind, never the value.
    pub label: String,
    /// What is said after the round, with the value: `ten frame, seven`.
    pub label_after: String,
}

/// All faces of one deck, loaded over HTTP before the first deal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct FaceSheet {
    /// The deck.
    pub deck: DeckId,
    /// Its name on screen, such as `Numbers 1 to 8`.
    pub name: String,
    /// The faces; a `FaceIndex` points here.
    pub faces: Vec<Face>,
    /// Faces drawn with a helper, for a card that a view shows with one. Everybody loads all of
    /// them, so that loading tells nothing of who has which.
    #[serde(default)]
    pub with_helper: Vec<HelpedFace>,
    /// The pictures with their words, each once, for naming them before the first deal. They are
    /// public then and say nothing of any hand.
    #[serde(default)]
    pub naming: Vec<NamedPicture>,
}

/// A face with a helper drawn into it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct HelpedFace {
    /// The face.
    pub face: FaceIndex,
    /// The helper.
    pub helper: Helper,
    /// The whole drawing, like that of a face.
    pub svg: String,
}

/// A picture and what it is called.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub struct NamedPicture {
    /// A face that shows it.
    pub face: FaceIndex,
    /// The word.
    pub word: String,
    /// The picture over the word in the cards' own letters, drawn like a face.
    pub svg: String,
}

impl FaceSheet {
    /// A sheet without helpers and without pictures to name.
    pub fn plain(deck: DeckId, name: String, faces: Vec<Face>) -> FaceSheet {
        FaceSheet { deck, name, faces, with_helper: Vec::new(), naming: Vec::new() }
    }

    /// The match group of a face; `None` for an index beyond the sheet.
    pub fn group(&self, face: FaceIndex) -> Option<GroupIndex> {
        self.faces.get(usize::from(face.0)).map(|face| face.group)
    }
}
