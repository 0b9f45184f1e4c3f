//! Plays one seat with the practice partners' brain, until it is told to stop.

use crate::measure::Tally;
use crate::seat::{Happening, Seat};
use crate::socket::now;
use handround_protocol::id::CardId;
use handround_protocol::message::SeatSays;
use handround_protocol::partner::{Partner, Temper, Thought};
use handround_protocol::time::Micros;
use handround_protocol::view::{Phase, SeatView};
use std::time::Duration;
use tokio::sync::watch;

/// A move that waits for its answer: the card that was kept or passed, and when.
type Pending = Option<(CardId, Micros)>;

/// Plays until `stop` becomes true or the seat is lost. Moves count while `measure` is true.
pub async fn play(
    mut seat: Seat,
    temper: Temper,
    seed: u64,
    mut stop: watch::Receiver<bool>,
    measure: watch::Receiver<bool>,
) -> Tally {
    let mut brain = Partner::new(temper, seed);
    let mut tally = Tally::default();
    let mut pending: Pending = None;
    loop {
        let wake = match think(&mut brain, &seat) {
            Some(Thought::Say(says)) => {
                if let SeatSays::Keep { card, .. } | SeatSays::Pass { card } = &says {
                    pending = Some((*card, now()));
                }
                seat.say(says).await;
                continue;
            }
            Some(Thought::WaitUntil(at)) => Some(at.since(now())),
            Some(Thought::Rest) | None => None,
        };
        // A return to the server must not be dropped half-way, so nothing wakes it.
        let wake = wake.filter(|_| seat.is_connected()).map(|span| Duration::from_micros(span.0));
        let happening = tokio::select! {
            _ = stop.wait_for(|stop| *stop) => return tally,
            () = sleep_or_rest(wake) => continue,
            happening = seat.next() => happening,
        };
        let counts = *measure.borrow();
        match happening {
            Ok(Happening::View) => settle(&mut pending, &seat, &mut tally, counts),
            Ok(Happening::Refused(refusal)) => {
                pending = None;
                if counts {
                    *tally.refusals.entry(refusal.to_string()).or_default() += 1;
                }
            }
            Ok(Happening::Away) => {
                pending = None;
                tally.breaks += 1;
            }
            Err(error) => {
                tracing::warn!(error = format!("{error:#}"), "a seat was lost");
                tally.lost += 1;
                return tally;
            }
        }
    }
}

fn think(brain: &mut Partner, seat: &Seat) -> Option<Thought> {
    let (view, sheet) = (seat.view.as_ref()?, seat.sheet.as_ref()?);
    seat.is_connected().then(|| brain.think(view, &sheet.groups, now()))
}

/// A move is answered when its card is no longer under consideration.
fn settle(pending: &mut Pending, seat: &Seat, tally: &mut Tally, counts: bool) {
    let Some(view) = &seat.view else { return };
    tally.see_round(view.table.round, counts && view.table.phase == Phase::RoundOver);
    if let Some((card, said)) = *pending
        && considered(view) != Some(card)
    {
        *pending = None;
        // A round that ends in between takes the hand away; that is no answer to the move.
        if counts && view.hand.is_some() {
            tally.move_waits.push(now().since(said));
        }
    }
}

fn considered(view: &SeatView) -> Option<CardId> {
    Some(view.hand.as_ref()?.considering?.id)
}

async fn sleep_or_rest(span: Option<Duration>) {
    match span {
        Some(span) => tokio::time::sleep(span).await,
        None => std::future::pending().await,
    }
}
