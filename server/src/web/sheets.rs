//! Two sheets around a lesson, as pages that print: the teacher's planning sheet, and a letter for
//! families with cards to cut out. For signed-in teachers; nothing is kept of them.

use super::admit::{In, Teacher};
use super::refuse::No;
use super::sheets_page::{Language, Planning, family_letter, planning};
use super::{Edge, Shared};
use crate::deck::families::skills_on_offer;
use crate::deck::print::Pack;
use crate::deck_length::SLOT_MINUTES_RANGE;
use crate::teacher::TeacherId;
use axum::Extension;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Html;
use handround_protocol::id::LessonId;
use handround_protocol::skill::Skill;
use handround_protocol::view::LessonPlan;
use serde::Deserialize;

/// Minutes for playing where none are named, as in the workshop.
const MINUTES: u16 = 20;

/// What may stand behind the question mark.
#[derive(Deserialize)]
pub struct Wish {
    minutes: Option<u16>,
    language: Option<String>,
}

async fn lesson(
    edge: &Edge,
    teacher: TeacherId,
    lesson: LessonId,
) -> Result<(LessonPlan, Pack), No> {
    let board = edge.hub.board(teacher, lesson).await.ok_or_else(No::not_found)?;
    let plan = board.borrow().plan.clone();
    let pack = edge.hub.pack(teacher, lesson).await;
    pack.map(|pack| (plan, pack)).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /lessons/{lesson}/planning?minutes=`: aim, standards, words, groups, questions, exit question.
pub async fn planning_sheet(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(id): In<LessonId>,
    Query(wish): Query<Wish>,
) -> Result<Html<String>, No> {
    let (plan, pack) = lesson(&edge, teacher, id).await?;
    let minutes = wish.minutes.unwrap_or(MINUTES);
    if !SLOT_MINUTES_RANGE.contains(&minutes) {
        return Err(No::new(StatusCode::BAD_REQUEST, "A slot has 5 to 120 minutes."));
    }
    // A setting differs from another one of the same skill in its numbers alone.
    let same = |skill: &Skill| std::mem::discriminant(skill) == std::mem::discriminant(&plan.skill);
    let offers = skills_on_offer();
    let offer = offers.iter().find(|one| one.settings.iter().any(|set| same(&set.skill)));
    Ok(Html(planning(&Planning { plan: &plan, pack: &pack, offer, minutes })))
}

/// `GET /lessons/{lesson}/family-letter?language=en|es`: what we play, cautions, and cards to cut out.
pub async fn letter(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(id): In<LessonId>,
    Query(wish): Query<Wish>,
) -> Result<Html<String>, No> {
    let (plan, pack) = lesson(&edge, teacher, id).await?;
    let language = match wish.language.as_deref() {
        None | Some("en") => Language::English,
        Some("es") => Language::Spanish,
        Some(_) => {
            let message = "The letter is there in English (en) and Spanish (es).";
            return Err(No::new(StatusCode::BAD_REQUEST, message));
        }
    };
    let deck = pack.decks.first().ok_or_else(No::not_found)?;
    if plan.skill == Skill::OurClass {
        let message = "These cards show the class. Choose other cards for families.";
        return Err(No::new(StatusCode::CONFLICT, message));
    }
    Ok(Html(family_letter(language, deck)))
}
