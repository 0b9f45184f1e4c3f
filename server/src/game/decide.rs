//! From a command to events. Decisions are tried on a copy, so that one command can lead to a
//! chain of events, and the table itself changes only when they are applied.

use super::command::{By, Command, LinkBounds, Seed};
use super::event::{Card, Entry, Event, Marks, Source};
use super::head_start;
use super::shuffle;
use super::table::Table;
use crate::race::ruling;
use handround_protocol::id::{CardId, GameNumber, SeatIndex};
use handround_protocol::message::SeatSays;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, RoundEnd, TakeUp, VoidReason};

/// A move can be taken back this long, if the neighbour has not opened it. Design, section 6.
pub const UNDO_FOR: Micros = Micros::from_s(3);

/// A decision under way: the copy that it is tried on, and the events so far.
pub(super) struct Deciding {
    pub(super) table: Table,
    pub(super) now: Micros,
    pub(super) seed: Seed,
    pub(super) events: Vec<Event>,
}

impl Deciding {
    /// Adds an event and lets it take effect on the copy.
    pub(super) fn emit(&mut self, event: Event) {
        self.table.apply(&Entry { at: self.now, event: event.clone() });
        self.events.push(event);
    }
}

impl Table {
    /// What a command leads to at a moment. Changes nothing.
    ///
    /// # Errors
    /// The rule's friendly no.
    pub fn decide(
        &self,
        command: &Command,
        now: Micros,
        seed: Seed,
    ) -> Result<Vec<Event>, Refusal> {
        let mut deciding = Deciding { table: self.clone(), now, seed, events: Vec::new() };
        deciding.command(command)?;
        deciding.settle();
        Ok(deciding.events)
    }
}

impl Deciding {
    fn command(&mut self, command: &Command) -> Result<(), Refusal> {
        match command {
            Command::Seat { seat, by, says, arrived, link } => {
                self.seat_says(*seat, *by, says, *arrived, *link)
            }
            Command::CueSent { seat, nonce, sent, link } => {
                if self.table.cue_nonce(*seat) == Some(*nonce) {
                    self.emit(Event::CueSent { seat: *seat, sent: *sent, link: *link });
                }
                Ok(())
            }
            Command::CuePinged { seat, nonce, arrived } => {
                if self.table.cue_nonce(*seat) == Some(*nonce) {
                    self.emit(Event::CuePinged { seat: *seat, arrived: *arrived });
                }
                Ok(())
            }
            Command::RacePinged { seat, sent } => {
                let record = self.table.race.as_ref();
                if record.is_some_and(|record| ruling::worth_noting(record, *seat, *sent)) {
                    self.emit(Event::RacePinged { seat: *seat, sent: *sent });
                }
                Ok(())
            }
            Command::LinkUp { seat } => {
                let state = self.table.at(*seat).ok_or(Refusal::NoSuchSeat)?;
                if state.link {
                    return Ok(());
                }
                let returns = state.may_return();
                self.emit(Event::LinkUp { seat: *seat });
                if returns {
                    self.emit(Event::StandInLeft { seat: *seat });
                }
                Ok(())
            }
            Command::LinkDown { seat } => {
                if self.table.at(*seat).ok_or(Refusal::NoSuchSeat)?.link {
                    self.emit(Event::LinkDown { seat: *seat });
                }
                Ok(())
            }
            Command::Start { rules, deck } => {
                if !matches!(self.table.phase, Phase::Waiting | Phase::GameOver) {
                    return Err(Refusal::GameRunning);
                }
                rules.check()?;
                deck.check(self.table.seats.len())?;
                if self.table.paused_since.is_some() {
                    self.emit(Event::Resumed);
                }
                let game = GameNumber(self.table.game.0 + 1);
                self.emit(Event::GameStarted { game, rules: rules.clone(), deck: deck.clone() });
                self.deal_first();
                Ok(())
            }
            Command::Offer { helpers, naming } => {
                self.tell_offers(helpers, *naming);
                Ok(())
            }
            Command::Support { seat, support } => self.give_support(*seat, support),
            Command::Pause => {
                if self.table.paused_since.is_none() && self.table.pause_wished.is_none() {
                    self.emit(Event::PauseWished { pause: true });
                }
                Ok(())
            }
            Command::Resume => {
                if self.table.paused_since.is_some() {
                    self.emit(Event::Resumed);
                } else if self.table.pause_wished.is_some() {
                    self.emit(Event::PauseWished { pause: false });
                }
                Ok(())
            }
            Command::End => {
                if matches!(self.table.phase, Phase::Waiting | Phase::GameOver) {
                    return Err(Refusal::NoGame);
                }
                if !self.table.end_wished {
                    self.emit(Event::EndWished);
                }
                Ok(())
            }
            Command::Nudge { .. }
            | Command::HelpGiven { .. }
            | Command::HandOver { .. }
            | Command::Bell { .. } => self.care_command(command),
            Command::Reseat { seat, plan } => self.reseat(*seat, plan),
            Command::Void(reason) => {
                if matches!(self.table.phase, Phase::Dealt | Phase::Playing) {
                    self.void(*reason);
                }
                Ok(())
            }
            Command::Tick => Ok(()),
        }
    }

    fn seat_says(
        &mut self,
        seat: SeatIndex,
        by: By,
        says: &SeatSays,
        arrived: Micros,
        link: LinkBounds,
    ) -> Result<(), Refusal> {
        let state = self.table.at(seat).ok_or(Refusal::NoSuchSeat)?;
        match says {
            SeatSays::DealShown { round } => {
                if *round == self.table.round && state.deal_shown.is_none() && state.in_play {
                    self.emit(Event::DealShown { seat });
                }
                return Ok(());
            }
            SeatSays::CueShown { cue, shown } => {
                let known = self.table.runner(seat).and_then(|runner| runner.cue);
                if known.is_some_and(|known| known.nonce == *cue && known.shown.is_none()) {
                    self.emit(Event::CueShown { seat, shown: *shown, arrived });
                }
                return Ok(());
            }
            SeatSays::InView { visible } => {
                if by.is_child() && state.visible != *visible {
                    let returns = *visible && state.may_return() && state.link;
                    self.emit(Event::InView { seat, visible: *visible });
                    if returns {
                        self.emit(Event::StandInLeft { seat });
                    }
                }
                return Ok(());
            }
            SeatSays::Help { .. } | SeatSays::Break { .. } => {
                return self.care_says(seat, by, says);
            }
            SeatSays::Cheer { picture } => return self.cheer(seat, by, *picture),
            SeatSays::Covered { covered } => {
                self.cover(seat, by, *covered);
                return Ok(());
            }
            SeatSays::PicturesNamed => {
                if by.is_child() && self.table.phase == Phase::Naming && !state.named {
                    self.emit(Event::Named { seat });
                }
                return Ok(());
            }
            _ => {}
        }
        if !matches!(self.table.phase, Phase::Dealt | Phase::Playing) {
            return Err(Refusal::NoRound);
        }
        if self.table.paused_since.is_some() {
            return Err(Refusal::Paused);
        }
        if !state.in_play {
            return Err(Refusal::NotInPlay);
        }
        // A child that acts has its seat back, whatever kept it warm.
        if by.is_child() && state.stand_in {
            self.come_back(seat)?;
        }
        if self.table.of(seat).passed_by {
            self.emit(Event::JoinedIn { seat });
        }
        match says {
            SeatSays::TakeUp => self.take_up(seat),
            SeatSays::Keep { card, give } => self.keep(seat, by, *card, *give),
            SeatSays::Pass { card } => {
                let card = self.considered(seat, *card)?;
                self.move_on(seat, by, card, card);
                Ok(())
            }
            SeatSays::Undo => self.undo(seat),
            SeatSays::Grab(grab) => self.grab(seat, by, grab, arrived, link),
            SeatSays::LayDown => self.lay_down(seat, by),
            SeatSays::DealShown { .. }
            | SeatSays::CueShown { .. }
            | SeatSays::InView { .. }
            | SeatSays::Help { .. }
            | SeatSays::Break { .. }
            | SeatSays::Cheer { .. }
            | SeatSays::Covered { .. }
            | SeatSays::PicturesNamed => Ok(()),
        }
    }

    fn take_up(&mut self, seat: SeatIndex) -> Result<(), Refusal> {
        let just_joined = matches!(self.events.last(), Some(Event::JoinedIn { .. }));
        let why = match self.table.take_up(seat) {
            TakeUp::FromPile | TakeUp::FromTray => {
                self.take(seat);
                return Ok(());
            }
            // Having joined in is enough for now; the next card will come.
            _ if just_joined => return Ok(()),
            TakeUp::DecideFirst => Refusal::AlreadyConsidering,
            TakeUp::TrayEmpty => Refusal::TrayEmpty,
            TakeUp::NextTrayFull => Refusal::NextTrayFull,
            TakeUp::PilesEmpty => Refusal::PilesEmpty,
            TakeUp::LaidDown => Refusal::HasLaidDown,
            TakeUp::NotNow => Refusal::NoRound,
        };
        Err(why)
    }

    /// Takes up the next card of a seat that can; shuffles the discards first if the pile is empty.
    pub(super) fn take(&mut self, seat: SeatIndex) {
        let from_tray = self.table.of(seat).tray.front().copied();
        if let Some(card) = from_tray {
            self.emit(Event::TakenUp { seat, card, source: Source::Tray });
            return;
        }
        if self.table.draw_pile.is_empty() {
            let mut order = self.table.discard_pile.clone();
            shuffle::shuffle(&mut order, &mut shuffle::generator(self.seed, shuffle::Use::Order));
            self.emit(Event::Reshuffled { order });
        }
        if let Some(card) = self.table.draw_pile.front().copied() {
            self.emit(Event::TakenUp { seat, card, source: Source::Pile });
        }
    }

    /// The card under consideration, if it is the one that the device means.
    fn considered(&self, seat: SeatIndex, id: CardId) -> Result<Card, Refusal> {
        if !self.table.is_moving() {
            return Err(Refusal::NoRound);
        }
        let considering = self.table.of(seat).considering.ok_or(Refusal::NothingConsidered)?;
        let known = self.table.ids.get(usize::from(considering.card.0));
        if known == Some(&id) { Ok(considering.card) } else { Err(Refusal::NotYourCard) }
    }

    fn keep(&mut self, seat: SeatIndex, by: By, card: CardId, give: CardId) -> Result<(), Refusal> {
        let card = self.considered(seat, card)?;
        let table = &self.table;
        let own = table.of(seat).hand.iter().find(|own| table.ids[usize::from(own.0)] == give);
        let left = *own.ok_or(Refusal::NotYourCard)?;
        self.move_on(seat, by, card, left);
        Ok(())
    }

    fn move_on(&mut self, seat: SeatIndex, by: By, card: Card, left: Card) {
        let state = self.table.of(seat);
        let since = state.considering.map_or(self.now, |considering| considering.since);
        let used = (left != card && by.is_child()).then(|| self.table.right_use(seat, left));
        let marks = Marks { right_use: used.flatten(), ..self.marks(seat, by, since) };
        let to = self.table.next(seat);
        self.emit(Event::Moved { seat, card, left, to, marks });
    }

    fn undo(&mut self, seat: SeatIndex) -> Result<(), Refusal> {
        if !self.table.is_moving() {
            return Err(Refusal::NoRound);
        }
        let state = self.table.of(seat);
        let last = state.last_move.ok_or(Refusal::TooLateToUndo)?;
        let still_there = self.table.can_undo(seat);
        if state.laid_down || !still_there || self.now.since(last.at) > UNDO_FOR {
            return Err(Refusal::TooLateToUndo);
        }
        self.emit(Event::Undone { seat });
        Ok(())
    }

    fn lay_down(&mut self, seat: SeatIndex, by: By) -> Result<(), Refusal> {
        if !self.table.is_moving() {
            return Err(Refusal::NoRound);
        }
        let calm = self.table.play.as_ref().is_some_and(|(rules, _)| !rules.house.has_tokens());
        let state = self.table.of(seat);
        if state.laid_down {
            return Err(Refusal::HasLaidDown);
        }
        let Some(since) = state.four_since.filter(|_| calm) else {
            return Err(Refusal::NoFourAlike);
        };
        let marks = self.marks(seat, by, since);
        let four = state.hand.clone();
        self.emit(Event::LaidDown { seat, four, marks });
        Ok(())
    }

    pub(super) fn marks(&self, seat: SeatIndex, by: By, since: Micros) -> Marks {
        let state = self.table.of(seat);
        let seen = state.hand.iter().copied().chain(state.considering.map(|c| c.card));
        Marks {
            by,
            hinted: state.hinted,
            helped: seen.into_iter().any(|card| self.table.helper(seat, card).is_some()),
            after_pause: state.after_pause,
            taken: self.now.since(since),
            hand: state.hand.clone(),
            incoming: state.considering.map(|considering| considering.card),
            right_use: None,
        }
    }

    /// Gathers all cards, shuffles and deals.
    pub(super) fn deal(&mut self) {
        let Some((_, deck)) = &self.table.play else { return };
        let cards = u16::try_from(deck.groups.len()).unwrap_or(u16::MAX);
        let mut order: Vec<Card> = (0..cards).map(handround_protocol::id::FaceIndex).collect();
        shuffle::shuffle(&mut order, &mut shuffle::generator(self.seed, shuffle::Use::Order));
        let dealer = self.next_dealer();
        self.give_head_starts(&mut order, dealer);
        let seats = u8::try_from(self.table.seats.len()).unwrap_or(u8::MAX);
        let event = Event::Dealt {
            round: handround_protocol::id::RoundNumber(self.table.round.0 + 1),
            dealer,
            seed: self.seed,
            order,
            ids: shuffle::card_ids(usize::from(cards), self.seed),
            ranks: shuffle::ranks(seats, self.seed),
        };
        self.emit(event);
    }

    /// As the deal will find the table: with new seats, around the new dealer.
    fn give_head_starts(&self, order: &mut [Card], dealer: SeatIndex) {
        let Some((_, deck)) = &self.table.play else { return };
        if !self.table.seats.iter().any(|seat| seat.support_next.head_start) {
            return;
        }
        let mut after = self.table.clone();
        after.let_new_seats_join();
        after.dealer = dealer;
        let ring = after.ring_of_deal();
        let has = |place: &usize| after.seats[ring[*place]].support_next.head_start;
        let places: Vec<usize> = (0..ring.len()).filter(has).collect();
        let mut generator = shuffle::generator(self.seed, shuffle::Use::HeadStart);
        head_start::give(order, &deck.groups, ring.len(), &places, &mut generator);
    }

    /// The next seat in play after the previous dealer's place; the first dealer is drawn.
    fn next_dealer(&self) -> SeatIndex {
        let in_play = self.table.in_play();
        if self.table.round.0 == 0 {
            let mut generator = shuffle::generator(self.seed, shuffle::Use::Dealer);
            let count = u32::try_from(in_play.len().max(1)).unwrap_or(1);
            return in_play[shuffle::below(&mut generator, count) as usize];
        }
        let after = in_play.iter().find(|seat| **seat > self.table.dealer);
        after.or(in_play.first()).copied().unwrap_or(SeatIndex(0))
    }

    pub(super) fn void(&mut self, reason: VoidReason) {
        self.emit(Event::RoundEnded {
            end: RoundEnd::Void { reason },
            four: Vec::new(),
            race: None,
        });
    }
}
