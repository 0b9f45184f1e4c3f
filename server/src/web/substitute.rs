//! A substitute's link over HTTP: the teacher gives and withdraws it; its page asks for the door. The
//! code comes in a body, never in an address, so that no log holds it.

use super::Shared;
use super::admit::{In, Sent, Teacher};
use super::door::door_no;
use super::refuse::No;
use super::slot::{choose_minutes, told};
use crate::limits::web::JOIN_BYTES_MAX;
use axum::extract::State;
use axum::http::StatusCode;
use axum::{Extension, Json};
use handround_protocol::id::LessonId;
use handround_protocol::substitute::{
    SubstituteAsk, SubstituteDay, SubstituteDoor, SubstituteLink, SubstituteSlotAsk,
};
use handround_protocol::workshop::{SlotAsked, SlotTold};

/// `GET /lessons/{lesson}/substitute`: the day of the link that stands, or `null`.
pub async fn look(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<Option<SubstituteDay>>, No> {
    let day = edge.hub.substitute_day(teacher, lesson);
    day.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /lessons/{lesson}/substitute`: a link for one day, told this once.
pub async fn give(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(day): Sent<SubstituteDay, JOIN_BYTES_MAX>,
) -> Result<Json<SubstituteLink>, No> {
    let link = edge.hub.give_substitute(teacher, lesson, day).await;
    link.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}

/// `DELETE /lessons/{lesson}/substitute`.
pub async fn withdraw(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<()>, No> {
    let done = edge.hub.withdraw_substitute(teacher, lesson).await;
    done.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /substitute/door`: who waits, asked every second or two by one page a lesson.
pub async fn door(
    State(edge): Shared,
    Sent(ask): Sent<SubstituteAsk, JOIN_BYTES_MAX>,
) -> Result<Json<SubstituteDoor>, No> {
    edge.hub.substitute_door(ask).await.map(Json).map_err(door_no)
}

/// `POST /substitute/slot`: what still fits into the slot, asked every ten seconds; begun or taken back
/// before, if that is asked.
pub async fn slot(
    State(edge): Shared,
    Sent(SubstituteSlotAsk { code, choose }): Sent<SubstituteSlotAsk, JOIN_BYTES_MAX>,
) -> Result<Json<SlotTold>, No> {
    let slot = edge.hub.substitute_slot(code).map_err(door_no)?;
    if let Some(SlotAsked { minutes }) = choose {
        choose_minutes(&slot, minutes).await?;
    }
    told(&edge, &slot).await
}
