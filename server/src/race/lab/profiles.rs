//! The tables that the lab seats: links, devices, reactions, and what is asked of the ruling there.

use super::network::Way;
use crate::race::measure::{CREDIT, CreditRule};
use crate::race::ruling::{HOLD, HoldRule};
use handround_protocol::time::Micros;

/// One frame at 60 a second.
const FRAME_US: f64 = 1_000_000.0 / 60.0;
/// The clock step of a page that no isolation has sharpened: Chromium's 100 us (from memory).
const CLOCK_STEP: Micros = Micros(100);

/// How far a seat's share of last places may lie from an equal one.
pub const TARGET_SHARE: f64 = 0.01;

/// What a device does with the truth; 200 ms ahead of it unless a row says otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Device {
    /// Says what it saw.
    Honest,
    /// Always claims 100 ms.
    Claims100,
    /// Claims 200 ms less.
    ClaimsLess,
    /// Answers every ping 200 ms late, and claims 200 ms less.
    PongsLate,
    /// Answers the pings of a race 200 ms late, all others at once, and claims 200 ms less.
    RacePongsLate,
    /// Answers no ping of a race before its tap, and claims 200 ms less.
    RaceSilent,
    /// Says 200 ms late that the cue was shown, and claims that it was.
    ShownLate,
    /// Sends a grab of an earlier race first: refused, without effect; then plays on.
    Replays,
    /// Grabs without a nonce before the cue can have come.
    BeforeCue,
}

/// One seat.
#[derive(Clone, Copy, Debug)]
pub struct Seat {
    /// To the device.
    pub down: Way,
    /// To the server.
    pub up: Way,
    /// The kernel's round trip is known.
    pub direct: bool,
    /// Its device.
    pub device: Device,
    /// By how much a dishonest claim is ahead of the truth.
    pub ahead_us: f64,
    /// By how much a device that delays its answers delays them.
    pub late_us: f64,
    /// Share of the time in which its program stands still, kernel and all else going on, for 600 ms each.
    pub freezes_share: f64,
    /// Between two frames of its screen; 0 for a program that shows a cue as soon as it is read.
    pub frame_us: f64,
    /// What display and touch screen add that nobody can see.
    pub glass_us: f64,
    /// Just woken in every race: the longest that its radio still sleeps.
    pub wakes_us: f64,
    /// Share of races in which the link goes within a second from the cue.
    pub drops_share: f64,
    /// Where the profile has spikes on cues, this seat's meets one in every race.
    pub cue_spiked: bool,
}

/// What a row is measured against.
#[derive(Clone, Copy, Debug, Default)]
pub struct Target {
    /// Share of pairs in true order, at least.
    pub pairs: Option<f64>,
    /// Share of races whose loser is truly the slowest, at least.
    pub loser: Option<f64>,
    /// Shares of last places lie so near an equal one.
    pub share: Option<f64>,
    /// A dishonest seat is spared no more of last places than this.
    pub spared: Option<f64>,
    /// The hold is no longer than the greatest plausible round trip and 50 ms in 99 of 100 races.
    pub hold: bool,
}

/// One row of the table.
#[derive(Clone, Debug)]
pub struct Profile {
    /// One word or a few, for `--only`.
    pub name: String,
    /// For people.
    pub about: String,
    /// In the order of play.
    pub seats: Vec<Seat>,
    /// Mean and spread of the true reaction, normal.
    pub reaction_ms: (f64, f64),
    /// True reactions that were recorded; where there are some, they are drawn instead.
    pub reactions_us: Option<&'static [f64]>,
    /// The step of the devices' clocks.
    pub clock_step: Micros,
    /// Who begins every race; drawn where nobody is named.
    pub first: Option<usize>,
    /// A ping rides behind every cue.
    pub own_ping: bool,
    /// Pings follow each other every 50 ms while a race is open.
    pub race_pings: bool,
    /// Cues of the seats that say so meet a spike in every race.
    pub cue_spiked: bool,
    /// The final of two, with two fours and no cue.
    pub two_fours: bool,
    /// The offset between the clocks is known.
    pub clock_known: bool,
    /// The seat whose link breaks or wakes; shares are judged on the others.
    pub odd: Option<usize>,
    /// The rule of credit.
    pub credit: CreditRule,
    /// The rule of the hold.
    pub hold: HoldRule,
    /// What is asked.
    pub target: Target,
    /// Why the row cannot do better, where it misses.
    pub cause: &'static str,
}

/// Adults' reactions, as the issue assumes them.
pub const ADULTS: (f64, f64) = (420.0, 90.0);
/// Children-like ones, an assumption: nothing was found on ages 5 to 8.
pub const CHILDREN: (f64, f64) = (700.0, 200.0);

const STEADY: Target = Target {
    pairs: Some(0.998),
    loser: Some(0.997),
    share: Some(TARGET_SHARE),
    spared: None,
    hold: true,
};
const WIRELESS: Target = Target { pairs: Some(0.993), loser: Some(0.985), ..STEADY };

fn seat(down: Way, up: Way) -> Seat {
    Seat {
        down,
        up,
        direct: true,
        device: Device::Honest,
        ahead_us: 200_000.0,
        late_us: 200_000.0,
        freezes_share: 0.0,
        frame_us: FRAME_US,
        glass_us: 0.0,
        wakes_us: 0.0,
        drops_share: 0.0,
        cue_spiked: false,
    }
}

fn steady(trips_ms: &[f64]) -> Vec<Seat> {
    trips_ms.iter().map(|trip| seat(Way::steady(trip / 2.0), Way::steady(trip / 2.0))).collect()
}

fn wireless(trips_ms: &[f64]) -> Vec<Seat> {
    trips_ms.iter().map(|trip| seat(Way::wireless(trip / 2.0), Way::wireless(trip / 2.0))).collect()
}

fn profile(name: &str, about: &str, seats: Vec<Seat>, target: Target) -> Profile {
    Profile {
        name: name.to_owned(),
        about: about.to_owned(),
        seats,
        reaction_ms: ADULTS,
        reactions_us: None,
        clock_step: CLOCK_STEP,
        first: None,
        own_ping: true,
        race_pings: true,
        cue_spiked: false,
        two_fours: false,
        clock_known: true,
        odd: None,
        credit: CREDIT,
        hold: HOLD,
        target,
        cause: "",
    }
}

/// A table as it was recorded: what links and children did there is drawn again, one independently of
/// the other. `links_us` holds each seat's times down and up; seat `first` begins every race. A
/// program's devices have no frames. The samples stay in memory for the life of the program.
pub fn replica(
    links_us: &[(Vec<f64>, Vec<f64>)],
    reactions_us: &[f64],
    clock_step: Micros,
    first: usize,
) -> Profile {
    let keep = |samples: &[f64]| &*Vec::leak(samples.to_vec());
    let seats = links_us.iter().map(|(down, up)| Seat {
        direct: false,
        frame_us: 0.0,
        ..seat(Way::recorded(keep(down)), Way::recorded(keep(up)))
    });
    let about = "links and reactions as they were recorded";
    Profile {
        reactions_us: Some(keep(reactions_us)),
        clock_step,
        first: Some(first),
        ..profile("replica", about, seats.collect(), Target::default())
    }
}

/// Four trips, from a cable to a far phone.
const MIXED: [f64; 4] = [10.0, 60.0, 150.0, 300.0];

fn honest() -> Vec<Profile> {
    let mut rows = vec![
        profile("equal", "all at 40 ms", steady(&[40.0; 4]), STEADY),
        profile("mixed", "10, 60, 150, 300 ms", steady(&MIXED), STEADY),
        profile("far", "20 ms, one seat at 400 ms", steady(&[20.0, 20.0, 20.0, 400.0]), STEADY),
        profile("wifi", "Wi-Fi-like, 10, 60, 150, 300 ms", wireless(&MIXED), WIRELESS),
        profile("wifi-near", "Wi-Fi-like, all at 60 ms", wireless(&[60.0; 4]), WIRELESS),
    ];
    let stalling = MIXED.map(|trip| seat(Way::stalling(trip / 2.0), Way::stalling(trip / 2.0)));
    rows.push(profile(
        "stalls",
        "Wi-Fi-like, 10, 60, 150, 300 ms, spikes by time, not by message",
        stalling.to_vec(),
        WIRELESS,
    ));
    let ways = [(10.0, 90.0), (90.0, 10.0), (50.0, 50.0), (30.0, 70.0)];
    let ways = ways.map(|(down, up)| seat(Way::steady(down), Way::steady(up)));
    rows.push(profile(
        "uneven",
        "100 ms, down and up 10/90, 90/10, 50/50, 30/70",
        ways.to_vec(),
        STEADY,
    ));
    let mut children: Vec<Profile> = rows.clone();
    for row in &mut children {
        row.name.push_str("-children");
        row.about.push_str("; children-like reactions");
        row.reaction_ms = CHILDREN;
    }
    rows.extend(children);
    let others = Target { share: Some(TARGET_SHARE), hold: false, ..STEADY };
    let mut drops = profile(
        "drops",
        "60 ms, seat 4's link goes in half of its races",
        steady(&[60.0; 4]),
        others,
    );
    drops.seats[3].drops_share = 0.5;
    drops.odd = Some(3);
    let mut wakes = profile(
        "wakes",
        "60 ms, seat 4 just woke, its radio asleep up to 150 ms",
        steady(&[60.0; 4]),
        others,
    );
    wakes.seats[3].wakes_us = 150_000.0;
    wakes.odd = Some(3);
    // Display and touch screen add 50 to 200 ms (Deber et al. 2016), which no clock of ours sees.
    let mut glass = profile(
        "glass",
        "60 ms, seat 2's screen adds 100 ms that cannot be seen",
        steady(&[60.0; 4]),
        Target::default(),
    );
    glass.seats[1].glass_us = 100_000.0;
    rows.extend([drops, wakes, glass]);
    rows
}

/// What single pieces of evidence are worth.
fn pieces() -> Vec<Profile> {
    let spiked = || {
        let mut row = profile(
            "cue-spike",
            "Wi-Fi-like at 60 ms, seat 2's cues all 300 ms late",
            wireless(&[60.0; 4]),
            WIRELESS,
        );
        row.cue_spiked = true;
        row.seats[1].cue_spiked = true;
        row
    };
    let without = |mut row: Profile, name: &str, about: &str| {
        row.name = name.to_owned();
        row.about.push_str(about);
        row.target = Target::default();
        row
    };
    let blind = Profile { own_ping: false, ..spiked() };
    let wifi = || profile("", "Wi-Fi-like, 10, 60, 150, 300 ms", wireless(&MIXED), WIRELESS);
    let plain = Profile { race_pings: false, ..wifi() };
    let poor = Profile { race_pings: false, own_ping: false, ..wifi() };
    let frozen = |direct: bool| {
        let mut row = profile(
            "",
            "60 ms, all programs stand still for 1 % of the time",
            steady(&[60.0; 4]),
            STEADY,
        );
        for seat in &mut row.seats {
            (seat.freezes_share, seat.direct) = (0.01, direct);
        }
        row
    };
    let mut proxied =
        Profile { race_pings: false, ..profile("", "10, 60, 150, 300 ms", steady(&MIXED), STEADY) };
    proxied.seats.iter_mut().for_each(|seat| seat.direct = false);
    vec![
        spiked(),
        without(blind, "cue-spike-blind", ", no ping behind the cue"),
        without(frozen(true), "freezes", ", direct"),
        without(frozen(false), "freezes-proxy", ", through a proxy"),
        without(plain, "wifi-plain", ", no pings in the race"),
        without(poor, "wifi-poor", ", no pings in the race, none behind the cue"),
        without(proxied, "mixed-plain", ", through a proxy, no pings in the race"),
    ]
}

fn two_fours() -> Vec<Profile> {
    let asked = Target { share: Some(TARGET_SHARE), ..Target::default() };
    let final_of_two = |name: &str, about: &str, seats: Vec<Seat>, clock_known: bool| Profile {
        two_fours: true,
        clock_known,
        reaction_ms: CHILDREN,
        ..profile(name, about, seats, asked)
    };
    let uneven = || {
        vec![seat(Way::steady(10.0), Way::steady(90.0)), seat(Way::steady(50.0), Way::steady(50.0))]
    };
    vec![
        final_of_two("two-fours", "final of two, 10 and 300 ms", steady(&[10.0, 300.0]), true),
        final_of_two(
            "two-fours-blind",
            "final of two, 10 and 300 ms, no clock offset",
            steady(&[10.0, 300.0]),
            false,
        ),
        final_of_two(
            "two-fours-wifi",
            "final of two, Wi-Fi-like, 10 and 300 ms",
            wireless(&[10.0, 300.0]),
            true,
        ),
        final_of_two(
            "two-fours-uneven",
            "final of two, down and up 10/90 and 50/50",
            uneven(),
            true,
        ),
    ]
}

/// Seat 2 is dishonest, where the link is steady and direct, Wi-Fi-like, or behind a proxy.
fn dishonest() -> Vec<Profile> {
    let kinds = [
        (Device::Claims100, "claims-100", "always claims 100 ms"),
        (Device::ClaimsLess, "claims-less", "claims 200 ms less"),
        (Device::PongsLate, "pongs-late", "answers pings 200 ms late, claims 200 ms less"),
        (Device::ShownLate, "shown-late", "says 200 ms late that the cue was shown"),
        (Device::Replays, "replays", "sends an old nonce first"),
        (Device::BeforeCue, "before-cue", "grabs before the cue"),
    ];
    let with = |mut row: Profile, device: Device| {
        row.seats[1].device = device;
        row
    };
    let mut rows = Vec::new();
    let spared = |most: f64| Target { spared: Some(most), ..Target::default() };
    for (device, name, about) in kinds {
        let about = format!("steady, direct, 60 ms; seat 2 {about}");
        rows.push(with(profile(name, &about, steady(&[60.0; 4]), spared(0.01)), device));
    }
    for (device, name, about) in [kinds[1], kinds[2], kinds[3]] {
        let asked = if device == Device::ClaimsLess { spared(0.07) } else { Target::default() };
        let row = profile(
            &format!("{name}-wifi"),
            &format!("Wi-Fi-like, 60 ms; seat 2 {about}"),
            wireless(&[60.0; 4]),
            asked,
        );
        rows.push(with(row, device));
    }
    // So little that frames could explain it.
    for late_ms in [5.0, 10.0, 15.0] {
        let about =
            format!("steady, direct, 60 ms; seat 2 says {late_ms} ms late that the cue was shown");
        let name = format!("shown-late-{late_ms}");
        let mut little = profile(&name, &about, steady(&[60.0; 4]), spared(0.01));
        little.seats[1].late_us = late_ms * 1e3;
        rows.push(with(little, Device::ShownLate));
    }
    let about =
        "steady, direct, 60 ms; seat 2 answers a race's pings 200 ms late, claims 200 ms less";
    let held_back = profile("race-pongs-late", about, steady(&[60.0; 4]), spared(0.01));
    rows.push(with(held_back, Device::RacePongsLate));
    for late_ms in [30.0, 60.0, 100.0] {
        let about = format!(
            "steady, direct, 60 ms; seat 2 answers a race's pings {late_ms} ms late, claims 200 ms less"
        );
        let name = format!("race-pongs-late-{late_ms}");
        let mut less = profile(&name, &about, steady(&[60.0; 4]), spared(0.01));
        less.seats[1].late_us = late_ms * 1e3;
        rows.push(with(less, Device::RacePongsLate));
    }
    let about =
        "steady, direct, 60 ms; seat 2 answers a race's pings after its tap, claims 200 ms less";
    let silent = profile("race-silent", about, steady(&[60.0; 4]), spared(0.01));
    rows.push(with(silent, Device::RaceSilent));
    let about = "Wi-Fi-like, 60 ms; seat 2 answers a race's pings 200 ms late, claims 200 ms less";
    let held_back = profile("race-pongs-late-wifi", about, wireless(&[60.0; 4]), Target::default());
    rows.push(with(held_back, Device::RacePongsLate));
    let mut held_back = profile(
        "race-pongs-late-proxy",
        "steady, through a proxy, 60 ms; seat 2 answers a race's pings 200 ms late, claims 200 ms less",
        steady(&[60.0; 4]),
        Target::default(),
    );
    held_back.seats.iter_mut().for_each(|seat| seat.direct = false);
    rows.push(with(held_back, Device::RacePongsLate));
    // Behind a proxy late answers cannot be told from a slow link: a device gains what it delays. The
    // cap limits only what it claims beyond that.
    let mut proxied = profile(
        "pongs-late-proxy",
        "steady, through a proxy, 60 ms; seat 2 answers pings 200 ms late, claims 200 ms less",
        steady(&[60.0; 4]),
        Target::default(),
    );
    proxied.seats.iter_mut().for_each(|seat| seat.direct = false);
    for (name, late_ms, ahead_ms) in
        [("proxy-20", 20.0, 20.0), ("proxy-50", 50.0, 50.0), ("proxy-50-200", 50.0, 200.0)]
    {
        let mut row = proxied.clone();
        row.name = name.to_owned();
        row.about = format!(
            "steady, through a proxy, 60 ms; seat 2 answers pings {late_ms} ms late, claims {ahead_ms} ms less"
        );
        row.seats[1].late_us = late_ms * 1e3;
        row.seats[1].ahead_us = ahead_ms * 1e3;
        rows.push(with(row, Device::PongsLate));
    }
    rows.push(with(proxied, Device::PongsLate));
    rows
}

/// Why a row of this name cannot do better, where it misses something.
fn cause(name: &str) -> &'static str {
    match name {
        "shown-late-5" | "shown-late-10" | "shown-late-15" => {
            "only the device knows at which of two frames its page showed the cue; it gains what the \
             later one is behind the sooner"
        }
        "two-fours-uneven" => {
            "without a cue only the clocks' offset places a tap, and no exchange of messages tells how \
             a round trip divides into down and up (RFC 5905: off by half their difference)"
        }
        "race-pongs-late-30" => {
            "a kernel may hold an acknowledgement back for as long (RFC 1122, 4.2.3.2), so that it rides on \
             the late answer and shows no more than that"
        }
        "race-pongs-late-60" | "race-pongs-late-100" => {
            "answers that are less than three pings late leave too few acknowledgements before the tap to \
             show more than how long the link can have held it up, to within a ping's gap"
        }
        "drops" => "what came of seat 4 before its link went is ruled, the rest is void",
        _ => "",
    }
}

/// Every row of the table.
pub fn all() -> Vec<Profile> {
    let mut rows = [honest(), pieces(), two_fours(), dishonest()].concat();
    rows.iter_mut().for_each(|row| row.cause = cause(&row.name));
    rows
}

/// The row of this name.
pub fn by_name(name: &str) -> Option<Profile> {
    all().into_iter().find(|row| row.name == name)
}
