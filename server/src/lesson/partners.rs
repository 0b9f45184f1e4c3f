//! The practice partners inside the server: one brain for each seat that no device plays. A brain
//! sees only its seat's view, as a partner outside would.

use crate::game::{By, Table};
use crate::limits::lesson::PARTNER_REFUSED_PAUSE;
use handround_protocol::house::{AgeBand, Pace};
use handround_protocol::id::{GroupIndex, Nonce, SeatIndex};
use handround_protocol::message::SeatSays;
use handround_protocol::partner::{Partner, Temper, Thought};
use handround_protocol::time::Micros;
use handround_protocol::view::{SeatKind, SeatView};

/// How partners play with children of these ages. With the youngest a partner never starts a race,
/// reacts after 1.5 to 3 s, and so can be last. The teacher's pace leaves stand-ins as they are.
pub fn temper(by: By, ages: AgeBand, pace: Pace) -> Temper {
    match (by, ages) {
        (By::StandIn, _) => Temper::STAND_IN,
        (_, AgeBand::FiveToSix) => Temper {
            react: (Micros::from_ms(1_500), Micros::from_ms(3_000)),
            starts_races: false,
            ..Temper::for_ages(ages).at(pace)
        },
        _ => Temper::for_ages(ages).at(pace),
    }
}

#[derive(Debug)]
struct Player {
    by: By,
    ages: AgeBand,
    pace: Pace,
    brain: Partner,
    /// The cue that has reached it.
    cue: Option<Nonce>,
    /// When to think next; `None` rests until the view changes.
    think_at: Option<Micros>,
}

/// The brains of one table.
#[derive(Debug, Default)]
pub struct Partners {
    players: Vec<Option<Player>>,
}

/// What a partner brings to the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartnerMove {
    /// Its seat.
    pub seat: SeatIndex,
    /// What.
    pub act: Act,
}

/// A partner's part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// A cue has reached the brain. It takes no way at all, so it is sent the moment it is seen.
    CueArrives {
        /// The cue.
        nonce: Nonce,
    },
    /// It moves.
    Says {
        /// As whom.
        by: By,
        /// What.
        says: SeatSays,
    },
}

/// What the partners need to know of the table at one moment.
pub struct Scene<'a> {
    /// The rules' word on who plays.
    pub table: &'a Table,
    /// Each seat's view, and whether a device is connected there.
    pub seats: &'a [(&'a SeatView, bool)],
    /// The match group of each face.
    pub groups: &'a [GroupIndex],
    /// Ages of the class.
    pub ages: AgeBand,
}

impl Scene<'_> {
    /// As whom a brain inside plays a seat, if it does: a partner's seat while no partner from
    /// outside is connected, or a child's while the rules let a stand-in play.
    pub fn inside(&self, seat: usize) -> Option<By> {
        let (_, connected) = self.seats.get(seat)?;
        let index = SeatIndex(u8::try_from(seat).ok()?);
        if !self.table.partner_plays(index) {
            return None;
        }
        match self.table.seats().get(seat)?.kind {
            SeatKind::Partner => (!connected).then_some(By::Partner),
            SeatKind::Pupil => Some(By::StandIn),
        }
    }
}

impl Partners {
    /// A seat's view has changed: its brain thinks again.
    pub fn look_again(&mut self, seat: usize, now: Micros) {
        if let Some(Some(player)) = self.players.get_mut(seat) {
            player.think_at = Some(now);
        }
    }

    /// When a brain wishes to think next.
    pub fn wake_at(&self) -> Option<Micros> {
        self.players.iter().flatten().filter_map(|player| player.think_at).min()
    }

    /// The next move that is due, if any. `seed` gives a new brain its own luck.
    pub fn next_move(
        &mut self,
        scene: &Scene<'_>,
        now: Micros,
        mut seed: impl FnMut() -> u64,
    ) -> Option<PartnerMove> {
        self.players.resize_with(scene.seats.len(), || None);
        for (place, slot) in self.players.iter_mut().enumerate() {
            let Some(by) = scene.inside(place) else {
                *slot = None;
                continue;
            };
            let (ages, pace) = (scene.ages, scene.table.partner_pace());
            let fits = |old: &mut Player| (old.by, old.ages, old.pace) == (by, ages, pace);
            if !slot.as_mut().is_some_and(fits) {
                let brain = Partner::new(temper(by, ages, pace), seed());
                *slot = Some(Player { by, ages, pace, brain, cue: None, think_at: Some(now) });
            }
            let Some(player) = slot else { continue };
            if player.think_at.is_none_or(|at| at > now) {
                continue;
            }
            let (view, _) = scene.seats[place];
            if view.grab.cue != player.cue {
                player.cue = view.grab.cue;
                if let Some(nonce) = player.cue {
                    return Some(PartnerMove { seat: view.you, act: Act::CueArrives { nonce } });
                }
            }
            match player.brain.think(view, scene.groups, now) {
                // It thinks again at once, since a move need not change its own view.
                Thought::Say(says) => {
                    return Some(PartnerMove { seat: view.you, act: Act::Says { by, says } });
                }
                // A moment that is not ahead would make the table spin.
                Thought::WaitUntil(at) => {
                    player.think_at = Some(at.max(now.plus(Micros::from_ms(1))));
                }
                Thought::Rest => player.think_at = None,
            }
        }
        None
    }

    /// The table refused a move: that brain pauses.
    pub fn refused(&mut self, seat: SeatIndex, now: Micros) {
        if let Some(Some(player)) = self.players.get_mut(usize::from(seat.0)) {
            player.think_at = Some(now.plus(PARTNER_REFUSED_PAUSE));
        }
    }
}
