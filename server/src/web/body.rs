//! Reading a request's body within bounds of size and time.

use super::refuse::No;
use crate::limits::web::{BODY_WAIT, DRAIN_BYTES_MAX};
use axum::body::Body;
use axum::http::{HeaderMap, StatusCode, header};
use futures_util::{Stream, StreamExt};
use handround_protocol::limits::CLASS_LIST_BYTES_MAX;
use serde::de::DeserializeOwned;
use tokio::time::timeout;

/// Reads a whole body of at most `bytes_max`. `too_large` is the sentence for a larger one.
pub async fn read(
    headers: &HeaderMap,
    body: Body,
    bytes_max: usize,
    too_large: &str,
) -> Result<Vec<u8>, No> {
    let too_large = || No::new(StatusCode::PAYLOAD_TOO_LARGE, too_large);
    // A client that asks before it sends (RFC 9110 section 10.1.1) needs no draining.
    if headers.contains_key(header::EXPECT) && said_length(headers) > Some(bytes_max) {
        return Err(too_large());
    }
    let mut frames = body.into_data_stream();
    let reading = async {
        let mut whole = Vec::new();
        while let Some(bytes) = frames.next().await {
            let bytes = bytes.map_err(|_| cut_off())?;
            if whole.len() + bytes.len() > bytes_max {
                drain(&mut frames).await;
                return Err(too_large());
            }
            whole.extend_from_slice(&bytes);
        }
        Ok(whole)
    };
    timeout(BODY_WAIT, reading).await.unwrap_or_else(|_| {
        Err(No::new(StatusCode::REQUEST_TIMEOUT, "The file took too long to arrive. Try again."))
    })
}

/// Reads a class list file.
pub async fn read_class_list(headers: &HeaderMap, body: Body) -> Result<Vec<u8>, No> {
    let too_large = format!(
        "This file is too large for a class list: {} KB at the most. Is it the right file?",
        CLASS_LIST_BYTES_MAX / 1024
    );
    read(headers, body, CLASS_LIST_BYTES_MAX, &too_large).await
}

/// Reads a small JSON body.
pub async fn read_json<T: DeserializeOwned>(
    headers: &HeaderMap,
    body: Body,
    bytes_max: usize,
) -> Result<T, No> {
    let bytes = read(headers, body, bytes_max, "This request is too large.").await?;
    serde_json::from_slice(&bytes)
        .map_err(|_| No::new(StatusCode::BAD_REQUEST, "This request could not be read."))
}

/// Reads a body that nobody wants, within the same bounds, so that its sender reads the refusal.
pub async fn throw_away(headers: &HeaderMap, body: Body) {
    if !headers.contains_key(header::EXPECT) {
        let _ = timeout(BODY_WAIT, drain(&mut body.into_data_stream())).await;
    }
}

fn said_length(headers: &HeaderMap) -> Option<usize> {
    headers.get(header::CONTENT_LENGTH)?.to_str().ok()?.parse().ok()
}

/// Throws the rest away: a browser that is still sending when the connection ends never reads why.
async fn drain<E>(frames: &mut (impl Stream<Item = Result<impl AsRef<[u8]>, E>> + Unpin)) {
    let mut thrown = 0;
    while let Some(Ok(bytes)) = frames.next().await {
        thrown += bytes.as_ref().len();
        if thrown > DRAIN_BYTES_MAX {
            return;
        }
    }
}

fn cut_off() -> No {
    No::new(StatusCode::BAD_REQUEST, "The file did not arrive whole. Try again.")
}
