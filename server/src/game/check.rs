//! What must always hold of a table, whatever happened. A broken promise stops this table alone.

use super::event::Card;
use super::table::Table;
use handround_protocol::limits::HAND_CARDS;
use handround_protocol::view::Phase;
use std::collections::BTreeMap;

impl Table {
    /// The numbered things that must always hold; `Err` names the one that does not.
    ///
    /// # Errors
    /// The broken invariant in words.
    pub fn check(&self) -> Result<(), String> {
        let Some((_, deck)) = &self.play else { return Ok(()) };
        if self.phase == Phase::Waiting || self.round.0 == 0 {
            return Ok(());
        }
        let mut seen: BTreeMap<Card, u32> = BTreeMap::new();
        let trays = self.seats.iter().flat_map(|seat| &seat.tray);
        let hands = self.seats.iter().flat_map(|seat| &seat.hand);
        let considered =
            self.seats.iter().filter_map(|seat| seat.considering.as_ref()).map(|seen| &seen.card);
        for card in
            trays.chain(hands).chain(considered).chain(&self.draw_pile).chain(&self.discard_pile)
        {
            *seen.entry(*card).or_default() += 1;
        }
        if seen.len() != deck.groups.len() || seen.values().any(|count| *count != 1) {
            return Err("cards are conserved".to_owned());
        }
        for seat in self.all() {
            let state = self.of(seat);
            let size = state.hand.len();
            let must_hold = matches!(self.phase, Phase::Dealt | Phase::Playing) && state.in_play;
            if size != HAND_CARDS && (must_hold || size != 0) {
                return Err(format!("seat {seat} holds {size} cards"));
            }
        }
        let playing = matches!(self.phase, Phase::Dealt | Phase::Playing);
        let has_tokens = self.play.as_ref().is_some_and(|(rules, _)| rules.house.has_tokens());
        if playing && has_tokens && usize::from(self.tokens()) + 1 != self.in_play().len() {
            return Err("tokens are one fewer than the seats in play".to_owned());
        }
        if self.is_moving() && !self.some_seat_can_act() {
            return Err("some seat in play has a legal move".to_owned());
        }
        Ok(())
    }

    /// Whether some seat in play has a legal move: a card to take up or to decide on.
    pub fn some_seat_can_act(&self) -> bool {
        let calm_over = self.in_play().iter().all(|seat| self.of(*seat).laid_down);
        calm_over || self.in_play().into_iter().any(|seat| self.could_act(seat))
    }
}
