//! What one seat's device has been told: the last view, its numbered news, and enough of their
//! history to bridge a short break. It compares views and knows nothing of the rules.

use super::connection::{Outbox, UrgentCue};
use crate::limits::lesson::SEAT_HISTORY_MAX;
use handround_protocol::close::Close;
use handround_protocol::id::SeatNumber;
use handround_protocol::message::{SeatNews, ToClient};
use handround_protocol::view::SeatView;
use std::collections::VecDeque;

/// Numbered messages that one change can make at the most: one for each part of the view.
pub const NEWS_PER_CHANGE_MAX: u64 = 6;

/// One connection among all that a table ever had.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LinkId(pub u64);

/// One seat's feed.
///
/// Numbers go up by one a message; a snapshot carries the number of the last message it contains.
/// Each change that makes news has written at least one line to the table's journal, and makes
/// `NEWS_PER_CHANGE_MAX` numbers at the most. A feed that starts at that many times the journal's
/// length, plus one, therefore starts above every number from before a restart, or at the last of
/// them if nothing was written since, and then the views are the same. So a number from before a
/// restart is never taken for one that the history bridges.
#[derive(Debug)]
pub struct SeatFeed {
    view: SeatView,
    number: SeatNumber,
    history: VecDeque<(SeatNumber, SeatNews)>,
    device: Option<(LinkId, Outbox)>,
    /// Whoever connects next comes from another seat, so the number it brings means nothing here.
    newcomer: bool,
}

impl SeatFeed {
    /// A feed over a journal that holds this many lines.
    pub fn new(view: SeatView, held: u64) -> SeatFeed {
        let number = NEWS_PER_CHANGE_MAX.saturating_mul(held).saturating_add(1);
        // 32 bits serve a journal of a thousand million lines; no table is played that long.
        let number = SeatNumber(u32::try_from(number).unwrap_or(u32::MAX));
        SeatFeed { view, number, history: VecDeque::new(), device: None, newcomer: false }
    }

    /// The view as it was last told.
    pub fn view(&self) -> &SeatView {
        &self.view
    }

    /// The connected device.
    pub fn device(&self) -> Option<&Outbox> {
        self.device.as_ref().map(|(_, outbox)| outbox)
    }

    /// Whether this is the connection that holds the seat now.
    pub fn is_held_by(&self, link: LinkId) -> bool {
        self.device.as_ref().is_some_and(|(holder, _)| *holder == link)
    }

    /// Tells the device what is new, and says whether anything is. A cue overtakes everything that
    /// waits.
    pub fn show(&mut self, view: SeatView) -> bool {
        let cue = view.grab.cue.filter(|_| view.grab.cue != self.view.grab.cue);
        if let (Some(nonce), Some(device)) = (cue, self.device()) {
            device.send_cue(UrgentCue { round: view.table.round, nonce });
        }
        let old = std::mem::replace(&mut self.view, view);
        let new = &self.view;
        let mut news = Vec::new();
        // The public part comes behind what it presupposes: a device that has heard of a new deal
        // must not still hold the old cards, the old cue or the old token, not even for a moment.
        if new.hand != old.hand {
            news.push(SeatNews::Hand(new.hand.clone()));
        }
        if new.grab != old.grab {
            news.push(SeatNews::Grab(new.grab.clone()));
        }
        if new.sorting != old.sorting {
            news.push(SeatNews::Sorting(new.sorting.clone()));
        }
        if new.care != old.care {
            news.push(SeatNews::Care(new.care));
        }
        let ruling = (new.ruling != old.ruling).then(|| SeatNews::Ruling(new.ruling.clone()));
        let ruled = new.ruling.is_some();
        news.extend(ruling.clone().filter(|_| ruled));
        if new.table != old.table {
            news.push(SeatNews::Table(new.table.clone()));
        }
        news.extend(ruling.filter(|_| !ruled));
        let changed = !news.is_empty();
        for news in news {
            self.tell(news);
        }
        changed
    }

    fn tell(&mut self, news: SeatNews) {
        self.number = SeatNumber(self.number.0.saturating_add(1));
        if let Some(device) = self.device() {
            device.send(ToClient::Seat { number: self.number, news: news.clone() });
        }
        if self.history.len() == SEAT_HISTORY_MAX {
            self.history.pop_front();
        }
        self.history.push_back((self.number, news));
    }

    /// Gives the seat to a device, closing an older one, and brings it up to date: with the tail if
    /// the history proves that nothing is missing, otherwise with a snapshot. A cue that stands is
    /// sent again, so that its way is measured on this link too; a device that has it ignores it.
    pub fn connect(&mut self, link: LinkId, outbox: Outbox, resume: Option<SeatNumber>) {
        self.disconnect(Close::NewerDevice);
        if let Some(nonce) = self.view.grab.cue {
            outbox.send_cue(UrgentCue { round: self.view.table.round, nonce });
        }
        let resume = resume.filter(|_| !std::mem::take(&mut self.newcomer));
        match resume.and_then(|last| self.tail(last)) {
            Some(tail) => {
                for (number, news) in tail {
                    outbox.send(ToClient::Seat { number: *number, news: news.clone() });
                }
            }
            None => outbox.send(ToClient::Seat {
                number: self.number,
                news: SeatNews::Snapshot(self.view.clone()),
            }),
        }
        self.device = Some((link, outbox));
    }

    /// What came after a number, if that is provably all.
    fn tail(&self, last: SeatNumber) -> Option<impl Iterator<Item = &(SeatNumber, SeatNews)>> {
        let before_oldest = match self.history.front() {
            Some((oldest, _)) => oldest.0 - 1,
            None => self.number.0,
        };
        let proven = (before_oldest..=self.number.0).contains(&last.0);
        proven.then(|| self.history.iter().filter(move |(number, _)| *number > last))
    }

    /// Somebody else holds the seat from now on; the device that was here is sent away.
    pub fn change_hands(&mut self) {
        self.disconnect(Close::Moved);
        self.history.clear();
        self.newcomer = true;
    }

    /// The device has gone by itself.
    pub fn gone(&mut self) {
        self.device = None;
    }

    /// Closes the device, if there is one.
    pub fn disconnect(&mut self, why: Close) {
        if let Some((_, outbox)) = self.device.take() {
            outbox.close(why);
        }
    }
}

#[cfg(test)]
#[path = "seat_feed_tests.rs"]
mod tests;
