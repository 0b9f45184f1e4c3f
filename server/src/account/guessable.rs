//! Passwords that are tried first. NIST SP 800-63B (2017), section 5.1.1.2, asks to compare a new password with
//! values that are common, expected or compromised: words of a dictionary, repeated or sequential characters,
//! and what belongs to the place, such as the name of the service and the user's (section and list from
//! memory). Pure.
//!
//! The list of common words here is small, made from memory of what published lists of leaked passwords
//! share; it holds no leaked password itself. Its whole work is to refuse the worst; the length asked for
//! and the rate of tries do the rest.

use crate::limits::account::PASSWORD_REST_CHARS_MIN;
use std::collections::BTreeSet;
use unicode_normalization::UnicodeNormalization as _;

/// Words that say nothing: common in passwords, or expected here. Without accents, as a password is folded.
const COMMON: [&str; 25] = [
    "password",
    "passwort",
    "passw0rd",
    "contrasena",
    "handround",
    "letmein",
    "iloveyou",
    "welcome",
    "administrator",
    "admin",
    "login",
    "secret",
    "changeme",
    "default",
    "teachers",
    "teacher",
    "classroom",
    "school",
    "sunshine",
    "princess",
    "dragon",
    "monkey",
    "football",
    "baseball",
    "abc123",
];
/// Characters as they follow each other: the alphabet, the digits, the rows of a keyboard.
const ROWS: [&str; 6] = [
    "abcdefghijklmnopqrstuvwxyz",
    "01234567890",
    "qwertyuiop",
    "asdfghjkl",
    "zxcvbnm",
    "!@#$%^&*()",
];
/// As many in a row are a run; three of them stand in honest words, such as `power`.
const RUN_CHARS: usize = 4;
/// As many times the same character is a run.
const SAME_CHARS: usize = 3;
/// A shorter piece of a name stands in too many words.
const PIECE_CHARS_MIN: usize = 3;

/// Whether too little is left of a password once all that is common, expected or regular is taken out.
/// `about` are the texts that belong to the place: the account's name, the server's address.
pub fn is_guessable(password: &str, about: &[&str]) -> bool {
    let letters: Vec<char> = bare(password).chars().filter(|one| !one.is_whitespace()).collect();
    let unit: String = once(&letters).iter().collect();
    let mut words: Vec<String> = COMMON.iter().map(|word| (*word).to_owned()).collect();
    for text in about {
        let folded = bare(text);
        words.push(folded.chars().filter(|letter| letter.is_alphanumeric()).collect());
        words.extend(folded.split(|letter: char| !letter.is_alphanumeric()).map(str::to_owned));
    }
    words.retain(|word| word.chars().count() >= PIECE_CHARS_MIN);
    // The longest first: of `teachers` no `s` is to be left.
    words.sort_by_key(|word| std::cmp::Reverse(word.chars().count()));
    // What stood on both sides of a word is no run.
    let rest = words.iter().fold(unit, |rest, word| rest.replace(word.as_str(), " "));
    let rest: Vec<char> = rest.split(' ').flat_map(without_runs).collect();
    let kinds: BTreeSet<&char> = rest.iter().collect();
    rest.len() < PASSWORD_REST_CHARS_MIN || kinds.len() < PASSWORD_REST_CHARS_MIN / 2
}

/// Capital letters, accents and letters of another width make nothing harder to guess: `pässwörd` is tried
/// right behind `password`. Taken apart as Unicode's normalisation form KD has them, then put together again
/// without the accents, so that a Korean syllable still counts as one character.
fn bare(text: &str) -> String {
    let apart = text.nfkd().flat_map(char::to_lowercase).filter(|letter| !is_accent(*letter));
    apart.nfc().collect()
}

/// The block of combining diacritical marks, as Latin, Greek and Cyrillic letters have them. Marks of other
/// scripts are vowels or make other letters; without them an honest password would look short.
fn is_accent(letter: char) -> bool {
    matches!(letter, '\u{300}'..='\u{36f}')
}

/// The part that a text repeats from its beginning to its end, or all of it.
fn once(letters: &[char]) -> &[char] {
    let repeats =
        |length: &usize| letters.iter().skip(*length).eq(&letters[..letters.len() - length]);
    let length = (1..=letters.len() / 2).find(repeats);
    &letters[..length.unwrap_or(letters.len())]
}

/// A text without its runs: the same character again and again, or characters as they follow each other.
fn without_runs(text: &str) -> Vec<char> {
    let letters: Vec<char> = text.chars().collect();
    let (mut rest, mut at) = (Vec::new(), 0);
    while at < letters.len() {
        let length = run(&letters[at..]);
        if length == 1 {
            rest.push(letters[at]);
        }
        at += length;
    }
    rest
}

/// How long the run is with which these begin; 1 if there is none.
fn run(letters: &[char]) -> usize {
    let same = letters.iter().take_while(|letter| **letter == letters[0]).count();
    if same >= SAME_CHARS {
        return same;
    }
    let follows = |row: &str| {
        let row: Vec<char> = row.chars().collect();
        let back: Vec<char> = row.iter().rev().copied().collect();
        [row, back].into_iter().map(|row| begins_in(letters, &row)).max().unwrap_or(0)
    };
    let longest = ROWS.iter().map(|row| follows(row)).max().unwrap_or(0);
    if longest >= RUN_CHARS { longest } else { 1 }
}

/// How many of these letters stand in a row as they do there, from wherever.
fn begins_in(letters: &[char], row: &[char]) -> usize {
    let from = |start: usize| row[start..].iter().zip(letters).take_while(|(a, b)| a == b).count();
    (0..row.len()).map(from).max().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_tried_first_is_refused_and_words_in_a_row_are_not() {
        let about = ["Ms Élodie Fern", "https://handround.oakschool.example:8787"];
        for bad in [
            "12345678",
            "123456789012",
            "098765432109",
            "aaaaaaaaaaaa",
            "aaaabbbbcccc",
            "abcabcabcabc",
            "12341234123412",
            "qwertyuiopasdf",
            "Password1234",
            "p a s s w o r d 2026",
            "passwordpassword",
            "password password!",
            "MsÉlodieFern1",
            "ms élodie fern 123",
            "Fern2026fern",
            "fernfernfern",
            "oakschool2026",
            "Oakschool Teacher",
            "Handround!!!!!",
            "!@#$%^&*()!@",
            "teachers1234",
            "leaf leaf leaf",
            "            ",
            "",
        ] {
            assert!(is_guessable(bad, &about), "{bad:?}");
        }
        for good in [
            "leaf pebble cart",
            "drum kite & pear=50%",
            "another leaf cart",
            "powerful deserted trees",
            "Fern walks to oakschool by boat",
            "kX7#mQ2!vR9s",
            "лист камешек тележка",
            "木の葉と小石と荷車を引く",
        ] {
            assert!(!is_guessable(good, &about), "{good:?}");
        }
        assert!(!is_guessable("elodie likes ferns", &["Moss"]), "names of others are words");
    }

    /// Decompositions and widths as the Unicode Standard has them (UnicodeData.txt; Python's `unicodedata`
    /// gives the same for every line of this table).
    #[test]
    fn accents_and_widths_make_nothing_harder_to_guess() {
        for (typed, plain) in [
            ("pässwörd", "password"),
            ("Pa\u{308}sswo\u{308}rd", "password"),
            ("ṕãśśẃōŕđ", "passworđ"),
            ("ＰＡＳＳＷＯＲＤ", "password"),
            ("contraseña", "contrasena"),
            ("ｱbc１２３④⑤⁶", "アbc123456"),
            ("ﬁve ™", "five tm"),
            ("ĳ İ ẞ", "ij i ß"),
            ("Ёлка", "елка"),
            // These are other letters, or vowels, and stay.
            ("나뭇잎", "나뭇잎"),
            ("गाड़ी", "गाड\u{93c}ी"),
            ("がぱ", "がぱ"),
        ] {
            assert_eq!(bare(typed), plain, "{typed}");
        }
        let about = ["Ms Élodie Fern", "https://handround.oakschool.example:8787"];
        for bad in [
            "pässwörd2026",
            "PÀSSWÓRD 1234",
            "ｐａｓｓｗｏｒｄ１２３４",
            "ｑｗｅｒｔｙｕｉｏｐáśd",
            "１２３４５６７８９０１２",
            "çõntráséñá 12",
            "äàáâåãäàáâåã",
            "ms elodie fern 123",
            "MS E\u{301}LODI\u{308}E FE\u{301}RN",
            "öäkschööl 2026",
            "！＠＃＄％＾＆＊（）！＠",
        ] {
            assert!(is_guessable(bad, &about), "{bad:?}");
        }
        for good in [
            "blätter kiesel karre",
            "hója kamyk wózek",
            "나뭇잎 조약돌 수레 북",
            "पत्ता कंकड़ गाड़ी ढोल",
            "ใบไม้ก้อนกรวดเกวียน",
            "ورقة حصاة عربة طبل",
        ] {
            assert!(!is_guessable(good, &about), "{good:?}");
        }
    }

    /// Whatever it is and however long: an answer.
    #[test]
    fn nothing_that_can_be_typed_breaks_it() {
        for text in ["é", "\u{301}", "ẞß", "İ", "👍👍👍👍👍👍👍👍👍👍👍👍", "a b", "x"]
        {
            for about in [&[][..], &[""], &["İ"], &[text]] {
                let _ = is_guessable(&text.repeat(9), about);
                let _ = is_guessable(text, about);
            }
        }
    }
}
