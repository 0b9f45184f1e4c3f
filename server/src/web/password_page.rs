//! A teacher's own password, on a page without a script: the one of now is asked for, under the same rates as
//! signing in. Her other browsers are signed out. No password stands in a log.

use super::peer::Peer;
use super::printed::safe;
use super::refuse::No;
use super::sessions::{Holder, Signed};
use super::sign_in::{over_https, random_token};
use super::sign_in_page::{Busy, UNREAD, WAIT, form_page, hashing, proved};
use super::{Edge, Shared, body};
use crate::account::{Account, Password, PasswordHash};
use crate::lesson::hub::sentence;
use crate::limits::account::{PASSWORD_CHARS_MAX, PASSWORD_CHARS_MIN};
use crate::limits::web::SIGN_IN_BYTES_MAX;
use axum::Extension;
use axum::body::Body;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

const WRONG: &str = "That is not your password of now. Try again.";
const DIFFERENT: &str = "The new password was typed in two different ways. Try again.";
const SAME: &str = "That is your password already. Choose another one.";
const TROUBLE: &str =
    "The server could not write this down. Your password of before is good. Try again.";
const KEY: &str = "You came with a key and not with an account, so there is no password to change.";

/// `GET /account/password`.
pub async fn page(State(edge): Shared, Extension(signed): Extension<Signed>) -> Response {
    match edge.sign_in.name_of(signed.holder) {
        Some(name) => shown(StatusCode::OK, form(&name, "")),
        None => No::new(StatusCode::CONFLICT, KEY).into_response(),
    }
}

/// What the page's form sends.
#[derive(Deserialize)]
struct Asked {
    now: String,
    new: String,
    again: String,
}

/// `POST /account/password`: changed, or the page again with a sentence.
pub async fn change(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    Extension(signed): Extension<Signed>,
    headers: HeaderMap,
    body: Body,
) -> Response {
    let body = match body::read(&headers, body, SIGN_IN_BYTES_MAX, UNREAD).await {
        Ok(body) => body,
        Err(no) => return no.into_response(),
    };
    let Some(name) = edge.sign_in.name_of(signed.holder) else {
        return No::new(StatusCode::CONFLICT, KEY).into_response();
    };
    let again = |status, words: &str| shown(status, form(&name, words));
    let Ok(asked) = serde_urlencoded::from_bytes::<Asked>(&body) else {
        return again(StatusCode::BAD_REQUEST, UNREAD);
    };
    if !edge.rates.may_sign_in(peer.counted_address(&headers), &name) {
        return ([(header::RETRY_AFTER, "60")], again(StatusCode::TOO_MANY_REQUESTS, WAIT))
            .into_response();
    }
    match changed(&edge, &name, signed.holder, asked).await {
        Ok(account) => {
            // At once, and not only with the next look.
            edge.look_at_accounts().await;
            let cookie =
                edge.sign_in.begin(&account, &headers, over_https(&headers), edge.hub.today());
            let page = shown(StatusCode::OK, done(cookie.is_some()));
            match cookie {
                Some(cookie) => ([(header::SET_COOKIE, cookie)], page).into_response(),
                None => page,
            }
        }
        Err(Refusal::Busy) => {
            ([(header::RETRY_AFTER, "60")], again(StatusCode::TOO_MANY_REQUESTS, WAIT))
                .into_response()
        }
        Err(Refusal::No(status, words)) => again(status, &words),
    }
}

enum Refusal {
    Busy,
    No(StatusCode, String),
}

impl From<Busy> for Refusal {
    fn from(_: Busy) -> Refusal {
        Refusal::Busy
    }
}

/// The account with its new password, kept. Who has to prove what comes before what is wrong with the new
/// one, so that a page left open tells a stranger nothing.
async fn changed(
    edge: &Edge,
    name: &str,
    holder: Holder,
    Asked { now, new, again }: Asked,
) -> Result<Account, Refusal> {
    let refused = |status, words: &str| Refusal::No(status, words.to_owned());
    let account = proved(edge, name, now.clone()).await?;
    let account = account.filter(|account| Holder::of(account) == holder);
    let account = account.ok_or_else(|| refused(StatusCode::FORBIDDEN, WRONG))?;
    let bad = |words: &str| refused(StatusCode::BAD_REQUEST, words);
    if new != again {
        return Err(bad(DIFFERENT));
    }
    if new == now {
        return Err(bad(SAME));
    }
    let password = Password::new(&new, &[name, edge.hub.public_url()]);
    let password = password.map_err(|no| bad(&sentence(&no.to_string())))?;
    let trouble = || refused(StatusCode::SERVICE_UNAVAILABLE, TROUBLE);
    let salt = random_token().map_err(|_| trouble())?.0;
    let hash = hashing(edge, move || PasswordHash::of(&password, salt)).await?;
    let kept = edge.hub.change_password(&account, hash.map_err(|_| trouble())?).await;
    let kept = kept.map_err(|error| {
        tracing::error!(%error, "a password could not be kept");
        trouble()
    })?;
    // It was changed or removed beside us while the hash was made.
    kept.ok_or_else(|| refused(StatusCode::FORBIDDEN, WRONG))
}

fn shown(status: StatusCode, main: String) -> Response {
    form_page("Handround: your password", status, &main)
}

fn done(signed_in: bool) -> String {
    let (to, words) =
        if signed_in { ("/teacher", "To your lessons") } else { ("/sign-in", "Sign in") };
    format!(
        "<img class=\"big-art\" src=\"/pages/art/key.svg\" alt=\"\"><h1>Your password is changed</h1>\
         <p>Every other browser that was signed in with the old one is signed out.</p>\
         <p><a class=\"button\" href=\"{to}\">{words}</a></p>"
    )
}

/// The form with what was wrong. What was typed is never sent back.
fn form(name: &str, wrong: &str) -> String {
    let told = if wrong.is_empty() { "" } else { " aria-describedby=\"wrong\"" };
    let field = |id: &str, label: &str, complete: &str, more: &str| {
        format!(
            "<label for=\"{id}\">{label}</label><input id=\"{id}\" name=\"{id}\" type=\"password\" \
             maxlength=\"{PASSWORD_CHARS_MAX}\" required autocomplete=\"{complete}\"{more}>"
        )
    };
    let least = format!(" minlength=\"{PASSWORD_CHARS_MIN}\" aria-describedby=\"hint\"");
    format!(
        "<img class=\"big-art\" src=\"/pages/art/key.svg\" alt=\"\"><h1>Your password</h1>\
         <p id=\"wrong\" class=\"error\" role=\"alert\">{wrong}</p>\
         <form method=\"post\" action=\"/account/password\">\
         <label for=\"name\">Name</label><input id=\"name\" name=\"name\" type=\"text\" value=\"{name}\" \
         autocomplete=\"username\" readonly>{now}{new}{again}\
         <button class=\"button\" type=\"submit\">Change it</button></form>\
         <p id=\"hint\" class=\"hint\">At least {PASSWORD_CHARS_MIN} letters; some words in a row do well, \
         not your name or the school’s. Your other browsers are signed out.</p>\
         <p><a href=\"/teacher\">Back to your lessons</a></p>",
        wrong = safe(wrong),
        name = safe(name),
        now = field("now", "Password of now", "current-password", &format!(" autofocus{told}")),
        new = field("new", "New password", "new-password", &least),
        again = field("again", "The new one once more", "new-password", ""),
    )
}
