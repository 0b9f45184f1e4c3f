//! A seat changes hands, or a table grows by one: a child is moved, comes late or leaves early. A
//! table never shrinks; whoever leaves is followed by a practice partner.

use super::decide::Deciding;
use super::event::{Event, SeatPlan};
use super::seat::Seat;
use super::table::Table;
use handround_protocol::id::SeatIndex;
use handround_protocol::limits::SEATS_MAX;
use handround_protocol::refusal::Refusal;
use handround_protocol::support::Support;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, SeatKind};

impl Deciding {
    /// Lets somebody else hold a seat, or adds one. The same holder again changes nothing, and the same
    /// child at another device only its mark.
    pub(super) fn reseat(&mut self, seat: SeatIndex, plan: &SeatPlan) -> Result<(), Refusal> {
        let table = &self.table;
        let place = usize::from(seat.0);
        if table.plans.get(place) == Some(plan) {
            return Ok(());
        }
        // The same child from elsewhere: the mark stands in each of its moves and changes no rule, so it
        // begins at once, inside a race too.
        let same_child = |held: &SeatPlan| SeatPlan { by: plan.by, ..held.clone() } == *plan;
        if plan.kind == SeatKind::Pupil && table.plans.get(place).is_some_and(same_child) {
            self.emit(Event::PlaysFrom { seat, by: plan.by });
            return Ok(());
        }
        // Rule 12 of the design: never inside a race. A hand is nobody else's in its round.
        let in_round = matches!(table.phase, Phase::Dealt | Phase::Playing);
        if table.race.is_some() || (in_round && place < table.plans.len()) {
            return Err(Refusal::RoundRunning);
        }
        if place > table.plans.len() {
            return Err(Refusal::NoSuchSeat);
        }
        if place >= SEATS_MAX {
            return Err(Refusal::SeatCount);
        }
        self.emit(Event::Reseated { seat, plan: plan.clone() });
        Ok(())
    }
}

impl Table {
    pub(super) fn reseated(&mut self, seat: SeatIndex, plan: &SeatPlan, at: Micros) {
        let place = usize::from(seat.0);
        let gone_since = (plan.kind == SeatKind::Pupil).then_some(at);
        if place == self.plans.len() {
            self.plans.push(plan.clone());
            self.seats.push(Seat {
                visible: true,
                gone_since,
                joins: true,
                after_pause: true,
                ..Seat::default()
            });
            return;
        }
        self.plans[place] = plan.clone();
        let state = self.of_mut(seat);
        // Letters and shields stay with the place, as a game goes on with whoever sits there.
        state.link = false;
        state.visible = true;
        state.gone_since = gone_since;
        state.stand_in = false;
        state.help_since = None;
        state.on_break = false;
        state.partner_holds = false;
        state.covered = false;
        state.after_pause = true;
        state.false_grabs = 0;
        state.support = Support::default();
        state.support_next = Support::default();
    }

    /// New seats that the deck has cards for play from this deal on.
    pub(super) fn let_new_seats_join(&mut self) {
        let Some((_, deck)) = self.play.clone() else { return };
        for seat in self.all() {
            let seats = self.in_play().len() + 1;
            if self.of(seat).joins && deck.check(seats).is_ok() {
                let state = self.of_mut(seat);
                state.joins = false;
                state.in_play = true;
            }
        }
    }
}
