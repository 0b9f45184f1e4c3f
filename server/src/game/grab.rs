//! What a tap on a token means: a true grab, an answer to the room, too soon, or a false grab.

use super::command::{By, LinkBounds};
use super::decide::Deciding;
use super::event::Event;
use super::shuffle;
use super::table::{LINK_VOIDS_MAX, Table};
use crate::race::measure::{ANTICIPATION_BELOW, CREDIT, before_cue, measure};
use crate::race::ruling::{ROOM_BEFORE, TOO_SOON_WAIT};
use crate::race::{Kind, Observation, Record, Runner};
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::message::Grab;
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::Phase;

/// Three taps in this span are excited taps. Design, section 3, rule 7.
pub const EXCITED_SPAN: Micros = Micros::from_s(2);
/// A tap before the new hand was seen this long is an excited tap, likewise.
pub const HAND_SEEN_FOR: Micros = Micros::from_s(2);

impl Table {
    /// The nonce of this seat's cue, if a race is open and it has one.
    pub(super) fn cue_nonce(&self, seat: SeatIndex) -> Option<Nonce> {
        Some(self.runner(seat)?.cue?.nonce)
    }
}

/// A race that opens now, with every seat in play.
pub(super) fn new_race(table: &Table, started: Micros) -> Record {
    let runners = table
        .in_play()
        .into_iter()
        .map(|seat| Runner {
            seat,
            rank: table.ranks.get(usize::from(seat.0)).copied().unwrap_or(seat.0),
            cue: None,
            grab: None,
            voids_left: LINK_VOIDS_MAX.saturating_sub(table.of(seat).voids),
        })
        .collect();
    Record { tokens: table.tokens(), started, runners }
}

impl Deciding {
    pub(super) fn grab(
        &mut self,
        seat: SeatIndex,
        by: By,
        grab: &Grab,
        arrived: Micros,
        link: LinkBounds,
    ) -> Result<(), Refusal> {
        let table = &self.table;
        if table.play.as_ref().is_some_and(|(rules, _)| !rules.house.has_tokens()) {
            return Err(Refusal::NoTokens);
        }
        if table.phase != Phase::Playing {
            return Err(Refusal::TokensNotLive);
        }
        if table.runner(seat).is_some_and(|runner| runner.grab.is_some()) {
            return Err(Refusal::HasToken);
        }
        let mut seen = Observation {
            kind: Kind::Cued,
            shown: grab.cue.map(|cue| cue.shown),
            tap: grab.tap,
            arrived,
            link,
            token: grab.token,
            tapped: link.clock.and_then(|clock| clock.on_server(grab.tap)),
        };
        let cue = table.runner(seat).and_then(|runner| runner.cue);
        match (grab.cue, cue) {
            (Some(claim), Some(cue)) if claim.nonce == cue.nonce => {
                if self.now < table.of(seat).too_soon_until {
                    return Err(Refusal::Wait);
                }
                // The first word on when the cue was shown stands, through any reconnection.
                seen.shown = cue.shown.or(seen.shown);
                if measure(&cue, &seen, CREDIT).reaction < ANTICIPATION_BELOW {
                    let wait_until = self.now.plus(TOO_SOON_WAIT);
                    self.emit(Event::TooSoon { seat, wait_until, observation: seen });
                    return Ok(());
                }
                self.true_grab(seat, by, seen, cue.sent.unwrap_or(cue.made));
                Ok(())
            }
            (Some(_), _) => Err(Refusal::NotYourCue),
            (None, cue) => {
                let shown = None;
                let early = before_cue(cue.as_ref(), arrived, link.least);
                if table.has_four(seat) {
                    if table.race.is_none() && by == By::StandIn {
                        return Err(Refusal::StandInNeverFirst);
                    }
                    let since = table.of(seat).four_since.unwrap_or(self.now);
                    let kind = Kind::OwnFour;
                    self.true_grab(seat, by, Observation { kind, shown, ..seen }, since);
                    return Ok(());
                }
                let Some(cue) = cue else { return self.false_grab(seat, by, seen) };
                // Sooner after the cue than anybody can react, it can only be an answer to the room.
                let too_soon = measure(&cue, &seen, CREDIT).reaction < ANTICIPATION_BELOW;
                let kind = if early || too_soon { Kind::Room } else { Kind::Cued };
                let since = cue.sent.unwrap_or(cue.made);
                self.true_grab(seat, by, Observation { kind, shown, ..seen }, since);
                Ok(())
            }
        }
    }

    /// A token is this seat's. The first one of a round makes the others' cues.
    fn true_grab(&mut self, seat: SeatIndex, by: By, observation: Observation, since: Micros) {
        let first = self.table.race.is_none();
        let marks = self.marks(seat, by, since);
        self.emit(Event::Grabbed { seat, observation, marks });
        if !first {
            return;
        }
        let others: Vec<SeatIndex> =
            self.table.in_play().into_iter().filter(|other| *other != seat).collect();
        // With two seats in play there is no cue: the one token goes to a seat with four alike.
        if others.len() < 2 {
            return;
        }
        let nonces = shuffle::nonces(others.len(), self.seed);
        self.emit(Event::CuesMade { cues: others.iter().copied().zip(nonces).collect() });
        for other in others {
            self.forgive(other, observation);
        }
    }

    /// A false tap that another's true grab lay behind was an answer to the room: safe.
    fn forgive(&mut self, seat: SeatIndex, first: Observation) {
        let Some(tap) = self.table.of(seat).false_tap else { return };
        let reached_room = Micros(first.arrived.0.saturating_sub(first.link.greatest.0));
        let in_time = tap.arrived >= reached_room && self.now.since(tap.arrived) <= ROOM_BEFORE;
        if in_time {
            let by = self.table.plans[usize::from(seat.0)].by;
            let marks = self.marks(seat, by, tap.arrived);
            let observation = Observation { kind: Kind::Room, ..tap };
            self.emit(Event::Grabbed { seat, observation, marks });
        }
    }

    /// Without four alike and without a cue. Answered to the own seat alone.
    fn false_grab(&mut self, seat: SeatIndex, by: By, seen: Observation) -> Result<(), Refusal> {
        let state = self.table.of(seat);
        let arrived = seen.arrived;
        let recent =
            state.false_taps.iter().filter(|tap| arrived.since(**tap) <= EXCITED_SPAN).count();
        let waiting = self.now < state.wait_until;
        // Three taps in the span say that the child is excited; further ones say nothing new.
        if waiting && recent > 2 {
            return Err(Refusal::Wait);
        }
        let seen_since = state.deal_shown.unwrap_or(self.table.dealt_at);
        let early = arrived.since(seen_since) < HAND_SEEN_FOR;
        let excited = early || recent >= 2 || waiting;
        let wait = self.table.play.as_ref().map_or(Micros(0), |(rules, _)| rules.false_grab_wait);
        let wait_until = self.now.plus(wait);
        let marks = self.marks(seat, by, seen_since);
        self.emit(Event::FalseGrab { seat, excited, wait_until, observation: seen, marks });
        Ok(())
    }
}
