//! What each seat, everybody and the teacher may see of a table. Views are computed whole from
//! the state; nothing that a seat may not know goes into its view.

use super::event::Card;
use super::table::Table;
use handround_protocol::house::HouseRule;
use handround_protocol::id::SeatIndex;
use handround_protocol::time::Micros;
use handround_protocol::view::{
    BoardSeat, CardView, GrabView, HandView, Phase, RulingView, SeatPublic, SeatView, TableView,
    TakeUp,
};

impl Table {
    /// What this seat may see; `None` for a seat that the table does not have.
    pub fn seat_view(&self, seat: SeatIndex) -> Option<SeatView> {
        self.at(seat)?;
        Some(SeatView {
            table: self.table_view(),
            you: seat,
            hand: self.hand_view(seat),
            grab: self.grab_view(seat),
            ruling: self.ruling_view(),
            sorting: if self.of(seat).in_play { Vec::new() } else { self.sorting.clone() },
            care: self.care_view(seat),
        })
    }

    /// What everybody may see.
    pub fn table_view(&self) -> TableView {
        let count = |cards: usize| u16::try_from(cards).unwrap_or(u16::MAX);
        TableView {
            game: self.game,
            round: self.round,
            phase: self.phase,
            paused: self.paused_since.is_some(),
            house: match &self.play {
                Some((rules, _)) => rules.house.clone(),
                None => HouseRule::Stay { rounds: 1 },
            },
            dealer: self.dealer,
            tokens: self.tokens(),
            draw_pile: count(self.draw_pile.len()),
            discard_pile: count(self.discard_pile.len()),
            seats: self.all().map(|seat| self.seat_public(seat)).collect(),
            cheers: self.cheers_view(),
        }
    }

    fn seat_public(&self, seat: SeatIndex) -> SeatPublic {
        let state = self.of(seat);
        let plan = &self.plans[usize::from(seat.0)];
        SeatPublic {
            name: plan.name.clone(),
            picture: plan.picture,
            kind: plan.kind,
            in_play: state.in_play,
            waiting: u8::try_from(state.tray.len()).unwrap_or(u8::MAX),
            considering: state.considering.is_some(),
            cards_pass_by: state.passed_by,
            letters: state.letters,
            shielded: state.shielded,
            laid_down: if state.laid_down { state.hand.clone() } else { Vec::new() },
        }
    }

    fn card_view(&self, seat: SeatIndex, card: Card) -> CardView {
        CardView { id: self.ids[usize::from(card.0)], face: card, helper: self.helper(seat, card) }
    }

    fn hand_view(&self, seat: SeatIndex) -> Option<HandView> {
        let state = self.of(seat);
        let dealt = matches!(self.phase, Phase::Dealt | Phase::Playing | Phase::RoundOver);
        if !dealt || !state.in_play || state.hand.is_empty() {
            return None;
        }
        let cards = state.hand.iter().map(|card| self.card_view(seat, *card));
        let hinted = state.hand.iter().filter(|_| state.hinted);
        Some(HandView {
            cards: cards.collect(),
            considering: state.considering.map(|seen| self.card_view(seat, seen.card)),
            take_up: self.take_up(seat),
            can_undo: self.is_moving() && self.can_undo(seat),
            hint: hinted.map(|card| self.ids[usize::from(card.0)]).collect(),
            reminded: state.reminded,
            stand_in: state.stand_in,
        })
    }

    /// Whether the last move still lies unopened where it went.
    pub(super) fn can_undo(&self, seat: SeatIndex) -> bool {
        self.of(seat).last_move.is_some_and(|last| match last.to {
            Some(next) => self.seats[usize::from(next)].tray.contains(&last.left),
            None => self.discard_pile.contains(&last.left),
        })
    }

    fn grab_view(&self, seat: SeatIndex) -> GrabView {
        let state = self.of(seat);
        let rules = self.play.as_ref().map(|(rules, _)| rules);
        let has_tokens = rules.is_some_and(|rules| rules.house.has_tokens());
        GrabView {
            live: self.phase == Phase::Playing && state.in_play && has_tokens,
            cue: self.cue_nonce(seat),
            cue_sound: rules.is_some_and(|rules| rules.cue_sound),
            tap: state.tap,
            taps: state.taps,
            nudged: state.nudged,
        }
    }

    fn ruling_view(&self) -> Option<RulingView> {
        let (end, four) = self.end.as_ref()?;
        let next_deal = match (&self.play, self.phase) {
            (Some((rules, _)), Phase::RoundOver) => rules.next_deal_after,
            _ => Micros(0),
        };
        Some(RulingView {
            round: self.round,
            end: *end,
            four: four.clone(),
            winners: self.winners.clone(),
            next_deal_ms: u32::try_from(next_deal.ms()).unwrap_or(u32::MAX),
        })
    }

    /// What only the teacher sees of each seat.
    pub fn board_seats(&self, now: Micros) -> Vec<BoardSeat> {
        self.all()
            .map(|seat| {
                let state = self.of(seat);
                let plan = &self.plans[usize::from(seat.0)];
                let waiting = state.waiting_since.map_or(Micros(0), |since| now.since(since));
                let seconds = |span: Micros| u16::try_from(span.ms() / 1000).unwrap_or(u16::MAX);
                // A child under the cover of a shared device cannot act before its turn.
                let waits = self.is_moving() && self.take_up(seat) != TakeUp::LaidDown;
                let waits = waits && !state.covered;
                BoardSeat {
                    pupil: plan.pupil,
                    here: plan.pupil.is_none() || (state.link && state.visible),
                    stand_in: state.stand_in,
                    waiting_s: if waits { seconds(waiting) } else { 0 },
                    false_grabs: state.false_grabs,
                    link: None,
                    care: self.care_view(seat),
                    // A hand that was just raised counts as up for a second.
                    help_s: state.help_since.map_or(0, |since| seconds(now.since(since)).max(1)),
                    support: plan.pupil.map(|_| state.support_next.clone()),
                }
            })
            .collect()
    }

    /// The winners of the game that has just ended.
    pub fn winners(&self) -> &[SeatIndex] {
        &self.winners
    }

    /// The deck in play.
    pub fn deck(&self) -> Option<handround_protocol::id::DeckId> {
        self.play.as_ref().map(|(_, deck)| deck.id)
    }
}
