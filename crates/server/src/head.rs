//! What stands at the head of every answer, and the guard before every request.

use std::sync::Arc;

use axum::body::Body;
use axum::extract::State;
use axum::http::Request;
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, HeaderName, HeaderValue, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::App;

/// The page loads scripts, styles, fonts and pictures from here, and nothing from anywhere else.
const CONTENT_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src 'self' blob: data:; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; \
    frame-ancestors 'none'";

const ALWAYS: [(HeaderName, &str); 5] = [
    (CONTENT_SECURITY_POLICY, CONTENT_POLICY),
    (X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (REFERRER_POLICY, "no-referrer"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
];

/// Refuses what comes from elsewhere; sets the headers of every answer, refusals included.
pub(crate) async fn every_request(
    State(app): State<Arc<App>>,
    request: Request<Body>,
    next: Next,
) -> Response {
    let mut response = match app.guard.comes_from_here(request.uri(), request.headers()) {
        Ok(()) => next.run(request).await,
        Err(failure) => failure.into_response(),
    };
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    // The files of the page say otherwise themselves.
    headers.entry(CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}

/// Before everything of a person's: the key, and the header of a write.
pub(crate) async fn needs_key(State(app): State<Arc<App>>, request: Request<Body>, next: Next) -> Response {
    match app.guard.may_use(request.method(), request.headers()) {
        Ok(()) => next.run(request).await,
        Err(failure) => failure.into_response(),
    }
}
