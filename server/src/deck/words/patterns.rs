//! What a word is an example of: its last sound, its middle vowel, its parts, two letters that go
//! together. A word that is an example of two things of one kind, or that dictionaries say in two ways
//! that differ in it, is an example of none.

use super::{Accent, Phonemes, hear, is_vowel, plain, pronunciations};

/// Letters that go together, and the sounds that they stand for; the sound is what is heard.
pub type Team = (&'static str, &'static str);

/// Two letters for one consonant. RF.K and RF.1.3.A; which ones, common practice, no source.
pub const DIGRAPHS: [Team; 7] =
    [("ch", "CH"), ("ck", "K"), ("ng", "NG"), ("ph", "F"), ("sh", "SH"), ("th", "TH"), ("wh", "W")];

/// Two consonants at the beginning, each with its own sound. Common practice, no source.
pub const BLENDS: [Team; 20] = [
    ("bl", "B L"),
    ("br", "B R"),
    ("cl", "K L"),
    ("cr", "K R"),
    ("dr", "D R"),
    ("fl", "F L"),
    ("fr", "F R"),
    ("gl", "G L"),
    ("gr", "G R"),
    ("pl", "P L"),
    ("pr", "P R"),
    ("sk", "S K"),
    ("sl", "S L"),
    ("sm", "S M"),
    ("sn", "S N"),
    ("sp", "S P"),
    ("st", "S T"),
    ("sw", "S W"),
    ("tr", "T R"),
    ("tw", "T W"),
];

/// Two letters, or three, for one vowel. RF.1.3.C; which ones, common practice, no source. `ow` stands
/// for the vowel of snow alone, so that its card belongs to one group.
pub const VOWEL_TEAMS: [Team; 14] = [
    ("ai", "EY"),
    ("aw", "AO"),
    ("ay", "EY"),
    ("ea", "IY"),
    ("ee", "IY"),
    ("ew", "UW"),
    ("igh", "AY"),
    ("oa", "OW"),
    ("oi", "OY"),
    ("oo", "UW"),
    ("ou", "AW"),
    ("ow", "OW"),
    ("oy", "OY"),
    ("ue", "UW"),
];

/// Vowels that r changes, by sound; a card names the usual spellings. RF.2.3 asks for vowel teams, and
/// these are taught beside them; common practice, no source.
pub const R_VOWELS: [Team; 5] =
    [("ar", "AA R"), ("or", "AO R"), ("er ir ur", "ER"), ("air are", "EH R"), ("ear eer", "IH R")];

/// What all ways to say a word agree on.
fn agreed<T: PartialEq>(word: &str, of: impl Fn(&Phonemes) -> Option<T>) -> Option<T> {
    let mut ways = pronunciations(word).iter().map(of);
    let first = ways.next()??;
    ways.all(|other| other.as_ref() == Some(&first)).then_some(first)
}

/// The last sound of a word, if it is a consonant that a single letter writes. Final l, r and x are left
/// out as in RF.K.2.D, and z, since children write s for it.
pub fn final_sound(word: &str) -> Option<&'static str> {
    const FINALS: [&str; 10] = ["B", "D", "F", "G", "K", "M", "N", "P", "S", "T"];
    if word.ends_with('x') {
        return None;
    }
    agreed(word, |way| way.last().copied().filter(|sound| FINALS.contains(sound)))
}

/// The short vowel in the middle of three sounds, as its letter: `a` in `hat`, `u` in `duck`. RF.K.2.D
/// leaves out final l, r and x; ng is left out as well, since the i of `ring` sounds like long e to many.
/// With an accent that merges vowels, words whose vowel it changes are no examples.
pub fn middle_vowel(word: &str, accent: Accent) -> Option<char> {
    let short = |sound: &str| match sound {
        "AE1" => Some('a'),
        "EH1" => Some('e'),
        "IH1" => Some('i'),
        "AA1" | "AO1" => Some('o'),
        "AH1" => Some('u'),
        _ => None,
    };
    agreed(word, |way| match (way[..].as_ref(), &hear(accent, way)[..]) {
        ([first, vowel, last], [_, heard, _])
            if !is_vowel(first) && !is_vowel(last) && !matches!(*last, "L" | "R" | "NG") =>
        {
            short(vowel).filter(|letter| short(heard) == Some(*letter))
        }
        _ => None,
    })
}

/// Parts that one claps: vowels. Words in which ears disagree are left out: an r or l behind a gliding
/// vowel (`tire`, `flower`, `tile`).
pub fn syllables(word: &str) -> Option<u16> {
    agreed(word, |way| {
        let glides = |sound: &str| matches!(plain(sound), "AW" | "AY" | "OY");
        let unsure = way.windows(2).any(|pair| {
            glides(pair[0]) && (plain(pair[1]) == "ER" || matches!(pair[1], "L" | "R"))
        });
        let vowels = way.iter().filter(|sound| is_vowel(sound)).count();
        u16::try_from(vowels).ok().filter(|count| !unsure && *count > 0)
    })
}

/// The one place of these teams in a word; none if there are two of them, or of one twice.
fn only<'a>(word: &str, teams: &'a [Team]) -> Option<&'a Team> {
    let mut places =
        teams.iter().flat_map(|team| word.match_indices(team.0).map(move |(at, _)| (at, team)));
    let (at, team) = places.next()?;
    places.all(|(other, _)| other == at).then_some(team)
}

/// The digraph that a word is an example of: written once, and said as it should be.
pub fn digraph(word: &str) -> Option<&'static Team> {
    let team = only(word, &DIGRAPHS)?;
    let (letters, sound) = *team;
    let placed = match letters {
        // In `finger` and `think` a g or k is heard as well, and in `watch` the t is no letter of its own.
        "ng" | "ck" => word.ends_with(letters),
        "wh" => word.starts_with(letters),
        "ch" => !word.contains("tch"),
        _ => true,
    };
    let said = |way: &Phonemes| way.contains(&sound);
    let ways = pronunciations(word);
    (placed && !ways.is_empty() && ways.iter().all(said)).then_some(team)
}

/// The blend that a word begins with.
pub fn blend(word: &str) -> Option<&'static Team> {
    let team = BLENDS.iter().find(|(letters, _)| word.starts_with(letters))?;
    let third = word.chars().nth(2)?;
    let said = |way: &Phonemes| way.len() > 2 && way[..2].join(" ") == team.1;
    let ways = pronunciations(word);
    let fits = "aeiouy".contains(third) && !ways.is_empty() && ways.iter().all(said);
    fits.then_some(team)
}

/// The only vowel of a word of one part.
fn only_vowel(way: &Phonemes) -> Option<(usize, &'static str)> {
    let mut vowels = way.iter().enumerate().filter(|(_, sound)| is_vowel(sound));
    match (vowels.next(), vowels.next()) {
        (Some((at, sound)), None) => Some((at, plain(sound))),
        _ => None,
    }
}

/// The vowel team that a word of one part is an example of; none before r, which changes it.
pub fn vowel_team(word: &str) -> Option<&'static Team> {
    let team = only(word, &VOWEL_TEAMS)?;
    let vowel = agreed(word, |way| {
        let (at, sound) = only_vowel(way)?;
        (way.get(at + 1) != Some(&"R")).then_some(sound)
    })?;
    (vowel == team.1).then_some(team)
}

/// The vowel with r that a word of one part is an example of, if its spelling is one that its card names.
pub fn r_vowel(word: &str) -> Option<&'static Team> {
    // The longest spelling counts: `chair` has air and not ar.
    let spelled = R_VOWELS
        .iter()
        .flat_map(|team| team.0.split(' ').map(move |letters| (letters, team)))
        .filter(|(letters, _)| word.contains(letters))
        .max_by_key(|(letters, _)| letters.len())?;
    let sound = agreed(word, |way| {
        let (at, vowel) = only_vowel(way)?;
        match (vowel, way.get(at + 1)) {
            ("ER", _) => Some("ER"),
            // Dictionaries write the vowel of `ear` in either way.
            ("IY" | "IH", Some(&"R")) => Some("IH R"),
            ("AA", Some(&"R")) => Some("AA R"),
            ("AO", Some(&"R")) => Some("AO R"),
            ("EH", Some(&"R")) => Some("EH R"),
            _ => None,
        }
    })?;
    (spelled.1.1 == sound).then_some(spelled.1)
}

/// The team that a card's letters name.
pub fn team_of(letters: &str, teams: &'static [Team]) -> Option<&'static Team> {
    teams.iter().find(|team| team.0 == letters)
}
