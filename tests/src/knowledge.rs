//! What each seat may know, told from a table's journal by a naive model that shares nothing with the
//! rules or the views: where the cards are that somebody looks at, what lies open, what was discarded.
//!
//! It follows games in which cards go round nobody, which the tests see to.

use handround_protocol::id::{CardId, FaceIndex, Nonce, SeatIndex};
use handround_protocol::message::{SeatNews, ToClient};
use handround_protocol::time::Micros;
use handround_protocol::view::{
    CardView, CareView, GrabView, HandView, RoundEnd, SeatView, TableView,
};
use handround_server::game::{Entry, Event};
use std::collections::BTreeMap;

/// One seat in the model.
#[derive(Clone, Debug, Default)]
struct Place {
    is_out: bool,
    hand: Vec<FaceIndex>,
    looks_at: Option<FaceIndex>,
    laid_down: Vec<FaceIndex>,
    cue: Option<Nonce>,
    /// The card it had looked at, the card that left, whether it was discarded.
    last_move: Option<(FaceIndex, FaceIndex, bool)>,
    /// What this child asked for and what the teacher did: for its own seat alone.
    care: CareView,
}

/// What can be known at one moment.
#[derive(Clone, Debug, Default)]
pub struct Knowledge {
    at: Micros,
    places: Vec<Place>,
    ids: Vec<CardId>,
    discarded: Vec<FaceIndex>,
    discarded_before: Vec<FaceIndex>,
    four: Vec<FaceIndex>,
}

impl Knowledge {
    /// What could be known after each line of a journal.
    pub fn of(journal: &[Entry]) -> Vec<Knowledge> {
        let mut now = Knowledge::default();
        let mut all = Vec::new();
        for entry in journal {
            now.at = entry.at;
            now.follow(&entry.event);
            all.push(now.clone());
        }
        all
    }

    fn place(&mut self, seat: SeatIndex) -> &mut Place {
        &mut self.places[usize::from(seat.0)]
    }

    fn follow(&mut self, event: &Event) {
        match event {
            Event::Seated { seats } => self.places = vec![Place::default(); seats.len()],
            Event::GameStarted { .. } => {
                self.places.iter_mut().for_each(|place| place.is_out = false);
            }
            Event::Dealt { dealer, order, ids, .. } => self.dealt(*dealer, order, ids),
            Event::TakenUp { seat, card, .. } => self.place(*seat).looks_at = Some(*card),
            Event::Moved { seat, card, left, to, .. } => {
                let place = self.place(*seat);
                place.looks_at = None;
                swap(&mut place.hand, *left, *card);
                place.last_move = Some((*card, *left, to.is_none()));
                if to.is_none() {
                    self.discarded.push(*left);
                }
            }
            Event::Undone { seat } => {
                let place = self.place(*seat);
                let (card, left, discarded) = place.last_move.take().expect("a move to take back");
                swap(&mut place.hand, card, left);
                place.looks_at = Some(card);
                if discarded {
                    self.discarded.retain(|other| *other != left);
                }
            }
            // What was discarded once is known to have been, wherever it goes.
            Event::Reshuffled { .. } => {}
            Event::CuesMade { cues } => {
                cues.iter().for_each(|(seat, nonce)| self.place(*seat).cue = Some(*nonce));
            }
            Event::LaidDown { seat, four, .. } => {
                let place = self.place(*seat);
                place.looks_at = None;
                place.laid_down.clone_from(four);
            }
            Event::RoundEnded { end, four, .. } => {
                self.four.clone_from(four);
                self.discarded_before = std::mem::take(&mut self.discarded);
                // The four lie open on every screen, so that who is out may sort them too.
                self.discarded_before.extend(four);
                for place in &mut self.places {
                    (place.looks_at, place.cue) = (None, None);
                }
                if let RoundEnd::Last { seat, out: true, .. } = end {
                    let place = self.place(*seat);
                    place.is_out = true;
                    place.hand.clear();
                }
            }
            Event::Reseated { seat, .. } if usize::from(seat.0) == self.places.len() => {
                self.places.push(Place::default());
            }
            Event::Reseated { seat, .. } => self.place(*seat).care = CareView::default(),
            Event::HelpWished { seat, wanted } => self.place(*seat).care.help_asked = *wanted,
            Event::BreakWished { seat, wanted } => self.place(*seat).care.on_break = *wanted,
            Event::HandedOver { seat, partner } => self.place(*seat).care.partner_holds = *partner,
            Event::PassedBy { .. } => panic!("the model follows no cards that go round a seat"),
            _ => {}
        }
    }

    fn dealt(&mut self, dealer: SeatIndex, order: &[FaceIndex], ids: &[CardId]) {
        self.ids = ids.to_vec();
        self.discarded.clear();
        self.four.clear();
        let seats = self.places.len();
        for place in &mut self.places {
            let (is_out, care) = (place.is_out, place.care);
            *place = Place { is_out, care, ..Place::default() };
        }
        let from_dealer = (0..seats).map(|step| (usize::from(dealer.0) + step) % seats);
        let ring: Vec<usize> = from_dealer.filter(|seat| !self.places[*seat].is_out).collect();
        let cards = order.iter().zip(ring.iter().cycle());
        for (card, seat) in cards.take(4 * ring.len()) {
            self.places[*seat].hand.push(*card);
        }
    }

    /// Whether a seat may know everything that a message holds; otherwise what it may not.
    fn allows(&self, seat: SeatIndex, message: &ToClient) -> Result<(), String> {
        match message {
            ToClient::Welcome(_)
            | ToClient::Refused { .. }
            | ToClient::Clock { .. }
            | ToClient::TellClock { .. } => Ok(()),
            ToClient::Cue { nonce, .. } => self.allows_cue(seat, Some(*nonce)),
            ToClient::Seat { news, .. } => match news {
                SeatNews::Snapshot(view) => self.allows_view(seat, view),
                SeatNews::Table(table) => self.allows_table(table),
                SeatNews::Hand(hand) => self.allows_hand(seat, hand.as_ref()),
                SeatNews::Grab(GrabView { cue, .. }) => self.allows_cue(seat, *cue),
                SeatNews::Ruling(ruling) => {
                    let four = ruling.iter().flat_map(|ruling| &ruling.four);
                    within(four, &self.four, "the four of the ruling")
                }
                SeatNews::Sorting(faces) => self.allows_sorting(seat, faces),
                SeatNews::Care(care) => self.allows_care(seat, *care),
            },
            ToClient::Board(_) | ToClient::Wall(_) | ToClient::Substitute(_) => {
                Err("not for a seat".to_owned())
            }
        }
    }

    fn allows_view(&self, seat: SeatIndex, view: &SeatView) -> Result<(), String> {
        self.allows_table(&view.table)?;
        self.allows_hand(seat, view.hand.as_ref())?;
        self.allows_cue(seat, view.grab.cue)?;
        let four = view.ruling.iter().flat_map(|ruling| &ruling.four);
        within(four, &self.four, "the four of the ruling")?;
        self.allows_sorting(seat, &view.sorting)?;
        self.allows_care(seat, view.care)
    }

    fn allows_care(&self, seat: SeatIndex, care: CareView) -> Result<(), String> {
        let own = self.places[usize::from(seat.0)].care;
        if care == own { Ok(()) } else { Err("what another child asked for".to_owned()) }
    }

    fn allows_table(&self, table: &TableView) -> Result<(), String> {
        for (public, place) in table.seats.iter().zip(&self.places) {
            within(&public.laid_down, &place.laid_down, "a hand laid down")?;
        }
        Ok(())
    }

    fn allows_hand(&self, seat: SeatIndex, hand: Option<&HandView>) -> Result<(), String> {
        let Some(hand) = hand else { return Ok(()) };
        let own = self.own(seat);
        for CardView { id, face, .. } in hand.cards.iter().chain(&hand.considering) {
            if own.get(face) != Some(id) {
                return Err(format!("the face {face} with the id {id}"));
            }
        }
        match hand.hint.iter().find(|id| !own.values().any(|known| known == *id)) {
            Some(id) => Err(format!("the id {id} that glows")),
            None => Ok(()),
        }
    }

    fn allows_cue(&self, seat: SeatIndex, cue: Option<Nonce>) -> Result<(), String> {
        let own = self.places[usize::from(seat.0)].cue;
        if cue.is_none() || cue == own { Ok(()) } else { Err("a cue".to_owned()) }
    }

    fn allows_sorting(&self, seat: SeatIndex, faces: &[FaceIndex]) -> Result<(), String> {
        let watches = self.places[usize::from(seat.0)].is_out;
        within(faces, if watches { &self.discarded_before } else { &[] }, "faces to sort")
    }

    /// The own cards with their ids of this deal.
    pub fn own(&self, seat: SeatIndex) -> BTreeMap<FaceIndex, CardId> {
        let place = &self.places[usize::from(seat.0)];
        let cards = place.hand.iter().chain(&place.looks_at);
        cards.map(|card| (*card, self.ids[usize::from(card.0)])).collect()
    }

    /// The card that this seat looks at.
    pub fn looks_at(&self, seat: SeatIndex) -> Option<FaceIndex> {
        self.places[usize::from(seat.0)].looks_at
    }

    /// When this was so.
    pub fn at(&self) -> Micros {
        self.at
    }

    /// Every card's id in this deal.
    pub fn ids(&self) -> &[CardId] {
        &self.ids
    }

    /// The seat's cue.
    pub fn cue(&self, seat: SeatIndex) -> Option<Nonce> {
        self.places[usize::from(seat.0)].cue
    }
}

fn swap(hand: &mut [FaceIndex], out: FaceIndex, new: FaceIndex) {
    if let Some(card) = hand.iter_mut().find(|card| **card == out) {
        *card = new;
    }
}

fn within<'a>(
    faces: impl IntoIterator<Item = &'a FaceIndex>,
    known: &[FaceIndex],
    what: &str,
) -> Result<(), String> {
    match faces.into_iter().find(|face| !known.contains(face)) {
        Some(face) => Err(format!("{what}: the face {face}")),
        None => Ok(()),
    }
}

/// Checks everything that a seat's device received, each message with the moment on the server's
/// clock: it must be allowed by the journal as it stood at some moment, not before the one that
/// allowed the message before it, and not after it was received.
///
/// # Errors
/// The message that told too much, and what.
pub fn told_too_much(
    seat: SeatIndex,
    messages: &[(Micros, ToClient)],
    moments: &[Knowledge],
) -> Result<(), String> {
    let mut from = 0;
    for (received, message) in messages {
        let written = moments.partition_point(|moment| moment.at <= *received);
        let allowed = (from..written).find(|moment| moments[*moment].allows(seat, message).is_ok());
        match allowed {
            Some(moment) => from = moment,
            None => {
                let why = moments[written.max(1) - 1].allows(seat, message);
                return Err(format!("seat {seat} was told {why:?} at {received:?}: {message:?}"));
            }
        }
    }
    Ok(())
}
