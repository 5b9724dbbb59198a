//! The pattern to print and to take away.

use axum::response::Response;

use super::Ask;
use super::files::to_keep;
use crate::failure::Failure;

pub(super) async fn take_away(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(to_keep(ask.work(move |bench| bench.take_away(id)).await?))
}

#[cfg(feature = "pages")]
mod pages {
    use axum::response::Response;
    use serde_json::json;

    use super::super::files::{shown, to_keep};
    use super::super::{Ask, answer};
    use crate::failure::Failure;

    pub(in super::super) async fn paper(ask: Ask) -> Result<Response, Failure> {
        let id = ask.place.blanket()?;
        let (pages, revision) = ask.work(move |bench| bench.pages(id)).await?;
        Ok(answer(json!({"pages": pages, "revision": revision})))
    }

    pub(in super::super) async fn page(ask: Ask) -> Result<Response, Failure> {
        let id = ask.place.blanket()?;
        let number = ask.place.number("page")?;
        Ok(shown(ask.work(move |bench| bench.page(id, number)).await?))
    }

    pub(in super::super) async fn printed(ask: Ask) -> Result<Response, Failure> {
        let id = ask.place.blanket()?;
        Ok(to_keep(ask.work(move |bench| bench.printed(id)).await?))
    }
}

/// A build without pages says so.
#[cfg(not(feature = "pages"))]
mod pages {
    use axum::http::StatusCode;
    use axum::response::Response;

    use super::super::Ask;
    use crate::failure::Failure;

    fn none() -> Failure {
        let hint = "take the page to take away, or build the program with its default features";
        Failure::new(StatusCode::NOT_FOUND, "this build of the program sets no pages", "the pages", hint)
    }

    pub(in super::super) async fn paper(_: Ask) -> Result<Response, Failure> {
        Err(none())
    }

    pub(in super::super) async fn page(_: Ask) -> Result<Response, Failure> {
        Err(none())
    }

    pub(in super::super) async fn printed(_: Ask) -> Result<Response, Failure> {
        Err(none())
    }
}

pub(super) use pages::{page, paper, printed};
