//! From a table's journal to decisions. It replays the table, so that who sat where and which deck
//! was in play are known at every moment, and decides nothing about skill.

use super::bounds::{
    EXCITED_SPAN, MISSED_AFTER, RUN_MIN, RUN_QUICK_BELOW, TOO_QUICK_BELOW, TOO_SLOW_ABOVE,
};
use super::decision::{Act, Decision, Exclusion};
use crate::game::event::{Entry, Event, Marks};
use crate::game::{By, Table};
use crate::race::Kind;
use handround_protocol::id::{DeckId, SeatIndex};
use handround_protocol::time::Micros;
use handround_protocol::view::RoundEnd;
use std::collections::BTreeMap;

/// All decisions in a table's journal, oldest first.
pub fn read(entries: &[Entry]) -> Vec<Decision> {
    let mut reading = Reading { table: Table::empty(), deck: None, found: Vec::new() };
    for entry in entries {
        reading.take(entry);
        reading.table.apply(entry);
    }
    mark_runs(&mut reading.found);
    reading.found
}

struct Reading {
    table: Table,
    deck: Option<DeckId>,
    found: Vec<Decision>,
}

impl Reading {
    /// Reads one entry; the table still stands as it was before.
    fn take(&mut self, entry: &Entry) {
        let at = entry.at;
        match &entry.event {
            Event::GameStarted { deck, .. } => self.deck = Some(deck.id),
            Event::Moved { seat, card, left, marks, .. } => {
                let act = if left == card { Act::Passed } else { Act::Kept { left: *left } };
                self.add(at, *seat, act, marks, &[]);
            }
            Event::Undone { seat } => {
                let last =
                    self.last_of(*seat, |one| matches!(one.act, Act::Passed | Act::Kept { .. }));
                last.into_iter().for_each(|one| one.excluded.push(Exclusion::TakenBack));
            }
            Event::FalseGrab { seat, excited, marks, .. } => {
                if *excited {
                    self.excite(*seat, at);
                }
                let more: &[Exclusion] = if *excited { &[Exclusion::Excited] } else { &[] };
                self.add(at, *seat, Act::FalseGrab, marks, more);
            }
            Event::Grabbed { seat, observation, marks } => {
                if observation.kind == Kind::Room {
                    let tap = observation.arrived;
                    let same = |one: &Decision| one.act == Act::FalseGrab && one.at <= at;
                    let near = |one: &Decision| one.at.since(tap).0 + tap.since(one.at).0 < 50_000;
                    let last = self.last_of(*seat, |one| same(one) && near(one));
                    last.into_iter().for_each(|one| one.excluded.push(Exclusion::Room));
                }
                if observation.kind == Kind::OwnFour {
                    self.add(at, *seat, Act::FourNoticed, marks, &[]);
                }
            }
            Event::LaidDown { seat, marks, .. } => {
                self.add(at, *seat, Act::FourNoticed, marks, &[]);
            }
            Event::RoundEnded { end: RoundEnd::Last { .. }, .. } => self.missed_fours(at),
            _ => {}
        }
    }

    fn missed_fours(&mut self, at: Micros) {
        let seats = u8::try_from(self.table.seats().len()).unwrap_or(u8::MAX);
        for seat in (0..seats).map(SeatIndex) {
            let Some(since) = self.table.four_since(seat) else { continue };
            let stand_in = self.table.stand_in(seat);
            if at.since(since) < MISSED_AFTER || self.table.has_token(seat) {
                continue;
            }
            let marks = Marks {
                by: if stand_in { By::StandIn } else { self.table.seats()[usize::from(seat.0)].by },
                hinted: false,
                helped: false,
                after_pause: false,
                taken: at.since(since),
                hand: self.table.hand(seat).to_vec(),
                incoming: None,
                right_use: None,
            };
            self.add(at, seat, Act::FourMissed, &marks, &[]);
        }
    }

    fn last_of(
        &mut self,
        seat: SeatIndex,
        is: impl Fn(&Decision) -> bool,
    ) -> Option<&mut Decision> {
        self.found.iter_mut().rev().find(|one| one.seat == seat && is(one))
    }

    /// The taps before an excited one were excited too.
    fn excite(&mut self, seat: SeatIndex, at: Micros) {
        for one in self.found.iter_mut().rev().take_while(|one| at.since(one.at) <= EXCITED_SPAN) {
            if one.seat == seat && one.act == Act::FalseGrab && one.counts() {
                one.excluded.push(Exclusion::Excited);
            }
        }
    }

    fn add(&mut self, at: Micros, seat: SeatIndex, act: Act, marks: &Marks, more: &[Exclusion]) {
        let Some(deck) = self.deck else { return };
        let plan = self.table.seats().get(usize::from(seat.0));
        let mut excluded = exclusions(act, marks);
        excluded.extend(more);
        self.found.push(Decision {
            at,
            seat,
            pupil: plan.and_then(|plan| plan.pupil),
            deck,
            act,
            taken: marks.taken,
            hand: marks.hand.clone(),
            incoming: marks.incoming,
            excluded,
        });
    }
}

fn exclusions(act: Act, marks: &Marks) -> Vec<Exclusion> {
    let mut found = Vec::new();
    let mut note = |applies: bool, why| {
        if applies {
            found.push(why);
        }
    };
    note(marks.helped, Exclusion::Helped);
    note(marks.hinted, Exclusion::Hinted);
    note(marks.by == By::SharedDevice, Exclusion::SharedDevice);
    note(marks.by == By::Home, Exclusion::Home);
    note(marks.by == By::StandIn, Exclusion::StandIn);
    note(marks.by == By::Partner, Exclusion::Partner);
    note(marks.after_pause, Exclusion::AfterPause);
    // Only a move has a card that it begins with: how long a four or a tap took is itself the finding.
    if matches!(act, Act::Passed | Act::Kept { .. }) {
        note(marks.taken > TOO_SLOW_ABOVE, Exclusion::TooSlow);
        note(marks.taken < TOO_QUICK_BELOW, Exclusion::TooQuick);
    }
    found
}

/// Which button a move used: the arrow, or a place of the hand.
fn button(one: &Decision) -> Option<usize> {
    match one.act {
        Act::Passed => Some(usize::MAX),
        Act::Kept { left } => one.hand.iter().position(|card| *card == left),
        _ => None,
    }
}

fn mark_runs(found: &mut [Decision]) {
    let mut runs: BTreeMap<SeatIndex, (Option<usize>, Vec<usize>)> = BTreeMap::new();
    let mut tapping: Vec<usize> = Vec::new();
    for (place, one) in found.iter().enumerate() {
        let Some(pressed) = button(one) else { continue };
        let (last, run) = runs.entry(one.seat).or_default();
        if *last != Some(pressed) || one.taken >= RUN_QUICK_BELOW {
            run.clear();
        }
        *last = Some(pressed);
        if one.taken < RUN_QUICK_BELOW {
            run.push(place);
        }
        match run.len() {
            RUN_MIN => tapping.extend(run.iter()),
            longer if longer > RUN_MIN => tapping.push(place),
            _ => {}
        }
    }
    tapping.into_iter().for_each(|place| found[place].excluded.push(Exclusion::SameButton));
}
