//! The shelf: all blankets, new ones, and what happens to whole ones.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use axum::response::Response;
use serde_json::json;

use super::{Ask, answer, done};
use crate::failure::Failure;
use crate::{body, wire};

/// The kinds that the bytes of a chart may be sent as.
const CHARTS: [&str; 3] = ["application/octet-stream", "image/png", "text/csv"];

/// The kinds that the bytes of a picture may be sent as.
const PICTURES: [&str; 4] = ["application/octet-stream", "image/png", "image/jpeg", "image/webp"];

pub(super) async fn shelf(ask: Ask) -> Result<Response, Failure> {
    Ok(answer(wire::Shelf::from(ask.work(|bench| bench.shelf()).await?)))
}

pub(super) async fn new(mut ask: Ask) -> Result<Response, Failure> {
    let id = match body::json(&mut ask).await? {
        wire::NewBlanket::Demo {} => ask.work(|bench| bench.demo()).await?,
        wire::NewBlanket::Practice {} => ask.work(|bench| bench.practice()).await?,
        wire::NewBlanket::Blank { name, columns, rows, gauge, yarns } => {
            let (gauge, yarns) = (gauge.meant()?, wire::yarns_meant(yarns)?);
            let wish = workbench::Blank { name, columns, rows, gauge, yarns };
            ask.work(move |bench| bench.blank(&wish)).await?
        }
        wire::NewBlanket::Words(words) => {
            let wish = words.meant()?;
            ask.work(move |bench| bench.from_words(&wish)).await?
        }
    };
    Ok(answer(json!({"id": id.0})))
}

pub(super) async fn from_chart(mut ask: Ask) -> Result<Response, Failure> {
    let name = ask.query("name").unwrap_or_default();
    let bytes = body::file(&mut ask, &CHARTS).await?;
    let made = ask.work(move |bench| bench.from_chart(&name, &bytes)).await?;
    Ok(answer(wire::Made::from(made)))
}

pub(super) async fn from_picture(mut ask: Ask) -> Result<Response, Failure> {
    let name = ask.query("name").unwrap_or_default();
    let bytes = body::file(&mut ask, &PICTURES).await?;
    let until = Instant::now() + ask.app.limits.job_time;
    let waited_for = WaitedFor::default();
    let is_waited_for = Arc::clone(&waited_for.0);
    let go_on = move |_, _| is_waited_for.load(Ordering::Relaxed) && Instant::now() < until;
    let made = ask.work(move |bench| bench.from_picture(&name, &bytes, &go_on)).await?;
    Ok(answer(wire::Made::from(made)))
}

/// Whether the one who asked still waits: set back when the request is dropped.
struct WaitedFor(Arc<AtomicBool>);

impl Default for WaitedFor {
    fn default() -> Self {
        Self(Arc::new(AtomicBool::new(true)))
    }
}

impl Drop for WaitedFor {
    fn drop(&mut self) {
        self.0.store(false, Ordering::Relaxed);
    }
}

pub(super) async fn rename(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Name { name } = body::json(&mut ask).await?;
    let revision = ask.work(move |bench| bench.rename(id, &name)).await?;
    Ok(answer(json!({"revision": revision})))
}

pub(super) async fn duplicate(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Nothing {} = body::json(&mut ask).await?;
    let copy = ask.work(move |bench| bench.duplicate(id)).await?;
    Ok(answer(json!({"id": copy.0})))
}

pub(super) async fn set_aside(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Nothing {} = body::json(&mut ask).await?;
    ask.work(move |bench| bench.set_aside(id)).await?;
    Ok(done())
}

pub(super) async fn put_back(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Nothing {} = body::json(&mut ask).await?;
    ask.work(move |bench| bench.put_back(id)).await?;
    Ok(done())
}

pub(super) async fn delete_for_good(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Nothing {} = body::json(&mut ask).await?;
    ask.work(move |bench| bench.delete_for_good(id)).await?;
    Ok(done())
}
