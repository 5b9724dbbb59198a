//! Long work: charting a picture again, and looking for charts to choose from.

use core::convert::Infallible;
use std::sync::Arc;

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, HeaderValue};
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
    let job = ask.app.jobs.start(move |tell, _| {
        let charted =
            bench.chart_picture(id, &wish, &|stage, done| tell(stage.name(), done).is_continue())?;
        serde_json::to_value(wire::ChartedAgain::from(charted)).map_err(Failure::ours)
    })?;
    Ok(answer(json!({"job": job})))
}

/// As many charts to choose from where none are asked for.
const USUAL_CHARTS: usize = 6;

pub(super) async fn choices(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wish = body::json::<wire::PictureWish>(&mut ask).await?;
    let count = wish.charts.unwrap_or(USUAL_CHARTS);
    let wish = wish.meant()?;
    let bench = Arc::clone(&ask.app.workbench);
    let job = ask.app.jobs.start(move |tell, found| {
        let go_on = |stage: workbench::Stage, done| tell(stage.name(), done).is_continue();
        let row = bench.choices(id, &wish, count, &|choice| found.add(choice), &go_on)?;
        found.end(row);
        serde_json::to_value(found.shown()).map_err(Failure::ours)
    })?;
    Ok(answer(json!({"job": job})))
}

pub(super) async fn found(ask: Ask) -> Result<Response, Failure> {
    Ok(answer(ask.app.jobs.found(ask.place.number("job")?)?.shown()))
}

pub(super) async fn choice_picture(ask: Ask) -> Result<Response, Failure> {
    let name = ask.place.text("choice");
    let at = name.strip_suffix(".png").and_then(|at| at.parse().ok()).ok_or_else(Failure::not_there)?;
    let choice = ask.app.jobs.found(ask.place.number("job")?)?.choice(at).ok_or_else(Failure::not_there)?;
    Ok(([(CONTENT_TYPE, "image/png")], choice.picture.clone()).into_response())
}

pub(super) async fn take_choice(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::TakeChoice { revision, job, at } = body::json(&mut ask).await?;
    let choice = ask.app.jobs.found(job)?.choice(at).ok_or_else(|| {
        Failure::bad(format!("that work has found no chart {at}"), "at", "take one that it has found")
    })?;
    let changed = ask.work(move |bench| bench.take_choice(id, revision, &choice)).await?;
    Ok(answer(wire::Changed::from(changed)))
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
