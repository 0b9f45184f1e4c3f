//! The slot for playing over HTTP, for signed-in teachers: begun, taken back, and told as it runs. What it
//! tells is simulated once for the cards and rules in play.

use super::admit::{In, Sent, Teacher};
use super::refuse::No;
use super::workshop::{draw_beside, place};
use super::{Edge, Shared};
use crate::limits::web::JOIN_BYTES_MAX;
use crate::teacher::TeacherId;
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
    told(&edge, teacher, lesson).await
}

/// `POST /lessons/{lesson}/slot`.
pub async fn choose(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(SlotAsked { minutes }): Sent<SlotAsked, JOIN_BYTES_MAX>,
) -> Result<Json<SlotTold>, No> {
    let chosen = edge.hub.choose_slot(teacher, lesson, minutes).await;
    chosen.map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))?;
    told(&edge, teacher, lesson).await
}

async fn told(edge: &Edge, teacher: TeacherId, lesson: LessonId) -> Result<Json<SlotTold>, No> {
    if edge.hub.slot_to_simulate(teacher, lesson).await.map_err(gone)?.is_some() {
        let place = place(&edge.simulations).await?;
        // Another page of hers may have waited for the same.
        if let Some(work) = edge.hub.slot_to_simulate(teacher, lesson).await.map_err(gone)? {
            // While too much is asked of the server the minutes alone are told.
            if let Ok(forecast) = draw_beside(edge, place, move || work.simulate()).await {
                edge.hub.keep_forecast(teacher, lesson, forecast);
            }
        }
    }
    edge.hub.slot(teacher, lesson).await.map(Json).map_err(gone)
}
