//! What a screen reader says of a face: the kind alone during play, the meaning after the round.

use crate::deck::number_word::number_word;
use crate::deck::shown::{Shown, Whole};
use handround_protocol::face::FaceKind;

/// What a kind is called, in words that a teacher uses with children.
pub fn kind_name(kind: FaceKind) -> &'static str {
    match kind {
        FaceKind::Numeral => "numeral",
        FaceKind::NumberWord => "number word",
        FaceKind::TenFrame => "ten frame",
        FaceKind::Tally => "tally",
        FaceKind::Dots => "dots",
        FaceKind::Fingers => "fingers",
        FaceKind::TenAndOnes => "ten and ones",
        FaceKind::Blocks => "blocks",
        FaceKind::ExpandedForm => "expanded form",
        FaceKind::PlaceNames => "tens and ones",
        FaceKind::Addition => "addition",
        FaceKind::Subtraction => "subtraction",
        FaceKind::DotParts => "domino",
        FaceKind::NumberBond => "number bond",
        FaceKind::FrameParts => "two-part ten frame",
        FaceKind::NumberPath => "number path",
        FaceKind::MoreOrLess => "more or less",
        FaceKind::Array => "rows of dots",
        FaceKind::EqualGroups => "equal groups",
        FaceKind::RowWords => "rows in words",
        FaceKind::Capital => "capital letter",
        FaceKind::SmallLetter => "small letter",
        FaceKind::BookLetter => "book letter",
        FaceKind::BookCapital => "book capital",
        FaceKind::Picture => "picture",
        FaceKind::Word => "word",
        FaceKind::WordCapitals => "word in capitals",
        FaceKind::WordFirstCapital => "word with a capital",
        FaceKind::WordBook => "word in book print",
        FaceKind::SoundBoxes => "sound boxes",
        FaceKind::ClockRound => "round clock",
        FaceKind::ClockSquare => "square clock",
        FaceKind::DigitalTime => "digital clock",
        FaceKind::TimeWords => "time in words",
        FaceKind::Coins => "coins",
        FaceKind::CentSign => "cents",
        FaceKind::DollarSign => "dollars",
        FaceKind::MoneyWords => "amount in words",
        FaceKind::Shape => "shape",
        FaceKind::ShapeName => "shape name",
        FaceKind::ShapeThing => "thing with a shape",
        FaceKind::Shares => "shares",
        FaceKind::ShareWords => "shares in words",
        FaceKind::LetterTeam => "letters that go together",
        FaceKind::Claps => "claps",
        FaceKind::PictureParts => "two pictures",
        FaceKind::WordParts => "two words",
        FaceKind::ShortForm => "short form",
        FaceKind::ShortFormCapitals => "short form in capitals",
        FaceKind::LongForm => "full form",
        FaceKind::LongFormCapitals => "full form in capitals",
        FaceKind::Solid => "solid",
        FaceKind::SolidName => "solid name",
        FaceKind::SolidThing => "thing with the form of a solid",
        FaceKind::Emoji => "emoji",
        FaceKind::OtherPicture => "other picture",
    }
}

/// What a screen reader says during play: the kind, never the value.
pub fn label(kind: FaceKind) -> String {
    format!("{} card", kind_name(kind))
}

/// What is said after the round: the kind and what it shows.
pub fn label_after(kind: FaceKind, shown: &Shown) -> String {
    let named = |number: u16| number_word(number).unwrap_or_else(|| number.to_string());
    let told = match shown {
        Shown::Count(value) => named(*value),
        Shown::Parts(one, other) | Shown::Bond { parts: (one, other), .. } => {
            format!("{} and {}", named(*one), named(*other))
        }
        Shown::Rows { rows, each } => format!("{} times {}", named(*rows), named(*each)),
        Shown::Print(text) => text.clone(),
        Shown::Thing(name) => name.clone(),
        Shown::Own(picture) => picture.word.clone(),
        Shown::Time(time) => format!("{}:{:02}", time.hour, time.minute),
        Shown::Things(first, second) => format!("{first} and {second}"),
        Shown::Solid { solid, .. } => solid.name().to_owned(),
        Shown::Coins(coins) | Shown::ValuedCoins(coins) => {
            format!("{} cents", coins.iter().map(|coin| coin.cents()).sum::<u16>())
        }
        Shown::Outline { outline, .. } => outline.name().to_owned(),
        Shown::Shares { whole, shares, shaded } => {
            let whole = match whole {
                Whole::Circle => "circle",
                Whole::Rectangle => "rectangle",
                Whole::Bar => "bar",
            };
            format!("{shaded} of {shares} equal shares of a {whole}")
        }
    };
    format!("{}, {told}", kind_name(kind))
}
