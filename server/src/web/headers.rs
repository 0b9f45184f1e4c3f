//! The same strict headers on every answer, refusals and upgrades too.

use axum::http::{HeaderName, HeaderValue, header};
use axum::response::Response;

/// Scripts, styles and pictures come from this server alone, no page of another site may frame,
/// open or embed ours, and no address that holds a secret leaves in a `Referer`.
const HEADERS: [(HeaderName, &str); 5] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; base-uri 'none'; \
         frame-ancestors 'none'; form-action 'self'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// Adds them; whatever no handler made cacheable is not kept by anyone.
pub async fn strict(mut response: Response) -> Response {
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}
