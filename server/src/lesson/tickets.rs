//! Tickets: a device that found its lesson may choose a place with one for a few minutes. They are
//! kept in memory alone; after a restart a child taps the row again.

use super::substitute::CameBy;
use crate::limits::lesson::{TICKET_LIFE, TICKETS_MAX};
use handround_protocol::id::{LessonId, Token};
use handround_protocol::time::Micros;
use std::collections::VecDeque;

/// What a device found: the lesson, and by whose row or link. Where that was a substitute's the ticket is
/// good for as long as it leads there.
pub type Found = (LessonId, CameBy);

/// The tickets that are out, oldest first.
#[derive(Debug, Default)]
pub struct Tickets {
    out: VecDeque<(Token, Found, Micros)>,
}

impl Tickets {
    /// Hands out a ticket; the oldest gives way if too many are out.
    pub fn give(&mut self, ticket: Token, found: Found, now: Micros) {
        self.out.retain(|(_, _, until)| *until > now);
        if self.out.len() == TICKETS_MAX {
            self.out.pop_front();
        }
        self.out.push_back((ticket, found, now.plus(TICKET_LIFE)));
    }

    /// What was found with a ticket.
    pub fn found(&self, ticket: Token, now: Micros) -> Option<Found> {
        let (_, found, until) = self.out.iter().find(|(out, _, _)| *out == ticket)?;
        (*until > now).then_some(*found)
    }

    /// A ticket has served: it opens one place and no second one.
    pub fn take_back(&mut self, ticket: Token) {
        self.out.retain(|(out, _, _)| *out != ticket);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn token(number: usize) -> Token {
        Token((number as u128).to_be_bytes())
    }

    #[test]
    fn a_ticket_serves_once_and_for_a_few_minutes() {
        let (found, start) = ((LessonId([7; 16]), CameBy::Own), Micros::from_s(100));
        let mut tickets = Tickets::default();
        tickets.give(token(1), found, start);
        assert_eq!(tickets.found(token(1), start), Some(found));
        assert_eq!(tickets.found(token(2), start), None);
        assert_eq!(tickets.found(token(1), start.plus(TICKET_LIFE)), None);
        tickets.take_back(token(1));
        assert_eq!(tickets.found(token(1), start), None);
    }

    #[test]
    fn only_so_many_are_out() {
        let mut tickets = Tickets::default();
        for number in 0..=TICKETS_MAX {
            tickets.give(token(number), (LessonId([0; 16]), CameBy::Own), Micros(1));
        }
        assert_eq!(tickets.out.len(), TICKETS_MAX);
        assert_eq!(tickets.found(token(0), Micros(1)), None);
    }
}
