//! Whether an own deck can be played: sizes, texts that can be drawn, and no card that belongs to two
//! groups. The same checks hold for every format.

use super::alike::own_clash;
use super::draft::{Draft, DraftFace, Written, is_file, shortened, unshowable};
use super::error::{OwnDeckError, OwnFault, UnfairPair};
use super::{OwnDeck, OwnFace, OwnGroup, Pictures, is_known, is_word, picture};
use crate::deck::alphabet::{Hand, glyph};
use crate::deck::clash::Card;
use crate::deck::face;
use crate::deck::number_word::NAMED_MAX;
use crate::deck::words::{self, Accent};
use crate::limits::own::{
    CODE_CHARS_MAX, CODES_MAX, FACE_CHARS_MAX, GROUPS_MIN, GROUPS_MOST, NAME_CHARS_MAX,
    PICTURES_MAX, WORD_CHARS_MAX,
};
use handround_protocol::limits::{GROUP_CARDS_MAX, GROUP_CARDS_MIN};
use std::collections::{BTreeMap, BTreeSet};

/// Makes a deck of what a file says.
pub(super) fn finish(
    draft: Draft,
    example: &'static str,
    pictures: &Pictures,
) -> Result<OwnDeck, OwnDeckError> {
    let files = draft.groups.iter().flat_map(|group| &group.faces);
    let files =
        files.filter(|face| matches!(&face.is, DraftFace::Picture { name, .. } if is_file(name)));
    counts(draft.groups.len(), files.count())?;
    let name = draft.name.ok_or(OwnFault::NoName { example })?;
    let accent = match &draft.accent {
        None => Accent::ANY,
        Some(written) => accent_of(&written.is).ok_or_else(|| {
            let wanted = "\"any\", \"dictionary\", \"pin is pen\" or \"cot is caught\"";
            written.no(OwnFault::WrongSetting { name: "accent", wanted })
        })?,
    };
    let mut drawn = BTreeMap::new();
    let mut lines = Vec::new();
    let mut groups = Vec::new();
    for group in draft.groups {
        let at = Written { line: group.line, is: () };
        let meaning = group.meaning.trim().to_owned();
        if meaning.is_empty() {
            return Err(at.no(OwnFault::NoMeaning));
        }
        lines.push((group.line, group.faces.iter().map(|face| face.line).collect::<Vec<_>>()));
        let faces = group.faces.iter().map(|face| make(face, &meaning, pictures, &mut drawn));
        let faces = faces.collect::<Result<_, _>>()?;
        groups.push(OwnGroup { meaning, faces });
    }
    let texts = |codes: Vec<Written<String>>| codes.into_iter().map(|code| code.is).collect();
    let deck = OwnDeck {
        name: name.is.trim().to_owned(),
        standards: texts(draft.standards),
        local_codes: texts(draft.local_codes),
        accent,
        groups,
    };
    let line = |group: usize, face: Option<usize>| {
        let (line, faces) = lines.get(group)?;
        Some(face.and_then(|face| faces.get(face)).copied().unwrap_or(*line))
    };
    all(&deck, &line)?;
    Ok(deck)
}

fn accent_of(text: &str) -> Option<Accent> {
    match text.trim().to_lowercase().as_str() {
        "any" => Some(Accent::ANY),
        "dictionary" => Some(Accent::DICTIONARY),
        "pin is pen" => Some(Accent { pin_is_pen: true, ..Accent::DICTIONARY }),
        "cot is caught" => Some(Accent { cot_is_caught: true, ..Accent::DICTIONARY }),
        _ => None,
    }
}

/// A face; its picture is drawn small at once, and a file that is named twice only once.
fn make(
    face: &Written<DraftFace>,
    meaning: &str,
    pictures: &Pictures,
    drawn: &mut BTreeMap<String, picture::OwnPicture>,
) -> Result<OwnFace, OwnDeckError> {
    match &face.is {
        DraftFace::Text(text) => Ok(OwnFace::Words(neat(text))),
        DraftFace::Number(number) => {
            let fits = u16::try_from(*number).ok().filter(|number| *number <= NAMED_MAX);
            fits.map(OwnFace::Number)
                .ok_or_else(|| face.no(OwnFault::NumberOutOfRange { number: number.to_string() }))
        }
        DraftFace::Picture { name, .. } if !is_file(name) => {
            let known = face::thing(&name.to_lowercase());
            known
                .map(|thing| OwnFace::Thing(thing.name.to_owned()))
                .ok_or_else(|| face.no(OwnFault::NoSuchPicture { name: shortened(name) }))
        }
        DraftFace::Picture { name, word } => {
            let file = shortened(name);
            let word = word.as_deref().map_or_else(|| neat(meaning), neat);
            if let Some(known) = drawn.get(name) {
                return Ok(OwnFace::Picture(picture::OwnPicture { word, ..known.clone() }));
            }
            let bytes = pictures
                .get(name)
                .ok_or_else(|| face.no(OwnFault::PictureMissing { file: file.clone() }))?;
            let picture = picture::tame(bytes, &word)
                .map_err(|why| face.no(OwnFault::Picture { file, why }))?;
            drawn.insert(name.clone(), picture.clone());
            Ok(OwnFace::Picture(picture))
        }
    }
}

/// One space between words, and the signs that the alphabet has: ’ for ', and − in a sum.
fn neat(text: &str) -> String {
    let words: Vec<String> =
        text.split_whitespace().map(|word| word.replace(['\'', '\u{2018}'], "’")).collect();
    let text = words.join(" ");
    let digits = |word: &str| !word.is_empty() && word.bytes().all(|digit| digit.is_ascii_digit());
    match text.split_once(" - ") {
        Some((left, right)) if digits(left) && digits(right) => format!("{left} − {right}"),
        _ => text,
    }
}

/// Sizes that are held before any picture is drawn.
pub(super) fn counts(groups: usize, pictures: usize) -> Result<(), OwnDeckError> {
    if groups < GROUPS_MIN {
        return Err(OwnFault::TooFewGroups { groups }.into());
    }
    if groups > GROUPS_MOST {
        return Err(OwnFault::TooManyGroups { groups }.into());
    }
    if pictures > PICTURES_MAX {
        return Err(OwnFault::TooManyPictures.into());
    }
    Ok(())
}

/// Where a group, or a face in it, stands in its file.
type LineOf<'a> = dyn Fn(usize, Option<usize>) -> Option<u32> + 'a;

/// Everything that must hold for a deck.
pub(super) fn all(deck: &OwnDeck, line: &LineOf<'_>) -> Result<(), OwnDeckError> {
    name_and_codes(deck)?;
    let mut meanings: BTreeMap<String, usize> = BTreeMap::new();
    let mut seen: Vec<(usize, &OwnFace, Card)> = Vec::new();
    for (at, group) in deck.groups.iter().enumerate() {
        let no = |face, fault| OwnDeckError { line: line(at, face), fault };
        check_meaning(&group.meaning).map_err(|fault| no(None, fault))?;
        if let Some(first) = meanings.insert(group.meaning.to_lowercase(), at) {
            let first = line(first, None).unwrap_or(0);
            let meaning = group.meaning.clone();
            return Err(no(None, OwnFault::MeaningTwice { meaning, first }));
        }
        if !(GROUP_CARDS_MIN..=GROUP_CARDS_MAX).contains(&group.faces.len()) {
            let (meaning, faces) = (group.meaning.clone(), group.faces.len());
            return Err(no(None, OwnFault::FaceCount { meaning, faces }));
        }
        for (place, face) in group.faces.iter().enumerate() {
            check_face(face, &group.meaning).map_err(|fault| no(Some(place), fault))?;
            let card = face.card();
            for (other_at, other, other_card) in &seen {
                if *other_at == at {
                    if same_drawing(&card, other_card) {
                        let (face, meaning) = (face.named(), group.meaning.clone());
                        return Err(no(Some(place), OwnFault::FaceTwice { face, meaning }));
                    }
                } else if let Some(clash) = own_clash(&card, other_card, deck.accent) {
                    let other_group = &deck.groups[*other_at];
                    let other_place = other_group.faces.iter().position(|face| face == *other);
                    let pair = UnfairPair {
                        face: face.named(),
                        meaning: group.meaning.clone(),
                        other: other.named(),
                        other_meaning: other_group.meaning.clone(),
                        other_line: line(*other_at, other_place),
                    };
                    let fault = OwnFault::Clash { pair: Box::new(pair), clash };
                    return Err(no(Some(place), fault));
                }
            }
            seen.push((at, face, card));
        }
    }
    Ok(())
}

/// A picture may stand for another word and still look the same.
fn same_drawing(one: &Card, other: &Card) -> bool {
    one == other || face::draw(one.0, &one.1) == face::draw(other.0, &other.1)
}

fn name_and_codes(deck: &OwnDeck) -> Result<(), OwnDeckError> {
    if deck.name.is_empty() {
        return Err(OwnFault::NoName { example: "\"Plants\"" }.into());
    }
    if deck.name.chars().count() > NAME_CHARS_MAX {
        return Err(OwnFault::NameTooLong.into());
    }
    let codes = || deck.standards.iter().chain(&deck.local_codes);
    if codes().count() > CODES_MAX || codes().any(|code| code.chars().count() > CODE_CHARS_MAX) {
        return Err(OwnFault::Codes.into());
    }
    match codes().chain([&deck.name]).find(|text| text.chars().any(unshowable)) {
        Some(text) => Err(OwnFault::Unshowable { name: shortened(text) }.into()),
        None => Ok(()),
    }
}

fn check_meaning(meaning: &str) -> Result<(), OwnFault> {
    if meaning.is_empty() {
        return Err(OwnFault::NoMeaning);
    }
    if meaning.chars().count() > FACE_CHARS_MAX {
        return Err(OwnFault::MeaningTooLong);
    }
    if meaning.chars().any(unshowable) {
        return Err(OwnFault::Unshowable { name: shortened(meaning) });
    }
    Ok(())
}

fn check_face(face: &OwnFace, meaning: &str) -> Result<(), OwnFault> {
    match face {
        OwnFace::Number(number) if *number > NAMED_MAX => {
            Err(OwnFault::NumberOutOfRange { number: number.to_string() })
        }
        OwnFace::Number(_) => Ok(()),
        OwnFace::Thing(name) if face::thing(name).is_none() => {
            Err(OwnFault::NoSuchPicture { name: shortened(name) })
        }
        OwnFace::Thing(_) => Ok(()),
        // A screen reader says it and the naming walk shows it.
        OwnFace::Picture(picture) => check_text(&picture.word, meaning),
        OwnFace::Words(text) => check_text(text, meaning),
    }
}

fn check_text(text: &str, meaning: &str) -> Result<(), OwnFault> {
    if text.trim().is_empty() {
        return Err(OwnFault::EmptyFace { meaning: meaning.to_owned() });
    }
    let long = |word: &str| word.chars().count() > WORD_CHARS_MAX;
    if text.chars().count() > FACE_CHARS_MAX || text.split([' ', '-']).any(long) {
        return Err(OwnFault::FaceTooLong { start: text.chars().take(WORD_CHARS_MAX).collect() });
    }
    if words::is_blocked(text) {
        return Err(OwnFault::Blocked { face: shortened(text) });
    }
    let undrawn = text.chars().find(|sign| glyph(Hand::Manuscript, *sign).is_none());
    match undrawn {
        Some(sign) => Err(OwnFault::Undrawable { sign, face: shortened(text) }),
        None => Ok(()),
    }
}

/// What is worth knowing of a deck that can be played.
pub(super) fn notes(deck: &OwnDeck) -> Vec<String> {
    let mut notes = Vec::new();
    let serves = (deck.groups.len() * GROUP_CARDS_MIN / 4).saturating_sub(2);
    if serves < 4 {
        notes.push(format!(
            "With {} groups the deck serves tables of up to {serves}; a table of four needs 6 groups.",
            deck.groups.len()
        ));
    }
    let words = texts(deck).filter(|(_, text)| is_word(text));
    let unknown: BTreeSet<String> =
        words.filter(|(_, word)| !is_known(word)).map(|(_, word)| word.to_lowercase()).collect();
    if !unknown.is_empty() {
        let listed: Vec<String> = unknown.into_iter().collect();
        notes.push(format!(
            "I could not check {}, since I do not know how {} sound{}: {}. Say the words aloud: do \
             any two of different groups sound alike?",
            if listed.len() == 1 { "this word" } else { "these words" },
            if listed.len() == 1 { "it" } else { "they" },
            if listed.len() == 1 { "s" } else { "" },
            listed.join(", ")
        ));
    }
    notes.extend(sound_alikes(deck));
    notes
}

/// In print `sun` and `son` differ, so they may stay; whoever reads them aloud should know.
fn sound_alikes(deck: &OwnDeck) -> Vec<String> {
    let all: Vec<(usize, String, BTreeSet<String>)> = texts(deck)
        .map(|(group, text)| {
            let small = text.to_lowercase();
            let sounds = words::sounds(&small, deck.accent);
            (group, small, sounds)
        })
        .filter(|(_, _, sounds)| !sounds.is_empty())
        .collect();
    let mut pairs = BTreeSet::new();
    for (at, (group, word, sounds)) in all.iter().enumerate() {
        for (other_group, other, other_sounds) in &all[..at] {
            if group != other_group && word != other && !sounds.is_disjoint(other_sounds) {
                pairs.insert((other.clone(), word.clone()));
            }
        }
    }
    let told = |(one, other): (String, String)| {
        format!(
            "`{one}` and `{other}` sound alike to some; whoever reads them aloud should spell them."
        )
    };
    pairs.into_iter().map(told).collect()
}

/// Every text of a face, with its group.
fn texts(deck: &OwnDeck) -> impl Iterator<Item = (usize, &str)> {
    deck.groups.iter().enumerate().flat_map(|(at, group)| {
        group.faces.iter().filter_map(move |face| match face {
            OwnFace::Words(text) | OwnFace::Thing(text) => Some((at, text.as_str())),
            OwnFace::Picture(picture) => Some((at, picture.word.as_str())),
            OwnFace::Number(_) => None,
        })
    })
}
