//! Bodies, taken only as far as their kind, size and time allow.

use std::sync::Arc;

use axum::http::header::CONTENT_LENGTH;
use axum::http::{HeaderMap, StatusCode};
use futures_util::StreamExt;
use serde::de::DeserializeOwned;
use tokio::time::timeout;

use crate::failure::Failure;
use crate::guard::media_type;
use crate::routes::Ask;

/// A JSON body. An empty one counts as `{}`.
pub(crate) async fn json<T: DeserializeOwned>(ask: &mut Ask) -> Result<T, Failure> {
    is_of_kind(ask.request.headers(), &["application/json"])?;
    let bytes = whole(ask, ask.app.limits.json_bytes).await?;
    let bytes: &[u8] = if bytes.is_empty() { b"{}" } else { &bytes };
    // Nests at most 128 deep, then the reader gives up.
    serde_json::from_slice(bytes).map_err(|error| {
        Failure::new(StatusCode::BAD_REQUEST, error, "the body", "docs/http.md tells what belongs in it")
    })
}

/// The bytes of a file, of one of these kinds.
pub(crate) async fn file(ask: &mut Ask, kinds: &[&str]) -> Result<Vec<u8>, Failure> {
    is_of_kind(ask.request.headers(), kinds)?;
    // Each may take tens of megabytes: only few are held at the same time, and the others wait.
    let app = Arc::clone(&ask.app);
    let _permit = match timeout(app.limits.body_time, app.uploads.acquire()).await {
        Ok(Ok(permit)) => permit,
        _ => return Err(too_slow()),
    };
    whole(ask, app.limits.file_bytes).await
}

fn is_of_kind(headers: &HeaderMap, kinds: &[&str]) -> Result<(), Failure> {
    let kind = media_type(headers);
    if kinds.contains(&kind.as_str()) {
        return Ok(());
    }
    Err(Failure::new(
        StatusCode::UNSUPPORTED_MEDIA_TYPE,
        format!("{kind:?} is not taken here"),
        "Content-Type",
        format!("send {}", kinds.join(" or ")),
    ))
}

async fn whole(ask: &mut Ask, most: usize) -> Result<Vec<u8>, Failure> {
    let too_large = || {
        Failure::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            format!("the body has more than {most} bytes, which is the most"),
            "the body",
            "send less: a picture can be made smaller first",
        )
    };
    let told =
        ask.request.headers().get(CONTENT_LENGTH).and_then(|length| length.to_str().ok()?.parse().ok());
    if told.is_some_and(|told: u64| told > most as u64) {
        return Err(too_large());
    }
    let mut stream = core::mem::take(ask.request.body_mut()).into_data_stream();
    let read = async {
        let mut bytes = Vec::new();
        while let Some(piece) = stream.next().await {
            let piece = piece.map_err(|_| broke_off())?;
            if piece.len() > most - bytes.len() {
                return Err(too_large());
            }
            bytes.extend_from_slice(&piece);
        }
        Ok(bytes)
    };
    timeout(ask.app.limits.body_time, read).await.unwrap_or_else(|_| Err(too_slow()))
}

fn broke_off() -> Failure {
    Failure::new(StatusCode::BAD_REQUEST, "the body broke off", "the body", "send it again")
}

fn too_slow() -> Failure {
    Failure::new(StatusCode::REQUEST_TIMEOUT, "the body took too long to arrive", "the body", "send it again")
}
