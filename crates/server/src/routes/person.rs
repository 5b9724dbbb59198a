//! What is the person's and no blanket's: yarns, settings, the program itself.

use axum::response::Response;
use serde_json::json;

use super::files::to_keep;
use super::{Ask, answer, done};
use crate::failure::Failure;
use crate::{body, wire};

/// The kinds that a list of yarns may be sent as.
const LISTS: [&str; 3] = ["application/toml", "text/plain", "application/octet-stream"];

pub(super) async fn yarns(ask: Ask) -> Result<Response, Failure> {
    Ok(answer(wire::Yarns::from(ask.work(|bench| bench.yarns()).await?.as_slice())))
}

pub(super) async fn keep_yarns(mut ask: Ask) -> Result<Response, Failure> {
    let wire::Yarns { yarns } = body::json(&mut ask).await?;
    let yarns = wire::yarns_meant(yarns)?;
    let kept = ask.work(move |bench| {
        bench.keep_yarns(&yarns)?;
        bench.yarns()
    });
    Ok(answer(wire::Yarns::from(kept.await?.as_slice())))
}

pub(super) async fn read_yarns(mut ask: Ask) -> Result<Response, Failure> {
    let text = body::file(&mut ask, &LISTS).await?;
    let read = ask.work(move |bench| Ok((bench.read_yarns(&text)?, bench.yarns()?)));
    let (notes, yarns) = read.await?;
    let wire::Yarns { yarns } = wire::Yarns::from(yarns.as_slice());
    Ok(answer(json!({"notes": notes, "yarns": yarns})))
}

pub(super) async fn take_back_yarns(mut ask: Ask) -> Result<Response, Failure> {
    let wire::Nothing {} = body::json(&mut ask).await?;
    Ok(answer(wire::Yarns::from(ask.work(|bench| bench.take_back_yarns()).await?.as_slice())))
}

pub(super) async fn yarns_toml(ask: Ask) -> Result<Response, Failure> {
    Ok(to_keep(ask.work(|bench| bench.yarns_toml()).await?))
}

pub(super) async fn settings(ask: Ask) -> Result<Response, Failure> {
    Ok(answer(wire::Settings::from(ask.work(|bench| bench.settings()).await?)))
}

pub(super) async fn keep_settings(mut ask: Ask) -> Result<Response, Failure> {
    let settings = workbench::Settings::from(body::json::<wire::Settings>(&mut ask).await?);
    let kept = ask.work(move |bench| {
        bench.keep_settings(&settings)?;
        bench.settings()
    });
    Ok(answer(wire::Settings::from(kept.await?)))
}

pub(super) async fn quit(mut ask: Ask) -> Result<Response, Failure> {
    let wire::Nothing {} = body::json(&mut ask).await?;
    // This answer is under way already, and is waited for.
    ask.app.stop.now();
    Ok(done())
}
