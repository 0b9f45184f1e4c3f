//! Children who come late, leave early or change their table: wished at any time, carried out as
//! soon as the rounds allow it, and carried on after a restart.
//!
//! The order keeps every child at a table that knows it: the new table first, then the lesson's own
//! journal, then the secret, and the old table last. Each step can be done twice.

use super::super::class_list::{ClassListError, late_comer};
use super::super::lesson_log::{LessonEvent, Record, SeatGiven};
use super::super::make::{partner_for, pupil_seat};
use super::{Book, LiveLesson};
use crate::game::Command;
use handround_protocol::id::{PupilIndex, SeatIndex, TableId};
use handround_protocol::limits::SEATS_MAX;
use handround_protocol::refusal::Refusal;
use handround_protocol::view::{BoardTable, Phase, SeatKind};
use std::sync::Weak;
use tokio::sync::MutexGuard;

impl LiveLesson {
    /// Notes that a child is to sit elsewhere, or to leave.
    ///
    /// # Errors
    /// No such child or table, it sits there already, or the table is full.
    pub(super) async fn wish_move(
        &self,
        pupil: PupilIndex,
        to: Option<TableId>,
    ) -> Result<(), Refusal> {
        let mut book = self.book.lock().await;
        if usize::from(pupil.0) >= book.record.pupils.len() {
            return Err(Refusal::NoSuchSeat);
        }
        let from = book.record.seat_of(pupil).map(|(table, _)| table);
        // A wish for where the child sits takes an earlier wish back.
        if from == to && !book.record.moves.contains_key(&pupil) {
            return Err(Refusal::SitsThere);
        }
        if let Some(table) = to.filter(|table| from != Some(*table)) {
            self.has_room(&book.record, table)?;
        }
        let event = if from == to {
            LessonEvent::Reseated { pupil, seats: Vec::new() }
        } else {
            LessonEvent::MoveWished { pupil, to }
        };
        self.write(&mut book, vec![event]).await.map_err(|_| Refusal::ServerTrouble)
    }

    /// A child comes late.
    ///
    /// # Errors
    /// No such table, a full one, or a nickname that cannot be.
    pub(super) async fn add_pupil(&self, name: &str, table: TableId) -> Result<(), Refusal> {
        let mut book = self.book.lock().await;
        self.has_room(&book.record, table)?;
        let new = late_comer(name, &book.record.pupils).map_err(|error| match error {
            ClassListError::TooManyPupils { .. } => Refusal::ClassFull,
            _ => Refusal::NameNotPossible,
        })?;
        let index = u16::try_from(book.record.pupils.len()).map_err(|_| Refusal::ClassFull)?;
        let events = vec![
            LessonEvent::PupilAdded { pupil: new },
            LessonEvent::MoveWished { pupil: PupilIndex(index), to: Some(table) },
        ];
        self.write(&mut book, events).await.map_err(|_| Refusal::ServerTrouble)
    }

    /// A table has room if a partner can make way, or if a seat more still has cards.
    fn has_room(&self, record: &Record, table: TableId) -> Result<(), Refusal> {
        let laid = record.tables.iter().find(|laid| laid.table == table);
        let laid = laid.ok_or(Refusal::NoSuchTable)?;
        if laid.seats.iter().any(|seat| seat.kind == SeatKind::Partner) {
            return Ok(());
        }
        if laid.seats.len() >= SEATS_MAX {
            return Err(Refusal::SeatCount);
        }
        let deck = record.next_deck_of(table).and_then(|deck| self.surroundings.shelf.get(deck));
        deck.ok_or(Refusal::ServerTrouble)?.cards.check(laid.seats.len() + 1)
    }

    /// Carries moves out whenever a table changes, for as long as the lesson lives.
    pub async fn carry_out_moves(lesson: Weak<LiveLesson>) {
        let Some(mut board) = lesson.upgrade().map(|lesson| lesson.board()) else { return };
        loop {
            {
                let Some(lesson) = lesson.upgrade() else { return };
                lesson.move_who_can().await;
            }
            if board.changed().await.is_err() {
                return;
            }
        }
    }

    async fn move_who_can(&self) {
        let mut book = self.book.lock().await;
        if book.record.ended || (book.record.moves.is_empty() && book.untold.is_empty()) {
            return;
        }
        let board = self.board.borrow().clone();
        let moves: Vec<_> = book.record.moves.iter().map(|(pupil, to)| (*pupil, *to)).collect();
        for (pupil, to) in moves {
            self.try_move(&mut book, &board.tables, pupil, to).await;
        }
        self.tell_tables(&mut book).await;
    }

    /// One child, if its old table is between rounds and the new one takes it.
    async fn try_move(
        &self,
        book: &mut MutexGuard<'_, Book>,
        tables: &[BoardTable],
        pupil: PupilIndex,
        to: Option<TableId>,
    ) {
        let from = book.record.seat_of(pupil);
        let waits = |table: &BoardTable| matches!(table.view.phase, Phase::Dealt | Phase::Playing);
        let old = from.and_then(|(table, _)| tables.iter().find(|board| board.table == table));
        if old.is_some_and(waits) {
            return;
        }
        let taken = to.and_then(|table| new_seat(&book.record, pupil, table));
        if taken.is_none() && to.is_some() {
            return;
        }
        if let Some(given) = &taken {
            // A round, or a race, at the new table: once more when its board changes.
            if self.tell_table(given).await.is_err() {
                return;
            }
            self.bring_support(&book.record, pupil, given).await;
        }
        let left = from.map(|(table, seat)| {
            let laid = book.record.tables.iter().find(|laid| laid.table == table);
            let plan = partner_for(laid.map_or(&[], |laid| &laid.seats));
            SeatGiven { table, seat, plan }
        });
        let digest = book.record.taken.get(&pupil).copied();
        let seats = taken.into_iter().chain(left.clone()).collect();
        let event = LessonEvent::Reseated { pupil, seats };
        if self.write(book, vec![event]).await.is_err() {
            return;
        }
        match (digest, book.record.seat_of(pupil)) {
            (Some(digest), Some((table, seat))) => {
                if let Some(handle) = self.table(table) {
                    self.secrets.open(digest, handle.clone(), seat);
                }
            }
            (Some(digest), None) => self.secrets.withdraw(digest),
            (None, _) => {}
        }
        book.untold.extend(left);
    }

    /// Support goes with the child. Were it lost on the way, the next game would bring it.
    async fn bring_support(&self, record: &Record, pupil: PupilIndex, given: &SeatGiven) {
        let support = record.support.get(&pupil).cloned();
        if let (Some(support), Some(handle)) = (support, self.table(given.table)) {
            let _ = handle.teacher(Command::Support { seat: given.seat, support }).await;
        }
    }

    /// Tells a table who holds a seat; it refuses while a round forbids it.
    async fn tell_table(&self, given: &SeatGiven) -> Result<(), Refusal> {
        let command = Command::Reseat { seat: given.seat, plan: given.plan.clone() };
        match self.table(given.table) {
            Some(handle) => handle.teacher(command).await,
            None => Ok(()),
        }
    }

    /// Tells tables who holds their seats; those in a round are told after it.
    pub(super) async fn tell_tables(&self, book: &mut MutexGuard<'_, Book>) {
        let mut still = Vec::new();
        for given in std::mem::take(&mut book.untold) {
            if self.tell_table(&given).await == Err(Refusal::RoundRunning) {
                still.push(given);
            }
        }
        book.untold = still;
    }
}

/// The seat that a child gets at a table: its own if a move was cut short, a partner's, or a new one.
fn new_seat(record: &Record, pupil: PupilIndex, table: TableId) -> Option<SeatGiven> {
    let laid = record.tables.iter().find(|laid| laid.table == table)?;
    let line = record.pupils.get(usize::from(pupil.0))?;
    let own = laid.seats.iter().position(|seat| seat.pupil == Some(pupil));
    let partner = laid.seats.iter().position(|seat| seat.kind == SeatKind::Partner);
    let place = own.or(partner).unwrap_or(laid.seats.len());
    let seat = SeatIndex(u8::try_from(place).ok()?);
    let mut plan = pupil_seat(pupil, line);
    // A child at home, or at a shared device, stays there when it changes its table.
    if let Some(by) = record.plays_from(pupil) {
        plan.by = by;
    }
    Some(SeatGiven { table, seat, plan })
}
