//! A practice partner's brain: what to do next, from nothing but a seat's own view. The partners
//! inside the server and those outside share it; simulations of round lengths use it too.
//!
//! It knows no clock and no global randomness: the moment and a seed are arguments. It never sees
//! another hand, and it does not know who else is a partner.

mod aim;
mod dice;
mod temper;

pub use temper::Temper;

use crate::hand::four_alike;
use crate::id::{GameNumber, GroupIndex, Nonce, RoundNumber};
use crate::message::{Grab, GrabCue, SeatSays};
use crate::time::Micros;
use crate::view::{HandView, Phase, SeatView, TableView, TakeUp, Tap};
use aim::Aim;
use dice::Dice;

/// The longest look at a new deal. Tokens go live after 3 s at the latest, so a partner that
/// looked for longer would hold up nobody and be seen by nobody.
const LOOK_MAX: Micros = Micros::from_ms(1_500);

/// After saying something that changed nothing (it was refused, or news is under way), the brain
/// waits this long before it says the same again. It keeps a driver that thinks straight after
/// each refusal from spinning.
const REPEAT_AFTER: Micros = Micros::from_s(2);

/// What the brain wants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Thought {
    /// Say this now, then think again with the next view.
    Say(SeatSays),
    /// Think again then, or when the view changes.
    WaitUntil(Micros),
    /// Nothing to do until the view changes.
    Rest,
}

/// One partner's brain for one seat.
#[derive(Clone, Debug)]
pub struct Partner {
    temper: Temper,
    dice: Dice,
    /// The game whose pictures it has passed over.
    named: GameNumber,
    round: RoundNumber,
    memory: Memory,
}

/// What a brain remembers within one round.
#[derive(Clone, Debug, Default)]
struct Memory {
    deal_shown: bool,
    cue_shown: Option<GrabCue>,
    /// Cards looked at in this round; names a card's visit, since the same card may come again.
    visits: u32,
    /// Whether a card was under consideration in the last view, and which.
    considered: Option<crate::id::CardId>,
    aim: Aim,
    said: Vec<(Wish, Micros)>,
    timers: Timers,
}

/// When each thing is due, beside what it is about. A timer is drawn once for each new matter and
/// then stands, however often the brain is asked.
#[derive(Clone, Debug, Default)]
struct Timers {
    look: Option<((), Micros)>,
    take_up: Option<(u32, Micros)>,
    decide: Option<(u32, Micros)>,
    notice: Option<(GroupIndex, Micros)>,
    live: Option<((), Micros)>,
    react: Option<(Nonce, Micros)>,
    tap_wait: Option<(u16, Micros)>,
}

/// Something to say, before its details are decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wish {
    DealShown,
    TakeUp(u32),
    Decide(u32),
    LayDown,
    CueShown(Nonce),
    Grab(Option<GrabCue>),
}

/// The time that stands in a slot for this matter, drawn if the matter is new.
fn due<K: PartialEq>(
    slot: &mut Option<(K, Micros)>,
    matter: K,
    draw: impl FnOnce() -> Micros,
) -> Micros {
    match slot {
        Some((known, at)) if *known == matter => *at,
        _ => slot.insert((matter, draw())).1,
    }
}

impl Partner {
    /// A brain that plays the same game again for the same seed.
    pub fn new(temper: Temper, seed: u64) -> Partner {
        Partner {
            temper,
            dice: Dice::new(seed),
            named: GameNumber::default(),
            round: RoundNumber::default(),
            memory: Memory::default(),
        }
    }

    /// Decides from the view; `groups` is the match group of each face of the sheet.
    ///
    /// `now` never runs backwards and is the clock that stands in a cue's `shown` and a grab's
    /// `tap`. Asking again with the same view is harmless: nothing is said twice within two seconds.
    pub fn think(&mut self, view: &SeatView, groups: &[GroupIndex], now: Micros) -> Thought {
        if view.table.round != self.round {
            self.round = view.table.round;
            self.memory = Memory::default();
        }
        let dealt = matches!(view.table.phase, Phase::Dealt | Phase::Playing);
        let Some(hand) = view.hand.as_ref().filter(|_| dealt && !view.table.paused) else {
            // Spans that were running start afresh after a pause, so that a table does not move
            // all at once when the teacher lets it go on.
            self.memory.timers = Timers::default();
            return self.pass_over_pictures(view);
        };
        self.notice_visit(hand);
        let own: Option<Vec<GroupIndex>> =
            hand.cards.iter().map(|card| groups.get(usize::from(card.face.0)).copied()).collect();
        let four = own.as_deref().and_then(four_alike);
        let wishes = [
            self.wish_deal_shown(now),
            self.wish_token(view, four, now),
            self.wish_lay_down(view, four, now),
            self.wish_card(hand, now),
        ];
        self.memory.said.retain(|(_, at)| now < at.plus(REPEAT_AFTER));
        let said = &self.memory.said;
        let held_back = |(wish, at): (Wish, Micros)| match said.iter().find(|(old, _)| *old == wish)
        {
            Some((_, when)) => (wish, at.max(when.plus(REPEAT_AFTER))),
            None => (wish, at),
        };
        let next = wishes.into_iter().flatten().map(held_back).min_by_key(|(_, at)| *at);
        match next {
            None => Thought::Rest,
            Some((_, at)) if now < at => Thought::WaitUntil(at),
            Some((wish, _)) => {
                self.memory.said.push((wish, now));
                Thought::Say(self.words(wish, view, hand, own.as_deref(), groups, now))
            }
        }
    }

    /// The cue that it has shown last, and when it will tap on it; drawn when the cue was shown.
    pub fn taps_at(&self) -> Option<(GrabCue, Micros)> {
        let cue = self.memory.cue_shown?;
        let (nonce, at) = self.memory.timers.react?;
        (nonce == cue.nonce).then_some((cue, at))
    }

    /// A brain knows what pictures are called, and holds up nobody who has to learn it.
    fn pass_over_pictures(&mut self, view: &SeatView) -> Thought {
        let game = view.table.game;
        if view.table.phase != Phase::Naming || self.named == game {
            return Thought::Rest;
        }
        self.named = game;
        Thought::Say(SeatSays::PicturesNamed)
    }

    /// Counts a card's visit when it comes under consideration.
    fn notice_visit(&mut self, hand: &HandView) {
        let considered = hand.considering.map(|card| card.id);
        if considered != self.memory.considered {
            self.memory.considered = considered;
            if considered.is_some() {
                self.memory.visits = self.memory.visits.saturating_add(1);
            }
        }
    }

    fn wish_deal_shown(&mut self, now: Micros) -> Option<(Wish, Micros)> {
        if self.memory.deal_shown {
            return None;
        }
        let (temper, dice) = (self.temper, &mut self.dice);
        let at = due(&mut self.memory.timers.look, (), || {
            now.plus(dice.between(temper.decide).min(LOOK_MAX))
        });
        Some((Wish::DealShown, at))
    }

    /// A token on a cue, or with the own four alike.
    fn wish_token(
        &mut self,
        view: &SeatView,
        four: Option<GroupIndex>,
        now: Micros,
    ) -> Option<(Wish, Micros)> {
        let grab = &view.grab;
        if !grab.live || grab.tap == Tap::Taken || !view.table.house.has_tokens() {
            return None;
        }
        let (temper, dice, memory) = (self.temper, &mut self.dice, &mut self.memory);
        let live = due(&mut memory.timers.live, (), || now);
        // Taps on a cue are heard in spite of a false grab's wait; only 'too soon' holds them back.
        let wait_ms = match grab.tap {
            Tap::TooSoon { wait_ms } => wait_ms,
            Tap::FalseGrab { wait_ms } | Tap::Excited { wait_ms } if grab.cue.is_none() => wait_ms,
            _ => 0,
        };
        let heard = due(&mut memory.timers.tap_wait, grab.taps, || {
            now.plus(Micros::from_ms(wait_ms.into()))
        });
        if let Some(nonce) = grab.cue {
            let Some(cue) = memory.cue_shown.filter(|cue| cue.nonce == nonce) else {
                return Some((Wish::CueShown(nonce), now));
            };
            let tap = due(&mut memory.timers.react, nonce, || now.plus(dice.between(temper.react)));
            return Some((Wish::Grab(Some(cue)), tap.max(heard)));
        }
        let group = four.filter(|_| temper.starts_races)?;
        let noticed =
            due(&mut memory.timers.notice, group, || now.plus(dice.between(temper.notice)));
        // A four noticed before the tokens went live still needs the hand to move.
        Some((Wish::Grab(None), noticed.max(live.plus(temper.react.0)).max(heard)))
    }

    fn wish_lay_down(
        &mut self,
        view: &SeatView,
        four: Option<GroupIndex>,
        now: Micros,
    ) -> Option<(Wish, Micros)> {
        let group = four.filter(|_| !view.table.house.has_tokens())?;
        let me = view.table.seats.get(usize::from(view.you.0))?;
        if !me.laid_down.is_empty() {
            return None;
        }
        let (temper, dice) = (self.temper, &mut self.dice);
        let at =
            due(&mut self.memory.timers.notice, group, || now.plus(dice.between(temper.notice)));
        Some((Wish::LayDown, at))
    }

    fn wish_card(&mut self, hand: &HandView, now: Micros) -> Option<(Wish, Micros)> {
        let (temper, dice, memory) = (self.temper, &mut self.dice, &mut self.memory);
        let visit = memory.visits;
        if hand.considering.is_some() {
            let at =
                due(&mut memory.timers.decide, visit, || now.plus(dice.between(temper.decide)));
            return Some((Wish::Decide(visit), at));
        }
        match hand.take_up {
            TakeUp::FromPile | TakeUp::FromTray => {
                // A quarter of the time to decide goes into reaching for the card; it also leaves
                // a child next door a moment to undo.
                let at = due(&mut memory.timers.take_up, visit, || {
                    now.plus(Micros(dice.between(temper.decide).0 / 4))
                });
                Some((Wish::TakeUp(visit), at))
            }
            _ => {
                memory.timers.take_up = None;
                None
            }
        }
    }

    /// Puts a wish whose time has come into words.
    fn words(
        &mut self,
        wish: Wish,
        view: &SeatView,
        hand: &HandView,
        own: Option<&[GroupIndex]>,
        groups: &[GroupIndex],
        now: Micros,
    ) -> SeatSays {
        match wish {
            Wish::DealShown => {
                self.memory.deal_shown = true;
                SeatSays::DealShown { round: view.table.round }
            }
            Wish::TakeUp(_) => SeatSays::TakeUp,
            Wish::LayDown => SeatSays::LayDown,
            Wish::CueShown(nonce) => {
                self.memory.cue_shown = Some(GrabCue { nonce, shown: now });
                SeatSays::CueShown { cue: nonce, shown: now }
            }
            Wish::Grab(cue) => {
                let token = self.dice.below(u64::from(view.table.tokens).max(1));
                SeatSays::Grab(Grab { cue, tap: now, token: u8::try_from(token).unwrap_or(0) })
            }
            Wish::Decide(_) => match hand.considering {
                Some(card) => {
                    let group = groups.get(usize::from(card.face.0)).copied();
                    let give = own.zip(group).and_then(|(own, group)| {
                        let slips = self.temper.slips_per_mille;
                        self.memory.aim.give(own, group, trip(&view.table), slips, &mut self.dice)
                    });
                    match give.and_then(|place| hand.cards.get(place)) {
                        Some(give) => SeatSays::Keep { card: card.id, give: give.id },
                        None => SeatSays::Pass { card: card.id },
                    }
                }
                // Unreachable: the wish is only made with a card under consideration.
                None => SeatSays::TakeUp,
            },
        }
    }
}

/// Cards that are in no hand: how many a seat sees in one trip through the pile. Public.
fn trip(table: &TableView) -> u32 {
    let waiting =
        |seat: &crate::view::SeatPublic| u32::from(seat.waiting) + u32::from(seat.considering);
    u32::from(table.draw_pile)
        + u32::from(table.discard_pile)
        + table.seats.iter().map(waiting).sum::<u32>()
}

#[cfg(test)]
mod tests;
