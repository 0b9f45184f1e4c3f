//! The slot for playing over HTTP, for signed-in teachers: begun, taken back, and told as it runs. What it
//! tells is simulated once for the cards and rules in play.

use super::admit::{In, Sent, Teacher};
use super::refuse::No;
use super::workshop::{draw_beside, place};
use super::{Edge, Shared};
use crate::lesson::hub::SlotAt;
use crate::limits::web::JOIN_BYTES_MAX;
use axum::extract::State;
use axum::http::StatusCode;
use axum::{Extension, Json};
use handround_protocol::id::LessonId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::workshop::{SlotAsked, SlotTold};

fn gone(refusal: HttpRefusal) -> No {
    No::from_room(StatusCode::NOT_FOUND, refusal)
}

/// `GET /lessons/{lesson}/slot`.
pub async fn look(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<SlotTold>, No> {
    told(&edge, &edge.hub.slot(teacher, lesson).map_err(gone)?).await
}

/// `POST /lessons/{lesson}/slot`.
pub async fn choose(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(SlotAsked { minutes }): Sent<SlotAsked, JOIN_BYTES_MAX>,
) -> Result<Json<SlotTold>, No> {
    let slot = edge.hub.slot(teacher, lesson).map_err(gone)?;
    choose_minutes(&slot, minutes).await?;
    told(&edge, &slot).await
}

/// Begins a slot, or takes it back.
pub async fn choose_minutes(slot: &SlotAt, minutes: Option<u16>) -> Result<(), No> {
    let chosen = slot.choose(minutes).await;
    chosen.map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))
}

/// The slot as it runs, simulated before where the cards or rules are new.
pub async fn told(edge: &Edge, slot: &SlotAt) -> Result<Json<SlotTold>, No> {
    if slot.to_simulate().await.map_err(gone)?.is_some() {
        let place = place(&edge.simulations).await?;
        // Another page of hers may have waited for the same.
        if let Some(work) = slot.to_simulate().await.map_err(gone)? {
            // While too much is asked of the server the minutes alone are told.
            if let Ok(forecast) = draw_beside(edge, place, move || work.simulate()).await {
                slot.keep_forecast(forecast);
            }
        }
    }
    Ok(Json(slot.told().await))
}
