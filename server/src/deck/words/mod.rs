//! What is known of the words that our decks use: how they sound (CMUdict's facts for these words
//! alone), which of our pictures are likely called otherwise, and which words are frequent. A word
//! that is not here is not wrong; it is only unknown.

mod accent;
mod blocked;
pub mod patterns;

use accent::hear;
pub use blocked::is_blocked;
pub use handround_protocol::skill::Accent;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// One way to say a word: CMUdict's phonemes with their stress digits.
pub type Phonemes = Vec<&'static str>;

/// Word, tab, pronunciations parted by a bar. From CMUdict (npm cmu-pronouncing-dictionary 3.0.0).
const SOUNDS: &str = include_str!("sounds.txt");
/// Picture, tab, what children may well call it instead; common sense, no source.
const OTHER_NAMES: &str = include_str!("other_names.txt");
/// Frequent words of two letters or more; common practice, no source. Ten of them are named by RF.K.3.C.
const FREQUENT: &str = include_str!("frequent.txt");
/// English, tab, Spanish as said in the Americas where it differs, tab, its source: Unicode CLDR's
/// emoji names (through PyPI's emoji 2.16.0), num2words, or memory. The tests compare.
const SPANISH: &str = include_str!("spanish.txt");

static KNOWN: LazyLock<BTreeMap<&'static str, Vec<Phonemes>>> = LazyLock::new(|| {
    let line = |line: &'static str| {
        let (word, ways) = line.split_once('\t')?;
        // A weak form such as the `can` of `I can go` has no stressed vowel and rhymes with nothing.
        let stressed = |way: &Phonemes| way.iter().any(|sound| sound.ends_with(['1', '2']));
        let said = ways.split('|').map(|way| way.split(' ').collect::<Phonemes>());
        Some((word, said.filter(stressed).collect()))
    };
    SOUNDS.lines().filter_map(line).collect()
});

/// Looked up for every two pictures that might stand in one deck.
static CALLED: LazyLock<BTreeMap<&'static str, Vec<&'static str>>> = LazyLock::new(|| {
    let lines = OTHER_NAMES.lines().filter_map(|line| line.split_once('\t'));
    lines.map(|(name, others)| (name, others.split(',').collect())).collect()
});

/// Every known word, in the order of the alphabet.
pub fn known() -> impl Iterator<Item = &'static str> {
    KNOWN.keys().copied()
}

/// Those that letters alone spell: no short forms such as `I’m`.
pub fn spelled() -> impl Iterator<Item = &'static str> {
    known().filter(|word| !word.contains('\''))
}

/// All ways to say a word that have a stressed vowel; empty if the word is unknown.
pub fn pronunciations(word: &str) -> &'static [Phonemes] {
    KNOWN.get(word).map_or(&[], Vec::as_slice)
}

/// Frequent words.
pub fn frequent() -> impl Iterator<Item = &'static str> {
    FREQUENT.lines()
}

/// Other words that children may well use for one of our pictures.
pub fn other_names(thing: &str) -> impl Iterator<Item = &'static str> {
    CALLED.get(thing).into_iter().flatten().copied()
}

/// Whether a picture is clear for games with first letters: nothing that children may call it begins
/// with another letter's own sound.
pub fn is_clear_first_letter(thing: &str, others: impl Fn(char) -> bool) -> bool {
    let own = first_letter(thing);
    own.is_some()
        && other_names(thing).filter_map(first_letter).all(|letter| {
            Some(letter) == own
                || letter_sound(letter) == own.and_then(letter_sound)
                || !others(letter)
        })
}

/// A sound without its stress digit.
fn plain(sound: &str) -> &str {
    sound.trim_end_matches(['0', '1', '2'])
}

fn is_vowel(sound: &str) -> bool {
    sound.ends_with(['0', '1', '2'])
}

/// Everything from the last stressed vowel on, without stress digits.
fn rime_of(way: &[&str]) -> Option<String> {
    let from = way.iter().rposition(|sound| sound.ends_with(['1', '2']))?;
    let sounds: Vec<&str> = way[from..].iter().map(|sound| plain(sound)).collect();
    Some(sounds.join(" "))
}

/// The rimes of all ways to say a word, as one accent hears them.
pub fn rimes(word: &str, accent: Accent) -> BTreeSet<String> {
    pronunciations(word).iter().filter_map(|way| rime_of(&hear(accent, way))).collect()
}

/// All sounds of a word as one accent hears them, without stress digits: words with a common one are
/// said alike.
pub fn sounds(word: &str, accent: Accent) -> BTreeSet<String> {
    let whole = |way: &Phonemes| {
        let heard = hear(accent, way);
        heard.iter().map(|sound| plain(sound)).collect::<Vec<_>>().join(" ")
    };
    pronunciations(word).iter().map(whole).collect()
}

/// The first sound of a word, if all ways to say it agree.
pub fn first_sound(word: &str) -> Option<&'static str> {
    let mut firsts = pronunciations(word).iter().filter_map(|way| way.first());
    let first = plain(firsts.next()?);
    firsts.all(|other| plain(other) == first).then_some(first)
}

/// The sound that a letter makes first of all: short vowels, hard c and g. None for q and x, which
/// stand for two sounds.
fn letter_sound(letter: char) -> Option<&'static str> {
    const SOUNDS: [(char, &str); 24] = [
        ('a', "AE"),
        ('b', "B"),
        ('c', "K"),
        ('d', "D"),
        ('e', "EH"),
        ('f', "F"),
        ('g', "G"),
        ('h', "HH"),
        ('i', "IH"),
        ('j', "JH"),
        ('k', "K"),
        ('l', "L"),
        ('m', "M"),
        ('n', "N"),
        ('o', "AA"),
        ('p', "P"),
        ('r', "R"),
        ('s', "S"),
        ('t', "T"),
        ('u', "AH"),
        ('v', "V"),
        ('w', "W"),
        ('y', "Y"),
        ('z', "Z"),
    ];
    SOUNDS.iter().find(|(own, _)| *own == letter).map(|(_, sound)| *sound)
}

/// The sound that a letter makes first of all, for a text of one letter.
pub fn sound_of_letter(text: &str) -> Option<&'static str> {
    let mut letters = text.chars();
    match (letters.next(), letters.next()) {
        (Some(letter), None) => letter_sound(letter),
        _ => None,
    }
}

/// How many letters at the start of a word spell its first sound; None where the word is unknown
/// or spells that sound in an unusual way, as `one` does.
pub fn first_sound_letters(word: &str) -> Option<usize> {
    const PAIRS: [(&str, &[&str]); 7] = [
        ("sh", &["SH"]),
        ("ch", &["CH"]),
        ("th", &["TH", "DH"]),
        ("wh", &["W", "HH"]),
        ("ph", &["F"]),
        ("kn", &["N"]),
        ("wr", &["R"]),
    ];
    let ways = pronunciations(word);
    let letter = word.chars().next()?;
    let spelled_by = |sounds: &[&str]| {
        let first =
            |way: &Phonemes| way.first().is_some_and(|first| sounds.contains(&plain(first)));
        !ways.is_empty() && ways.iter().all(first)
    };
    let pair = PAIRS.iter().find(|(pair, sounds)| word.starts_with(pair) && spelled_by(sounds));
    let single = || letter_sound(letter).filter(|sound| spelled_by(&[*sound]));
    pair.map(|_| 2).or_else(|| single().map(|_| 1))
}

/// A word in Spanish, for the few English words that our pictures, numbers and shapes need.
pub fn spanish(word: &str) -> Option<&'static str> {
    spanish_words().find(|(english, ..)| *english == word).map(|(_, spanish, _)| spanish)
}

/// English, Spanish and the source of every word with a Spanish one.
pub fn spanish_words() -> impl Iterator<Item = (&'static str, &'static str, &'static str)> {
    let line = |line: &'static str| {
        let mut parts = line.split('\t');
        Some((parts.next()?, parts.next()?, parts.next()?))
    };
    SPANISH.lines().filter_map(line)
}

/// The letter that a word's picture can stand for: it begins the word in print and in sound. Words
/// with tr and dr are left out, since children hear ch and j in them.
pub fn first_letter(word: &str) -> Option<char> {
    let letter = word.chars().next()?;
    let fits = |way: &Phonemes| {
        let second = way.get(1).copied().unwrap_or_default();
        way.first().is_some_and(|first| Some(plain(first)) == letter_sound(letter))
            && !(matches!(letter, 't' | 'd') && second == "R")
    };
    let ways = pronunciations(word);
    (!ways.is_empty() && ways.iter().all(fits)).then_some(letter)
}

/// Whether a word is a consonant, a short vowel and a consonant, in letters and in every way to say
/// it. Final l and r colour the vowel, and x is two sounds (RF.K.2.D leaves them out).
pub fn is_short_vowel_word(word: &str) -> bool {
    const SHORT: [(char, &[&str]); 5] = [
        ('a', &["AE1"]),
        ('e', &["EH1"]),
        ('i', &["IH1"]),
        ('o', &["AA1", "AO1"]),
        ('u', &["AH1"]),
    ];
    let letters: Vec<char> = word.chars().collect();
    let [first, vowel, last] = letters[..] else { return false };
    let Some((_, short)) = SHORT.iter().find(|(own, _)| *own == vowel) else { return false };
    let spoken = |way: &Phonemes| match way[..] {
        [one, middle, other] => {
            Some(one) == letter_sound(first)
                && short.contains(&middle)
                && Some(other) == letter_sound(last)
                && !is_vowel(other)
        }
        _ => false,
    };
    let ways = pronunciations(word);
    !"lrxwy".contains(last) && !ways.is_empty() && ways.iter().all(spoken)
}

/// The printed ending from the first vowel letter on: `at` in `flat`.
pub fn ending(word: &str) -> Option<&str> {
    word.find(|letter| "aeiou".contains(letter)).map(|from| &word[from..])
}
