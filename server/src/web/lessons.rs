//! What a teacher sets up over HTTP before her board opens, and the face sheets that every device
//! loads before the first deal.

use super::admit::{In, Teacher};
use super::refuse::No;
use super::{Shared, body};
use crate::limits::web::LESSON_NAME_CHARS_MAX;
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

/// `GET /lessons`: the lessons that are not over.
pub async fn list(
    State(edge): Shared,
    Extension(teacher): Teacher,
) -> Result<Json<Vec<LessonLine>>, No> {
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
    Extension(teacher): Teacher,
    query: Result<Query<NewLesson>, axum::extract::rejection::QueryRejection>,
    headers: HeaderMap,
    body: Body,
) -> Result<(StatusCode, Json<LessonMade>), No> {
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
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<Vec<PartnerSeat>>, No> {
    let seats = edge.hub.partner_seats(teacher, lesson).await;
    seats.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /lessons/{lesson}/tables/{table}/race`: the last race, told to the teacher.
pub async fn race(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In((lesson, table)): In<(LessonId, TableId)>,
) -> Result<Json<RaceTold>, No> {
    let told = edge.hub.last_race(teacher, lesson, table).await;
    told.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /lessons/{lesson}/tables/{table}/seats/{seat}/hand`: one seat's cards, opened by the teacher.
pub async fn hand(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In((lesson, table, seat)): In<(LessonId, TableId, SeatIndex)>,
) -> Result<impl IntoResponse, No> {
    let hand = edge.hub.hand(teacher, lesson, table, seat).await;
    // No cache keeps a child's cards.
    hand.map(|hand| ([(header::CACHE_CONTROL, "no-store")], Json(hand)))
        .map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /lessons/{lesson}/freeze`: eyes on me, from a teacher's page that has no board open. Says
/// whether any table stands still now.
pub async fn freeze(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<bool>, No> {
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
