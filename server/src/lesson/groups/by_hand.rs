//! Groups that the teacher put together herself: taken as they are, once everybody sits once.

use super::PupilIndex;
use handround_protocol::limits::SEATS_MAX;

/// Why groups by hand were refused. Pupils are named by their lines, since this room knows no names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // Each sentence says what its variant means.
pub enum ByHandError {
    #[error("The child on line {} of the list sits at two places.", pupil.0 + 1)]
    Twice { pupil: PupilIndex },
    #[error("The child on line {} of the list has no place yet.", pupil.0 + 1)]
    Missing { pupil: PupilIndex },
    #[error("Somebody at a table is not here today, or not on the list.")]
    NotHere,
    #[error("Table {} has more than {SEATS_MAX} children. A table has room for {SEATS_MAX}.", table + 1)]
    TooMany { table: usize },
}

/// Checks groups by hand and leaves out empty tables. Their order is the teacher's.
///
/// # Errors
/// A child who sits twice, nowhere or without being here, or a table that is too large.
pub fn by_hand(
    here: &[PupilIndex],
    tables: &[Vec<PupilIndex>],
) -> Result<Vec<Vec<PupilIndex>>, ByHandError> {
    let mut missing = here.to_vec();
    let mut seated = Vec::new();
    for (index, table) in tables.iter().enumerate() {
        if table.len() > SEATS_MAX {
            return Err(ByHandError::TooMany { table: index });
        }
        for pupil in table.iter().copied() {
            if seated.contains(&pupil) {
                return Err(ByHandError::Twice { pupil });
            }
            let place = missing.iter().position(|other| *other == pupil);
            missing.swap_remove(place.ok_or(ByHandError::NotHere)?);
            seated.push(pupil);
        }
    }
    match missing.into_iter().min() {
        Some(pupil) => Err(ByHandError::Missing { pupil }),
        None => Ok(tables.iter().filter(|table| !table.is_empty()).cloned().collect()),
    }
}
