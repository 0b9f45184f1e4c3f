//! Who may ask, decided before a handler runs: teachers on a teacher's routes, from our own pages or from a
//! tool; whoever joins, within bounds of rate. A handler says by its parameters what it was promised.
//!
//! It knows nothing of what may be asked, nor of whose a lesson or a class is: the hub looks at that.

use super::peer::{Peer, is_own_origin};
use super::refuse::No;
use super::sessions::Signed;
use super::sign_in::bearer;
use super::{Edge, Shared, body};
use crate::teacher::TeacherId;
use axum::Extension;
use axum::extract::{FromRequest, FromRequestParts, Path, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde::de::DeserializeOwned;
use tokio::sync::oneshot;

/// Who asks, on a route that lets teachers alone through.
pub type Teacher = Extension<TeacherId>;

/// A teacher from one of our own pages or from a tool. Keys that are tried are counted.
pub fn signed(edge: &Edge, peer: &Peer, headers: &HeaderMap) -> Result<Signed, No> {
    if !is_own_origin(headers) {
        return Err(No::other_site());
    }
    if bearer(headers).is_some() && !edge.rates.may_try_key(peer.counted_address(headers)) {
        return Err(No::wait_a_moment());
    }
    edge.sign_in.who(headers, edge.hub.today()).ok_or_else(|| {
        if edge.sign_in.has_accounts() { No::sign_in_first() } else { No::teacher_only() }
    })
}

/// Lets teachers alone through. The handler finds her id, and her sign-in if it has to know when that is over.
pub async fn teachers(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    mut request: Request,
    next: Next,
) -> Response {
    match signed(&edge, &peer, request.headers()) {
        Ok(signed) => {
            request.extensions_mut().insert(signed.holder.teacher());
            request.extensions_mut().insert(signed);
            next.run(request).await
        }
        Err(no) => turned_away(no, request).await,
    }
}

/// Lets whoever joins now through, within the bounds of joining.
pub async fn joining(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    request: Request,
    next: Next,
) -> Response {
    let may = |headers: &HeaderMap| edge.rates.may_join(peer.counted_address(headers));
    from_own_page(may, request, next).await
}

/// The same for whoever tries a row of pictures, which could be guessed.
pub async fn trying_a_row(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    request: Request,
    next: Next,
) -> Response {
    let may = |headers: &HeaderMap| edge.rates.may_try_row(peer.counted_address(headers));
    from_own_page(may, request, next).await
}

/// A page of another site uses up nobody's allowance.
async fn from_own_page(
    may: impl FnOnce(&HeaderMap) -> bool,
    request: Request,
    next: Next,
) -> Response {
    if !is_own_origin(request.headers()) {
        turned_away(No::other_site(), request).await
    } else if !may(request.headers()) {
        turned_away(No::wait_a_moment(), request).await
    } else {
        next.run(request).await
    }
}

/// Whatever would change something goes on to its end although whoever asked has left: half of it done, a
/// lesson would be written down and not there. What is only looked at ends with the connection.
pub async fn carried_out(State(edge): Shared, request: Request, next: Next) -> Response {
    // Safe methods change nothing (RFC 9110 section 9.2.1).
    if request.method().is_safe() {
        return next.run(request).await;
    }
    let (answer, asked) = oneshot::channel();
    edge.spawn(async move {
        // Whoever has left reads no answer.
        let _ = answer.send(next.run(request).await);
    });
    let cut_off = |_| {
        let message = "Handround was stopped meanwhile. Look whether it was done.";
        No::new(StatusCode::SERVICE_UNAVAILABLE, message).into_response()
    };
    asked.await.unwrap_or_else(cut_off)
}

/// A refused body is read to its end, so that its sender reads why.
async fn turned_away(no: No, request: Request) -> Response {
    let (parts, body) = request.into_parts();
    body::throw_away(&parts.headers, body).await;
    no.into_response()
}

/// What the address names: an id, or several in their order. Nothing is there where they cannot be read.
pub struct In<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for In<T> {
    type Rejection = No;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, No> {
        let Path(found) =
            Path::from_request_parts(parts, state).await.map_err(|_| No::not_found())?;
        Ok(In(found))
    }
}

/// A JSON body of at most `BYTES_MAX`.
pub struct Sent<T, const BYTES_MAX: usize>(pub T);

impl<S: Send + Sync, T: DeserializeOwned, const BYTES_MAX: usize> FromRequest<S>
    for Sent<T, BYTES_MAX>
{
    type Rejection = No;

    async fn from_request(request: Request, _: &S) -> Result<Self, No> {
        let (parts, body) = request.into_parts();
        body::read_json(&parts.headers, body, BYTES_MAX).await.map(Sent)
    }
}
