//! Accepting connections, and ending all of them when the server stops.

use super::kernel::Ends;
use super::listener::{Accepted, Listener};
use super::peer::Peer;
use super::rates::Rates;
use super::sign_in::SignIn;
use super::{Edge, WebConfig, router};
use crate::lesson::hub::Hub;
use crate::limits::web::{
    ACCEPT_PAUSE, ACCOUNTS_LOOK_GAP, CONNECTIONS_MAX, HASHINGS_AT_ONCE_MAX, HEAD_BYTES_MAX,
    HEAD_WAIT, STOP_WAIT,
};
use crate::teacher::TeacherId;
use axum::Router;
use hyper::service::Service as _;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::collections::BTreeSet;
use std::pin::pin;
use std::sync::Arc;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::sync::Semaphore;
use tokio::time::{sleep, timeout};
use tokio_util::{sync::CancellationToken, task::TaskTracker};

/// Serves HTTP and sockets until `shutdown` is ready, then says goodbye to every device. Returns
/// when every connection's task has ended, which takes `STOP_WAIT` at the most.
pub async fn serve(
    listener: impl Listener,
    hub: Hub,
    config: WebConfig,
    shutdown: impl Future<Output = ()>,
) {
    let WebConfig { one_time_key, teacher_key, sessions, direct } = config;
    let edge = Arc::new(Edge {
        hub,
        sign_in: SignIn::new(&one_time_key, teacher_key.as_ref(), sessions),
        rates: Rates::new(),
        simulations: Arc::new(tokio::sync::Semaphore::new(
            crate::limits::workshop::DRAWINGS_AT_ONCE_MAX,
        )),
        hashings: Arc::new(Semaphore::new(HASHINGS_AT_ONCE_MAX)),
        drawings: Arc::new(tokio::sync::Semaphore::new(
            crate::limits::workshop::DRAWINGS_AT_ONCE_MAX,
        )),
        looking: tokio::sync::Mutex::default(),
        tasks: TaskTracker::new(),
        stopping: CancellationToken::new(),
        abandoned: CancellationToken::new(),
    });
    edge.spawn(stopping_with(&edge, edge.hub.clone().forget_old_classes()));
    edge.look_at_accounts().await;
    edge.spawn(stopping_with(&edge, follow_accounts(edge.clone())));
    let routes = router(edge.clone());
    let places = Arc::new(Semaphore::new(CONNECTIONS_MAX));
    let next = async || {
        let permit = places.clone().acquire_owned().await.ok();
        (permit, listener.accept().await)
    };
    let mut shutdown = pin!(shutdown);
    loop {
        let accepted = tokio::select! {
            biased;
            () = &mut shutdown => break,
            accepted = next() => accepted,
        };
        match accepted {
            (Some(permit), Ok(Accepted { stream, peer, local })) => {
                let direct = local.filter(|_| direct).map(|local| Ends { local, peer });
                let peer = Peer { socket: peer, permit: Arc::new(permit), direct };
                let connection = http(stream, peer, routes.clone(), edge.stopping.clone());
                edge.spawn(connection);
            }
            (_, Err(error)) => {
                tracing::warn!(kind = ?error.kind(), "a connection could not be accepted");
                sleep(ACCEPT_PAUSE).await;
            }
            (None, Ok(_)) => break,
        }
    }
    drop(listener);
    tracing::info!(connections = edge.tasks.len(), "stopping");
    edge.stopping.cancel();
    edge.tasks.close();
    if timeout(STOP_WAIT, edge.tasks.wait()).await.is_err() {
        tracing::warn!(connections = edge.tasks.len(), "connections are cut off");
        edge.abandoned.cancel();
        edge.tasks.wait().await;
    }
}

/// What was changed on the command line takes effect here within seconds.
async fn follow_accounts(edge: Arc<Edge>) {
    let mut before = teachers(&edge);
    loop {
        sleep(ACCOUNTS_LOOK_GAP).await;
        edge.look_at_accounts().await;
        let now = teachers(&edge);
        if !before.is_subset(&now) {
            edge.hub.forget_those_gone().await;
        }
        before = now;
    }
}

fn teachers(edge: &Edge) -> BTreeSet<TeacherId> {
    edge.sign_in.accounts().iter().map(|account| account.teacher).collect()
}

/// Work that nobody has to wait for when the server stops.
fn stopping_with(
    edge: &Edge,
    work: impl Future<Output = ()> + Send + 'static,
) -> impl Future<Output = ()> + Send + 'static {
    let stopping = edge.stopping.clone();
    async move {
        stopping.run_until_cancelled_owned(work).await;
    }
}

/// One connection's requests, one after the other, until it ends or becomes a socket.
async fn http<S: AsyncRead + AsyncWrite + Unpin + Send + 'static>(
    stream: S,
    peer: Peer,
    routes: Router,
    stopping: CancellationToken,
) {
    let routes = TowerToHyperService::new(routes);
    let answer = hyper::service::service_fn(move |mut request: hyper::Request<_>| {
        request.extensions_mut().insert(peer.clone());
        routes.call(request)
    });
    let connection = hyper::server::conn::http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_WAIT)
        .max_buf_size(HEAD_BYTES_MAX)
        .serve_connection(TokioIo::new(stream), answer)
        .with_upgrades();
    let mut connection = pin!(connection);
    tokio::select! {
        _ = connection.as_mut() => return,
        () = stopping.cancelled() => connection.as_mut().graceful_shutdown(),
    }
    let _ = connection.await;
}
