//! Joining without typing: the row of pictures, the link, the place.

use super::peer::{Peer, is_own_origin};
use super::refuse::No;
use super::{Shared, body};
use crate::limits::web::JOIN_BYTES_MAX;
use axum::body::Body;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::{Extension, Json};
use handround_protocol::join::{JoinLink, JoinPick, JoinPlaces, JoinRow, Joined};

type Answer<T> = Result<Json<T>, No>;

/// `POST /join/row`: a child tapped the row that the teacher shows.
pub async fn row(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Answer<JoinPlaces> {
    own(&headers)?;
    if !edge.rates.may_try_row(peer.counted_address(&headers)) {
        return Err(No::wait_a_moment());
    }
    let JoinRow { row } = body::read_json(&headers, body, JOIN_BYTES_MAX).await?;
    let places = edge.hub.places_by_row(&row).await;
    places.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /join/link`: a device opened the link of the QR code.
pub async fn link(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Answer<JoinPlaces> {
    own(&headers)?;
    if !edge.rates.may_join(peer.counted_address(&headers)) {
        return Err(No::wait_a_moment());
    }
    let JoinLink { code } = body::read_json(&headers, body, JOIN_BYTES_MAX).await?;
    let places = edge.hub.places_by_link(code).await;
    places.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /join/place`: a child tapped the own name and picture.
pub async fn place(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Answer<Joined> {
    own(&headers)?;
    if !edge.rates.may_join(peer.counted_address(&headers)) {
        return Err(No::wait_a_moment());
    }
    let JoinPick { ticket, pupil } = body::read_json(&headers, body, JOIN_BYTES_MAX).await?;
    let joined = edge.hub.take_place(ticket, pupil).await;
    joined.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}

fn own(headers: &HeaderMap) -> Result<(), No> {
    if is_own_origin(headers) { Ok(()) } else { Err(No::other_site()) }
}
