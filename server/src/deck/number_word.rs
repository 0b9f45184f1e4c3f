//! Number names in US English: hyphens from twenty-one to ninety-nine, no `and` after a hundred.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// The largest number with a name here: the last of three digits, as far as 2.NBT.A.3 goes on cards.
pub const NAMED_MAX: u16 = 999;

const BELOW_TWENTY: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];

const TENS: [&str; 10] =
    ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/// The name of a number from 0 to 999; `None` beyond.
pub fn number_word(number: u16) -> Option<String> {
    if number > NAMED_MAX {
        return None;
    }
    if number >= 100 {
        let hundreds = BELOW_TWENTY[usize::from(number / 100)];
        return match number % 100 {
            0 => Some(format!("{hundreds} hundred")),
            rest => number_word(rest).map(|rest| format!("{hundreds} hundred {rest}")),
        };
    }
    let (tens, ones) = (usize::from(number / 10), usize::from(number % 10));
    Some(match (tens, ones) {
        (0 | 1, _) => BELOW_TWENTY[usize::from(number)].to_owned(),
        (_, 0) => TENS[tens].to_owned(),
        _ => format!("{}-{}", TENS[tens], BELOW_TWENTY[ones]),
    })
}

/// The number that a name stands for, the other way round.
pub fn number_of_word(word: &str) -> Option<u16> {
    static NUMBERS: LazyLock<BTreeMap<String, u16>> = LazyLock::new(|| {
        (0..=NAMED_MAX).filter_map(|number| Some((number_word(number)?, number))).collect()
    });
    NUMBERS.get(word).copied()
}
