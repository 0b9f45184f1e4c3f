//! A table's journal read again by an onlooker: the state that it comes to, and whether what a device
//! was shown is what it tells.

use crate::player::Player;
use handround_protocol::message::{SeatNews, ToClient};
use handround_protocol::view::SeatView;
use handround_server::game::{Entry, Table};

/// The state that a journal comes to.
///
/// # Panics
/// If it breaks what must always hold.
pub fn replay(entries: &[Entry]) -> Table {
    let mut table = Table::empty();
    entries.iter().for_each(|entry| table.apply(entry));
    table.check().expect("what must always hold");
    table
}

/// Whatever a device was shown stands in the journal: each piece of news is that of one of the
/// table's states, in the order of the journal.
///
/// # Panics
/// If it was shown anything else.
pub fn all_was_journalled(entries: &[Entry], player: &Player) {
    let mut table = Table::empty();
    let seat = player.seen().you;
    let mut states = entries.iter().map(|entry| {
        table.apply(entry);
        table.seat_view(seat).expect("a seat of this table")
    });
    let mut state = states.next().expect("a table with seats");
    for heard in &player.heard {
        let ToClient::Seat { news, .. } = &heard.message else { continue };
        while !is_shown_by(news, &state) {
            state = states.next().unwrap_or_else(|| panic!("shown, not journalled: {news:?}"));
        }
    }
}

fn is_shown_by(news: &SeatNews, state: &SeatView) -> bool {
    let mut told = state.clone();
    told.apply(news);
    told == *state
}
