//! Connections: taken one by one, bounded in number, and not for ever.

use std::sync::Arc;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, watch};
use tokio::time::{sleep, timeout};

use crate::limits::Limits;

/// The most bytes of a request's head.
const HEAD_BYTES: usize = 64 << 10;

/// Serves until it is told to close, then lets answers under way end.
pub(crate) async fn serve(
    listener: TcpListener,
    router: Router,
    limits: Limits,
    mut closing: watch::Receiver<bool>,
) {
    let open = Arc::new(Semaphore::new(limits.connections));
    let ends = GracefulShutdown::new();
    let mut http = http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(limits.head_time).max_buf_size(HEAD_BYTES);
    loop {
        let accepted = async {
            let place = Arc::clone(&open).acquire_owned().await;
            (place, listener.accept().await)
        };
        let (place, accepted) = tokio::select! {
            accepted = accepted => accepted,
            _ = closing.wait_for(|closing| *closing) => break,
        };
        let Ok((stream, _)) = accepted else {
            // Out of file handles, or the other end is gone already: others may still come.
            sleep(core::time::Duration::from_millis(20)).await;
            continue;
        };
        // Answers are small and a person waits for them. A socket that refuses still works.
        let _ = stream.set_nodelay(true);
        let service = TowerToHyperService::new(router.clone());
        let connection = ends.watch(http.serve_connection(TokioIo::new(stream), service));
        tokio::spawn(async move {
            let _place = place;
            // The other end broke off, or spoke no HTTP: nobody is left to be told.
            let _ = connection.await;
        });
    }
    drop(listener);
    let _ = timeout(limits.last_answers, ends.shutdown()).await;
}
