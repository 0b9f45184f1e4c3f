//! The same strict headers on every answer, refusals and upgrades too.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// No page of another site may open or embed ours, and no address that holds a secret leaves in a
/// `Referer`.
const HEADERS: [(HeaderName, &str); 4] = [
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// Scripts, styles and pictures come from this server alone, and no site may frame it.
const POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; object-src 'none'; \
                      base-uri 'none'; frame-ancestors 'none'; form-action 'self'";

/// Marks an answer that a page of ours may embed; any other site still may not.
#[derive(Clone)]
struct Framed;

/// Lets a page of ours embed this one.
pub fn may_be_framed_by_us(response: &mut Response) {
    response.extensions_mut().insert(Framed);
}

/// Marks a page whose own form is posted.
#[derive(Clone)]
struct PostsItsForm;

/// Lets browsers say where a page's own form comes from. Under `no-referrer` they send `Origin: null`
/// with it (Fetch standard, "append a request `Origin` header"), which another site's page looks like.
pub fn posts_its_form(response: &mut Response) {
    response.extensions_mut().insert(PostsItsForm);
}

/// Adds them; whatever no handler made cacheable is not kept by anyone.
pub async fn strict(request: Request, next: Next) -> Response {
    let policy = policy(request.headers().get(header::HOST));
    let mut response = next.run(request).await;
    let framed = response.extensions().get::<Framed>().is_some();
    let posts = response.extensions().get::<PostsItsForm>().is_some();
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if posts {
        headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("same-origin"));
    }
    headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    if framed {
        let own = headers[header::CONTENT_SECURITY_POLICY].to_str().unwrap_or(POLICY);
        let own = own.replace("frame-ancestors 'none'", "frame-ancestors 'self'");
        if let Ok(own) = HeaderValue::from_str(&own) {
            headers.insert(header::CONTENT_SECURITY_POLICY, own);
        }
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Safari before 16 does not count our own socket as `'self'`, and schools' tablets grow old, so
/// the host that the browser asked for is named. One with any letter that could end the directive
/// is left out.
fn policy(host: Option<&HeaderValue>) -> HeaderValue {
    let plain = |letter: char| letter.is_ascii_alphanumeric() || ".-:".contains(letter);
    let host = host.and_then(|host| host.to_str().ok()).filter(|host| host.chars().all(plain));
    host.and_then(|host| {
        let policy = format!("{POLICY}; connect-src 'self' ws://{host} wss://{host}");
        HeaderValue::from_str(&policy).ok()
    })
    .unwrap_or(HeaderValue::from_static(POLICY))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_host_is_named_only_if_it_cannot_widen_the_policy() {
        let of = |host| policy(Some(&HeaderValue::from_static(host)));
        let plain = of("class.example:8787");
        let plain = plain.to_str().unwrap_or_default();
        assert!(
            plain
                .ends_with("; connect-src 'self' ws://class.example:8787 wss://class.example:8787")
        );
        for host in
            ["class.example; script-src *", "a b", "a,b", "'unsafe-inline'", "*", "[::1]:80"]
        {
            assert_eq!(of(host), POLICY, "{host}");
        }
        assert_eq!(policy(None), POLICY);
    }
}
