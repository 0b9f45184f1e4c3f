//! Children's names on paper. Our letters are Latin with all their marks; a name in another script is never
//! printed as boxes and never spelt otherwise: it gets a line to write it on by hand, and the word of the
//! child's picture beside it, so that the adult knows whose line it is. The text behind the line stays the
//! name, for search and for screen readers.

use super::lettering::shows;
use crate::telling::Telling;

/// Whether paper shows the whole name in our own letters.
pub fn is_printed(name: &str) -> bool {
    shows(name)
}

/// A name in a line of print: itself, or a line to write on and the picture's word.
pub fn on_paper(name: &str, picture: &str) -> String {
    if shows(name) { name.to_owned() } else { format!("{name} ({picture})") }
}

/// What a page says before it prints these names; `None` if all of them are printed.
pub fn written_by_hand<'a>(names: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let names: Vec<&str> = names.into_iter().filter(|name| !shows(name)).collect();
    (!names.is_empty()).then(|| {
        format!(
            "Our printed letters are Latin ones. Paper has the child’s picture or its word, and a line to \
             write the name by hand, for: {}.",
            names.join(", ")
        )
    })
}

/// A page as paper has it: names that are lines to write on stand beside their pictures' words.
pub fn told_on_paper(told: &Telling, children: &[(String, String)]) -> Telling {
    let mut by_hand: Vec<_> = children.iter().filter(|(name, _)| !shows(name)).collect();
    // A longer name may hold a shorter one.
    by_hand.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
    told.reworded(&|text| beside_pictures(text, &by_hand))
}

/// Puts each picture's word behind its child's name, where the name is a whole word.
fn beside_pictures(text: &str, children: &[&(String, String)]) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let begins = out.chars().next_back().is_none_or(|before| !before.is_alphanumeric());
        let here = |(name, _): &&&(String, String)| {
            rest.strip_prefix(name.as_str()).is_some_and(|after| {
                after.chars().next().is_none_or(|next| !next.is_alphanumeric())
            })
        };
        match children.iter().find(here).filter(|_| begins) {
            Some((name, picture)) => {
                out.push_str(&on_paper(name, picture));
                rest = &rest[name.len()..];
            }
            None => {
                out.push(sign);
                rest = &rest[sign.len_utf8()..];
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_other_scripts_stand_beside_their_pictures_and_others_as_they_are() {
        let children = [("Аня", "boat"), ("Аня Б", "kite"), ("Łucja", "star"), ("名前", "key")];
        let children = children.map(|(name, picture)| (name.to_owned(), picture.to_owned()));
        let by_hand: Vec<_> = [1, 0, 3].map(|place| &children[place]).to_vec();
        for (text, printed) in [
            ("Аня, Аня Б and Łucja", "Аня (boat), Аня Б (kite) and Łucja"),
            ("名前’s cards", "名前 (key)’s cards"),
            ("Таня sits with Ана", "Таня sits with Ана"),
            ("", ""),
        ] {
            assert_eq!(beside_pictures(text, &by_hand), printed);
        }
        let note = written_by_hand(children.iter().map(|(name, _)| name.as_str()));
        assert!(note.is_some_and(|note| note.ends_with(": Аня, Аня Б, 名前.")));
        assert_eq!(written_by_hand(["José", "Ștefan"]), None);
    }
}
