//! Long work: charting a picture again.

use core::convert::Infallible;
use std::sync::Arc;

use axum::http::header::{CACHE_CONTROL, HeaderValue};
use axum::response::sse::{KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use futures_util::StreamExt;
use serde_json::json;

use super::{Ask, answer, done};
use crate::failure::Failure;
use crate::{body, wire};

pub(super) async fn chart_picture(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wish = body::json::<wire::PictureWish>(&mut ask).await?.meant()?;
    let bench = Arc::clone(&ask.app.workbench);
    let job = ask.app.jobs.start(move |tell| {
        let charted =
            bench.chart_picture(id, &wish, &|stage, done| tell(stage.name(), done).is_continue())?;
        serde_json::to_value(wire::ChartedAgain::from(charted)).map_err(Failure::ours)
    })?;
    Ok(answer(json!({"job": job})))
}

pub(super) async fn events(ask: Ask) -> Result<Response, Failure> {
    let events = ask.app.jobs.events(ask.place.number("job")?, ask.app.stop.heard())?;
    let mut response =
        Sse::new(events.map(Ok::<_, Infallible>)).keep_alive(KeepAlive::default()).into_response();
    response.headers_mut().insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    Ok(response)
}

pub(super) async fn cancel(mut ask: Ask) -> Result<Response, Failure> {
    let job = ask.place.number("job")?;
    let wire::Nothing {} = body::json(&mut ask).await?;
    ask.app.jobs.cancel(job)?;
    Ok(done())
}
