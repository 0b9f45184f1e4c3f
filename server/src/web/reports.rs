//! Reports over HTTP, for signed-in teachers: pages that print well, PDF, JSON, CSV, and what could come
//! next. Each is computed when asked for; nothing is kept of it and no cache keeps it.

use super::admit::{In, Teacher};
use super::refuse::No;
use super::report_page::{self, Place};
use super::workshop::{pdf_file, place};
use super::{Edge, Shared};
use crate::date::MinutesEast;
use crate::deck::print::{Paper, telling_pdf, told_on_paper, written_by_hand};
use crate::evidence::telling::{About, child_page, class_page};
use crate::evidence::{CAUTIONS, ChildReport, ClassReport, report};
use crate::lesson::hub::Kept;
use crate::teacher::TeacherId;
use crate::telling::Telling;
use axum::extract::{Query, State};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::{Extension, Json};
use handround_protocol::classes::NextTold;
use handround_protocol::id::{ClassId, LessonId};
use serde::Deserialize;

/// What may stand behind the question mark: one lesson, or all that are kept; where the teacher is, for
/// the dates; the paper of a PDF.
#[derive(Clone, Default, Deserialize)]
pub struct Which {
    /// The lesson.
    pub lesson: Option<String>,
    /// Minutes by which clocks there are ahead of Greenwich.
    pub east: Option<i32>,
    /// `a4` or `letter`.
    pub paper: Option<String>,
}

impl Which {
    fn lesson(&self) -> Result<Option<LessonId>, No> {
        let read = |text: &String| LessonId::from_hex(text).ok_or_else(No::not_found);
        self.lesson.as_ref().map(read).transpose()
    }

    fn east(&self) -> MinutesEast {
        self.east.and_then(MinutesEast::new).unwrap_or_default()
    }

    fn paper(&self) -> Result<Paper, No> {
        let paper = self.paper.as_deref().unwrap_or("letter").parse();
        paper.map_err(|why: String| No::new(StatusCode::BAD_REQUEST, why))
    }

    /// As an address ends, without the paper.
    pub(super) fn query(&self) -> String {
        let lesson = self.lesson.as_ref().map(|lesson| format!("lesson={lesson}"));
        let east = self.east.map(|_| format!("east={}", self.east().minutes()));
        let parts: Vec<String> = lesson.into_iter().chain(east).collect();
        if parts.is_empty() { String::new() } else { format!("?{}", parts.join("&")) }
    }
}

/// Reads the journals and judges them, one class at a time: it takes a core for a while.
pub(super) async fn judged<T: Send + 'static>(
    edge: &Edge,
    (teacher, class): (TeacherId, ClassId),
    which: &Which,
    then: impl FnOnce(Kept, ClassReport) -> T + Send + 'static,
) -> Result<T, No> {
    let lesson = which.lesson()?;
    let place = place(&edge.simulations).await?;
    let kept = edge.hub.kept_evidence(teacher, class, lesson).await;
    let kept = kept.map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))?;
    let judging = move || {
        let _place = place;
        let found = report(&kept.played());
        then(kept, found)
    };
    tokio::task::spawn_blocking(judging).await.map_err(|_| {
        No::new(StatusCode::SERVICE_UNAVAILABLE, "The report could not be made. Try again.")
    })
}

/// `GET /classes/{class}/report.json`.
pub async fn json(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Query(which): Query<Which>,
) -> Result<Json<ClassReport>, No> {
    judged(&edge, (teacher, class), &which, |_, found| found).await.map(Json)
}

/// The telling of a class, or of one child; `None` where there is no such child.
fn told(which: &Which, child: Option<usize>, kept: &Kept, found: &ClassReport) -> Option<Telling> {
    let about = About {
        class: &kept.name,
        only: which.lesson.as_ref().and_then(|_| kept.only()),
        lessons: kept.lessons(),
        east: which.east(),
    };
    match child {
        Some(child) => Some(child_page(&about, found.children.get(child)?)),
        None => {
            let next = which.lesson.is_none().then(|| kept.next(found));
            Some(class_page(&about, found, next.as_ref()))
        }
    }
}

async fn shown(
    edge: &Edge,
    (teacher, class): (TeacherId, ClassId),
    child: Option<usize>,
    which: Which,
) -> Result<Html<String>, No> {
    let of = which.clone();
    let page = move |kept: Kept, found: ClassReport| {
        let told = told(&of, child, &kept, &found)?;
        let named = |name: &&str| told.says(|text| text.contains(*name));
        let names = kept.children().map(|(name, _)| name).collect::<Vec<_>>();
        let by_hand = written_by_hand(names.iter().map(String::as_str).filter(named));
        let place = Place { class, class_name: &kept.name, child, which: &of, by_hand };
        Some(report_page::page(&place, &told))
    };
    judged(edge, (teacher, class), &which, page).await?.map(Html).ok_or_else(No::not_found)
}

/// On paper. Neither the file's name nor the document's title names anybody, since files lie about.
async fn on_paper(
    edge: &Edge,
    (teacher, class): (TeacherId, ClassId),
    child: Option<usize>,
    which: Which,
) -> Result<Response, No> {
    let (of, paper) = (which.clone(), which.paper()?);
    let pdf = move |kept: Kept, found: ClassReport| {
        let told = told(&of, child, &kept, &found)?;
        let told = told_on_paper(&told, &kept.children().collect::<Vec<_>>());
        Some(telling_pdf(&told, "Practice report", CAUTIONS[0], paper))
    };
    let pdf = judged(edge, (teacher, class), &which, pdf).await?.ok_or_else(No::not_found)?;
    let pdf = pdf.map_err(|why| No::new(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()))?;
    Ok(pdf_file("practice.pdf", pdf))
}

/// `GET /classes/{class}/report`: the class on one page.
pub async fn page(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Query(which): Query<Which>,
) -> Result<Html<String>, No> {
    shown(&edge, (teacher, class), None, which).await
}

/// `GET /classes/{class}/report/{child}`: one child on one page, by its line in the class list.
pub async fn child(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In((class, child)): In<(ClassId, usize)>,
    Query(which): Query<Which>,
) -> Result<Html<String>, No> {
    shown(&edge, (teacher, class), Some(child), which).await
}

/// `GET /classes/{class}/report.pdf?paper=`: the class on paper, `a4` or `letter`.
pub async fn page_pdf(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Query(which): Query<Which>,
) -> Result<Response, No> {
    on_paper(&edge, (teacher, class), None, which).await
}

/// `GET /classes/{class}/report/{child}/pdf?paper=`: one child on paper.
pub async fn child_pdf(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In((class, child)): In<(ClassId, usize)>,
    Query(which): Query<Which>,
) -> Result<Response, No> {
    on_paper(&edge, (teacher, class), Some(child), which).await
}

/// `GET /classes/{class}/report.csv`. The name of the file tells nothing, since downloads lie about.
pub async fn csv(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
    Query(which): Query<Which>,
) -> Result<impl IntoResponse, No> {
    let table = judged(&edge, (teacher, class), &which, |_, found| table(&found.children)).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8; header=present"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"practice.csv\""),
    ];
    Ok((headers, table))
}

/// `GET /classes/{class}/next`: suggested groups, each with a deck that the workshop takes, and why.
/// They rest on all that is kept, so that the groups page and the workshop say the same.
pub async fn next(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(class): In<ClassId>,
) -> Result<Json<NextTold>, No> {
    judged(&edge, (teacher, class), &Which::default(), |kept, found| kept.next(&found))
        .await
        .map(Json)
}

/// One row for each child and item, as the pages say it: hidden figures are empty.
fn table(children: &[ChildReport]) -> Vec<u8> {
    let mut out = csv::Writer::from_writer(Vec::new());
    let number = |found: Option<f64>| found.map_or_else(String::new, |found| format!("{found:.2}"));
    let head = ["child", "deck", "item", "in this game", "chances", "kept", "at least", "at most"];
    // Writing into memory cannot fail.
    let _ = out.write_record(head);
    for child in children {
        for item in &child.items {
            let kept = item.kept.map_or_else(String::new, |kept| kept.to_string());
            let _ = out.write_record([
                plain(&child.name),
                plain(&item.skill),
                plain(&item.title),
                item.says.words().to_owned(),
                item.chances.to_string(),
                kept,
                number(item.interval.map(|interval| interval.least)),
                number(item.interval.map(|interval| interval.greatest)),
            ]);
        }
    }
    out.into_inner().unwrap_or_default()
}

/// A cell that no spreadsheet takes for a formula (OWASP's advice on CSV injection, from memory).
fn plain(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if formula { format!("'{text}") } else { text.to_owned() }
}
