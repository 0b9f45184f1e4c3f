//! Where cards go when an event takes effect: deal, move, undo, going round a seat, laying down.
//! Like all of `apply` it decides nothing, and it never makes or loses a card.

use super::event::{Card, Source};
use super::seat::{Considering, LastMove};
use super::table::Table;
use handround_protocol::id::SeatIndex;
use handround_protocol::limits::HAND_CARDS;
use handround_protocol::time::Micros;
use handround_protocol::view::Helper;

impl Table {
    /// Four to each seat in play from the dealer on, one by one, one into each tray if cards come
    /// by themselves, the rest is the draw pile.
    pub(super) fn deal(&mut self, order: &[Card], at: Micros) {
        let seats = self.ring_of_deal();
        let trays = self.play.as_ref().is_some_and(|(rules, _)| rules.cards_come_by_themselves);
        let mut cards = order.iter().copied();
        for _ in 0..HAND_CARDS {
            for seat in &seats {
                self.seats[*seat].hand.extend(cards.next());
            }
        }
        for seat in seats.iter().skip(1).filter(|_| trays) {
            if !self.seats[*seat].passed_by {
                self.seats[*seat].tray.extend(cards.next());
            }
        }
        self.draw_pile = cards.collect();
        self.discard_pile.clear();
        self.note_fours(at);
    }

    /// Seats in play from the dealer's place on, those that cards go round included.
    pub(super) fn ring_of_deal(&self) -> Vec<usize> {
        let count = self.seats.len();
        (0..count)
            .map(|step| (usize::from(self.dealer.0) + step) % count)
            .filter(|index| self.seats[*index].in_play)
            .collect()
    }

    pub(super) fn moved(
        &mut self,
        seat: SeatIndex,
        card: Card,
        left: Card,
        to: Option<SeatIndex>,
        right_use: Option<Helper>,
        at: Micros,
    ) {
        let state = self.of_mut(seat);
        let source =
            state.considering.take().map_or(Source::Tray, |considering| considering.source);
        if let Some(place) = state.hand.iter_mut().find(|own| **own == left) {
            *place = card;
        }
        let last = LastMove { card, left, to: to.map(|seat| seat.0), source, at, right_use };
        state.last_move = Some(last);
        state.after_pause = false;
        state.reminded = false;
        state.waiting_since = None;
        if let Some(helper) = right_use {
            self.count_use(seat, helper, false);
        }
        match to {
            Some(next) => self.of_mut(next).tray.push_back(left),
            None => self.discard_pile.push(left),
        }
        self.note_fours(at);
    }

    pub(super) fn undone(&mut self, seat: SeatIndex, at: Micros) {
        let Some(last) = self.of_mut(seat).last_move.take() else { return };
        if let Some(helper) = last.right_use {
            self.count_use(seat, helper, true);
        }
        match last.to {
            Some(next) => {
                let tray = &mut self.seats[usize::from(next)].tray;
                if let Some(place) = tray.iter().rposition(|card| *card == last.left) {
                    tray.remove(place);
                }
            }
            None => {
                if let Some(place) = self.discard_pile.iter().rposition(|card| *card == last.left) {
                    self.discard_pile.remove(place);
                }
            }
        }
        // A card taken up since goes back to where it came from.
        let taken_up = self.of_mut(seat).considering.take();
        match taken_up.map(|considering| (considering.card, considering.source)) {
            Some((card, Source::Pile)) => self.draw_pile.push_front(card),
            Some((card, Source::Tray)) => self.of_mut(seat).tray.push_front(card),
            None => {}
        }
        let state = self.of_mut(seat);
        if last.left != last.card
            && let Some(place) = state.hand.iter_mut().find(|own| **own == last.card)
        {
            *place = last.left;
        }
        state.considering = Some(Considering { card: last.card, source: last.source, since: at });
        state.waiting_since = None;
        self.note_fours(at);
    }

    /// The card has been opened or shuffled: whoever handed it on cannot take it back any more.
    pub(super) fn forget_undo_of(&mut self, card: Card) {
        for state in &mut self.seats {
            if state.last_move.is_some_and(|last| last.left == card) {
                state.last_move = None;
            }
        }
    }

    /// Cards in the tray move on to the next seat, or to the discard pile. A card under
    /// consideration stays with its seat.
    pub(super) fn passed_by(&mut self, seat: SeatIndex) {
        let next = self.next(seat);
        let state = self.of_mut(seat);
        state.passed_by = true;
        state.reminded = false;
        let waiting = std::mem::take(&mut state.tray);
        match next {
            Some(next) => self.of_mut(next).tray.extend(waiting),
            None if self.ring().is_empty() => self.of_mut(seat).tray = waiting,
            None => self.discard_pile.extend(waiting),
        }
    }

    /// The four lie open; everything else that the seat had goes on.
    pub(super) fn laid_down(&mut self, seat: SeatIndex, four: &[Card]) {
        let next = self.next(seat);
        let state = self.of_mut(seat);
        state.laid_down = true;
        state.hinted = false;
        state.after_pause = false;
        state.last_move = None;
        let mut on: Vec<Card> = std::mem::take(&mut state.tray).into_iter().collect();
        on.extend(state.considering.take().map(|considering| considering.card));
        match next {
            Some(next) => self.of_mut(next).tray.extend(on),
            None => self.discard_pile.extend(on),
        }
        self.race_four = four.to_vec();
    }
}
