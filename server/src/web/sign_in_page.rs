//! Signing in with a name and a password, on a page without a script; signing out; and whose account a
//! browser is signed in with. Names and passwords stand in no log.
//!
//! A wrong password and an unknown name are answered alike and take the same work.

use super::headers::posts_its_form;
use super::peer::{Peer, is_own_origin};
use super::printed::{Frame, safe};
use super::refuse::No;
use super::sessions::Signed;
use super::sign_in::over_https;
use super::{Edge, Shared, body};
use crate::account::{self, spend_as_much};
use crate::limits::account::{NAME_CHARS_MAX, PASSWORD_CHARS_MAX};
use crate::limits::web::{HASH_WAIT, SIGN_IN_BYTES_MAX};
use axum::body::Body;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::{Extension, Json};
use serde::Deserialize;
use tokio::time::timeout;

const WRONG: &str = "This name and password do not belong together. Try again.";
pub const WAIT: &str = "That was often. Wait a minute, then try again.";
pub const UNREAD: &str = "What you typed did not arrive whole. Try again.";

/// `GET /sign-in`.
pub async fn page(State(edge): Shared) -> Response {
    shown(StatusCode::OK, if edge.sign_in.has_accounts() { form("", "") } else { with_key() })
}

/// What the page's form sends.
#[derive(Deserialize)]
struct Tried {
    name: String,
    password: String,
}

/// `POST /sign-in`: on to the lessons, or the page again with a sentence.
pub async fn enter(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    headers: HeaderMap,
    body: Body,
) -> Response {
    if !is_own_origin(&headers) {
        return No::other_site().into_response();
    }
    let body = match body::read(&headers, body, SIGN_IN_BYTES_MAX, UNREAD).await {
        Ok(body) => body,
        Err(no) => return no.into_response(),
    };
    let Ok(Tried { name, password }) = serde_urlencoded::from_bytes(&body) else {
        return shown(StatusCode::BAD_REQUEST, form("", UNREAD));
    };
    let too_often = |name: &str| {
        let page = shown(StatusCode::TOO_MANY_REQUESTS, form(name, WAIT));
        ([(header::RETRY_AFTER, "60")], page).into_response()
    };
    if !edge.rates.may_sign_in(peer.counted_address(&headers), &name) {
        return too_often(&name);
    }
    let begun = match proved(&edge, &name, password).await {
        Ok(Some(account)) => {
            edge.sign_in.begin(&account, &headers, over_https(&headers), edge.hub.today())
        }
        Ok(None) => None,
        Err(Busy) => return too_often(&name),
    };
    match begun {
        Some(cookie) => ([(header::SET_COOKIE, cookie)], Redirect::to("/teacher")).into_response(),
        // Not 401, which asks for a kind of sign-in that browsers know themselves (RFC 9110 15.5.2).
        None => shown(StatusCode::FORBIDDEN, form(&name, WRONG)),
    }
}

/// Too many passwords are being hashed.
pub struct Busy;

/// The account of this name, if this is its password.
pub async fn proved(
    edge: &Edge,
    name: &str,
    password: String,
) -> Result<Option<account::Account>, Busy> {
    let accounts = edge.sign_in.accounts();
    let account = account::find(&accounts, name).cloned();
    let proving = move || match account {
        Some(account) => account.password.is_of(&password).then_some(account),
        None => {
            spend_as_much(&password);
            None
        }
    };
    hashing(edge, proving).await
}

/// Hashes on a thread of its own, after its turn.
pub async fn hashing<T: Send + 'static>(
    edge: &Edge,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Busy> {
    let place = timeout(HASH_WAIT, edge.hashings.clone().acquire_owned()).await;
    let place = place.map_err(|_| Busy)?.map_err(|_| Busy)?;
    let working = move || {
        // Held to the end of the work, also if the browser has gone away.
        let _place = place;
        work()
    };
    tokio::task::spawn_blocking(working).await.map_err(|_| Busy)
}

/// `POST /sign-out`: this browser's sign-in is over.
pub async fn leave(State(edge): Shared, headers: HeaderMap) -> Response {
    if !is_own_origin(&headers) {
        return No::other_site().into_response();
    }
    let cookie = edge.sign_in.end(&headers, over_https(&headers));
    ([(header::SET_COOKIE, cookie)], Json(())).into_response()
}

/// `GET /account`: the name that the teacher signed in with; none with a key.
pub async fn account(
    State(edge): Shared,
    Extension(signed): Extension<Signed>,
) -> Json<Option<String>> {
    Json(edge.sign_in.name_of(signed.holder))
}

fn shown(status: StatusCode, main: String) -> Response {
    form_page("Handround: sign in", status, &main)
}

/// A page about a teacher's account, which posts its own form.
pub fn form_page(title: &str, status: StatusCode, main: &str) -> Response {
    let frame = Frame {
        language: "en",
        title,
        class: "sign-in",
        styles: &["teacher", "sign-in"],
        above: "",
    };
    let mut response = (status, Html(frame.around(main))).into_response();
    posts_its_form(&mut response);
    response
}

fn with_key() -> String {
    "<img class=\"big-art\" src=\"/pages/art/gate.svg\" alt=\"\"><h1>This is the teacher’s page</h1>\
     <p>Open the address with the key that the program printed when it started. It signs this browser \
     in.</p>"
        .to_owned()
}

/// The form, with what was tried before and what was wrong with it; the field to type in has the focus.
fn form(name: &str, wrong: &str) -> String {
    let [first, second] = if wrong.is_empty() { [" autofocus", ""] } else { ["", " autofocus"] };
    let told = if wrong.is_empty() { "" } else { " aria-describedby=\"wrong\"" };
    // A name that is longer than any was never anybody's.
    let name: String = name.chars().take(NAME_CHARS_MAX).collect();
    format!(
        "<img class=\"big-art\" src=\"/pages/art/gate.svg\" alt=\"\"><h1>Sign in</h1>\
         <p id=\"wrong\" class=\"error\" role=\"alert\">{wrong}</p>\
         <form method=\"post\" action=\"/sign-in\">\
         <label for=\"name\">Name</label>\
         <input id=\"name\" name=\"name\" type=\"text\" value=\"{name}\" maxlength=\"{NAME_CHARS_MAX}\" required \
         autocomplete=\"username\" autocapitalize=\"none\" spellcheck=\"false\"{first}{told}>\
         <label for=\"password\">Password</label>\
         <input id=\"password\" name=\"password\" type=\"password\" maxlength=\"{PASSWORD_CHARS_MAX}\" required \
         autocomplete=\"current-password\"{second}{told}>\
         <button class=\"button\" type=\"submit\">Sign in</button></form>\
         <p class=\"hint\">Forgotten? Whoever looks after this server can give you a new password. \
         The key that the program printed signs nobody in any more, since there are accounts.</p>",
        wrong = safe(wrong),
        name = safe(&name),
    )
}
