//! The deck workshop: what decks there could be, how one would look, on paper too, and which are kept.
//! For teachers alone. Decks are drawn one after the other on a thread of their own.

use super::admit::{In, Sent, Teacher};
use super::refuse::No;
use super::{Edge, Shared, body};
use crate::deck::families::skills_on_offer;
use crate::deck::print::{Paper, PrintOptions, pack_pdf, sheet_pdf};
use crate::deck::wishes;
use crate::deck_length;
use crate::lesson::hub::{HeldMaterial, sentence};
use crate::limits::workshop::{ASK_BYTES_MAX, FILE_BYTES_MAX};
use crate::teacher::TeacherId;
use axum::body::Body;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use handround_protocol::id::{KeptDeckId, LessonId};
use handround_protocol::join::HttpRefusal;
use handround_protocol::skill::Skill;
use handround_protocol::view::LessonPlan;
use handround_protocol::workshop::{
    DeckLength, DeckPreview, KeptDeck, LengthAsk, NamedDeck, PreviewAsk, PrintAsk, SkillOffer,
    UseDeck,
};
use serde::Deserialize;
use std::sync::Arc;
use tokio::sync::{OwnedSemaphorePermit, Semaphore};

/// Does what takes a core for a while, within the bounds of `limits::workshop`.
pub async fn draw<T: Send + 'static>(
    edge: &Edge,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, No> {
    if !edge.rates.may_draw() {
        return Err(No::wait_a_moment());
    }
    on_a_thread(place(&edge.drawings).await?, work).await
}

/// The same for whoever holds a place of another kind.
pub(super) async fn draw_beside<T: Send + 'static>(
    edge: &Edge,
    place: OwnedSemaphorePermit,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, No> {
    if edge.rates.may_draw() { on_a_thread(place, work).await } else { Err(No::wait_a_moment()) }
}

/// A place for work that takes a core. It goes along with the work, which goes on when a browser that
/// asked for it has gone.
pub(super) async fn place(places: &Arc<Semaphore>) -> Result<OwnedSemaphorePermit, No> {
    places.clone().acquire_owned().await.map_err(|_| No::wait_a_moment())
}

async fn on_a_thread<T: Send + 'static>(
    place: OwnedSemaphorePermit,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, No> {
    let work = move || {
        let _place = place;
        work()
    };
    tokio::task::spawn_blocking(work).await.map_err(|_| {
        No::new(StatusCode::SERVICE_UNAVAILABLE, "The deck could not be drawn. Try again.")
    })
}

async fn material(
    edge: &Edge,
    teacher: TeacherId,
    skill: Skill,
    lesson: Option<LessonId>,
) -> Result<HeldMaterial, No> {
    let material = edge.hub.material(teacher, skill, lesson).await;
    material.map_err(|no| No::from_room(StatusCode::SERVICE_UNAVAILABLE, no))
}

fn bad(message: impl ToString) -> No {
    No::new(StatusCode::BAD_REQUEST, message.to_string())
}

/// `GET /workshop/skills`: what decks there could be.
pub async fn skills(State(edge): Shared) -> Result<Json<Vec<SkillOffer>>, No> {
    draw(&edge, skills_on_offer).await.map(Json)
}

/// `POST /workshop/preview`: how a deck would look.
pub async fn preview(
    State(edge): Shared,
    Extension(teacher): Teacher,
    Sent(ask): Sent<PreviewAsk, ASK_BYTES_MAX>,
) -> Result<Json<DeckPreview>, No> {
    let material = material(&edge, teacher, ask.deck.skill, ask.lesson).await?;
    draw(&edge, move || wishes::preview(&ask, material.lend())).await?.map(Json).map_err(bad)
}

/// `POST /workshop/length`: how long rounds and games with a deck will be.
pub async fn length(
    State(edge): Shared,
    Extension(teacher): Teacher,
    Sent(ask): Sent<LengthAsk, ASK_BYTES_MAX>,
) -> Result<Json<DeckLength>, No> {
    let range = deck_length::SLOT_MINUTES_RANGE;
    if ask.slot_minutes.is_some_and(|minutes| !range.contains(&minutes)) {
        return Err(bad("A slot has 5 to 120 minutes."));
    }
    let material = material(&edge, teacher, ask.deck.skill, ask.lesson).await?;
    let lesson = match ask.lesson {
        Some(lesson) => {
            edge.hub.board(teacher, lesson).await.map(|board| board.borrow().plan.clone())
        }
        None => None,
    };
    let plan = lesson.unwrap_or_else(|| LessonPlan::for_ages(ask.deck.ages));
    let plan = plan.with_deck(ask.deck.clone());
    // One at a time like drawings, but beside them: a look at the deck does not wait for it.
    draw_beside(&edge, place(&edge.simulations).await?, move || {
        let seed = wishes::seed_of(ask.draw);
        let deck = wishes::make(&ask.deck, material.lend(), seed).map_err(bad)?;
        let most = wishes::groups_max(&ask.deck, material.lend()).map_err(bad)?;
        let asked = deck_length::Asked {
            slot_minutes: ask.slot_minutes,
            ..deck_length::for_page(plan.ages, &deck, most)
        };
        let expected = deck_length::expect(&plan, &deck, &asked)
            .map_err(|refusal| bad(sentence(&refusal.to_string())))?;
        let good = expected
            .round
            .is_some_and(|round| deck_length::ROUND_S_RANGE.contains(&round.median_s));
        let better = expected.proposal.filter(|one| !good && one.groups != plan.groups);
        let groups = better.map(|proposal| proposal.groups);
        Ok(DeckLength { sentences: expected.sentences(), groups })
    })
    .await?
    .map(Json)
}

/// `POST /workshop/print`: the deck as a PDF.
pub async fn print(
    State(edge): Shared,
    Extension(teacher): Teacher,
    Sent(ask): Sent<PrintAsk, ASK_BYTES_MAX>,
) -> Result<Response, No> {
    let material = material(&edge, teacher, ask.deck.skill, ask.lesson).await?;
    let pdf = draw(&edge, move || {
        let seed = wishes::seed_of(ask.draw);
        let deck = wishes::make(&ask.deck, material.lend(), seed).map_err(bad)?;
        let paper = if ask.a4 { Paper::A4 } else { Paper::Letter };
        let options = PrintOptions {
            backs: ask.backs,
            letters: ask.letters.filter(|word| !word.trim().is_empty()),
            seats: ask.seats,
            ..PrintOptions::on(paper)
        };
        sheet_pdf(&deck.sheet(), &options).map_err(bad)
    });
    Ok(pdf_file("handround-deck.pdf", pdf.await??))
}

/// A PDF to save under this name.
pub(super) fn pdf_file(name: &str, pdf: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, pdf).into_response()
}

/// What stands behind the question mark of a lesson's pack and place cards.
#[derive(Deserialize)]
pub struct PaperAsk {
    paper: Option<String>,
}

impl PaperAsk {
    /// `a4` or `letter`; letter unless said otherwise.
    pub(super) fn paper(&self) -> Result<Paper, No> {
        self.paper.as_deref().unwrap_or("letter").parse().map_err(bad)
    }
}

/// `GET /lessons/{lesson}/pack.pdf?paper=`: the whole lesson on paper; `a4` or `letter`.
pub async fn pack(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Query(ask): Query<PaperAsk>,
) -> Result<Response, No> {
    let paper = ask.paper()?;
    let pack = edge.hub.pack(teacher, lesson).await;
    let pack = pack.map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))?;
    let pdf = draw(&edge, move || pack_pdf(&pack, paper, &mut |_, _| {}).map_err(bad));
    Ok(pdf_file("handround-lesson.pdf", pdf.await??))
}

/// `GET /workshop/decks`: the decks that are kept.
pub async fn kept(
    State(edge): Shared,
    Extension(teacher): Teacher,
) -> Result<Json<Vec<KeptDeck>>, No> {
    let kept = edge.hub.kept_decks(teacher).await;
    kept.map(Json).map_err(|no| No::from_room(StatusCode::SERVICE_UNAVAILABLE, no))
}

/// `POST /workshop/decks`: keeps a deck under its name, in place of one of the same name.
pub async fn keep(
    State(edge): Shared,
    Extension(teacher): Teacher,
    Sent(deck): Sent<NamedDeck, ASK_BYTES_MAX>,
) -> Result<(StatusCode, Json<KeptDeck>), No> {
    if !edge.rates.may_draw() {
        return Err(No::wait_a_moment());
    }
    kept_answer(edge.hub.keep_deck(teacher, deck, true).await)
}

fn kept_answer(kept: Result<KeptDeck, HttpRefusal>) -> Result<(StatusCode, Json<KeptDeck>), No> {
    kept.map(|kept| (StatusCode::CREATED, Json(kept)))
        .map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))
}

/// `DELETE /workshop/decks/{deck}`: forgets a deck.
pub async fn forget(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(deck): In<KeptDeckId>,
) -> Result<Json<()>, No> {
    let forgotten = edge.hub.forget_deck(teacher, deck).await;
    forgotten.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /workshop/decks/{deck}/file`: a deck as a file to share.
pub async fn file(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(deck): In<KeptDeckId>,
) -> Result<Response, No> {
    let shared = edge.hub.shared_deck(teacher, deck).await;
    let shared = shared.map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))?;
    Ok(attachment(&shared.deck.name, wishes::write_file(&shared).into_bytes()))
}

/// A JSON file for the browser to keep.
pub fn attachment(name: &str, bytes: Vec<u8>) -> Response {
    // Only letters and digits go into a header (RFC 6266 section 4.3 leaves the rest to trouble).
    let plain = |letter: char| if letter.is_ascii_alphanumeric() { letter } else { '-' };
    let name: String = name.chars().map(plain).collect();
    let headers = [
        (header::CONTENT_TYPE, "application/json".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"deck-{name}.json\"")),
    ];
    (headers, bytes).into_response()
}

/// `POST /workshop/file`: keeps the deck of a file; a name that is kept already gets a number.
pub async fn read_file(
    State(edge): Shared,
    Extension(teacher): Teacher,
    headers: HeaderMap,
    body: Body,
) -> Result<(StatusCode, Json<KeptDeck>), No> {
    let too_large = format!(
        "This file is too large for a deck: {} MB at the most. Is it the right file?",
        FILE_BYTES_MAX / 1024 / 1024
    );
    let bytes = body::read(&headers, body, FILE_BYTES_MAX, &too_large).await?;
    let shared = draw(&edge, move || wishes::read_file(&bytes)).await?;
    let shared = shared.map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))?;
    kept_answer(edge.hub.keep_shared_deck(teacher, shared).await)
}

/// `POST /lessons/{lesson}/plan`: how the next games are to be played.
pub async fn plan(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(plan): Sent<LessonPlan, ASK_BYTES_MAX>,
) -> Result<Json<()>, No> {
    let changed = edge.hub.change_plan(teacher, lesson, plan).await;
    changed.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}

/// `POST /lessons/{lesson}/deck`: another deck for the next games of a lesson or of one table.
pub async fn use_deck(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(lesson): In<LessonId>,
    Sent(wish): Sent<UseDeck, ASK_BYTES_MAX>,
) -> Result<Json<()>, No> {
    let changed = edge.hub.use_deck(teacher, lesson, wish).await;
    changed.map(Json).map_err(|no| No::from_room(StatusCode::CONFLICT, no))
}
