//! Reports over HTTP, for signed-in teachers: pages that print well, JSON, CSV, and what could come
//! next. Each is computed when asked for; nothing is kept of it and no cache keeps it.

use super::classes::admit;
use super::peer::Peer;
use super::refuse::No;
use super::report_page;
use super::{Edge, Shared};
use crate::evidence::{ChildReport, ClassReport, report};
use crate::lesson::hub::Kept;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse};
use axum::{Extension, Json};
use handround_protocol::classes::NextTold;
use handround_protocol::id::{ClassId, LessonId};
use serde::Deserialize;

/// What may stand behind the question mark: one lesson, or all that are kept.
#[derive(Default, Deserialize)]
pub struct Which {
    lesson: Option<String>,
}

/// Reads the journals and judges them, one class at a time: it takes a core for a while.
pub(super) async fn judged<T: Send + 'static>(
    edge: &Edge,
    class: ClassId,
    which: &Which,
    then: impl FnOnce(Kept, ClassReport) -> T + Send + 'static,
) -> Result<T, No> {
    let lesson = match &which.lesson {
        Some(lesson) => Some(LessonId::from_hex(lesson).ok_or_else(No::not_found)?),
        None => None,
    };
    let _one_after_the_other = edge.simulations.acquire().await.map_err(|_| No::wait_a_moment())?;
    let kept = edge.hub.kept_evidence(class, lesson).await;
    let kept = kept.map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))?;
    let judging = move || {
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
    Extension(peer): Extension<Peer>,
    Path(class): Path<String>,
    Query(which): Query<Which>,
    headers: HeaderMap,
) -> Result<Json<ClassReport>, No> {
    let class = admit(&edge, &peer, &headers, &class)?;
    judged(&edge, class, &which, |_, found| found).await.map(Json)
}

/// `GET /classes/{class}/report`: the class on one page.
pub async fn page(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(class): Path<String>,
    Query(which): Query<Which>,
    headers: HeaderMap,
) -> Result<Html<String>, No> {
    let class = admit(&edge, &peer, &headers, &class)?;
    let page = move |kept: Kept, found: ClassReport| {
        let next = kept.next(&found);
        report_page::class(class, &kept, &found, &next)
    };
    judged(&edge, class, &which, page).await.map(Html)
}

/// `GET /classes/{class}/report/{child}`: one child on one page, by its line in the class list.
pub async fn child_page(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path((class, child)): Path<(String, String)>,
    Query(which): Query<Which>,
    headers: HeaderMap,
) -> Result<Html<String>, No> {
    let class = admit(&edge, &peer, &headers, &class)?;
    let child: usize = child.parse().map_err(|_| No::not_found())?;
    let page = move |kept: Kept, found: ClassReport| {
        found.children.get(child).map(|child| report_page::child(class, &kept, child))
    };
    judged(&edge, class, &which, page).await?.map(Html).ok_or_else(No::not_found)
}

/// `GET /classes/{class}/report.csv`. The name of the file tells nothing, since downloads lie about.
pub async fn csv(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Path(class): Path<String>,
    Query(which): Query<Which>,
    headers: HeaderMap,
) -> Result<impl IntoResponse, No> {
    let class = admit(&edge, &peer, &headers, &class)?;
    let table = judged(&edge, class, &which, |_, found| table(&found.children)).await?;
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
    Extension(peer): Extension<Peer>,
    Path(class): Path<String>,
    headers: HeaderMap,
) -> Result<Json<NextTold>, No> {
    let class = admit(&edge, &peer, &headers, &class)?;
    judged(&edge, class, &Which::default(), |kept, found| kept.next(&found)).await.map(Json)
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
