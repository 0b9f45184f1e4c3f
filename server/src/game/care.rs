//! The quiet side of a table: a raised hand, a break, a seat that a practice partner holds, a soft
//! reminder, the cover of a shared device, the bell. None of it touches a card, and none of it shows at
//! another seat.

use super::command::{By, Command};
use super::decide::Deciding;
use super::event::Event;
use super::table::Table;
use handround_protocol::id::SeatIndex;
use handround_protocol::message::SeatSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{CareView, Phase, SeatKind};

impl Table {
    /// What this child asked for, and who plays its cards by the teacher's word.
    pub(super) fn care_view(&self, seat: SeatIndex) -> CareView {
        let state = self.of(seat);
        CareView {
            help_asked: state.help_since.is_some(),
            on_break: state.on_break,
            partner_holds: state.partner_holds,
        }
    }

    /// Since when no hand of a shared device has lain open at this table; `None` while one does, since
    /// then the others' turn will come.
    pub(super) fn tablet_left_since(&self) -> Option<Micros> {
        let shared = self.all().filter(|seat| {
            self.plans[usize::from(seat.0)].by == By::SharedDevice && self.of(*seat).link
        });
        let mut since = Micros(0);
        for state in shared.map(|seat| self.of(seat)) {
            if !state.covered {
                return None;
            }
            since = since.max(state.cover_moved_at);
        }
        Some(since)
    }

    fn pupil_at(&self, seat: SeatIndex) -> Result<(), Refusal> {
        let plan = self.plans.get(usize::from(seat.0)).ok_or(Refusal::NoSuchSeat)?;
        if plan.kind == SeatKind::Pupil { Ok(()) } else { Err(Refusal::NoSuchSeat) }
    }
}

impl Deciding {
    /// What a child asks of the teacher, in any phase and also while the table stands still.
    pub(super) fn care_says(
        &mut self,
        seat: SeatIndex,
        by: By,
        says: &SeatSays,
    ) -> Result<(), Refusal> {
        self.table.pupil_at(seat)?;
        let state = self.table.of(seat);
        // A partner that keeps the seat warm has nothing to ask for.
        if !by.is_child() {
            return Ok(());
        }
        match *says {
            SeatSays::Help { wanted } if wanted != state.help_since.is_some() => {
                self.emit(Event::HelpWished { seat, wanted });
            }
            SeatSays::Break { wanted: true } if !state.on_break => {
                let stand_in = state.stand_in;
                self.emit(Event::BreakWished { seat, wanted: true });
                if !stand_in {
                    self.emit(Event::StandInTook { seat });
                }
            }
            SeatSays::Break { wanted: false } if state.on_break => {
                self.emit(Event::BreakWished { seat, wanted: false });
                self.give_back(seat);
            }
            _ => {}
        }
        Ok(())
    }

    /// What the teacher does for one child, or for the end of the slot.
    pub(super) fn care_command(&mut self, command: &Command) -> Result<(), Refusal> {
        match *command {
            Command::Nudge { seat } => {
                self.table.pupil_at(seat)?;
                let covered = self.table.of(seat).covered;
                if !self.table.could_act(seat) || !self.table.child_plays(seat) || covered {
                    return Err(Refusal::NothingToDo);
                }
                if !self.table.of(seat).reminded {
                    self.emit(Event::Reminded { seat });
                }
            }
            Command::HelpGiven { seat } => {
                self.table.pupil_at(seat)?;
                if self.table.of(seat).help_since.is_some() {
                    self.emit(Event::HelpWished { seat, wanted: false });
                }
            }
            Command::HandOver { seat, partner } => {
                self.table.pupil_at(seat)?;
                if partner == self.table.of(seat).partner_holds {
                    return Ok(());
                }
                self.emit(Event::HandedOver { seat, partner });
                if !partner {
                    self.give_back(seat);
                } else if !self.table.of(seat).stand_in {
                    self.emit(Event::StandInTook { seat });
                }
            }
            Command::Bell { ring } => {
                if matches!(self.table.phase, Phase::Waiting | Phase::GameOver) {
                    return Err(Refusal::NoGame);
                }
                if self.table.bell != ring {
                    self.emit(Event::BellRang { ring });
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// The cover of a shared device. Whoever takes it off has the hand again, and joins in if cards
    /// went round it. An own device has no cover, so its word on one means nothing.
    pub(super) fn cover(&mut self, seat: SeatIndex, by: By, covered: bool) {
        if by != By::SharedDevice || self.table.of(seat).covered == covered {
            return;
        }
        self.emit(Event::Covered { seat, covered });
        if covered {
            return;
        }
        if self.table.of(seat).may_return() {
            self.emit(Event::StandInLeft { seat });
        }
        if self.table.of(seat).passed_by {
            self.emit(Event::JoinedIn { seat });
        }
    }

    /// A child acts while a partner plays its hand: it has the seat back, unless the teacher gave
    /// the seat away.
    pub(super) fn come_back(&mut self, seat: SeatIndex) -> Result<(), Refusal> {
        let state = self.table.of(seat);
        if state.partner_holds {
            return Err(Refusal::PartnerHolds);
        }
        if state.on_break {
            self.emit(Event::BreakWished { seat, wanted: false });
        }
        self.emit(Event::StandInLeft { seat });
        Ok(())
    }

    /// The child has its hand again if it is there and nothing else keeps it away.
    fn give_back(&mut self, seat: SeatIndex) {
        let state = self.table.of(seat);
        if state.may_return() && state.link && state.visible {
            self.emit(Event::StandInLeft { seat });
        }
    }
}
