//! Looking at fabric, yarns and words.

use axum::response::Response;
use workbench::Region;

use super::files::{shown, side};
use super::{Ask, answer};
use crate::failure::Failure;
use crate::{body, wire};

pub(super) async fn fabric(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let face = match ask.query("face").as_deref() {
        None | Some("right") => model::Side::Right,
        Some("wrong") => model::Side::Wrong,
        Some(other) => {
            return Err(Failure::bad(format!("{other:?} is no face"), "face", "give right or wrong"));
        }
    };
    let max = side(&ask)?;
    let part = part(&ask)?;
    Ok(shown(ask.work(move |bench| bench.fabric(id, face, part, max)).await?))
}

/// The part of the fabric that is asked for: all four numbers, or none.
fn part(ask: &Ask) -> Result<Option<Region>, Failure> {
    let names = ["column", "row", "columns", "rows"];
    let given = names.map(|name| ask.query(name));
    if given.iter().all(Option::is_none) {
        return Ok(None);
    }
    let mut numbers = [0; 4];
    for ((number, name), text) in numbers.iter_mut().zip(names).zip(given) {
        *number = text.and_then(|text| text.parse().ok()).ok_or_else(|| {
            Failure::bad("a part needs four whole numbers", name, "give column, row, columns and rows")
        })?;
    }
    let [column, row, columns, rows] = numbers;
    Ok(Some(Region { column, row, columns, rows }))
}

pub(super) async fn alike(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(answer(wire::AlikeYarns::from(ask.work(move |bench| bench.alike(id)).await?)))
}

pub(super) async fn lettering(mut ask: Ask) -> Result<Response, Failure> {
    let wire::ForGauge { lettering, gauge } = body::json(&mut ask).await?;
    let (lettering, gauge) = (lettering.meant()?, gauge.meant()?);
    let lettered = ask.work(move |bench| bench.lettering(&lettering, &gauge)).await?;
    Ok(answer(wire::Lettered::from(lettered)))
}
