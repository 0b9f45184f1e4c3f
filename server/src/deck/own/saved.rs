//! Reads a deck that we wrote ourselves. It may have been shared, and so changed by anybody, hence it
//! is checked like any other and its pictures are drawn anew.

use super::check;
use super::error::{OwnDeckError, OwnFault};
use super::picture;
use super::{OwnDeck, OwnFace};

pub(super) fn read(file: &[u8]) -> Result<OwnDeck, OwnDeckError> {
    checked_again(serde_json::from_slice(file).map_err(|_| OwnFault::NotSaved)?)
}

/// Checks a deck that was deserialised from elsewhere, inside another file for instance, and draws its
/// pictures anew. Takes as long as reading them did.
///
/// # Errors
/// The first thing that is wrong.
pub fn checked_again(mut deck: OwnDeck) -> Result<OwnDeck, OwnDeckError> {
    let faces = || deck.groups.iter().flat_map(|group| &group.faces);
    check::counts(deck.groups.len(), faces().filter(is_picture).count())?;
    for face in deck.groups.iter_mut().flat_map(|group| &mut group.faces) {
        if let OwnFace::Picture(saved) = face {
            let drawn = saved.bytes().ok_or(OwnFault::NotSaved)?;
            *saved = picture::tame(&drawn, &saved.word)
                .map_err(|why| OwnFault::Picture { file: saved.word.clone(), why })?;
        }
    }
    check::all(&deck, &|_, _| None)?;
    Ok(deck)
}

fn is_picture(face: &&OwnFace) -> bool {
    matches!(face, OwnFace::Picture(_))
}
