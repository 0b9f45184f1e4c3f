//! Support for one seat's child: which helper a card shows, how a helper fades, and the naming of
//! pictures before the first deal. It changes what that seat sees and when it is reminded, and
//! never what matches or what the others see.
//!
//! What a seat's cards show is settled at each deal and stays until the next, so that nothing on
//! its screen changes in a race but by its own grab.

use super::decide::Deciding;
use super::event::{Card, Event};
use super::table::Table;
use handround_protocol::id::{GroupIndex, SeatIndex};
use handround_protocol::refusal::Refusal;
use handround_protocol::support::{HelperGiven, Support};
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, Phase};

/// A helper is shown on every card until the child has used it rightly so often; then on the new
/// card alone. To fade a support after a few successes is common practice, no source; the number
/// is our choice.
pub const FADES_AFTER_USES: u16 = 6;
/// From so many right uses on a helper is not shown any more, unless the teacher holds it.
pub const GONE_AFTER_USES: u16 = 12;
/// The deal waits at most this long for children who name pictures.
pub const NAMING_MAX: Micros = Micros::from_s(60);
/// Reminders of an unhurried child come after the usual time, times this.
pub const UNHURRIED_FACTOR: u64 = 2;

/// How much of a helper is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// On every card.
    Whole,
    /// On the card under consideration alone.
    NewCard,
    /// On no card.
    Gone,
}

/// Where a helper stands on its way out.
pub fn stage(given: &HelperGiven) -> Stage {
    match given.right_uses {
        _ if given.held => Stage::Whole,
        ..FADES_AFTER_USES => Stage::Whole,
        FADES_AFTER_USES..GONE_AFTER_USES => Stage::NewCard,
        GONE_AFTER_USES.. => Stage::Gone,
    }
}

/// Whether a keep says that the child saw a match: the kept card matches one that stays, and the
/// one given away matches none of them. `staying` are the three cards that stay.
pub fn is_right_use(kept: GroupIndex, given_away: GroupIndex, staying: &[GroupIndex]) -> bool {
    staying.contains(&kept) && !staying.contains(&given_away)
}

impl Table {
    /// The helper that a seat sees on one of its cards, if any.
    pub(super) fn helper(&self, seat: SeatIndex, card: Card) -> Option<Helper> {
        let offered = self.offered.get(usize::from(card.0))?;
        let state = self.of(seat);
        let new = state.considering.is_some_and(|seen| seen.card == card);
        let shows = |given: &&HelperGiven| {
            let stage = stage(given);
            offered.contains(&given.helper)
                && (stage == Stage::Whole || stage == Stage::NewCard && new)
        };
        state.support.helpers.iter().find(shows).map(|given| given.helper)
    }

    /// The helper that a seat uses rightly by giving this card away for the one that it looks at.
    pub(super) fn right_use(&self, seat: SeatIndex, left: Card) -> Option<Helper> {
        let state = self.of(seat);
        let kept = state.considering?.card;
        let staying: Vec<Card> = state.hand.iter().copied().filter(|own| *own != left).collect();
        let group = |card: Card| self.groups(&[card]).first().copied();
        if state.hinted || !is_right_use(group(kept)?, group(left)?, &self.groups(&staying)) {
            return None;
        }
        let matching = staying.into_iter().filter(|card| group(*card) == group(kept));
        std::iter::once(kept).chain(matching).find_map(|card| self.helper(seat, card))
    }

    /// Counts a right use, or takes it back with the move.
    pub(super) fn count_use(&mut self, seat: SeatIndex, helper: Helper, taken_back: bool) {
        let given = &mut self.of_mut(seat).support_next.helpers;
        for one in given.iter_mut().filter(|one| one.helper == helper) {
            one.right_uses = match taken_back {
                true => one.right_uses.saturating_sub(1),
                false => one.right_uses.saturating_add(1),
            };
        }
    }

    /// What the teacher gave the child of a seat, with the uses counted so far.
    pub fn support(&self, seat: SeatIndex) -> Option<&Support> {
        self.at(seat).map(|state| &state.support_next)
    }

    /// When the deal comes although pictures are still being named.
    pub(super) fn naming_ends_at(&self) -> Option<Micros> {
        (self.phase == Phase::Naming).then(|| self.naming_since.plus(NAMING_MAX))
    }

    /// Nobody names pictures any more: every child is through, or away with a stand-in.
    pub(super) fn all_have_named(&self) -> bool {
        let pupils = self.all().filter(|seat| !self.partner_plays(*seat));
        pupils.into_iter().all(|seat| self.of(seat).named)
    }
}

impl Deciding {
    /// A teacher's wish for one child.
    pub(super) fn give_support(
        &mut self,
        seat: SeatIndex,
        support: &Support,
    ) -> Result<(), Refusal> {
        let had = &self.table.at(seat).ok_or(Refusal::NoSuchSeat)?.support_next;
        if !support.is_possible() {
            return Err(Refusal::RuleNotPlayable);
        }
        let support = support.after(had);
        if support != *had {
            self.emit(Event::SupportGiven { seat, support });
        }
        Ok(())
    }

    /// What the deck of the next game offers beside its cards.
    pub(super) fn tell_offers(&mut self, offered: &[Vec<Helper>], naming: bool) {
        if self.table.offered != offered || self.table.naming != naming {
            self.emit(Event::Offered { helpers: offered.to_vec(), naming });
        }
    }

    /// Deals the first round, after the pictures were named where they should be and a child is
    /// there to see them. A deck's pictures are named once, not again for a rematch.
    pub(super) fn deal_first(&mut self) {
        let deck = self.table.play.as_ref().map(|(_, deck)| deck.id);
        let known = self.table.named_deck == deck;
        let watched = self.table.all().any(|seat| self.table.child_plays(seat));
        if self.table.naming && watched && !known {
            self.emit(Event::NamingBegan);
        } else {
            self.deal();
        }
    }
}
