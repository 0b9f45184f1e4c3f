//! What a teacher sets up over HTTP before her board opens, and the face sheets that every device
//! loads before the first deal.

use super::peer::{Peer, is_own_origin};
use super::refuse::No;
use super::sessions::Signed;
use super::sign_in::bearer;
use super::{Edge, Shared, body};
use crate::limits::web::LESSON_NAME_CHARS_MAX;
use crate::teacher::TeacherId;
use axum::body::Body;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use handround_protocol::house::AgeBand;
use handround_protocol::id::{DeckId, LessonId, SeatIndex, TableId};
use handround_protocol::join::{LessonLine, LessonMade, PartnerSeat, RaceTold};
use handround_protocol::view::LessonPlan;
use serde::Deserialize;

/// Admits teachers alone, from our own pages or from a tool. Keys that are tried are counted.
pub fn admit_teacher(edge: &Edge, peer: &Peer, headers: &HeaderMap) -> Result<TeacherId, No> {
    admit_signed(edge, peer, headers).map(|signed| signed.holder.teacher())
}

/// The same for whoever has to know when the sign-in is over.
pub fn admit_signed(edge: &Edge, peer: &Peer, headers: &HeaderMap) -> Result<Signed, No> {
    if !is_own_origin(headers) {
        return Err(No::other_site());
    }
    if bearer(headers).is_some() && !edge.rates.may_try_key(peer.counted_address(headers)) {
        return Err(No::wait_a_moment());
    }
    edge.sign_in.who(headers, edge.hub.today()).ok_or_else(|| {
        if edge.sign_in.has_accounts() { No::sign_in_first() } else { No::teacher_only() }
    })
}

/// The same for one lesson, which need not be there and need not be hers: the hub looks.
pub fn admit(
    edge: &Edge,
    peer: &Peer,
    headers: &HeaderMap,
    lesson: &str,
) -> Result<(TeacherId, LessonId), No> {
    let teacher = admit_teacher(edge, peer, headers)?;
    Ok((teacher, known(lesson)?))
}

/// The lesson that an address names.
pub fn known(lesson: &str) -> Result<LessonId, No> {
    LessonId::from_hex(lesson).ok_or_else(No::not_found)
}

/// Admits teachers who send a body: a refused one is read to its end, so that its sender reads why.
pub async fn admit_sender(
    edge: &Edge,
    peer: &Peer,
    headers: &HeaderMap,
    body: Body,
) -> Result<(TeacherId, Body), No> {
    match admit_teacher(edge, peer, headers) {
        Ok(teacher) => Ok((teacher, body)),
        Err(no) => {
            body::throw_away(headers, body).await;
            Err(no)
        }
    }
}

/// `GET /lessons`: the lessons that are not over.
pub async fn list(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
) -> Result<Json<Vec<LessonLine>>, No> {
    let teacher = admit_teacher(&edge, &peer, &headers)?;
    Ok(Json(edge.hub.lessons(teacher).await))
}

/// What stands behind the question mark of `POST /lessons`.
#[derive(Deserialize)]
pub struct NewLesson {
    name: Option<String>,
    ages: Option<AgeBand>,
}

/// `POST /lessons?name=&ages=`: makes a lesson from a class list file, which is the body.
pub async fn make(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    query: Result<Query<NewLesson>, axum::extract::rejection::QueryRejection>,
    headers: HeaderMap,
    body: Body,
) -> Result<(StatusCode, Json<LessonMade>), No> {
    let (teacher, body) = admit_sender(&edge, &peer, &headers, body).await?;
    let class_list = body::read_class_list(&headers, body).await?;
    let bad = |message| No::new(StatusCode::BAD_REQUEST, message);
    let Query(NewLesson { name, ages }) =
        query.map_err(|_| bad("The ages must be FiveToSix, SixToSeven or SevenToEight."))?;
    let name = lesson_name(name.as_deref(), "Lesson")?;
    let plan = LessonPlan::for_ages(ages.unwrap_or(AgeBand::FiveToSix));
    let made = edge.hub.make_lesson(teacher, name, &class_list, plan).await;
    made.map(|made| (StatusCode::CREATED, Json(made)))
        .map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))
}

/// A name for a lesson or a class; `unnamed` where there is none.
pub fn lesson_name<'a>(name: Option<&'a str>, unnamed: &'a str) -> Result<&'a str, No> {
    let name = name.map(str::trim).filter(|name| !name.is_empty()).unwrap_or(unnamed);
    if name.chars().count() > LESSON_NAME_CHARS_MAX || name.chars().any(char::is_control) {
        let message = "Give the lesson a shorter name, on one line.";
        return Err(No::new(StatusCode::BAD_REQUEST, message));
    }
    Ok(name)
}

/// `POST /lessons/{lesson}/partners`: secrets for practice partners from outside.
pub async fn partners(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(lesson): Path<String>,
    headers: HeaderMap,
) -> Result<Json<Vec<PartnerSeat>>, No> {
    let (teacher, lesson) = admit(&edge, &peer, &headers, &lesson)?;
    let seats = edge.hub.partner_seats(teacher, lesson).await;
    seats.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /lessons/{lesson}/tables/{table}/race`: the last race, told to the teacher.
pub async fn race(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path((lesson, table)): Path<(String, String)>,
    headers: HeaderMap,
) -> Result<Json<RaceTold>, No> {
    let (teacher, lesson) = admit(&edge, &peer, &headers, &lesson)?;
    let table = TableId::from_hex(&table).ok_or_else(No::not_found)?;
    let told = edge.hub.last_race(teacher, lesson, table).await;
    told.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /lessons/{lesson}/tables/{table}/seats/{seat}/hand`: one seat's cards, opened by the teacher.
pub async fn hand(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path((lesson, table, seat)): Path<(String, String, String)>,
    headers: HeaderMap,
) -> Result<impl IntoResponse, No> {
    let (teacher, lesson) = admit(&edge, &peer, &headers, &lesson)?;
    let table = TableId::from_hex(&table).ok_or_else(No::not_found)?;
    let seat = seat.parse().map(SeatIndex).map_err(|_| No::not_found())?;
    let hand = edge.hub.hand(teacher, lesson, table, seat).await;
    // No cache keeps a child's cards.
    hand.map(|hand| ([(header::CACHE_CONTROL, "no-store")], Json(hand)))
        .map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /lessons/{lesson}/freeze`: eyes on me, from a teacher's page that has no board open. Says
/// whether any table stands still now.
pub async fn freeze(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(lesson): Path<String>,
    headers: HeaderMap,
) -> Result<Json<bool>, No> {
    let (teacher, lesson) = admit(&edge, &peer, &headers, &lesson)?;
    let frozen = edge.hub.freeze(teacher, lesson).await;
    frozen.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /decks/{deck}/faces`: never changes under its address, so every device keeps it.
pub async fn faces(State(edge): Shared, Path(deck): Path<String>) -> Result<Response, No> {
    let deck = DeckId::from_hex(&deck).ok_or_else(No::not_found)?;
    let sheet = edge.hub.face_sheet(deck).await.ok_or_else(No::not_found)?;
    let headers = [
        (header::CONTENT_TYPE, "application/json"),
        (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
    ];
    Ok((headers, sheet.to_string()).into_response())
}
