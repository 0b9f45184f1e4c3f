//! What becomes due by itself: after every command, and when the time that `wake_at` named comes.

use super::decide::Deciding;
use super::event::Event;
use super::support::UNHURRIED_FACTOR;
use super::table::{Table, UNATTENDED_RESHUFFLES_MAX, UNATTENDED_VOIDS_MAX};
use crate::race::{Stage, ruling};
use handround_protocol::house::{HouseRule, MissedFour};
use handround_protocol::id::SeatIndex;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, RoundEnd, TakeUp, VoidReason};

/// Tokens go live at the latest this long after the deal. Design, section 3, rule 4.
pub const LIVE_AFTER_MAX: Micros = Micros::from_s(3);
/// A child gone this long has a stand-in. Design, section 3, rule 10.
pub const STAND_IN_AFTER: Micros = Micros::from_s(5);
/// A seat that has not answered its cue is nudged after this long. Design, section 4.
pub const NUDGE_AFTER: Micros = Micros::from_s(10);
/// A race that the teacher's stop finds open is void this long after her wish: a race in its hold is
/// ruled before, one that still waits for a tap could wait for ever, and "eyes on me" must hold for
/// every screen within a second.
pub const FREEZE_AFTER: Micros = Micros::from_ms(900);
/// Chained events of one command at the most; far above what any chain needs.
const STEPS_MAX: usize = 64;

impl Table {
    /// When `Command::Tick` is next due; `None` while nothing is under way.
    pub fn wake_at(&self) -> Option<Micros> {
        let gone = self.all().filter_map(|seat| self.stand_in_at(seat));
        if self.paused_since.is_some() {
            return gone.min();
        }
        let own = self.all().flat_map(|seat| {
            [self.hint_at(seat), self.nudge_at(seat), self.silent_stand_in_at(seat)]
                .into_iter()
                .chain(self.idle_at(seat))
        });
        let table = [
            self.naming_ends_at(),
            self.live_at(),
            self.rule_at(),
            self.next_deal_at(),
            self.freeze_at(),
        ];
        gone.chain(own.flatten()).chain(table.into_iter().flatten()).min()
    }

    fn live_at(&self) -> Option<Micros> {
        (self.phase == Phase::Dealt).then(|| self.dealt_at.plus(LIVE_AFTER_MAX))
    }

    fn rule_at(&self) -> Option<Micros> {
        match ruling::stage(self.race.as_ref()?) {
            Stage::Open => None,
            Stage::Hold { until } => Some(until),
        }
    }

    fn freeze_at(&self) -> Option<Micros> {
        let wished = self.pause_wished.filter(|_| self.race.is_some())?;
        Some(wished.plus(FREEZE_AFTER))
    }

    fn next_deal_at(&self) -> Option<Micros> {
        let (rules, _) = self.play.as_ref()?;
        let ended = self.ended_at.filter(|_| self.phase == Phase::RoundOver)?;
        Some(ended.plus(rules.next_deal_after))
    }

    fn stand_in_at(&self, seat: SeatIndex) -> Option<Micros> {
        let state = self.of(seat);
        let gone = state.gone_since.filter(|_| !state.stand_in)?;
        Some(gone.plus(STAND_IN_AFTER))
    }

    fn hint_at(&self, seat: SeatIndex) -> Option<Micros> {
        let (rules, _) = self.play.as_ref()?;
        let state = self.of(seat);
        let has_token = self.runner(seat).is_some_and(|runner| runner.grab.is_some());
        let open = self.child_plays(seat) && !state.hinted && !state.laid_down && !has_token;
        let open = open && !state.covered;
        let since = state.four_since.filter(|_| open && self.phase == Phase::Playing)?;
        let since = since.max(state.cover_moved_at);
        match state.support.missed_four.unwrap_or(rules.missed_four) {
            MissedFour::FindItYourself => None,
            MissedFour::HintAfter { seconds } => Some(since.plus(Micros::from_s(seconds.into()))),
            MissedFour::Tell => Some(since),
        }
    }

    fn nudge_at(&self, seat: SeatIndex) -> Option<Micros> {
        let runner = self.runner(seat)?;
        let state = self.of(seat);
        let waits = runner.grab.is_none() && !state.nudged && !state.covered;
        let cue = runner.cue.filter(|_| waits)?;
        let seen = cue.sent.unwrap_or(cue.made).max(state.cover_moved_at);
        Some(seen.plus(NUDGE_AFTER))
    }

    /// A race must not wait for ever for a child that left without a word.
    fn silent_stand_in_at(&self, seat: SeatIndex) -> Option<Micros> {
        let (rules, _) = self.play.as_ref()?;
        let runner = self.runner(seat)?;
        let waits = runner.grab.is_none() && self.child_plays(seat);
        let cue = runner.cue.filter(|_| waits)?;
        Some(cue.made.plus(rules.pass_by_after))
    }

    /// The reminder, then the moment from which cards go round the seat. A covered hand is not
    /// reminded, and cards go round it only once the whole tablet has been left alone.
    fn idle_at(&self, seat: SeatIndex) -> Option<Option<Micros>> {
        let (rules, _) = self.play.as_ref()?;
        let state = self.of(seat);
        let since = state.waiting_since.filter(|_| !state.passed_by)?;
        let since = if state.covered { since.max(self.tablet_left_since()?) } else { since };
        let last = state.reminded || state.covered;
        let usual = if last { rules.pass_by_after } else { rules.remind_after };
        let unhurried = if state.support.unhurried { UNHURRIED_FACTOR } else { 1 };
        let span = Micros(usual.0 * unhurried);
        Some(Some(since.plus(span)))
    }
}

impl Deciding {
    /// Lets everything happen that is due by now, until nothing is.
    pub(super) fn settle(&mut self) {
        for _ in 0..STEPS_MAX {
            if !self.step() {
                return;
            }
        }
    }

    /// One thing that is due, if there is one.
    fn step(&mut self) -> bool {
        let now = self.now;
        let due = |moment: Option<Micros>| moment.is_some_and(|moment| moment <= now);
        let first =
            |at: &dyn Fn(SeatIndex) -> Option<Micros>| self.table.all().find(|seat| due(at(*seat)));
        if let Some(seat) = first(&|seat| self.table.stand_in_at(seat)) {
            self.emit(Event::StandInTook { seat });
            return true;
        }
        if self.table.paused_since.is_some() {
            return false;
        }
        if due(self.table.rule_at()) {
            self.rule();
            return true;
        }
        if self.table.race.is_none() {
            if self.table.end_wished {
                self.emit(Event::GameEnded { winners: Vec::new() });
                return true;
            }
            if self.table.pause_wished.is_some() {
                self.emit(Event::Paused);
                return true;
            }
        }
        if due(self.table.freeze_at()) {
            self.void(VoidReason::Frozen);
            return true;
        }
        match self.table.phase {
            Phase::Dealt => {
                if due(self.table.live_at()) || self.all_have_seen() {
                    self.emit(Event::TokensLive);
                    return true;
                }
                false
            }
            Phase::Playing => {
                if let Some(event) = self.due_for_one_seat() {
                    self.emit(event);
                    return true;
                }
                self.cards_due()
            }
            Phase::RoundOver => self.round_over(due(self.table.next_deal_at())),
            Phase::Naming => {
                let over = due(self.table.naming_ends_at()) || self.table.all_have_named();
                if over {
                    self.deal();
                }
                over
            }
            Phase::Waiting | Phase::GameOver => false,
        }
    }

    /// Every seat in play whose device is there, or that a partner plays, shows the deal.
    fn all_have_seen(&self) -> bool {
        self.table.in_play().into_iter().all(|seat| {
            let state = self.table.of(seat);
            state.deal_shown.is_some() || state.gone_since.is_some()
        })
    }

    fn due_for_one_seat(&self) -> Option<Event> {
        let table = &self.table;
        let due = |moment: Option<Micros>| moment.is_some_and(|moment| moment <= self.now);
        for seat in table.all() {
            if due(table.hint_at(seat)) {
                return Some(Event::Hinted { seat });
            }
            if due(table.nudge_at(seat)) {
                return Some(Event::Nudged { seat });
            }
            if due(table.silent_stand_in_at(seat)) {
                return Some(Event::StandInTook { seat });
            }
            if due(table.idle_at(seat).flatten()) {
                let state = table.of(seat);
                return Some(if state.reminded || state.covered {
                    Event::PassedBy { seat }
                } else {
                    Event::Reminded { seat }
                });
            }
        }
        None
    }

    /// The dealer's next card comes by itself where the rules say so; a calm round ends when all
    /// have laid down; a round that nobody watches does not go on for ever.
    fn cards_due(&mut self) -> bool {
        let Some((rules, _)) = &self.table.play else { return false };
        let by_themselves = rules.cards_come_by_themselves;
        let calm = !rules.house.has_tokens();
        if calm && self.table.in_play().iter().all(|seat| self.table.of(*seat).laid_down) {
            let four = self.table.race_four.clone();
            self.emit(Event::RoundEnded { end: RoundEnd::AllLaidDown, four, race: None });
            return true;
        }
        // A child that only watches moves nothing on: stand-ins never start a race.
        let attended = self.table.in_play().iter().any(|seat| self.table.child_plays(*seat));
        let worn_out = self.table.reshuffles > UNATTENDED_RESHUFFLES_MAX;
        if worn_out && !attended && self.table.race.is_none() {
            self.void(VoidReason::Unattended);
            return true;
        }
        let draws = self.table.ring().first().copied().filter(|_| by_themselves);
        match draws {
            Some(seat) if self.table.take_up(seat) == TakeUp::FromPile => {
                self.take(seat);
                true
            }
            _ => false,
        }
    }

    fn rule(&mut self) {
        let Some(record) = self.table.race.clone() else { return };
        let ruling = ruling::rule(&record);
        let Some(last) = ruling.order.last().map(|placed| placed.seat) else { return };
        let four = self.table.race_four.clone();
        let end = if ruling.void {
            RoundEnd::Void { reason: VoidReason::LinkLost }
        } else {
            self.last_seat(last)
        };
        let void = ruling.void;
        self.emit(Event::RoundEnded { end, four, race: Some((record, ruling)) });
        let state = self.table.of(last);
        if void && state.voids >= super::table::LINK_VOIDS_MAX && !state.stand_in {
            self.emit(Event::StandInTook { seat: last });
        }
    }

    /// What being last means under the house rule.
    fn last_seat(&self, seat: SeatIndex) -> RoundEnd {
        let state = self.table.of(seat);
        let plain = RoundEnd::Last { seat, letters: 0, out: false, shielded: false };
        let Some((rules, _)) = &self.table.play else { return plain };
        match &rules.house {
            HouseRule::Stay { .. } | HouseRule::Calm { .. } => plain,
            HouseRule::Letters { word } => {
                let letters = state.letters + 1;
                let full = usize::from(letters) >= word.chars().count();
                RoundEnd::Last { seat, letters, out: full, shielded: false }
            }
            HouseRule::Out { shield } => {
                let shielded = *shield && state.shielded;
                // With the shield, the first time a seat is last it is warned and protected.
                let warned = *shield && !state.shield_used;
                RoundEnd::Last { seat, letters: 0, out: !shielded && !warned, shielded }
            }
        }
    }

    fn round_over(&mut self, deal_due: bool) -> bool {
        let Some((rules, _)) = &self.table.play else { return false };
        let in_play = self.table.in_play();
        let rounds_over = match rules.house {
            HouseRule::Stay { rounds } | HouseRule::Calm { rounds } => {
                self.table.rounds_ruled >= u16::from(rounds)
            }
            HouseRule::Letters { .. } | HouseRule::Out { .. } => in_play.len() < 2,
        };
        if rounds_over || self.table.unattended_voids >= UNATTENDED_VOIDS_MAX {
            self.emit(Event::GameEnded { winners: in_play });
            return true;
        }
        if self.table.bell {
            self.emit(Event::GameEnded { winners: Vec::new() });
            return true;
        }
        if deal_due {
            self.deal();
        }
        deal_due
    }
}
