//! The door of a lesson over HTTP: cards, links and tablets, devices that wait for the teacher's answer,
//! places taken back; her side of it; and place cards on paper. Codes come in bodies, never in an
//! address, so that no log holds one.

use super::admit::{In, Sent, Teacher};
use super::pages::drawing;
use super::refuse::No;
use super::workshop::{PaperAsk, draw, pdf_file};
use super::{Edge, Shared};
use crate::deck::print::{PlaceCard, PrintError, place_cards_pdf};
use crate::lesson::hub::{DoorNo, Entered};
use crate::limits::web::JOIN_BYTES_MAX;
use crate::teacher::TeacherId;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use handround_protocol::door::{
    DoorCard, DoorPick, DoorSays, DoorTablet, DoorUndo, DoorView, DoorWait, SharedAsked,
};
use handround_protocol::id::{LessonId, PupilIndex};
use handround_protocol::join::{HttpRefusal, Joined};
use serde::Deserialize;

/// 202 says that the answer comes later (RFC 9110 section 15.3.3).
fn entered(entered: Entered) -> Response {
    match entered {
        Entered::In(joined) => Json(joined).into_response(),
        Entered::Waits(wait) => (StatusCode::ACCEPTED, Json(wait)).into_response(),
    }
}

fn conflict(refusal: HttpRefusal) -> No {
    No::from_room(StatusCode::CONFLICT, refusal)
}

/// 410 for what will never lead anywhere again, so that a page stops trying.
pub fn door_no(refusal: DoorNo) -> No {
    match refusal {
        DoorNo::Gone(refusal) => No::from_room(StatusCode::GONE, refusal),
        DoorNo::NotNow(refusal) => conflict(refusal),
    }
}

/// `POST /join/ask`: a child tapped the own picture, on a page that can wait.
pub async fn ask(
    State(edge): Shared,
    Sent(pick): Sent<DoorPick, JOIN_BYTES_MAX>,
) -> Result<Response, No> {
    edge.hub.enter_by_picture(&pick).await.map(entered).map_err(conflict)
}

/// `POST /join/card`: a place card or a home link was opened.
pub async fn card(
    State(edge): Shared,
    Sent(DoorCard { code, held }): Sent<DoorCard, JOIN_BYTES_MAX>,
) -> Result<Response, No> {
    edge.hub.enter_by_code(code, held).await.map(entered).map_err(door_no)
}

/// `POST /join/tablet`: a tablet of the cart asks whose it is, or sits down.
pub async fn tablet(
    State(edge): Shared,
    Sent(DoorTablet { tablet, sit, held }): Sent<DoorTablet, JOIN_BYTES_MAX>,
) -> Result<Response, No> {
    if sit {
        return edge.hub.enter_by_tablet(tablet, held).await.map(entered).map_err(door_no);
    }
    Ok(Json(edge.hub.whose_tablet(tablet).await).into_response())
}

/// What `POST /join/wait` reads: the name that the device got.
#[derive(Deserialize)]
pub struct Waits {
    wait: handround_protocol::id::Token,
}

/// `POST /join/wait`: is there an answer yet? Asked every second or two by a few, so it is counted with
/// the joins.
pub async fn wait(
    State(edge): Shared,
    Sent(Waits { wait }): Sent<Waits, JOIN_BYTES_MAX>,
) -> Result<Response, No> {
    match edge.hub.ask_answer(wait).map_err(conflict)? {
        Some(joined) => Ok(Json(joined).into_response()),
        None => {
            let still = DoorWait { wait, name: String::new(), picture: None };
            Ok(entered(Entered::Waits(still)))
        }
    }
}

/// `POST /join/undo`: it was the wrong picture.
pub async fn undo(
    State(edge): Shared,
    Sent(DoorUndo { token }): Sent<DoorUndo, JOIN_BYTES_MAX>,
) -> Result<Json<()>, No> {
    edge.hub.undo_place(token).await.map(Json).map_err(conflict)
}

/// `GET /lessons/{lesson}/door`.
pub async fn look(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<DoorView>, No> {
    told(&edge, teacher, lesson).await
}

async fn told(edge: &Edge, teacher: TeacherId, lesson: LessonId) -> Result<Json<DoorView>, No> {
    let view = edge.hub.door(teacher, lesson).await;
    view.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `POST /lessons/{lesson}/door`.
pub async fn says(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(says): Sent<DoorSays, JOIN_BYTES_MAX>,
) -> Result<Json<DoorView>, No> {
    edge.hub.door_says(teacher, lesson, says).await.map_err(conflict)?;
    told(&edge, teacher, lesson).await
}

/// `POST /lessons/{lesson}/home`: home links begin.
pub async fn home(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
) -> Result<Json<DoorView>, No> {
    edge.hub.begin_home_links(teacher, lesson).await.map_err(conflict)?;
    told(&edge, teacher, lesson).await
}

/// `POST /lessons/{lesson}/shared`: children who play at the teacher's own tablet.
pub async fn shared(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(SharedAsked { pupils }): Sent<SharedAsked, JOIN_BYTES_MAX>,
) -> Result<Json<Vec<Joined>>, No> {
    edge.hub.share(teacher, lesson, &pupils).await.map(Json).map_err(conflict)
}

/// What else may stand behind the question mark of place cards.
#[derive(Deserialize)]
pub struct CardAsk {
    pupil: Option<u16>,
}

/// `GET /lessons/{lesson}/place-cards.pdf?paper=&pupil=`: one card a child, or one child's; `a4` or `letter`.
pub async fn place_cards(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Query(ask): Query<PaperAsk>,
    Query(CardAsk { pupil }): Query<CardAsk>,
) -> Result<Response, No> {
    let paper = ask.paper()?;
    let cards = edge.hub.place_cards(teacher, lesson, pupil.map(PupilIndex)).await;
    let (class, places) = cards.map_err(conflict)?;
    let cards = places.into_iter().map(|place| PlaceCard {
        picture_svg: drawing(&place.picture.name()),
        name: place.name,
        address: place.address,
    });
    let cards: Vec<PlaceCard> = cards.collect();
    let title = format!("{class}: place cards");
    let pdf = draw(&edge, move || place_cards_pdf(&title, &cards, paper));
    let bad = |error: PrintError| No::new(StatusCode::BAD_REQUEST, error.to_string());
    Ok(pdf_file("handround-place-cards.pdf", pdf.await?.map_err(bad)?))
}
