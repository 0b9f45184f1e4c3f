//! The state of one seat. It changes only where `apply` lets an event take effect.

use super::event::{Card, Source};
use crate::race::Observation;
use handround_protocol::support::Support;
use handround_protocol::time::Micros;
use handround_protocol::view::{Helper, Tap};
use serde::{Deserialize, Serialize};
use std::collections::VecDeque;

/// A card under consideration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Considering {
    /// The card.
    pub card: Card,
    /// Where it came from, for undo.
    pub source: Source,
    /// Since when it can be seen.
    pub since: Micros,
}

/// The last move, while it can be taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LastMove {
    /// The card that was under consideration.
    pub card: Card,
    /// The card that left; the same for a pass.
    pub left: Card,
    /// The seat whose tray it went to, or `None` for the discard pile.
    pub to: Option<u8>,
    /// Where the card had come from.
    pub source: Source,
    /// When.
    pub at: Micros,
    /// The helper that the move used rightly.
    pub right_use: Option<Helper>,
}

/// One seat.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seat {
    /// A device is connected.
    pub link: bool,
    /// Its page can be seen.
    pub visible: bool,
    /// Since when the child has been gone: link down or page hidden. Never set for a partner.
    pub gone_since: Option<Micros>,
    /// A practice partner keeps the seat warm.
    pub stand_in: bool,
    /// Since when the child's hand has been raised.
    pub help_since: Option<Micros>,
    /// The child is on a break.
    pub on_break: bool,
    /// The teacher gave the seat to a practice partner.
    pub partner_holds: bool,
    /// The cover of a shared device lies over the hand.
    pub covered: bool,
    /// When the cover was last laid on or taken off.
    pub cover_moved_at: Micros,

    /// Plays in this game; otherwise it watches.
    pub in_play: bool,
    /// A new seat that plays from the next deal on.
    pub joins: bool,
    /// Letters collected in this game.
    pub letters: u8,
    /// Cannot be put out in this round.
    pub shielded: bool,
    /// The shield was given once in this game already.
    pub shield_used: bool,
    /// Void rounds that this seat's link caused in this game.
    pub voids: u8,

    /// Cards go round this seat until it acts.
    pub passed_by: bool,
    /// The private reminder shows.
    pub reminded: bool,
    /// Since when the seat could act and did not.
    pub waiting_since: Option<Micros>,
    /// When its device showed this deal.
    pub deal_shown: Option<Micros>,

    /// The hand.
    pub hand: Vec<Card>,
    /// The card to keep or pass.
    pub considering: Option<Considering>,
    /// Cards waiting, oldest first.
    pub tray: VecDeque<Card>,
    /// The last move, for undo.
    pub last_move: Option<LastMove>,
    /// Its four lie open, in the calm game.
    pub laid_down: bool,
    /// Since when the hand has been four alike.
    pub four_since: Option<Micros>,
    /// The four glow.
    pub hinted: bool,

    /// What came of the last tap.
    pub tap: Tap,
    /// Answered taps in this round.
    pub taps: u16,
    /// When the last few false taps were read, at most three.
    pub false_taps: VecDeque<Micros>,
    /// The last false tap, in case it proves to be an answer to the room.
    pub false_tap: Option<Observation>,
    /// Until when taps without a cue are not heard.
    pub wait_until: Micros,
    /// Until when taps on a cue are not heard.
    pub too_soon_until: Micros,
    /// False grabs in this game, excited taps left out.
    pub false_grabs: u16,
    /// The private nudge shows.
    pub nudged: bool,
    /// The next decision is the first after a pause, a break or a stand-in.
    pub after_pause: bool,

    /// The child's support as this deal shows it.
    pub support: Support,
    /// As the teacher gave it, with the uses counted so far; the next deal shows it.
    pub support_next: Support,
    /// The child is through with the pictures.
    pub named: bool,
}

impl Seat {
    /// Whether the child would have its hand again on coming back or acting.
    pub fn may_return(&self) -> bool {
        self.stand_in && !self.on_break && !self.partner_holds
    }

    /// Clears what belongs to one round.
    pub fn clear_round(&mut self) {
        self.reminded = false;
        self.waiting_since = None;
        self.deal_shown = None;
        self.hand.clear();
        self.considering = None;
        self.tray.clear();
        self.last_move = None;
        self.laid_down = false;
        self.four_since = None;
        self.hinted = false;
        self.tap = Tap::None;
        self.taps = 0;
        self.false_taps.clear();
        self.false_tap = None;
        self.wait_until = Micros(0);
        self.too_soon_until = Micros(0);
        self.nudged = false;
    }

    /// Everybody comes back for a new game.
    pub fn clear_game(&mut self) {
        self.clear_round();
        self.named = false;
        self.in_play = true;
        self.joins = false;
        self.letters = 0;
        self.shielded = false;
        self.shield_used = false;
        self.voids = 0;
        self.false_grabs = 0;
    }

    /// Moves every running span by the length of a pause.
    pub fn shift(&mut self, span: Micros) {
        let later = |moment: &mut Micros| *moment = moment.plus(span);
        self.waiting_since.iter_mut().for_each(later);
        self.deal_shown.iter_mut().for_each(later);
        self.four_since.iter_mut().for_each(later);
        self.false_taps.iter_mut().for_each(later);
        self.considering.iter_mut().for_each(|considering| later(&mut considering.since));
        self.last_move.iter_mut().for_each(|last| later(&mut last.at));
        later(&mut self.wait_until);
        later(&mut self.too_soon_until);
        later(&mut self.cover_moved_at);
    }
}
