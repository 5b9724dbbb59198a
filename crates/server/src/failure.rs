//! What went wrong, as an answer.

use axum::Json;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde_json::{Value, json};
use workbench::Kind;

/// An answer that says what is wrong, where, and what to do about it.
#[derive(Clone, Debug)]
pub(crate) struct Failure {
    pub(crate) status: StatusCode,
    what: String,
    place: String,
    hint: String,
    /// The revision a blanket is at, where the person knew an older one.
    revision: Option<u64>,
}

impl Failure {
    pub(crate) fn new(
        status: StatusCode,
        what: impl ToString,
        place: impl ToString,
        hint: impl ToString,
    ) -> Self {
        Self {
            status,
            what: what.to_string(),
            place: place.to_string(),
            hint: hint.to_string(),
            revision: None,
        }
    }

    /// Something in a body that can't be taken as it is.
    pub(crate) fn bad(what: impl ToString, place: impl ToString, hint: impl ToString) -> Self {
        Self::new(StatusCode::UNPROCESSABLE_ENTITY, what, place, hint)
    }

    pub(crate) fn not_there() -> Self {
        Self::new(StatusCode::NOT_FOUND, "there is nothing at this address", "", "check the address")
    }

    pub(crate) fn wrong_method() -> Self {
        Self::new(
            StatusCode::METHOD_NOT_ALLOWED,
            "this address does not take that kind of request",
            "",
            "docs/http.md tells what it takes",
        )
    }

    /// A mistake of ours.
    pub(crate) fn ours(what: impl ToString) -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            what,
            "",
            "nothing is lost: load the page again, and start the program again if it stays so",
        )
    }

    /// Work that ended in a panic.
    pub(crate) fn broke_off() -> Self {
        Self::ours("the work broke off: a mistake of this program")
    }

    /// `{"what", "where", "hint"}`.
    pub(crate) fn to_json(&self) -> Value {
        json!({"what": self.what, "where": self.place, "hint": self.hint})
    }
}

impl From<workbench::Failure> for Failure {
    fn from(failure: workbench::Failure) -> Self {
        let (status, revision) = match failure.kind {
            Kind::NotFound => (StatusCode::NOT_FOUND, None),
            Kind::Stale { revision } => (StatusCode::CONFLICT, Some(revision)),
            Kind::BadInput => (StatusCode::UNPROCESSABLE_ENTITY, None),
            Kind::CannotWrite => (StatusCode::INSUFFICIENT_STORAGE, None),
            Kind::Busy | Kind::Cancelled => (StatusCode::SERVICE_UNAVAILABLE, None),
            Kind::Damaged | Kind::Defect => (StatusCode::INTERNAL_SERVER_ERROR, None),
        };
        Self { revision, ..Self::new(status, failure.what, failure.place, failure.hint) }
    }
}

impl IntoResponse for Failure {
    fn into_response(self) -> Response {
        let mut body = json!({"error": self.to_json()});
        if let Some(revision) = self.revision {
            body["revision"] = revision.into();
        }
        (self.status, Json(body)).into_response()
    }
}
