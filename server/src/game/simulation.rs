//! Whole games in simulated time: the real rules, with practice partners' brains in every seat.
//! Round lengths, the defaults that follow from them, and the properties of the rules are all
//! read off here. Pure: one seed gives one game for ever.

use super::{By, Command, Entry, Event, LinkBounds, Rules, SeatPlan, Seed, Table};
use crate::game::rules::GameDeck;
use handround_protocol::id::{GroupIndex, PupilIndex, SeatIndex};
use handround_protocol::message::SeatSays;
use handround_protocol::partner::{Partner, Temper, Thought};
use handround_protocol::picture::{GARDEN_HELPERS, THINGS};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, SeatKind};
use rand_chacha::ChaCha20Rng;
use rand_core::{RngCore, SeedableRng};

/// Commands of one game at the most; a game of fluent players needs a few thousand.
const COMMANDS_MAX: usize = 400_000;

/// A table whose seats are all played by brains.
pub struct Simulation {
    /// The table.
    pub table: Table,
    /// Everything that happened, oldest first.
    pub journal: Vec<Entry>,
    /// Simulated time.
    pub now: Micros,
    /// Moves that were refused.
    pub refused: usize,
    brains: Vec<Partner>,
    rules: Rules,
    deck: GameDeck,
    seeds: ChaCha20Rng,
    seen: Vec<Option<Vec<GroupIndex>>>,
}

impl Simulation {
    /// A table with one brain a seat. `children` says whether they sit there as pupils with a
    /// device, or as practice partners.
    ///
    /// # Errors
    /// What the rules refuse: seat count, deck size, settings out of range.
    pub fn new(
        tempers: &[Temper],
        children: bool,
        rules: Rules,
        deck: GameDeck,
        seed: u64,
    ) -> Result<Simulation, Refusal> {
        let mut seeds = ChaCha20Rng::seed_from_u64(seed);
        let plans = (0_u8..).zip(tempers).map(|(index, _)| plan(index, children)).collect();
        let seated = Table::seat(plans)?;
        let brains = tempers.iter().map(|temper| Partner::new(*temper, seeds.next_u64())).collect();
        let mut simulation = Simulation {
            table: Table::empty(),
            journal: Vec::new(),
            now: Micros::from_s(1_000_000),
            refused: 0,
            brains,
            rules,
            deck,
            seeds,
            seen: vec![None; tempers.len()],
        };
        simulation.record(seated);
        if children {
            for index in 0..tempers.len() {
                simulation.tell(&Command::LinkUp { seat: seat(index) })?;
            }
        }
        simulation.start()?;
        Ok(simulation)
    }

    /// From now on a seat's brain takes the deck's cards for these groups: a child that confuses
    /// two of them sees one group where there are two. The rules stay as they are.
    pub fn sees(&mut self, seat: SeatIndex, groups: Vec<GroupIndex>) {
        if let Some(seen) = self.seen.get_mut(usize::from(seat.0)) {
            *seen = Some(groups);
        }
    }

    /// Begins a game, or a rematch.
    ///
    /// # Errors
    /// What the rules refuse.
    pub fn start(&mut self) -> Result<(), Refusal> {
        let start = Command::Start { rules: self.rules.clone(), deck: self.deck.clone() };
        self.tell(&start)
    }

    /// Hands a command to the table and applies what follows from it.
    ///
    /// # Errors
    /// The table's friendly no.
    pub fn tell(&mut self, command: &Command) -> Result<(), Refusal> {
        let mut seed = Seed([0; 32]);
        self.seeds.fill_bytes(&mut seed.0);
        for event in self.table.decide(command, self.now, seed)? {
            self.record(event);
        }
        Ok(())
    }

    fn record(&mut self, event: Event) {
        let entry = Entry { at: self.now, event };
        self.table.apply(&entry);
        // Without a network, a cue is sent the moment it is made.
        let cues = match &entry.event {
            Event::CuesMade { cues } => cues.clone(),
            _ => Vec::new(),
        };
        self.journal.push(entry);
        for (seat, _) in cues {
            self.record(Event::CueSent { seat, sent: self.now, link: LinkBounds::NONE });
        }
    }

    /// Lets every brain say what it wants, then lets time pass to the next thing that is due.
    /// False once nothing will ever happen by itself.
    pub fn step(&mut self) -> bool {
        let mut wake = self.table.wake_at();
        for index in 0..self.brains.len() {
            let Some(view) = self.table.seat_view(seat(index)) else { continue };
            let groups = self.seen[index].as_ref().unwrap_or(&self.deck.groups);
            match self.brains[index].think(&view, groups, self.now) {
                Thought::Say(says) => {
                    self.say(seat(index), says);
                    return true;
                }
                Thought::WaitUntil(at) => wake = Some(wake.map_or(at, |wake| wake.min(at))),
                Thought::Rest => {}
            }
        }
        let Some(wake) = wake else { return false };
        self.now = self.now.max(wake);
        if self.table.wake_at().is_some_and(|at| at <= self.now)
            && self.tell(&Command::Tick).is_err()
        {
            self.refused += 1;
        }
        true
    }

    /// One seat says something at this moment.
    pub fn say(&mut self, seat: SeatIndex, says: SeatSays) {
        let by = if self.table.stand_in(seat) {
            By::StandIn
        } else {
            self.table.seats()[usize::from(seat.0)].by
        };
        let command = Command::Seat { seat, by, says, arrived: self.now, link: LinkBounds::NONE };
        if self.tell(&command).is_err() {
            self.refused += 1;
        }
    }

    /// Plays until the game is over. False if it did not end within the bound of commands.
    pub fn play_game(&mut self) -> bool {
        self.play_until(|table| table.phase() == Phase::GameOver)
    }

    /// Plays until something holds. False if it did not within the bound of commands.
    pub fn play_until(&mut self, holds: impl Fn(&Table) -> bool) -> bool {
        for _ in 0..COMMANDS_MAX {
            if holds(&self.table) {
                return true;
            }
            if !self.step() {
                return holds(&self.table);
            }
        }
        false
    }
}

fn seat(index: usize) -> SeatIndex {
    SeatIndex(u8::try_from(index).unwrap_or(u8::MAX))
}

fn plan(index: u8, child: bool) -> SeatPlan {
    let place = usize::from(index);
    if child {
        SeatPlan {
            name: format!("Pupil {index}"),
            picture: THINGS[place % THINGS.len()],
            kind: SeatKind::Pupil,
            pupil: Some(PupilIndex(index.into())),
            by: By::Child,
        }
    } else {
        SeatPlan {
            name: format!("Helper {index}"),
            picture: GARDEN_HELPERS[place % GARDEN_HELPERS.len()],
            kind: SeatKind::Partner,
            pupil: None,
            by: By::Partner,
        }
    }
}
