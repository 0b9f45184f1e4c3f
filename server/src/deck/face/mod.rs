//! The drawings of all kinds of face. All share a card of 250 by 350 units, the shape of a playing
//! card of 63 by 88 mm, with paper, border and a 'this way up' mark at its foot. Parts that a child
//! counts or looks at carry `data-part`; no attribute ever holds the value.

mod blocks;
mod claps;
mod clock;
mod coins;
mod dots;
mod emoji;
mod fingers;
mod helped;
mod label;
mod numeral;
mod own_picture;
mod paper;
mod parts;
mod print;
mod rows;
mod shape;
mod shares;
mod solid;
mod sound_boxes;
mod tally;
mod ten_and_ones;
mod ten_frame;
mod thing;

use super::number_word::{NAMED_MAX, number_word};
use super::shown::Shown;
use super::svg::Drawing;
use handround_protocol::face::FaceKind;
use std::ops::RangeInclusive;

pub use emoji::{CREDIT, EMOJI, Emoji, emoji};
pub use helped::{HELPERS, draw_helped, draw_named};
pub use label::{kind_name, label, label_after};
pub use paper::{GROUNDS, contrast};
pub use shape::LOOKS;
pub use solid::LOOKS as SOLID_LOOKS;
pub use thing::{OTHER_THINGS, THINGS, Thing, other_thing, thing};

use super::clash::Card;

/// Units of a card for a millimetre of a coin; one scale for all cards.
pub const COIN_SCALE: f64 = coins::SCALE;

/// The kinds that show one number, in the order of the protocol.
pub const KINDS: [FaceKind; 9] = [
    FaceKind::Numeral,
    FaceKind::NumberWord,
    FaceKind::TenFrame,
    FaceKind::Tally,
    FaceKind::Dots,
    FaceKind::Fingers,
    FaceKind::TenAndOnes,
    FaceKind::Blocks,
    FaceKind::NumberPath,
];

/// The numbers that a kind can show; none for kinds that show something else. Tally has no zero,
/// fingers end with two hands, and ten and ones shows the teen numbers alone (K.NBT.A.1).
pub fn values(kind: FaceKind) -> RangeInclusive<u16> {
    match kind {
        FaceKind::Numeral | FaceKind::NumberWord => 0..=NAMED_MAX,
        FaceKind::TenFrame | FaceKind::Dots => 0..=20,
        FaceKind::Tally => 1..=20,
        FaceKind::Fingers => 0..=10,
        FaceKind::TenAndOnes => 11..=19,
        FaceKind::Blocks => 1..=NAMED_MAX,
        // Both neighbours are on the path, of at most three digits.
        FaceKind::NumberPath => 1..=NAMED_MAX - 1,
        _ => RangeInclusive::new(1, 0),
    }
}

/// Draws a number; `None` if the kind cannot show it.
pub fn draw_number(kind: FaceKind, value: u16) -> Option<String> {
    draw(kind, &Shown::Count(value))
}

/// Draws a face; `None` if the kind cannot show that.
pub fn draw(kind: FaceKind, shown: &Shown) -> Option<String> {
    let mut drawing = paper::card();
    match shown {
        Shown::Count(value) if kind == FaceKind::Claps => claps::draw(&mut drawing, *value)?,
        Shown::Count(value) => number(&mut drawing, kind, *value)?,
        Shown::Parts(one, other) => parts_of(&mut drawing, kind, (*one, *other))?,
        Shown::Bond { whole, parts } if kind == FaceKind::NumberBond => {
            let sum = whole.then(|| parts.0 + parts.1);
            parts::bond(&mut drawing, sum, *parts)?;
        }
        Shown::Rows { rows, each } => rows_of(&mut drawing, kind, *rows, *each)?,
        Shown::Print(text) if kind == FaceKind::SoundBoxes => {
            sound_boxes::draw(&mut drawing, text)?;
        }
        Shown::Print(text) => print::draw(&mut drawing, kind, text)?,
        Shown::Thing(name) if kind == FaceKind::Picture => {
            thing::draw(&mut drawing, thing(name)?)?;
        }
        Shown::Thing(name) if kind == FaceKind::OtherPicture => {
            thing::draw(&mut drawing, other_thing(name)?)?;
        }
        Shown::Thing(name) if kind == FaceKind::Emoji => emoji::draw(&mut drawing, name)?,
        Shown::Own(picture) if kind == FaceKind::Picture => {
            own_picture::draw(&mut drawing, picture)?;
        }
        Shown::Things(first, second) if kind == FaceKind::PictureParts => {
            thing::draw_two(&mut drawing, first, second)?;
        }
        Shown::Time(time) => match kind {
            FaceKind::ClockRound => clock::round(&mut drawing, *time)?,
            FaceKind::ClockSquare => clock::square(&mut drawing, *time)?,
            FaceKind::DigitalTime => clock::digital(&mut drawing, *time)?,
            _ => return None,
        },
        Shown::Coins(coins) if kind == FaceKind::Coins => {
            coins::draw(&mut drawing, coins, false)?;
        }
        Shown::ValuedCoins(coins) if kind == FaceKind::Coins => {
            coins::draw(&mut drawing, coins, true)?;
        }
        Shown::Solid { solid, look } => match kind {
            FaceKind::Solid => solid::draw(&mut drawing, *solid, *look)?,
            FaceKind::SolidThing => solid::thing(&mut drawing, *solid),
            _ => return None,
        },
        Shown::Outline { outline, look } => match kind {
            FaceKind::Shape => shape::draw(&mut drawing, *outline, *look)?,
            FaceKind::ShapeThing => shape::thing(&mut drawing, *outline),
            _ => return None,
        },
        Shown::Shares { whole, shares, shaded } if kind == FaceKind::Shares => {
            shares::draw(&mut drawing, *whole, *shares, *shaded)?;
        }
        _ => return None,
    }
    Some(wrap(drawing))
}

fn number(to: &mut Drawing, kind: FaceKind, value: u16) -> Option<()> {
    if !values(kind).contains(&value) {
        return None;
    }
    match kind {
        FaceKind::Numeral => numeral::draw(to, value)?,
        FaceKind::NumberWord => print::draw(to, kind, &number_word(value)?)?,
        FaceKind::TenFrame => ten_frame::draw(to, value),
        FaceKind::Tally => tally::draw(to, value),
        FaceKind::Dots => dots::draw(to, value),
        FaceKind::Fingers => fingers::draw(to, value),
        FaceKind::TenAndOnes => ten_and_ones::draw(to, value),
        FaceKind::Blocks => blocks::draw(to, value),
        FaceKind::NumberPath => parts::path(to, value)?,
        _ => return None,
    }
    Some(())
}

fn parts_of(to: &mut Drawing, kind: FaceKind, parts: (u16, u16)) -> Option<()> {
    let halves = 1..=parts::HALF_MAX;
    match kind {
        FaceKind::DotParts if halves.contains(&parts.0) && halves.contains(&parts.1) => {
            parts::domino(to, parts);
        }
        FaceKind::FrameParts if parts.0.checked_add(parts.1)? <= 10 => parts::frame(to, parts),
        _ => return None,
    }
    Some(())
}

fn rows_of(to: &mut Drawing, kind: FaceKind, rows: u16, each: u16) -> Option<()> {
    let within = 1..=rows::ROWS_MAX;
    if !within.contains(&rows) || !within.contains(&each) {
        return None;
    }
    match kind {
        FaceKind::Array => rows::array(to, rows, each),
        FaceKind::EqualGroups => rows::groups(to, rows, each),
        _ => return None,
    }
    Some(())
}

/// The card with the picture of a thing: our own drawing, or the emoji where we have none.
pub fn picture(name: &str) -> Option<Card> {
    let kind = match (thing(name), emoji(name)) {
        (Some(_), _) => FaceKind::Picture,
        (None, Some(_)) => FaceKind::Emoji,
        (None, None) => return None,
    };
    Some((kind, Shown::Thing(name.to_owned())))
}

/// A second card with a picture of the thing, unlike the first one: an emoji, or our second drawing.
pub fn other_picture(name: &str) -> Option<Card> {
    thing(name)?;
    let kind = match (emoji(name), other_thing(name)) {
        (Some(_), _) => FaceKind::Emoji,
        (None, Some(_)) => FaceKind::OtherPicture,
        (None, None) => return None,
    };
    Some((kind, Shown::Thing(name.to_owned())))
}

/// The words of all pictures, each once: those with our own drawing first.
pub fn pictured() -> impl Iterator<Item = &'static str> {
    let others = EMOJI.iter().map(|emoji| emoji.name).filter(|name| thing(name).is_none());
    THINGS.iter().map(|thing| thing.name).chain(others)
}

/// A card that shows nothing. It belongs to no valid deck.
pub fn blank() -> String {
    wrap(paper::card())
}

fn wrap(drawing: Drawing) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 250 350">{}</svg>"#,
        drawing.into_text()
    )
}
