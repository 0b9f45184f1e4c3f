//! What a table puts out beside its seats' news: the teacher's board, and which faces to load.

use super::super::attention::{attention, is_urgent, link_quality};
use super::LiveTable;
use crate::game::LinkBounds;
use crate::limits::lesson::{BOARD_PAUSE, BOARD_REFRESH};
use crate::race::{picture, replay};
use handround_protocol::id::{DeckId, SeatIndex};
use handround_protocol::join::RaceTold;
use handround_protocol::message::{ToClient, Welcome};
use handround_protocol::time::Micros;
use handround_protocol::view::{BoardSeat, BoardTable, CardView, HandTold, Phase};
use std::sync::Arc;

/// The last race of a table.
#[derive(Debug)]
pub struct LastRace {
    /// For the teacher's eyes.
    pub told: RaceTold,
    /// For everybody's: whose tokens went when. `None` if it does not count.
    pub moments: Option<Vec<Vec<SeatIndex>>>,
}

impl LiveTable {
    pub(super) fn game_runs(&self) -> bool {
        !matches!(self.table.table_view().phase, Phase::Waiting | Phase::GameOver)
    }

    /// The deck in play; between games the next one, so that its faces are there before the deal.
    pub(super) fn deck_to_load(&self) -> DeckId {
        match &self.in_play {
            Some(deck) if self.game_runs() => deck.id,
            _ => self.next_deck,
        }
    }

    pub(super) fn last_race(&self) -> Option<LastRace> {
        let (record, ruling) = self.table.last_race_record()?;
        let names: Vec<&str> = self.table.seats().iter().map(|plan| plan.name.as_str()).collect();
        let moments = replay::moments(ruling, record.tokens);
        let told = RaceTold {
            sentence: self.table.last_race(),
            lines: picture::lines(ruling, &names),
            picture_svg: picture::picture(ruling, &names),
            can_replay: moments.is_some(),
        };
        Some(LastRace { told, moments })
    }

    /// One seat's cards for the teacher's eyes.
    pub(super) fn hand_told(&self, seat: SeatIndex) -> Option<HandTold> {
        let name = self.table.seats().get(usize::from(seat.0))?.name.clone();
        let hand = self.table.seat_view(seat)?.hand;
        let face = |card: &CardView| card.face;
        Some(HandTold {
            name,
            deck: self.deck_to_load(),
            cards: hand.iter().flat_map(|hand| hand.cards.iter().map(face)).collect(),
            considering: hand.as_ref().and_then(|hand| hand.considering.as_ref().map(face)),
        })
    }

    pub(super) fn note_link(&mut self, seat: SeatIndex, link: LinkBounds) {
        let place = usize::from(seat.0);
        self.round_trips.resize(self.round_trips.len().max(place + 1), None);
        self.round_trips[place] = Some(link.smoothed);
    }

    /// What only the teacher sees of each seat; the links are the edge's to know.
    fn board_seats(&self, now: Micros) -> Vec<BoardSeat> {
        let mut seats = self.table.board_seats(now);
        for (place, seat) in seats.iter_mut().enumerate().filter(|(_, seat)| seat.pupil.is_some()) {
            let connected = self.feeds.get(place).is_some_and(|feed| feed.device().is_some());
            let smoothed = self.round_trips.get(place).copied().flatten();
            seat.link = Some(link_quality(connected, smoothed));
        }
        seats
    }

    /// A device that was greeted with another deck is greeted again.
    pub(super) fn announce_deck(&mut self) {
        let deck = self.deck_to_load();
        if std::mem::replace(&mut self.announced, deck) == deck {
            return;
        }
        for feed in &self.feeds {
            if let Some(device) = feed.device() {
                device.send(ToClient::Welcome(self.welcome(feed.view().you)));
            }
        }
    }

    pub(super) fn welcome(&self, seat: SeatIndex) -> Welcome {
        Welcome::Seat { table: self.face.table, seat, deck: self.deck_to_load() }
    }

    pub(super) fn want_board(&mut self) {
        let soonest = self.board_shown.plus(BOARD_PAUSE);
        self.board_due = Some(self.board_due.map_or(soonest, |due| due.min(soonest)));
    }

    /// Puts out the table's part of the teacher's board, at most four times a second.
    pub(super) fn show_board(&mut self) {
        let now = self.surroundings.clock.now();
        if self.board_due.is_none_or(|due| due > now) {
            return;
        }
        self.board_shown = now;
        self.board_due = self.game_runs().then(|| now.plus(BOARD_REFRESH));
        let deck = self.deck_to_load();
        let deck_name = self.surroundings.shelf.get(deck).map(|note| note.name.clone());
        let (view, seats) = (self.table.table_view(), self.board_seats(now));
        let attention = attention(&view, &seats);
        let table = BoardTable {
            table: self.face.table,
            name: self.face.name.clone(),
            deck,
            deck_name: deck_name.unwrap_or_default(),
            urgent: is_urgent(&attention),
            attention,
            view,
            seats,
            tokens_left: self.table.tokens_left(),
            last_race: self.table.last_race(),
            winners: self.winners.clone(),
            bell: self.table.bell(),
            moves_a_minute: self.pace.a_minute(now),
        };
        self.board.send_replace(Some(Arc::new(table)));
    }
}
