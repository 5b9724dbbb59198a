//! Amounts, border, and the lists to tick.

use axum::response::Response;
use serde_json::json;
use workbench::pattern::Day;
use workbench::{Terms, TickList};

use super::{Ask, answer, done};
use crate::failure::Failure;
use crate::{body, wire};

pub(super) async fn making(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let (making, revision) = ask.work(move |bench| bench.making(id)).await?;
    Ok(answer(json!({"revision": revision, "making": wire::Making::from(&making)})))
}

pub(super) async fn keep(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::MakingOf { revision, making } = body::json(&mut ask).await?;
    let making = making.meant()?;
    let changed = ask.work(move |bench| bench.keep_making(id, revision, &making));
    Ok(answer(wire::Changed::from(changed.await?)))
}

pub(super) async fn take_gauge(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Seen { revision } = body::json(&mut ask).await?;
    Ok(answer(wire::Changed::from(ask.work(move |bench| bench.take_gauge(id, revision)).await?)))
}

pub(super) async fn swatch(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let given = body::json::<wire::SwatchOf>(&mut ask).await?.swatch.meant()?;
    let told = ask.work(move |bench| bench.try_swatch(id, &given)).await?;
    Ok(answer(wire::told::swatch(&told)))
}

pub(super) async fn amounts(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let today = ask.query("today").map(|text| {
        let what = format!("{text:?} is no day");
        Day::read(&text).ok_or_else(|| Failure::bad(what, "today", "write it as YYYY-MM-DD"))
    });
    let today = today.transpose()?;
    Ok(answer(wire::told::amounts(ask.work(move |bench| bench.amounts(id, today)).await?)))
}

pub(super) async fn border(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let terms = terms(&ask)?;
    Ok(answer(wire::told::border(ask.work(move |bench| bench.border(id, terms)).await?)))
}

/// The terms that are asked for, if any.
pub(super) fn terms(ask: &Ask) -> Result<Option<Terms>, Failure> {
    match ask.query("terms").as_deref() {
        None => Ok(None),
        Some("us") => Ok(Some(Terms::Us)),
        Some("uk") => Ok(Some(Terms::Uk)),
        Some(other) => Err(Failure::bad(format!("{other:?} are no terms"), "terms", "give us or uk")),
    }
}

pub(super) async fn winding(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(answer(wire::told::winding(&ask.work(move |bench| bench.winding(id)).await?)))
}

pub(super) async fn ends(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(answer(wire::told::ends(&ask.work(move |bench| bench.ends(id)).await?)))
}

pub(super) async fn tick_winding(ask: Ask) -> Result<Response, Failure> {
    tick(ask, TickList::Winding).await
}

pub(super) async fn tick_ends(ask: Ask) -> Result<Response, Failure> {
    tick(ask, TickList::Ends).await
}

async fn tick(mut ask: Ask, list: TickList) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Ticks { marks, ticked } = body::json(&mut ask).await?;
    ask.work(move |bench| bench.tick(id, list, &marks, ticked)).await?;
    Ok(done())
}

pub(super) async fn lessons(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(answer(wire::told::lessons(ask.work(move |bench| bench.lessons(id)).await?)))
}
