//! One blanket: its chart, its changes, its strands.

use axum::response::Response;

use super::{Ask, answer};
use crate::failure::Failure;
use crate::{body, wire};

pub(super) async fn blanket(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(answer(wire::Blanket::from(ask.work(move |bench| bench.blanket(id)).await?)))
}

pub(super) async fn edit(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::EditOf { revision, operation } = body::json(&mut ask).await?;
    let doing = operation.meant()?;
    let changed = ask.work(move |bench| match &doing {
        wire::Doing::Edit(edit) => bench.edit(id, revision, edit),
        wire::Doing::Words(words) => bench.lay_words(id, revision, words),
    });
    Ok(answer(wire::Changed::from(changed.await?)))
}

pub(super) async fn take_back(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Seen { revision } = body::json(&mut ask).await?;
    Ok(answer(wire::Changed::from(ask.work(move |bench| bench.take_back(id, revision)).await?)))
}

pub(super) async fn do_again(mut ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let wire::Seen { revision } = body::json(&mut ask).await?;
    Ok(answer(wire::Changed::from(ask.work(move |bench| bench.do_again(id, revision)).await?)))
}

pub(super) async fn strands(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(answer(wire::Strands::from(ask.work(move |bench| bench.strands(id)).await?)))
}

pub(super) async fn row(ask: Ask) -> Result<Response, Failure> {
    let (id, number) = (ask.place.blanket()?, ask.place.number("number")?);
    let terms = super::making::terms(&ask)?;
    let row = ask.work(move |bench| {
        let terms = terms.map_or_else(|| bench.settings().map(|settings| settings.terms), Ok)?;
        bench.row(id, number, terms)
    });
    Ok(answer(wire::RowInWords::from(row.await?)))
}
