//! Words that no card shows: rude, insulting and sexual ones. Endings and beginnings put together make
//! such words of three or four letters easily, and a child may well type one. The list is short and
//! knows no context: it spares a teacher the worst and does not replace her eye. Common sense, no source.

/// One word a line, each letter moved by thirteen, so that nobody who opens the file for something else
/// has to read them.
const BLOCKED: &str = include_str!("blocked.txt");

/// Endings under which a blocked word is still itself.
const ENDINGS: [&str; 4] = ["s", "es", "ed", "ing"];

fn turned(letter: char) -> char {
    let turn = |from: u8| char::from((letter as u8 - from + 13) % 26 + from);
    match letter {
        'a'..='z' => turn(b'a'),
        _ => letter,
    }
}

/// Whether a text has a word that no card shows, in small letters or capitals, alone or with a usual
/// ending. Longer words that only contain one are fine: `grass`, `cockpit`.
pub fn is_blocked(text: &str) -> bool {
    let text = text.to_lowercase();
    let words = text.split(|letter: char| !letter.is_alphanumeric());
    words.filter(|word| !word.is_empty()).any(|word| {
        let stems = ENDINGS.iter().filter_map(|ending| word.strip_suffix(ending));
        std::iter::once(word).chain(stems).any(|stem| {
            let turned: String = stem.chars().map(turned).collect();
            BLOCKED.lines().any(|blocked| blocked == turned)
        })
    })
}
