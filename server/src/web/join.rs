//! Joining without typing: the row of pictures, the link, the place.

use super::Shared;
use super::admit::Sent;
use super::refuse::No;
use crate::limits::web::JOIN_BYTES_MAX;
use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use handround_protocol::join::{JoinLink, JoinPick, JoinPlaces, JoinRow, Joined};

type Answer<T> = Result<Json<T>, No>;

/// `POST /join/row`: a child tapped the row that the teacher shows.
pub async fn row(
    State(edge): Shared,
    Sent(JoinRow { row }): Sent<JoinRow, JOIN_BYTES_MAX>,
) -> Answer<JoinPlaces> {
    let places = edge.hub.places_by_row(&row).await;
    places.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /join/link`: a device opened the link of the QR code.
pub async fn link(
    State(edge): Shared,
    Sent(JoinLink { code }): Sent<JoinLink, JOIN_BYTES_MAX>,
) -> Answer<JoinPlaces> {
    let places = edge.hub.places_by_link(code).await;
    places.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /join/place`: a child tapped the own name and picture.
pub async fn place(
    State(edge): Shared,
    Sent(JoinPick { ticket, pupil }): Sent<JoinPick, JOIN_BYTES_MAX>,
) -> Answer<Joined> {
    let joined = edge.hub.take_place(ticket, pupil).await;
    joined.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}
