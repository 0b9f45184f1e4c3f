//! What really happens in one race: cues go down, frames show them, children react, grabs come up,
//! pings and their answers among them. Truth stands beside what the server gets to see.

use super::acknowledging::{Segment, out_of_order, segments};
use super::network::{Order, Queue, Stall, Way, one_of, unit};
use super::profiles::{Device, Profile, Seat};
use crate::game::LinkBounds;
use crate::race::acknowledged::{LOOK_GAP, Look};
use crate::race::clock::{Exchange, Filter};
use crate::race::link::Meter;
use crate::race::measure::RACE_PING_GAP;
use crate::race::unfold::Answer;
use crate::race::{Cue, Kind, Observation, Record, Runner};
use handround_protocol::id::{Nonce, SeatIndex};
use handround_protocol::time::Micros;
use rand_chacha::ChaCha8Rng;
use rand_core::RngCore;
use rand_distr::{Distribution, Normal};
use std::collections::VecDeque;

/// Between ordinary pings: `limits::web::PING_GAP`.
const PING_GAP_US: f64 = 2_000_000.0;
/// Ordinary pings between two races: 12 s of play.
const PINGS_BETWEEN: usize = 6;
/// Pings of a connection before its first race: the meter is full.
const PINGS_BEFORE: usize = 64;
/// How long Linux keeps the least round trip: `tcp_min_rtt_wlen`, 300 s (from memory).
const KERNEL_WINDOW_US: f64 = 300_000_000.0;
/// How long a program stands still, where one does.
const FREEZE_US: f64 = 600_000.0;
/// Nobody reacts quicker; draws below are drawn again.
const REACTION_LEAST_US: f64 = 150_000.0;

/// One device and what the server has learnt of its link.
struct Line {
    seat: Seat,
    meter: Meter,
    clock: Filter,
    /// When, and the kernel's round trip, of the last five minutes.
    kernel: VecDeque<(f64, f64)>,
    pings: u64,
    /// Down and up.
    stalls: [Stall; 2],
    /// The program standing still.
    freeze: Stall,
    /// For what its program and its kernel do, so that links and reactions are drawn as if they did not.
    freeze_dice: ChaCha8Rng,
    kernel_dice: ChaCha8Rng,
}

/// A table at which races happen one after the other.
pub struct World {
    profile: Profile,
    lines: Vec<Line>,
    reaction: Normal<f64>,
    dice: ChaCha8Rng,
    now: f64,
}

/// One race as it was and as it came in.
pub struct Happened {
    /// Everything that would ever have come in.
    pub record: Record,
    /// Answers to the pings of the race.
    pub answers: Vec<Answer>,
    /// The true reaction of each seat in microseconds; `None` for the seat that began. In the final
    /// of two, the true moment of the tap.
    pub truth: Vec<Option<f64>>,
    /// Whether a tap ever reached the server.
    pub dropped: Vec<bool>,
}

fn whole(time: f64) -> Micros {
    Micros(time.max(0.0) as u64)
}

/// A device's clock shows whole steps.
fn stepped(time: f64, step: Micros) -> Micros {
    Micros(time as u64 / step.0 * step.0)
}

impl World {
    /// A table of this profile, with all links measured.
    pub fn new(profile: &Profile, dice: ChaCha8Rng) -> World {
        let own_dice = |number: usize| {
            let mut own = dice.clone();
            own.set_stream(dice.get_stream() + ((number as u64 + 1) << 32));
            own
        };
        let lines = profile.seats.iter().enumerate().map(|(place, seat)| Line {
            seat: *seat,
            meter: Meter::new(profile.clock_step),
            clock: Filter::default(),
            kernel: VecDeque::new(),
            pings: 0,
            stalls: Default::default(),
            freeze: Stall::default(),
            freeze_dice: own_dice(2 * place),
            kernel_dice: own_dice(2 * place + 1),
        });
        let (mean_ms, spread_ms) = profile.reaction_ms;
        // A spread is never negative in a profile, which is all that `Normal` refuses.
        let reaction =
            Normal::new(mean_ms * 1e3, spread_ms * 1e3).unwrap_or_else(|_| unreachable!());
        let lines = lines.collect();
        let mut world = World { lines, profile: profile.clone(), reaction, dice, now: 1e12 };
        world.play(PINGS_BEFORE);
        world
    }

    /// Ordinary play: pings, and now and then the clock is asked for.
    fn play(&mut self, pings: usize) {
        for _ in 0..pings {
            for line in &mut self.lines {
                line.ping(self.now, &mut self.dice);
            }
            self.now += PING_GAP_US;
        }
    }

    fn reaction(&mut self) -> f64 {
        if let Some(recorded_us) = self.profile.reactions_us {
            return one_of(recorded_us, &mut self.dice);
        }
        loop {
            let reaction = self.reaction.sample(&mut self.dice);
            if reaction >= REACTION_LEAST_US {
                return reaction;
            }
        }
    }

    /// The next race.
    pub fn race(&mut self) -> Happened {
        self.play(PINGS_BETWEEN);
        if self.profile.two_fours { self.two_fours() } else { self.cued() }
    }

    /// Ranks: a draw for each seat, as at the table.
    fn ranks(&mut self) -> Vec<u8> {
        let mut ranks: Vec<u8> = (0..self.lines.len() as u8).collect();
        for end in (1..ranks.len()).rev() {
            ranks.swap(end, (self.dice.next_u64() % (end as u64 + 1)) as usize);
        }
        ranks
    }

    fn cued(&mut self) -> Happened {
        let count = self.lines.len();
        let drawn = (self.dice.next_u64() % count as u64) as usize;
        let (first, started) = (self.profile.first.unwrap_or(drawn), self.now);
        let ranks = self.ranks();
        let mut happened = Happened {
            record: Record {
                tokens: count as u8 - 1,
                started: whole(started),
                runners: Vec::new(),
            },
            answers: Vec::new(),
            truth: vec![None; count],
            dropped: vec![false; count],
        };
        let mut latest = started;
        for (index, rank) in ranks.into_iter().enumerate() {
            let seat = SeatIndex(index as u8);
            let mut runner = Runner { seat, rank, cue: None, grab: None, voids_left: 2 };
            if index == first {
                let link = LinkBounds::NONE;
                let (tap, arrived) = (Micros(0), whole(started));
                runner.grab = Some(Observation::plain(Kind::OwnFour, tap, arrived, link));
            } else {
                let reaction = self.reaction();
                happened.truth[index] = Some(reaction);
                let line = &mut self.lines[index];
                let ran = line.run(seat, started, reaction, &self.profile, &mut self.dice);
                runner.cue = Some(ran.cue);
                runner.grab = ran.grab;
                happened.dropped[index] = ran.grab.is_none();
                happened.answers.extend(ran.answers);
                latest = latest.max(ran.ended);
            }
            happened.record.runners.push(runner);
        }
        self.now = latest;
        happened
    }

    /// The final of two: both have four alike and tap when they notice; there is no cue.
    fn two_fours(&mut self) -> Happened {
        let ranks = self.ranks();
        let (started, step) = (self.now, self.profile.clock_step);
        let taps: Vec<f64> = (0..2).map(|_| started + self.reaction()).collect();
        let mut runners = Vec::new();
        for (index, line) in self.lines.iter_mut().enumerate() {
            let arrived = taps[index] + line.seat.up.draw(&mut self.dice);
            let offset = line.clock.offset(whole(arrived)).filter(|_| self.profile.clock_known);
            // The device asked, so its offset leads from its clock to the server's.
            let tapped = offset.map(|offset| whole(taps[index] + offset.offset_ns as f64 / 1e3));
            let link = line.meter.bounds(whole(arrived));
            let grab =
                Observation::plain(Kind::OwnFour, stepped(taps[index], step), whole(arrived), link);
            runners.push(Runner {
                seat: SeatIndex(index as u8),
                rank: ranks[index],
                cue: None,
                grab: Some(Observation { tapped, ..grab }),
                voids_left: 2,
            });
        }
        let arrived =
            runners.iter().filter_map(|runner| runner.grab).map(|grab| grab.arrived).min();
        self.now = taps[0].max(taps[1]) + 1e6;
        Happened {
            record: Record { tokens: 1, started: arrived.unwrap_or_default(), runners },
            answers: Vec::new(),
            truth: taps.into_iter().map(Some).collect(),
            dropped: vec![false; 2],
        }
    }
}

/// What one seat brings into a race.
struct Ran {
    cue: Cue,
    grab: Option<Observation>,
    answers: Vec<Answer>,
    ended: f64,
}

/// What happens on one connection, in order of time at the server.
enum Step {
    Sent(Nonce, bool),
    Read(Nonce),
    Look,
    Grab,
}

impl Line {
    fn nonce(&mut self) -> Nonce {
        self.pings += 1;
        Nonce((u128::from(self.pings)).to_be_bytes())
    }

    fn late_us(&self) -> f64 {
        if matches!(self.seat.device, Device::PongsLate) { self.seat.late_us } else { 0.0 }
    }

    /// When a ping of a race that came then is answered.
    fn answers_at(&self, came: f64, cues_own: bool, tap: f64) -> f64 {
        match self.seat.device {
            Device::RacePongsLate if !cues_own => came + self.seat.late_us,
            Device::RaceSilent if !cues_own => came.max(tap),
            _ => came + self.late_us(),
        }
    }

    /// When a program that stands still now and then does what is due then.
    fn awake(&mut self, at: f64) -> f64 {
        if self.seat.freezes_share == 0.0 {
            return at;
        }
        let still = Way {
            spike_share: self.seat.freezes_share,
            spike_us: FREEZE_US,
            by_time: true,
            ..Way::exact(0.0)
        };
        at + self.freeze.wait(&still, at, &mut self.freeze_dice)
    }

    /// An ordinary ping, answered before the next one, and an exchange of clocks beside it.
    fn ping(&mut self, now: f64, dice: &mut ChaCha8Rng) {
        let nonce = self.nonce();
        let (mut down, mut up) = (self.seat.down.draw(dice), self.seat.up.draw(dice));
        down += self.stalls[0].wait(&self.seat.down, now, dice);
        up += self.stalls[1].wait(&self.seat.up, now + down, dice);
        self.meter.ping_sent(nonce, whole(now));
        self.meter.pong(nonce, whole(now + down + self.late_us() + up));
        self.kernel_says(now, down + up);
        let (up, down) = (self.seat.up.draw(dice), self.seat.down.draw(dice));
        let read = (now + up) as i64;
        let asked = now as i64;
        let exchange =
            Exchange { asked, received: read, answered: read, heard: (now + up + down) as i64 };
        self.clock.learn(&exchange, whole(now + up + down));
    }

    fn kernel_says(&mut self, now: f64, trip: f64) {
        if !self.seat.direct {
            return;
        }
        self.kernel.retain(|(at, other)| now - at < KERNEL_WINDOW_US && *other < trip);
        self.kernel.push_back((now, trip));
        self.meter.kernel_says(whole(self.kernel.front().map_or(trip, |(_, least)| *least)));
    }

    /// When acknowledgements come to the server's kernel, and of how many pings.
    fn acknowledged(
        &mut self,
        received: &[f64],
        left: &[f64],
        came_to_kernel: &[f64],
        gone_at: f64,
    ) -> Vec<(f64, u64)> {
        if !self.seat.direct {
            return Vec::new();
        }
        let segments = segments(received, left, &mut self.kernel_dice);
        let Line { seat, stalls, kernel_dice, .. } = self;
        // One of the kernel's own keeps its place behind the messages, but holds none of them up.
        let mut before = Queue::default();
        let sent = segments.into_iter().filter(|segment| segment.sent <= gone_at);
        sent.map(|Segment { sent, pings, carries }| {
            let came = match carries {
                Some(message) => {
                    let came = came_to_kernel[message];
                    let overtaken = came_to_kernel[message..].iter().any(|later| *later < came);
                    before.arrival(sent, (came - sent, overtaken))
                }
                None => {
                    let (drawn, spiked) = seat.up.draw_spike(kernel_dice);
                    let wait = stalls[1].wait(&seat.up, sent, kernel_dice);
                    before.clone().arrival(sent, (drawn + wait, spiked))
                }
            };
            (came, pings as u64)
        })
        .collect()
    }

    /// From the cue to the grab.
    fn run(
        &mut self,
        seat: SeatIndex,
        sent: f64,
        reaction: f64,
        profile: &Profile,
        dice: &mut ChaCha8Rng,
    ) -> Ran {
        let Seat { down, up, .. } = self.seat;
        let step = profile.clock_step;
        let (wakes, wakes_us) = (self.seat.wakes_us > 0.0, self.seat.wakes_us);
        if wakes {
            // A page that woke: what was measured is forgotten, and the radio sleeps at first.
            self.meter.reset();
            self.ping(sent - 500_000.0, dice);
            self.ping(sent - 250_000.0, dice);
        }
        let slow = |way: &Way, stall: &mut Stall, dice: &mut ChaCha8Rng, at: f64| {
            let asleep = wakes && at < sent + 200_000.0;
            let waking = if asleep { wakes_us * unit(dice) } else { 0.0 };
            let (drawn, spiked) = way.draw_spike(dice);
            (drawn + waking + stall.wait(way, at, dice), spiked)
        };
        let gone_at = if unit(dice) < self.seat.drops_share {
            sent + unit(dice) * 1e6
        } else {
            f64::INFINITY
        };
        let (mut downwards, mut upwards) = (Order::default(), Order::default());
        let spike = if profile.cue_spiked { self.seat.down.spike_us.max(300_000.0) } else { 0.0 };
        let spike = if self.seat.cue_spiked { spike } else { 0.0 };
        let came = downwards.arrival(sent, slow(&down, &mut self.stalls[0], dice, sent).0 + spike);
        // The change is drawn at the next frame and seen at the one after it.
        let shown = came + self.seat.frame_us * (1.0 + unit(dice));
        let tap = shown + reaction + self.seat.glass_us;
        // What the device sends: (when, what); pings come in and their answers go out in order.
        let mut sends = vec![(shown, None), (tap, None)];
        let mut pings = vec![(sent, self.nonce())];
        let mut last = sent;
        // A server whose clock goes in steps pings at whole ones.
        let gap_us = RACE_PING_GAP.0.next_multiple_of(step.0) as f64;
        while profile.race_pings && last < tap + 150_000.0 && pings.len() < 400 {
            last += gap_us;
            pings.push((last, self.nonce()));
        }
        let mut received = Vec::new();
        for (index, (at, _)) in pings.iter().enumerate() {
            let read = if index == 0 {
                came
            } else {
                downwards.arrival(*at, slow(&down, &mut self.stalls[0], dice, *at).0)
            };
            received.push(read);
            sends.push((self.answers_at(read, index == 0, tap), Some(index)));
        }
        // The acknowledgement may be held back by its device.
        let device = self.seat.device;
        if matches!(device, Device::ShownLate) {
            sends[0].0 += self.seat.late_us;
        }
        let (ack_sent, mut ack, mut arrived) = (sends[0].0, None, None);
        // It wakes with all that waited, in the order in which it came.
        let awake: Vec<f64> = {
            let mut by_time: Vec<usize> = (0..sends.len()).collect();
            by_time.sort_by(|a, b| sends[*a].0.total_cmp(&sends[*b].0));
            let mut awake = vec![0.0; sends.len()];
            for index in by_time {
                awake[index] = self.awake(sends[index].0);
            }
            awake
        };
        sends.iter_mut().zip(awake).for_each(|(send, at)| send.0 = at);
        let mut order: Vec<usize> = (0..sends.len()).collect();
        order.sort_by(|a, b| sends[*a].0.total_cmp(&sends[*b].0));
        let mut steps: Vec<(f64, Step)> = pings
            .iter()
            .enumerate()
            .map(|(index, (at, nonce))| (*at, Step::Sent(*nonce, index == 0)))
            .collect();
        let mut answers = Vec::new();
        let mut pinged = None;
        let mut piece = (f64::NAN, 0.0);
        // When the program's messages leave, and when each comes to the server's kernel, whatever is missing
        // before it.
        let (mut left, mut came_to_kernel) = (Vec::new(), Vec::new());
        let mut queue = Queue::default();
        for index in order {
            let (at, what) = sends[index];
            // A program, which has no frames, sends all that it has to say at one moment in one piece;
            // a browser's page and the answers to pings are written by processes of their own.
            if self.seat.frame_us > 0.0 || piece.0 != at {
                let way = slow(&up, &mut self.stalls[1], dice, at);
                piece = (at, upwards.arrival(at, way.0));
                left.push(at);
                came_to_kernel.push(queue.arrival(at, way));
            }
            let read = piece.1;
            if at > gone_at || (index < 2 && came > gone_at) {
                continue;
            }
            match what {
                Some(ping) => {
                    let (left, nonce) = pings[ping];
                    if ping == 0 {
                        pinged = Some(read);
                    }
                    if ping > 0 {
                        answers.push(Answer { seat, sent: whole(left), read: whole(read) });
                    }
                    steps.push((read, Step::Read(nonce)));
                }
                None if index == 0 => ack = Some(read),
                None => {
                    arrived = Some(read);
                    steps.push((read, Step::Grab));
                }
            }
        }
        let acks = self.acknowledged(&received, &left, &came_to_kernel, gone_at);
        let looks = self.seat.direct && profile.race_pings;
        if looks {
            let until = arrived.unwrap_or(sent);
            let looks = (1..).map(|number| sent + (number * LOOK_GAP.0) as f64);
            steps.extend(looks.take_while(|at| *at < until).map(|at| (at, Step::Look)));
        }
        // What the server's kernel says; bytes are counted in pings, all of them sent in order.
        let look = |written: u64, at: f64| Look {
            written,
            acknowledged: acks
                .iter()
                .filter(|(read, _)| *read <= at)
                .map(|(_, pings)| *pings)
                .max()
                .unwrap_or(0),
            unread: false,
            out_of_order: out_of_order(&came_to_kernel, at),
        };
        let mut written = 0;
        steps.sort_by(|a, b| a.0.total_cmp(&b.0));
        let cue_link = self.meter.bounds(whole(sent));
        let mut grab_link = cue_link;
        for (at, step) in steps {
            match step {
                Step::Sent(nonce, true) => {
                    self.meter.ping_sent(nonce, whole(at));
                    written += 1;
                    self.meter.race_begins(looks.then(|| look(written, at)));
                }
                Step::Sent(nonce, false) => {
                    self.meter.race_ping_sent(nonce, whole(at));
                    written += 1;
                    if looks {
                        self.meter.kernel_looked(look(written, at), whole(at));
                    }
                }
                Step::Look => {
                    if self.meter.overdue(whole(at)) {
                        self.meter.kernel_looked(look(written, at), whole(at));
                    }
                }
                Step::Read(nonce) => {
                    self.meter.pong(nonce, whole(at));
                }
                Step::Grab => {
                    self.meter.kernel_order(looks.then(|| look(written, at)));
                    grab_link = self.meter.bounds(whole(at));
                }
            }
        }
        let claimed_shown = if matches!(device, Device::ShownLate) { ack_sent } else { shown };
        let claimed_tap = match device {
            Device::Claims100 => claimed_shown + 100_000.0,
            Device::ClaimsLess | Device::PongsLate | Device::RacePongsLate | Device::RaceSilent => {
                tap - self.seat.ahead_us
            }
            _ => tap,
        };
        let cue = Cue {
            nonce: Nonce([seat.0; 16]),
            made: whole(sent),
            sent: Some(whole(sent)),
            pinged: pinged.filter(|_| profile.own_ping).map(whole),
            shown_arrived: ack.map(whole),
            shown: ack.map(|_| stepped(claimed_shown, step)),
            link: cue_link,
            answered: None,
        };
        let offset_us = self.clock.offset(whole(sent)).map(|offset| offset.offset_ns as f64 / 1e3);
        let mut grab = arrived.map(|arrived| Observation {
            shown: Some(stepped(claimed_shown, step)),
            tapped: offset_us.map(|offset| whole(claimed_tap + offset)),
            ..Observation::plain(Kind::Cued, stepped(claimed_tap, step), whole(arrived), grab_link)
        });
        if matches!(device, Device::BeforeCue) {
            // Without the nonce, a moment before the cue can have come: an answer to the room.
            let arrived = whole(sent + 1_000.0);
            grab = Some(Observation::plain(Kind::Room, Micros(0), arrived, cue_link));
        }
        let ended = tap.max(ack_sent) + 1e6;
        Ran { cue, grab, answers, ended }
    }
}
