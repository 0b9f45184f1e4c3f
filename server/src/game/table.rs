//! The state of one table, and the questions that every part of the rules asks of it.

use super::command::Seed;
use super::event::{Card, Event, SeatPlan};
use super::rules::{GameDeck, Rules};
use super::seat::Seat;
use crate::race::{Record, Ruling};
use handround_protocol::cheer::Cheer;
use handround_protocol::hand::four_alike;
use handround_protocol::house::Pace;
use handround_protocol::id::{CardId, DeckId, GameNumber, GroupIndex, RoundNumber, SeatIndex};
use handround_protocol::limits::{SEATS_MAX, SEATS_MIN};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, Phase, RoundEnd, SeatKind, TakeUp, Tap};
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;

/// One table's state. It changes by `apply` alone, holds no floats and no hash maps, and equals
/// the state that a replay of its journal gives, byte for byte.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Table {
    /// Who sits here, in the order of play.
    pub(super) plans: Vec<SeatPlan>,
    /// The seats' states, likewise.
    pub(super) seats: Vec<Seat>,
    /// The running game's rules and cards.
    pub(super) play: Option<(Rules, GameDeck)>,
    pub(super) game: GameNumber,
    pub(super) round: RoundNumber,
    pub(super) phase: Phase,
    pub(super) paused_since: Option<Micros>,
    /// Since when the teacher has wished to stop the table.
    pub(super) pause_wished: Option<Micros>,
    pub(super) end_wished: bool,
    /// The bell has rung: no round is dealt in this game any more.
    pub(super) bell: bool,
    pub(super) dealer: SeatIndex,
    /// The seed of this deal; later draws of the round never use it.
    pub(super) deal_seed: Seed,
    /// Card ids by position in the deck.
    pub(super) ids: Vec<CardId>,
    /// Tie ranks by seat.
    pub(super) ranks: Vec<u8>,
    /// Top card first.
    pub(super) draw_pile: VecDeque<Card>,
    /// Newest last.
    pub(super) discard_pile: Vec<Card>,
    pub(super) dealt_at: Micros,
    pub(super) reshuffles: u16,
    /// Rounds of this game that counted.
    pub(super) rounds_ruled: u16,
    /// Void rounds of this game that nobody watched.
    pub(super) unattended_voids: u8,
    pub(super) race: Option<Record>,
    /// The four cards that started the race.
    pub(super) race_four: Vec<Card>,
    pub(super) ended_at: Option<Micros>,
    pub(super) end: Option<(RoundEnd, Vec<Card>)>,
    pub(super) winners: Vec<SeatIndex>,
    /// Faces discarded in the round before, for those who watch.
    pub(super) sorting: Vec<Card>,
    pub(super) last_race: Option<(Record, Ruling)>,
    /// The helpers that each card's face has, by its position in the deck.
    pub(super) offered: Vec<Vec<Helper>>,
    /// The next game's pictures are to be named.
    pub(super) naming: bool,
    /// The deck whose pictures were named last.
    pub(super) named_deck: Option<DeckId>,
    pub(super) naming_since: Micros,
    /// Kind pictures since the round ended.
    pub(super) cheers: Vec<Cheer>,
}

/// After this many reshuffles an unattended round is void: brains that nobody watches must not
/// fill a journal for ever. Issue: three.
pub const UNATTENDED_RESHUFFLES_MAX: u16 = 3;
/// After this many unattended void rounds the game ends.
pub const UNATTENDED_VOIDS_MAX: u8 = 3;
/// Void rounds that one seat's link may cause in a game. Design, section 3, rule 11.
pub const LINK_VOIDS_MAX: u8 = 2;

impl Table {
    /// How quickly practice partners play in this game.
    pub fn partner_pace(&self) -> Pace {
        self.play.as_ref().map(|(rules, _)| rules.partner_pace).unwrap_or_default()
    }

    /// An empty table, before its `Seated` event.
    pub fn empty() -> Table {
        Table {
            plans: Vec::new(),
            seats: Vec::new(),
            play: None,
            game: GameNumber(0),
            round: RoundNumber(0),
            phase: Phase::Waiting,
            paused_since: None,
            pause_wished: None,
            end_wished: false,
            bell: false,
            dealer: SeatIndex(0),
            deal_seed: Seed([0; 32]),
            ids: Vec::new(),
            ranks: Vec::new(),
            draw_pile: VecDeque::new(),
            discard_pile: Vec::new(),
            dealt_at: Micros(0),
            reshuffles: 0,
            rounds_ruled: 0,
            unattended_voids: 0,
            race: None,
            race_four: Vec::new(),
            ended_at: None,
            end: None,
            winners: Vec::new(),
            sorting: Vec::new(),
            last_race: None,
            offered: Vec::new(),
            naming: false,
            named_deck: None,
            naming_since: Micros(0),
            cheers: Vec::new(),
        }
    }

    /// The event that sets a table.
    ///
    /// # Errors
    /// `SeatCount` for fewer than two or more than six seats.
    pub fn seat(seats: Vec<SeatPlan>) -> Result<Event, Refusal> {
        if (SEATS_MIN..=SEATS_MAX).contains(&seats.len()) {
            Ok(Event::Seated { seats })
        } else {
            Err(Refusal::SeatCount)
        }
    }

    /// Who sits here.
    pub fn seats(&self) -> &[SeatPlan] {
        &self.plans
    }

    /// Whether a practice partner should move for this seat now: it holds it, or stands in.
    pub fn partner_plays(&self, seat: SeatIndex) -> bool {
        self.at(seat).is_some_and(|state| {
            state.stand_in || self.plans[usize::from(seat.0)].kind == SeatKind::Partner
        })
    }

    /// Whether a practice partner keeps this pupil's seat warm.
    pub fn stand_in(&self, seat: SeatIndex) -> bool {
        self.at(seat).is_some_and(|state| state.stand_in)
    }

    /// Tokens still in the middle, also during a race; for the board alone.
    pub fn tokens_left(&self) -> u8 {
        let taken = self
            .race
            .as_ref()
            .map_or(0, |race| race.runners.iter().filter(|runner| runner.grab.is_some()).count());
        self.tokens().saturating_sub(u8::try_from(taken).unwrap_or(u8::MAX))
    }

    /// Whether the bell has rung for the game that is being played.
    pub fn bell(&self) -> bool {
        self.bell
    }

    /// A race is open.
    pub fn race_is_open(&self) -> bool {
        self.race.is_some()
    }

    /// The last race in one plain sentence with names; empty before the first.
    pub fn last_race(&self) -> String {
        let Some((_, ruling)) = &self.last_race else { return String::new() };
        self.plans.iter().enumerate().fold(ruling.sentence.clone(), |sentence, (index, plan)| {
            sentence.replace(&format!("{{{index}}}"), &plan.name)
        })
    }

    /// The record and ruling of the last race.
    pub fn last_race_record(&self) -> Option<&(Record, Ruling)> {
        self.last_race.as_ref()
    }

    /// The rounds of this game that counted.
    pub fn rounds_ruled(&self) -> u16 {
        self.rounds_ruled
    }

    /// How often the discard pile became the draw pile in this round.
    pub fn reshuffles(&self) -> u16 {
        self.reshuffles
    }

    /// Where the table stands.
    pub fn phase(&self) -> Phase {
        self.phase
    }

    /// The rounds counted so far, void ones too.
    pub fn round(&self) -> RoundNumber {
        self.round
    }

    /// The hand of a seat, for simulations and the arbiter's tests; never for another seat's view.
    pub fn hand(&self, seat: SeatIndex) -> &[Card] {
        self.at(seat).map_or(&[], |state| &state.hand)
    }

    /// Since when a seat's hand has been four alike; `None` while it is not.
    pub fn four_since(&self, seat: SeatIndex) -> Option<Micros> {
        self.at(seat).and_then(|state| state.four_since)
    }

    /// Whether a seat has taken a token in this round.
    pub fn has_token(&self, seat: SeatIndex) -> bool {
        self.at(seat).is_some_and(|state| state.tap == Tap::Taken)
    }

    pub(super) fn at(&self, seat: SeatIndex) -> Option<&Seat> {
        self.seats.get(usize::from(seat.0))
    }

    /// The seat's state; for indices that the caller took from this table.
    pub(super) fn of(&self, seat: SeatIndex) -> &Seat {
        &self.seats[usize::from(seat.0)]
    }

    pub(super) fn of_mut(&mut self, seat: SeatIndex) -> &mut Seat {
        &mut self.seats[usize::from(seat.0)]
    }

    pub(super) fn all(&self) -> impl Iterator<Item = SeatIndex> + use<> {
        (0..self.seats.len()).map(|index| SeatIndex(u8::try_from(index).unwrap_or(u8::MAX)))
    }

    /// Seats in play, in the order of play.
    pub(super) fn in_play(&self) -> Vec<SeatIndex> {
        self.all().filter(|seat| self.of(*seat).in_play).collect()
    }

    /// Tokens laid out in this round.
    pub(super) fn tokens(&self) -> u8 {
        let dealt = !matches!(self.phase, Phase::Waiting | Phase::Naming);
        let has_tokens = self.play.as_ref().is_some_and(|(rules, _)| rules.house.has_tokens());
        let seats = self.seats.iter().filter(|seat| !seat.hand.is_empty()).count();
        if dealt && has_tokens { u8::try_from(seats.saturating_sub(1)).unwrap_or(0) } else { 0 }
    }

    /// The groups of a list of cards.
    pub(super) fn groups(&self, cards: &[Card]) -> Vec<GroupIndex> {
        let Some((_, deck)) = &self.play else { return Vec::new() };
        cards.iter().map(|card| deck.groups[usize::from(card.0)]).collect()
    }

    /// Whether the seat's hand is four alike.
    pub(super) fn has_four(&self, seat: SeatIndex) -> bool {
        four_alike(&self.groups(&self.of(seat).hand)).is_some()
    }

    /// The seats that cards pass through now, from the one that draws to the one that discards:
    /// in play, not passed by, not laid down, from the dealer's place on.
    pub(super) fn ring(&self) -> Vec<SeatIndex> {
        let count = self.seats.len();
        (0..count)
            .map(|step| (usize::from(self.dealer.0) + step) % count)
            .filter(|index| {
                let seat = &self.seats[*index];
                seat.in_play && !seat.passed_by && !seat.laid_down
            })
            .map(|index| SeatIndex(u8::try_from(index).unwrap_or(u8::MAX)))
            .collect()
    }

    /// The seat whose tray this seat's card goes to; `None` for the discard pile.
    pub(super) fn next(&self, seat: SeatIndex) -> Option<SeatIndex> {
        let ring = self.ring();
        let place = ring.iter().position(|other| *other == seat)?;
        ring.get(place + 1).copied()
    }

    /// Whether a round is being played and nothing stands still.
    pub(super) fn is_moving(&self) -> bool {
        self.phase == Phase::Playing && self.paused_since.is_none()
    }

    /// Whether the seat can take up a card now, and if not, why. A seat that cards go round is
    /// answered as if it had joined in, since acting is what joins it in.
    pub(super) fn take_up(&self, seat: SeatIndex) -> TakeUp {
        let state = self.of(seat);
        if !self.is_moving() || !state.in_play {
            return TakeUp::NotNow;
        }
        if state.laid_down {
            return TakeUp::LaidDown;
        }
        if state.considering.is_some() {
            return TakeUp::DecideFirst;
        }
        if state.passed_by {
            let mut joined = self.clone();
            joined.of_mut(seat).passed_by = false;
            return joined.take_up(seat);
        }
        let draws = self.ring().first() == Some(&seat);
        let limit = self.play.as_ref().map_or(0, |(rules, _)| usize::from(rules.tray_limit));
        let source = match (state.tray.is_empty(), draws) {
            (false, _) => TakeUp::FromTray,
            (true, false) => return TakeUp::TrayEmpty,
            (true, true) if self.draw_pile.is_empty() && self.discard_pile.is_empty() => {
                return TakeUp::PilesEmpty;
            }
            (true, true) => TakeUp::FromPile,
        };
        match self.next(seat) {
            Some(next) if self.of(next).tray.len() + self.reserved(next) >= limit => {
                TakeUp::NextTrayFull
            }
            _ => source,
        }
    }

    /// Places in this seat's tray that cards under consideration have reserved.
    fn reserved(&self, seat: SeatIndex) -> usize {
        let waits = |other: &SeatIndex| self.of(*other).considering.is_some();
        self.all().filter(waits).filter(|other| self.next(*other) == Some(seat)).count()
    }

    /// Whether the seat has something to do with cards.
    pub(super) fn could_act(&self, seat: SeatIndex) -> bool {
        matches!(self.take_up(seat), TakeUp::FromPile | TakeUp::FromTray | TakeUp::DecideFirst)
    }

    /// A child is there and plays its own hand.
    pub(super) fn child_plays(&self, seat: SeatIndex) -> bool {
        let state = self.of(seat);
        self.plans[usize::from(seat.0)].kind == SeatKind::Pupil
            && state.link
            && state.visible
            && !state.stand_in
    }
}
