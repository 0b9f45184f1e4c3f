//! A substitute's link over HTTP: the teacher gives and withdraws it; its page asks for the door. The
//! code comes in a body, never in an address, so that no log holds it.

use super::door::{door_no, small};
use super::lessons::{admit, admit_sender, known};
use super::peer::Peer;
use super::refuse::No;
use super::slot::{choose_minutes, told};
use super::{Shared, body};
use crate::limits::web::JOIN_BYTES_MAX;
use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::{Extension, Json};
use handround_protocol::substitute::{
    SubstituteAsk, SubstituteDay, SubstituteDoor, SubstituteLink, SubstituteSlotAsk,
};
use handround_protocol::workshop::{SlotAsked, SlotTold};

/// `GET /lessons/{lesson}/substitute`: the day of the link that stands, or `null`.
pub async fn look(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(lesson): Path<String>,
    headers: HeaderMap,
) -> Result<Json<Option<SubstituteDay>>, No> {
    let (teacher, lesson) = admit(&edge, &peer, &headers, &lesson)?;
    let day = edge.hub.substitute_day(teacher, lesson);
    day.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /lessons/{lesson}/substitute`: a link for one day, told this once.
pub async fn give(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(lesson): Path<String>,
    headers: HeaderMap,
    body: Body,
) -> Result<Json<SubstituteLink>, No> {
    let (teacher, body) = admit_sender(&edge, &peer, &headers, body).await?;
    let lesson = known(&lesson)?;
    let day: SubstituteDay = body::read_json(&headers, body, JOIN_BYTES_MAX).await?;
    let link = edge.hub.give_substitute(teacher, lesson, day).await;
    link.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}

/// `DELETE /lessons/{lesson}/substitute`.
pub async fn withdraw(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(lesson): Path<String>,
    headers: HeaderMap,
) -> Result<Json<()>, No> {
    let (teacher, lesson) = admit(&edge, &peer, &headers, &lesson)?;
    let done = edge.hub.withdraw_substitute(teacher, lesson).await;
    done.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /substitute/door`: who waits, asked every second or two by one page a lesson.
pub async fn door(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Result<Json<SubstituteDoor>, No> {
    let ask: SubstituteAsk = small(&edge, &peer, &headers, body).await?;
    edge.hub.substitute_door(ask).await.map(Json).map_err(door_no)
}

/// `POST /substitute/slot`: what still fits into the slot, asked every ten seconds; begun or taken back
/// before, if that is asked.
pub async fn slot(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Result<Json<SlotTold>, No> {
    let SubstituteSlotAsk { code, choose } = small(&edge, &peer, &headers, body).await?;
    let slot = edge.hub.substitute_slot(code).map_err(door_no)?;
    if let Some(SlotAsked { minutes }) = choose {
        choose_minutes(&slot, minutes).await?;
    }
    told(&edge, &slot).await
}
