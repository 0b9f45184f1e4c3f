//! The fixed ways in which cards write sums, places, times, amounts and shares, and reading them
//! again. Writing and reading stand side by side, so that one cannot drift from the other unseen;
//! that both are right is checked against outside tables.

use super::number_word::{number_of_word, number_word};
use super::shown::Time;
use handround_protocol::face::FaceKind;

/// `300 + 40 + 6`, without the places that are zero. None where it would equal the numeral.
pub fn expanded_form(number: u16) -> Option<String> {
    let places = [number / 100 * 100, number / 10 % 10 * 10, number % 10];
    let terms: Vec<String> =
        places.iter().filter(|place| **place > 0).map(u16::to_string).collect();
    (terms.len() > 1).then(|| terms.join(" + "))
}

/// `3 tens 4 ones`, with every place below the first.
pub fn place_names(number: u16) -> String {
    let names = [("hundred", number / 100), ("ten", number / 10 % 10), ("one", number % 10)];
    let first = names.iter().position(|(_, count)| *count > 0).unwrap_or(2);
    let told = |(name, count): &(&str, u16)| {
        format!("{count} {name}{}", if *count == 1 { "" } else { "s" })
    };
    names[first..].iter().map(told).collect::<Vec<_>>().join(" ")
}

/// Left, sign, right of `7 + 3` or `10 − 3`.
pub fn equation(text: &str) -> Option<(u16, char, u16)> {
    let words: Vec<&str> = text.split(' ').collect();
    let [left, sign @ ("+" | "−"), right] = words[..] else { return None };
    Some((left.parse().ok()?, sign.chars().next()?, right.parse().ok()?))
}

/// The number that a printed face of this kind stands for.
///
/// # Errors
/// A reason in plain words.
pub fn number(kind: FaceKind, text: &str) -> Result<u16, &'static str> {
    let words: Vec<&str> = text.split(' ').collect();
    let parse = |text: &str| text.parse::<u16>().ok();
    let found = match kind {
        FaceKind::Addition => text.split(" + ").map(parse).sum::<Option<u16>>(),
        FaceKind::Subtraction => match equation(text) {
            Some((left, '−', right)) => left.checked_sub(right),
            _ => None,
        },
        FaceKind::ExpandedForm => {
            let sum = text.split(" + ").map(parse).sum::<Option<u16>>();
            sum.filter(|sum| expanded_form(*sum).as_deref() == Some(text))
        }
        FaceKind::PlaceNames => {
            let value = |pair: &[&str]| match pair {
                [count, name] => {
                    let each = match name.trim_end_matches('s') {
                        "hundred" => 100,
                        "ten" => 10,
                        "one" => 1,
                        _ => return None,
                    };
                    parse(count).map(|count| count * each)
                }
                _ => None,
            };
            words.chunks(2).map(value).sum()
        }
        FaceKind::MoreOrLess if words[0] == "just" => match words[..] {
            ["just", "after", from] => parse(from).and_then(|from| from.checked_add(1)),
            ["just", "before", from] => parse(from).and_then(|from| from.checked_sub(1)),
            _ => None,
        },
        FaceKind::MoreOrLess => match words[..] {
            [step, "more", "than", from] => Some(parse(step).zip(parse(from)).map(|(s, f)| f + s)),
            [step, "less", "than", from] => {
                Some(parse(step).zip(parse(from)).and_then(|(s, f)| f.checked_sub(s)))
            }
            _ => None,
        }
        .flatten(),
        FaceKind::RowWords => match words[..] {
            [rows, "row" | "rows", "of", each] => parse(rows).zip(parse(each)).map(|(r, e)| r * e),
            _ => None,
        },
        _ => None,
    };
    found.ok_or("it tells no number")
}

/// The ways to say a time, the most usual first. Quarters are said by the hour, other times by their
/// digits: `ten oh five`.
pub fn time_words(time: Time) -> Vec<String> {
    let name = |number: u8| number_word(u16::from(number)).unwrap_or_default();
    let next = if time.hour == 12 { 1 } else { time.hour + 1 };
    let (hour, next) = (name(time.hour), name(next));
    let digits = match time.minute {
        0 => format!("{hour} o’clock"),
        minute @ 1..=9 => format!("{hour} oh {}", name(minute)),
        minute => format!("{hour} {}", name(minute)),
    };
    let mut words = match time.minute {
        15 => vec![format!("quarter past {hour}")],
        30 => vec![format!("half past {hour}")],
        45 => vec![format!("quarter to {next}")],
        _ => Vec::new(),
    };
    words.push(digits);
    words
}

/// The time that some words tell.
pub fn time_of(text: &str) -> Option<Time> {
    (0..720).map(Time::from_minutes).find(|time| time_words(*time).iter().any(|way| way == text))
}

/// `25¢`.
pub fn cent_sign(cents: u16) -> String {
    format!("{cents}¢")
}

/// `$0.25`.
pub fn dollar_sign(cents: u16) -> String {
    format!("${}.{:02}", cents / 100, cents % 100)
}

/// `twenty-five cents`.
pub fn money_words(cents: u16) -> Option<String> {
    match cents {
        1 => Some("one cent".to_owned()),
        100 => Some("one dollar".to_owned()),
        2..=99 => Some(format!("{} cents", number_word(cents)?)),
        _ => None,
    }
}

/// The cents that a printed amount tells.
pub fn cents_of(kind: FaceKind, text: &str) -> Option<u16> {
    match kind {
        FaceKind::CentSign => text.strip_suffix('¢')?.parse().ok(),
        FaceKind::DollarSign => {
            let (dollars, cents) = text.strip_prefix('$')?.split_once('.')?;
            let (dollars, two): (u16, u16) = (dollars.parse().ok()?, cents.parse().ok()?);
            (cents.len() == 2).then_some(dollars.checked_mul(100)?.checked_add(two)?)
        }
        FaceKind::MoneyWords => match text {
            "one cent" => Some(1),
            "one dollar" => Some(100),
            _ => number_of_word(text.strip_suffix(" cents")?),
        },
        _ => None,
    }
}

/// Short forms with an apostrophe and their full forms. None has two full forms that a child of this age
/// meets (`I’d` is I had and I would), and no two of them sound alike. L.2.2.C; which ones, common
/// practice, no source.
pub const SHORT_FORMS: [(&str, &str); 22] = [
    ("I’m", "I am"),
    ("I’ll", "I will"),
    ("I’ve", "I have"),
    ("you’re", "you are"),
    ("you’ll", "you will"),
    ("he’s", "he is"),
    ("she’s", "she is"),
    ("it’s", "it is"),
    ("we’re", "we are"),
    ("we’ll", "we will"),
    ("we’ve", "we have"),
    ("they’re", "they are"),
    ("they’ll", "they will"),
    ("can’t", "can not"),
    ("don’t", "do not"),
    ("isn’t", "is not"),
    ("aren’t", "are not"),
    ("won’t", "will not"),
    ("didn’t", "did not"),
    ("doesn’t", "does not"),
    ("haven’t", "have not"),
    ("let’s", "let us"),
];

/// Words made of two that children know, written as one. RF.1.3.E and L.2.4.D; which ones, common
/// practice, no source.
pub const COMPOUNDS: [(&str, &str); 29] = [
    ("basket", "ball"),
    ("bath", "tub"),
    ("bed", "room"),
    ("bee", "hive"),
    ("book", "shelf"),
    ("book", "worm"),
    ("cat", "fish"),
    ("cob", "web"),
    ("cow", "boy"),
    ("cup", "cake"),
    ("door", "bell"),
    ("door", "mat"),
    ("ear", "ring"),
    ("egg", "shell"),
    ("fish", "bowl"),
    ("flower", "pot"),
    ("foot", "ball"),
    ("key", "hole"),
    ("light", "house"),
    ("pan", "cake"),
    ("rain", "bow"),
    ("rain", "coat"),
    ("row", "boat"),
    ("snow", "man"),
    ("star", "fish"),
    ("sun", "flower"),
    ("sun", "set"),
    ("tea", "pot"),
    ("tooth", "brush"),
];

/// The compound of two words, if it is one of ours.
pub fn compound(first: &str, second: &str) -> Option<(&'static str, &'static str)> {
    COMPOUNDS.into_iter().find(|parts| *parts == (first, second))
}

/// The two words of a compound.
pub fn parts_of(word: &str) -> Option<(&'static str, &'static str)> {
    COMPOUNDS.into_iter().find(|(first, second)| word.strip_prefix(first) == Some(second))
}

const SHARE_NAMES: [(&str, &str); 3] =
    [("half", "halves"), ("third", "thirds"), ("fourth", "fourths")];

/// `two thirds`; None beyond fourths.
pub fn share_words(shaded: u8, shares: u8) -> Option<String> {
    let (one, many) = SHARE_NAMES.get(usize::from(shares.checked_sub(2)?))?;
    let name = if shaded == 1 { one } else { many };
    Some(format!("{} {name}", number_word(u16::from(shaded))?))
}

/// Shaded and all shares that some words tell.
pub fn share_of(text: &str) -> Option<(u8, u8)> {
    let all = (2..=4_u8).flat_map(|shares| (0..=shares).map(move |shaded| (shaded, shares)));
    all.into_iter().find(|(shaded, shares)| share_words(*shaded, *shares).as_deref() == Some(text))
}
