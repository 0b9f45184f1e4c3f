//! A substitute's link: whose code opens which day, what its page shows, and what it may wish. Pure.
//!
//! It shows no more of a table than every child there sees, and who needs somebody. What is left out is
//! left out here, in one place, so that a new field of the board reaches no substitute by itself.

use super::board::{Address, wall_url};
use super::lesson_log::TokenDigest;
use crate::limits::lesson::{SUBSTITUTE_AHEAD_MAX, SUBSTITUTE_DAY_MAX};
use handround_protocol::id::Token;
use handround_protocol::limits::JOIN_ROW_PICTURES;
use handround_protocol::message::BoardSays;
use handround_protocol::picture::Picture;
use handround_protocol::substitute::{
    SubstituteDay, SubstituteSays, SubstituteSeat, SubstituteTable, SubstituteView,
};
use handround_protocol::time::Micros;
use handround_protocol::view::{Attention, BoardTable, BoardView, WallView};
use serde::{Deserialize, Serialize};

/// A link that was given. One at a time: a new one withdraws it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pass {
    /// Of the code in its address.
    pub digest: TokenDigest,
    /// The day on which it opens the lesson.
    pub day: SubstituteDay,
    /// What its page shows of how others come in. Links of before there was such lend the teacher's own and
    /// open nothing any more.
    #[serde(default)]
    pub lends: Option<Lent>,
}

/// Ways in that a substitute's page shows: its own, beside the teacher's, and gone with the link. Whoever
/// had them from that page has nothing in hand once it is withdrawn or its day is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lent {
    /// The row of pictures to tap.
    pub row: [Picture; JOIN_ROW_PICTURES],
    /// The code of the join link.
    pub link: Token,
    /// The wall display's secret.
    pub wall: Token,
}

/// By whose row or link a device came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CameBy {
    /// The lesson's own.
    Own,
    /// That of a substitute's link with this digest.
    Lent(TokenDigest),
}

/// Lent ways in as pages show them.
#[derive(Clone, Debug)]
pub struct LentShown {
    row: Vec<Picture>,
    join: Address,
    wall_url: String,
}

impl Lent {
    /// With the addresses that devices reach.
    pub fn shown(&self, public_url: &str) -> LentShown {
        LentShown {
            row: self.row.to_vec(),
            join: Address::to_join(public_url, self.link),
            wall_url: wall_url(public_url, self.wall),
        }
    }
}

impl LentShown {
    /// The wall display as whoever opened it from a substitute's page sees it.
    pub fn on_wall(&self, wall: WallView) -> WallView {
        WallView {
            row: self.row.clone(),
            join_url: self.join.url.clone(),
            join_qr_svg: self.join.qr_svg.clone(),
            ..wall
        }
    }
}

/// When a link opens nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotNow {
    /// Its day has not begun.
    Early,
    /// Its day is over.
    Late,
}

impl Pass {
    /// Whether its day is now.
    ///
    /// # Errors
    /// It is not; the end of the day is no part of it.
    pub fn is_on(&self, now: Micros) -> Result<(), NotNow> {
        if now < self.day.from {
            return Err(NotNow::Early);
        }
        if now < self.day.until { Ok(()) } else { Err(NotNow::Late) }
    }
}

/// Whether a day can be given: it has not passed, is no longer than a day and not far ahead.
pub fn is_possible(day: SubstituteDay, now: Micros) -> bool {
    let one_day = day.from < day.until && day.until.since(day.from) <= SUBSTITUTE_DAY_MAX;
    one_day && day.until > now && day.until <= now.plus(SUBSTITUTE_AHEAD_MAX)
}

/// What a wish asks of the lesson: each has its equal among the teacher's, and most of hers have none
/// here.
pub fn wish(says: SubstituteSays) -> BoardSays {
    match says {
        SubstituteSays::Start { table } => BoardSays::Start { table },
        SubstituteSays::Freeze { table } => BoardSays::Pause { table },
        SubstituteSays::GoOn { table } => BoardSays::Resume { table },
        SubstituteSays::Bell { table, ring } => BoardSays::Bell { table, ring },
        SubstituteSays::HelpGiven { table, seat } => BoardSays::HelpGiven { table, seat },
        SubstituteSays::HandOver { table, seat, partner } => {
            BoardSays::HandOver { table, seat, partner }
        }
        SubstituteSays::Open { open } => BoardSays::Open { open },
    }
}

/// The page, from the teacher's board; of its ways in the lent ones.
pub fn view(board: &BoardView, lent: &LentShown) -> SubstituteView {
    SubstituteView {
        name: board.name.clone(),
        open: board.open,
        row: lent.row.clone(),
        join_url: lent.join.url.clone(),
        join_qr_svg: lent.join.qr_svg.clone(),
        wall_url: lent.wall_url.clone(),
        plan: board.plan.clone(),
        next_deck: board.next_deck.clone(),
        tables: board.tables.iter().map(table).collect(),
    }
}

fn table(table: &BoardTable) -> SubstituteTable {
    let seats = table.seats.iter().map(|seat| SubstituteSeat {
        here: seat.here,
        stand_in: seat.stand_in,
        care: seat.care,
    });
    // Mistakes are the teacher's to judge, who knows the child.
    let told = |reason: &&Attention| !matches!(reason, Attention::FalseGrabs { .. });
    SubstituteTable {
        table: table.table,
        name: table.name.clone(),
        view: table.view.clone(),
        seats: seats.collect(),
        bell: table.bell,
        attention: table.attention.iter().filter(told).copied().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const HOUR: u64 = 60 * 60;

    fn day(from_h: u64, until_h: u64) -> SubstituteDay {
        SubstituteDay { from: Micros::from_s(from_h * HOUR), until: Micros::from_s(until_h * HOUR) }
    }

    #[test]
    fn a_day_is_one_day_and_not_far_away() {
        let now = Micros::from_s(1_000 * HOUR);
        for (from_h, until_h, possible) in [
            (999, 1_010, true),
            (1_020, 1_044, true),
            // Clocks are put back: 25 hours; 26 are no day.
            (1_020, 1_045, true),
            (1_020, 1_046, false),
            (980, 1_000, false),
            (1_044, 1_020, false),
            (1_020, 1_020, false),
            (1_000 + 31 * 24, 1_000 + 32 * 24, true),
            (1_001 + 31 * 24, 1_001 + 32 * 24, false),
        ] {
            assert_eq!(is_possible(day(from_h, until_h), now), possible, "{from_h} to {until_h}");
        }
        let forever = SubstituteDay { from: Micros(0), until: Micros(u64::MAX) };
        assert!(!is_possible(forever, now), "no number is too large to be asked");
    }

    #[test]
    fn it_opens_from_its_first_moment_to_before_its_last() {
        let pass = Pass { digest: TokenDigest::of(Token([7; 16])), day: day(10, 34), lends: None };
        let at = |hours: u64| pass.is_on(Micros::from_s(hours * HOUR));
        assert_eq!(at(9), Err(NotNow::Early));
        assert_eq!(at(10), Ok(()));
        assert_eq!(pass.is_on(Micros(Micros::from_s(34 * HOUR).0 - 1)), Ok(()));
        assert_eq!(at(34), Err(NotNow::Late));
    }
}
