//! Cheering: kind pictures from children who watch. They go while no tokens lie in the middle, between two
//! rounds or behind the last: a race may be open at any moment of a round, and whether it is must not
//! show in what is refused. Evidence knows nothing of them.

use super::command::By;
use super::decide::Deciding;
use super::event::Event;
use super::table::Table;
use handround_protocol::cheer::{Cheer, CheerPicture};
use handround_protocol::id::SeatIndex;
use handround_protocol::limits::CHEERS_EACH_MAX;
use handround_protocol::refusal::Refusal;
use handround_protocol::view::Phase;

impl Table {
    fn cheering(&self) -> bool {
        self.play.as_ref().is_some_and(|(rules, _)| rules.cheering)
    }

    /// The pictures since the round ended; `None` where cheering is off.
    pub(super) fn cheers_view(&self) -> Option<Vec<Cheer>> {
        self.cheering().then(|| self.cheers.clone())
    }
}

impl Deciding {
    pub(super) fn cheer(
        &mut self,
        seat: SeatIndex,
        by: By,
        picture: CheerPicture,
    ) -> Result<(), Refusal> {
        let table = &self.table;
        if !table.cheering() {
            return Err(Refusal::CheeringOff);
        }
        if table.paused_since.is_some() {
            return Err(Refusal::Paused);
        }
        if !matches!(table.phase, Phase::RoundOver | Phase::GameOver) {
            return Err(Refusal::CheeringNotNow);
        }
        if !by.is_child() || table.of(seat).in_play {
            return Err(Refusal::OnlyWatching);
        }
        let own = table.cheers.iter().filter(|cheer| cheer.seat == seat).count();
        if own >= CHEERS_EACH_MAX {
            return Err(Refusal::CheeringEnough);
        }
        self.emit(Event::Cheered { seat, picture });
        Ok(())
    }
}
