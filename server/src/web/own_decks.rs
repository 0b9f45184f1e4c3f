//! Decks that teachers made themselves: sent with their pictures, listed, shared as one file, deleted.
//! For teachers alone; nothing of a file is kept unless all of it is right.

use super::admit::{In, Teacher};
use super::refuse::No;
use super::workshop::{attachment, draw};
use super::{Shared, body};
use crate::deck::own::{self, Format, OwnDeck, Pictures};
use crate::limits::workshop::OWN_BYTES_MAX;
use axum::body::Body;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use axum::{Extension, Json};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use handround_protocol::id::OwnDeckId;
use handround_protocol::join::HttpRefusal;
use handround_protocol::workshop::{OwnDeckLine, OwnDeckSent, SentFile};

/// `GET /workshop/own`: the own decks that are kept.
pub async fn list(
    State(edge): Shared,
    Extension(teacher): Teacher,
) -> Result<Json<Vec<OwnDeckLine>>, No> {
    let decks = edge.hub.own_decks(teacher).await;
    decks.map(Json).map_err(|no| No::from_room(StatusCode::SERVICE_UNAVAILABLE, no))
}

/// `POST /workshop/own`: reads, checks and keeps an own deck.
pub async fn keep(
    State(edge): Shared,
    Extension(teacher): Teacher,
    headers: HeaderMap,
    body: Body,
) -> Result<(StatusCode, Json<OwnDeckLine>), No> {
    let too_large = format!(
        "The deck and its pictures are too large together: {} MB at the most. Make the pictures smaller.",
        OWN_BYTES_MAX / 1024 / 1024 * 3 / 4
    );
    let bytes = body::read(&headers, body, OWN_BYTES_MAX, &too_large).await?;
    let read = draw(&edge, move || read(&bytes)).await?;
    let deck = read.map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))?;
    let kept = edge.hub.keep_own_deck(teacher, &deck).await;
    kept.map(|line| (StatusCode::CREATED, Json(line)))
        .map_err(|no| No::from_room(StatusCode::BAD_REQUEST, no))
}

fn read(body: &[u8]) -> Result<OwnDeck, HttpRefusal> {
    let no = |message: &str| HttpRefusal { message: message.to_owned(), line: None };
    let sent: OwnDeckSent =
        serde_json::from_slice(body).map_err(|_| no("This request could not be read."))?;
    let bytes = |file: &SentFile| {
        STANDARD.decode(&file.base64).map_err(|_| no("A file did not arrive whole. Try again."))
    };
    let ending = sent.deck.name.rsplit('.').next().unwrap_or_default().to_lowercase();
    let format = match ending.as_str() {
        "toml" => Format::Toml,
        "csv" => Format::Csv,
        "json" => Format::Saved,
        _ => return Err(no("A deck of your own is a file that ends in .toml, .csv or .json.")),
    };
    let mut pictures = Pictures::new();
    for picture in &sent.pictures {
        pictures.insert(picture.name.clone(), bytes(picture)?);
    }
    Ok(own::read(&bytes(&sent.deck)?, format, &pictures)?)
}

/// `DELETE /workshop/own/{deck}`: forgets an own deck.
pub async fn forget(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(deck): In<OwnDeckId>,
) -> Result<Json<()>, No> {
    let forgotten = edge.hub.forget_own_deck(teacher, deck).await;
    forgotten.map(Json).map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))
}

/// `GET /workshop/own/{deck}/file`: an own deck with its pictures as one file to share.
pub async fn file(
    State(edge): Shared,
    Extension(teacher): Teacher,
    In(deck): In<OwnDeckId>,
) -> Result<Response, No> {
    let file = edge.hub.own_deck_file(teacher, deck).await;
    let (name, bytes) = file.map_err(|no| No::from_room(StatusCode::NOT_FOUND, no))?;
    Ok(attachment(&format!("own-{name}"), bytes))
}
