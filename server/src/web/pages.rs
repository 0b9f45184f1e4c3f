//! The pages of `server/pages/`: read from disk in a debug build, part of the binary in a release.

use super::Shared;
use super::peer::{Peer, is_own_origin};
use super::refuse::No;
use super::sign_in::{KeyUse, over_https};
use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use rust_embed::RustEmbed;
use serde::Deserialize;
use std::fmt::Write as _;

#[derive(RustEmbed)]
#[folder = "pages/"]
struct Pages;

/// `GET /` and `GET /j/{code}`: where children join and play; the page reads the code itself.
pub async fn pupil(headers: HeaderMap) -> Response {
    send("pupil.html", &headers)
}

/// `GET /hand`: one hand inside the page of a shared device.
pub async fn hand(headers: HeaderMap) -> Response {
    let mut response = send("pupil.html", &headers);
    super::headers::may_be_framed_by_us(&mut response);
    response
}

/// `GET /home`: a few lines for the adult beside a child at home.
pub async fn home(headers: HeaderMap) -> Response {
    send("home.html", &headers)
}

/// `GET /shared`: several hands on the teacher's own tablet.
pub async fn shared(headers: HeaderMap) -> Response {
    send("shared.html", &headers)
}

/// `GET /substitute`: a substitute's page, which reads the code itself.
pub async fn substitute(headers: HeaderMap) -> Response {
    send("substitute.html", &headers)
}

/// The drawing of an everyday picture; an empty one if there is none by that name.
pub fn drawing(name: &str) -> String {
    let page = Pages::get(&format!("pictures/{name}.svg"));
    page.map(|page| String::from_utf8_lossy(&page.data).into_owned())
        .unwrap_or_else(|| "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\"/>".into())
}

/// `GET /wall/{token}`: the wall display; the page reads the secret itself.
pub async fn wall(headers: HeaderMap) -> Response {
    send("wall.html", &headers)
}

/// `GET /pages/...`: scripts, styles, pictures.
pub async fn file(Path(path): Path<String>, headers: HeaderMap) -> Response {
    send(&path, &headers)
}

/// What may stand behind the question mark of `/teacher`.
#[derive(Deserialize)]
pub struct MaybeKey {
    key: Option<String>,
}

/// `GET /teacher`: her page, which holds nothing secret and asks for the rest; where there are accounts,
/// the page to sign in comes first. With a key it signs
/// the browser in and leaves the key out of the address bar.
pub async fn teacher(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Query(MaybeKey { key }): Query<MaybeKey>,
    method: Method,
    headers: HeaderMap,
) -> Response {
    // A HEAD request, such as a link checker's, must not use the key up.
    let Some(key) = key.filter(|_| method == Method::GET) else {
        let stranger = edge.sign_in.who(&headers, edge.hub.today()).is_none();
        if stranger && edge.sign_in.has_accounts() {
            return Redirect::to("/sign-in").into_response();
        }
        return send("teacher.html", &headers);
    };
    if !is_own_origin(&headers) {
        return No::other_site().into_response();
    }
    let now = edge.hub.today();
    // The same browser opens the printed address again: she is signed in already.
    if edge.sign_in.who(&headers, now).is_some() {
        return Redirect::to("/teacher").into_response();
    }
    if !edge.rates.may_try_key(peer.counted_address(&headers)) {
        return No::wait_a_moment().into_response();
    }
    match edge.sign_in.use_key(&key, over_https(&headers), now) {
        KeyUse::Begun(cookie) => {
            ([(header::SET_COOKIE, cookie)], Redirect::to("/teacher")).into_response()
        }
        KeyUse::Used => (
            StatusCode::FORBIDDEN,
            "This key has been used in another browser. Start Handround again for a new one.\n",
        )
            .into_response(),
        KeyUse::Off => (
            StatusCode::FORBIDDEN,
            "Teachers have accounts here, so the key is off. Open /sign-in and use your name and password.\n",
        )
            .into_response(),
        KeyUse::Wrong => (
            StatusCode::FORBIDDEN,
            "This key is not known here. Handround prints a new one each time it starts.\n",
        )
            .into_response(),
    }
}

/// Sends one file. Devices keep it and ask each time whether it is still the newest, so that a new
/// version never runs with half of the old one.
fn send(path: &str, request: &HeaderMap) -> Response {
    let Some(page) = Pages::get(path) else {
        return No::not_found().into_response();
    };
    let mut tag = String::from("\"");
    for byte in page.metadata.sha256_hash().iter().take(16) {
        let _ = write!(tag, "{byte:02x}");
    }
    tag.push('"');
    let kept = |value: &header::HeaderValue| {
        // Proxies that compress mark the tag as weak; the comparison is weak (RFC 9110 13.1.2).
        value
            .to_str()
            .is_ok_and(|tags| tags.split(',').any(|one| one.trim().trim_start_matches("W/") == tag))
    };
    let unchanged = request.get_all(header::IF_NONE_MATCH).iter().any(kept);
    let kind = page.metadata.mimetype();
    let kind =
        if kind.starts_with("text/") { format!("{kind}; charset=utf-8") } else { kind.into() };
    let headers = [(header::ETAG, tag), (header::CACHE_CONTROL, "no-cache".into())];
    if unchanged {
        return (StatusCode::NOT_MODIFIED, headers).into_response();
    }
    (headers, [(header::CONTENT_TYPE, kind)], page.data).into_response()
}
