//! From an HTTP request to a WebSocket (RFC 6455 section 4.2), with one of our two subprotocols.

use super::peer::{Peer, is_own_origin};
use super::refuse::No;
use super::{Shared, admit, socket};
use crate::limits::web as limits;
use axum::Extension;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use handround_protocol::codec::Codec;
use hyper_util::rt::TokioIo;
use tokio_tungstenite::WebSocketStream;
use tokio_tungstenite::tungstenite::{
    handshake::server::create_response_with_body, protocol::Role,
};

/// `GET /ws`: checks everything that can be checked before a socket exists.
pub async fn upgrade(
    State(edge): Shared,
    Extension(peer): Extension<Peer>,
    request: Request,
) -> Response {
    if !is_own_origin(request.headers()) {
        return No::other_site().into_response();
    }
    let Ok(mut response) = create_response_with_body(&request, Body::empty) else {
        let refusal = No::new(StatusCode::UPGRADE_REQUIRED, "Only WebSockets are served here.");
        let wanted = [(header::UPGRADE, "websocket"), (header::SEC_WEBSOCKET_VERSION, "13")];
        return (wanted, refusal).into_response();
    };
    let Some(codec) = preferred(request.headers()) else {
        let names = Codec::ALL.map(Codec::name).join(" or ");
        return No::new(StatusCode::BAD_REQUEST, format!("Ask for the subprotocol {names}."))
            .into_response();
    };
    response
        .headers_mut()
        .insert(header::SEC_WEBSOCKET_PROTOCOL, HeaderValue::from_static(codec.name()));
    let teacher = admit::signed(&edge, &peer, request.headers()).ok();
    edge.clone().spawn(async move {
        let Peer { permit: _counted, direct, .. } = peer;
        let Ok(upgraded) = hyper::upgrade::on(request).await else {
            return;
        };
        let config = Some(limits::socket());
        let io = TokioIo::new(upgraded);
        let stream = WebSocketStream::from_raw_socket(io, Role::Server, config).await;
        let entry = socket::Entry { codec, teacher, direct };
        socket::run(stream, entry, edge.hub.clone(), &edge.stopping).await;
    });
    response
}

/// The first of the client's wishes that we speak: it names them in its order of preference
/// (RFC 6455 section 11.3.4), on one line or several.
fn preferred(headers: &HeaderMap) -> Option<Codec> {
    headers
        .get_all(header::SEC_WEBSOCKET_PROTOCOL)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(','))
        .find_map(|name| Codec::from_name(name.trim()))
}
