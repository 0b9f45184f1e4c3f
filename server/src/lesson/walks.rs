//! Children without a seat, on the way to another one, or alone among practice partners; and where each
//! would disturb least (`groups/reseat.rs`). It proposes; the teacher names the table.

use super::groups::{Change, reseat_moving};
use super::lesson_log::{Record, TableMade};
use handround_protocol::id::{PupilIndex, TableId};
use handround_protocol::limits::SEATS_MAX;
use handround_protocol::view::{PupilLine, PupilMoving, SeatKind};

/// What the board says of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Walks {
    /// Who sits nowhere.
    pub unseated: Vec<PupilLine>,
    /// Who is about to sit elsewhere.
    pub moving: Vec<PupilMoving>,
    /// Who sits with practice partners alone and could sit beside a child.
    pub alone: Vec<PupilLine>,
    /// Where a child that the class list does not name would disturb least.
    pub late_table: Option<TableId>,
}

impl Walks {
    /// As a lesson's record has it.
    pub fn of(record: &Record) -> Walks {
        let line = |pupil: PupilIndex| {
            let line = record.pupils.get(usize::from(pupil.0))?;
            let best = best_table(record, pupil);
            Some(PupilLine { pupil, name: line.name.clone(), picture: line.picture, best })
        };
        let all = || (0..record.pupils.len()).filter_map(|at| u16::try_from(at).ok());
        let unseated = all().map(PupilIndex).filter(|pupil| record.seat_of(*pupil).is_none());
        let moving =
            record.moves.iter().map(|(pupil, to)| PupilMoving { pupil: *pupil, table: *to });
        let only = record.tables.iter().filter_map(|table| match pupils_at(table).as_slice() {
            [only] if !record.moves.contains_key(only) => Some(*only),
            _ => None,
        });
        let newcomer = u16::try_from(record.pupils.len()).map(PupilIndex);
        Walks {
            unseated: unseated.filter_map(line).collect(),
            moving: moving.collect(),
            alone: only.filter_map(line).filter(|child| child.best.is_some()).collect(),
            late_table: newcomer.ok().and_then(|pupil| best_table(record, pupil)),
        }
    }
}

fn pupils_at(table: &TableMade) -> Vec<PupilIndex> {
    table.seats.iter().filter_map(|seat| seat.pupil).collect()
}

/// A partner makes way for a child; without one a seat more is laid.
fn has_partner(table: &TableMade) -> bool {
    table.seats.iter().any(|seat| seat.kind == SeatKind::Partner)
}

/// The table where a child disturbs least, with those that are on their way already counted there. Nobody
/// else changes the table for it, since that is more than a proposal; where a new table would be best, the
/// next best one is named. `None` if no other table has room.
pub fn best_table(record: &Record, pupil: PupilIndex) -> Option<TableId> {
    let own = record.seat_of(pupil).map(|(table, _)| table);
    let others: Vec<&TableMade> =
        record.tables.iter().filter(|table| Some(table.table) != own).collect();
    let sits: Vec<Vec<PupilIndex>> = others
        .iter()
        .map(|table| {
            let leaves = |pupil: &PupilIndex| record.moves.contains_key(pupil);
            let comes = record.moves.iter().filter(|(_, to)| **to == Some(table.table));
            let stay = pupils_at(table).into_iter().filter(|one| !leaves(one));
            stay.chain(comes.map(|(pupil, _)| *pupil)).filter(|one| *one != pupil).collect()
        })
        .collect();
    let told = reseat_moving(&sits, Change::Comes(pupil), &record.made.apart, 0);
    let chosen = told.tables.iter().position(|table| table.contains(&pupil));
    if let Some(table) = chosen.and_then(|at| others.get(at)) {
        return Some(table.table);
    }
    let anew = |at: usize| {
        let with: Vec<PupilIndex> = sits[at].iter().copied().chain([pupil]).collect();
        record.made.apart.iter().filter(|pair| pair.together_at(&with)).count()
    };
    let room = (0..others.len())
        .filter(|at| has_partner(others[*at]) || others[*at].seats.len() < SEATS_MAX);
    let burden = |at: &usize| (anew(*at), sits[*at].is_empty(), sits[*at].len(), *at);
    room.min_by_key(burden).map(|at| others[at].table)
}
