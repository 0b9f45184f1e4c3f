//! Lets events take effect. Nothing here decides: every outcome stands in the event.

use super::event::{Card, Entry, Event, Source};
use super::grab;
use super::seat::{Considering, Seat};
use super::table::Table;
use crate::race::{Cue, Runner};
use handround_protocol::cheer::Cheer;
use handround_protocol::id::{FaceIndex, SeatIndex};
use handround_protocol::limits::SORTING_FACES_MAX;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, RoundEnd, SeatKind, Tap, VoidReason};

/// False taps remembered for telling excitement: three in two seconds.
const FALSE_TAPS_KEPT: usize = 3;

impl Table {
    /// Lets an event take effect. Never decides.
    pub fn apply(&mut self, entry: &Entry) {
        self.take_effect(entry.at, &entry.event);
        self.note_waiting(entry.at);
    }

    fn take_effect(&mut self, at: Micros, event: &Event) {
        match event {
            Event::Seated { seats } => {
                self.seats = seats
                    .iter()
                    .map(|plan| Seat {
                        visible: true,
                        gone_since: (plan.kind == SeatKind::Pupil).then_some(at),
                        ..Seat::default()
                    })
                    .collect();
                self.plans = seats.clone();
            }
            Event::GameStarted { game, rules, deck } => {
                self.game = *game;
                self.play = Some((rules.clone(), deck.clone()));
                self.rounds_ruled = 0;
                self.unattended_voids = 0;
                self.end_wished = false;
                self.bell = false;
                self.winners.clear();
                self.cheers.clear();
                self.seats.iter_mut().for_each(Seat::clear_game);
            }
            Event::Dealt { round, dealer, seed, order, ids, ranks } => {
                self.round = *round;
                self.dealer = *dealer;
                self.deal_seed = *seed;
                self.ids = ids.clone();
                self.ranks = ranks.clone();
                self.phase = Phase::Dealt;
                self.dealt_at = at;
                self.reshuffles = 0;
                self.race = None;
                self.race_four.clear();
                self.ended_at = None;
                self.end = None;
                self.cheers.clear();
                for state in &mut self.seats {
                    state.clear_round();
                    state.support = state.support_next.clone();
                }
                self.let_new_seats_join();
                self.deal(order, at);
            }
            Event::DealShown { seat } => self.of_mut(*seat).deal_shown = Some(at),
            Event::TokensLive => self.phase = Phase::Playing,
            Event::TakenUp { seat, card, source } => {
                match source {
                    Source::Pile => self.draw_pile.pop_front(),
                    Source::Tray => self.of_mut(*seat).tray.pop_front(),
                };
                let considering = Considering { card: *card, source: *source, since: at };
                self.of_mut(*seat).considering = Some(considering);
                self.forget_undo_of(*card);
            }
            Event::Moved { seat, card, left, to, marks } => {
                self.moved(*seat, *card, *left, *to, marks.right_use, at);
            }
            Event::Undone { seat } => self.undone(*seat, at),
            Event::Reshuffled { order } => {
                self.draw_pile = order.iter().copied().collect();
                self.discard_pile.clear();
                self.reshuffles += 1;
                order.iter().for_each(|card| self.forget_undo_of(*card));
            }
            Event::Grabbed { seat, observation, .. } => {
                if self.race.is_none() {
                    self.race_four = self.of(*seat).hand.clone();
                    self.race = Some(grab::new_race(self, observation.arrived));
                }
                let runner = self.runner_mut(*seat);
                if let Some(runner) = runner {
                    runner.grab = Some(*observation);
                }
                let state = self.of_mut(*seat);
                state.tap = Tap::Taken;
                state.taps += 1;
                state.nudged = false;
                state.after_pause = false;
                state.waiting_since = None;
            }
            Event::CuesMade { cues } => {
                for (seat, nonce) in cues {
                    let cue = Cue {
                        nonce: *nonce,
                        made: at,
                        sent: None,
                        pinged: None,
                        shown_arrived: None,
                        shown: None,
                        link: super::command::LinkBounds::NONE,
                        answered: None,
                    };
                    if let Some(runner) = self.runner_mut(*seat) {
                        runner.cue = Some(cue);
                    }
                }
            }
            // A cue is sent again after a reconnection. Once it was shown, its times stand.
            Event::CueSent { seat, sent, link } => self.with_cue(*seat, |cue| {
                if cue.shown_arrived.is_none() {
                    cue.sent = Some(*sent);
                    cue.link = *link;
                }
            }),
            Event::CuePinged { seat, arrived } => self.with_cue(*seat, |cue| {
                cue.pinged.get_or_insert(*arrived);
            }),
            Event::CueShown { seat, shown, arrived } => self.with_cue(*seat, |cue| {
                cue.shown.get_or_insert(*shown);
                cue.shown_arrived.get_or_insert(*arrived);
            }),
            Event::FalseGrab { seat, excited, wait_until, observation, .. } => {
                self.false_grab(*seat, *excited, *wait_until, *observation);
            }
            Event::TooSoon { seat, wait_until, observation } => {
                let wait_ms = wait_ms(*wait_until, observation.arrived);
                let state = self.of_mut(*seat);
                state.too_soon_until = *wait_until;
                state.tap = Tap::TooSoon { wait_ms };
                state.taps += 1;
            }
            Event::Hinted { seat } => self.of_mut(*seat).hinted = true,
            Event::Nudged { seat } => self.of_mut(*seat).nudged = true,
            Event::Reminded { seat } => self.of_mut(*seat).reminded = true,
            Event::PassedBy { seat } => self.passed_by(*seat),
            Event::JoinedIn { seat } => {
                let state = self.of_mut(*seat);
                state.passed_by = false;
                state.after_pause = true;
                state.waiting_since = None;
                state.reminded = false;
            }
            Event::LinkUp { seat } => {
                let state = self.of_mut(*seat);
                state.link = true;
                state.visible = true;
                state.gone_since = None;
                state.after_pause = true;
                state.covered = false;
            }
            Event::LinkDown { seat } => {
                self.of_mut(*seat).link = false;
                self.of_mut(*seat).covered = false;
                self.note_gone(*seat, at);
            }
            Event::InView { seat, visible } => {
                self.of_mut(*seat).visible = *visible;
                self.note_gone(*seat, at);
            }
            Event::StandInTook { seat } => self.of_mut(*seat).stand_in = true,
            Event::StandInLeft { seat } => {
                let state = self.of_mut(*seat);
                state.stand_in = false;
                state.after_pause = true;
                state.waiting_since = None;
                state.reminded = false;
            }
            Event::LaidDown { seat, four, .. } => self.laid_down(*seat, four),
            Event::RoundEnded { end, four, race } => self.round_ended(at, *end, four, race),
            Event::GameEnded { winners } => {
                self.phase = Phase::GameOver;
                self.ended_at = Some(at);
                self.end_wished = false;
                self.bell = false;
                self.race = None;
                self.winners = winners.clone();
            }
            Event::PauseWished { pause } => self.pause_wished = pause.then_some(at),
            Event::Paused => self.paused_since = Some(at),
            Event::Resumed => {
                let span = at.since(self.paused_since.take().unwrap_or(at));
                self.pause_wished = None;
                self.dealt_at = self.dealt_at.plus(span);
                self.naming_since = self.naming_since.plus(span);
                self.ended_at = self.ended_at.map(|ended| ended.plus(span));
                for state in &mut self.seats {
                    state.shift(span);
                    state.after_pause = true;
                }
            }
            Event::EndWished => self.end_wished = true,
            Event::BellRang { ring } => self.bell = *ring,
            Event::Reseated { seat, plan } => self.reseated(*seat, plan, at),
            Event::HelpWished { seat, wanted } => {
                self.of_mut(*seat).help_since = wanted.then_some(at);
            }
            Event::BreakWished { seat, wanted } => self.of_mut(*seat).on_break = *wanted,
            Event::HandedOver { seat, partner } => self.of_mut(*seat).partner_holds = *partner,
            Event::RacePinged { seat, sent } => self.with_cue(*seat, |cue| {
                cue.answered = cue.answered.max(Some(*sent));
            }),
            Event::Offered { helpers, naming } => {
                self.offered.clone_from(helpers);
                self.naming = *naming;
            }
            Event::SupportGiven { seat, support } => {
                self.of_mut(*seat).support_next = support.clone();
            }
            Event::NamingBegan => {
                self.phase = Phase::Naming;
                self.naming_since = at;
                self.named_deck = self.play.as_ref().map(|(_, deck)| deck.id);
                self.end = None;
                // All cards lie together until the deal.
                let cards = self.play.as_ref().map_or(0, |(_, deck)| deck.groups.len());
                let cards = u16::try_from(cards).unwrap_or(u16::MAX);
                self.draw_pile = (0..cards).map(FaceIndex).collect();
                self.discard_pile.clear();
            }
            Event::Named { seat } => self.of_mut(*seat).named = true,
            Event::PlaysFrom { seat, by } => {
                self.plans[usize::from(seat.0)].by = *by;
                self.of_mut(*seat).covered = false;
            }
            Event::Covered { seat, covered } => {
                let state = self.of_mut(*seat);
                state.covered = *covered;
                state.cover_moved_at = at;
                state.reminded = false;
                if !covered {
                    state.waiting_since = None;
                    state.after_pause = true;
                }
            }
            Event::Cheered { seat, picture } => {
                self.cheers.push(Cheer { seat: *seat, picture: *picture });
            }
        }
    }

    fn false_grab(
        &mut self,
        seat: SeatIndex,
        excited: bool,
        wait_until: Micros,
        observation: crate::race::Observation,
    ) {
        let wait_ms = wait_ms(wait_until, observation.arrived);
        let state = self.of_mut(seat);
        if state.false_taps.len() == FALSE_TAPS_KEPT {
            state.false_taps.pop_front();
        }
        state.false_taps.push_back(observation.arrived);
        state.false_tap = Some(observation);
        state.wait_until = wait_until;
        state.taps += 1;
        state.after_pause = false;
        if excited {
            // The first of several quick taps was counted before it could be known.
            if matches!(state.tap, Tap::FalseGrab { .. }) {
                state.false_grabs = state.false_grabs.saturating_sub(1);
            }
            state.tap = Tap::Excited { wait_ms };
        } else {
            state.tap = Tap::FalseGrab { wait_ms };
            state.false_grabs += 1;
        }
    }

    fn round_ended(
        &mut self,
        at: Micros,
        end: RoundEnd,
        four: &[Card],
        race: &Option<(crate::race::Record, crate::race::Ruling)>,
    ) {
        self.phase = Phase::RoundOver;
        self.ended_at = Some(at);
        self.end = Some((end, four.to_vec()));
        // After a reshuffle the draw pile holds nothing but discarded faces as well.
        let reshuffled = self.draw_pile.iter().filter(|_| self.reshuffles > 0);
        let discarded = self.discard_pile.iter().chain(reshuffled);
        // A short round with full trays has discarded nothing; the four lie open on every screen anyway.
        let shown = discarded.chain(four).take(SORTING_FACES_MAX);
        self.sorting = shown.copied().collect();
        self.race = None;
        if race.is_some() {
            self.last_race = race.clone();
        }
        match end {
            RoundEnd::Last { seat, letters, out, shielded } => {
                self.rounds_ruled += 1;
                for state in &mut self.seats {
                    state.shielded = false;
                }
                let shields = self.play.as_ref().is_some_and(|(rules, _)| {
                    matches!(
                        rules.house,
                        handround_protocol::house::HouseRule::Out { shield: true }
                    )
                });
                let state = self.of_mut(seat);
                state.letters = letters;
                state.in_play = !out;
                if shields && !out && !shielded {
                    state.shielded = true;
                    state.shield_used = true;
                }
            }
            RoundEnd::AllLaidDown => self.rounds_ruled += 1,
            RoundEnd::Void { reason } => {
                if reason == VoidReason::Unattended {
                    self.unattended_voids += 1;
                }
                if let (VoidReason::LinkLost, Some((_, ruling))) = (reason, race)
                    && let Some(last) = ruling.order.last()
                {
                    self.of_mut(last.seat).voids += 1;
                }
            }
        }
    }

    fn note_gone(&mut self, seat: SeatIndex, at: Micros) {
        let pupil = self.plans[usize::from(seat.0)].kind == SeatKind::Pupil;
        let state = self.of_mut(seat);
        let gone = pupil && !(state.link && state.visible);
        state.gone_since = if gone { state.gone_since.or(Some(at)) } else { None };
        if !gone {
            state.after_pause = true;
        }
    }

    /// Keeps, for every seat, since when its hand has been four alike.
    pub(super) fn note_fours(&mut self, at: Micros) {
        for seat in self.all() {
            let has_four = self.has_four(seat);
            let state = self.of_mut(seat);
            state.four_since = has_four.then(|| state.four_since.unwrap_or(at));
            state.hinted &= has_four;
        }
    }

    /// Keeps, for every seat, since when it could have acted.
    fn note_waiting(&mut self, at: Micros) {
        for seat in self.all() {
            let could_act = self.could_act(seat);
            let state = self.of_mut(seat);
            state.waiting_since = could_act.then(|| state.waiting_since.unwrap_or(at));
            state.reminded &= could_act;
        }
    }

    pub(super) fn runner(&self, seat: SeatIndex) -> Option<&Runner> {
        self.race.as_ref()?.runners.iter().find(|runner| runner.seat == seat)
    }

    fn runner_mut(&mut self, seat: SeatIndex) -> Option<&mut Runner> {
        self.race.as_mut()?.runners.iter_mut().find(|runner| runner.seat == seat)
    }

    fn with_cue(&mut self, seat: SeatIndex, change: impl FnOnce(&mut Cue)) {
        if let Some(cue) = self.runner_mut(seat).and_then(|runner| runner.cue.as_mut()) {
            change(cue);
        }
    }
}

/// A wait as the seat is told it.
fn wait_ms(until: Micros, now: Micros) -> u32 {
    u32::try_from(until.since(now).ms()).unwrap_or(u32::MAX)
}
