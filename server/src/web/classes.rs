//! Kept classes over HTTP, for signed-in teachers: the list, its file, groups, deleting.

use super::admit::{In, Sent, Teacher};
use super::lessons::lesson_name;
use super::refuse::No;
use super::reports::{Which, judged};
use super::{Shared, body};
use crate::lesson::hub::Kept;
use crate::limits::web::{GROUPS_BYTES_MAX, JOIN_BYTES_MAX, LESSON_BYTES_MAX};
use axum::body::Body;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::IntoResponse;
use axum::{Extension, Json};
use handround_protocol::classes::{
    ClassLine, ClassTold, GroupWay, GroupsAsked, GroupsTold, HomeAsked, LessonAsked, PictureAsked,
};
use handround_protocol::id::ClassId;
use handround_protocol::join::{HttpRefusal, LessonMade};
use serde::Deserialize;

fn bad(refusal: HttpRefusal) -> No {
    No::from_room(StatusCode::BAD_REQUEST, refusal)
}

/// `GET /classes`.
pub async fn list(
    State(edge): Shared,
    Extension(teacher): Teacher,
) -> Result<Json<Vec<ClassLine>>, No> {
    edge.hub.classes(teacher).await.map(Json).map_err(bad)
}

/// What stands behind the question mark of `POST /classes`.
#[derive(Deserialize)]
pub struct NewClass {
    name: Option<String>,
}

/// `POST /classes?name=`: keeps a class from a class list file, which is the body.
pub async fn keep(
    State(edge): Shared,
    Extension(teacher): Teacher,
    Query(NewClass { name }): Query<NewClass>,
    headers: HeaderMap,
    body: Body,
) -> Result<(StatusCode, Json<ClassTold>), No> {
    let file = body::read_class_list(&headers, body).await?;
    let name = lesson_name(name.as_deref(), "Class")?;
    let kept = edge.hub.keep_class(teacher, name, &file).await;
    kept.map(|kept| (StatusCode::CREATED, Json(kept))).map_err(bad)
}

/// `GET /classes/{class}`.
pub async fn one(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
) -> Result<Json<ClassTold>, No> {
    let told = edge.hub.class(teacher, class).await;
    told.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `PUT /classes/{class}`: another list for the same class.
pub async fn change(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    headers: HeaderMap,
    body: Body,
) -> Result<Json<ClassTold>, No> {
    let file = body::read_class_list(&headers, body).await?;
    edge.hub.change_class(teacher, class, &file).await.map(Json).map_err(bad)
}

/// `GET /classes/{class}/list.csv`: everything that is kept about its children, as a file. The
/// name of the file tells nothing, since downloads lie about.
pub async fn export(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
) -> Result<impl IntoResponse, No> {
    let file = edge.hub.export_class(teacher, class).await;
    let file = file.map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))?;
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8; header=present"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"class-list.csv\""),
    ];
    Ok((headers, file))
}

/// `DELETE /classes/{class}`.
pub async fn delete(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
) -> Result<Json<()>, No> {
    let deleted = edge.hub.delete_class(teacher, class).await;
    deleted.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}

/// `POST /classes/{class}/picture`.
pub async fn picture(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Sent(asked): Sent<PictureAsked, JOIN_BYTES_MAX>,
) -> Result<Json<ClassTold>, No> {
    edge.hub.choose_picture(teacher, class, asked).await.map(Json).map_err(bad)
}

/// `POST /classes/{class}/home`.
pub async fn home(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Sent(asked): Sent<HomeAsked, JOIN_BYTES_MAX>,
) -> Result<Json<ClassTold>, No> {
    edge.hub.choose_home(teacher, class, asked).await.map(Json).map_err(bad)
}

/// `POST /classes/{class}/groups`.
pub async fn groups(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Sent(asked): Sent<GroupsAsked, GROUPS_BYTES_MAX>,
) -> Result<Json<GroupsTold>, No> {
    let told = match &asked {
        GroupsAsked::Choose { way: GroupWay::FromPlay, .. }
        | GroupsAsked::ByHand { with_decks: true, .. } => {
            let choose = move |kept: Kept, found| kept.groups(&found, &asked);
            judged(&edge, (teacher, class), &Which::default(), choose).await?
        }
        _ => edge.hub.groups(teacher, class, &asked).await,
    };
    told.map(Json).map_err(bad)
}

/// `POST /classes/{class}/lessons`.
pub async fn lesson(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Sent(mut asked): Sent<LessonAsked, LESSON_BYTES_MAX>,
) -> Result<(StatusCode, Json<LessonMade>), No> {
    if !asked.decks.iter().flatten().all(|deck| deck.wishes.within_bounds()) {
        return Err(No::new(StatusCode::BAD_REQUEST, "This deck has too many wishes."));
    }
    asked.name = lesson_name(Some(&asked.name), "Lesson")?.to_owned();
    let made = edge.hub.make_lesson_of(teacher, class, &asked).await;
    made.map(|made| (StatusCode::CREATED, Json(made))).map_err(bad)
}
